//! The flats of all parts, drawn once: whatever shows one again refers to it.

use crate::flat::to_origin;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Region;
use crate::num;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::solve::Solved;
use crate::write;

/// Places that are tried in each direction for what is written in a piece. Our choice.
const GRID: u32 = 12;

/// A flat as it is shown, its lower left corner at the origin, mm.
pub(super) struct Shape {
    /// The metal.
    pub(super) region: Region,
    /// Where there is most metal round a point, and how far that goes.
    pub(super) roomiest: (Point, f64),
}

impl Shape {
    /// The shape of a part.
    pub(super) fn of(solved: &Solved) -> Self {
        let region = solved.flat.region.moved(&to_origin(&solved.flat.region));
        let roomiest = roomiest(&region);
        Self { region, roomiest }
    }

    /// Its width and height, mm.
    pub(super) fn size(&self) -> [f64; 2] {
        let bounds = self.region.bounds();
        [bounds.width(), bounds.height()]
    }
}

/// The point of a plate with the most metal round it, and how much that is, mm.
fn roomiest(region: &Region) -> (Point, f64) {
    let bounds = region.bounds();
    let share = |k: u32| f64::from(k) / f64::from(GRID);
    let points = (1..GRID).flat_map(|i| (1..GRID).map(move |j| (i, j)));
    let points =
        points.map(|(i, j)| bounds.min + (bounds.width() * share(i), bounds.height() * share(j)));
    let room = |p: Point| region.outlines().map(|o| o.distance(p)).fold(f64::INFINITY, f64::min);
    let within = points.filter(|p| region.contains(*p)).map(|p| (p, room(p)));
    within.max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((bounds.centre(), 0.0))
}

/// All shapes, to be referred to by `#s` and the number of the part.
pub(super) fn library(shapes: &[Shape]) -> Html {
    let path =
        |(i, shape): (usize, &Shape)| path(&outlines(&shape.region)).at("id", format_args!("s{i}"));
    let paths: Html = shapes.iter().enumerate().map(path).collect();
    let svg = el("svg").at("class", "library").at("width", 0).at("height", 0);
    svg.at("aria-hidden", "true").with(el("defs").with(paths)).into()
}

/// A path with these data.
pub(super) fn path(data: &str) -> El {
    el("path").at("d", data)
}

/// One shape once more.
pub(super) fn again(part: usize) -> El {
    el("use").at("href", format_args!("#s{part}"))
}

/// A small picture of a part beside its name.
pub(super) fn mini(part: usize, shape: &Shape) -> Html {
    let [width, height] = shape.size();
    let view = [0.0, -height, width, height].map(number).join(" ");
    let svg = el("svg").at("class", "mini").at("viewBox", view).at("aria-hidden", "true");
    svg.with(again(part).at("class", "met")).into()
}

/// The outlines of a plate as path data, y turned over.
pub(super) fn outlines(region: &Region) -> String {
    let closed = |edges: Vec<Edge>| data(&edges) + "Z";
    region.outlines().map(|outline| closed(outline.edges().collect())).collect()
}

/// Edges that follow each other as path data, y turned over.
pub(super) fn data(edges: &[Edge]) -> String {
    write::data(edges, |p| format!("{} {}", number(p.x), number(-p.y)), number)
}

/// A coordinate on the page: hundredths are less than is seen.
pub(super) fn number(x: f64) -> String {
    num::text(x, 2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::disc;
    use crate::geom::rectangle;

    #[test]
    fn what_is_written_in_a_piece_keeps_clear_of_its_holes() {
        let plate = Region::solid(rectangle(Point::ZERO, 100.0, 60.0, 0.0).unwrap());
        let pierced = plate.pierced(disc(Point::ZERO, 20.0).unwrap()).unwrap();
        let (at, room) = roomiest(&pierced);
        assert!(at.to_vec2().hypot() > 25.0 && room > 8.0, "{at:?} {room}");
    }
}
