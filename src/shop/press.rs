//! Punches and dies, as a shop file has them: by kind and dimensions, or drawn.

use crate::diag::Finding;
use crate::document::Fields;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::entry;
use crate::geom::Outline;
use crate::num::Angle;
use crate::shop::brakes::Die;
use crate::shop::brakes::Press;
use crate::shop::brakes::Punch;
use crate::shop::fields::size;
use crate::shop::fields::sizes;
use crate::shop::section::GAP;
use crate::shop::section::Part;
use crate::shop::section::angle;
use crate::shop::section::drawn;
use crate::shop::section::min_flange;
use crate::shop::section::section;
use crate::shop::section::valid;
use crate::shop::shapes;
use crate::shop::shapes::Straight;
use crate::shop::shapes::V_ANGLE;

/// How to mend a dimension that cannot be one.
const MEASURED: &str = "write what you measured on the tool";

/// Default straight punch, mm and degrees: common practice.
const PUNCH: Straight =
    Straight { angle: Angle::from_degrees(80.0), nose: 1.0, body: 20.0, height: 100.0 };

/// Default throat, neck and height of a gooseneck punch, mm: those of the demo's shop.
const GOOSENECK: [f64; 3] = [14.0, 31.0, 110.0];

/// The tools of a press brake.
pub(super) fn read(fields: &Fields) -> Option<Press> {
    let dies = fields.need("die", "[\"16 mm\", \"24 mm\"]").is_some();
    let punches = fields.need("punch", "\"straight\"").is_some();
    let gap = fields.get("gap").and_then(|i| entry::length(i, fields.findings()));
    let (ram, bed) = (section(fields, "ram", Part::Ram), section(fields, "bed", Part::Table));
    let (all_dies, all_punches) = (several(fields, "die", die), several(fields, "punch", punch));
    let press = Press {
        gap: gap.unwrap_or(GAP),
        ram: ram?,
        bed: bed?,
        dies: all_dies,
        punches: all_punches,
    };
    (dies && punches).then_some(press)
}

/// The tools of a key: one, or a list of them.
fn several<T>(fields: &Fields, name: &str, one: impl Fn(&Item, &Fields) -> Option<T>) -> Vec<T> {
    match fields.get(name) {
        None => Vec::new(),
        Some(Item { value: Value::List(items), .. }) => {
            items.iter().filter_map(|item| one(item, fields)).collect()
        }
        Some(item) => one(item, fields).into_iter().collect(),
    }
}

/// A die: by its opening alone, `"24 mm"`, or with more dimensions.
fn die(item: &Item, of: &Fields) -> Option<Die> {
    if item.text().is_some() {
        let v = entry::size(item, MEASURED, of.findings())?;
        let usual = Angle::from_degrees(V_ANGLE);
        let section = shapes::die(v, usual, None);
        let section = valid(section, item, "write the opening of its V: `\"24 mm\"`", of)?;
        return Some(Die {
            v,
            section,
            min_flange: crate::brake::min_flange(v),
            widths: Vec::new(),
        });
    }
    let fields = Fields::of(item, of.findings())?;
    let v = size(&fields, "v", "\"32 mm\"");
    let usual = |v: f64| shapes::die(v, Angle::from_degrees(V_ANGLE), None);
    let example = usual(v.unwrap_or(32.0)).map(|section| shapes::written(&section));
    let example = example.unwrap_or_default();
    let section = match fields.has("section") {
        true => drawn(&fields, "section", &example)
            .filter(|section| holds_v(section, v, &example, &fields)),
        false => {
            let opening = match fields.has("angle") {
                true => angle(&fields, "angle", "\"80 deg\""),
                false => Some(Angle::from_degrees(V_ANGLE)),
            };
            let height = fields.get("height").map(|i| entry::size(i, MEASURED, fields.findings()));
            let height = height.map_or(Some(None), |height| height.map(Some));
            let made = v.zip(opening).zip(height);
            made.and_then(|((v, angle), height)| {
                valid(
                    shapes::die(v, angle, height),
                    item,
                    "check `v`, `angle` and `height`",
                    &fields,
                )
            })
        }
    };
    let min_flange = min_flange(&fields, v);
    let widths = sizes(&fields, "lengths");
    fields.finish();
    Some(Die { v: v?, section: section?, min_flange: min_flange?, widths })
}

