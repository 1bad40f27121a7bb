//! The text on a flat, in the order of placing.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Region;
use crate::num;
use crate::paper::clear::Clear;
use crate::paper::crossed::Leader;
use crate::paper::figures::times;
use crate::paper::flags;
use crate::paper::flags::End;
use crate::paper::plan::angles;
use crate::paper::plan::detail;
use crate::paper::plan::detail::View;
use crate::paper::plan::fine::Alike;
use crate::paper::plan::letters;
use crate::paper::plan::scale::Scale;
use crate::paper::plan::shape;
use crate::paper::plan::shape::Shape;
use crate::paper::plan::shown::Callout;
use crate::paper::plan::shown::Phantom;
use crate::paper::plan::shown::Plan;
use crate::paper::plan::shown::PlanBend;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Note;
use crate::paper::scene::Words;
use crate::paper::sheet::LARGE;
use crate::paper::sheet::SMALL;
use crate::paper::spot::Found;
use crate::paper::spot::Ring;
use crate::paper::spot::Spot;
use crate::paper::tag::Tag;
use crate::paper::tag::circle;

/// Where on a marked line a number may be, if there is no room at its middle: shares of its length.
const ALONG: [f64; 6] = [0.4, 0.6, 0.25, 0.75, 0.1, 0.9];

/// A direction is across a line if its share along it is less than this: of eight the nearest to
/// square is within 22.5°.
const SIDE: f64 = 0.4;

/// From the corners of the ringed feature to the ring, mm.
const RING: f64 = 1.0;

impl Plan {
    /// The centre of a ring round something on paper, and its radius.
    pub(super) fn ring(&self, scale: &Scale, round: &Bounds) -> (Point, f64) {
        let radius = num::hypot(round.width(), round.height()) * scale.by / 2.0;
        (scale.point(round.centre()), radius + RING)
    }

    /// All text on it, in the order of placing; returns what had no room.
    pub(super) fn words(
        &self,
        clear: &mut Clear,
        scale: &Scale,
        shapes: &[Shape],
        views: &[(Alike, View)],
    ) -> Vec<String> {
        let mut left = Vec::new();
        let signed = || self.bends.iter().filter(|bend| !bend.number.is_empty());
        let lines: Vec<Edge> = signed().map(|bend| scale.edge(&bend.line)).collect();
        for (bend, line) in signed().zip(&lines) {
            if !letters::bend(clear, bend, (line, &lines)) && !bend_off(clear, bend, (line, &lines))
            {
                left.push(format!("bend {} {}", bend.number, bend.words));
            }
        }
        for (_, view) in views {
            if !detail::mark(clear, view, scale) {
                left.push(format!("letter of detail {}", view.letter));
            }
        }
        let faces = self.faces.iter();
        let unnamed = faces.filter(|(name, region)| !letters::face(clear, name, region, scale));
        let unnamed: Vec<&(String, Region)> = unnamed.collect();
        // Letters have few places, callouts many.
        let (unlettered, height) = self.letters(clear, scale);
        left.extend(self.sizes(clear, scale));
        left.extend(self.edge_notes(clear, scale));
        left.extend(self.radii(clear, scale, shapes, views));
        angles::draw(clear, scale, shapes);
        left.extend(self.number_found(clear, scale));
        for (name, region) in unnamed {
            letters::face_off(clear, name, region, scale);
        }
        for phantom in self.phantoms.iter().filter(|phantom| !phantom.label.is_empty()) {
            self.name_phantom(clear, scale, phantom);
        }
        // If there are many holes, listed in a table, no letter is placed off its hole: it could
        // not be followed.
        for spot in unlettered.into_iter().map(|i| &self.spots[i]) {
            if self.tabled || !self.letter_off(clear, scale, (spot, height)) {
                left.push(spot.label.clone());
            }
        }
        left
    }

    /// The letter of a hole off it, with a leader over whatever there is.
    fn letter_off(&self, clear: &mut Clear, scale: &Scale, (spot, height): (&Spot, f64)) -> bool {
        let outline = scale.edges(&spot.outline.edges().collect::<Vec<_>>());
        let targets = flags::round(&outline, scale.point(spot.at));
        let tag = Tag::letter(&spot.label, height);
        flags::put(clear, &targets, &tag, End::Plain, 0.0)
    }

