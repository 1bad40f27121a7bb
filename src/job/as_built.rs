//! `[[as_built]]`: what was measured on a part that was made.

use crate::check::Limits;
use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead;
use crate::document;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry;
use crate::fit::cut_tolerance;
use crate::fit::sheet_tolerance;
use crate::job::sheet::Sheet;
use crate::quantity::Dimension;
use crate::table::Row;
use crate::table::Tables;

/// What is measured on a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// Between the ears of a clevis.
    Gap,
    /// The outside length of a face square to a bend, to the mould line.
    Outside,
    /// A bend angle, from flat.
    Angle,
    /// The inside radius of a bend.
    Radius,
    /// Between the axes of two holes.
    Holes,
    /// The diameter of a hole.
    Hole,
    /// The thickness of the metal.
    Thickness,
}

impl What {
    /// All, by the word a job has for them.
    pub const WORDS: [(&'static str, Self); 7] = [
        ("gap", Self::Gap),
        ("outside", Self::Outside),
        ("angle", Self::Angle),
        ("radius", Self::Radius),
        ("holes", Self::Holes),
        ("hole", Self::Hole),
        ("thickness", Self::Thickness),
    ];

    /// Its word.
    pub fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, what)| *what == self).map_or("", |(word, _)| *word)
    }

    /// How many names `of` has: the fewest and the most.
    const fn names(self) -> [usize; 2] {
        match self {
            Self::Gap | Self::Thickness => [0, 0],
            Self::Outside => [1, 2],
            Self::Angle | Self::Radius | Self::Hole => [1, 1],
            Self::Holes => [2, 2],
        }
    }

    /// What `of` names, as it could be written.
    const fn example(self) -> &'static str {
        match self {
            Self::Gap | Self::Thickness => "",
            Self::Outside => {
                "`of = \"leg\"`, a face, or `of = [\"base\", \"heel\"]`, a face and the bend that ends it"
            }
            Self::Angle | Self::Radius => "`of = \"heel\"`, a bend",
            Self::Holes => "`of = [\"left\", \"right\"]`, two holes",
            Self::Hole => "`of = \"eye\"`, a hole",
        }
    }

    /// Standard deviation of a reading where the job does not say: a caliper 0.05 mm, an angle gauge
    /// 0.25°, a set of radius gauges 0.25 mm. Our choice, after common practice.
    pub const fn usual(self) -> f64 {
        match self {
            Self::Angle | Self::Radius => 0.25,
            _ => 0.05,
        }
    }

    /// Whether it is an angle, degrees; a length in mm else.
    pub fn is_angle(self) -> bool {
        self == Self::Angle
    }
}

/// One measurement, on one piece.
#[derive(Clone, Debug)]
pub struct BuiltMeasure {
    /// Name of the part.
    pub part: (String, Span),
    /// Which piece of it, from 1.
    pub piece: u32,
    /// What was measured.
    pub what: What,
    /// Of which faces, bends or holes.
    pub of: Vec<(String, Span)>,
    /// What it is: the mean of the readings, mm or degrees.
    pub is: f64,
    /// The position of that.
    pub is_span: Span,
    /// Standard deviation of that mean.
    pub uncertainty: f64,
    /// Whether it was measured over the coating.
    pub coated: bool,
    /// Bend deduction at 90° by which its flat was cut, mm, where that is not the present one.
    pub deduction: Option<f64>,
}

/// The assumed deviation of what nobody measured, as standard deviations: half of each tolerance of
/// the tables. Our choice: a tolerance covers 95 % of production.
#[derive(Clone, Debug, Default)]
pub struct Spreads {
    /// Place of a bend line, mm.
    pub line: f64,
    /// Angle of one bend beside that of the next, degrees.
    pub angle: f64,
    /// Coating thickness on a face where the coating has no range, mm.
    pub film: f64,
    /// Thickness, by sheet of the job, mm.
    pub thickness: Vec<f64>,
    /// A cut edge, by sheet of the job, mm.
    pub cut: Vec<f64>,
}

/// A length whose cut tolerance is used for all: its two ends have half of it each. Our choice:
/// parts here are that long.
const LONG: f64 = 60.0;

