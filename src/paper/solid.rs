//! The folded part as it is seen from a corner, with the sizes one measures on it.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::paper::Figure;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::Words;
use crate::paper::clear::Clear;
use crate::paper::clear::start;
use crate::paper::plan::FIGURES;
use crate::paper::running;
use crate::write::Patch;

/// Room for sizes on every side, mm.
const ROUND: f64 = 20.0;
/// From an edge to the line of its size, mm: what is tried.
const OFFS: [f64; 5] = [7.0, 11.0, 15.0, 5.0, 18.0];

/// A size between two places of the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// The two places, in pairs: one pair for each edge along which the size can be told,
    /// with the direction away from the part there.
    pub ways: Vec<([Point; 2], Vec2)>,
    /// What is written.
    pub words: String,
}

/// A folded part as it is seen.
#[derive(Clone, Debug)]
pub struct Solid {
    /// Its sides, those behind first, mm.
    pub patches: Vec<Patch>,
    /// Its sizes.
    pub sizes: Vec<Size>,
    /// Places with a word beside them.
    pub callouts: Vec<(Point, String)>,
}

impl Solid {
    /// The picture, within a width and a height in mm.
    pub fn figure(&self, heading: &str, width: f64, height: f64) -> Figure {
        let points = self.patches.iter().flat_map(|p| &p.loops).flatten();
        let bounds = points.fold(Bounds::EMPTY, |b, p| b.with(*p));
        let fit =
            ((width - 2.0 * ROUND) / bounds.width()).min((height - 2.0 * ROUND) / bounds.height());
        let scale = |p: &Point| ((*p - bounds.least) * fit).to_point();
        let most = scale(&bounds.most);
        let frame = Bounds { least: Point::ZERO, most }.grown(ROUND);
        let mut clear = Clear::new(frame);
        for patch in &self.patches {
            let loops = patch.loops.iter().map(|l| closed(l.iter().map(scale)));
            clear.draw(Item::Fill(patch.tone.clamp(0.0, 1.0) * 0.35 + 0.65, loops.collect()));
            for (pen, lines) in [(Pen::Wide, &patch.wide), (Pen::Narrow, &patch.narrow)] {
                for [from, to] in lines {
                    clear.draw(Item::line(pen, scale(from), scale(to)));
                }
            }
            // Words keep off the part, not only off its lines.
            if let Some(rim) = patch.loops.first() {
                for cover in cover(&rim.iter().map(scale).collect::<Vec<_>>()) {
                    clear.keep_out(cover);
                }
            }
        }
        // What has been told along one direction is not told again along it.
        let mut told: Vec<(&str, Vec2)> = Vec::new();
        for size in &self.sizes {
            let Some(([from, to], _)) = size.ways.first() else { continue };
            let along = *to - *from;
            let known = told.iter().any(|(words, known)| {
                *words == size.words && (known.cross(along)).abs() < 1e-3 * along.hypot2()
            });
            if !known && place(&mut clear, size, &scale) {
                told.push((&size.words, along));
            }
        }
        for (spot, words) in &self.callouts {
            let (at, half) = (scale(spot), 0.5);
            let ends = [at - (half, 0.0), at + (half, 0.0)];
            let dot = [(ends[0], ends[1]), (ends[1], ends[0])];
            let dot = dot.map(|(from, to)| Edge { from, to, bulge: 1.0 });
            clear.draw(Item::Fill(0.0, vec![dot.to_vec()]));
            clear.label(at, half, &Words::heavy(Point::ZERO, FIGURES, words));
        }
        Figure { heading: heading.to_owned(), items: clear.items }
    }
}

/// Draws a size in the first way that leaves all words free and keeps off the part; says
/// whether there was one.
fn place(clear: &mut Clear, size: &Size, scale: &impl Fn(&Point) -> Point) -> bool {
    let words = Words::plain(Point::ZERO, FIGURES, &size.words);
    for off in OFFS {
        for (ends, away) in &size.ways {
            let [from, to] = [scale(&ends[0]), scale(&ends[1])].map(|p| p + *away * off);
            if (to - from).hypot() < 1.0 || clear.runs_over(&[from, to]) {
                continue;
            }
            let middle = from.midpoint(to);
            let half = words.length() / 2.0 + 1.0;
            // Beside the line, on the side away from the part.
            let reach = Vec2::new(away.x * half, away.y * 2.9);
            for shift in [
                reach,
                Vec2::new(half, 2.2),
                Vec2::new(-half, 2.2),
                Vec2::new(half, -2.2),
                Vec2::new(-half, -2.2),
            ] {
                let words = Words { at: start(middle + shift, &words), ..words.clone() };
                let line = [from, to];
                if clear.is_free(words.bounds())
                    && clear.is_open(&line)
                    && !crate::paper::clear::crosses(&line, &words.bounds().grown(0.4))
                {
                    running::dimension(clear, from, to, *away, off - 1.0);
                    clear.draw(Item::Words(words));
                    return true;
                }
            }
        }
    }
    false
}

/// A ring of points as edges.
fn closed(points: impl Iterator<Item = Point>) -> Vec<Edge> {
    let points: Vec<Point> = points.collect();
    let next = points.iter().cycle().skip(1);
    let pairs = points.iter().zip(next);
    pairs.filter(|(a, b)| (**a - **b).hypot() > 1e-9).map(|(a, b)| Edge::line(*a, *b)).collect()
}

/// Level stripes that cover a polygon, so that words can be kept off it.
fn cover(rim: &[Point]) -> Vec<Bounds> {
    const STRIPE: f64 = 2.0;
    let bounds = rim.iter().fold(Bounds::EMPTY, |b, p| b.with(*p));
    let count = (bounds.height() / STRIPE).ceil().max(1.0) as usize;
    let mut stripes = Vec::new();
    for i in 0..count {
        let y = bounds.least.y + (i as f64 + 0.5) * bounds.height() / count as f64;
        let mut crossings: Vec<f64> = rim
            .iter()
            .zip(rim.iter().cycle().skip(1))
            .filter(|(a, b)| (a.y > y) != (b.y > y))
            .map(|(a, b)| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x))
            .collect();
        crossings.sort_by(f64::total_cmp);
        let half = bounds.height() / count as f64 / 2.0;
        stripes.extend(crossings.chunks_exact(2).map(|pair| Bounds {
            least: Point::new(pair[0], y - half),
            most: Point::new(pair[1], y + half),
        }));
    }
    stripes
}
