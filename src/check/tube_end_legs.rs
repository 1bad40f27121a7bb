//! The legs of a bent part on both sides of a tube.

use crate::check::tube_end_subject::CheekLegs;
use crate::check::tube_end_subject::TubeEndSubject;
use crate::check::tube_end_subject::show;
use crate::check::tube_end_subject::words;
use crate::diag::About;
use crate::diag::Finding;

/// Play that a bolt pulls together, mm. Our choice, that of a clevis.
const LOOSE: f64 = 0.5;

/// Play by what the tolerances may take of it, above which it is too much. Our choice, that of a clevis.
const SPREADS: f64 = 2.0;

/// What is given differs from what is drawn beyond this, mm. Our choice.
const DIFFERS: f64 = 0.1;

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

/// What is wrong with the legs of a bent part on both sides of a tube, under a code.
pub(super) fn check(of: &TubeEndSubject, code: &'static str) -> Option<Finding> {
    let legs = of.legs.as_ref()?;
    let finding = finding(of, legs, code)?;
    Some(finding.about(About::part(legs.part)).at(legs.at, ""))
}

fn finding(of: &TubeEndSubject, legs: &CheekLegs, code: &'static str) -> Option<Finding> {
    let part = format!("`{}`", legs.part);
    let Some([gap, off]) = legs.nearest(of.gap.map(|(given, _)| given)) else {
        let (why, help) = match legs.gaps.is_empty() {
            true => (
                "no two of them face each other",
                "name a part with a leg on either side of the tube, or flat plates",
            ),
            false => (
                "more than two of them face each other",
                "add `gap`, how far apart the two legs are that the tube goes between",
            ),
        };
        let headline =
            format!("not judged: whether {} fits between the legs of {part}: {why}", words(of));
        return Some(Finding::caution(code, headline).help(help));
    };
    if let Some((given, at)) = of.gap.filter(|(given, _)| (given - gap).abs() > DIFFERS) {
        let headline =
            format!("the legs of {part} are {} apart, not {}", show(of, gap), show(of, given));
        let finding = Finding::stop(code, headline).at(at, "");
        return Some(finding.help("remove `gap`, or change the part"));
    }
    let [drawn, widest] = of.end.gap()?;
    let headline = format!(
        "the legs of {part}, {} apart, are too close for {}: {} is needed, {} for the widest tube",
        show(of, gap),
        words(of),
        show(of, drawn),
        show(of, widest)
    );
    let likely = format!(
        "with likely tolerances of sheet and bends (root sum square) the legs are {} apart",
        show(of, gap - off)
    );
    let enough = of.units.length_up(widest + off);
    let help = format!("make the gap of {part} {enough} or more");
    if gap + ROUNDING < drawn {
        return Some(Finding::stop(code, headline).help(help));
    }
    if gap - off + ROUNDING < widest {
        return Some(
            Finding::caution(code, headline.replace("are too", "may be too"))
                .note(likely)
                .help(help),
        );
    }
    let play = gap - drawn;
    if play <= LOOSE.max(SPREADS * (off + widest - drawn)) + ROUNDING {
        return None;
    }
    let headline = format!(
        "the legs of {part} are {} further apart than {} needs: the bolt would bend them",
        show(of, play),
        words(of)
    );
    let help = format!("make the gap of {part} {enough}, or fill it with washers");
    Some(Finding::caution(code, headline).help(help))
}
