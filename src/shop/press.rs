//! Punches and dies, as a shop file has them.

use crate::document::Fields;
use crate::entry;
use crate::shop::brakes::Die;
use crate::shop::brakes::Press;
use crate::shop::brakes::Punch;
use crate::shop::fields::all;
use crate::shop::fields::size;
use crate::shop::fields::sizes;
use crate::shop::section::GAP;
use crate::shop::section::angle;
use crate::shop::section::min_flange;
use crate::shop::section::section;

/// The tools of a press brake.
pub(super) fn read(fields: &Fields) -> Option<Press> {
    let dies = fields.need("die", "[[brake.die]]").is_some();
    let punches = fields.need("punch", "[[brake.punch]]").is_some();
    let gap = fields.get("gap").and_then(|i| entry::length(i, fields.findings()));
    let (ram, bed) = (section(fields, "ram"), section(fields, "bed"));
    let (all_dies, all_punches) = (all(fields, "die", die), all(fields, "punch", punch));
    let press = Press {
        gap: gap.unwrap_or(GAP),
        ram: ram?,
        bed: bed?,
        dies: all_dies,
        punches: all_punches,
    };
    (dies && punches).then_some(press)
}

fn die(fields: &Fields) -> Option<Die> {
    let v = size(fields, "v", "\"32 mm\"");
    let section = section(fields, "section");
    let min_flange = min_flange(fields, v);
    let widths = sizes(fields, "widths");
    Some(Die { v: v?, section: section?, min_flange: min_flange?, widths })
}

fn punch(fields: &Fields) -> Option<Punch> {
    let name = fields.needed_label("name", "\"straight\"").map(str::to_owned);
    let angle = angle(fields, "angle", "\"85 deg\"");
    let section = section(fields, "section");
    let widths = sizes(fields, "widths");
    Some(Punch { name: name?, angle: angle?, section: section?, widths })
}
