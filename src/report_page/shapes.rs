//! The flats of all parts, drawn once: whatever shows one again refers to it.

use crate::flat::to_origin;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Room;
use crate::num;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::solve::Solved;
use crate::write;

/// Number of places tried in each direction for the text in a piece. Our choice.
const GRID: u32 = 12;

/// A flat as shown, its lower left corner at the origin, mm.
pub(crate) struct Shape {
    /// The metal.
    pub(super) region: Region,
    /// The point with the most metal round it, and the radius of that metal.
    pub(super) roomiest: (Point, f64),
}

impl Shape {
    /// The shape of a part.
    pub(super) fn of(solved: &Solved) -> Self {
        let region = solved.flat.region.moved(&to_origin(&solved.flat.region));
        let roomiest = Room::new(&region, &[]).places(GRID).max_by(|a, b| a.1.total_cmp(&b.1));
        let roomiest = roomiest.unwrap_or((region.bounds().centre(), 0.0));
        Self { region, roomiest }
    }

    /// Its width and height, mm.
    pub(super) fn size(&self) -> [f64; 2] {
        let bounds = self.region.bounds();
        [bounds.width(), bounds.height()]
    }
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
    region.outlines().map(closed_data).collect()
}

/// An outline alone.
pub(super) fn closed(outline: &Outline) -> El {
    path(&closed_data(outline))
}

/// The same as path data.
pub(super) fn closed_data(outline: &Outline) -> String {
    data(&outline.edges().collect::<Vec<_>>()) + "Z"
}

/// Edges that follow each other as path data, y turned over.
pub(super) fn data(edges: &[Edge]) -> String {
    write::data(edges, |p| format!("{} {}", number(p.x), number(-p.y)), number)
}

/// A coordinate on the page: hundredths are less than is seen.
pub(super) fn number(x: f64) -> String {
    num::text(x, 2)
}
