//! A recipe as its file says it: a family of parts.

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Span;
use crate::diag::instead_of;
use crate::document::Entry;
use crate::document::Findings;
use crate::recipe::bend::Bend;
use crate::recipe::captured::Captured;
use crate::recipe::clevis::Clevis;
use crate::recipe::cut_folded::CutFolded;
use crate::recipe::expr::Expr;
use crate::recipe::face::Face;
use crate::recipe::hand::HAND;
use crate::recipe::hand::Hand;
use crate::recipe::input::Input;
use crate::recipe::kind::Kind;
use crate::recipe::mark::Marking;
use crate::recipe::mark::Word;
use crate::recipe::point::NamedPoint;
use crate::recipe::point::PointRule;
use crate::recipe::space::SpaceTube;
use indexmap::IndexMap;

/// A family of parts.
#[derive(Clone, Debug)]
pub struct Recipe {
    /// Its name, that of its file.
    pub name: String,
    /// Whether it is a shipped recipe, unchanged.
    pub(crate) is_shipped: bool,
    /// One sentence.
    pub about: String,
    /// The inputs of a part, in the order of the file.
    pub inputs: IndexMap<String, Input>,
    /// Formulas by name.
    pub derived: IndexMap<String, Expr>,
    /// Points by name.
    pub points: IndexMap<String, NamedPoint>,
    /// `tape`: how far a measurement of a point may be off.
    pub tape: Option<Expr>,
    /// Conditions that must be met.
    pub requires: Vec<Require>,
    /// Results worth telling, such as a gap.
    pub facts: Vec<Fact>,
    /// Its features round a rod end.
    pub clevis: Option<Clevis>,
    /// The nut it captures in the bore of a tube.
    pub captured: Option<Captured>,
    /// Tubes in space, by name.
    pub tubes: IndexMap<String, SpaceTube>,
    /// The faces, in the order of the file.
    pub faces: IndexMap<String, Face>,
    /// The bends between them.
    pub bends: IndexMap<String, Bend>,
    /// Tubes that are cut out of the formed part.
    pub cut_folded: Vec<CutFolded>,
    /// How many pieces one set needs.
    pub copies: u32,
    /// Whether a set is a right hand and a left hand.
    pub mirror: bool,
    /// Whether its formulas know the `hand`.
    pub(super) knows_hand: bool,
    /// Which direction of the first face must lie along the grain of the sheet.
    pub grain: Grain,
    /// `bend_ticks`: whether the ends of all bend lines are marked, where it says.
    pub bend_ticks: Option<bool>,
    /// Recipes of which it uses faces or holes, once for each use.
    pub(super) others: Vec<Other>,
    /// Faces that are not made now: they are on another sheet.
    pub(crate) elsewhere: Vec<String>,
    /// Findings of reading it that do not stop.
    pub cautions: Vec<Finding>,
}

/// A recipe of which another uses a face or holes.
#[derive(Clone, Debug)]
pub struct Other {
    /// The recipe.
    pub(super) recipe: Recipe,
    /// Where its text is.
    pub(super) source: SourceId,
    /// Values for its inputs.
    pub(super) given: Vec<(String, Entry)>,
    /// Where it is named.
    pub(super) span: Span,
}

impl Other {
    /// Its values as a job gives them.
    pub(super) fn given(&self) -> Vec<(&str, &Entry)> {
        self.given.iter().map(|(name, entry)| (name.as_str(), entry)).collect()
    }

    /// The names on which the values of its inputs depend.
    pub(super) fn depends(&self) -> Vec<String> {
        let quiet = Findings::default();
        let typed = self.given.iter().filter_map(|(name, entry)| {
            Some(self.recipe.inputs.get(name)?.kind.typed(&entry.item, &quiet)?.names())
        });
        typed.flatten().collect()
    }
}

impl Recipe {
    /// The same, made in both hands or not.
    #[must_use]
    pub(crate) fn in_both_hands(self, mirror: bool) -> Self {
        let knows_hand = self.knows_hand || (mirror && !self.declares(HAND));
        Self { mirror, knows_hand, ..self }
    }

    /// Whether it marks the name of its part itself.
    pub(crate) fn marks_name(&self) -> bool {
        let marks = self.faces.values().flat_map(|face| &face.marks);
        marks.into_iter().any(|mark| match &mark.marking {
            Marking::Text(text) => text.words.iter().any(|word| matches!(word, Word::Name)),
            Marking::Line(_) | Marking::Tick(_) => false,
        })
    }

