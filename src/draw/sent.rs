//! A flat as it is sent to a cutting service.

use crate::draw::flat;
use crate::flat::to_origin;
use crate::job::BendSigns;
use crate::job::Job;
use crate::job::OrderForm;
use crate::solve::Solved;
use crate::write::Drawing;
use crate::write::Layer;
use crate::write::Stroke;

/// A flat as it is sent: cuts, marks and signs of bends, and no words.
pub(crate) fn drawn(job: &Job, part: &Solved, form: OrderForm) -> Drawing {
    let mut drawing = flat::flat(job, part);
    let outline = Stroke::Outline(part.flat.region.outer().moved(&to_origin(&part.flat.region)));
    drawing.strokes.retain(|(layer, stroke)| match layer {
        Layer::Note => false,
        Layer::Bend => form.bends == BendSigns::Lines && !form.holes_only,
        Layer::Mark => !form.holes_only,
        Layer::Cut | Layer::CutCommon => !(form.holes_only && *stroke == outline),
    });
    if form.bends == BendSigns::Ticks && !form.holes_only {
        let place = to_origin(&part.flat.region);
        // A part that has ticks already needs no second ones.
        let bare =
            part.part.bends.iter().zip(&part.flat.bends).filter(|(bend, _)| !bend.ticks.are_made());
        for tick in bare.flat_map(|(_, strip)| strip.fitting_ticks(&part.flat.region)) {
            drawing.draw(Layer::Mark, Stroke::Path(vec![tick.moved(&place)]));
        }
    }
    drawing
}
