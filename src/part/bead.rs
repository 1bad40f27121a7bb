//! The beads of a face, as numbers.

use crate::diag::Finding;
use crate::diag::Span;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num;
use crate::num::Angle;
use crate::part::values::Values;
use crate::recipe;
use crate::recipe::BeadSection;
use crate::recipe::Side;

/// Largest change of direction of a bead at a point, degrees. Our choice: a roller follows no
/// sharper corner.
const TURN: f64 = 90.0;

/// A bead of a face, mm.
#[derive(Clone, Debug)]
pub struct Bead {
    /// Its name, with a number where there are several.
    pub name: String,
    /// The points of its centre line, straight from each to the next. Its round ends reach half
    /// its width beyond.
    pub line: Vec<Point>,
    /// Across, where it leaves the sheet.
    pub width: f64,
    /// Its height above the sheet.
    pub depth: f64,
    /// Its section.
    pub section: BeadSection,
    /// The side on which it projects.
    pub side: Side,
    /// Its entry in the recipe.
    pub span: Span,
    /// The names it depends on.
    pub depends: Vec<String>,
}

impl Bead {
    /// Its centre line.
    pub fn edges(&self) -> Vec<Edge> {
        self.line.windows(2).map(|two| Edge::line(two[0], two[1])).collect()
    }

    /// Whether it projects from the top side.
    pub(crate) fn is_up(&self) -> bool {
        self.side == Side::Up
    }

    /// The radius of a round section, mm.
    fn radius(&self) -> f64 {
        let (half, depth) = (self.width / 2.0, self.depth);
        (half * half + depth * depth) / (2.0 * depth)
    }

    /// The height of its outside above the sheet, at a distance from its line, mm.
    pub(crate) fn height(&self, off: f64) -> f64 {
        let (half, depth) = (self.width / 2.0, self.depth);
        match self.section {
            BeadSection::V => depth * (1.0 - off / half),
            BeadSection::Round => {
                let radius = self.radius();
                (radius * radius - off * off).max(0.0).sqrt() - (radius - depth)
            }
        }
    }

    /// Length of its centre line and its two ends.
    pub fn length(&self) -> f64 {
        self.edges().iter().map(Edge::length).sum::<f64>() + self.width
    }

    /// How much longer its section is than its width, as a share of that: the required stretch of
    /// the sheet where it cannot draw in.
    pub fn stretch(&self) -> f64 {
        let (half, depth) = (self.width / 2.0, self.depth);
        let developed = match self.section {
            BeadSection::V => 2.0 * num::hypot(half, depth),
            BeadSection::Round => {
                let radius = self.radius();
                2.0 * radius * Angle::of(radius - depth, half).radians()
            }
        };
        developed / self.width - 1.0
    }

    /// Where it leaves the sheet: along one side of its line, round its end, back and round its
    /// beginning.
    pub fn outline(&self) -> Vec<Edge> {
        let (left, right) = (self.beside(1.0), self.beside(-1.0));
        let mut edges: Vec<Edge> = right.windows(2).map(|two| Edge::line(two[0], two[1])).collect();
        let ends = [(right.last(), left.last()), (left.first(), right.first())];
        let round = |(from, to): (Option<&Point>, Option<&Point>)| {
            Some(Edge { from: *from?, to: *to?, bulge: 1.0 })
        };
        edges.extend(round(ends[0]));
        edges.extend(left.windows(2).rev().map(|two| Edge::line(two[1], two[0])));
        edges.extend(round(ends[1]));
        edges
    }

    /// The points half its width to the left of its line, or to the right, mitred.
    fn beside(&self, side: f64) -> Vec<Point> {
        let normals: Vec<Vec2> = self.line.windows(2).map(|two| normal(two[0], two[1])).collect();
        let at = |i: usize| {
            let before = normals[i.saturating_sub(1)];
            let after = normals[i.min(normals.len() - 1)];
            let out = (before + after) / (1.0 + before.dot(after));
            self.line[i] + out * (side * self.width / 2.0)
        };
        (0..self.line.len()).map(at).collect()
    }

    /// `bead 12 × 3, round, top side`.
    pub(crate) fn words(&self, show: &dyn Fn(f64) -> String) -> String {
        let [width, depth] = [self.width, self.depth].map(show);
        format!("bead {width} × {depth}, {}, {}", self.section.word(), self.side.word())
    }

    /// The same elsewhere, or on the other hand of the part.
    pub(super) fn moved(&self, place: &Place) -> Self {
        Self { line: self.line.iter().map(|p| place.apply(*p)).collect(), ..self.clone() }
    }
}

/// The direction to the left of a line, of length 1.
fn normal(from: Point, to: Point) -> Vec2 {
    let along = (to - from).normalize();
    Vec2::new(-along.y, along.x)
}

