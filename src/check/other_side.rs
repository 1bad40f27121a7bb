//! A piece on both sides of the machine that is missing, or of the wrong hand, on one.
//!
//! # Looks for
//! With `both_sides`, pieces that are all of one hand: a tube whose ends are twisted or offset, one
//! with tabs, and a part that is not its own mirror image: a stop, or a caution while only one
//! piece is made. Of an even `quantity` half of the pieces are made in each hand instead: a part
//! that no joint, tube end or locked sheet names becomes `NAME-right` and `NAME-left`; a tube
//! without tabs, caps or slots becomes `NAME` and `NAME-other-side`. Fewer pieces than the machine has
//! places for: a caution. A piece on the other side that does not reach what it `touches`, passes
//! `through` or `meets`, because that is on one side only: a caution.
//!
//! # Why it matters
//! The other side is the mirrored machine. A tube that is twisted by 87° clockwise needs one there
//! that is twisted by 87° anticlockwise; a second piece of the first is scrap.
//!
//! # Example
//! A brace is coped to a rail and to an upright, with a twist of -87° between its ends and a tab at
//! 30°, and two are made of it.
//!
//! # Remedy
//! Make an even `quantity`, or write `mirror = true` for a part. For a tube with tabs, caps or slots,
//! make half of the pieces and add a second `[[tube]]` with the twist, the offsets and the clock angles of the other hand.
//!
//! # Source
//! Geometry. A tube is the same on both sides where a plane along its axis is a plane of symmetry
//! of its copes and tabs, or where its ends are mirror images of each other. Of a part the outlines
//! of its faces, its holes and their countersinks, lips and inserts are compared; one with beads or
//! with bevels on one side is taken as of one hand. Within 0.1 mm and 0.1°: our choice.

use crate::diag::About;
use crate::diag::Finding;
use crate::diag::Span;

pub(super) const CODE: &str = "other-side";

/// Something that is on both sides, or in several places.
pub(crate) struct OnSides<'a> {
    /// In words: tube `brace`.
    pub(crate) words: &'a str,
    /// What a finding is about.
    pub(crate) about: About,
    /// Where it is named.
    pub(crate) here: Span,
    /// Pieces that are made of it.
    pub(crate) made: u32,
}

impl OnSides<'_> {
    fn finding(&self, finding: Finding) -> Finding {
        finding.about(self.about.clone()).at(self.here, "")
    }
}

/// The finding on pieces that are all of one hand: how those of the other side differ, and what to type.
pub(crate) fn of_one_hand(of: &OnSides, differs: Vec<String>, help: String) -> Finding {
    let words = of.words;
    let finding = match of.made {
        0 | 1 => {
            let headline = format!(
                "{words} is on both sides: one piece is made, and the other side needs its mirror image"
            );
            Finding::caution(CODE, headline)
        }
        made => {
            let all = if made == 2 { "both".to_owned() } else { format!("all {made}") };
            let headline = format!(
                "{all} pieces of {words} are the same hand: the other side needs the opposite hand"
            );
            Finding::stop(CODE, headline)
        }
    };
    differs.into_iter().fold(of.finding(finding), Finding::note).help(help)
}

/// The finding on something of which fewer pieces are made than the machine has places for.
pub(crate) fn too_few(of: &OnSides, places: u32, quantity: u32) -> Finding {
    let (words, made) = (of.words, of.made);
    let are = if made == 1 { "piece of" } else { "pieces of" };
    let is = if made == 1 { "is" } else { "are" };
    let headline =
        format!("only {made} {are} {words} {is} made, but the machine has {places} places for it");
    let help =
        format!("write `quantity = {quantity}`, or remove the places that it is not made for");
    of.finding(Finding::caution(CODE, headline)).help(help)
}

/// The finding on a piece on the other side that does not touch another body, both in words, because `other` is on
/// one side only; `at` is where it says that they touch.
pub(crate) fn on_one_side([words, other]: [&str; 2], at: Span) -> Finding {
    let headline = format!("{words} does not touch {other}, which is on one side only");
    Finding::caution(CODE, headline)
        .at(at, "")
        .help(format!("write `both_sides = true` for {other} as well, or correct the points"))
}
