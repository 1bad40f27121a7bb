//! Whether a part can be cut and bent: one file a check.
//!
//! The head of a check's file, with its fixed headings, is what `platewright explain`
//! prints. A check looks and never changes anything.

mod bend_force;
mod bend_grain;
mod bend_order;
mod brake_length;
mod brake_radius;
mod captured_nut;
mod clevis_gap;
mod coated_hole;
mod corner_gap;
mod flange_collision;
mod hole_bend;
mod hole_edge;
mod hole_size;
mod least_flange;
mod least_radius;
mod lift;
mod limits;
mod link_bung;
mod link_engagement;
mod link_hands;
mod links;
mod mark_outside;
mod measured_tool;
mod obstacle;
mod oven;
mod relief_size;
mod rod_end_swing;
mod rod_end_turn;
mod strength;
mod web;
mod wrench_room;

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::Weight;
use crate::fit;
use crate::fit::Gap;
use crate::fit::Strip;
use crate::flat::Flat;
use crate::formula::Value;
use crate::geom::Outline;
use crate::order::Plan;
use crate::part::Clevis;
use crate::part::Hole;
use crate::part::HoleSize;
use crate::part::Part;
use crate::quantity::Units;
use crate::recipe::Params;
use crate::recipe::Recipe;
use crate::shop::Shop;
use crate::strength::Verdict;
use crate::table::Row;
use crate::table::Tables;
pub use limits::Limits;
pub use limits::Near;
pub use links::LINK_CHECKS;
pub use links::LinkCheck;
pub use links::LinkSubject;
pub use links::link;

/// Everything a check may look at.
pub struct Subject<'a> {
    /// What the part is.
    pub recipe: &'a Recipe,
    /// Its values.
    pub params: &'a Params,
    /// The part.
    pub part: &'a Part,
    /// Its flat.
    pub flat: &'a Flat,
    /// The sheet's row in the table of materials.
    pub material: &'a Row,
    /// The row of the way of cutting.
    pub process: &'a Row,
    /// All tables.
    pub tables: &'a Tables,
    /// Where the part is named.
    pub here: Span,
    /// How lengths are printed.
    pub units: Units,
    /// The shop's tools and the order in which they bend the part, where a shop is named
    /// and there is something to bend.
    pub shop: Option<(&'a Shop, &'a Plan)>,
    /// What holds for every part of the job.
    pub limits: &'a Limits,
    /// What stands beside the part.
    pub near: &'a [Near],
    /// What the rod end it holds is screwed into, where that is known.
    pub tail: &'a [Strip],
    /// What came of the loads on the part, each with the place of its load.
    pub verdicts: &'a [(Span, Verdict)],
}

/// A check: its code, its own description, and how it looks.
pub struct Check {
    /// Kebab-case; the same as its file.
    pub code: &'static str,
    source: &'static str,
    run: fn(&Subject) -> Vec<Finding>,
}

/// Something that is cut out of the plate.
struct Opening<'a> {
    outline: &'a Outline,
    /// The hole it is, unless it comes of a cut or a drawing.
    hole: Option<&'a Hole>,
    words: String,
}

impl Opening<'_> {
    /// How much larger it becomes all round when it is finished, mm.
    fn growth(&self) -> f64 {
        self.hole.map_or(0.0, growth)
    }
}

