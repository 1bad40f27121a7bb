//! The position of a part in space, and the tubes that pass it there.

use crate::part::space::in_face;
use crate::part::space_tube::Passing;
use crate::part::space_tube::SpaceTube;
use crate::part::values::Values;
use crate::part::whole::Part;
use crate::recipe::Face;
use crate::recipe::Recipe;
use crate::recipe::Shape;
use crate::recipe::Work;

/// Gives the parts their places in space and the tubes that pass them.
pub(super) fn add(recipe: &Recipe, parts: &mut [Part], values: &Values) {
    for part in parts {
        let drawn = |face: &str| recipe.faces.get(face);
        let faces: Vec<&Face> = part.faces.iter().filter_map(|face| drawn(&face.name)).collect();
        let is_cut = |name: &str| faces.iter().any(|face| cuts(face, name));
        for (index, made) in part.faces.iter().enumerate() {
            let Some(face) = drawn(&made.name).filter(|face| face.on.is_some()) else { continue };
            let mut stands = None;
            let passing = in_face(face, values, |values| {
                let frame = values.on?;
                stands = (!face.mirrored).then_some((index, frame));
                let one = |(name, tube): (&String, &Option<SpaceTube>)| {
                    let tube = tube.as_ref()?;
                    Some(Passing {
                        name: name.clone(),
                        line: tube.seen(&frame)?,
                        radius: tube.radius,
                        face: index,
                        is_cut: is_cut(name),
                        span: recipe.tubes[name].span,
                    })
                };
                let all: Vec<Passing> = values.tubes.iter().filter_map(one).collect();
                Some(match face.mirrored {
                    true => all.iter().map(Passing::mirrored).collect(),
                    false => all,
                })
            });
            part.passing.extend(passing.unwrap_or_default());
            part.stands = part.stands.or(stands);
        }
    }
}

/// Whether a step of a face cuts a tube.
fn cuts(face: &Face, name: &str) -> bool {
    face.blank.iter().any(|step| match &step.work {
        Work::Cut(placed) => matches!(&placed.shape, Shape::Tube(cut) if cut.tube.0 == name),
        _ => false,
    })
}
