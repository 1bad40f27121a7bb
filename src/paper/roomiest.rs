//! The place in a piece with the most room for a few words.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Room;
use crate::paper::scene::Reading;
use crate::paper::straight::crosses;

/// Places that are tried in each direction. Our choice.
const GRID: u32 = 24;
/// Of the places that are free, how many of the roomiest are compared. Our choice.
const COMPARED: usize = 40;

/// Where words are in a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Place {
    /// Their centre.
    pub(crate) centre: Point,
    /// Which way they are read: level or upward.
    pub(crate) reading: Reading,
}

impl Place {
    /// The rectangle that words of a width and height take there.
    pub(crate) fn bounds(&self, [width, height]: [f64; 2]) -> Bounds {
        let half = match self.reading {
            Reading::Upward => (height / 2.0, width / 2.0),
            _ => (width / 2.0, height / 2.0),
        };
        Bounds { min: self.centre - half, max: self.centre + half }
    }
}

/// The places in a piece where words may be, measured once for words of any size.
pub(crate) struct Roomy {
    room: Room,
    /// Places in the metal and the room round each, mm, the roomiest first.
    places: Vec<(Point, f64)>,
}

impl Roomy {
    /// Those within the metal of a region, clear of its outlines and of some lines in it, all in the
    /// coordinates of the region.
    pub(crate) fn new(region: &Region, lines: &[Edge]) -> Self {
        let room = Room::new(region, lines);
        let mut places: Vec<(Point, f64)> = room.places(GRID).collect();
        places.sort_by(|a, b| b.1.total_cmp(&a.1));
        Self { room, places }
    }

    /// The place with the most metal round it, whatever is written there; `None` if there is less than
    /// this round any, mm.
    pub(crate) fn centre(&self, least: f64) -> Option<Point> {
        let roomy = self.places.iter().take(COMPARED).filter(|(_, room)| *room >= least);
        roomy.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(centre, _)| *centre)
    }

    /// The place with the most room for words of a width and height that are read one way; `None` if
    /// there is no room.
    pub(crate) fn roomiest(&self, size: [f64; 2], reading: Reading) -> Option<Place> {
        let room = &self.room;
        let half = size[0].min(size[1]) / 2.0;
        let roomy = self.places.partition_point(|(_, room)| *room >= half);
        let free = |place: &Place| {
            let taken = place.bounds(size);
            !room.pieces().any(|line| crosses(line, &taken))
        };
        let ends = |place: &Place| {
            let Bounds { min, max } = place.bounds(size);
            let centre = place.centre;
            let ends = match reading {
                Reading::Upward => [(centre.x, min.y + half), (centre.x, max.y - half)],
                _ => [(min.x + half, centre.y), (max.x - half, centre.y)],
            };
            ends.into_iter().map(|end| room.at(end.into())).fold(f64::INFINITY, f64::min)
        };
        let at = |(centre, room): &(Point, f64)| (Place { centre: *centre, reading }, *room);
        let found = self.places[..roomy].iter().map(at).filter(|(place, _)| free(place));
        let mut best: Option<(f64, Place)> = None;
        for (place, middle) in found.take(COMPARED) {
            // The roomiest come first, and the ends of the words only take from that.
            if best.is_some_and(|(most, _)| most > middle) {
                break;
            }
            let least = ends(&place).min(middle);
            if best.is_none_or(|(most, _)| least >= most) {
                best = Some((least, place));
            }
        }
        best.map(|(_, place)| place)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;
    use crate::geom::rectangle;

    fn roomiest(region: &Region, lines: &[Edge], size: [f64; 2]) -> Option<Place> {
        let roomy = Roomy::new(region, lines);
        let mut both = [Reading::Level, Reading::Upward].into_iter();
        both.find_map(|reading| roomy.roomiest(size, reading))
    }

    fn plate(width: f64, height: f64) -> Region {
        Region::solid(rectangle(Point::ZERO, width, height, 0.0).unwrap())
    }

    #[test]
    fn words_keep_clear_of_a_hole_in_the_middle() {
        let pierced = plate(100.0, 60.0).pierced(disc(Point::ZERO, 20.0).unwrap()).unwrap();
        let place = roomiest(&pierced, &[], [12.0, 5.0]).unwrap();
        let Bounds { min, max } = place.bounds([12.0, 5.0]);
        let corners = [min, max, Point::new(min.x, max.y), Point::new(max.x, min.y)];
        assert!(corners.iter().all(|p| p.to_vec2().hypot() > 20.0), "{place:?}");
        assert!(min.x > -50.0 && max.x < 50.0 && min.y > -30.0 && max.y < 30.0, "{place:?}");
    }

    #[test]
    fn a_narrow_piece_has_its_words_along_it_and_too_narrow_a_piece_none() {
        let place = roomiest(&plate(6.0, 40.0), &[], [12.0, 5.0]).unwrap();
        assert_eq!(place.reading, Reading::Upward);
        assert_eq!(roomiest(&plate(4.0, 40.0), &[], [12.0, 5.0]), None);
        let bend = Edge::line(Point::new(0.0, -20.0), Point::new(0.0, 20.0));
        assert_eq!(roomiest(&plate(8.0, 40.0), &[bend], [12.0, 5.0]), None, "over a bend line");
    }
}