impl Spreads {
    pub(super) fn read(sheets: &[Sheet], process: &Row, limits: &Limits, tables: &Tables) -> Self {
        let row = |name: &str| tables.row("tolerance", name);
        let half = |name: &str| row(name).map_or(0.0, |row| row.measure("length") / 2.0);
        let thickness = sheets.iter().map(|of| sheet_tolerance(of.thickness, tables) / 2.0);
        let cut_of = |of: &Sheet| {
            let of_length = || cut_tolerance(process.name(), of.thickness, LONG, tables) / 2.0;
            limits.cut.unwrap_or_else(of_length) / 2.0
        };
        Self {
            line: half("bend"),
            angle: row("bend").map_or(0.0, |row| row.measure("angle") / 2.0),
            film: half("coating"),
            thickness: thickness.collect(),
            cut: sheets.iter().map(cut_of).collect(),
        }
    }
}

/// Maximum number of readings of one dimension, and of pieces of a part. Our choice.
const MAX: u32 = 100;

/// What a measurement may speak of.
struct MeasureContext<'a> {
    /// The names of all lines.
    names: &'a [&'a str],
    /// Whether anything is coated.
    is_coated: bool,
    /// Whether all before could be read: else what a measurement speaks of may be what is missing.
    complete: bool,
}

/// Reads all that was measured; each names a part of the job.
pub(super) fn read(
    fields: &Fields,
    names: &[&str],
    is_coated: bool,
    complete: bool,
) -> Vec<BuiltMeasure> {
    let findings = fields.findings();
    let known = MeasureContext { names, is_coated, complete };
    let one = |item: &Item| {
        let fields = Fields::of(item, findings)?;
        let measure = measure(&fields, item.span, &known);
        fields.finish();
        measure
    };
    fields.list("as_built").iter().filter_map(one).collect()
}

fn measure(fields: &Fields, here: Span, known: &MeasureContext) -> Option<BuiltMeasure> {
    let findings = fields.findings();
    let part = fields.need("part", "\"angle-pump\"");
    let part = part.and_then(|item| part_name(item, known, findings));
    let what = fields.need("what", "\"outside\"").and_then(|item| what(item, findings));
    fields.get("of");
    let of = what.and_then(|what| of(fields, what, here));
    let is = fields.need("is", "\"40.3 mm\"").map(|item| (item, what));
    let is = is.and_then(|(item, what)| Some((readings(item, what?, findings)?, item.span)));
    let own = |name: &str| {
        let item = fields.get(name)?;
        Some(what.and_then(|what| above_zero(item, what.is_angle(), name, findings)))
    };
    let uncertainty = match own("uncertainty") {
        Some(own) => own,
        None => what.map(What::usual),
    };
    let piece = fields.count_from("piece", 1, MAX).unwrap_or(1);
    let coated = fields.flag("coated") && has_coating(fields, known);
    let deduction = fields.get("deduction");
    let deduction = deduction.map(|item| above_zero(item, false, "deduction", findings));
    let (what, (values, is_span)) = (what?, is?);
    Some(BuiltMeasure {
        part: part?,
        piece,
        what,
        of: of?,
        is: values.iter().sum::<f64>() / values.len() as f64,
        is_span,
        uncertainty: uncertainty? / (values.len() as f64).sqrt(),
        coated,
        deduction: deduction.unwrap_or_default(),
    })
}

/// Whether there is a coating that could be measured over; a finding where there is none.
fn has_coating(fields: &Fields, known: &MeasureContext) -> bool {
    if let Some(item) = fields.get("coated").filter(|_| known.complete && !known.is_coated) {
        let finding = Finding::stop("missing-key", "this job has no coating to measure over");
        fields.add(
            finding.at(item.span, "").help(
                "add the coating thickness to the job, such as `coating = \"0.08 mm\"`, or remove `coated`",
            ),
        );
    }
    known.is_coated
}

/// The name of a part: that of a line, with its suffix.
fn part_name(item: &Item, known: &MeasureContext, findings: &Findings) -> Option<(String, Span)> {
    let Some(wanted) = item.text() else {
        findings.add(document::wrong_kind(item, "the name of a part"));
        return None;
    };
    let names = known.names;
    if known.complete && !names.iter().any(|name| wanted.starts_with(name)) {
        let headline = format!("there is no part `{wanted}` to measure");
        let help = instead(wanted, names, "choose from");
        findings.add(Finding::stop("unknown-part", headline).at(item.letters, "").help(help));
        return None;
    }
    Some((wanted.to_owned(), item.letters))
}

