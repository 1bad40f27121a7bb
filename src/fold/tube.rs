//! Tubes cut out of the formed part, developed onto its faces and its bends.
//!
//! Each face is cut along the tube through its whole thickness. A bend drawn across a face is
//! cut along the same tube, rolled flat; a bend before an edge as at any face that is coped.
//! What is left of the bends is then checked against the tube: where metal would stay in it, the
//! part is refused.

use crate::diag::Finding;
use crate::flat;
use crate::flat::Flat;
use crate::fold::axis::Axis;
use crate::fold::folded::Folded;
use crate::fold::folded::FoldedBend;
use crate::fold::made::fold;
use crate::fold::made::frames;
use crate::fold::made::full;
use crate::geom::Frame;
use crate::geom::NEAR;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::RegionError;
use crate::geom::Saddle;
use crate::geom::SaddleError;
use crate::geom::Vec2;
use crate::geom::dot;
use crate::num;
use crate::num::Angle;
use crate::part::Cope;
use crate::part::Coped;
use crate::part::Part;
use crate::part::Tube;
use crate::part::Zone;

/// What to do about a tube that meets a face at too flat an angle.
const STEEPER: &str = "lay its axis along the face, or at a steeper angle to it";

/// So much larger than the tube is what is cut, mm: arcs leave the true curve by less, so that no
/// metal stays in it. Our choice.
const CLEAR: f64 = 0.01;

/// Metal less deep in a tube than this is ignored, mm: the error of arcs and rounding.
const SEEN: f64 = 0.02;

/// From one place to the next at which a bend is checked against a tube, mm. Our choice.
const STEP: f64 = 0.4;

/// An axis that leans less from a face lies along it, degrees: rounding.
const LEVEL: f64 = 1e-7;

/// The path of a tube through a part.
struct Way {
    axis: Axis,
    radius: f64,
    outside: f64,
}

impl Way {
    /// As a face sees it: across its plane where it crosses that, else at the point nearest to
    /// the centre of the face.
    fn seen(&self, frame: &Frame, near: Point, thickness: f64) -> Cope {
        let [x, y, z] = frame.seen(self.axis.at);
        let [dx, dy, dz] = [frame.x, frame.y, frame.z].map(|axis| dot(self.axis.along, axis));
        let up = if dz < 0.0 { -1.0 } else { 1.0 };
        let (along, rise) = (Vec2::new(dx, dy) * up, dz * up);
        let (at, above) = (Point::new(x, y), z + thickness / 2.0);
        let level = Angle::of(along.hypot(), rise).degrees() < LEVEL;
        let by = if level { (near - at).dot(along) } else { -above / rise };
        let rise = if level { 0.0 } else { rise };
        let (radius, outside) = (self.radius, self.outside);
        Cope { at: at + along * by, above: above + rise * by, along, rise, radius, outside }
    }
}

/// A part with its tubes cut out of its faces and bends.
///
/// # Errors
/// When it cannot be unfolded, a tube parts a face or a bend, or passes one in a way that cannot
/// be cut.
pub fn cut_tubes(mut part: Part) -> Result<Part, Vec<Finding>> {
    if part.tubes.iter().all(|tube| tube.cut) {
        return Ok(part);
    }
    let flat = flat::unfold(&bare(&part))?;
    let (frames, _) = frames(&part, &flat, &full(&part));
    let ways: Vec<Way> = part.tubes.iter().map(|tube| way(tube, &frames[tube.face])).collect();
    for (i, way) in ways.iter().enumerate() {
        let tube = part.tubes[i].clone();
        let met = cut(&mut part, &flat, &frames, &tube, way).map_err(|finding| vec![finding])?;
        (part.tubes[i].cut, part.tubes[i].met) = (true, met);
    }
    let flat = flat::unfold(&bare(&part))?;
    let folded = fold(&part, &flat, &full(&part));
    for (tube, way) in part.tubes.iter().zip(&ways) {
        if let Some(bend) = in_the_way(&folded, way) {
            let headline = format!(
                "the tube meets bend `{}` at a place where it cannot be cut away",
                part.bends[bend].name
            );
            return Err(vec![refusal(
                tube,
                headline,
                "let the tube pass an end of the bend, or move the bend",
            )]);
        }
    }
    Ok(part)
}

/// The part before lightening and cutting.
fn bare(part: &Part) -> Part {
    let mut bare = part.clone();
    bare.faces.iter_mut().for_each(|face| face.lighten.truncate(face.lightened.len()));
    bare
}

fn way(tube: &Tube, frame: &Frame) -> Way {
    let (radius, outside) = (tube.radius + CLEAR, tube.outside);
    Way { axis: Axis::of_tube(tube, frame), radius, outside }
}

