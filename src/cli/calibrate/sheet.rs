//! The sheet to take to the brake: how strips are cut, marked, bent and measured.

use crate::cli::args::CalibrateArgs;
use platewright::num;

/// Rows of the table to write into.
const ROWS: usize = 5;

/// The sheet as text, to print; `radius` is about what the V makes, mm.
pub(super) fn text(args: &CalibrateArgs, radius: f64) -> String {
    let CalibrateArgs { material, thickness, v, .. } = args;
    let nominal = args.nominal.as_ref().unwrap_or(thickness);
    let line = "_".repeat(9);
    let row = |n: usize| format!("  {n}     {}\n", [line.as_str(); 6].join("  "));
    let rows: String = (1..=ROWS).map(row).collect();
    format!(
        "BEND STRIPS  {material}, {nominal}, V {v}                  date ____________  by ________\n\
         \n\
         CUT     Three strips at least, five are better, of the sheet the parts are made of, one beside\n\
        \x20       the other; all with the grain the same way to the bend as in the parts.\n\
        \x20       `platewright calibrate --material \"{material}\" --thickness \"{nominal}\" --v \"{v}\"` draws one.\n\
        \x20       Take off the burr. Measure the thickness T away from the edges, in three places.\n\
         MARK    A and B on either end, and the bend line across the centre. Measure the length L of\n\
        \x20       each strip to 0.05 mm before it is bent: the drawing's is not what was cut.\n\
         BEND    Over the V of {v}, at the line, to about 90°. Note the angle U that the brake is set\n\
        \x20       to, or that a protractor reads under load, if you can.\n\
         MEASURE The bend angle is counted from flat: an open corner of 88° is a bend angle of 92°.\n\
        \x20       W is 180° less what a protractor reads between the outsides of the legs.\n\
        \x20       Legs go along their outside to the mould line, where the outsides of both legs meet:\n\
        \x20       lay leg B flat on a plate, its outside down, and measure A along its outside from the\n\
        \x20       plate to its end; then the other way round. At 90° a caliper laid across reads the\n\
        \x20       same. Beyond 90° it reads to the outside of the bend, which is less, and short of\n\
        \x20       90° to the tip of the other leg, which is more: do not use it so.\n\
        \x20       R is the inside radius by a radius gauge, about {} mm over this V.\n\
         \n\
         strip       L          A          B          W          U          R\n\
         {rows}\n\
         thickness T  {line}  {line}  {line}\n\
         \n\
         THEN    platewright calibrate --material \"{material}\" --nominal \"{nominal}\" --thickness \"T mm\" \\\n\
        \x20         --v \"{v}\" --radius \"R mm\" --under-load \"U deg\" \\\n\
        \x20         --strip \"A mm\" \"B mm\" \"L mm\" \"W deg\"   (once for each strip)\n\
        \x20       It works each strip out to 90°, gives the mean and its scatter, and the row for the\n\
        \x20       shop file; --job JOB says what they mean on the parts of a job.\n",
        num::text(radius, 1)
    )
}
