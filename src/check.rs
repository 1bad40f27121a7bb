//! Whether a part can be cut and bent: one file per check.
//!
//! The head of a check's file, with its fixed headings, is what `platewright explain`
//! prints. A check looks and never changes anything.

mod bead;
mod bend_force;
mod bend_grain;
mod bend_sequence;
mod bend_taper;
mod beside_bend;
mod bevel;
mod bolt_hole;
mod brake_length;
mod brake_radius;
mod captured_nut;
mod check_of;
mod clevis_gap;
mod coated_hole;
mod corner_gap;
mod covered;
mod flange_collision;
mod flare;
mod formed;
mod held_link;
mod hem;
mod hole_bend;
mod hole_edge;
mod hole_size;
mod idle_step;
mod insert;
mod joint_bolt;
mod joint_ears;
mod joint_holes;
mod joint_laminate;
mod joint_legs;
mod joint_place;
mod joint_placed;
mod joint_seat;
mod joint_sleeve;
mod joint_subject;
mod joints;
mod laid_over;
mod lift;
mod limits;
mod link_bung;
mod link_engagement;
mod link_strength;
mod link_subject;
mod link_thread_hand;
mod link_travel;
mod links;
mod longer;
mod machine_clearance;
mod mark_outside;
mod measured_points;
mod measured_tool;
mod min_flange;
mod min_radius;
mod narrow_metal;
mod narrow_opening;
mod narrow_place;
mod obstacle;
mod off_brake;
mod other_side;
mod oven;
mod piece;
mod process_limits;
mod recess_depth;
mod relief_size;
mod rib_area;
mod rod_end_figures;
mod rod_end_rotation;
mod rod_end_swing;
mod rolled_bend;
mod spacer;
mod strength;
mod stub;
mod subject;
mod sunk_head;
mod tab_place;
mod thread_name;
mod tried;
mod tube_collision;
mod tube_end;
mod tube_end_lap;
mod tube_end_legs;
mod tube_end_subject;
mod tube_end_wide;
mod washer_seat;
mod web;
mod weld_bend;
mod weld_leg;
mod weld_metal;
mod wrench_clearance;

use crate::check::check_of::CheckOf;
use crate::diag::Finding;
pub(crate) use held_link::Fault;
pub(crate) use held_link::HeldLink;
pub(crate) use joint_ears::Ears;
pub(crate) use joint_ears::ears;
pub(crate) use joint_placed::BLUNDER;
pub(crate) use joint_placed::Legs;
pub(crate) use joint_placed::MEASURED;
pub(crate) use joint_placed::Meeting;
pub(crate) use joint_placed::Met;
pub(crate) use joint_placed::Overlap;
pub(crate) use joint_placed::Together;
pub(crate) use joints::JOINT_CHECKS;
pub(crate) use joints::joint;
pub use limits::Limits;
pub(crate) use limits::Near;
pub(crate) use link_subject::LinkSubject;
pub(crate) use link_subject::Reach;
pub(crate) use links::LINK_CHECKS;
pub use links::LinkCheck;
pub use links::link;
pub use machine_clearance::Between;
pub(crate) use machine_clearance::NotThrough;
pub(crate) use machine_clearance::does_not_touch;
pub(crate) use machine_clearance::is_not_through;
pub(crate) use machine_clearance::not_in_plane;
pub(crate) use machine_clearance::overlap_where_joined;
pub(crate) use machine_clearance::reaches_into;
pub use machine_clearance::too_near;
pub use measured_points::machine_points;
pub(crate) use other_side::OnSides;
pub(crate) use other_side::of_one_hand;
pub(crate) use other_side::on_one_side;
pub(crate) use other_side::too_few;
pub use oven::Coated;
pub use oven::coated;
pub(crate) use oven::largest_piece;
pub(crate) use oven::size_of_oven;
pub(crate) use spacer::Spacer;
pub(crate) use stub::BungIn;
pub(crate) use stub::Filled;
pub(crate) use stub::StubIn;
pub(crate) use stub::stubs;
pub use subject::Subject;
pub(crate) use tab_place::TabOnTube;
pub(crate) use tab_place::TubeWithTabs;
pub(crate) use tab_place::tab_places;
pub(crate) use tube_end::tube_end;
pub(crate) use tube_end_subject::CapSubject;
pub(crate) use tube_end_subject::CheekLegs;
pub(crate) use tube_end_subject::Count;
pub(crate) use tube_end_subject::Eye;
pub(crate) use tube_end_subject::LappedPlate;
pub(crate) use tube_end_subject::TabSubject;
pub(crate) use tube_end_subject::TubeEndSubject;

