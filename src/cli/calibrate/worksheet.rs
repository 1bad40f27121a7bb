//! The sheet to take to the brake: how strips are cut, marked, bent and measured.

use crate::cli::args::CalibrateArgs;
use platewright::num;

/// Rows of the table to write into.
const ROWS: usize = 5;

/// The sheet as text, to print; `radius` is roughly that of the V, mm.
pub(super) fn text(args: &CalibrateArgs, radius: f64) -> String {
    let CalibrateArgs { material, v, .. } = args;
    let nominal = args.of_jobs();
    let line = "_".repeat(9);
    let row = |n: usize| format!("  {n}     {}\n", [line.as_str(); 6].join("  "));
    let rows: String = (1..=ROWS).map(row).collect();
    format!(
        "BEND STRIPS  {material}, {nominal}, V {v}                  date ____________  by ________\n\
         \n\
         CUT     At least three strips, preferably five, side by side from the sheet the parts are made of,\n\
        \x20       with the grain running the same way relative to the bend as in the parts.\n\
        \x20       `platewright calibrate --material \"{material}\" --thickness \"{nominal}\" --v \"{v}\"` draws one.\n\
        \x20       Deburr them. Measure the thickness T away from the edges, in three places.\n\
         MARK    A on one end and B on the other, and scribe the bend line across the centre. Measure the\n\
        \x20       length L of each strip to 0.05 mm before bending; do not use the drawing's.\n\
         BEND    Over the V of {v}, on the line, to about 90°. If you can, note U, the bend angle\n\
        \x20       under load: as set on the brake, or 180° less the protractor reading.\n\
         MEASURE The bend angle is measured from flat: an included angle of 88° is a bend angle of 92°.\n\
        \x20       W is 180° less the protractor reading between the outsides of the legs.\n\
        \x20       Measure the legs along the outside to the mould line, where the outsides of both meet:\n\
        \x20       lay leg B flat on a surface plate, outside down, and measure A along its outside from\n\
        \x20       the plate to its end; then the other way round. At 90° a caliper laid across reads\n\
        \x20       the same. Beyond 90° it reads to the outside of the bend, which is less; short of\n\
        \x20       90° it reads to the tip of the other leg, which is more: do not use one then.\n\
        \x20       R is the inside radius, from a radius gauge: about {} mm over this V.\n\
         \n\
         strip       L          A          B          W          U          R\n\
         {rows}\n\
         thickness T  {line}  {line}  {line}\n\
         \n\
         THEN    platewright calibrate --material \"{material}\" --nominal \"{nominal}\" --thickness \"T mm\" \\\n\
        \x20         --v \"{v}\" --radius \"R mm\" --under-load \"U deg\" \\\n\
        \x20         --strip \"A mm\" \"B mm\" \"L mm\" \"W deg\"   (once for each strip)\n\
        \x20       This corrects each strip to 90° and prints the mean, the scatter, and the row for the\n\
        \x20       shop file. --job JOB shows the effect on the parts of a job; --into shop.toml adds the\n\
        \x20       row to the shop file.\n",
        num::text(radius, 1)
    )
}
