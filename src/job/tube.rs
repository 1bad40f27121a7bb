//! `[[tube]]`: tubes cut to length, their ends coped to the tubes they meet.

use crate::cope::Cope;
use crate::cope::CopeError;
use crate::cope::Cut;
use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;
use crate::document;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::entry;
use crate::entry::unfit_for_files;
use crate::entry::unfit_name;
use crate::link::Link;
use crate::num;
use crate::num::Angle;
use crate::quantity::Dimension;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// A tube of the job.
#[derive(Clone, Debug)]
pub struct CopedTube {
    /// Its name.
    pub name: String,
    /// How many.
    pub quantity: u32,
    /// Its metal, where it is given.
    pub material: Option<Arc<Row>>,
    /// Outside diameter, mm.
    pub outside: f64,
    /// Wall, mm.
    pub wall: f64,
    /// From axis to axis of the mains, or to an end that is cut square, mm.
    pub length: f64,
    /// How far the heel of the far end is turned from that of the start, clockwise as seen
    /// along the tube from the start.
    pub twist: Angle,
    /// The start and the far end; `None` is cut square.
    pub ends: [Option<Cope>; 2],
    /// The lengths that caps deduct from its two ends, mm.
    pub(crate) capped: [f64; 2],
    /// The tube whose mirror image it is, for the other side of the machine; none of one that the job has.
    pub(crate) other_side_of: Option<String>,
    /// The position of its name.
    pub here: Span,
}

/// The keys of the two ends, which are their names as well.
pub(crate) const ENDS: [&str; 2] = ["start", "end"];

/// Maximum quantity of one tube. Our choice.
const MAX: u32 = 10_000;

impl CopedTube {
    /// The tube of a link, cut square between the shoulders of its bungs.
    pub(crate) fn of_link(link: &Link) -> Self {
        Self {
            name: link.name.clone(),
            quantity: link.quantity,
            material: link.material.clone(),
            outside: link.tube.measure("outside"),
            wall: link.tube.measure("wall"),
            length: link.setting().cut,
            twist: Angle::ZERO,
            ends: [None, None],
            capped: [0.0, 0.0],
            other_side_of: None,
            here: link.places.name,
        }
    }

    /// Half of the pieces are made as they are, the others by this name for the other side of the machine.
    pub(crate) fn with_other_side(&self, name: String) -> [Self; 2] {
        let half = Self { quantity: self.quantity / 2, ..self.clone() };
        let other = Self {
            name,
            twist: Angle::from_degrees(-self.twist.degrees()),
            ends: [0, 1].map(|end| self.ends[end].as_ref().map(Cope::mirrored)),
            other_side_of: Some(self.name.clone()),
            ..half.clone()
        };
        [half, other]
    }

    /// The name by which the job has it.
    pub(crate) fn in_job(&self) -> &str {
        self.other_side_of.as_deref().unwrap_or(&self.name)
    }

    /// Over all, from long point to long point, mm.
    pub(crate) fn cut_length(&self) -> f64 {
        let coped: f64 = self.ends.iter().flatten().map(Cope::long).sum();
        self.length - coped - self.caps()
    }

    /// Between the short points of both ends, mm.
    pub(crate) fn short_length(&self) -> f64 {
        let coped: f64 = self.ends.iter().flatten().map(Cope::short).sum();
        self.length - coped - self.caps()
    }

    /// How far one end as cut, at its long point, is from the axis it meets or from the end over all, mm.
    pub(crate) fn off(&self, end: usize) -> f64 {
        self.ends[end].as_ref().map_or(0.0, Cope::long) + self.capped[end]
    }

    /// The total length that the caps of both ends deduct, mm.
    fn caps(&self) -> f64 {
        self.capped.iter().sum()
    }

    /// The angle φ at which the other end's heel lies, at each end.
    ///
    /// φ turns with the axis that leads away from the main, so seen from the far end it
    /// counts the other way and the twist is the same at both.
    pub(crate) fn other_heel(&self, end: usize) -> Option<Angle> {
        let other = self.ends[1 - end].as_ref();
        other.map(|_| self.twist)
    }

    /// Mass of one as a straight tube of the cut length, kg, where the metal is known.
    pub(crate) fn mass(&self) -> Option<f64> {
        let density = self.material.as_ref()?.measure("density");
        let area = num::PI * self.wall * (self.outside - self.wall);
        Some(area * self.cut_length() * density)
    }
}

/// Reads all tubes of a job.
pub(super) fn read(items: &[Item], findings: &Findings, tables: &Tables) -> Vec<CopedTube> {
    let one = |item: &Item| {
        let fields = Fields::of(item, findings)?;
        let tube = tube(&fields, item.span, tables);
        fields.finish();
        tube
    };
    let tubes: Vec<CopedTube> = items.iter().filter_map(one).collect();
    for tube in &tubes {
        if let Some(words) = unfit_for_files(&tube.name) {
            let finding = unfit_name(&tube.name, words, tube.here);
            findings.add(finding.about(About::Tube(tube.name.clone())));
        }
    }
    let fit = tubes.iter().filter(|tube| unfit_for_files(&tube.name).is_none());
    let named = fit.map(|tube| (tube.name.as_str(), tube.here));
    entry::file_names_differ("tubes", named, findings);
    tubes
}

