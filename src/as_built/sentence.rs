//! The results of the measurements, in sentences.

use crate::as_built::cause::CauseFound;
use crate::as_built::cause::Verdict;
use crate::as_built::found::AsBuilt;
use crate::as_built::found::MeasureFound;
use crate::as_built::judged_fits::FitFound;
use crate::as_built::others::OtherFound;
use crate::as_built::row::RowFound;
pub(crate) use crate::as_built::words::value;
use crate::job::Job;

/// A value with its limit.
fn within(job: &Job, is_angle: bool, [is, limit]: [f64; 2]) -> String {
    format!("{} ± {}", value(job, is_angle, is), value(job, is_angle, limit))
}

/// By how much something is off, with its sign.
pub(crate) fn off(job: &Job, is_angle: bool, by: f64) -> String {
    let shown = value(job, is_angle, by);
    let is_nothing = shown.starts_with("0 ") || shown == "0°";
    if by > 0.0 && !is_nothing { format!("+{shown}") } else { shown }
}

/// A measurement.
pub(crate) fn measure(job: &Job, of: &MeasureFound) -> String {
    let show = |mm: f64| value(job, of.is_angle, mm);
    let piece = if of.piece > 1 { format!(", piece {}", of.piece) } else { String::new() };
    format!(
        "{}{piece}, {}: nominal {}, measured {} ({}); next pieces {} on average",
        of.part,
        of.words,
        show(of.asked),
        within(job, of.is_angle, [of.is, of.limit]),
        off(job, of.is_angle, of.is - of.asked),
        within(job, of.is_angle, of.next)
    )
}

/// The dimension to ask for in place of the drawn one, where the next pieces deviate by more than
/// their limit and the measurements agree.
pub(crate) fn instead(job: &Job, of: &MeasureFound) -> Option<String> {
    let is_off = (of.next[0] - of.asked).abs() > of.next[1];
    let instead = of.instead.filter(|_| is_off)?;
    Some(format!(
        "until that is corrected, a piece made to {} comes out at {} on average",
        value(job, of.is_angle, instead),
        value(job, of.is_angle, of.asked)
    ))
}

/// A cause.
pub(crate) fn cause(job: &Job, of: &CauseFound) -> String {
    let is_angle = of.kind.is_angle();
    let limit = value(job, is_angle, of.limit);
    let by = match of.nominal {
        Some(nominal) => format!(
            "{} ± {limit} (computed with {})",
            value(job, is_angle, nominal + of.by),
            value(job, is_angle, nominal)
        ),
        None => format!("{} ± {limit}", off(job, is_angle, of.by)),
    };
    match &of.verdict {
        Verdict::Off => format!("{}: {by}", of.words),
        Verdict::Right => format!("{}: {by}, within its limits: taken as nominal", of.words),
        Verdict::NotShown => format!("{}: cannot be found from these measurements", of.words),
        Verdict::NotSeparated { with, measure } => {
            let more = |why: &str| {
                let place = measure.as_ref();
                place
                    .map_or_else(String::new, |place| format!("; measure the {place} as well{why}"))
            };
            let words = &of.words;
            match with.as_slice() {
                [] => {
                    let more = more("");
                    format!(
                        "{words}: these measurements are not accurate enough, perhaps {by}{more}"
                    )
                }
                with => format!(
                    "{words}: cannot be separated from {}, perhaps {by}{}",
                    with.join(", "),
                    more(" to separate them")
                ),
            }
        }
    }
}

/// The changes by a row, before the row itself.
pub(crate) fn row(job: &Job, of: &RowFound) -> String {
    let show = |mm: f64| value(job, false, mm);
    let radius = match of.radius_told {
        true => "radius as measured",
        false => "radius as computed now (not measured)",
    };
    let replaces = of.replaces.as_ref().map_or_else(String::new, |known| {
        format!(
            "; in place of the row of {}, {} over a V of {}, which has {}",
            known.material,
            show(known.thickness),
            show(known.v),
            show(known.deduction)
        )
    });
    let caution =
        of.caution.as_ref().map_or_else(String::new, |words| format!("; caution: {words}"));
    format!(
        "deduction {} ± {}, present flats are computed with {}; {radius}{replaces}{caution}",
        show(of.row.deduction),
        show(of.limit),
        show(of.today)
    )
}

/// What to add to the measurements once a row is in the shop file.
pub(crate) fn once_used(of: &RowFound) -> String {
    let today = crate::num::text(of.today, 3);
    format!(
        "Once the row is in the shop file, add `deduction = \"{today} mm\"` to the measurements of \
         pieces that were cut before: their flats were computed with it."
    )
}

/// A part that the same causes touch.
pub(crate) fn other(job: &Job, of: &OtherFound) -> String {
    let [by, limit] = of.by;
    format!(
        "{}, {}: nominal {}, expect {} on average",
        of.part,
        of.words,
        value(job, of.is_angle, of.asked),
        within(job, of.is_angle, [of.asked + by, limit])
    )
}

/// A fit.
pub(crate) fn fit(job: &Job, of: &FitFound) -> String {
    let piece = if of.piece > 1 { format!(", piece {}", of.piece) } else { String::new() };
    let room = of.is[0] - of.needs;
    format!(
        "{} in {}{piece}: {} is {} as built (drawn {}), {} is needed: {} {}",
        of.what,
        of.part,
        of.words,
        within(job, false, of.is),
        value(job, false, of.asked),
        value(job, false, of.needs),
        value(job, false, room.abs()),
        if room < 0.0 { "too narrow" } else { "of play" }
    )
}

/// Everything, to read on a terminal.
pub fn text(job: &Job, all: &AsBuilt) -> String {
    let mut lines = vec!["measured".to_owned()];
    for of in &all.measures {
        lines.push(format!("  {}", measure(job, of)));
        lines.extend(instead(job, of).map(|words| format!("    {words}")));
    }
    if !all.left_out.is_empty() {
        lines.push("left out, as the job makes none of these parts".to_owned());
        lines.extend(all.left_out.iter().map(|of| format!("  {of}")));
    }
    lines.push("causes, with 95 % limits".to_owned());
    lines.extend(all.causes.iter().map(|of| format!("  {}", cause(job, of))));
    if !all.fits.is_empty() {
        lines.push("fits, as built".to_owned());
        lines.extend(all.fits.iter().map(|of| format!("  {}", fit(job, of))));
    }
    if !all.others.is_empty() {
        lines.push("other parts affected by the same causes".to_owned());
        lines.extend(all.others.iter().map(|of| format!("  {}", other(job, of))));
    }
    for of in &all.rows {
        lines.push(format!("row for the shop file: {}", row(job, of)));
        lines.extend(of.row.row().lines().map(|line| format!("  {line}")));
        lines.push(once_used(of));
    }
    lines.push(String::new());
    lines.join("\n")
}
