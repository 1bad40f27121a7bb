//! Hands that are the same part.

use crate::diag::About;
use crate::diag::Finding;
use crate::geom::Place;
use crate::geom::Point;
use crate::job::Job;
use crate::num::Angle;
use crate::recipe::Hand;
use crate::solve::geometry;
use crate::solve::solved::Solved;

/// Right-hand parts whose left hand is the same part, rotated by a quarter turn or as it is, each
/// by its index.
pub(super) fn alike(job: &Job, solved: &[Solved]) -> Vec<(usize, Finding)> {
    let mut found = Vec::new();
    let rights = solved.iter().enumerate().filter(|(_, of)| of.part.hand == Some(Hand::Right));
    for (i, right) in rights {
        let Some(left) = left_of(right, solved) else { continue };
        let own = geometry::turned(job, right, &Place::default());
        let quarters = [0.0, 90.0, 180.0, 270.0].map(Angle::from_degrees);
        let is_own =
            |by: Angle| geometry::turned(job, left, &Place::rotated(by, Point::ZERO)) == own;
        if quarters.into_iter().any(is_own) {
            found.push((i, finding(job, right, left)));
        }
    }
    found
}

fn finding(job: &Job, right: &Solved, left: &Solved) -> Finding {
    let headline = format!("`{}` and `{}` are the same part", right.name, left.name);
    Finding::caution("hands-alike", headline)
        .at(job.lines[right.line].here, "")
        .about(About::part(&right.name))
        .about(About::part(&left.name))
        .note("it is its own mirror image: each piece fits either side")
        .help("write `mirror = false` here and double the `quantity`, or remove `mirror` from the recipe")
}

/// The left hand of a right-hand part.
fn left_of<'a>(right: &Solved, solved: &'a [Solved]) -> Option<&'a Solved> {
    let base = |of: &Solved, hand: Hand| of.name.strip_suffix(hand.word()).map(str::to_owned);
    let own = base(right, Hand::Right)?;
    solved
        .iter()
        .find(|of| of.part.hand == Some(Hand::Left) && base(of, Hand::Left).as_ref() == Some(&own))
}
