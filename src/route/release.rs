//! The order in which pieces with common cuts come free.
//!
//! Metal that is being cut must still be attached to the sheet: a loose piece moves. Seen from the
//! end backwards, each cut is a joint that attaches the metal on one side of it to what is attached
//! already. So outlines come last, common cuts before them, and those deepest among the pieces
//! first. Scrap enclosed by common cuts and outlines is attached to its neighbours alone and counts
//! as a piece. Scrap enclosed by outlines one kerf apart without a common cut is not seen: there
//! the last bit of an outline may be cut when its piece is loose.

use crate::geom::Edge;
use crate::geom::Point;
use crate::route::common_cuts::CommonCuts;
use crate::route::common_cuts::Line;
use crate::route::common_cuts::join;
use crate::route::common_cuts::root;
use crate::route::cut::Cut;
use std::collections::BTreeMap;
use std::collections::BTreeSet;

/// How far a common cut may end beside the straight between its ends, mm, when several are cut in
/// one run. Our choice: it shows on no piece.
const STRAIGHT: f64 = 0.002;

/// From the end of a common cut to a chain that begins or ends beside it there, as a share of the
/// kerf. Our choice: √½ at a corner, half beside an edge, and a little for deviations.
const BESIDE: f64 = 0.75;

/// The pieces still attached to the sheet.
#[derive(Default)]
struct Hanging {
    pieces: BTreeSet<usize>,
    scraps: BTreeSet<usize>,
}

/// The cuts backwards, the last first: common ones as straight cuts that are added to `straights`,
/// and outlines, whose chains are put in the order of cutting.
pub(super) fn backwards(
    group: &[usize],
    common: &mut CommonCuts,
    kerf: f64,
    straights: &mut Vec<[Point; 2]>,
) -> Vec<Cut> {
    let lines: Vec<Line> =
        common.lines.iter().filter(|l| group.contains(&l.pieces[0])).copied().collect();
    let (mut scraps, sheet) = scraps(group, common, &lines, kerf);
    let mut hanging = Hanging { scraps: BTreeSet::from([sheet]), ..Hanging::default() };
    let mut outlines: Vec<usize> =
        group.iter().copied().filter(|p| !rest_of(common, *p).is_empty()).collect();
    let mut runs = runs(lines);
    let mut cuts = Vec::new();
    let mut at = None;
    loop {
        if let Some(i) = nearest_outline(&outlines, common, &scraps, &hanging, at) {
            let piece = outlines.remove(i);
            let around = scraps.entry(piece).or_default();
            let last = around.iter().position(|s| hanging.scraps.contains(s));
            if let Some((last, rest)) = last.zip(common.rests[piece].as_mut()) {
                let count = rest.len();
                rest.rotate_left((last + 1) % count);
                around.rotate_left((last + 1) % count);
            }
            hanging.pieces.insert(piece);
            hanging.scraps.extend(around.iter());
            at = rest_of(common, piece).first().map(|chain| chain[0].from);
            cuts.push(Cut::Outline(piece));
            continue;
        }
        let Some(run) = next_run(&mut runs, &hanging, at) else { break };
        for piece in run.iter().flat_map(|line| line.pieces) {
            // A piece without a separate outline is released by its last common cut.
            if hanging.pieces.insert(piece) && rest_of(common, piece).is_empty() {
                cuts.push(Cut::Outline(piece));
            }
        }
        // Added from one end backwards, so cut from the other.
        let ends = [run[run.len() - 1].to, run[0].from];
        cuts.push(Cut::Common(straights.len()));
        straights.push(ends);
        at = Some(ends[0]);
    }
    cuts
}

fn rest_of(common: &CommonCuts, piece: usize) -> &[Vec<Edge>] {
    common.rests[piece].as_deref().unwrap_or_default()
}

/// The nearest outline that borders on something attached.
fn nearest_outline(
    outlines: &[usize],
    common: &CommonCuts,
    scraps: &BTreeMap<usize, Vec<usize>>,
    hanging: &Hanging,
    at: Option<Point>,
) -> Option<usize> {
    let hangs = |i: &usize| {
        let around = scraps.get(&outlines[*i]).into_iter().flatten();
        hanging.pieces.contains(&outlines[*i])
            || around.into_iter().any(|s| hanging.scraps.contains(s))
    };
    let end = |i: usize| rest_of(common, outlines[i]).last().and_then(|c| c.last()).map(|e| e.to);
    let away = |i: usize| away(at, end(i));
    (0..outlines.len()).filter(hangs).min_by(|a, b| away(*a).total_cmp(&away(*b)))
}

fn away(at: Option<Point>, to: Option<Point>) -> f64 {
    at.zip(to).map_or(0.0, |(at, to)| (to - at).hypot())
}

