//! What strips say, in sentences.

use crate::cli::terminal;
use crate::cli::terminal::plural;
use platewright::num;
use platewright::num::Angle;
use platewright::shop::Calibration;
use platewright::shop::MATTERS;
use platewright::shop::Strips;
use platewright::shop::USUAL_K;

/// Says each strip, the mean and its scatter, and what to do where they are not enough.
pub(super) fn say(strips: &Strips, said: &Calibration) {
    let mm = |x: f64| num::text(x, 2);
    if strips.bent.len() > 1 || strips.bent[0].angle != Angle::QUARTER {
        for (i, (strip, of)) in strips.bent.iter().zip(&said.each).enumerate() {
            terminal::say(&format!(
                "strip {}: bent through {}; at 90° its deduction is {} mm, K-factor {}",
                i + 1,
                strip.angle,
                num::text(of.deduction, 3),
                num::text(of.k, 4)
            ));
        }
    }
    terminal::say(&format!(
        "K-factor {}, bend deduction {} mm",
        num::text(said.row.k, 4),
        num::text(said.row.deduction, 3)
    ));
    if strips.thickness != strips.nominal {
        terminal::say(&format!(
            "that is for {} mm sheet; on this one, {} mm thick, the same K-factor gives a deduction of {} mm",
            num::text(strips.nominal, 3),
            num::text(strips.thickness, 3),
            num::text(said.as_thick, 3)
        ));
    }
    if let (Some((deviation, count)), Some(limit)) = (said.row.scatter, said.limit()) {
        let error = said.row.standard_error().unwrap_or_default();
        terminal::say(&format!(
            "{count} strips: scatter {} mm (standard deviation), standard error of the mean {} mm, \
             95 % limits of the deduction {} ± {} mm",
            mm(deviation),
            mm(error),
            mm(said.row.deduction),
            mm(limit)
        ));
        terminal::say(&format!(
            "that is ± {} mm on the outside length of a 90° flange and ± {} mm on a web between \
             two bends; bends differ from one another by about ± {} mm on a flange",
            mm(limit / 2.0),
            mm(limit),
            mm(deviation)
        ));
    }
    springback(said);
    cautions(strips, said);
}

fn springback(said: &Calibration) {
    if let Some(more) = said.row.springback {
        terminal::say(&format!(
            "springback {}: for a finished bend of 90°, bend to {}",
            Angle::from_degrees((more.degrees() * 100.0).round() / 100.0),
            Angle::from_degrees((9000.0 + more.degrees() * 100.0).round() / 100.0)
        ));
    }
}

fn cautions(strips: &Strips, said: &Calibration) {
    let [low, high] = USUAL_K;
    let k = said.row.k;
    if !(low..=high).contains(&k) {
        terminal::say(&format!(
            "caution: a K-factor of {} is outside {low} to {high}, where air bending usually lies: \
             measure the inside radius and the bend angle again, and make sure that the legs \
             were measured to the mould line (`platewright calibrate --worksheet` shows how)",
            num::text(k, 3)
        ));
    }
    let more = said.more();
    if strips.bent.len() == 1 {
        terminal::say(&format!(
            "caution: one strip does not show the scatter, which is often 0.1 to 0.3 mm: \
             bend {} and give each with --strip",
            plural(more, "more strip")
        ));
    } else if more > 0 {
        terminal::say(&format!(
            "caution: the 95 % limits of the mean are wider than ± {MATTERS} mm (± {} mm on a \
             flange): bend {}, or measure again the one that deviates most",
            MATTERS / 2.0,
            plural(more, "more strip")
        ));
    }
}
