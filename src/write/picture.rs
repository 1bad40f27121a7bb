//! A picture of a solid as SVG: flat patches, those behind first.
//!
//! Line widths after ISO 128: edges 0.5 mm, the soft edges at bends 0.25 mm (from memory).

use crate::geom::Bounds;
use crate::geom::Point;
use crate::num;
use crate::write::markup;
use crate::write::svg;
use ::svg::Node;

/// Blank paper round the picture, mm. Our choice.
const MARGIN: f64 = 5.0;

const STYLE: &str = ".paper { fill: #fff; }
path { fill-rule: evenodd; stroke-linejoin: round; stroke-linecap: round; }
.wide, .narrow { fill: none; stroke: #16191d; }
.wide { stroke-width: 0.5; }
.narrow { stroke-width: 0.25; }
";

/// One side of a solid as it is seen, mm; y points up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Patch {
    /// Its outline and its holes, closed.
    pub loops: Vec<Vec<Point>>,
    /// How light it is, 0 to 1.
    pub(crate) tone: f64,
    /// Edges that are drawn wide.
    pub wide: Vec<[Point; 2]>,
    /// Edges that are drawn narrow.
    pub narrow: Vec<[Point; 2]>,
    /// The face of the part whose flat side it is; none for an edge or a bend.
    pub face: Option<usize>,
}

/// The text of an SVG file, at true size of the projection; later patches hide earlier ones.
pub(crate) fn picture(title: &str, patches: &[Patch]) -> String {
    let points = patches.iter().flat_map(|p| &p.loops).flatten();
    let bounds = points.fold(Bounds::EMPTY, |b, p| b.with(*p));
    let bounds = if patches.is_empty() { bounds.with(Point::ZERO) } else { bounds };
    let Bounds { min, max } = bounds.grown(MARGIN);
    let number = |mm: f64| num::text(mm, 3);
    let (x, y) = (number(min.x), number(-max.y));
    let (width, height) = (number(max.x - min.x), number(max.y - min.y));
    let size = [format!("{width}mm"), format!("{height}mm")];
    let view = format!("{x} {y} {width} {height}");
    let mut document = markup::document(title, size, view, STYLE);
    document.append(svg::ground([x, y], [width, height]));
    let pair = |p: &Point| format!("{} {}", number(p.x), number(-p.y));
    for patch in patches {
        let shade = (patch.tone.clamp(0.0, 1.0) * 255.0).round() as u8;
        let closed =
            |l: &Vec<Point>| format!("M{}Z", l.iter().map(pair).collect::<Vec<_>>().join("L"));
        let data: String = patch.loops.iter().map(closed).collect();
        let tone = format!("#{shade:02x}{shade:02x}{:02x}", shade.saturating_add(3));
        // A thin line of its own colour, so that no paper shows between neighbours.
        let filled = markup::path(data).set("fill", tone.as_str()).set("stroke", tone);
        document.append(filled.set("stroke-width", "0.1"));
        for (class, lines) in [("narrow", &patch.narrow), ("wide", &patch.wide)] {
            if !lines.is_empty() {
                let line = |[a, b]: &[Point; 2]| format!("M{}L{}", pair(a), pair(b));
                let data: String = lines.iter().map(line).collect();
                document.append(markup::path(data).set("class", class));
            }
        }
    }
    markup::text(&document)
}
