//! Whether a part comes between the tools, and off them again.
//!
//! The tools above the part are checked as they go up, and those below it as the part is lifted;
//! either may move straight, or in one direction and then another, never towards the tool. Pieces
//! of a tool can also be removed along the bend line, where the rest of the brake lets the part
//! pass. How far the brake opens is not known, so that is not checked, and a part is not tilted.

use crate::geom::Vec2;
use crate::geom::ray;
use crate::sequence::block_outline::Berth;
use crate::sequence::block_outline::BlockOutline;
use crate::sequence::body::Pose;
use crate::sequence::hull;
use crate::sequence::section::Bending;
use crate::sequence::section::Fixture;
use crate::sequence::setup::Setup;
use crate::sequence::view::TOUCH;
use crate::sequence::view::View;

/// Between directions that are tried, degrees.
const TURN: f64 = 15.0;

/// Lengths of a first move, mm. Our choice.
const MOVES: [f64; 8] = [3.0, 6.0, 12.0, 25.0, 50.0, 100.0, 200.0, 400.0];

/// Past everything, mm more than the part and the tools are large.
const BEYOND: f64 = 20.0;

/// A generous bound of rounding errors, mm.
const ROUNDING: f64 = 1e-6;

/// A tool with the part in its coordinates.
struct Sight<'a> {
    plain: bool,
    fixture: &'a Fixture<'a>,
    seen: Vec<BlockOutline>,
}

/// Whether a part comes off tools that are all above it, or all below it.
pub(super) fn can_come_off(
    bending: &Bending,
    pose: &Pose,
    setup: &Setup,
    fixtures: &[Fixture],
    above: bool,
) -> bool {
    let sight = |span: fn(&Fixture) -> Option<[f64; 2]>| {
        let of = |fixture| Sight {
            plain: bending.body.plain,
            fixture,
            seen: View::new(bending, pose, setup, fixture).all(span(fixture)),
        };
        fixtures.iter().map(of).collect::<Vec<Sight>>()
    };
    if goes(&sight(|f| f.span), above) {
        return true;
    }
    // Along the bend line: the pieces are left at one end, the rest as before.
    let whole: Vec<Sight> =
        sight(|f| f.span).into_iter().filter(|s| s.fixture.span.is_none()).collect();
    if whole.is_empty() || whole.len() == fixtures.len() || !goes(&whole, above) {
        return false;
    }
    let slides = |sights: Vec<Sight>| {
        let pieces = sights.iter().filter(|s| s.fixture.span.is_some());
        pieces.into_iter().all(|s| s.clear(Vec2::ZERO, Vec2::ZERO))
    };
    slides(sight(|f| f.span.map(|[_, high]| [f64::NEG_INFINITY, high])))
        || slides(sight(|f| f.span.map(|[low, _]| [low, f64::INFINITY])))
}

/// Whether there is a way out of one or two moves.
fn goes(sights: &[Sight], above: bool) -> bool {
    let far = BEYOND + sights.iter().map(Sight::size).fold(0.0, f64::max);
    // The part leaves tools above it downwards or to a side; straight is tried first.
    let straight = if above { 270.0 } else { 90.0 };
    let out = |from: Vec2| {
        let count = (90.0 / TURN) as usize;
        let mut off = (0..=count).flat_map(|i| [TURN * i as f64, -TURN * i as f64]);
        off.any(|off| clear(sights, from, ray(straight + off) * far))
    };
    if out(Vec2::ZERO) {
        return true;
    }
    // Never towards the tool, through the sheet that lies on it.
    let count = (90.0 / TURN) as usize;
    let mut first = (0..=count).flat_map(|i| [TURN * i as f64, -TURN * i as f64]);
    first.any(|off| {
        let shift = ray(straight + off);
        for by in MOVES {
            if !clear(sights, Vec2::ZERO, shift * by) {
                return false;
            }
            if out(shift * by) {
                return true;
            }
        }
        false
    })
}

fn clear(sights: &[Sight], from: Vec2, by: Vec2) -> bool {
    sights.iter().all(|sight| sight.clear(from, by))
}

impl Sight<'_> {
    /// Whether the part clears the tool on a straight move.
    fn clear(&self, from: Vec2, by: Vec2) -> bool {
        let bounds = self.fixture.stand.section.bounds;
        let mut solid = self.seen.iter().filter(|seen| seen.berth != Berth::Closes);
        solid.all(|seen| {
            let around = hull::bounds(&seen.polygon).shifted(from);
            if !self.plain
                && around.and(around.shifted(by)).distance(&bounds) > seen.skin + ROUNDING
            {
                return true;
            }
            let path = hull::swept(&seen.polygon, from, by);
            let min = (seen.skin - TOUCH).max(0.0);
            hull::bounds(&path).distance(&bounds) > seen.skin
                || self.fixture.stand.section.distance_to(&path) > min
        })
    }

    /// The extent of the tool and the part, mm.
    fn size(&self) -> f64 {
        let all = self.seen.iter().map(|seen| hull::bounds(&seen.polygon));
        let whole = all.fold(self.fixture.stand.section.bounds, |a, b| a.and(b));
        whole.width() + whole.height()
    }
}
