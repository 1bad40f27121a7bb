//! The marks of a face: first their positions, then, when the part has its name, their strokes.

use crate::diag::Finding;
use crate::geom;
use crate::geom::Edge;
use crate::geom::LetteringError;
use crate::geom::Place;
use crate::geom::Point;
use crate::part::face::Mark;
use crate::part::face::Marked;
use crate::part::joint::Ticks;
use crate::part::values::Values;
use crate::part::whole::Part;
use crate::recipe;
use crate::recipe::Marking;
use crate::recipe::Word;

/// Default height of letters, mm: legible without bending down. Our choice.
const HEIGHT: f64 = 4.0;

/// More letters than this are a letter, not a mark. Our choice.
const MAX_LETTERS: usize = 120;

/// Placeholder for the part's name.
const NAME: &str = "\0";

/// The marks of a face, ticks apart; `None` when something was reported.
pub(super) fn build(face: &recipe::Face, values: &Values) -> Option<Vec<Mark>> {
    let mut marks = Vec::new();
    for mark in &face.marks {
        values.each(mark.each.as_ref(), |values| {
            if values.holds(mark.when.as_ref())? {
                marks.extend(one(mark, values)?);
            }
            Some(())
        })?;
    }
    Some(marks)
}

/// A mark in its place, if it is no tick.
fn one(mark: &recipe::Mark, values: &Values) -> Option<Option<Mark>> {
    let (what, place) = match &mark.marking {
        Marking::Tick(_) => return Some(None),
        Marking::Line(points) => {
            let points: Option<Vec<Point>> = points.iter().map(|p| values.point(p)).collect();
            let points = points?;
            let lines = points.windows(2).map(|p| Edge::line(p[0], p[1])).collect();
            (Marked::Strokes(vec![lines]), Place::default())
        }
        Marking::Text(text) => {
            let height = text.height.as_ref().map_or(Some(HEIGHT), |h| values.length(h))?;
            let place =
                Place::rotated(values.angle(text.rotate.as_ref())?, values.point(&text.at)?);
            (Marked::Words(spelled(&text.words, values)?, height), place)
        }
    };
    Some(Some(Mark { what, said: None, place, span: mark.span }))
}

fn spelled(words: &[Word], values: &Values) -> Option<String> {
    let mut text = String::new();
    for word in words {
        match word {
            Word::Plain(plain) => text.push_str(plain),
            Word::Name => text.push_str(NAME),
            Word::Formula(expr) => text.push_str(&values.value(expr)?.show(values.params.units())),
        }
    }
    Some(text)
}

/// Turns the words of a part that is called `name` into strokes.
pub(super) fn letter(part: &mut Part, name: &str, values: &Values) {
    for mark in part.faces.iter_mut().flat_map(|f| &mut f.marks) {
        let Marked::Words(words, height) = &mark.what else { continue };
        let (words, height) = (words.replace(NAME, name), *height);
        let refuse = |headline: String, help: String| {
            values.findings.add(Finding::stop("mark", headline).at(mark.span, "").help(help));
        };
        if words.chars().count() > MAX_LETTERS {
            refuse(
                format!("a mark has at most {MAX_LETTERS} characters"),
                "shorten the text".into(),
            );
            continue;
        }
        match geom::lettering(&words, height) {
            Ok(strokes) => {
                mark.what = Marked::Strokes(strokes);
                mark.said = Some((words, height));
            }
            Err(error) => {
                let help = match error {
                    LetteringError::Height => "write `height = \"4 mm\"`".into(),
                    _ => "use the characters of Latin-1 (ISO/IEC 8859-1)".into(),
                };
                refuse(format!("`{words}` cannot be marked: {error}"), help);
            }
        }
    }
}

/// Marks the bends that are to have ticks; a tick for no bend is reported.
pub(super) fn tick(recipe: &recipe::Recipe, parts: &mut [Part], values: &Values) {
    for mark in recipe.faces.values().flat_map(|f| &f.marks) {
        let Marking::Tick(name) = &mark.marking else { continue };
        if values.holds(mark.when.as_ref()) != Some(true) {
            continue;
        }
        if !recipe.bends.contains_key(name) {
            let names: Vec<&str> = recipe.bends.keys().map(String::as_str).collect();
            let help = match names.is_empty() {
                true => "the recipe has no bends: remove the tick".into(),
                false => format!("bends are {}", names.join(", ")),
            };
            let headline = format!("there is no bend `{name}` to mark");
            values.findings.add(Finding::stop("mark", headline).at(mark.span, "").help(help));
        }
        for bend in parts.iter_mut().flat_map(|p| &mut p.bends).filter(|b| b.name == *name) {
            bend.ticks = Ticks::Named;
        }
    }
}
