//! Other recipes, of which a recipe uses faces and holes.

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::instead;
use crate::diag::nearest;
use crate::document::Findings;
use crate::recipe::face::Face;
use crate::recipe::reference::Reference;
use crate::recipe::whole::Other;
use crate::recipe::whole::Recipe;
use std::cell::RefCell;

/// Most recipes that one recipe uses, those that they use included. Our choice.
const MOST: usize = 100;

/// The text of a recipe by its name, added to the sources anew at each call: each use has values
/// of its own, and a formula is worked out with those of the source it stands in.
pub type FindRecipe<'a> = &'a dyn Fn(&str) -> Option<(SourceId, String)>;

/// Where other recipes are found.
pub struct Others<'a> {
    find: FindRecipe<'a>,
    names: &'a dyn Fn() -> Vec<String>,
    state: RefCell<State>,
}

/// What is being read.
#[derive(Default)]
struct State {
    /// The recipes that are being read, each used by the one before it.
    path: Vec<String>,
    /// How many were read.
    count: usize,
    /// Those that could not be read: what is wrong with them is said once.
    failed: Vec<String>,
}

/// Reads a recipe by its name, the source of its text, and the text.
pub(super) type Read<'a> = &'a dyn Fn(&str, SourceId, &str) -> Result<Recipe, Vec<Finding>>;

impl<'a> Others<'a> {
    /// Those that `find` finds; `names` are all there are, to offer the nearest.
    pub fn new(find: FindRecipe<'a>, names: &'a dyn Fn() -> Vec<String>) -> Self {
        Self { find, names, state: RefCell::default() }
    }

    /// None.
    pub fn none() -> Self {
        Self::new(&|_| None, &Vec::new)
    }

    /// Notes that a recipe of this name is read while `read` runs.
    pub(super) fn while_in<T>(&self, name: &str, read: impl FnOnce() -> T) -> T {
        self.state.borrow_mut().path.push(name.to_owned());
        let made = read();
        self.state.borrow_mut().path.pop();
        made
    }
}

/// What a name refers to in another recipe.
pub(super) struct Referred {
    /// The recipe.
    pub(super) other: Other,
    /// The name of the face, and the face.
    pub(super) face: (String, Face),
    /// The name of one of its sets of holes; all when there is none.
    pub(super) set: Option<String>,
}

/// Reads the recipe that a reference names. `with_set` when the last part may be a set of holes.
pub(super) fn refer(
    reference: &Reference,
    with_set: bool,
    others: &Others,
    read: Read,
    findings: &Findings,
) -> Option<Referred> {
    let parts: Vec<&str> = reference.name.split('.').collect();
    let refuse = |headline: String, help: String| {
        findings.add(Finding::stop("bad-name", headline).at(reference.span, "").help(help));
        None
    };
    // The name of a recipe may itself have a dot.
    let lengths = [2, 1].into_iter().skip(usize::from(!with_set));
    let found = lengths.filter(|n| parts.len() > *n).find_map(|n| {
        let (recipe, rest) = parts.split_at(parts.len() - n);
        let recipe = recipe.join(".");
        let (source, text) = (others.find)(&recipe)?;
        Some((recipe, source, text, rest.to_vec()))
    });
    let Some((name, source, text, rest)) = found else {
        let known = (others.names)();
        let known: Vec<&str> = known.iter().map(String::as_str).collect();
        let wanted = parts[0];
        let form = if with_set { "RECIPE.FACE.HOLES or RECIPE.FACE" } else { "RECIPE.FACE" };
        let help = match (parts.len(), nearest(wanted, known.iter().copied())) {
            (1, _) => format!("write {form}, such as `tab.plate`"),
            (_, Some(near)) => format!("write `{}`", reference.name.replacen(wanted, near, 1)),
            (_, None) => instead(wanted, &known, "choose from"),
        };
        return refuse(format!("there is no recipe `{wanted}`"), help);
    };
    let recipe = read_other(&name, reference, others, &|| read(&name, source, &text), findings)?;
    let Some(face) = recipe.faces.get(rest[0]) else {
        let faces: Vec<&str> = recipe.faces.keys().map(String::as_str).collect();
        let help = instead(rest[0], &faces, "its faces are");
        return refuse(format!("recipe `{name}` has no face `{}`", rest[0]), help);
    };
    let mut sets: Vec<&str> = face.holes.iter().map(|set| set.name.as_str()).collect();
    sets.dedup();
    if let Some(set) = rest.get(1).filter(|set| !sets.contains(set)) {
        let help = instead(set, &sets, "its sets of holes are");
        return refuse(format!("face `{}` of `{name}` has no holes `{set}`", rest[0]), help);
    }
    let face = (rest[0].to_owned(), face.clone());
    let set = rest.get(1).map(|set| (*set).to_owned());
    let (given, span) = (reference.given.clone(), reference.span);
    Some(Referred { other: Other { recipe, source, given, span }, face, set })
}

/// Another recipe, read; what is wrong with it is shown there, with the place that uses it.
fn read_other(
    name: &str,
    reference: &Reference,
    others: &Others,
    read: &dyn Fn() -> Result<Recipe, Vec<Finding>>,
    findings: &Findings,
) -> Option<Recipe> {
    let (path, count) = {
        let mut state = others.state.borrow_mut();
        state.count += 1;
        (state.path.clone(), state.count)
    };
    if others.state.borrow().failed.iter().any(|failed| failed == name) {
        return None;
    }
    if let Some(at) = path.iter().position(|other| other == name) {
        let ring: Vec<&str> = path[at..].iter().map(String::as_str).chain([name]).collect();
        let headline = format!("recipe `{name}` uses itself: {}", ring.join(" → "));
        findings.add(
            Finding::stop("recipe-loop", headline)
                .at(reference.span, "")
                .help("draw one of them without the others"),
        );
        return None;
    }
    if count > MOST {
        let headline = format!("more than {MOST} uses of other recipes");
        let finding = Finding::stop("too-many", headline).at(reference.span, "");
        findings.add(finding.help("draw some of it here, or use whole faces"));
        return None;
    }
    match read() {
        Ok(recipe) => Some(recipe),
        Err(found) => {
            others.state.borrow_mut().failed.push(name.to_owned());
            found.into_iter().for_each(|f| findings.add(f.at(reference.span, "used here")));
            None
        }
    }
}