/// Every check, in the order in which they look.
pub const CHECKS: &[Check] = &[
    Check { code: "hole-size", source: include_str!("check/hole_size.rs"), run: hole_size::look },
    Check { code: "web", source: include_str!("check/web.rs"), run: web::look },
    Check { code: "hole-edge", source: include_str!("check/hole_edge.rs"), run: hole_edge::look },
    Check { code: "hole-bend", source: include_str!("check/hole_bend.rs"), run: hole_bend::look },
    Check {
        code: "min-flange",
        source: include_str!("check/least_flange.rs"),
        run: least_flange::look,
    },
    Check {
        code: "min-radius",
        source: include_str!("check/least_radius.rs"),
        run: least_radius::look,
    },
    Check {
        code: "brake-length",
        source: include_str!("check/brake_length.rs"),
        run: brake_length::look,
    },
    Check {
        code: "bend-force",
        source: include_str!("check/bend_force.rs"),
        run: bend_force::look,
    },
    Check {
        code: "bend-sequence",
        source: include_str!("check/bend_order.rs"),
        run: bend_order::look,
    },
    Check {
        code: "brake-radius",
        source: include_str!("check/brake_radius.rs"),
        run: brake_radius::look,
    },
    Check {
        code: "measured-tool",
        source: include_str!("check/measured_tool.rs"),
        run: measured_tool::look,
    },
    Check {
        code: "bend-grain",
        source: include_str!("check/bend_grain.rs"),
        run: bend_grain::look,
    },
    Check {
        code: "relief-size",
        source: include_str!("check/relief_size.rs"),
        run: relief_size::look,
    },
    Check {
        code: "corner-gap",
        source: include_str!("check/corner_gap.rs"),
        run: corner_gap::look,
    },
    Check {
        code: "mark-outside",
        source: include_str!("check/mark_outside.rs"),
        run: mark_outside::look,
    },
    Check {
        code: "flange-collision",
        source: include_str!("check/flange_collision.rs"),
        run: flange_collision::look,
    },
    Check {
        code: "clevis-gap",
        source: include_str!("check/clevis_gap.rs"),
        run: clevis_gap::look,
    },
    Check {
        code: "rod-end-swing",
        source: include_str!("check/rod_end_swing.rs"),
        run: rod_end_swing::look,
    },
    Check {
        code: "rod-end-rotation",
        source: include_str!("check/rod_end_turn.rs"),
        run: rod_end_turn::look,
    },
    Check {
        code: "captured-nut",
        source: include_str!("check/captured_nut.rs"),
        run: captured_nut::look,
    },
    Check {
        code: "coated-hole",
        source: include_str!("check/coated_hole.rs"),
        run: coated_hole::look,
    },
    Check {
        code: "wrench-clearance",
        source: include_str!("check/wrench_room.rs"),
        run: wrench_room::look,
    },
    Check { code: "obstacle", source: include_str!("check/obstacle.rs"), run: obstacle::look },
    Check { code: "oven", source: include_str!("check/oven.rs"), run: oven::look },
    Check { code: "lift", source: include_str!("check/lift.rs"), run: lift::look },
    Check { code: "strength", source: include_str!("check/strength.rs"), run: strength::look },
];

/// Every check by its code, those of links behind, with what it looks for and why.
pub fn explanations() -> Vec<(&'static str, String)> {
    let parts = CHECKS.iter().map(|check| (check.code, check.source));
    let links = LINK_CHECKS.iter().map(|check| (check.code, check.source));
    let new = links.filter(|(code, _)| CHECKS.iter().all(|check| check.code != *code));
    parts.chain(new).map(|(code, source)| (code, head(source))).collect()
}

/// The head of a check's file.
fn head(source: &str) -> String {
    let head = source.lines().map_while(|line| line.strip_prefix("//!"));
    let lines: Vec<&str> = head.map(|line| line.strip_prefix(' ').unwrap_or(line)).collect();
    lines.join("\n")
}

/// The findings of all checks; what the holes of one set share is said once.
pub fn all(subject: &Subject) -> Vec<Finding> {
    let mut findings: Vec<Finding> = Vec::new();
    let mut more: Vec<usize> = Vec::new();
    for finding in CHECKS.iter().flat_map(|check| (check.run)(subject)) {
        let like = |f: &Finding| f.code == finding.code && f.marks == finding.marks;
        match findings.iter().position(like) {
            // The heaviest speaks for all.
            Some(i) => {
                more[i] += 1;
                if finding.weight > findings[i].weight {
                    findings[i] = finding;
                }
            }
            None => {
                findings.push(finding);
                more.push(0);
            }
        }
    }
    let counted = findings.into_iter().zip(more).map(|(finding, more)| match more {
        0 => finding,
        n => finding
            .note(format!("the same holds {n} more time{} here", if n == 1 { "" } else { "s" })),
    });
    counted.collect()
}