    /// The sizes of holes at one of each; those for which there was no room come back.
    fn sizes(&self, clear: &mut Clear, scale: &Scale) -> Vec<String> {
        let mut left = Vec::new();
        for callout in &self.callouts {
            let targets: Vec<flags::Target> = callout
                .of
                .iter()
                .take(4)
                .map(|i| &self.spots[*i])
                .flat_map(|spot| {
                    let outline = scale.edges(&spot.outline.edges().collect::<Vec<_>>());
                    flags::round(&outline, scale.point(spot.at))
                })
                .collect();
            let tag = Tag::callout(&callout.lines);
            // Those of many are in a table, by their letters.
            if !self.tabled && !flags::put(clear, &targets, &tag, End::Arrow, 0.0) {
                left.push(callout.line());
            }
            self.note_size(clear, scale, callout);
        }
        left
    }

    /// The text on edges, at them; returns what had no room.
    fn edge_notes(&self, clear: &mut Clear, scale: &Scale) -> Vec<String> {
        let mut left = Vec::new();
        for note in &self.notes {
            let edges = scale.edges(&note.edges);
            let targets = flags::on_edges(&edges, &[0.62, 0.38, 0.76, 0.24]);
            if !flags::put(clear, &targets, &note.tag, End::Arrow, note.ring) {
                left.push(note.tag.words());
            }
        }
        left
    }

    /// Adds the callouts of holes: the ends of the diameter of round ones, of width and length of
    /// slots.
    fn note_size(&self, clear: &mut Clear, scale: &Scale, callout: &Callout) {
        let Some(spot) = callout.of.first().map(|i| &self.spots[*i]) else { return };
        let ends = |half: f64| [-half, half].map(|x| scale.point(spot.at + (x, 0.0)));
        let (kind, text, feet) = match (spot.outline.circle(), spot.outline.slot()) {
            (Some((_, radius)), _) => {
                ("diameter", self.size_text(2.0 * radius), ends(radius).to_vec())
            }
            (None, Some((_, length, width))) => {
                let text = format!("{} × {}", self.size_text(width), self.size_text(length));
                ("slot", text, [ends(width / 2.0), ends(length / 2.0)].concat())
            }
            (None, None) => match spot.outline.arc_slot() {
                Some(slot) => {
                    let [width, radius] = [slot.width, slot.radius].map(|mm| self.size_text(mm));
                    let feet = [slot.centre, slot.line(0.0)[1].point_at(0.5)];
                    let feet = feet.map(|p| scale.point(p)).to_vec();
                    ("arc-slot", format!("{width} along R{radius}"), feet)
                }
                None => return,
            },
        };
        let said = callout.lines.join("; ");
        let text = format!("{}|{text}|{said}", callout.of.len());
        clear.draw(Item::Noted(Note { kind, text, feet, scale: scale.by }, Vec::new()));
    }

    /// Each radius once, with its count; those within details are there.
    fn radii(
        &self,
        clear: &mut Clear,
        scale: &Scale,
        shapes: &[Shape],
        views: &[(Alike, View)],
    ) -> Vec<String> {
        let in_detail = |p: Point| {
            let mut shown = views.iter().flat_map(|(_, view)| &view.shows);
            shown.any(|bounds| bounds.grown(1e-6).contains(p))
        };
        let rounds = shapes.iter().flat_map(|shape| &shape.rounds);
        let rounds = rounds.filter(|round| !in_detail(round.edge.point_at(0.5)));
        let mut sizes: Vec<(String, Vec<Edge>)> = Vec::new();
        for round in rounds {
            let text = match round.full {
                true => format!("Ø{}", self.size_text(2.0 * round.radius)),
                false => format!("R{}", self.size_text(round.radius)),
            };
            match sizes.iter_mut().find(|(other, _)| *other == text) {
                Some((_, edges)) => edges.push(scale.edge(&round.edge)),
                None => sizes.push((text, vec![scale.edge(&round.edge)])),
            }
        }
        let mut curves = self.curves(shapes);
        if !self.by_file.is_empty() {
            let round = self.region.outer().length();
            let check = format!("check: {} round it", self.size_text(round));
            let lines = self.by_file.iter().cloned().chain([check]).collect();
            curves.push((lines, self.region.outer().edges().collect(), 1));
        }
        let mut left = Vec::new();
        let mut put = |lines: Vec<String>, edges: &[Edge]| {
            let few = &edges[..edges.len().min(8)];
            let targets = flags::on_edges(few, &[0.35, 0.65, 0.5]);
            let tag = Tag::callout(&lines);
            let note = Note {
                kind: "radius",
                text: lines[0].clone(),
                feet: edges.iter().flat_map(|e| [e.from, e.point_at(0.5), e.to]).collect(),
                scale: scale.by,
            };
            clear.draw(Item::Noted(note, Vec::new()));
            if !flags::put(clear, &targets, &tag, End::Arrow, 0.0) {
                left.push(lines.join(", "));
            }
        };
        for (text, edges) in &sizes {
            let lines = std::iter::once(format!("{}{text}", times(shape::arcs(edges))));
            put(lines.chain(self.sharp(shapes, text)).collect(), edges);
        }
        for (mut lines, edges, count) in curves {
            lines[0] = format!("{}{}", times(count), lines[0]);
            put(lines, &scale.edges(&from_middle(edges)));
        }
        left
    }

