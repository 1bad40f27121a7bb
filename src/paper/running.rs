//! Dimensions: running ones from one origin, and overall sizes. After ISO 129-1 (from memory).

use crate::geom::Point;
use crate::geom::Vec2;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Note;
use crate::paper::scene::Words;
use crate::paper::scene::closed;
use crate::paper::sheet::SMALL;

/// From one number to the next, mm.
pub(super) const PITCH: f64 = 3.5;
/// Length of an arrow, mm.
pub(super) const ARROW: f64 = 2.6;
/// Length of the head of the arrow of a load, and half of its width, mm.
const LOAD: [f64; 2] = [3.2, 1.1];

/// Along which edge dimensions run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Axis {
    /// Below the part, from its left.
    Across,
    /// To the left of the part, from its foot.
    Up,
}

/// The place of running dimensions: along an axis, on the side of its origin or across the part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rail {
    pub(super) axis: Axis,
    /// Its distance across the part; `None` on the side of the origin.
    pub(super) far: Option<f64>,
}

impl Rail {
    /// A point at a distance along the axis and a distance out of the part.
    pub(super) fn point(self, along: f64, out: f64) -> Point {
        self.axis.point(along, self.far.map_or(out, |far| -far - out))
    }

    /// A point of the drawing as (along the axis, within the part from this side).
    pub(super) fn of(self, p: Point) -> (f64, f64) {
        let (along, within) = self.axis.of(p);
        (along, self.far.map_or(within, |far| far - within))
    }
}

impl Axis {
    /// Its place among the two coordinates of a point.
    pub(super) fn index(self) -> usize {
        match self {
            Self::Across => 0,
            Self::Up => 1,
        }
    }

    /// What positions along it are called.
    pub(super) fn letter(self) -> &'static str {
        match self {
            Self::Across => "X",
            Self::Up => "Y",
        }
    }

    /// As far along it as one point, and as far across it as another.
    pub(super) fn corner(self, along: Point, across: Point) -> Point {
        match self {
            Self::Across => Point::new(along.x, across.y),
            Self::Up => Point::new(across.x, along.y),
        }
    }

    /// A number along it with its centre at a place, square to the axis.
    pub(super) fn number(self, text: &str, centre: impl FnOnce(f64) -> Point) -> Words {
        let words = Words::plain(Point::ZERO, SMALL, text);
        let centre = centre(words.length() / 2.0);
        let words = if self == Self::Across { words.upward() } else { words };
        words.centred(centre)
    }

    /// The items of a running dimension, with data for programs: its number, the positions of the
    /// datum and of the feature, the scale.
    pub(super) fn noted(
        self,
        text: &str,
        [datum, foot]: [Point; 2],
        scale: f64,
        items: Vec<Item>,
    ) -> Item {
        let kind = match self {
            Self::Across => "running-x",
            Self::Up => "running-y",
        };
        let feet = vec![self.corner(datum, foot), foot];
        Item::Noted(Note { kind, text: text.to_owned(), feet, scale }, items)
    }

    /// A point at a distance along the axis and a distance out of the part.
    pub(super) fn point(self, along: f64, out: f64) -> Point {
        match self {
            Self::Across => Point::new(along, -out),
            Self::Up => Point::new(-out, along),
        }
    }

    /// A point of the drawing as (along the axis, within the part).
    pub(super) fn of(self, p: Point) -> (f64, f64) {
        match self {
            Self::Across => (p.x, p.y),
            Self::Up => (p.y, p.x),
        }
    }
}

/// Places at least a pitch apart, as near to the desired ones as possible, within two ends.
pub(super) fn spread(wanted: &[f64], pitch: f64, min: f64, max: f64) -> Vec<f64> {
    // Groups that touch are moved as one: their first place and how many there are.
    let mut groups: Vec<(f64, Vec<f64>)> = Vec::new();
    for want in wanted {
        groups.push((*want, vec![*want]));
        while let [.., (a, first), (b, second)] = groups.as_slice() {
            if a + first.len() as f64 * pitch <= *b {
                break;
            }
            let mut members = first.clone();
            members.extend(second);
            let count = members.len() as f64;
            let offsets = (0..members.len()).map(|i| i as f64 * pitch).sum::<f64>();
            let at = (members.iter().sum::<f64>() - offsets) / count;
            groups.truncate(groups.len() - 2);
            groups.push((at, members));
        }
    }
    let mut places: Vec<f64> = groups
        .iter()
        .flat_map(|(at, members)| (0..members.len()).map(move |i| at + i as f64 * pitch))
        .collect();
    let mut low = min;
    for place in &mut places {
        *place = place.max(low);
        low = *place + pitch;
    }
    let mut high = max;
    for place in places.iter_mut().rev() {
        *place = place.min(high);
        high = *place - pitch;
    }
    places
}

/// The head of an arrow whose tip is at a place, pointing along a direction.
pub(crate) fn arrow_head(tip: Point, way: Vec2) -> Item {
    let back = tip - way * ARROW;
    let side = Vec2::new(-way.y, way.x) * (ARROW * 0.15);
    Item::Fill(0.0, vec![closed(&[tip, back + side, back - side])])
}

/// The head of the arrow of a load, larger and in the ink of loads.
pub(crate) fn load_head(tip: Point, way: Vec2) -> Item {
    let back = tip - way * LOAD[0];
    let side = Vec2::new(-way.y, way.x) * LOAD[1];
    Item::Area(Ink::Accent, vec![closed(&[tip, back + side, back - side])])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_spread_apart_and_stay_in_order() {
        let wanted = [0.0, 1.0, 1.5, 2.0, 30.0, 31.0, 60.0];
        let places = spread(&wanted, 4.0, -8.0, 68.0);
        assert!(places.windows(2).all(|p| p[1] - p[0] >= 4.0 - 1e-9), "{places:?}");
        assert!(places[0] >= -8.0 && places[6] <= 68.0);
        assert!((places[6] - 60.0).abs() < 1e-9, "what has room stays: {places:?}");
    }
}
