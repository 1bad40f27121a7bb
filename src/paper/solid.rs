//! The folded part as it is seen from a corner, with the sizes one measures on it.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::paper::clear;
use crate::paper::clear::Clear;
use crate::paper::clear::Leader;
use crate::paper::clear::start;
use crate::paper::figure::Figure;
use crate::paper::figures::FIGURES;
use crate::paper::running;
use crate::paper::scene::Item;
use crate::paper::scene::Pen;
use crate::paper::scene::Words;
use crate::write::Patch;

/// Room for sizes on every side, mm.
const ROUND: f64 = 20.0;
/// From an edge to the line of its size, mm: what is tried.
const OFFS: [f64; 5] = [7.0, 11.0, 15.0, 5.0, 18.0];

/// A size between two places of the picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// The two places, in pairs: one pair for each edge along which the size can be dimensioned,
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
    /// The names of its faces, written beside what is seen of them.
    pub names: Vec<String>,
}

impl Solid {
    /// The picture, within a width and a height in mm.
    pub fn figure(&self, heading: &str, width: f64, height: f64) -> Figure {
        let points = self.patches.iter().flat_map(|p| &p.loops).flatten();
        let bounds = points.fold(Bounds::EMPTY, |b, p| b.with(*p));
        let fit =
            ((width - 2.0 * ROUND) / bounds.width()).min((height - 2.0 * ROUND) / bounds.height());
        let scale = |p: &Point| ((*p - bounds.min) * fit).to_point();
        let max = scale(&bounds.max);
        let frame = Bounds { min: Point::ZERO, max }.grown(ROUND);
        let mut clear = Clear::new(frame);
        for patch in &self.patches {
            let loops = patch.loops.iter().map(|l| closed(l.iter().map(scale)));
            let tone = patch.tone.clamp(0.0, 1.0) * 0.35 + 0.65;
            clear.draw_under(Item::Fill(tone, loops.collect()));
            for (pen, lines) in [(Pen::Wide, &patch.wide), (Pen::Narrow, &patch.narrow)] {
                for [from, to] in lines {
                    clear.draw_under(Item::line(pen, scale(from), scale(to)));
                }
            }
            // Words keep off the part; leaders of its names run over it.
            if let Some(outline) = patch.loops.first() {
                for cover in cover(&outline.iter().map(scale).collect::<Vec<_>>()) {
                    clear.keep_out(cover);
                }
            }
        }
        // What has been dimensioned along one direction is not dimensioned again along it.
        let mut dimensioned: Vec<(&str, Vec2)> = Vec::new();
        let mut lines = Vec::new();
        for size in &self.sizes {
            let Some(([from, to], _)) = size.ways.first() else { continue };
            let along = *to - *from;
            let known = dimensioned.iter().any(|(words, known)| {
                *words == size.words && (known.cross(along)).abs() < 1e-3 * along.hypot2()
            });
            if !known && place(&mut clear, size, &scale, &mut lines) {
                dimensioned.push((&size.words, along));
            }
        }
        for (face, name) in self.names.iter().enumerate() {
            let Some(spot) = seen(&self.patches, face) else { continue };
            let (at, half) = (scale(&spot), 0.5);
            let ends = [at - (half, 0.0), at + (half, 0.0)];
            let dot = [(ends[0], ends[1]), (ends[1], ends[0])];
            let dot = dot.map(|(from, to)| Edge { from, to, bulge: 1.0 });
            clear.draw_under(Item::Fill(0.0, vec![dot.to_vec()]));
            let words = Words::heavy(Point::ZERO, FIGURES, name);
            clear.lead(at, half, &[words], Leader::Open);
        }
        Figure { heading: heading.to_owned(), items: clear.items }
    }
}