impl Subject<'_> {
    /// A length as it is printed.
    fn show(&self, mm: f64) -> String {
        self.units.length(mm)
    }

    /// A finding that points at the given values behind `names`, else at the part's name,
    /// and at the entry of the recipe.
    fn finding(
        &self,
        weight: Weight,
        code: &'static str,
        headline: String,
        names: &[String],
        entry: Span,
    ) -> Finding {
        let base = Finding { weight, ..Finding::stop(code, headline) };
        let given = self.params.given(self.recipe, names);
        let mut finding = given.iter().fold(base, |f, (_, span)| f.at(*span, ""));
        if given.is_empty() {
            finding = finding.at(self.here, "");
        }
        finding.at(entry, "")
    }

    /// Film on every face, mm.
    fn coating(&self) -> f64 {
        match self.params.get("coating") {
            Some(Value::Quantity(film)) => film.value,
            _ => 0.0,
        }
    }

    /// The gap of a clevis.
    fn gap(&self, clevis: &Clevis) -> Gap {
        let shop = fit::Shop {
            tables: self.tables,
            coating: self.coating(),
            process: self.process.name(),
            cut: self.limits.cut,
        };
        fit::gap(self.part, clevis, &shop)
    }

    /// Diameter of what goes through a hole, mm, and its name.
    fn shank(&self, hole: &Hole) -> Option<(f64, String)> {
        let Some(Value::Row(row)) = self.params.get(hole.through.as_deref()?) else { return None };
        Some((hole.pin?, row.name().to_owned()))
    }

    /// The larger of a share of the thickness and a length of its own, from the process row.
    fn by_thickness(&self, ratio: &str, least: Option<&str>) -> f64 {
        let of = |field: &str| self.process.measure(field);
        (of(ratio) * self.part.thickness).max(least.map_or(0.0, of))
    }

    /// Every opening of the flat: the holes of the part, and openings of cuts and drawings.
    fn openings(&self) -> Vec<Opening<'_>> {
        let holes = self.holes().map(|(flat, hole)| Opening {
            outline: &flat.outline,
            hole: Some(hole),
            words: format!("hole `{}`", hole.name),
        });
        let gaps = self.flat.gaps().iter().map(|outline| {
            let at = outline.bounds().centre() - self.flat.region.bounds().least.to_vec2();
            let words = format!("the opening at {}, {}", self.show(at.x), self.show(at.y));
            Opening { outline, hole: None, words }
        });
        holes.chain(gaps).collect()
    }

    /// A finding about an opening, at what it depends on.
    fn about(
        &self,
        opening: &Opening,
        weight: Weight,
        code: &'static str,
        headline: String,
    ) -> Finding {
        match opening.hole {
            Some(hole) => self.finding(weight, code, headline, &hole.depends, hole.span),
            None => Finding { weight, ..Finding::stop(code, headline) }
                .at(self.here, "")
                .note("positions are in the part's file, from its lower left corner"),
        }
    }

    /// The holes of the flat with the holes of the part they came from.
    fn holes(&self) -> impl Iterator<Item = (&crate::flat::FlatHole, &Hole)> {
        self.flat.holes.iter().map(|flat| (flat, &self.part.faces[flat.face].holes[flat.hole]))
    }
}

/// Less than this, in mm, is rounding.
const ROUNDING: f64 = 1e-9;

/// Whether a measure falls short of what is needed.
fn short(is: f64, needed: f64) -> bool {
    is < needed - ROUNDING
}

/// How much larger the hole becomes all round when it is finished, mm.
fn growth(hole: &Hole) -> f64 {
    match (hole.size, hole.finished) {
        (HoleSize::Round { diameter }, Some(finished)) => (finished - diameter) / 2.0,
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_check_explains_itself_under_the_same_headings() {
        let links = LINK_CHECKS.iter().map(|check| (check.code, check.source));
        for (code, source) in CHECKS.iter().map(|check| (check.code, check.source)).chain(links) {
            let text = head(source);
            for heading in ["# Looks for", "# Why it matters", "# Example", "# Remedy", "# Source"]
            {
                assert!(text.contains(heading), "{code} has no `{heading}`");
            }
            assert!(source.contains(&format!("\"{code}\"")), "{code}");
        }
    }
}
