//! The size of a hole as cut: its shape and dimensions.

use crate::diag::Finding;
use crate::geom;
use crate::geom::Outline;
use crate::geom::Point;
use crate::num::Angle;
use crate::part::face::HoleSize;
use crate::part::sweep::sweep;
use crate::part::tongue;
use crate::part::values::Values;
use crate::recipe::HoleSet;
use crate::recipe::HoleShape;
use crate::recipe::TongueSlot;

/// The size as cut, and the final diameter if that is larger.
pub(super) fn size(set: &HoleSet, values: &Values) -> Option<(HoleSize, Option<f64>)> {
    let of = |key: &str, expr| values.positive("hole", key, expr);
    let pilot = set.pilot.as_ref().map_or(Some(None), |pilot| of("pilot", pilot).map(Some))?;
    if pilot.is_some() && !matches!(set.shape, HoleShape::Round(_)) {
        values.findings.add(
            Finding::stop("hole", "only round holes have a pilot")
                .at(set.span, "")
                .help("remove `pilot` and `made`: slots and hexagons are cut"),
        );
        return None;
    }
    Some(match &set.shape {
        HoleShape::Round(diameter) => {
            let diameter = of("diameter", diameter)?;
            match pilot {
                None => (HoleSize::Round { diameter }, None),
                Some(pilot) if pilot <= diameter => {
                    (HoleSize::Round { diameter: pilot }, Some(diameter))
                }
                Some(_) => {
                    values.findings.add(
                        Finding::stop("hole", "the pilot hole is larger than the hole")
                            .at(set.span, "")
                            .help("make `pilot` smaller than `diameter`"),
                    );
                    return None;
                }
            }
        }
        HoleShape::Slot(width, length) => {
            let (width, length) = (of("diameter", width)?, of("slot", length)?);
            (HoleSize::Slot { width, length }, None)
        }
        HoleShape::ArcSlot(width, line) => {
            let (width, radius) = (of("diameter", width)?, of("radius", &line.radius)?);
            (HoleSize::ArcSlot { width, radius, sweep: sweep(&line.ends, "hole", values)? }, None)
        }
        HoleShape::TongueSlot(slot) => (tongue_slot(slot, values)?, None),
        // Its size is that of its row, or of the holes it is like.
        HoleShape::Insert(_) | HoleShape::Like => return None,
        HoleShape::Hexagon(flats) => (HoleSize::Hexagon { flats: of("hexagon", flats)? }, None),
    })
}

/// The slot that takes a tongue.
fn tongue_slot(slot: &TongueSlot, values: &Values) -> Option<HoleSize> {
    let fit = values.length(&slot.fit)?;
    if fit < 0.0 {
        let headline =
            format!("a fit of {} leaves no clearance", values.params.units().length(fit));
        values.findings.add(
            Finding::stop("hole", headline)
                .at(slot.fit.span, "")
                .help("write `fit = \"0.1 mm\"`, the clearance on each side"),
        );
        return None;
    }
    let plate = match &slot.plate {
        Some(plate) => values.length(plate)?,
        None => values.known("thickness")?,
    };
    let length = values.positive("hole", "width", &slot.width)? + 2.0 * fit;
    let width = plate + 2.0 * fit;
    let given = slot.relief.as_ref();
    let relief = tongue::relief(given, values)?;
    let narrow = width.min(length);
    let relief = if given.is_some() { relief } else { tongue::in_slot(relief, narrow, values) };
    if 2.0 * relief >= narrow {
        let shown = |mm: f64| values.params.units().length(mm);
        let headline = format!(
            "a slot {} wide, for a tongue, has no room for corners of radius {}",
            shown(narrow),
            shown(relief)
        );
        let finding = Finding::stop("hole", headline);
        values.findings.add(match given {
            Some(relief) => finding
                .at(relief.span, "")
                .help(format!("make `relief` less than {}, half the width of the slot", values.params.units().length_down(narrow / 2.0))),
            None => finding
                .at(slot.width.span, "")
                .note("the cut leaves a radius of half its kerf in each corner")
                .help(if length < width {
                    "have it cut by a finer process, such as laser or waterjet, or make the tongue wider"
                } else {
                    "have it cut by a finer process, such as laser or waterjet, or use thicker sheet"
                }),
        });
        return None;
    }
    Some(HoleSize::TongueSlot { width, length, relief })
}

/// The outline of a hole about the origin.
pub(super) fn outline(size: HoleSize) -> Result<Outline, geom::OutlineError> {
    match size {
        HoleSize::Round { diameter } => geom::disc(Point::ZERO, diameter / 2.0),
        HoleSize::Slot { width, length } => geom::slot(Point::ZERO, length, width),
        HoleSize::ArcSlot { width, radius, sweep } => {
            geom::arc_slot(Point::ZERO, radius, Angle::from_degrees(sweep), width)
        }
        HoleSize::Hexagon { flats } => geom::hexagon(Point::ZERO, flats),
        HoleSize::TongueSlot { width, length, relief } => {
            geom::tongue_slot(Point::ZERO, length, width, relief)
        }
    }
}
