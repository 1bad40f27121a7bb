//! Bends that are repeated: one for each value of a list, each with a separate face.

use crate::diag::Finding;
use crate::diag::Span;
use crate::part::values::Values;
use crate::recipe::LinePlace;
use crate::recipe::NUMBER;
use crate::recipe::Recipe;
use indexmap::IndexMap;

/// The recipe with a bend for each member of the repeated ones, `NAME 1` and so on, and a face like
/// the one it carries for each, `FACE-1`. An inner `None` if none is repeated; `None` when
/// something was reported.
pub(super) fn bends(recipe: &Recipe, values: &Values) -> Option<Option<Recipe>> {
    if recipe.bends.values().all(|bend| bend.each.is_none()) {
        return Some(None);
    }
    let (mut bends, mut faces) = (IndexMap::new(), IndexMap::new());
    // The faces that replace one that is carried by a repeated bend.
    let mut instead: Vec<(&str, String)> = Vec::new();
    for (name, bend) in &recipe.bends {
        values.each(bend.each.as_ref(), |values| {
            let number = values.locals.iter().find(|(name, _)| name == NUMBER);
            let Some((_, number)) = bend.each.as_ref().and(number) else {
                return once(&mut bends, name.clone(), bend.clone(), "bend", bend.span, values);
            };
            let number = number.show(values.params.units());
            let mut made = bend.with(values.locals);
            (made.edge, made.each) = (values.edge_name(&bend.edge), None);
            if let Some(LinePlace::Edge { edge, .. }) = made.line.as_mut().map(|l| &mut l.place) {
                *edge = values.edge_name(edge);
            }
            made.member_of = Some(name.clone());
            made.to = format!("{}-{number}", bend.to);
            instead.push((&bend.to, made.to.clone()));
            once(&mut bends, format!("{name} {number}"), made, "bend", bend.span, values)
        })?;
    }
    for (name, face) in &recipe.faces {
        let all = instead.iter().filter(|(of, _)| of == name).map(|(_, name)| name.clone());
        let is_carried = recipe.bends.values().any(|b| b.each.is_some() && b.to == *name);
        let kept = (!is_carried).then(|| name.clone());
        for name in kept.into_iter().chain(all) {
            once(&mut faces, name, face.clone(), "face", face.span, values)?;
        }
    }
    let mut whole = recipe.clone();
    (whole.bends, whole.faces) = (bends, faces);
    Some(Some(whole))
}

/// Adds an item with a unique name; `None` when the name exists already, which is reported.
fn once<T>(
    all: &mut IndexMap<String, T>,
    name: String,
    one: T,
    what: &str,
    span: Span,
    values: &Values,
) -> Option<()> {
    if !all.contains_key(&name) {
        all.insert(name, one);
        return Some(());
    }
    let headline = format!("a repeated bend makes {what} `{name}`, which already exists");
    let finding = Finding::stop("bend", headline).at(span, "");
    values.findings.add(finding.help("give one of them another name"));
    None
}
