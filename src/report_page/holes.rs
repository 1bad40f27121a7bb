//! The holes of a part with the letters of its drawing: where, as cut, finish, for what.

use crate::draw;
use crate::drawings;
use crate::flat::to_origin;
use crate::report_page::Page;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::table::Cell;
use crate::report_page::table::Table;

impl Page<'_> {
    /// The table of holes; nothing for a part without any.
    pub(super) fn holes(&self, part: usize) -> Html {
        let solved = &self.solved[part];
        let place = to_origin(&solved.flat.region);
        let letters = drawings::hole_letters(solved);
        if letters.is_empty() {
            return Html::default();
        }
        let mut table = Table::new(
            &format!("holes-{}", solved.name),
            &format!("Hole centres of {}, X and Y from the left and the bottom edge", solved.name),
            &["Hole", "Name", "X", "Y", "As cut", "Finish", "For"],
        )
        .of("holes");
        for (letter, index) in letters {
            let flat = &solved.flat.holes[index];
            let hole = solved.part.hole(flat.id);
            let centre = place.apply(flat.outline.bounds().centre());
            let steps = draw::finishing(hole, self.job.units, &|mm| self.figure(mm, 2));
            let takes = hole.through.as_deref().map(|name| {
                let value = solved.params.get(name);
                value.map_or_else(|| name.to_owned(), |v| v.show(self.job.units))
            });
            let finish = steps.after().unwrap_or_else(|| "as cut".into());
            let lettered = el("span").at("data-h", &letter).with(letter.as_str());
            table.row([
                Cell::html(lettered),
                hole.name.clone().into(),
                self.figure(centre.x, 2).into(),
                self.figure(centre.y, 2).into(),
                steps.as_cut.into(),
                finish.into(),
                takes.unwrap_or_default().into(),
            ]);
        }
        el("div").at("class", "block").with(table.without_empty().html()).into()
    }
}