    /// How far apart the corners of a radius are where their sides would meet out of the part, in words:
    /// no dimension of the flat gives that.
    fn sharp(&self, shapes: &[Shape], text: &str) -> Vec<String> {
        let all = shapes.iter().flat_map(|shape| &shape.beyond);
        let own = all.filter(|[radius, _]| format!("R{}", self.size_text(*radius)) == text);
        let mut lines: Vec<String> = own
            .map(|[_, apart]| format!("sharp corners {} apart", self.size_text(*apart)))
            .collect();
        lines.dedup();
        lines
    }

    /// Curves that no radius defines, alike ones once: their text, their arcs, and how many there
    /// are.
    fn curves(&self, shapes: &[Shape]) -> Vec<(Vec<String>, Vec<Edge>, usize)> {
        let mut curves: Vec<(Vec<String>, Vec<Edge>, usize)> = Vec::new();
        for curve in shapes.iter().flat_map(|shape| &shape.curves) {
            let [long, apart, deep] = shape::measures(curve).map(|mm| self.size_text(mm));
            let name = "curve".to_owned();
            let lines = match shape::is_ring(curve) {
                true => vec![name, format!("by DXF or template; check: {long} round it")],
                false => vec![
                    name,
                    format!("by DXF or template; check: {long} along it"),
                    format!("ends {apart} apart, depth {deep}"),
                ],
            };
            match curves.iter_mut().find(|(known, ..)| *known == lines) {
                Some((_, edges, count)) => {
                    edges.extend_from_slice(curve);
                    *count += 1;
                }
                None => curves.push((lines, curve.clone(), 1)),
            }
        }
        curves
    }

    /// The letters of holes, all as high as each other: small ones only where more of them find room so.
    /// The spots whose letter found none come back, and how high the others are.
    fn letters(&self, clear: &mut Clear, scale: &Scale) -> (Vec<usize>, f64) {
        let mut best: Option<(Clear, Vec<usize>, f64)> = None;
        // Those of many are small.
        let heights: &[f64] = if self.tabled { &[SMALL] } else { &[LARGE, SMALL] };
        for height in heights {
            let mut tried = clear.clone();
            let left = self.lettered(&mut tried, scale, *height);
            let is_done = left.is_empty();
            if best.as_ref().is_none_or(|(_, fewest, _)| left.len() < fewest.len()) {
                best = Some((tried, left, *height));
            }
            if is_done {
                break;
            }
        }
        let Some((tried, left, height)) = best else { return (Vec::new(), LARGE) };
        *clear = tried;
        (left, height)
    }

    /// The letters of holes at a height; the spots whose letter found no room come back.
    fn lettered(&self, clear: &mut Clear, scale: &Scale, height: f64) -> Vec<usize> {
        let centres: Vec<Point> = self.spots.iter().map(|spot| scale.point(spot.at)).collect();
        let lettered = self.spots.iter().enumerate().filter(|(_, spot)| !spot.label.is_empty());
        let mut left = Vec::new();
        for (i, spot) in lettered {
            let sunk = self.sunk(spot) * scale.by;
            let others: Vec<Point> =
                centres.iter().enumerate().filter(|(k, _)| *k != i).map(|(_, p)| *p).collect();
            if !letters::hole(clear, spot, (sunk, height), scale, &others) {
                left.push(i);
            }
        }
        left
    }

    /// Half the width of a countersink, lip or ring round a hole, mm; 0 if there is none.
    fn sunk(&self, spot: &Spot) -> f64 {
        let bounds = |ring: &Ring| ring.edges.iter().fold(Bounds::EMPTY, |b, e| b.and(e.bounds()));
        let rings = self.rings.iter().map(bounds);
        let found = self.found.iter().flat_map(|found| &found.rings).map(|ring| {
            let radius = num::hypot(ring.width(), ring.height()) / 2.0;
            Bounds { min: ring.centre(), max: ring.centre() }.grown(radius)
        });
        let own = rings.chain(found).filter(|b| (b.centre() - spot.at).hypot() < 1e-6);
        own.map(|b| b.width() / 2.0).fold(0.0, f64::max)
    }