fn tube(fields: &Fields, here: Span, tables: &Tables) -> Option<CopedTube> {
    let findings = fields.findings();
    let name = fields.needed_text("name", "\"cross-brace\"").map(str::to_owned);
    let named = fields.get("name").map_or(here, |i| i.letters);
    let quantity = if fields.has("quantity") { fields.count("quantity", MAX) } else { Some(1) };
    let material = fields.get("material").and_then(|i| entry::row(i, "material", tables, findings));
    let size = size(fields, tables);
    let length = fields.need("length", "\"600 mm\"").and_then(|i| entry::length(i, findings));
    let twist = angle(fields, "twist").unwrap_or(0.0);
    let cut = cut(fields);
    let end = |name: &str| end(fields, name, size, cut, tables);
    let ends = [end(ENDS[0]), end(ENDS[1])];
    let (outside, wall) = size?;
    let [start, far] = ends;
    let tube = CopedTube {
        name: name?,
        quantity: quantity?,
        material,
        outside,
        wall,
        length: length?,
        twist: Angle::from_degrees(twist),
        ends: [start?, far?],
        capped: [0.0; 2],
        other_side_of: None,
        here: named,
    };
    if tube.short_length() > 0.0 {
        return Some(tube);
    }
    let span = fields.get("length").map_or(here, |i| i.letters);
    let short = num::text(tube.length - tube.short_length(), 3);
    findings.add(
        Finding::stop("out-of-range", "the ends of the tube overlap")
            .about(About::Tube(tube.name))
            .at(span, "")
            .note("`length` goes from axis to axis of the tubes it meets")
            .help(format!("make `length` more than {short} mm")),
    );
    None
}

fn angle(fields: &Fields, name: &str) -> Option<f64> {
    let item = fields.get(name)?;
    entry::measure(item, Dimension::ANGLE, "an angle", "deg", fields.findings())
}

/// How the ends are cut.
fn cut(fields: &Fields) -> Cut {
    match fields.get("cut").map(|i| (i, i.text())) {
        None | Some((_, Some("fitted"))) => Cut::Fitted,
        Some((_, Some("square"))) => Cut::Square,
        Some((item, _)) => {
            fields.add(
                Finding::stop("unknown-word", "`cut` is `fitted` or `square`")
                    .at(item.span, "")
                    .note(
                        "fitted: both edges of the wall follow the main, as a hole saw leaves them",
                    )
                    .note("square: cut square through the wall, so that the inside touches first")
                    .help("write `cut = \"fitted\"`"),
            );
            Cut::Fitted
        }
    }
}

/// An end of a tube of an outside diameter and wall: `None` if it cannot be read, an inner `None`
/// if it is cut square.
fn end(
    fields: &Fields,
    name: &str,
    size: Option<(f64, f64)>,
    cut: Cut,
    tables: &Tables,
) -> Option<Option<Cope>> {
    let findings = fields.findings();
    let Some(item) = fields.get(name) else { return Some(None) };
    if item.text() == Some("square") {
        return Some(None);
    }
    if let Some(text) = item.text() {
        findings.add(
            document::wrong_kind(item, "a table, or `\"square\"`,")
                .help(format!("write `{name} = {{ main = \"{text}\" }}`")),
        );
        return None;
    }
    let fields = Fields::of(item, findings)?;
    let main = fields.need("main", "\"60.3 x 2.9\"").and_then(|i| main(i, tables, findings));
    let angle = angle(&fields, "angle").unwrap_or(90.0);
    let offset = fields
        .get("offset")
        .map(|i| entry::measure(i, Dimension::LENGTH, "a length", "mm", findings));
    let (said_angle, said_offset) = (fields.get("angle"), fields.get("offset"));
    fields.finish();
    let (outside, wall) = size?;
    let offset = offset.unwrap_or(Some(0.0))?;
    let cope = Cope::new(main?, outside, wall, Angle::from_degrees(angle), offset, cut);
    cope.map_err(|error| findings.add(refused(error, said_angle, said_offset, item))).ok().map(Some)
}

/// Outside and wall: of a row of the table, or said one by one.
fn size(fields: &Fields, tables: &Tables) -> Option<(f64, f64)> {
    let findings = fields.findings();
    if let Some(item) = fields.get("tube") {
        if let Value::List(_) = &item.value {
            findings.add(
                document::wrong_kind(item, "one size")
                    .note("no load on a coped tube is judged, so its size cannot be chosen")
                    .help("name one row of the `tube` table: `tube = \"38 x 2\"`"),
            );
            return None;
        }
        let row = entry::row(item, "tube", tables, findings)?;
        return round(item, &row, COPED, findings).map(|outside| (outside, row.measure("wall")));
    }
    let above = |name: &str, example: &str| {
        let item = fields.need(name, example)?;
        let mm = entry::length(item, findings)?;
        if mm > 0.0 {
            return Some(mm);
        }
        findings.add(
            Finding::stop("out-of-range", format!("`{name}` must be more than 0 mm"))
                .at(item.letters, "")
                .help(format!("write `{name} = {example}`")),
        );
        None
    };
    if !fields.has("outside") && !fields.has("wall") {
        fields.need("tube", "\"38 x 2\"");
        return None;
    }
    let (outside, wall) = (above("outside", "\"38 mm\""), above("wall", "\"2 mm\""));
    let (outside, wall) = (outside?, wall?);
    if 2.0 * wall < outside {
        return Some((outside, wall));
    }
    findings.add(
        Finding::stop("out-of-range", CopeError::Wall { wall, outside }.to_string())
            .at(fields.get("wall").map_or(fields.here, |i| i.letters), "")
            .help("make `wall` less than half of `outside`"),
    );
    None
}