/// Cuts one tube out of all faces, then out of the bends that are drawn across them; says whether
/// it met metal.
fn cut(
    part: &mut Part,
    flat: &Flat,
    frames: &[Frame],
    tube: &Tube,
    way: &Way,
) -> Result<bool, Finding> {
    let (thickness, mut met) = (part.thickness, false);
    for (face, frame) in frames.iter().enumerate() {
        let bounds = part.faces[face].blank.bounds();
        let middle = frame.point(bounds.centre(), -thickness / 2.0);
        let reach = num::hypot(bounds.width(), bounds.height()) / 2.0 + thickness;
        if way.axis.distance(middle) > reach + way.radius {
            continue;
        }
        let cope = way.seen(frame, bounds.centre(), thickness);
        let saddle = Saddle {
            tube: 2.0 * way.radius,
            lean: Angle::of(cope.along.hypot(), cope.rise),
            aside: cope.above,
            thickness,
            reach: 2.0 * reach + 1.0,
        };
        let name = part.faces[face].name.clone();
        let place = Place::rotated(Angle::of(cope.along.x, cope.along.y), cope.at);
        let tool = match saddle.outline() {
            Ok(outline) => outline.moved(&place),
            Err(SaddleError::Misses(_)) => continue,
            Err(error) => {
                let headline = format!("the tube cannot be cut out of face `{name}`: {error}");
                return Err(refusal(tube, headline, STEEPER));
            }
        };
        let Some(Coped { face: cut, edges }) =
            part.faces[face].without_tube(&tool, cope, tube).map_err(|error| {
                let headline = format!("the tube cannot be cut out of face `{name}`: {error}");
                let help = match error {
                    RegionError::Pieces(_) => "move the tube nearer to the edge of the face",
                    _ => "move the tube, or make the face larger",
                };
                refusal(tube, headline, help)
            })?
        else {
            continue;
        };
        for bend in part.bends.iter_mut().filter(|bend| bend.from == face) {
            let [edge] = edges[bend.edge].as_slice() else {
                let headline = format!("the tube cuts bend `{}` in two", bend.name);
                let help = "let it pass an end of the bend: a tube through a bend is not developed";
                return Err(refusal(tube, headline, help));
            };
            bend.edge = *edge;
        }
        part.faces[face] = cut;
        met = true;
    }
    let mut bends = 0..part.bends.len();
    let mut cut = |bend| zone(part, flat, frames, bend, tube, way);
    bends.try_fold(met, |met, bend| Ok(cut(bend)? || met))
}

/// Cuts a tube out of a bend that is drawn across a face; says whether it took metal.
fn zone(
    part: &mut Part,
    flat: &Flat,
    frames: &[Frame],
    index: usize,
    tube: &Tube,
    way: &Way,
) -> Result<bool, Finding> {
    let bend = &part.bends[index];
    let Some(zone) = &bend.zone else { return Ok(false) };
    let near = part.faces[bend.from].edges[bend.edge].edge;
    let cope = way.seen(&frames[bend.from], near.point_at(0.5), part.thickness);
    let tool = flat::rolled_tool(part, bend, &cope);
    let parts = |words: &str| {
        let headline = format!("the tube cannot be cut out of bend `{}`: {words}", bend.name);
        let help = "let it pass an end of the bend: a tube through a bend is not developed";
        refusal(tube, headline, help)
    };
    // The far line in the drawing of the standing face.
    let place = flat.places[bend.to].then(&flat.places[bend.from].back());
    let far = zone.tangents()[1];
    let left = part.faces[bend.to].blank.along(&far.moved(&place.back()).reversed());
    let [far] = left.as_slice() else { return Err(parts("it would be in pieces")) };
    let far = far.moved(&place).reversed();
    let cut = zone.without(tool.as_ref(), [near, far]).map_err(|words| parts(&words))?;
    let area = |zone: &Zone| zone.outline().map_or(0.0, |outline| outline.area());
    let took = area(zone) - area(&cut) > NEAR;
    part.bends[index].zone = Some(cut);
    Ok(took)
}

/// The first bend with metal in a tube.
fn in_the_way(folded: &Folded, way: &Way) -> Option<usize> {
    let inside = |bend: &FoldedBend, metal: &Region| {
        let bounds = metal.bounds();
        let steps = |long: f64| (long / STEP).ceil().max(1.0) as u32;
        let (across, up) = (steps(bounds.width()), steps(bounds.height()));
        let share = |i: u32, n: u32| (f64::from(i) + 0.5) / f64::from(n);
        (0..across).any(|i| {
            (0..up).any(|j| {
                let p = bounds.min
                    + Vec2::new(bounds.width() * share(i, across), bounds.height() * share(j, up));
                let hit = [0.0, 0.5, 1.0].into_iter().any(|depth| {
                    let at = bend.point(p.x, p.y / bend.allowance, -bend.thickness * depth);
                    way.axis.distance(at) < way.radius - CLEAR - SEEN
                });
                hit && metal.contains(p)
            })
        })
    };
    let mut bends = folded.bends.iter().zip(&folded.strips);
    bends.position(|(bend, metal)| inside(bend, metal))
}

fn refusal(tube: &Tube, headline: String, help: &str) -> Finding {
    Finding::stop("cut-folded", headline).at(tube.span, "").help(help)
}
