//! The cost of the shop's time and metal. A rate that is not given is not guessed.

use crate::diag::Finding;
use crate::document;
use crate::document::Fields;
use crate::document::Value;
use crate::entry;
use crate::shop::fields::all;
use crate::shop::fields::size;
use crate::shop::fields::thickness;
use crate::table::Tables;

/// The rates of a shop.
#[derive(Clone, Debug, PartialEq)]
pub struct Rates {
    /// What prices are counted in, such as `EUR`.
    pub currency: String,
    /// An hour of a person's work; `None` if the shop does not give it.
    pub hand_hour: Option<f64>,
    /// Minutes of work for one bend, the piece turned and laid in.
    pub(crate) bend_minutes: f64,
    /// Minutes of work for one rolled bend.
    pub(crate) roll_minutes: f64,
    /// Minutes of work for one hem: it is bent, then flattened.
    pub(crate) hem_minutes: f64,
    /// Minutes of work for one hole that is drilled, reamed or tapped after cutting.
    pub(crate) hole_minutes: f64,
    /// Minutes of work for one countersink or counterbore.
    pub(crate) countersink_minutes: f64,
    /// Minutes of work for one flare.
    pub(crate) flare_minutes: f64,
    /// Length of bead formed in a minute, mm; `None` if the shop does not give it.
    pub(crate) bead_per_minute: Option<f64>,
    /// Length of bevel made in a minute, mm; `None` if the shop does not give it.
    pub(crate) bevel_per_minute: Option<f64>,
    /// How fast and for how much metal is cut.
    pub cutting: Vec<CutRate>,
    /// What metal costs, by the kilogram: row of the table `material`, and the price.
    pub metal: Vec<(String, f64)>,
    /// An item bought by the piece or the area, as in the purchase list: item and size, and the
    /// price.
    pub(crate) bought: Vec<(String, String, f64)>,
}

/// The cutting speed of one metal of one thickness, and the cost of the machine.
#[derive(Clone, Debug, PartialEq)]
pub struct CutRate {
    /// Row of the table `process`.
    pub process: String,
    /// Row of the table `material`.
    pub material: String,
    /// Of the sheet, mm.
    pub thickness: f64,
    /// Length cut in a minute, mm.
    pub speed: f64,
    /// Seconds for one pierce.
    pub pierce_seconds: f64,
    /// An hour of the machine.
    pub hour: f64,
}

impl Rates {
    /// The rate for a sheet, to a hundredth of a millimetre of thickness.
    pub fn cut(&self, process: &str, material: &str, thickness: f64) -> Option<&CutRate> {
        self.cutting.iter().find(|rate| {
            rate.process == process
                && rate.material == material
                && (rate.thickness - thickness).abs() < 0.01
        })
    }

    /// The price of a kilogram of a metal.
    pub(crate) fn kilogram(&self, material: &str) -> Option<f64> {
        self.metal.iter().find(|(name, _)| name == material).map(|(_, price)| *price)
    }

    /// What something costs that is bought, by its item and size in the purchase list; spaces, capitals
    /// and the sign for `by` make no difference.
    pub(crate) fn bought(&self, item: &str, size: &str) -> Option<f64> {
        let plain = |text: &str| -> String {
            let text = text.to_lowercase().replace('×', "x");
            text.chars().filter(|c| !c.is_whitespace()).collect()
        };
        let is_it = |bought: &&(String, String, f64)| {
            plain(&bought.0) == plain(item) && plain(&bought.1) == plain(size)
        };
        self.bought.iter().find(is_it).map(|(.., price)| *price)
    }
}

impl CutRate {
    /// Minutes to cut a length in mm with a number of pierces.
    pub fn minutes(&self, length: f64, pierces: usize) -> f64 {
        length / self.speed + pierces as f64 * self.pierce_seconds / 60.0
    }
}

