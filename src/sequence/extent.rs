//! How far the sheet reaches flat on either side of a bend.

use crate::geom::Space;
use crate::sequence::body::Block;
use crate::sequence::plane::Plane;
use crate::sequence::section::Bending;
use crate::sequence::setup::Setup;

/// Places along the bend at which its sides are measured.
const PLACES: usize = 48;

/// How much at either end of a bend may be without support, mm, but no more than [`END_SHARE`] of
/// it. Our choice: half of the length allowed without a piece of tool.
const END: f64 = 6.0;

const END_SHARE: f64 = 0.125;

/// The same at a fold line that crosses the edges at a slant, where the sheet beside it tapers to a
/// tip: `bend-taper` reports it. Our choice.
pub(crate) const SLANTED_SHARE: f64 = 0.25;

/// A notch no wider than this does not end a side, mm: the length allowed without a piece of tool,
/// unless the shop gives it.
const NOTCH: f64 = 12.0;

/// How far one side of a bend reaches, mm from where the bend begins.
#[derive(Clone, Copy, Debug)]
pub(super) struct Extent {
    /// Where it is shortest, the ends of the bend left out.
    pub(super) shortest: f64,
    /// Along half of the bend it reaches as far or farther.
    pub(super) half: f64,
}

/// The clamped side, and the other.
pub(super) fn of(bending: &Bending, setup: &Setup) -> [Extent; 2] {
    [true, false].map(|held| {
        let plane = bending.at_end(&bending.flat, setup, held);
        let holds_standing = setup.hold == bending.drawn().from;
        let carried = held != holds_standing;
        let sign = if held { -1.0 } else { 1.0 };
        let blocks = bending.flat.all().filter(|b| b.plate && b.carried == carried);
        let slanted = bending.drawn().zone.as_ref().is_some_and(|zone| !zone.is_square());
        let width = bending.width();
        let end = if slanted { SLANTED_SHARE * width } else { END.min(END_SHARE * width) };
        side(blocks, &plane, sign, (width, end))
    })
}

/// How far the clamped side reaches below the tops of level jaws, mm, including earlier bends: the bend
/// begins at the centre of the bar that lies on the front jaw, a radius above them.
pub(super) fn hangs(bending: &Bending, setup: &Setup) -> f64 {
    let plane = bending.at_end(&bending.flat, setup, true);
    let carried = setup.hold != bending.drawn().from;
    let blocks = bending.flat.all().filter(|block| block.carried == carried);
    let reach = |p: &Space| -plane.seen(*p)[1];
    let far = blocks.flat_map(|block| &block.corners).map(reach).fold(0.0, f64::max);
    (far - bending.drawn().bend.radius()).max(0.0)
}

fn side<'a>(
    blocks: impl Iterator<Item = &'a Block>,
    plane: &Plane,
    sign: f64,
    (width, end): (f64, f64),
) -> Extent {
    let flat = |block: &Block| {
        let ring = block.corners.len() / 2;
        let seen = block.corners[..ring].iter().map(|c| plane.seen(*c));
        seen.map(|[x, u, _]| [x, sign * u]).collect::<Vec<[f64; 2]>>()
    };
    let pieces: Vec<Vec<[f64; 2]>> = blocks.map(flat).collect();
    let place = |i: usize| end + (width - 2.0 * end) * i as f64 / (PLACES - 1) as f64;
    let mut reach: Vec<f64> = (0..PLACES).map(|i| reach(&pieces, place(i))).collect();
    reach.sort_by(f64::total_cmp);
    Extent { shortest: reach[0], half: reach[PLACES / 2] }
}

/// How far the metal extends at one place along the bend, over notches.
fn reach(pieces: &[Vec<[f64; 2]>], x: f64) -> f64 {
    let mut spans: Vec<[f64; 2]> = pieces.iter().filter_map(|p| across(p, x)).collect();
    spans.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut far = 0.0;
    for [from, to] in spans {
        if from > far + NOTCH {
            break;
        }
        far = to.max(far);
    }
    far
}

/// From where to where a convex polygon lies at one place.
fn across(polygon: &[[f64; 2]], x: f64) -> Option<[f64; 2]> {
    let mut span: Option<[f64; 2]> = None;
    let next = polygon.iter().cycle().skip(1);
    for (a, b) in polygon.iter().zip(next) {
        if (a[0] <= x) != (b[0] <= x) {
            let at = a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0]);
            let [low, high] = span.unwrap_or([at, at]);
            span = Some([low.min(at), high.max(at)]);
        }
    }
    span
}