/// A check of parts.
pub type Check = CheckOf<fn(&Subject) -> Vec<Finding>>;

/// Every check, in the order in which they look.
pub(crate) const CHECKS: &[Check] = &[
    Check {
        code: "process-limits",
        source: include_str!("check/process_limits.rs"),
        run: process_limits::check,
    },
    Check {
        code: "thread-name",
        source: include_str!("check/thread_name.rs"),
        run: thread_name::check,
    },
    Check { code: "hole-size", source: include_str!("check/hole_size.rs"), run: hole_size::check },
    Check {
        code: "narrow-opening",
        source: include_str!("check/narrow_opening.rs"),
        run: narrow_opening::check,
    },
    Check { code: "web", source: include_str!("check/web.rs"), run: web::check },
    Check {
        code: "narrow-metal",
        source: include_str!("check/narrow_metal.rs"),
        run: narrow_metal::check,
    },
    Check { code: "bolt-hole", source: include_str!("check/bolt_hole.rs"), run: bolt_hole::check },
    Check { code: "hole-edge", source: include_str!("check/hole_edge.rs"), run: hole_edge::check },
    Check { code: "hole-bend", source: include_str!("check/hole_bend.rs"), run: hole_bend::check },
    Check { code: "bevel", source: include_str!("check/bevel.rs"), run: bevel::check },
    Check { code: "weld-bend", source: include_str!("check/weld_bend.rs"), run: weld_bend::check },
    Check { code: "weld-leg", source: include_str!("check/weld_leg.rs"), run: weld_leg::check },
    Check {
        code: "weld-metal",
        source: include_str!("check/weld_metal.rs"),
        run: weld_metal::check,
    },
    Check { code: "flare", source: include_str!("check/flare.rs"), run: flare::check },
    Check { code: "bead", source: include_str!("check/bead.rs"), run: bead::check },
    Check { code: "insert", source: include_str!("check/insert.rs"), run: insert::check },
    Check {
        code: "recess-depth",
        source: include_str!("check/recess_depth.rs"),
        run: recess_depth::check,
    },
    Check { code: "sunk-head", source: include_str!("check/sunk_head.rs"), run: sunk_head::check },
    Check {
        code: "bend-taper",
        source: include_str!("check/bend_taper.rs"),
        run: bend_taper::check,
    },
    Check {
        code: "min-flange",
        source: include_str!("check/min_flange.rs"),
        run: min_flange::check,
    },
    Check {
        code: "rolled-bend",
        source: include_str!("check/rolled_bend.rs"),
        run: rolled_bend::check,
    },
    Check { code: "hem", source: include_str!("check/hem.rs"), run: hem::check },
    Check {
        code: "min-radius",
        source: include_str!("check/min_radius.rs"),
        run: min_radius::check,
    },
    Check {
        code: "brake-length",
        source: include_str!("check/brake_length.rs"),
        run: brake_length::check,
    },
    Check {
        code: "bend-force",
        source: include_str!("check/bend_force.rs"),
        run: bend_force::check,
    },
    Check {
        code: "bend-sequence",
        source: include_str!("check/bend_sequence.rs"),
        run: bend_sequence::check,
    },
    Check {
        code: "brake-radius",
        source: include_str!("check/brake_radius.rs"),
        run: brake_radius::check,
    },
    Check {
        code: "measured-tool",
        source: include_str!("check/measured_tool.rs"),
        run: measured_tool::check,
    },
    Check {
        code: "bend-grain",
        source: include_str!("check/bend_grain.rs"),
        run: bend_grain::check,
    },
    Check {
        code: "relief-size",
        source: include_str!("check/relief_size.rs"),
        run: relief_size::check,
    },
    Check {
        code: "corner-gap",
        source: include_str!("check/corner_gap.rs"),
        run: corner_gap::check,
    },
    Check {
        code: "mark-outside",
        source: include_str!("check/mark_outside.rs"),
        run: mark_outside::check,
    },
    Check { code: "covered", source: include_str!("check/covered.rs"), run: covered::check },
    Check {
        code: "flange-collision",
        source: include_str!("check/flange_collision.rs"),
        run: flange_collision::check,
    },
    Check {
        code: "tube-collision",
        source: include_str!("check/tube_collision.rs"),
        run: tube_collision::check,
    },
    Check {
        code: "clevis-gap",
        source: include_str!("check/clevis_gap.rs"),
        run: clevis_gap::check,
    },
    Check {
        code: "rod-end-figures",
        source: include_str!("check/rod_end_figures.rs"),
        run: rod_end_figures::check,
    },
    Check {
        code: "rod-end-swing",
        source: include_str!("check/rod_end_swing.rs"),
        run: rod_end_swing::check,
    },
    Check {
        code: "rod-end-rotation",
        source: include_str!("check/rod_end_rotation.rs"),
        run: rod_end_rotation::check,
    },
    Check {
        code: "captured-nut",
        source: include_str!("check/captured_nut.rs"),
        run: captured_nut::check,
    },
    Check {
        code: "coated-hole",
        source: include_str!("check/coated_hole.rs"),
        run: coated_hole::check,
    },
    Check {
        code: "wrench-clearance",
        source: include_str!("check/wrench_clearance.rs"),
        run: wrench_clearance::check,
    },
    Check {
        code: "washer-seat",
        source: include_str!("check/washer_seat.rs"),
        run: washer_seat::check,
    },
    Check {
        code: "measured-points",
        source: include_str!("check/measured_points.rs"),
        run: measured_points::check,
    },
    Check { code: "idle-step", source: include_str!("check/idle_step.rs"), run: idle_step::check },
    Check { code: "rib-area", source: include_str!("check/rib_area.rs"), run: rib_area::check },
    Check { code: "obstacle", source: include_str!("check/obstacle.rs"), run: obstacle::check },
    Check { code: "oven", source: include_str!("check/oven.rs"), run: oven::check },
    Check { code: "lift", source: include_str!("check/lift.rs"), run: lift::check },
    Check { code: "strength", source: include_str!("check/strength.rs"), run: strength::check },
];

