//! The low row at the foot of a title block: kind of sheet, signatures, projection.

use crate::geom::Point;
use crate::geom::disc;
use crate::geom::ring_edges;
use crate::paper::font;
use crate::paper::font::Weight;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;

/// Its height, mm. Our choice: a pen needs no more.
pub(super) const FOOT: f64 = 6.0;
/// Minimum width of a box to sign, and of either half of the sign of projection, mm. Our choice.
const PEN: f64 = 26.0;
const HALF: f64 = 6.4;
/// From its lower edge to the baseline of its words, mm.
const BASE: f64 = 1.8;

/// Its contents.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Foot {
    /// What kind of document the sheet is.
    Kind(&'static str),
    /// A box to sign behind a grey label, with the name if it is known.
    Signed {
        /// The action signed for.
        label: &'static str,
        /// Author; empty if it is signed with a pen.
        name: String,
    },
    /// The sign for the method of projection of ISO 5456-2.
    Projection {
        /// Whether it is the third angle, and not the first.
        third: bool,
    },
}

impl Foot {
    /// The width it takes with words of a height, mm.
    pub(super) fn width(&self, height: f64) -> f64 {
        match self {
            Self::Kind(words) => font::width_in(Weight::Heavy, words, height),
            Self::Signed { label, name } => {
                let name = font::width_in(Weight::Heavy, &font::known(name), height);
                font::width(label, height) + 2.0 + name.max(PEN)
            }
            Self::Projection { .. } => 2.0 * HALF,
        }
    }

    /// Drawn from a lower left corner on, with words of a height.
    pub(super) fn items(&self, at: Point, width: f64, height: f64) -> Vec<Item> {
        let base = at + (0.0, BASE);
        match self {
            Self::Kind(words) => vec![Item::Words(Words::heavy(base, height, *words))],
            Self::Signed { label, name } => {
                let label = Words::plain(base, height, *label).in_ink(Ink::Grey);
                let from = label.at + (label.length() + 2.0, 0.0);
                let name = Words::heavy(from, height, font::known(name));
                let name = (!name.text.is_empty()).then_some(Item::Words(name));
                std::iter::once(Item::Words(label)).chain(name).collect()
            }
            Self::Projection { third } => {
                let left = at + ((width - 2.0 * HALF) / 2.0, FOOT / 2.0);
                projection_sign(left, *third)
            }
        }
    }
}

/// The sign of ISO 5456-2 (from memory), its left end at a place: a cone without its tip from the
/// side, the smaller end at the left, and from that end. In first angle the view from the left is
/// at the right, in third angle at the left.
fn projection_sign(at: Point, third: bool) -> Vec<Item> {
    let [side, end] = if third { [HALF, 0.0] } else { [0.0, HALF] };
    let [small, large] = [1.15, 2.3];
    let [near, far] = [side + 0.8, side + HALF - 0.8];
    let corners = [(near, -small), (far, -large), (far, large), (near, small)];
    let corners = corners.map(|by| at + by);
    let middle = at + (end + HALF / 2.0, 0.0);
    let circle = |radius: f64| {
        let edges = disc(middle, radius).map(|outline| outline.edges().collect());
        Item::Line(Pen::Narrow, edges.unwrap_or_default())
    };
    let line = |from: (f64, f64), to: (f64, f64)| Item::line(Pen::Chain, at + from, at + to);
    vec![
        Item::Line(Pen::Narrow, ring_edges(&corners)),
        circle(small),
        circle(large),
        line((0.2, 0.0), (2.0 * HALF - 0.2, 0.0)),
        Item::line(Pen::Chain, middle + (0.0, -large - 0.6), middle + (0.0, large + 0.6)),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paper::scene::extent;

    /// Seen from its smaller end, both circles of the cone are visible; that end faces left.
    #[test]
    fn the_end_seen_from_the_left_stands_at_the_right_in_first_angle_and_at_the_left_in_third() {
        for third in [false, true] {
            let items = projection_sign(Point::ZERO, third);
            let bounds = |i: usize| extent(&items[i..=i]);
            let [cone, small, large] = [bounds(0), bounds(1), bounds(2)];
            assert_eq!(large.centre().x < cone.centre().x, third);
            assert!((cone.height() - large.height()).abs() < 1e-9);
            let Item::Line(_, edges) = &items[0] else { panic!("{:?}", items[0]) };
            let ends = edges.iter().filter(|e| (e.from.x - e.to.x).abs() < 1e-9);
            let left = ends.min_by(|a, b| a.from.x.total_cmp(&b.from.x)).unwrap();
            assert!((left.length() - small.height()).abs() < 1e-9, "{left:?}");
            let all = extent(&items);
            assert!(all.width() <= 2.0 * HALF && all.height() <= FOOT, "{all:?}");
        }
    }
}