/// Why a tube that is not round cannot be coped.
const COPED: &str = "only round tubes are coped; against a flat side the end is cut straight";

/// The outside of a row that is round; `help` is for one that is not.
pub(super) fn round(item: &Item, row: &Row, help: &str, findings: &Findings) -> Option<f64> {
    if row.text("shape") == Some("round") {
        return Some(row.measure("outside"));
    }
    findings.add(
        Finding::stop("wrong-kind", format!("tube `{}` is not round", row.name()))
            .at(item.letters, "")
            .help(help),
    );
    None
}

/// The outside diameter of the main: a length, or a row of the table of tubes.
fn main(item: &Item, tables: &Tables, findings: &Findings) -> Option<f64> {
    let Some(text) = item.text() else {
        findings.add(document::wrong_kind(item, "a tube or its outside diameter"));
        return None;
    };
    if tables.row("tube", text).is_none() && crate::quantity::read(text).is_ok() {
        return entry::length(item, findings);
    }
    let row = entry::row(item, "tube", tables, findings)?;
    round(item, &row, COPED, findings)
}

fn refused(error: CopeError, angle: Option<&Item>, offset: Option<&Item>, end: &Item) -> Finding {
    let (at, help) = match error {
        CopeError::Angle(_) => (
            angle.unwrap_or(end),
            "give the smaller angle between the axes; rotate the end by `twist` to lean it the other way",
        ),
        CopeError::Wider { .. } if offset.is_some() => {
            (offset.unwrap_or(end), "make `offset` smaller, or use a larger main")
        }
        CopeError::Wider { .. } => {
            (end, "cope the other tube to this one, or use a smaller branch")
        }
        CopeError::Size | CopeError::Wall { .. } => (end, "give sizes of more than 0 mm"),
    };
    Finding::stop("cope", format!("this end cannot be coped: {error}")).at(at.span, "").help(help)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Sources;

    fn tube(twist: f64) -> CopedTube {
        let end = |angle| {
            let angle = Angle::from_degrees(angle);
            Some(Cope::new(60.3, 48.3, 2.6, angle, 0.0, Cut::Fitted).unwrap())
        };
        CopedTube {
            name: "cross".into(),
            quantity: 1,
            material: None,
            outside: 48.3,
            wall: 2.6,
            length: 820.0,
            twist: Angle::from_degrees(twist),
            ends: [end(90.0), end(60.0)],
            capped: [0.0; 2],
            other_side_of: None,
            here: Span { source: Sources::default().add("", ""), start: 0, end: 0 },
        }
    }

    /// In space: the axis runs along z from the start, whose heel lies at x. Clockwise as
    /// seen from the start is from x to y. At each end φ turns about the axis that leads away
    /// from its main, from its own heel.
    #[test]
    fn each_template_shows_where_the_heel_of_the_other_end_lies() {
        for twist in [0.0, 30.0, 90.0, -45.0, 170.0] {
            let tube = tube(twist);
            let direction = |a: Angle| [a.cos(), a.sin()];
            let heels = [direction(Angle::ZERO), direction(tube.twist)];
            for (end, turns) in [(0, 1.0), (1, -1.0)] {
                let phi = tube.other_heel(end).unwrap();
                let own = heels[end];
                let side = [-turns * own[1], turns * own[0]];
                let shown = [0, 1].map(|i| own[i] * phi.cos() + side[i] * phi.sin());
                let other = heels[1 - end];
                let off = (shown[0] - other[0]).abs() + (shown[1] - other[1]).abs();
                assert!(off < 1e-12, "twist {twist}, end {end}: {shown:?} {other:?}");
            }
        }
    }

    /// By hand: at 90° the long point lies √(30.15² − 24.15²) = 18.0499 before the node, the
    /// short one 30.15. At 60° the throat lies (30.15 + 24.15 cos 60°) / sin 60° = 48.7572
    /// before it, and the long point as at 90°: where s is a minimum, R² − r² remains of it.
    #[test]
    fn lengths_run_from_the_points_to_the_nodes() {
        let tube = tube(0.0);
        assert!((tube.cut_length() - (820.0 - 2.0 * 18.049_931)).abs() < 1e-5);
        assert!((tube.short_length() - (820.0 - 30.15 - 48.757_230)).abs() < 1e-5);
    }
}