/// The beads of a face; `None` when something was reported.
pub(super) fn build(face: &recipe::Face, values: &Values) -> Option<Vec<Bead>> {
    let mut beads = Vec::new();
    for bead in &face.beads {
        let first = beads.len();
        values.each(bead.each.as_ref(), |values| {
            if values.holds(bead.when.as_ref())? {
                beads.push(one(bead, values)?);
            }
            Some(())
        })?;
        if bead.each.is_some() {
            let numbered = beads[first..].iter_mut().enumerate();
            numbered.for_each(|(i, made): (usize, &mut Bead)| {
                made.name = format!("{} {}", made.name, i + 1);
            });
        }
    }
    Some(beads)
}

fn one(bead: &recipe::Bead, values: &Values) -> Option<Bead> {
    let line: Option<Vec<Point>> = bead.line.iter().map(|point| values.point(point)).collect();
    let (line, width, depth) = (line?, values.length(&bead.width)?, values.length(&bead.depth)?);
    let refuse = |headline: String, help: String| {
        values.findings.add(Finding::stop("bead", headline).at(bead.span, "").help(help));
        None
    };
    let show = |mm: f64| values.params.units().length(mm);
    let name = &bead.name;
    if width <= 0.0 || depth <= 0.0 {
        let headline = format!("bead `{name}` is {} wide and {} deep", show(width), show(depth));
        return refuse(headline, "make both more than 0".into());
    }
    if depth > width / 2.0 {
        let [is, most] = [depth, width / 2.0].map(show);
        let headline = format!("bead `{name}` is {is} deep, more than half its width, {most}");
        return refuse(headline, "make it wider, or less deep".into());
    }
    let shortest = line.windows(2).map(|two| (two[1] - two[0]).hypot());
    let shortest = shortest.fold(f64::INFINITY, f64::min);
    if shortest < width {
        let [is, needed] = [shortest, width].map(show);
        let headline =
            format!("two points of bead `{name}` are {is} apart, less than its width, {needed}");
        return refuse(headline, "leave out one of them, or make the bead narrower".into());
    }
    let normals: Vec<Vec2> = line.windows(2).map(|two| normal(two[0], two[1])).collect();
    let turns = normals.windows(2).map(|two| num::acos(two[0].dot(two[1]).clamp(-1.0, 1.0)));
    let turn = turns.map(Angle::degrees).fold(0.0, f64::max);
    if turn > TURN + 1e-6 {
        let headline =
            format!("bead `{name}` turns by {}° at a point, more than {TURN}°", num::text(turn, 1));
        return refuse(headline, "go round the corner in two steps, or make two beads".into());
    }
    let names = bead.measures().flat_map(|expr| expr.formula.names()).map(str::to_owned).collect();
    Some(Bead {
        name: name.clone(),
        line,
        width,
        depth,
        section: bead.section,
        side: bead.side,
        span: bead.span,
        depends: values.outside(names, bead.span),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Sources;

    fn bead(section: BeadSection, depth: f64, line: &[[f64; 2]]) -> Bead {
        let source = Sources::default().add("recipe.toml", "");
        Bead {
            name: "a".into(),
            line: line.iter().map(|[x, y]| Point::new(*x, *y)).collect(),
            width: 12.0,
            depth,
            section,
            side: Side::Up,
            span: Span { source, start: 0, end: 0 },
            depends: Vec::new(),
        }
    }

    /// Half a circle is π / 2 as long as it is wide; a V as deep as half its width √2.
    #[test]
    fn sections_stretch_as_computed_by_hand() {
        let line = [[0.0, 0.0], [50.0, 0.0]];
        let round = bead(BeadSection::Round, 6.0, &line).stretch();
        let sharp = bead(BeadSection::V, 6.0, &line).stretch();
        assert!((round - (num::PI / 2.0 - 1.0)).abs() < 1e-12, "{round}");
        assert!((sharp - (2.0_f64.sqrt() - 1.0)).abs() < 1e-12, "{sharp}");
    }

    /// Round a corner of 90° the outline is closed, and as long as both sides and two half circles.
    #[test]
    fn an_outline_goes_round_its_line() {
        let bent = bead(BeadSection::Round, 3.0, &[[0.0, 0.0], [50.0, 0.0], [50.0, 40.0]]);
        let outline = bent.outline();
        for (edge, next) in outline.iter().zip(outline.iter().cycle().skip(1)) {
            assert!((edge.to - next.from).hypot() < 1e-9);
        }
        let length: f64 = outline.iter().map(Edge::length).sum();
        let by_hand = (56.0 + 46.0) + (44.0 + 34.0) + num::PI * 12.0;
        assert!((length - by_hand).abs() < 1e-9, "{length}, not {by_hand}");
        assert!((bent.length() - 102.0).abs() < 1e-9);
    }
}
