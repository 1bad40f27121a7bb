//! The fits of a part, as bars.

use crate::fit::Touched;
use crate::num;
use crate::report::ClevisRow;
use crate::report::NutRow;
use crate::report::PartRow;
use crate::report::WORST_CASE;
use crate::report_page::Page;
use crate::report_page::bars::Gap;
use crate::report_page::bends::block;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::of_class;
use crate::report_page::state::Checked;

/// The room that something has: play of a rod end between its ears, clearance of a nut.
pub(super) struct Fit {
    /// Its name, `play of rod end M10`.
    pub(super) what: String,
    pub(super) gap: Gap,
    /// Said where the gap may come out narrow.
    pub(super) notes: Vec<String>,
}

impl Fit {
    /// The smallest clearance, mm, negative if parts may touch.
    pub(super) fn min(&self) -> f64 {
        self.gap.worst[0]
    }
}

/// What of a part has to fit.
pub(super) fn fits(row: &PartRow) -> Vec<Fit> {
    row.clevis.iter().map(play).chain(row.captured_nut.iter().map(nut)).collect()
}

/// Play between the ears: the coated gap without ball and spacers.
fn play(row: &ClevisRow) -> Fit {
    let needed = row.coated_gap.drawn_mm - row.play_mm;
    let left = |[min, max]: [f64; 2]| [min - needed, max - needed];
    Fit {
        what: format!("play of rod end {}", row.rod_end),
        gap: Gap {
            worst: left(row.coated_gap.worst_case_mm),
            likely: Some(left(row.coated_gap.root_sum_square_mm)),
            drawn: row.play_mm,
        },
        notes: row.worst_case_notes.clone(),
    }
}

fn nut(row: &NutRow) -> Fit {
    Fit {
        what: format!("clearance per side of the {} nut", row.nut),
        gap: Gap {
            worst: [row.worst_case_clearance_mm, row.clearance_mm],
            likely: None,
            drawn: row.clearance_mm,
        },
        notes: Vec::new(),
    }
}

/// The place in the page of how a part fits.
pub(super) fn id(part: &str) -> String {
    format!("fit-{part}")
}

impl Page<'_> {
    /// The results of the checks of a part, with open points beside them.
    pub(super) fn checked(&self, part: usize) -> Checked {
        let row = &self.report.parts[part];
        let found = self.findings_of(&row.name);
        Checked::of(found.into_iter().map(|(_, finding)| finding), row.beside)
    }

    /// A gap in words: minimum, maximum, as drawn.
    pub(super) fn gap_words(&self, fit: &Fit) -> String {
        let [min, max] = fit.gap.worst.map(|mm| self.room(mm));
        format!("{} as drawn. {WORST_CASE}: {min} to {max}", self.room(fit.gap.drawn))
    }

    /// The fits of a part; empty if it has none.
    pub(super) fn fit(&self, row: &PartRow) -> Html {
        let fits = fits(row);
        if fits.is_empty() {
            return Html::default();
        }
        let mut out = Html::default();
        for fit in &fits {
            let words = format!("{}: {}", fit.what, self.gap_words(fit));
            out = out.and(el("p").with(num::capital(&words))).and(fit.gap.bar(&words));
            let notes = fit.notes.iter().map(|note| of_class("p", "caution", note.as_str()));
            out = out.and(notes.collect::<Html>());
        }
        out = out.and(of_class(
            "p",
            "note",
            "Pale: worst case; dark: likely (root sum square); tick: as drawn; dashed: contact.",
        ));
        if let Some(row) = &row.clevis {
            out = out.and(self.travel(row));
        }
        el("div").at("id", id(&row.name)).with(block("Fit", out)).into()
    }

    /// Gap, swing and rotation of a rod end.
    fn travel(&self, row: &ClevisRow) -> Html {
        let until = |degrees: f64, what: Touched| match what {
            Touched::Nothing => "unlimited".to_owned(),
            Touched::Ball => format!("{}° (limit of the ball)", num::text(degrees, 1)),
            what => format!("{}° (touches the {})", num::text(degrees, 1), what.word()),
        };
        let (swing, round) = (&row.swing, &row.rotation);
        let mut lines = vec![
            format!(
                "Gap between the ears {} bare, {} coated; ball {} wide, {}",
                self.shop_fine(row.bare_gap.drawn_mm),
                self.shop_fine(row.coated_gap.drawn_mm),
                self.shop_fine(row.ball_width_mm),
                match row.spacer_mm > 0.0 {
                    true => format!("spacer {} each side", self.shop_fine(row.spacer_mm)),
                    false => "no spacers".to_owned(),
                }
            ),
            format!(
                "Swing {} towards the bolt head, {} towards the nut",
                until(swing.towards_bolt_head_deg, swing.touches),
                until(swing.towards_nut_deg, swing.touches_there)
            ),
            format!(
                "Rotation, foot of the ear at the bottom: anticlockwise {}, clockwise {}",
                until(round.anticlockwise_deg, round.touches),
                until(round.clockwise_deg, round.touches_there)
            ),
        ];
        if let Some(without) = &row.swing_without_spacers {
            lines.push(format!(
                "Without spacers, in the narrower gap: {} and {}",
                until(without.towards_bolt_head_deg, without.touches),
                until(without.towards_nut_deg, without.touches_there)
            ));
        }
        lines.extend(row.tolerances(self.job.units));
        let lines: Html = lines.into_iter().map(|line| el("li").with(line)).collect();
        el("ul").at("class", "plain").with(lines).into()
    }
}
