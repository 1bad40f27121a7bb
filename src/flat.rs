//! A part to its blank: the faces laid into one plane, with the bend allowances between them.
//!
//! Each face is cut back to where its bend begins; between them is the bend's strip, as long as its
//! allowance. The faces are joined by splicing their outlines along the line where the bend begins,
//! so lines stay lines and no boolean can blur them.

mod cope;
mod corner;
mod drawn;
mod elsewhere;
mod highlight;
mod joint;
mod lighten;
mod marks;
mod notch;
mod pattern;
mod pierce;
mod splice;
mod without;

use crate::diag::Finding;
use crate::flat::without::without;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::part::Bend;
use crate::part::Hole;
use crate::part::Part;
pub(crate) use cope::rolled_tool;
use elsewhere::Elsewhere;
pub use highlight::Highlight;
pub(crate) use highlight::spot;
use joint::Joint;
pub use pattern::BendStrip;
pub use pattern::Corner;
pub use pattern::Flat;
pub use pattern::FlatHole;
pub use pattern::FlatMark;
pub use pattern::ShortCorner;
use pierce::pierce;

/// A flange reaches a corner when its gap is no more than this, mm: too small to be seen.
const REACHES: f64 = 0.01;

/// A part with the openings that are to lighten it.
///
/// # Errors
/// When its tubes are not cut yet, its faces cannot be unfolded, or metal would be cut free in an
/// opening.
pub fn lighten(part: Part) -> Result<Part, Vec<Finding>> {
    if let Some(tube) = part.tubes.iter().find(|tube| !tube.cut) {
        let headline = "the part is unfolded before its tubes are cut";
        return Err(vec![Finding::stop("cut-folded", headline).at(tube.span, "")]);
    }
    if lighten::done(&part).is_ok() {
        return Ok(part);
    }
    let faces = cut_back(&part)?.faces;
    lighten::cut(part, faces)
}

/// Unfolds a part, whose faces are lightened already: see [`lighten`].
///
/// # Errors
/// When the faces cannot be cut from one blank, or a hole leaves its face.
pub fn unfold(part: &Part) -> Result<Flat, Vec<Finding>> {
    lighten::done(part)?;
    let CutBack { whole, joints, places, faces, cuts, short_corners, corners } = cut_back(part)?;
    let mut strips = Vec::with_capacity(part.bends.len());
    for (bend, joint) in part.bends.iter().zip(&joints) {
        let refuse = |words: String| vec![refusal(part, bend, &words)];
        let mut strip = joint.strip(bend, &places[bend.from]).map_err(refuse)?;
        for cut in &cuts {
            strip.metal = without(&strip.metal, &cut.outline).map_err(refuse)?;
        }
        strip.area = strip.metal.area();
        strips.push(strip);
    }
    let blank = joined(part, whole, &joints, &places, &cuts)?;
    let refuse = |(bend, words): (usize, String)| vec![refusal(part, &part.bends[bend], &words)];
    let blank = drawn::pierced(blank, &strips).map_err(refuse)?;
    let elsewhere = Elsewhere::new(part, &faces, &places, &strips);
    let faces = part.faces.iter().zip(&faces).map(|(face, metal)| with_holes(metal, &face.holes));
    let mut faces: Vec<Region> = faces.collect();
    drawn::open(part, &mut faces, &places, &mut strips).map_err(refuse)?;
    let (region, holes) = pierce(part, blank, &places, &elsewhere)?;
    let marks = marks::marks(part, &region, &places, &strips);
    Ok(Flat { region, holes, bends: strips, marks, places, faces, short_corners, corners })
}

/// The faces of a part, cut back to their bends, and how they hang together.
struct CutBack {
    /// As joined in the blank.
    whole: Vec<Region>,
    joints: Vec<Joint>,
    /// Where each lies in the blank.
    places: Vec<Place>,
    /// As folded.
    faces: Vec<Region>,
    /// The areas cut at corners, in the blank.
    cuts: Vec<CornerCut>,
    short_corners: Vec<ShortCorner>,
    corners: Vec<Corner>,
}

