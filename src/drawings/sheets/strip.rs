//! The title block of a sheet.

use crate::drawings::sheets::shown::Shown;
use crate::drawings::title;
use crate::num;
use crate::paper::Field;
use crate::paper::figure_text;
use crate::quantity::KG_PER_LB;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::solve::digits;

impl Shown<'_> {
    /// A length without its unit.
    pub(super) fn length(&self, mm: f64) -> String {
        figure_text(self.job.units, mm)
    }

    /// `600 × 400`.
    pub(super) fn sizes(&self, [length, width]: [f64; 2]) -> String {
        format!("{} × {}", self.length(length), self.length(width))
    }

    /// The fields at a scale, for the number of the sheet and of the page, each with its total.
    pub(super) fn fields(&self, scale: &str, of: [usize; 2], page: [usize; 2]) -> Vec<Field> {
        let (job, row, sheet) = (self.job, self.row, self.sheet());
        let [number, count] = of;
        let number = match page {
            [_, 1] => format!("{number} of {count}"),
            [page, pages] => format!("{number} of {count}, page {page} of {pages}"),
        };
        let used = &row.used;
        let process = job.process.name();
        let kerf = job.process.measure("kerf");
        let process = match kerf > 0.0 {
            true => format!("{process}, kerf {}", self.length(kerf)),
            false => process.to_owned(),
        };
        let price = row.cost.map_or_else(|| "not given".to_owned(), |cost| format!("{cost:.2}"));
        let percent = |share: f64| num::text(share, 2);
        let mut fields = vec![
            Field::large("Sheet", &self.nested.name),
            Field::large("Material", sheet.material.name()),
            Field::large("Thickness", title::thickness_text(job, sheet)),
            Field::small("Size", self.sizes(row.size_mm)),
            Field::small("Pieces", self.pieces.len().to_string()),
            Field::small("Cut length", long(job.units, row.cut_length_mm)),
            Field::small("Pierces", row.pierces.to_string()),
            Field::small("Process", process),
            Field::small("Scale", scale),
            Field::small("Sheet no.", number),
            Field::small("Job", &job.name),
        ];
        fields.extend(row.remnant_used.iter().map(|name| Field::small("Taken from", name)));
        fields.extend([
            Field::small("Material yield", format!("{} %", percent(row.yield_percent))),
            Field::small("Used length filled", format!("{} %", percent(used.gross_percent))),
            Field::small("Upper bound", format!("{} %", percent(used.upper_bound_percent))),
            Field::small(
                "Gap, margin",
                format!("{}, {}", self.length(row.gap_mm), self.length(row.margin_mm)),
            ),
            Field::small("Mass", self.mass()),
            Field::small("Sheet price", price),
            Field::small("Issue", self.issue()),
        ]);
        fields.extend(job.titled.date.iter().map(|date| Field::small("Date", date)));
        fields
    }

    fn mass(&self) -> String {
        let sheet = self.sheet();
        let area: f64 = self.pieces.iter().map(|piece| piece.area()).sum();
        let mass = area * sheet.thickness * sheet.material.measure("density");
        match self.job.units {
            Units::Millimetre => format!("{} kg", num::text(mass, 2)),
            Units::Inch => format!("{} lb", num::text(mass / KG_PER_LB, 2)),
        }
    }

    /// A hash of what is cut and where, appended to the job's own text.
    fn issue(&self) -> String {
        let mut text = format!("{:?} {}\n", self.row.size_mm, self.sheet().material.name());
        for (part, place) in &self.nested.placed {
            let numbers = [place.shift.x, place.shift.y, place.rotation.degrees()];
            let numbers = numbers.map(|number| num::text(number, 4)).join(" ");
            let part = &self.solved[*part].issue.geometry;
            text += &format!("{part} {} {numbers}\n", place.mirrored);
        }
        match &self.job.titled.issue {
            Some(issue) => format!("{issue} · {}", digits(&text)),
            None => digits(&text),
        }
    }
}

/// A length of cutting: metres or feet.
fn long(units: Units, mm: f64) -> String {
    match units {
        Units::Millimetre => format!("{} m", num::text(mm / 1000.0, 2)),
        Units::Inch => format!("{} ft", num::text(mm / MM_PER_INCH / 12.0, 1)),
    }
}
