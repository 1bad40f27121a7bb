//! Shop file to [`Shop`].

use crate::bend::Trust;
use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Span;
use crate::document;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Value;
use crate::entry;
use crate::num;
use crate::num::Angle;
use crate::quantity;
use crate::quantity::Dimension;
use crate::quantity::Reading;
use crate::shop::fields::all;
use crate::shop::fields::size;
use crate::shop::fields::sizes;
use crate::shop::fields::thickness;
use crate::shop::formers;
use crate::shop::measured::Measured;
use crate::shop::rates;
use crate::shop::tool;
use crate::shop::whole::Cutting;
use crate::shop::whole::Shop;
use crate::table::Kind;
use crate::table::Tables;

/// Reads a shop file.
///
/// # Errors
/// Everything that is wrong with the text, each with its place.
pub fn read(source: SourceId, text: &str, tables: &Tables) -> Result<Shop, Vec<Finding>> {
    let table = document::read(source, text)?;
    let findings = Findings::default();
    let whole = Span { source, start: 0, end: text.find('\n').unwrap_or(text.len()) };
    let fields = Fields::new(&table, whole, &findings);
    let shop = Shop {
        about: fields.text("about").unwrap_or_default().to_owned(),
        cutting: all(&fields, "cutting", |f| cutting(f, tables)),
        method: fields.get("bend_method").and_then(|i| entry::bend_method(i, &findings)),
        trust: trust(&fields),
        measured: rows(&fields, tables),
        brakes: all(&fields, "brake", |f| tool::brake(f, tables)),
        rolls: all(&fields, "roll", |f| formers::roll(f, tables)),
        hemming: all(&fields, "hemming", |f| formers::hemming(f, tables)),
        clearance: fields.get("clearance").and_then(|i| entry::length(i, &findings)),
        drills: sizes(&fields, "drills"),
        hole_saws: sizes(&fields, "hole_saws"),
        coating: fields.get("coating").and_then(|i| entry::coating(i, tables, &findings)),
        oven: oven(&fields),
        rates: fields.get("rates").and_then(|item| {
            let fields = Fields::of(item, &findings)?;
            let rates = rates::read(&fields, tables);
            fields.finish();
            rates
        }),
    };
    fields.finish();
    let brakes = shop.brakes.iter().map(|brake| (brake.name.as_str(), brake.span));
    entry::names_differ("brakes", brakes, &findings);
    let rolls = shop.rolls.iter().map(|roll| (roll.name.as_str(), roll.takes.span));
    entry::names_differ("rolls", rolls, &findings);
    let hemming = shop.hemming.iter().map(|tool| (tool.name.as_str(), tool.takes.span));
    entry::names_differ("hemming tools", hemming, &findings);
    let findings = findings.take();
    if findings.is_empty() { Ok(shop) } else { Err(findings) }
}

/// The keys of the table `process` that a shop may override are its columns.
fn cutting(fields: &Fields, tables: &Tables) -> Option<Cutting> {
    let process = fields.need("process", "\"waterjet\"");
    let row = process.and_then(|i| entry::row(i, "process", tables, fields.findings()));
    let tolerance = fields.get("tolerance").and_then(|i| entry::length(i, fields.findings()));
    let mut own = Vec::new();
    for column in tables.table("process").into_iter().flat_map(|t| t.columns()) {
        let (Some(Kind::Quantity(dimension)), Some(item)) = (column.kind, fields.get(&column.name))
        else {
            continue;
        };
        let read = match &item.value {
            Value::Number(n) => Ok(Reading::Quantity(quantity::Quantity {
                value: *n,
                dimension: quantity::Dimension::NONE,
            })),
            Value::Text(text) => quantity::read(text),
            _ => {
                fields.add(document::wrong_kind(item, "a number or a length"));
                continue;
            }
        };
        match read {
            Ok(Reading::Quantity(q)) if q.dimension == dimension && q.value >= 0.0 => {
                own.push((column.name.clone(), q));
            }
            _ => fields.add(
                Finding::stop("wrong-unit", format!("`{}` is {dimension}, 0 or more", column.name))
                    .at(item.span, "")
                    .help(format!("it is the {}", column.about)),
            ),
        }
    }
    Some(Cutting { process: row?.name().to_owned(), fields: own, tolerance })
}