/// Cuts the faces of a part back to their bends.
fn cut_back(part: &Part) -> Result<CutBack, Vec<Finding>> {
    let mut whole: Vec<Region> = part.faces.iter().map(|f| f.blank.clone()).collect();
    for bend in &part.bends {
        whole[bend.to] = carried(part, &whole[bend.to], bend).map_err(|f| vec![f])?;
    }
    let mut joints: Vec<Joint> = part.bends.iter().map(|b| Joint::new(part, b)).collect();
    let Fitted { mut faces, mut cuts, short_corners, corners } =
        fitted(part, &mut whole, &mut joints)?;
    let mut places = vec![Place::default(); part.faces.len()];
    for (bend, joint) in part.bends.iter().zip(&joints) {
        places[bend.to] = joint.place.then(&places[bend.from]);
    }
    for cut in &mut cuts {
        let bend = &part.bends[cut.bend];
        cut.outline = cut.outline.moved(&places[bend.from]);
        // Where a strip is short, the cut reaches over it into the next face.
        for (face, place) in faces.iter_mut().zip(&places) {
            let seen = cut.outline.moved(&place.back());
            *face = without(face, &seen).map_err(|w| vec![refusal(part, bend, &w)])?;
        }
    }
    Ok(CutBack { whole, joints, places, faces, cuts, short_corners, corners })
}

/// A cut at a corner of a face.
struct CornerCut {
    /// The first of its two bends.
    bend: usize,
    outline: Outline,
}

/// The faces of a part beside their bends.
struct Fitted {
    /// As folded.
    faces: Vec<Region>,
    /// The areas to cut at their corners.
    cuts: Vec<CornerCut>,
    short_corners: Vec<ShortCorner>,
    corners: Vec<Corner>,
}

/// Cuts every face back to where its bends begin, with reliefs.
fn fitted(part: &Part, whole: &mut [Region], joints: &mut [Joint]) -> Result<Fitted, Vec<Finding>> {
    let bends = &part.bends;
    let refuse = |bend: usize| move |words: String| vec![refusal(part, &bends[bend], &words)];
    for (i, joint) in joints.iter_mut().enumerate() {
        joint.find_ends(&whole[bends[i].to]).map_err(refuse(i))?;
        let (from, to) = (bends[i].from, bends[i].to);
        joint.cope(&bends[i], &part.faces[from].copes, &whole[from], &whole[to]);
    }
    drawn::check_relief(part, joints).map_err(|finding| vec![finding])?;
    let meetings = corner::meetings(bends, joints);
    let mut short_corners = corner::alone(bends, &meetings);
    for meeting in &meetings {
        meeting.can_meet(bends)?;
        for (which, bend) in meeting.bends.into_iter().enumerate() {
            let carried = &whole[bends[bend].to];
            let trimmed = meeting.trim(which, bends, joints, carried).map_err(refuse(bend))?;
            whole[bends[bend].to] = trimmed.face;
            let other = Some((meeting.bends[1 - which], trimmed.short));
            let reaches = trimmed.short <= REACHES;
            short_corners.extend((!reaches).then_some(ShortCorner { bend, other }));
        }
        let [first, second] = meeting.bends;
        joints[first].corners.1 = true;
        joints[second].corners.0 = true;
    }
    // A face that carries others is cut back for them before it is hung on itself.
    let mut torn: Vec<Region> = whole.to_vec();
    let order = std::iter::once(0).chain(bends.iter().map(|b| b.to)).collect::<Vec<_>>();
    for face in order.into_iter().rev() {
        let standing: Vec<usize> = (0..bends.len()).filter(|i| bends[*i].from == face).collect();
        for i in &standing {
            joints[*i].find_ends(&whole[bends[*i].to]).map_err(refuse(*i))?;
            whole[face] = joints[*i].cleared_or_torn(&whole[face]).map_err(refuse(*i))?;
        }
        for i in &standing {
            joints[*i].settle(&whole[face]).map_err(refuse(*i))?;
        }
        for i in &standing {
            whole[face] = joints[*i].relieved(&whole[face]).map_err(refuse(*i))?;
            let to = bends[*i].to;
            let relieved = joints[*i].carried_relieved(&whole[to], part.thickness);
            whole[to] = relieved.map_err(refuse(*i))?;
        }
    }
    torn.clone_from_slice(whole);
    for (i, joint) in joints.iter().enumerate() {
        let face = bends[i].from;
        if joint.tears() {
            torn[face] = joint.cleared(&torn[face]).map_err(refuse(i))?;
        }
    }
    let mut cuts = Vec::new();
    for meeting in &meetings {
        let [bend, _] = meeting.bends;
        let outline = meeting.relief(bends, joints).map_err(refuse(bend))?;
        cuts.extend(outline.map(|outline| CornerCut { bend, outline }));
    }
    let corners = meetings.iter().filter_map(|meeting| meeting.asked(bends)).collect();
    Ok(Fitted { faces: torn, cuts, short_corners, corners })
}