fn what(item: &Item, findings: &Findings) -> Option<What> {
    let found = item.text().and_then(|text| What::WORDS.iter().find(|(word, _)| *word == text));
    if found.is_none() {
        let words: Vec<&str> = What::WORDS.iter().map(|(word, _)| *word).collect();
        let typed = item.text().unwrap_or_default();
        let headline = "this cannot be measured on a part";
        let help = instead(typed, &words, "`what` is one of");
        findings.add(Finding::stop("unknown-word", headline).at(item.letters, "").help(help));
    }
    found.map(|(_, what)| *what)
}

/// The names it is measured on.
fn of(fields: &Fields, what: What, here: Span) -> Option<Vec<(String, Span)>> {
    let item = fields.get("of");
    let items: Vec<&Item> = match item.map(|item| &item.value) {
        None => Vec::new(),
        Some(Value::List(items)) => items.iter().collect(),
        Some(_) => item.into_iter().collect(),
    };
    let [min, max] = what.names();
    if !(min..=max).contains(&items.len()) {
        let headline = match (max, items.len()) {
            (0, _) => format!("`{}` applies to the whole part", what.word()),
            (_, 0) => format!("`{}` needs `of`", what.word()),
            (_, n) => {
                let names = if n == 1 { "name" } else { "names" };
                let takes = if min == max { max.to_string() } else { format!("{min} or {max}") };
                format!("`of` has {n} {names}, `{}` takes {takes}", what.word())
            }
        };
        let help = match max {
            0 => "remove `of`".to_owned(),
            _ => format!("write {}", what.example()),
        };
        let at = item.map_or(here, |item| item.span);
        fields.add(Finding::stop("missing-key", headline).at(at, "").help(help));
        return None;
    }
    let mut names = Vec::new();
    for item in items {
        match item.text() {
            Some(text) => names.push((text.to_owned(), item.letters)),
            None => {
                fields.add(document::wrong_kind(item, "a name in quotes"));
                return None;
            }
        }
    }
    Some(names)
}

/// One reading, or several.
fn readings(item: &Item, what: What, findings: &Findings) -> Option<Vec<f64>> {
    let items: Vec<&Item> = match &item.value {
        Value::List(items) => items.iter().collect(),
        _ => vec![item],
    };
    if items.is_empty() || items.len() > MAX as usize {
        let headline = format!("`is` has 1 to {MAX} readings");
        findings.add(
            Finding::stop("wrong-kind", headline)
                .at(item.span, "")
                .help("write `is = \"40.3 mm\"`"),
        );
        return None;
    }
    let read = |item: &&Item| reading(item, what, findings);
    let values: Vec<f64> = items.iter().filter_map(read).collect();
    (values.len() == items.len()).then_some(values)
}

fn reading(item: &Item, what: What, findings: &Findings) -> Option<f64> {
    let value = above_zero(item, what.is_angle(), what.word(), findings)?;
    if what.is_angle() && value >= 180.0 {
        let headline = format!("a bend angle is less than 180°, not {value}°");
        let finding = Finding::stop("out-of-range", headline).at(item.letters, "");
        findings.add(finding.help(
            "bend angles are measured from flat: 180° less the protractor reading between the legs",
        ));
        return None;
    }
    Some(value)
}

/// A length or an angle of more than 0.
fn above_zero(item: &Item, is_angle: bool, name: &str, findings: &Findings) -> Option<f64> {
    let (dimension, words, unit) = match is_angle {
        true => (Dimension::ANGLE, "an angle", "deg"),
        false => (Dimension::LENGTH, "a length", "mm"),
    };
    let value = entry::measure(item, dimension, words, unit, findings)?;
    if value > 0.0 {
        return Some(value);
    }
    let headline = format!("`{name}` must be more than 0 {unit}");
    let finding = Finding::stop("out-of-range", headline).at(item.letters, "");
    findings.add(finding.help("write what the gauge shows"));
    None
}
