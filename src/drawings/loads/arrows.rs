//! The arrows of a load at its places, and its value where nothing else is.

use crate::drawings::gap_picture::small;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::paper;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::Words;

/// Length of an arrow, and of the shortest whose shaft is still seen, mm.
pub(super) const ARROW: f64 = 9.0;
const SHORT: f64 = 4.4;
/// Between arrows that point at each other, mm.
const APART: f64 = 1.2;
/// Arrows no farther beside each other are in one line, mm.
const BESIDE: f64 = 1.5;
/// Radius of the sign of a load square to the paper, and of the dot in it, mm.
const SIGN: f64 = 1.9;
const DOT: f64 = 0.55;
/// Directions that differ by less are equal.
const SAME: f64 = 1e-6;
/// Maximum number of arrows: a long row is drawn by its first and last. Our choice.
const MAX: usize = 6;
/// Extra distances tried for a value beyond the end of its arrow, mm.
const FARTHER: [f64; 4] = [0.0, 3.0, 6.0, 10.0];

/// Ends of arrows, each with the direction in which its value may be placed beyond it.
pub(super) type Ends = Vec<(Point, Vec2)>;

/// Adds arrows at places in the ways a load may have: from the place where it leads away from the
/// middle of the part, to the place where it leads to it, and to both sides where it may have both.
pub(super) fn arrows(
    items: &mut Vec<Item>,
    at: &[Point],
    (ways, middle): (&[Vec2], Point),
) -> Ends {
    let last = at.len().saturating_sub(1);
    let is_shown = |i: &usize| last < MAX || *i == 0 || *i == last;
    let shown: Vec<Point> = (0..at.len()).filter(is_shown).map(|i| at[i]).collect();
    let ways: Vec<Vec2> = ways.iter().map(|way| way.normalize()).collect();
    let (shown, long) = spaced(shown, &ways);
    let mut ends = Vec::new();
    for at in shown {
        for way in &ways {
            let way = *way;
            let leads_in = ways.len() == 1 && way.dot(middle - at) > SAME;
            let tail = if leads_in { at - way * long } else { at };
            let tip = tail + way * long;
            items.push(Item::line(Pen::Load, tail, tip - way * 2.0));
            items.push(paper::load_head(tip, way));
            ends.push(if leads_in { (tail, -way) } else { (tip, way) });
        }
    }
    ends
}

/// The places of arrows, and their length: shorter if those in one line would meet. If there is no
/// room for any, one arrow in the middle represents all.
fn spaced(at: Vec<Point>, ways: &[Vec2]) -> (Vec<Point>, f64) {
    let mut nearest = f64::INFINITY;
    for (i, one) in at.iter().enumerate() {
        for off in at[i + 1..].iter().map(|other| *other - *one) {
            let in_line = ways.iter().filter(|way| off.cross(**way).abs() < BESIDE);
            nearest = in_line.map(|way| off.dot(*way).abs()).fold(nearest, f64::min);
        }
    }
    let room = match ways {
        [_] => nearest - APART,
        _ => (nearest - APART) / 2.0,
    };
    if room >= SHORT {
        return (at, room.min(ARROW));
    }
    let all = at.iter().fold(Vec2::ZERO, |all, p| all + p.to_vec2());
    (vec![(all / at.len() as f64).to_point()], ARROW)
}

/// The sign of a load normal to the paper: a dot in a circle, the tip of an arrow, if it points
/// towards the reader; a cross in one, its tail, if it points away; both side by side if it may do
/// either.
pub(super) fn square_to_paper(items: &mut Vec<Item>, at: Point, comes: &[bool]) {
    let both = comes.contains(&true) && comes.contains(&false);
    let mut sign = |at: Point, comes: bool| {
        items.push(Item::Fill(1.0, vec![paper::circle(at, SIGN)]));
        items.push(Item::Line(Pen::Load, paper::circle(at, SIGN)));
        if comes {
            items.push(Item::Area(Ink::Accent, vec![paper::circle(at, DOT)]));
            return;
        }
        let out = SIGN * std::f64::consts::FRAC_1_SQRT_2;
        for way in [Vec2::new(out, out), Vec2::new(out, -out)] {
            items.push(Item::Line(Pen::Load, vec![Edge::line(at - way, at + way)]));
        }
    };
    match (both, comes.first()) {
        (true, _) => {
            let side = Vec2::new(SIGN + 0.4, 0.0);
            sign(at - side, true);
            sign(at + side, false);
        }
        (false, Some(comes)) => sign(at, *comes),
        (false, None) => {}
    }
}

/// Adds the value beyond the end of one of the arrows where nothing else is.
pub(super) fn valued(items: &mut Vec<Item>, ends: &[(Point, Vec2)], value: &str) {
    let beyond = |(end, out): &(Point, Vec2), more: f64| {
        let words = small(value).made_heavy().in_ink(Ink::Accent);
        let reach = out.x.abs() * words.length() / 2.0 + out.y.abs() * words.height / 2.0;
        words.centred(*end + *out * (reach + 1.4 + more))
    };
    let beside = |(end, out): &(Point, Vec2), side: f64| {
        let words = small(value).made_heavy().in_ink(Ink::Accent);
        let out = Vec2::new(-out.y, out.x) * side;
        let reach = out.x.abs() * words.length() / 2.0 + out.y.abs() * words.height / 2.0;
        words.centred(*end + out * (reach + 1.8))
    };
    let all = FARTHER.iter().flat_map(|more| ends.iter().map(|end| beyond(end, *more)));
    let sides = ends.iter().flat_map(|end| [1.0, -1.0].map(|side| beside(end, side)));
    let all: Vec<Words> = all.chain(sides).collect();
    let free = all.iter().find(|words| paper::is_free(items, words.bounds()));
    items.extend(free.or(all.first()).cloned().map(Item::Words));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arrows_in_one_line_do_not_meet() {
        let way = Vec2::new(1.0, 0.0);
        let at = |x: f64| Point::new(x, 0.0);
        let both = [way, -way];
        for (gap, long) in [(40.0, ARROW), (15.0, 6.9), (10.0, 4.4)] {
            let (places, is) = spaced(vec![at(0.0), at(gap)], &both);
            assert!((is - long).abs() < 1e-9 && places.len() == 2, "{gap}: {is}");
            assert!(2.0 * is < gap);
        }
        let (places, long) = spaced(vec![at(0.0), at(5.0)], &both);
        assert_eq!((places, long), (vec![at(2.5)], ARROW));
        // Beside each other they do not meet.
        let (places, long) = spaced(vec![at(0.0), Point::new(0.0, 5.0)], &both);
        assert_eq!((places.len(), long), (2, ARROW));
    }

    #[test]
    fn a_load_square_to_the_paper_has_a_dot_where_it_comes_and_a_cross_where_it_goes() {
        let drawn = |comes: &[bool]| {
            let mut items = Vec::new();
            square_to_paper(&mut items, Point::ZERO, comes);
            let dots = items.iter().filter(|item| matches!(item, Item::Area(..))).count();
            let lines = items.iter().filter(|item| matches!(item, Item::Line(..))).count();
            (dots, lines)
        };
        assert_eq!(drawn(&[true]), (1, 1));
        assert_eq!(drawn(&[false]), (0, 3));
        assert_eq!(drawn(&[true, false]), (1, 4));
    }
}