/// The table `rates` of a shop file.
pub(super) fn read(fields: &Fields, tables: &Tables) -> Option<Rates> {
    let currency = fields.needed_text("currency", "\"EUR\"").map(str::to_owned);
    let hand_hour = number(fields, "labour_hour", false);
    let bend_minutes = number(fields, "bend_minutes", false);
    let roll_minutes = number(fields, "roll_minutes", false);
    let hem_minutes = number(fields, "hem_minutes", false);
    let hole_minutes = number(fields, "hole_minutes", false);
    let countersink_minutes = number(fields, "countersink_minutes", false);
    let flare_minutes = number(fields, "flare_minutes", false);
    let speed = |key: &str| fields.has(key).then(|| size(fields, key, "\"100 mm\""));
    let (bevel_per_minute, bead_per_minute) = (speed("bevel_per_minute"), speed("bead_per_minute"));
    let row = |fields: &Fields, table: &str, example: &str| {
        entry::row(fields.need(table, example)?, table, tables, fields.findings())
    };
    let cutting = all(fields, "cutting", |fields| {
        let process = row(fields, "process", "\"waterjet\"");
        let material = row(fields, "material", "\"S235\"");
        let thickness = thickness(fields, material.as_deref(), tables);
        let speed = size(fields, "cut_per_minute", "\"250 mm\"");
        let pierce_seconds = number(fields, "pierce_seconds", false);
        let hour = number(fields, "machine_hour", true);
        Some(CutRate {
            process: process?.name().to_owned(),
            material: material?.name().to_owned(),
            thickness: thickness?,
            speed: speed?,
            pierce_seconds: pierce_seconds.unwrap_or(0.0),
            hour: hour?,
        })
    });
    let metal = all(fields, "metal", |fields| {
        let material = row(fields, "material", "\"S235\"");
        let kilogram = number(fields, "per_kilogram", true);
        Some((material?.name().to_owned(), kilogram?))
    });
    let bought = all(fields, "bought", |fields| {
        let text = |name: &str, example| fields.needed_text(name, example).map(str::to_owned);
        let (item, size) = (text("item", "\"bolt\""), text("size", "\"M8 x 30 mm\""));
        let price = number(fields, "price", true);
        Some((item?, size?, price?))
    });
    Some(Rates {
        currency: currency?,
        hand_hour,
        bend_minutes: bend_minutes.unwrap_or(0.0),
        roll_minutes: roll_minutes.or(bend_minutes).unwrap_or(0.0),
        hem_minutes: hem_minutes.or(bend_minutes.map(|one| 2.0 * one)).unwrap_or(0.0),
        hole_minutes: hole_minutes.unwrap_or(0.0),
        countersink_minutes: countersink_minutes.or(hole_minutes).unwrap_or(0.0),
        flare_minutes: flare_minutes.or(hole_minutes).unwrap_or(0.0),
        bead_per_minute: bead_per_minute.flatten(),
        bevel_per_minute: bevel_per_minute.flatten(),
        cutting,
        metal,
        bought,
    })
}

/// A number of 0 or more.
fn number(fields: &Fields, name: &str, needed: bool) -> Option<f64> {
    let item = if needed { fields.need(name, "12.5")? } else { fields.get(name)? };
    let Value::Number(n) = item.value else {
        fields.add(document::wrong_kind(item, "a number"));
        return None;
    };
    if n >= 0.0 && n.is_finite() {
        return Some(n);
    }
    let finding = Finding::stop("out-of-range", format!("`{name}` is 0 or more"));
    fields.add(finding.at(item.span, "").help("write your cost, or leave the table out"));
    None
}

#[cfg(test)]
mod tests {
    use crate::diag::Sources;
    use crate::shop::Shop;
    use crate::table::Tables;

    const RATES: &str = r#"
[rates]
currency = "EUR"
labour_hour = 60
bend_minutes = 1.5
[[rates.cutting]]
process = "laser"
material = "S235"
thickness = "4 mm"
cut_per_minute = "1.5 m"
pierce_seconds = 2
machine_hour = 90
[[rates.metal]]
material     = "S235"
per_kilogram = 1.6
"#;