/// The faces hung on each other, and their corners relieved.
fn joined(
    part: &Part,
    mut whole: Vec<Region>,
    joints: &[Joint],
    places: &[Place],
    reliefs: &[CornerCut],
) -> Result<Region, Vec<Finding>> {
    let alone: Vec<Region> = whole.iter().zip(places).map(|(f, place)| f.moved(place)).collect();
    // From the outermost bend inwards, so that each face is whole when it is hung on.
    for (bend, joint) in part.bends.iter().zip(joints).rev() {
        let child = whole[bend.to].moved(&joint.place);
        let joined = splice::join(&whole[bend.from], &child, joint.seam());
        whole[bend.from] = joined.map_err(|words| {
            vec![overlapping(part, &alone, bend).unwrap_or_else(|| refusal(part, bend, &words))]
        })?;
    }
    let mut blank = whole.swap_remove(0);
    for relief in reliefs {
        let cut = without(&blank, &relief.outline);
        blank = cut.map_err(|w| vec![refusal(part, &part.bends[relief.bend], &w)])?;
    }
    Ok(blank)
}

/// Two faces that would overlap in the blank.
fn overlapping(part: &Part, alone: &[Region], bend: &Bend) -> Option<Finding> {
    let pairs = (0..alone.len()).flat_map(|i| (i + 1..alone.len()).map(move |j| (i, j)));
    let on_top = |&(i, j): &(usize, usize)| {
        crate::geom::area_distance(alone[i].outer(), alone[j].outer()) < NEAR
    };
    let (i, j) = pairs.into_iter().find(on_top)?;
    let [first, second] = [i, j].map(|f| part.faces[f].name.as_str());
    let headline = format!(
        "the faces `{first}` and `{second}` cannot be cut from one blank: in the flat they overlap"
    );
    let near = part.bends.iter().find(|b| b.to == j).unwrap_or(bend);
    Some(Finding::stop("bend", headline).at(near.span, "").help(
        "make one of them smaller or shift it with `offset`, or weld one on as a separate part",
    ))
}

fn refusal(part: &Part, bend: &Bend, words: &str) -> Finding {
    let headline =
        format!("the faces at bend `{}` cannot be cut from one blank: {words}", bend.name);
    let [behind, flange] = [bend.from, bend.to].map(|face| &part.faces[face].name);
    Finding::stop("bend", headline).at(bend.span, "").help(format!(
        "make face `{behind}` larger where it carries `{flange}`, `{flange}` narrower or shifted with `offset`, or weld `{flange}` on as a separate part"
    ))
}

/// The face a bend carries, without the metal nearer to the edge than where the bend ends.
fn carried(part: &Part, blank: &Region, bend: &Bend) -> Result<Region, Finding> {
    let back = bend.drawn_setback();
    let bounds = blank.bounds();
    let tall = back - bounds.min.y;
    if tall <= NEAR {
        return Ok(blank.clone());
    }
    if bounds.max.y <= back + NEAR {
        let needed = crate::num::text(back, 2);
        return Err(Finding::stop(
            "bend",
            format!("the flange at bend `{}` is shorter than the bend itself", bend.name),
        )
        .at(bend.span, "")
        .note(format!("the bend ends {needed} mm from the mould line to which the flange is drawn"))
        .help(format!("make the flange longer than {needed} mm, or the radius smaller")));
    }
    let wide = 2.0 * (bounds.width() + 1.0);
    let centre = Point::new(bounds.centre().x, back - (tall + 1.0) / 2.0);
    let tool = crate::geom::rectangle(centre, wide, tall + 1.0, 0.0);
    let cut =
        tool.map_err(|e| e.to_string()).and_then(|t| blank.without(&t).map_err(|e| e.to_string()));
    cut.map_err(|words| refusal(part, bend, &words))
}

/// The metal of a face without its holes. One that runs into a bend is cut where it is in
/// the face; the checks report the error.
fn with_holes(metal: &Region, holes: &[Hole]) -> Region {
    holes.iter().fold(metal.clone(), |metal, hole| {
        let pierced = metal.clone().pierced(hole.outline.clone());
        pierced.or_else(|_| metal.without(&hole.outline)).unwrap_or(metal)
    })
}

/// From a part's own coordinates to those of its file: its lower left corner at the origin.
pub(crate) fn to_origin(flat: &Region) -> Place {
    let bounds = flat.bounds();
    Place::at(Point::ZERO - bounds.min.to_vec2())
}