/// The order of precedence of bend data. A source left out is not used, except for the metal, which
/// always has an answer.
fn trust(fields: &Fields) -> Vec<Trust> {
    let mut order = Vec::new();
    for item in fields.list("bend_sources") {
        let word = item.text().and_then(Trust::named);
        let headline = match word {
            Some(trust) if !order.contains(&trust) => {
                order.push(trust);
                continue;
            }
            Some(trust) => format!("`{trust}` is listed twice"),
            None => "bend sources are `sheet`, `measured`, `shop` and `metal`".into(),
        };
        fields.add(Finding::stop("unknown-word", headline).at(item.span, "").help(
            "write `bend_sources = [\"measured\", \"sheet\", \"shop\", \"metal\"]`, in this order",
        ));
    }
    if fields.has("bend_sources") { order } else { Trust::USUAL.to_vec() }
}

/// The measured rows; of one sheet over one V there is one.
fn rows(fields: &Fields, tables: &Tables) -> Vec<Measured> {
    let rows = all(fields, "measured", |f| Some((measured(f, tables)?, f.here)));
    for (i, (row, span)) in rows.iter().enumerate() {
        if let Some((_, first)) = rows[..i].iter().find(|(known, _)| known.is_like(row)) {
            let headline = "two measured rows are for the same sheet and V";
            let finding = Finding::stop("duplicate-row", headline).at(*span, "");
            fields.add(finding.at(*first, "the other").help("remove the one that is out of date"));
        }
    }
    rows.into_iter().map(|(row, _)| row).collect()
}

fn measured(fields: &Fields, tables: &Tables) -> Option<Measured> {
    let (springback, scatter) = (springback(fields), scatter(fields));
    let material = fields.need("material", "\"S235\"");
    let material = material.and_then(|i| entry::row(i, "material", tables, fields.findings()));
    let thickness = thickness(fields, material.as_deref(), tables);
    let v = size(fields, "v", "\"32 mm\"");
    let radius = size(fields, "radius", "\"5 mm\"");
    let deduction = size(fields, "deduction", "\"7.9 mm\"");
    let (material, thickness, v) = (material?.name().to_owned(), thickness?, v?);
    let (radius, deduction) = (radius?, deduction?);
    match Measured::new(material, thickness, v, deduction, radius) {
        Ok(measured) => Some(Measured { springback, scatter, ..measured }),
        Err(error) => {
            let span = fields.get("deduction").map_or(fields.here, |i| i.letters);
            fields.add(
                Finding::stop(
                    "measured-bend",
                    format!("these measurements are not possible: {error}"),
                )
                .at(span, "")
                .note("K-factor = ((2 (radius + thickness) − deduction) / (π/2) − radius) / thickness")
                .help("measure again: the legs outside, and the inside radius with a radius gauge"),
            );
            None
        }
    }
}

/// How much farther a bend that rests at 90° was bent under load.
fn springback(fields: &Fields) -> Option<Angle> {
    const MAX: f64 = 45.0;
    let item = fields.get("springback")?;
    let findings = fields.findings();
    let degrees = entry::measure(item, Dimension::ANGLE, "an angle", "deg", findings)?;
    if (0.0..=MAX).contains(&degrees) {
        return Some(Angle::from_degrees(degrees));
    }
    let headline =
        format!("`springback` at a bend of 90° is 0° to {MAX}°, not {}°", num::text(degrees, 3));
    fields.add(Finding::stop("out-of-range", headline).at(item.letters, "").help(
        "write how much farther than 90° the bend went under load: `springback = \"1.5 deg\"`",
    ));
    None
}

/// The standard deviation from strip to strip, and their number: both or neither.
fn scatter(fields: &Fields) -> Option<(f64, u32)> {
    const MAX: u32 = 1000;
    let deviation = fields.get("scatter").and_then(|i| entry::length(i, fields.findings()));
    let strips = fields.count_from("strips", 1, MAX);
    let refuse = |at: Span, code: &'static str, headline: &str, help: &str| {
        fields.add(Finding::stop(code, headline).at(at, "").help(help));
    };
    match (fields.get("scatter"), fields.get("strips")) {
        (Some(scatter), None) => {
            let headline = "`scatter` needs the number of strips it was taken from";
            refuse(scatter.span, "missing-key", headline, "add `strips = 3`, or remove `scatter`");
        }
        (None, Some(of)) => {
            let help = match strips {
                Some(1) => "remove `strips`: one strip has no scatter",
                _ => "add their standard deviation, `scatter = \"0.1 mm\"`, or remove `strips`",
            };
            refuse(of.span, "missing-key", "`strips` needs the scatter between them", help);
        }
        (Some(_), Some(of)) if strips == Some(1) => {
            let help =
                "write the number of strips that were measured, or remove `scatter` and `strips`";
            refuse(of.span, "out-of-range", "one strip has no scatter", help);
        }
        _ => {}
    }
    Some((deviation?, strips?))
}

