//! Cut-outs by letter, behind those of the holes: their size and where their centres are.

use crate::drawings::hole_angle;
use crate::drawings::hole_dimensions::letter;
use crate::flat::to_origin;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::job::Job;
use crate::paper::Callout;
use crate::paper::Spot;
use crate::paper::figure_text;
use crate::part::Lighten;
use crate::part::Lightened;
use crate::solve::Solved;

/// The cut-outs of a part with their letters, the lower left corner of the flat at the origin;
/// the first letters are used by its holes, `taken` of them.
pub(super) fn spots(solved: &Solved, taken: usize) -> Vec<Spot> {
    let place = to_origin(&solved.flat.region);
    let spot = |(i, outline): (usize, &Outline)| {
        let outline = outline.moved(&place);
        Spot { label: letter(taken + i), at: outline.bounds().centre(), outline }
    };
    solved.flat.gaps().iter().enumerate().map(spot).collect()
}

/// The size of each kind of cut-out: of round ones and slots their dimensions, of those that
/// lighten a face the walls they keep and the radius of their corners. `first` is the number of
/// the first among the spots of the flat.
pub(super) fn callouts(job: &Job, solved: &Solved, spots: &[Spot], first: usize) -> Vec<Callout> {
    let text = |mm: f64| figure_text(job.units, mm);
    let mut callouts: Vec<(String, Vec<usize>)> = Vec::new();
    for (i, spot) in spots.iter().enumerate() {
        let size =
            match (spot.outline.circle(), spot.outline.slot(), lightens(solved, &spot.outline)) {
                (Some((_, radius)), _, _) => format!("Ø{}", text(2.0 * radius)),
                (None, Some((_, length, width)), _) => {
                    format!("slot {} × {}", text(width), text(length))
                }
                (None, None, Some(asked)) => {
                    format!("walls {}, corners R{}", text(asked.wall), text(asked.radius))
                }
                (None, None, None) => continue,
            };
        match callouts.iter_mut().find(|(other, _)| *other == size) {
            Some((_, of)) => of.push(first + i),
            None => callouts.push((size, vec![first + i])),
        }
    }
    let counted = |(size, of): (String, Vec<usize>)| {
        let size = if of.len() > 1 { format!("{}× {size}", of.len()) } else { size };
        let lies = slot_angles(spots, &of, first);
        let letters = of.iter().map(|i| spots[i - first].label.as_str());
        let letters = letters.collect::<Vec<_>>().join(", ");
        Callout { lines: std::iter::once(size).chain(lies).collect(), letters, of }
    };
    callouts.into_iter().map(counted).collect()
}

/// At what angle the slots among cut-outs lie, where any slants.
fn slot_angles(spots: &[Spot], of: &[usize], first: usize) -> Vec<String> {
    let spot = |i: &usize| &spots[*i - first];
    let words = |spot: &Spot| {
        let runs = spot.outline.slot().and_then(|_| spot.outline.runs_at())?;
        Some((spot.label.clone(), hole_angle::at(runs), spot.slants().is_some()))
    };
    hole_angle::lines(&of.iter().map(spot).filter_map(words).collect::<Vec<_>>())
}

/// The outlines of cut-outs whose corners are dimensioned: all but round ones, slots and those
/// that walls define.
pub(super) fn defined(solved: &Solved, spots: &[Spot]) -> Vec<Outline> {
    let outlines = spots.iter().map(|spot| &spot.outline);
    let is = |outline: &&Outline| !is_plain(outline) && lightens(solved, outline).is_none();
    outlines.filter(is).cloned().collect()
}

/// Whether a cut-out is round or a slot: then its centre is given, and not its corners.
pub(super) fn is_plain(outline: &Outline) -> bool {
    outline.circle().is_some() || outline.slot().is_some()
}

/// The walls and the radius of a lightening opening, if an outline is one.
fn lightens<'a>(solved: &'a Solved, outline: &Outline) -> Option<&'a Lighten> {
    let origin = to_origin(&solved.flat.region);
    let faces = solved.part.faces.iter().zip(&solved.flat.places);
    let mut all = faces.flat_map(|(face, place)| {
        let pairs = face.lighten.iter().zip(&face.lightened);
        pairs.map(move |pair| (pair, place.then(&origin)))
    });
    let is = |((_, cut), place): &((&Lighten, &Lightened), Place)| {
        cut.openings.iter().any(|opening| same(&opening.moved(place), outline))
    };
    all.find(is).map(|((asked, _), _)| asked)
}

/// Whether two outlines are one.
fn same(a: &Outline, b: &Outline) -> bool {
    let (first, second) = (a.bounds(), b.bounds());
    let corners = [(first.min, second.min), (first.max, second.max)];
    (a.area() - b.area()).abs() < NEAR && corners.iter().all(|(p, q)| (*q - *p).hypot() < NEAR)
}

/// The openings that were left out because they are too narrow, in words.
pub(super) fn left_out(job: &Job, solved: &Solved) -> Vec<String> {
    let faces = solved.part.faces.iter();
    let all = faces.flat_map(|face| face.lighten.iter().zip(&face.lightened));
    let some = all.filter(|(_, cut)| cut.left_out > 0);
    let words = |(asked, cut): (&Lighten, &Lightened)| {
        let (n, width) = (cut.left_out, job.units.length(asked.smallest));
        let noun = if n == 1 { "opening" } else { "openings" };
        format!("Lightening: {n} {noun} narrower than {width} left out.")
    };
    some.map(words).collect()
}