/// Draws a size in the first way that leaves all words free, keeps off the part and crosses
/// no line of another size; says whether there was one. The lines of sizes are gathered.
fn place(
    clear: &mut Clear,
    size: &Size,
    scale: &impl Fn(&Point) -> Point,
    lines: &mut Vec<[Point; 2]>,
) -> bool {
    let words = Words::plain(Point::ZERO, FIGURES, &size.words);
    for off in OFFS {
        for (ends, away) in &size.ways {
            let feet = [scale(&ends[0]), scale(&ends[1])];
            let [from, to] = feet.map(|p| p + *away * off);
            let own = [[from, to], [feet[0] + *away, from], [feet[1] + *away, to]];
            let bars = |line: &[Point; 2]| {
                clear.runs_over(line)
                    || !clear.is_open(line)
                    || lines.iter().any(|other| clear::meet(line, other))
            };
            if (to - from).hypot() < 1.0 || own.iter().any(bars) {
                continue;
            }
            let (centre, lead) = (from.midpoint(to), off - 1.0);
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
                let words = Words { at: start(centre + shift, &words), ..words.clone() };
                let bounds = words.bounds();
                let beside = |line: &[Point; 2]| !clear::crosses(line, &bounds.grown(0.4));
                if clear.is_free(bounds) && own.iter().all(beside) {
                    running::dimension(clear, from, to, *away, lead);
                    clear.draw(Item::Words(words));
                    lines.extend(own);
                    return true;
                }
            }
        }
    }
    false
}

/// The place in the centre of what is seen of a face, among sides of which later ones hide
/// earlier ones; none where nothing is seen of it.
fn seen(patches: &[Patch], face: usize) -> Option<Point> {
    /// Places that are tried along each side of its rectangle.
    const TRIED: usize = 24;
    let (at, patch) = patches.iter().enumerate().find(|(_, patch)| patch.face == Some(face))?;
    let bounds = patch.loops.iter().flatten().fold(Bounds::EMPTY, |b, p| b.with(*p));
    let step = Vec2::new(bounds.width(), bounds.height()) / TRIED as f64;
    // One place more on every side, which lies beside the face.
    let across = TRIED + 2;
    let place = |i: usize| {
        let (column, row) = ((i % across) as f64 - 0.5, (i / across) as f64 - 0.5);
        bounds.min + (step.x * column, step.y * row)
    };
    let hides = |patch: &Patch, p: Point| {
        patch.loops.iter().filter(|ring| within(ring, p)).count() % 2 == 1
    };
    let (free, hidden): (Vec<Point>, Vec<Point>) = (0..across * across)
        .map(place)
        .partition(|p| hides(patch, *p) && !patches[at + 1..].iter().any(|o| hides(o, *p)));
    // As far as can be from all that hides it and from its outline; of equals the first.
    let room = |p: &Point| hidden.iter().map(|q| (*q - *p).hypot2()).fold(f64::INFINITY, f64::min);
    let roomy = free.into_iter().map(|p| (room(&p), p));
    roomy
        .fold(None, |best: Option<(f64, Point)>, (room, p)| match best {
            Some((max, _)) if max >= room - 1e-9 => best,
            _ => Some((room, p)),
        })
        .map(|(_, p)| p)
}

/// Whether a point lies within a ring of points.
fn within(ring: &[Point], p: Point) -> bool {
    let next = ring.iter().cycle().skip(1);
    let crossed = ring.iter().zip(next).filter(|(a, b)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
    });
    crossed.count() % 2 == 1
}

/// A ring of points as edges.
fn closed(points: impl Iterator<Item = Point>) -> Vec<Edge> {
    let points: Vec<Point> = points.collect();
    let next = points.iter().cycle().skip(1);
    let pairs = points.iter().zip(next);
    pairs.filter(|(a, b)| (**a - **b).hypot() > 1e-9).map(|(a, b)| Edge::line(*a, *b)).collect()
}

/// Level stripes that cover a polygon, so that words can be kept off it.
fn cover(outline: &[Point]) -> Vec<Bounds> {
    const STRIPE: f64 = 2.0;
    let bounds = outline.iter().fold(Bounds::EMPTY, |b, p| b.with(*p));
    let count = (bounds.height() / STRIPE).ceil().max(1.0) as usize;
    let mut stripes = Vec::new();
    for i in 0..count {
        let y = bounds.min.y + (i as f64 + 0.5) * bounds.height() / count as f64;
        let mut crossings: Vec<f64> = outline
            .iter()
            .zip(outline.iter().cycle().skip(1))
            .filter(|(a, b)| (a.y > y) != (b.y > y))
            .map(|(a, b)| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x))
            .collect();
        crossings.sort_by(f64::total_cmp);
        let half = bounds.height() / count as f64 / 2.0;
        stripes.extend(crossings.chunks_exact(2).map(|pair| Bounds {
            min: Point::new(pair[0], y - half),
            max: Point::new(pair[1], y + half),
        }));
    }
    stripes
}