    /// Puts the numbers of the findings beside their features; returns those without room.
    fn number_found(&self, clear: &mut Clear, scale: &Scale) -> Vec<String> {
        let mut left = Vec::new();
        for found in &self.found {
            let rings = found.rings.iter().map(|ring| self.ring(scale, ring));
            let lines = found.lines.iter().filter_map(|line| line.first());
            let middles = lines.map(|edge| (scale.edge(edge).point_at(0.5), 0.0));
            let targets = round_each(rings.chain(middles));
            let tag = Tag::ringed(&found.label);
            let mut put =
                |targets: &[flags::Target]| flags::put(clear, targets, &tag, End::Plain, 0.0);
            // The words beside a bend may be all round its middle.
            if !targets.is_empty() && !put(&targets) && !put(&beside_lines(found, scale)) {
                left.push(found.label.clone());
            }
        }
        left
    }

    /// The name of the adjoining body, beside its line.
    fn name_phantom(&self, clear: &mut Clear, scale: &Scale, phantom: &Phantom) {
        let words = Words::plain(Point::ZERO, SMALL, &phantom.label);
        let words = [words.in_ink(Ink::Grey)];
        let shares = [0.5, 0.25, 0.75, 0.1, 0.9];
        let edges = phantom.edges.iter().map(|edge| scale.edge(edge));
        let mut spots = edges.flat_map(|edge| shares.map(|t| edge.point_at(t)));
        spots.any(|spot| clear.lead(spot, 0.0, &words, Leader::None));
    }
}

/// Targets on the marked lines of a finding, each led to from a side of its line: a leader along it
/// would hide it.
fn beside_lines(found: &Found, scale: &Scale) -> Vec<flags::Target> {
    let lines = found.lines.iter().filter_map(|line| line.first());
    let targets = |edge: &Edge| {
        let along = scale.edge(edge).direction_at_start();
        let is_beside =
            move |target: &flags::Target| target.out.is_some_and(|o| o.dot(along).abs() < SIDE);
        let spots = ALONG.map(|share| (scale.edge(edge).point_at(share), 0.0));
        round_each(spots.into_iter()).into_iter().filter(is_beside)
    };
    lines.flat_map(targets).collect()
}

/// The targets round some centres, each with a ring of a radius.
fn round_each(all: impl Iterator<Item = (Point, f64)>) -> Vec<flags::Target> {
    let targets =
        |(centre, radius): (Point, f64)| flags::round(&circle(centre, radius.max(0.01)), centre);
    all.flat_map(targets).collect()
}

/// Edges of a curve in a row, those in its middle first: an arrow at its end would point at the corner
/// there.
fn from_middle(edges: Vec<Edge>) -> Vec<Edge> {
    let middle = edges.len() / 2;
    let mut order: Vec<usize> = (0..edges.len()).collect();
    order.sort_by_key(|i| (2 * i + 1).abs_diff(edges.len()));
    let ends = [0, edges.len().saturating_sub(1)];
    let is_inner = |i: &usize| edges.len() < 3 || *i == middle || !ends.contains(i);
    order.into_iter().filter(is_inner).map(|i| edges[i]).collect()
}

/// The sign of a bend off its line, of all that are in the flat.
fn bend_off(clear: &mut Clear, bend: &PlanBend, (line, all): (&Edge, &[Edge])) -> bool {
    let tag = Tag::bend(&bend.number, bend.up, &bend.words).on_shelf();
    let targets: Vec<flags::Target> =
        letters::tips(line, all).into_iter().map(flags::Target::point).collect();
    // Where many words have no room in one line, the angle is in it and the others below.
    let lower = bend.words.rsplit_once(' ').map(|(others, angle)| {
        Tag::bend(&bend.number, bend.up, angle).on_shelf().with_line_below(others)
    });
    let mut tags = std::iter::once(tag).chain(lower);
    tags.any(|tag| flags::put(clear, &targets, &tag, End::Dot, 0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_arrow_of_a_curve_is_tried_in_its_middle_first() {
        let at = |i: u32| Point::new(f64::from(i), 0.0);
        let row = |count: u32| (0..count).map(|i| Edge::line(at(i), at(i + 1))).collect::<Vec<_>>();
        let begins = |count: u32| -> Vec<f64> {
            from_middle(row(count)).iter().map(|edge| edge.from.x).collect()
        };
        assert_eq!(begins(5), [2.0, 1.0, 3.0]);
        assert_eq!(begins(2), [0.0, 1.0]);
        assert_eq!(begins(1), [0.0]);
    }
}