/// Whether a drawn die has its V; a finding when it is solid below the opening.
fn holds_v(section: &Outline, v: Option<f64>, example: &str, fields: &Fields) -> bool {
    let Some(v) = v.filter(|v| !shapes::has_v(section, *v)) else { return true };
    let v = crate::num::text(v, 3);
    let at = fields.get("section").map_or(fields.here, |item| item.span);
    fields.add(
        Finding::stop("tool-section", format!("this die has no V of {v} mm in its section"))
            .at(at, "")
            .note("a die is drawn with its V, its origin at the centre of the opening")
            .help(format!("leave `section` out, or write `section = {example}`")),
    );
    false
}

/// A punch: by its kind alone, `"straight"`, or with its dimensions.
fn punch(item: &Item, of: &Fields) -> Option<Punch> {
    if let Some(kind) = item.text() {
        let section = match kind {
            "straight" => PUNCH.section(),
            "gooseneck" => shapes::gooseneck(GOOSENECK[0], GOOSENECK[1], GOOSENECK[2]),
            _ => {
                of.add(unknown(item));
                return None;
            }
        };
        let section = valid(section, item, "write `\"straight\"`", of)?;
        return Some(Punch {
            name: kind.to_owned(),
            angle: PUNCH.angle,
            section,
            widths: Vec::new(),
        });
    }
    if !matches!(item.value, Value::Table(_)) {
        of.add(wrong_kind(item, "a table or the kind of a punch").help("write `\"straight\"`"));
        return None;
    }
    let fields = Fields::of(item, of.findings())?;
    let example = PUNCH.section().map(|section| shapes::written(&section)).unwrap_or_default();
    let kind = fields.get("kind");
    let name = match (fields.has("name"), kind.and_then(Item::text)) {
        (false, Some(kind)) => Some(kind.to_owned()),
        _ => fields.needed_label("name", "\"straight\"").map(str::to_owned),
    };
    let angle = angle(&fields, "angle", "\"80 deg\"");
    let section = match kind {
        Some(kind) => by_kind(kind, angle, &fields),
        None => drawn(&fields, "section", &example),
    };
    let widths = sizes(&fields, "lengths");
    fields.finish();
    Some(Punch { name: name?, angle: angle?, section: section?, widths })
}

/// A section by the kind of punch and its dimensions.
fn by_kind(kind: &Item, angle: Option<Angle>, fields: &Fields) -> Option<Outline> {
    let made = match kind.text() {
        Some("straight") => {
            let nose = measure(fields, "nose", PUNCH.nose);
            let body = measure(fields, "body", PUNCH.body);
            let height = measure(fields, "height", PUNCH.height);
            Straight { angle: angle?, nose: nose?, body: body?, height: height? }.section()
        }
        Some("gooseneck") => {
            let [throat, neck, height] = GOOSENECK;
            let throat = measure(fields, "throat", throat);
            let (neck, height) = (measure(fields, "neck", neck), measure(fields, "height", height));
            shapes::gooseneck(throat?, neck?, height?)
        }
        _ => {
            fields.add(unknown(kind));
            return None;
        }
    };
    valid(made, kind, "check `nose`, `body`, `throat` and `height`", fields)
}

/// A length of more than nothing, or the usual one.
fn measure(fields: &Fields, name: &str, usual: f64) -> Option<f64> {
    fields.get(name).map_or(Some(usual), |item| entry::size(item, MEASURED, fields.findings()))
}

fn unknown(item: &Item) -> Finding {
    Finding::stop("unknown-word", "a punch is `straight` or `gooseneck`, or has a `section`")
        .at(item.letters, "")
        .help("write `\"straight\"`")
}
