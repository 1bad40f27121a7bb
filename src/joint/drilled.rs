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

    /// The last drill through everything that is clamped, mm, where plates are drilled together.
    pub(crate) fn drilled_through(&self) -> Option<f64> {
        let (_, guide) = self.guide()?;
        let least = if guide.is_drilled() { 0.0 } else { guide.passage };
        let widest = self.drilled_plates().into_iter().map(|plate| in_place(plate, guide));
        Some(widest.reduce(f64::max)?.max(least))
    }

    /// Whether a pilot bolt has a purpose: something is drilled while it is clamped.
    pub(crate) fn takes_pilots(&self) -> bool {
        let marked = self.guide().map_or(0, |(_, guide)| self.marked(guide).len());
        self.laminates().count() > marked || !self.drilled_plates().is_empty()
    }

    /// How its holes are drilled, a sentence each; empty if all are cut.
    pub(crate) fn drilling(&self, units: Units) -> Vec<String> {
        let Some((_, guide)) = self.guide().filter(|_| self.is_drilled()) else {
            return Vec::new();
        };
        let size = |mm: f64| format!("Ø{}", units.size(on_grid(mm)));
        let part = &guide.part;
        let mut steps = vec![format!("Clamp {} in position.", self.stack_names())];
        let (drilled, marked) = (self.drilled_plates(), self.marked(guide));
        let has_solid = self.laminates().count() > marked.len();
        let through = size(if guide.is_drilled() { guide.as_cut } else { guide.passage });
        if has_solid {
            steps.push(format!(
                "Using the {through} holes of {part} as guides, drill {through} through the laminate."
            ));
        }
        if self.takes_pilots() {
            steps.extend(self.held_by_pilots());
        }
        if !drilled.is_empty() {
            steps.push(self.opened(&drilled, guide, units));
        }
        // Drills that do not fit through a guide that is cut.
        let larger = drilled.iter().filter(|of| in_place(of, guide) < of.passage);
        steps.extend(larger.map(|of| {
            format!("Take it apart and open the holes of {} to {}.", of.part, size(of.passage))
        }));
        let wider = self.laminates().filter_map(|laminate| {
            let hole = laminate.hole.or(laminate.sleeve.map(|sleeve| sleeve.outside))?;
            (hole > guide.passage).then(|| {
                format!("Take it apart and open the holes of the laminate to {}.", size(hole))
            })
        });
        steps.extend(wider);
        steps.extend(marked.into_iter().map(|hole| {
            format!(
                "Through the {through} holes of {part} mark those of the laminate, take it apart and drill \
                 them {}.",
                size(hole)
            )
        }));
        steps
    }

    /// The plates that are drilled to size when the joint is put together.
    fn drilled_plates(&self) -> Vec<&Plate> {
        self.plates().map(|(_, plate)| plate).filter(|plate| plate.is_drilled()).collect()
    }

    /// The holes of laminates that are smaller than those of a guide that is cut to size, where no plate
    /// is drilled with them: the guide does not lead their drill.
    fn marked(&self, guide: &Plate) -> Vec<f64> {
        if !self.drilled_plates().is_empty() {
            return Vec::new();
        }
        let holes = self.laminates().filter_map(|laminate| laminate.hole);
        holes.filter(|hole| *hole < guide.passage).collect()
    }

    /// The step that opens the pilot holes of plates through their guide.
    fn opened(&self, drilled: &[&Plate], guide: &Plate, units: Units) -> String {
        let size = |of: &Plate| format!("Ø{}", units.size(on_grid(in_place(of, guide))));
        let is_same = |of: &&Plate| in_place(of, guide) == in_place(drilled[0], guide);
        let to = match drilled.iter().all(is_same) {
            true => size(drilled[0]),
            false => {
                let each = drilled.iter().map(|of| format!("{} {}", of.part, size(of)));
                each.collect::<Vec<_>>().join(", ")
            }
        };
        let out = if self.joint.pilot.is_some() { "remove its pilot bolt, " } else { "" };
        format!(
            "One hole at a time: {out}drill to {to} from the side of {}, insert the {} bolt.",
            guide.part,
            self.joint.bolt.name()
        )
    }

    fn held_by_pilots(&self) -> Option<String> {
        let (pilot, _) = self.joint.pilot.as_ref()?;
        let bolts = counted(self.bolts_each(), &format!("{} pilot bolt", pilot.name()));
        Some(format!("Hold it together with {bolts}."))
    }

    /// The clamped layers, in words.
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

/// How wide a plate is drilled in its place, mm: no wider than a guide that is cut to size.
fn in_place(plate: &Plate, guide: &Plate) -> f64 {
    if guide.is_drilled() { plate.passage } else { plate.passage.min(guide.passage) }
}
