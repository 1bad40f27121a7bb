//! A rod end that does not fit between its ears, or has too much play there.
//!
//! # Looks for
//! A gap that is smaller than the ball with its spacers once it is coated (stop); one that is too
//! small by root sum square of the tolerances of sheet, cut, bend, weld and coating (caution); and
//! one with more play than half a millimetre and more than twice what those tolerances may take up
//! (caution). Where only the worst case, all tolerances stacked, is too narrow, the drawing and the
//! report say so. Both give the gap bare and coated, worst case and by root sum square. Ears on both
//! sides of a tube (`cheeks`) or of the layers of a joint take no rod end, unless a link names the part:
//! their gap is checked against the tube or the layers instead, and layers that are too thick are a stop,
//! too thin or none a caution.
//!
//! # Why it matters
//! Ears that fit bare do not fit coated, as there is coating on both faces. Where it is filed off,
//! rust starts out of sight. If the ears are too far apart, their bolt bends them or the link
//! knocks.
//!
//! # Example
//! A ball 14 mm wide between ears 14.1 mm apart: 0.08 mm of powder on each face leaves
//! 13.94 mm.
//!
//! # Remedy
//! Leave `gap` to the recipe, which adds the coating; or mask the inner faces. Weld the
//! ears while they are bolted up on a spacer as wide as the bare gap. A bent clevis is less
//! accurate: give it more `clearance` and take up the play with thin washers.
//!
//! # Source
//! Gap and coating: arithmetic. Half a millimetre: our choice, about as far as a bolt pulls the
//! ears of small brackets together. Coating thickness: `min` and `max` of the `coating` table, else
//! `tolerance`. Tolerances: ISO 9013 or ISO 2768-1 for cuts, the tables `sheet-tolerance` and
//! `tolerance` for the rest.

use crate::check::subject::Subject;
use crate::check::subject::short;
use crate::diag::Finding;
use crate::diag::Weight;

pub(super) const CODE: &str = "clevis-gap";

/// Play that a bolt pulls together, mm.
const LOOSE: f64 = 0.5;

/// Play by what the tolerances may take of it, above which it is too much. Our choice: what
/// may come out at nothing may as well come out at twice as much.
const SPREADS: f64 = 2.0;

pub(super) fn check(subject: &Subject) -> Vec<Finding> {
    let Some((clevis, fit)) = subject.part.clevis.as_ref().zip(subject.clevis) else {
        return Vec::new();
    };
    let gap = &fit.gap;
    let show = |mm: f64| subject.show(mm);
    let (bare, coated, width) = (show(gap.bare), show(gap.coated()), show(gap.width()));
    let rod_end = clevis.rod_end.name();
    let [likely, worst] = gap.min_play();
    let loose = LOOSE.max(SPREADS * (gap.play() - likely));
    let finding = |weight, headline: String| {
        let left = format!("bare {bare} − 2 × {} of coating = {coated}", show(gap.film));
        let needs = format!("ball {} + 2 × {} of spacer", show(gap.ball), show(gap.spacer));
        subject
            .finding(weight, CODE, headline, &clevis.depends, clevis.span)
            .about(subject.of_ear(clevis))
            .note(left)
            .note(format!("{needs} = {width}"))
    };
    if short(gap.coated(), gap.width()) {
        let headline = format!(
            "rod end {rod_end}, {width} wide with its spacers, does not fit: the ears are {bare} \
             apart bare and {coated} coated"
        );
        let needed = subject.show_up(gap.bare - gap.play());
        let help = format!("make the bare gap {needed} or more, or mask the inner faces");
        vec![finding(Weight::Stop, headline).help(help)]
    } else if short(likely, 0.0) {
        let headline = format!(
            "rod end {rod_end}, {width} wide with its spacers, may not fit: with likely tolerances (root sum \
             square) the ears are only {} apart when coated",
            subject.units.length_down(gap.width() + likely)
        );
        let help = format!(
            "make the gap {} larger, or set each pair of ears on a spacer of {bare}",
            subject.show_up(-likely)
        );
        let at_worst = format!("worst case: {} apart", show(gap.width() + worst));
        vec![finding(Weight::Caution, headline).note(at_worst).help(help)]
    } else if gap.play() > loose {
        let headline = format!(
            "rod end {rod_end} has {} of play: it is {width} wide, the coated ears are {coated} apart",
            show(gap.play())
        );
        let help =
            format!("close the gap by {}, or add spacers", subject.show_up(gap.play() - loose));
        vec![finding(Weight::Caution, headline).help(help)]
    } else {
        Vec::new()
    }
}