/// The nearest run of common cuts that is attached all along, seen from one of its ends; a single
/// cut of a run where none is.
fn next_run(runs: &mut Vec<Vec<Line>>, hanging: &Hanging, at: Option<Point>) -> Option<Vec<Line>> {
    let mut best: Option<(f64, usize, bool)> = None;
    for (i, run) in runs.iter().enumerate() {
        let ways = [
            (hangs_along(run.iter(), hanging), false, run[0].from),
            (hangs_along(run.iter().rev(), hanging), true, run[run.len() - 1].to),
        ];
        for (_, backwards, end) in ways.into_iter().filter(|(hangs, ..)| *hangs) {
            let away = away(at, Some(end));
            if best.is_none_or(|(min, ..)| away < min) {
                best = Some((away, i, backwards));
            }
        }
    }
    if let Some((_, i, backwards)) = best {
        let run = runs.swap_remove(i);
        return Some(if backwards { reversed(run) } else { run });
    }
    let single = |line: &Line| hangs_along(std::iter::once(line), hanging);
    let (i, k) = runs
        .iter()
        .enumerate()
        .find_map(|(i, run)| run.iter().position(single).map(|k| (i, k)))
        // Groups are joined, so this never happens; still, a cut must not be lost.
        .or_else(|| (!runs.is_empty()).then_some((0, 0)))?;
    let mut run = runs.swap_remove(i);
    let after = run.split_off(k + 1);
    let line = run.pop()?;
    runs.extend([run, after].into_iter().filter(|part| !part.is_empty()));
    Some(vec![line])
}

fn reversed(run: Vec<Line>) -> Vec<Line> {
    run.into_iter().rev().map(|l| Line { from: l.to, to: l.from, ..l }).collect()
}

/// Whether each cut, added in this order, has a piece beside it that is attached by then.
fn hangs_along<'a>(run: impl Iterator<Item = &'a Line>, hanging: &Hanging) -> bool {
    let mut more: Vec<usize> = Vec::new();
    for line in run {
        if !line.pieces.iter().any(|p| hanging.pieces.contains(p) || more.contains(p)) {
            return false;
        }
        more.extend(line.pieces);
    }
    true
}

/// Collinear cuts joined to one straight cut each.
fn runs(mut lines: Vec<Line>) -> Vec<Vec<Line>> {
    for line in &mut lines {
        let way = line.to - line.from;
        // Any fixed direction; no side of a plate is likely to be square to this one.
        if way.x + 0.371 * way.y < 0.0 {
            (line.from, line.to) = (line.to, line.from);
        }
    }
    lines.sort_by(|a, b| a.from.x.total_cmp(&b.from.x).then(a.from.y.total_cmp(&b.from.y)));
    let mut runs: Vec<Vec<Line>> = Vec::new();
    while !lines.is_empty() {
        let mut run = vec![lines.remove(0)];
        while let Some(i) = lines.iter().position(|next| continues(&run, next)) {
            run.push(lines.remove(i));
        }
        while let Some(i) = lines.iter().position(|first| {
            continues(&[*first], &run[0]) && is_straight(std::iter::once(first).chain(&run))
        }) {
            run.insert(0, lines.remove(i));
        }
        runs.push(run);
    }
    runs
}

/// Whether a cut begins where a run ends, within the tolerance, and all of it is straight.
fn continues(run: &[Line], next: &Line) -> bool {
    let end = run[run.len() - 1].to;
    (next.from - end).hypot() <= 2.0 * crate::route::common_cuts::MAX_OFF
        && is_straight(run.iter().chain([next]))
}

fn is_straight<'a>(run: impl Iterator<Item = &'a Line> + Clone) -> bool {
    let (Some(first), Some(last)) = (run.clone().next(), run.clone().last()) else { return true };
    let along = (last.to - first.from).normalize();
    let off = |p: Point| (p - first.from).cross(along).abs();
    run.flat_map(|l| [l.from, l.to]).all(|p| off(p) <= STRAIGHT)
}

/// By piece, for each chain of its outline the scrap on its other side; and which of them is the
/// sheet. Where two chains meet at one common cut they border on the same scrap.
fn scraps(
    group: &[usize],
    common: &CommonCuts,
    lines: &[Line],
    kerf: f64,
) -> (BTreeMap<usize, Vec<usize>>, usize) {
    let chains: Vec<(usize, &Vec<Edge>)> =
        group.iter().flat_map(|p| rest_of(common, *p).iter().map(move |c| (*p, c))).collect();
    let mut of: Vec<usize> = (0..chains.len()).collect();
    for end in lines.iter().flat_map(|l| [l.from, l.to]) {
        let comes = |i: &usize| {
            let chain = chains[*i].1;
            let ends = [chain[0].from, chain[chain.len() - 1].to];
            ends.iter().any(|p| (*p - end).hypot() <= BESIDE * kerf)
        };
        let here: Vec<usize> = (0..chains.len()).filter(comes).collect();
        here.windows(2).for_each(|two| join(&mut of, [two[0], two[1]]));
    }
    let left = |i: &usize| chains[*i].1.iter().map(|e| e.bounds().min.x).fold(f64::MAX, f64::min);
    // The leftmost chain of a group borders on the sheet.
    let sheet = (0..chains.len()).min_by(|a, b| left(a).total_cmp(&left(b)));
    let sheet = sheet.map_or(0, |i| root(&of, i));
    let mut scraps: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (i, (piece, _)) in chains.iter().enumerate() {
        scraps.entry(*piece).or_default().push(root(&of, i));
    }
    (scraps, sheet)
}
