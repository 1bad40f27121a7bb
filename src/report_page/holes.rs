//! The holes of a part with the letters of its drawing: where, as cut, finish, for what.

use crate::draw;
use crate::drawings;
use crate::flat::to_origin;
use crate::report_page::Page;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::of_class;
use crate::report_page::table::Cell;
use crate::report_page::table::Table;

/// The words for each hole, and for all that are alike.
const PLACE: [&str; 4] = ["Hole", "Name", "X", "Y"];
const LIKE: [&str; 3] = ["As cut", "Finish", "For"];
/// Holes to a kind from which a kind is described once, above the table. Our choice.
const ALIKE: usize = 3;

/// A hole of the table.
struct Row {
    letter: String,
    name: String,
    at: [String; 2],
    /// As cut, finish, for.
    like: [String; 3],
}

impl Page<'_> {
    /// The table of holes; nothing for a part without any.
    pub(super) fn holes(&self, part: usize) -> Html {
        let name = &self.solved[part].name;
        let rows = self.hole_rows(part);
        if rows.is_empty() {
            return Html::default();
        }
        let kinds = kinds(&rows);
        let told_once = rows.len() >= ALIKE * kinds.len();
        let heads: Vec<&str> =
            PLACE.into_iter().chain(LIKE.into_iter().filter(|_| !told_once)).collect();
        let caption = format!("Hole centres of {name}, X and Y from the left and the bottom edge");
        let mut table = Table::new(&format!("holes-{name}"), &caption, &heads).of("holes");
        for row in &rows {
            let lettered = el("span").at("data-h", &row.letter).with(row.letter.as_str());
            let [x, y] = row.at.clone();
            let place = [Cell::html(lettered), row.name.clone().into(), x.into(), y.into()];
            let like = row.like.iter().filter(|_| !told_once).cloned().map(Cell::from);
            table.row(place.into_iter().chain(like));
        }
        let lines = kinds.iter().map(|(letters, like)| el("li").with(words(letters, like)));
        let lines = told_once.then(|| of_class("ul", "plain", lines.collect::<Html>()));
        let inside = table.without_empty().html().and(lines);
        of_class("div", "block", inside).into()
    }

    fn hole_rows(&self, part: usize) -> Vec<Row> {
        let solved = &self.solved[part];
        let place = to_origin(&solved.flat.region);
        let row = |(letter, index): (String, usize)| {
            let flat = &solved.flat.holes[index];
            let hole = solved.part.hole(flat.id);
            let centre = place.apply(flat.outline.bounds().centre());
            let steps = draw::finishing(hole, self.job.units, &|mm| self.figure(mm, 2));
            let takes = hole.through.as_deref().map(|name| {
                let value = solved.params.get(name);
                value.map_or_else(|| name.to_owned(), |v| v.show(self.job.units))
            });
            let finish = steps.after().unwrap_or_else(|| "as cut".into());
            let faces = &solved.part.faces;
            let on = (faces.len() > 1).then(|| faces[flat.id.face].name.clone());
            Row {
                letter,
                name: named(&hole.name, on.as_deref()),
                at: [centre.x, centre.y].map(|mm| self.figure(mm, 2)),
                like: [steps.as_cut, finish, takes.unwrap_or_default()],
            }
        };
        drawings::hole_letters(solved).into_iter().map(row).collect()
    }
}

/// The name of a hole in the recipe, and in a bent part its face.
fn named(hole: &str, face: Option<&str>) -> String {
    match face {
        Some(face) => format!("{hole}, on {face}"),
        None => hole.to_owned(),
    }
}

/// What is alike in some holes, with their letters.
fn kinds(rows: &[Row]) -> Vec<(Vec<&str>, &[String; 3])> {
    let mut kinds: Vec<(Vec<&str>, &[String; 3])> = Vec::new();
    for row in rows {
        match kinds.iter_mut().find(|(_, like)| **like == row.like) {
            Some((letters, _)) => letters.push(&row.letter),
            None => kinds.push((vec![&row.letter], &row.like)),
        }
    }
    kinds
}

/// `A1–A14, B: Ø4.5, countersink Ø8.96 × 90° from the top side, for M4`.
fn words(letters: &[&str], [cut, finish, takes]: &[String; 3]) -> String {
    let takes = if takes.is_empty() { String::new() } else { format!(", for {takes}") };
    format!("{}: {cut}, {finish}{takes}", drawings::hole_runs(letters))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_alike_in_many_holes_is_said_once_with_their_letters() {
        let row = |letter: &str, cut: &str| Row {
            letter: letter.to_owned(),
            name: String::new(),
            at: [String::new(), String::new()],
            like: [cut.to_owned(), "as cut".to_owned(), "M4".to_owned()],
        };
        let rows = ["A1", "A2", "A3", "B", "C1", "C2"].map(|letter| row(letter, "Ø4.5"));
        let rows: Vec<Row> = rows.into_iter().chain([row("D", "Ø9")]).collect();
        let said: Vec<String> =
            kinds(&rows).iter().map(|(letters, like)| words(letters, like)).collect();
        assert_eq!(said, ["A1–A3, B, C1, C2: Ø4.5, as cut, for M4", "D: Ø9, as cut, for M4"]);
    }
}
