//! The order in which the holes of a joint are drilled.

use crate::joint::bolted::Bolted;
use crate::joint::layers::Plate;
use crate::num::counted;
use crate::num::on_grid;
use crate::quantity::Units;

impl Bolted {
    /// Whether anything is drilled when the joint is put together.
    pub(crate) fn is_drilled(&self) -> bool {
        self.plates().any(|(_, plate)| plate.is_drilled()) || self.laminates().next().is_some()
    }

    /// How its holes are drilled, a sentence each; nothing where all are cut.
    pub(crate) fn drilling(&self, units: Units) -> Vec<String> {
        let Some((_, guide)) = self.guide().filter(|_| self.is_drilled()) else {
            return Vec::new();
        };
        let size = |mm: f64| format!("Ø{}", units.size(on_grid(mm)));
        let mut steps = vec![format!("Clamp {} in position.", self.stack_names())];
        // What has no hole yet.
        let solid = if self.laminates().next().is_some() { "the laminate" } else { "" };
        if guide.is_drilled() {
            if !solid.is_empty() {
                let (pilot, part) = (size(guide.as_cut), &guide.part);
                steps.push(format!(
                    "Using the {pilot} holes of {part} as guides, drill {pilot} through {solid}."
                ));
            }
            steps.extend(self.held_by_pilots());
            let drilled: Vec<&Plate> =
                self.plates().map(|(_, plate)| plate).filter(|plate| plate.is_drilled()).collect();
            let wide = drilled.iter().map(|plate| plate.passage).fold(0.0, f64::max);
            let to = match drilled.iter().all(|plate| plate.passage == wide) {
                true => size(wide),
                false => {
                    let each = drilled.iter().map(|of| format!("{} {}", of.part, size(of.passage)));
                    each.collect::<Vec<_>>().join(", ")
                }
            };
            let out = if self.joint.pilot.is_some() { "remove its pilot bolt, " } else { "" };
            steps.push(format!(
                "One hole at a time: {out}drill to {to} from the side of {}, insert the {} bolt.",
                guide.part,
                self.joint.bolt.name()
            ));
        } else if !solid.is_empty() {
            let (wide, part) = (size(guide.passage), &guide.part);
            steps.push(format!(
                "Using the {wide} holes of {part} as guides, drill {wide} through {solid}."
            ));
            steps.extend(self.held_by_pilots());
        }
        let wider = self.laminates().filter_map(|laminate| {
            let hole = laminate.hole.or(laminate.sleeve.map(|sleeve| sleeve.outside))?;
            (hole > guide.passage).then(|| {
                format!("Take it apart and open the holes of the laminate to {}.", size(hole))
            })
        });
        steps.extend(wider);
        steps
    }

    fn held_by_pilots(&self) -> Option<String> {
        let (pilot, _) = self.joint.pilot.as_ref()?;
        let bolts = counted(self.bolts_each(), &format!("{} pilot bolt", pilot.name()));
        Some(format!("Hold it together with {bolts}."))
    }

    /// What is clamped, in words.
    fn stack_names(&self) -> String {
        let mut names: Vec<&str> = self.parts();
        if self.laminates().next().is_some() {
            names.push("the laminate");
        }
        match names.as_slice() {
            [.., last] if names.len() > 1 => {
                format!("{} and {last}", names[..names.len() - 1].join(", "))
            }
            _ => names.concat(),
        }
    }
}
