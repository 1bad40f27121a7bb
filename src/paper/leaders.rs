//! Words with leaders to features that are too small for them: beside the feature, with a dot at
//! its end.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::paper::clear::Clear;
use crate::paper::crossed::Leader;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::paper::tag::circle;

/// Radius of the dot at the end of a leader, mm.
const DOT: f64 = 0.5;

/// What words lead to.
pub(crate) struct Small {
    /// Where the leader ends, within its outline.
    pub(crate) at: Point,
    /// The text.
    pub(crate) words: Words,
}

/// A page on which words are led to some of its outlines.
pub(crate) struct Leading {
    clear: Clear,
}

impl Leading {
    /// Words keep within a frame and off all drawn items; no leader crosses an outline but the one
    /// it ends in.
    pub(crate) fn new(frame: Bounds, drawn: &[Item], outlines: &[Vec<Edge>]) -> Self {
        let mut clear = Clear::new(frame);
        drawn.iter().for_each(|item| clear.draw(item.clone()));
        for outline in outlines {
            clear.add_hole(outline);
        }
        clear.items.clear();
        Self { clear }
    }

    /// The words, with a leader and its dot if they are off their feature; `None` if there is no
    /// room.
    pub(crate) fn lead(&mut self, small: &Small) -> Option<Vec<Item>> {
        let words = std::slice::from_ref(&small.words);
        if !self.clear.lead(small.at, 0.0, words, Leader::OverAll) {
            return None;
        }
        let mut led = std::mem::take(&mut self.clear.items);
        if led.iter().any(|item| matches!(item, Item::Line(..))) {
            led.push(Item::Area(Ink::Black, vec![circle(small.at, DOT)]));
        }
        Some(led)
    }

    /// The words in an opening of their feature, centred there, with a leader to the metal; `None` if
    /// there is no room.
    pub(crate) fn lead_from(&mut self, small: &Small, opening: Point) -> Option<Vec<Item>> {
        let words = small.words.clone().centred(opening);
        let bounds = words.bounds();
        let Bounds { min, max } = bounds;
        let Point { x, y } = small.at;
        let start = Point::new(x.clamp(min.x, max.x), y.clamp(min.y, max.y));
        if !self.clear.is_free(bounds) || (start - small.at).hypot() < 2.0 * DOT {
            return None;
        }
        self.clear.draw(Item::line(Pen::Narrow, small.at, start));
        self.clear.draw(Item::Words(words));
        let mut led = std::mem::take(&mut self.clear.items);
        led.push(Item::Area(Ink::Black, vec![circle(small.at, DOT)]));
        Some(led)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::rectangle;
    use crate::paper::straight::Touch;
    use crate::paper::straight::touch;

    /// Five strips of 2 mm side by side, 1 mm apart: each number is beside all of them, and no leader
    /// crosses a strip that is not its own.
    #[test]
    fn a_number_is_beside_its_piece_and_its_leader_crosses_no_other() {
        let strip = |i: u32| {
            let centre = Point::new(30.0 + 3.0 * f64::from(i), 40.0);
            rectangle(centre, 2.0, 30.0, 0.0).unwrap()
        };
        let outlines: Vec<Vec<Edge>> = (0..5).map(|i| strip(i).edges().collect()).collect();
        let drawn: Vec<Item> =
            outlines.iter().map(|edges| Item::Line(Pen::Narrow, edges.clone())).collect();
        let frame = Bounds { min: Point::ZERO, max: Point::new(100.0, 80.0) };
        let mut leading = Leading::new(frame, &drawn, &outlines);
        let mut led = 0;
        for i in 0..5 {
            let at = strip(i).bounds().centre() + (0.0, 12.0);
            let words = Words::heavy(Point::ZERO, 3.5, (i + 1).to_string());
            let Some(items) = leading.lead(&Small { at, words }) else { continue };
            led += 1;
            for item in &items {
                match item {
                    Item::Words(words) => {
                        let metal =
                            outlines.iter().flatten().fold(Bounds::EMPTY, |b, e| b.and(e.bounds()));
                        assert!(words.bounds().distance(&metal) > 0.0, "{words:?}");
                    }
                    Item::Line(_, edges) => {
                        let others = (0..5).filter(|other| *other != i);
                        let sides = others.flat_map(|other| outlines[other as usize].clone());
                        let way = [edges[0].from, edges[0].to];
                        for side in sides {
                            assert_eq!(touch(&way, &[side.from, side.to]), Touch::Not, "{i}");
                        }
                    }
                    _ => {}
                }
            }
        }
        assert_eq!(led, 5);
    }
}