    /// The same without those faces, which are made of another sheet.
    #[must_use]
    pub(crate) fn without(self, elsewhere: Vec<String>) -> Self {
        Self { elsewhere, ..self }
    }

    /// Whether a face is made now.
    pub(crate) fn makes(&self, face: &str) -> bool {
        self.elsewhere.iter().all(|other| other != face)
    }

    /// The name of a bend in the recipe: `knuckle` of the member `knuckle 2` of a repeated one.
    pub(crate) fn bend_set<'a>(&self, bend: &'a str) -> &'a str {
        let set = bend.rsplit_once(' ').map_or(bend, |(set, _)| set);
        match self.bends.get(set) {
            Some(repeated) if repeated.each.is_some() => set,
            _ => bend,
        }
    }

    /// The face without a bend below it that carries this one, or is it.
    pub(crate) fn root<'a>(&'a self, face: &'a str) -> &'a str {
        let mut root = face;
        // A ring of bends is refused later.
        for _ in 0..self.bends.len() {
            match self.bends.values().find(|bend| bend.to == root) {
                Some(bend) => root = &bend.from,
                None => break,
            }
        }
        root
    }

    /// Whether formulas may use this name because it is declared.
    pub(crate) fn declares(&self, name: &str) -> bool {
        self.inputs.contains_key(name)
            || self.derived.contains_key(name)
            || self.points.contains_key(name)
    }

    /// A face of the recipe that it uses with the text `source`.
    pub(crate) fn other_face(&self, source: SourceId, face: &str) -> Option<&Face> {
        self.others.iter().find_map(|other| match other.source == source {
            true => other.recipe.faces.get(face),
            false => other.recipe.other_face(source, face),
        })
    }

    /// The finding at `at` where it has no face of this name.
    pub(crate) fn no_face(&self, face: &str, at: Span) -> Option<Finding> {
        let names: Vec<&str> = self.faces.keys().map(String::as_str).collect();
        let headline = format!("recipe `{}` has no face `{face}`", self.name);
        let finding = Finding::stop("bad-name", headline).at(at, "");
        let help = instead_of(face, &names, "its face");
        (!self.faces.contains_key(face)).then(|| finding.help(help))
    }

    /// The names that the values of the recipe with the text `source` depend on, where it is used.
    pub(crate) fn behind_other(&self, source: SourceId) -> Option<Vec<String>> {
        let of =
            |other: &&Other| other.source == source || other.recipe.behind_other(source).is_some();
        self.others.iter().find(of).map(Other::depends)
    }

    /// The words that a name can be: of a choice, and of the hand where formulas know it.
    pub(crate) fn words(&self, name: &str, has_hand: bool) -> Option<Vec<String>> {
        match self.inputs.get(name).map(|input| &input.kind) {
            Some(Kind::Choice(words)) => Some(words.clone()),
            None if has_hand && name == HAND => {
                Some(Hand::ALL.map(|hand| hand.word().to_owned()).to_vec())
            }
            _ => None,
        }
    }

    /// Whether a point is one in space: by three coordinates, or measured from one that is.
    pub(super) fn is_in_space(&self, point: &str) -> bool {
        // A cycle of points is refused later: each is visited once.
        let (mut seen, mut next) = (Vec::new(), vec![point]);
        while let Some(name) = next.pop() {
            let Some((name, point)) = self.points.get_key_value(name) else { continue };
            if matches!(point.rule, PointRule::InSpace(_) | PointRule::Across(..)) {
                return true;
            }
            let drawn = matches!(point.rule, PointRule::Measured(_) | PointRule::Along(..));
            if drawn && !seen.contains(&name) {
                seen.push(name);
                next.extend(point.names().into_iter().map(|name| name.0.as_str()));
            }
        }
        false
    }

    /// Every name that is declared: of inputs, formulas and points.
    pub(super) fn names(&self) -> impl Iterator<Item = &String> {
        self.inputs.keys().chain(self.derived.keys()).chain(self.points.keys())
    }
}

/// A condition and the sentence shown when it is not met.
#[derive(Clone, Debug)]
pub struct Require {
    /// Must be true.
    pub that: Expr,
    /// The sentence.
    pub otherwise: String,
}

/// A result worth telling.
#[derive(Clone, Debug)]
pub struct Fact {
    /// Its name.
    pub name: String,
    /// Its value.
    pub value: Expr,
    /// One sentence.
    pub about: String,
    /// Only when this is true.
    pub when: Option<Expr>,
}

/// Which direction of the first face lies along the grain of the sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Grain {
    /// Any.
    #[default]
    Free,
    /// x.
    AlongX,
    /// y.
    AlongY,
}