fn oven(fields: &Fields) -> Option<[f64; 3]> {
    let item = fields.get("oven")?;
    if item.text().is_some() {
        entry::lengths(fields, "oven")?;
    }
    let sizes = sizes(fields, "oven");
    if let [length, width, height] = sizes.as_slice() {
        return Some([*length, *width, *height]);
    }
    fields.add(
        Finding::stop("wrong-kind", "an oven has three dimensions: length, width, height")
            .at(item.span, "")
            .help("write `oven = [\"1200 mm\", \"600 mm\", \"600 mm\"]`"),
    );
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Sources;
    use crate::entry::Coating;
    use crate::quantity::Quantity;

    fn read_text(text: &str) -> Result<Shop, Vec<Finding>> {
        read(Sources::default().add("shop.toml", text), text, &Tables::shipped())
    }

    fn codes(text: &str) -> Vec<&'static str> {
        read_text(text).unwrap_err().iter().map(|f| f.code).collect()
    }

    const MEASURED: &str = "[[measured]]\nmaterial = \"s235\"\nthickness = \"4 mm\"\n\
        v = \"32 mm\"\ndeduction = \"7.9 mm\"\nradius = \"5.1 mm\"\n";

    #[test]
    fn a_measured_bend_gives_its_k_and_is_found_by_its_sheet() {
        let shop = read_text(MEASURED).unwrap();
        let found = shop.measured("S235", 4.0, 40.0).unwrap();
        assert!((found.k - brake_k()).abs() < 1e-12);
        assert_eq!(shop.measured("S235", 3.0, 32.0), None);
        assert_eq!(shop.measured("304", 4.0, 32.0), None);
    }

    /// The first would always be used: a second is reported with the positions of both.
    #[test]
    fn a_second_row_of_one_sheet_and_v_is_refused() {
        let second = |thickness: &str, v: &str| {
            let row = MEASURED.replace("4 mm", thickness).replace("32 mm", v);
            read_text(&format!("{MEASURED}{row}"))
        };
        for thickness in ["4 mm", "4.05 mm"] {
            let findings = second(thickness, "32 mm").unwrap_err();
            assert_eq!(findings.iter().map(|f| f.code).collect::<Vec<_>>(), ["duplicate-row"]);
            assert_eq!(findings[0].marks.len(), 2);
            assert!(findings[0].marks[0].span.start > findings[0].marks[1].span.start);
        }
        assert_eq!(second("4.1 mm", "32 mm").unwrap().measured.len(), 2);
        assert_eq!(second("4 mm", "25 mm").unwrap().measured.len(), 2);
    }

    /// A row of which something is missing has no unknown keys by that.
    #[test]
    fn a_row_is_read_to_its_end_whatever_is_wrong_with_it() {
        let more = "springback = \"2 deg\"\nstrips = 3\nscatter = \"0.1 mm\"\n";
        assert!(read_text(&format!("{MEASURED}{more}")).is_ok());
        let missing = MEASURED.replace("v = \"32 mm\"\n", "");
        assert_eq!(codes(&format!("{missing}{more}")), ["missing-key"]);
        let wrong = MEASURED.replace("7.9", "27.9");
        assert_eq!(codes(&format!("{wrong}{more}")), ["measured-bend"]);
    }

    /// Scatter and the number of strips it is of: both or neither, and of one strip there is none.
    #[test]
    fn scatter_and_strips_go_together() {
        let with = |more: &str| codes(&format!("{MEASURED}{more}"));
        assert_eq!(with("scatter = \"0.1 mm\"\n"), ["missing-key"]);
        assert_eq!(with("strips = 3\n"), ["missing-key"]);
        assert_eq!(with("strips = 1\nscatter = \"0.1 mm\"\n"), ["out-of-range"]);
        assert_eq!(with("strips = 0\nscatter = \"0.1 mm\"\n"), ["wrong-kind"]);
    }

    fn brake_k() -> f64 {
        crate::brake::measured_k(4.0, 5.1, 7.9)
    }

    /// A coating is a thickness, one of the table with its limits, or these.
    #[test]
    fn a_coating_has_its_own_thinnest_and_thickest_film() {
        let coating = |text: &str| read_text(&format!("coating = {text}\n"));
        let shop = |text: &str| coating(text).unwrap().coating.unwrap();
        assert_eq!(shop("\"0.08 mm\""), Coating::of(0.08, None));
        assert_eq!(shop("\"powder\""), Coating::of(0.08, Some([0.06, 0.1])));
        let own = shop("{ min = \"0.05 mm\", max = \"0.09 mm\" }");
        assert_eq!(own.films, Some([0.05, 0.09]));
        assert!((own.film - 0.07).abs() < 1e-12);
        let code = |text: &str| coating(text).unwrap_err()[0].code;
        assert_eq!(code("{ min = \"0.1 mm\", max = \"0.09 mm\" }"), "out-of-range");
        assert_eq!(code("{ min = \"0.1 mm\" }"), "missing-key");
    }

    /// A foil cutter may cut thinner sheet than the table says.
    #[test]
    fn the_thinnest_sheet_of_a_process_is_one_of_the_own_figures() {
        let text = "[[cutting]]\nprocess = \"laser\"\nmin_thickness = \"0.2 mm\"\n";
        let own = &read_text(text).unwrap().cutting[0].fields;
        assert_eq!((own[0].0.as_str(), own[0].1.value), ("min_thickness", 0.2));
    }

    #[test]
    fn own_figures_of_cutting_are_those_of_the_process_row() {
        let text = "[[cutting]]\nprocess = \"laser\"\nkerf = \"0.3 mm\"\nmin_hole_ratio = 0.8\n";
        let shop = read_text(text).unwrap();
        let own: Vec<(&str, Quantity)> =
            shop.cutting[0].fields.iter().map(|(name, q)| (name.as_str(), *q)).collect();
        assert_eq!(own.len(), 2);
        assert_eq!((own[0].0, own[0].1.value), ("kerf", 0.3));
        assert_eq!(codes(&text.replace("\"0.3 mm\"", "\"3 deg\"")), ["wrong-unit"]);
        assert_eq!(codes(&text.replace("kerf", "kref")), ["unknown-key"]);
    }

    #[test]
    fn all_that_is_wrong_is_said_at_once() {
        assert_eq!(codes(&MEASURED.replace("7.9", "27.9")), ["measured-bend"]);
        assert_eq!(
            codes("oven = [\"1 m\"]\nbend_method = 0.8\ndrills = [\"0 mm\"]"),
            ["unknown-word", "out-of-range", "wrong-kind"]
        );
        assert_eq!(codes("bend_sources = [\"shop\", \"shop\", \"hope\"]"), ["unknown-word"; 2]);
        let brake = "[[brake]]\nname = \"b\"\nkind = \"press\"\nlength = \"1 m\"\n";
        assert_eq!(codes(brake), ["missing-key"; 6]);
        assert_eq!(codes(&brake.replace("press", "hammer")), ["missing-key", "unknown-word"]);
    }

    #[test]
    fn a_brake_says_its_radii_its_ram_and_the_metal_it_is_rated_for() {
        let text = include_str!("../../parts/shop.toml");
        let own = text.replacen(
            "max_thickness = \"2 mm\"",
            "min_radius = \"1 mm\"\nmax_radius = \"8 mm\"\nrated_for = \"304\"\nmax_thickness = \"2 mm\"",
            1,
        );
        let shop = read_text(&format!("clearance = \"2 mm\"\n{own}")).unwrap();
        let brake = &shop.brakes[0];
        assert_eq!((brake.min_radius, brake.max_radius), (Some(1.0), Some(8.0)));
        assert!((brake.rated_for - 700.0).abs() < 1e-9, "{}", brake.rated_for);
        assert_eq!(shop.clearance, Some(2.0));
        assert!((shop.brakes[1].rated_for - crate::brake::MILD_STEEL).abs() < 1e-9);
        let bare = text.lines().filter(|line| !line.starts_with("ram "));
        assert_eq!(codes(&bare.collect::<Vec<_>>().join("\n")), ["missing-key"]);
    }

    #[test]
    fn a_section_that_crosses_itself_is_no_tool() {
        let text = include_str!("../../parts/shop.toml");
        let bad = text.replacen("[\"-45 mm\", \"160 mm\"]", "[\"-45 mm\", \"-50 mm\"]", 1);
        assert_ne!(bad, text);
        assert_eq!(codes(&bad), ["tool-section"]);
        let twice = text.replace("\"finger brake\"", "\"straight brake\"");
        assert_eq!(codes(&twice), ["duplicate-name"]);
    }
}
