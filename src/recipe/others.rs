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

/// Maximum number of uses of other recipes in one recipe, those in them included. Our choice.
const MAX: usize = 100;

/// Maximum depth of recipes that use other recipes: each is read while the one that uses it is. Our
/// choice.
const DEEPEST: usize = 10;

/// Maximum text of other recipes that is read for one, in bytes. Our choice: a hundred of the
/// longest that are shipped.
const MAX_TEXT: usize = 1 << 20;

/// The text of a recipe by its name, added to the sources anew at each call: each use has separate
/// values, and a formula is calculated with those of the source it is in.
pub type FindRecipe<'a> = &'a dyn Fn(&str) -> Option<(SourceId, String)>;

/// Where other recipes are found.
pub struct Others<'a> {
    find: FindRecipe<'a>,
    names: &'a dyn Fn() -> Vec<String>,
    state: RefCell<State>,
}

/// The recipes being read.
#[derive(Default)]
struct State {
    /// The recipes that are being read, each used by the one before it.
    path: Vec<String>,
    /// How many uses there were.
    count: usize,
    /// How much text was read, in bytes.
    text: usize,
    /// Those that could not be read: their errors are reported once.
    failed: Vec<String>,
}

/// Reads a recipe by its name, the source of its text, and the text.
pub(super) type Read<'a> = &'a dyn Fn(&str, SourceId, &str) -> Result<Recipe, Vec<Finding>>;

impl<'a> Others<'a> {
    /// Those that `find` finds; `names` are all existing ones, to offer the nearest.
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

/// The target of a name in another recipe.
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
    counted(reference, others, findings)?;
    // The name of a recipe may itself have a dot.
    let lengths = [2, 1].into_iter().skip(usize::from(!with_set));
    let split = |n: usize| {
        let (recipe, rest) = parts.split_at(parts.len() - n);
        (recipe.join("."), rest.to_vec())
    };
    let mut splits = lengths.filter(|n| parts.len() > *n).map(split);
    let found = splits.find_map(|(recipe, rest)| {
        let read = others.state.borrow().path.contains(&recipe);
        // One that is being read is not read again.
        let (source, text) = if read { None } else { (others.find)(&recipe) }.unzip();
        (read || source.is_some()).then_some((recipe, source, text, rest))
    });
    let Some((name, source, text, rest)) = found else {
        let known = (others.names)();
        let known: Vec<&str> = known.iter().map(String::as_str).collect();
        let wanted = parts[0];
        let form = if with_set { "RECIPE.FACE.HOLES or RECIPE.FACE" } else { "RECIPE.FACE" };
        let (headline, help) = not_found(&reference.name, wanted, &known, form);
        return refuse(headline, help);
    };
    let (Some(source), Some(text)) = (source, text) else {
        report_loop(&name, reference, others, findings);
        return None;
    };
    let recipe = read_other(&name, (source, &text), reference, others, read, findings)?;
    let Some(face) = recipe.faces.get(rest[0]) else {
        recipe.no_face(rest[0], reference.span).into_iter().for_each(|f| findings.add(f));
        return None;
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

/// The error of the name of a face or of holes, and what to type: headline and help.
fn not_found(name: &str, wanted: &str, known: &[&str], form: &str) -> (String, String) {
    let has_face = name != wanted;
    if !has_face && known.contains(&wanted) {
        return ("no face is named".into(), format!("write {form}, beginning with `{wanted}.`"));
    }
    let help = match nearest(wanted, known.iter().copied()) {
        _ if !has_face => format!("write {form}, such as `tab.plate`"),
        Some(near) => format!("write `{}`", name.replacen(wanted, near, 1)),
        None => instead(wanted, known, "choose from"),
    };
    (format!("there is no recipe `{wanted}`"), help)
}

/// Counts a use of another recipe; `None` where there are too many, which is reported once.
fn counted(reference: &Reference, others: &Others, findings: &Findings) -> Option<()> {
    let mut state = others.state.borrow_mut();
    state.count += 1;
    if state.path.len() > DEEPEST {
        let headline = format!("more than {DEEPEST} recipes, each of which uses the next");
        let finding = Finding::stop("too-many", headline).at(reference.span, "");
        findings.add(finding.help(format!("use `{}` in the first of them", reference.name)));
        return None;
    }
    if state.count <= MAX && state.text <= MAX_TEXT {
        return Some(());
    }
    if state.count <= MAX + 1 {
        // Nothing more is read, so nothing more is reported.
        state.count = state.count.max(MAX + 1);
        let headline =
            format!("more than {MAX} uses of other recipes, or more than {MAX_TEXT} bytes of them");
        let finding = Finding::stop("too-many", headline).at(reference.span, "");
        findings.add(finding.help("draw some of it here, or use whole faces"));
    }
    None
}

/// Reports that a recipe uses itself, through others or not.
fn report_loop(name: &str, reference: &Reference, others: &Others, findings: &Findings) {
    let path = &others.state.borrow().path;
    let round = path.iter().skip_while(|other| *other != name).map(String::as_str).chain([name]);
    let ring: Vec<&str> = round.collect();
    let headline = format!("recipe `{name}` uses itself: {}", ring.join(" → "));
    findings.add(
        Finding::stop("recipe-loop", headline)
            .at(reference.span, "")
            .help("draw one of them without the others"),
    );
}

/// Another recipe, read; its errors are shown in its file, with the place that uses it.
fn read_other(
    name: &str,
    (source, text): (SourceId, &str),
    reference: &Reference,
    others: &Others,
    read: Read,
    findings: &Findings,
) -> Option<Recipe> {
    if others.state.borrow().failed.iter().any(|failed| failed == name) {
        return None;
    }
    others.state.borrow_mut().text += text.len();
    match read(name, source, text) {
        Ok(recipe) => Some(recipe),
        Err(found) => {
            others.state.borrow_mut().failed.push(name.to_owned());
            found.into_iter().for_each(|f| findings.add(f.at(reference.span, "used here")));
            None
        }
    }
}