    fn read(text: &str) -> Result<Shop, Vec<String>> {
        let source = Sources::default().add("shop.toml", text);
        let read = crate::shop::read(source, text, &Tables::shipped());
        read.map_err(|found| found.into_iter().map(|f| f.headline).collect())
    }

    #[test]
    fn cutting_takes_length_over_speed_and_the_pierces() {
        let rates = read(RATES).unwrap().rates.unwrap();
        let rate = rates.cut("laser", "S235", 4.0).unwrap();
        // 3 m at 1.5 m a minute, and 15 pierces of 2 s.
        assert!((rate.minutes(3000.0, 15) - 2.5).abs() < 1e-12);
        assert!(
            rates.cut("laser", "S235", 5.0).is_none() && rates.cut("plasma", "S235", 4.0).is_none()
        );
        assert_eq!((rates.kilogram("S235"), rates.kilogram("S355")), (Some(1.6), None));
        assert_eq!((rates.bend_minutes, rates.hole_minutes), (1.5, 0.0));
    }

    #[test]
    fn what_is_bought_is_found_as_the_list_calls_it_and_an_hour_may_be_unknown() {
        let own = "[[rates.bought]]\nitem = \"Bolt\"\nsize = \"M8x30 mm\"\nprice = 0.35\n";
        let rates = read(&format!("[rates]\ncurrency = \"EUR\"\n{own}")).unwrap().rates.unwrap();
        assert_eq!(rates.bought("bolt", "M8 × 30 mm"), Some(0.35));
        assert_eq!(
            [rates.bought("bolt", "M8 × 35 mm"), rates.bought("nut", "M8 × 30 mm")],
            [None; 2]
        );
        assert_eq!(rates.hand_hour, None);
    }

    #[test]
    fn a_flare_takes_as_long_as_a_hole_unless_said_and_beads_have_no_rate_unless_said() {
        let rates = |more: &str| {
            let text = RATES.replacen("bend_minutes", &format!("{more}bend_minutes"), 1);
            let rates = read(&text).unwrap().rates.unwrap();
            (rates.flare_minutes, rates.bead_per_minute)
        };
        assert_eq!(rates(""), (0.0, None));
        assert_eq!(rates("hole_minutes = 2\n"), (2.0, None));
        let all = "hole_minutes = 2\nflare_minutes = 3\nbead_per_minute = \"0.4 m\"\n";
        assert_eq!(rates(all), (3.0, Some(400.0)));
    }

    #[test]
    fn a_thickness_may_be_a_gauge_of_its_metal() {
        let rates = RATES.replace("4 mm", "11 ga");
        let steel = read(&rates).unwrap().rates.unwrap();
        assert!(steel.cut("laser", "S235", 3.038).is_some(), "11 gauge steel, 0.1196 in");
        let light = rates.replacen("\"S235\"", "\"5052-H32\"", 1);
        let light = read(&light).unwrap().rates.unwrap();
        assert!(light.cut("laser", "5052-H32", 2.304).is_some(), "11 gauge aluminium, 0.0907 in");
        let found = read(&RATES.replace("4 mm", "2 ga")).unwrap_err();
        assert!(found.iter().any(|f| f.contains("gauge")), "{found:?}");
    }

    #[test]
    fn refuses_rates_that_cost_less_than_nothing_or_have_no_number() {
        for (from, to, wanted) in [
            ("labour_hour = 60", "labour_hour = -60", "`labour_hour` is 0 or more"),
            ("machine_hour = 90", "machine_hour = \"90 EUR\"", "a number"),
            ("cut_per_minute = \"1.5 m\"", "cut_per_minute = \"0 mm\"", "more than 0"),
            ("currency = \"EUR\"\n", "", "currency"),
            ("per_kilogram = 1.6", "per_kilogramm = 1.6", "per_kilogram"),
            ("process = \"laser\"", "process = \"lasr\"", "lasr"),
        ] {
            let found = read(&RATES.replacen(from, to, 1)).unwrap_err();
            assert!(found.iter().any(|f| f.contains(wanted)), "{to}: {found:?}");
        }
    }
}