/// The checks of the machine and of ends of tubes: each with its code, and its own description.
const OF_JOBS: [(&str, &str); 3] = [
    (machine_clearance::CODE, include_str!("check/machine_clearance.rs")),
    (other_side::CODE, include_str!("check/other_side.rs")),
    (tube_end::CODE, include_str!("check/tube_end.rs")),
];

/// Every check by its code, those of links and joints behind, with its own description. Some look at
/// parts and at links.
fn described() -> impl Iterator<Item = (&'static str, &'static str)> {
    let parts = CHECKS.iter().map(|check| (check.code, check.source));
    let links = LINK_CHECKS.iter().map(|check| (check.code, check.source));
    let joints = JOINT_CHECKS.iter().map(|check| (check.code, check.source));
    let new = links.filter(|(code, _)| CHECKS.iter().all(|check| check.code != *code));
    parts.chain(new).chain(joints).chain(OF_JOBS)
}

/// Every check by its code, with what it looks for and why; and the findings on outline files as
/// they are read.
pub fn explanations() -> Vec<(&'static str, String)> {
    let files = [("outline", include_str!("recipe/outline.rs"))];
    described().chain(files).map(|(code, source)| (code, head(source))).collect()
}

/// What is a matter of workmanship: how a part is bent, and on what. A job may accept it, with a
/// reason; nothing else.
pub(crate) const WORKMANSHIP: &[&str] =
    &[BEND_SEQUENCE, "bend-force", "brake-length", "brake-radius", "min-flange"];

/// The check that says why bends have no place in the order.
pub(crate) const BEND_SEQUENCE: &str = bend_sequence::CODE;

/// The codes of all checks.
pub(crate) fn codes() -> impl Iterator<Item = &'static str> {
    described().map(|(code, _)| code)
}

/// The head of a check's file.
fn head(source: &str) -> String {
    let head = source.lines().map_while(|line| line.strip_prefix("//!"));
    let lines: Vec<&str> = head.map(|line| line.strip_prefix(' ').unwrap_or(line)).collect();
    lines.join("\n")
}

/// The findings of all checks; what the holes of one set share is reported once. The faults
/// of one entry differ by the labels of their marks.
pub fn all(subject: &Subject) -> Vec<Finding> {
    let mut findings: Vec<Finding> = Vec::new();
    for mut finding in CHECKS.iter().flat_map(|check| (check.run)(subject)) {
        let like = |f: &Finding| f.code == finding.code && f.marks == finding.marks;
        match findings.iter().position(like) {
            // The heaviest speaks for all.
            Some(i) => {
                if finding.weight > findings[i].weight {
                    std::mem::swap(&mut finding, &mut findings[i]);
                }
                findings[i].absorb(finding);
            }
            None => findings.push(finding),
        }
    }
    findings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_check_explains_itself_under_the_same_headings() {
        for (code, source) in described() {
            let text = head(source);
            for heading in ["# Looks for", "# Why it matters", "# Example", "# Remedy", "# Source"]
            {
                assert!(text.contains(heading), "{code} has no `{heading}`");
            }
            assert!(source.contains(&format!("\"{code}\"")), "{code}");
        }
    }
}
