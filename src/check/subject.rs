//! What the checks of a part look at, and what they share.

use crate::check::limits::Limits;
use crate::check::limits::Near;
pub(super) use crate::check::limits::ROUNDING;
use crate::diag::About;
use crate::diag::EdgeId;
use crate::diag::Feature;
use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::Weight;
use crate::fit::ClevisFit;
use crate::fit::NutFit;
use crate::fit::Strip;
use crate::flat::Flat;
use crate::fold::Folded;
use crate::formula::Value;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::is_round_ended;
use crate::geom::sides;
use crate::part::Clevis;
use crate::part::Hole;
use crate::part::Part;
use crate::quantity::Units;
use crate::recipe::Params;
use crate::recipe::Recipe;
use crate::sequence::Plan;
use crate::shop::Shop;
use crate::strength::At;
use crate::strength::Load;
use crate::strength::Verdict;
use crate::table::ProcessLimit;
use crate::table::Row;
use crate::table::Tables;

/// The data of a check.
pub struct Subject<'a> {
    /// Name of the part.
    pub name: &'a str,
    /// The recipe of the part.
    pub recipe: &'a Recipe,
    /// Its values.
    pub params: &'a Params,
    /// The part.
    pub part: &'a Part,
    /// Its flat.
    pub flat: &'a Flat,
    /// The same with every bend made.
    pub folded: &'a Folded,
    /// The fit of its rod end, if it has one.
    pub clevis: Option<&'a ClevisFit>,
    /// How the nut it captures fits its tube, where it captures one.
    pub nut: Option<&'a NutFit>,
    /// The sheet's row in the table of materials.
    pub material: &'a Row,
    /// The row of the cutting process.
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
    /// The limits for every part of the job.
    pub limits: &'a Limits,
    /// The bodies beside the part.
    pub near: &'a [Near],
    /// The tube and nut behind its rod end, where they are known.
    pub tail: &'a [Strip],
    /// The loads of the job.
    pub loads: &'a [Load],
    /// The results of the loads on the part, each with the place of its load.
    pub verdicts: &'a [(Span, Verdict)],
}

/// Something that is cut out of the plate.
pub(super) struct Opening<'a> {
    pub(super) outline: &'a Outline,
    /// The hole it is, unless it comes of a cut or a drawing.
    pub(super) hole: Option<&'a Hole>,
    pub(super) feature: Feature,
    pub(super) words: String,
}

impl Opening<'_> {
    /// How far the finished hole extends beyond the cut one, all round, mm.
    pub(super) fn growth(&self) -> f64 {
        self.hole.map_or(0.0, Hole::growth)
    }
}

impl Subject<'_> {
    /// A length as printed.
    pub(super) fn show(&self, mm: f64) -> String {
        self.units.length(mm)
    }

    /// A length as printed, rounded up: for values that must be sufficient when typed.
    pub(super) fn show_up(&self, mm: f64) -> String {
        self.units.length_up(mm)
    }

    /// A length that is too small, and the least, as printed: never alike.
    pub(super) fn show_short(&self, [is, least]: [f64; 2]) -> [String; 2] {
        [self.units.length_down(is), self.show_up(least)]
    }

    /// The size of a tool or of a sheet as printed.
    pub(super) fn show_size(&self, mm: f64) -> String {
        self.units.size(mm)
    }

    /// The eye of a clevis and its ear, as the subject of a finding.
    pub(super) fn of_ear(&self, clevis: &Clevis) -> About {
        self.of_part([Feature::Hole(clevis.eye), Feature::Face(clevis.eye.face)])
    }

    /// The place of a load, named by its entry, as the subject of a finding: the holes of its set,
    /// or its edge. For a point only the part is named.
    pub(super) fn of_load(&self, load: Span) -> About {
        let at = self.loads.iter().find(|known| known.here == load).map(|known| &known.at);
        let mut features = Vec::new();
        match at {
            Some(At::Hole(set)) => {
                let holes = self.part.holes().filter(|(_, hole)| hole.is_of(set));
                features.extend(holes.map(|(id, _)| Feature::Hole(id)));
            }
            Some(At::Edge(name)) => {
                for (face, of) in self.part.faces.iter().enumerate() {
                    let named = of.edges.iter().position(|edge| edge.name == *name);
                    features.extend(named.map(|edge| Feature::Edge(EdgeId { face, edge })));
                }
            }
            Some(At::Point { .. }) => {}
            // A link's, which acts at the pin.
            None => features.extend(self.part.clevis.as_ref().map(|c| Feature::Hole(c.eye))),
        }
        self.of_part(features)
    }

    /// Some features of this part, as the subject of a finding.
    pub(super) fn of_part(&self, features: impl IntoIterator<Item = Feature>) -> About {
        About::Part { name: self.name.to_owned(), features: features.into_iter().collect() }
    }

    /// A finding that points at the given values behind `names` and at the entry of the recipe.
    /// Where none was given, at the entry, which is what to change, and at the part's name; at
    /// that first where the recipe is a shipped one.
    pub(super) fn finding(
        &self,
        weight: Weight,
        code: &'static str,
        headline: String,
        names: &[String],
        entry: Span,
    ) -> Finding {
        let base = Finding { weight, ..Finding::stop(code, headline) };
        let given = self.params.given(self.recipe, names);
        match (given.is_empty(), self.recipe.is_shipped) {
            (true, false) => base.at(entry, "").at(self.here, ""),
            (true, true) => base.at(self.here, "").at(entry, ""),
            (false, _) => given.iter().fold(base, |f, (_, span)| f.at(*span, "")).at(entry, ""),
        }
    }

    /// Coating thickness on every face, mm.
    pub(super) fn coating(&self) -> f64 {
        match self.params.get("coating") {
            Some(Value::Quantity(film)) => film.value,
            _ => 0.0,
        }
    }

    /// Diameter of the item in a hole, mm, and its name.
    pub(super) fn shank(&self, hole: &Hole) -> Option<(f64, String)> {
        Some((hole.pin()?, hole.row.as_ref()?.name().to_owned()))
    }

    /// A limit of the process in this sheet, mm.
    pub(super) fn limit(&self, limit: ProcessLimit) -> f64 {
        limit.at(self.process, self.part.thickness)
    }

    /// What else to do about a dimension below a limit of the process: the sheet in which it
    /// would do; empty where no sheet is thin enough.
    pub(super) fn thinner(&self, is: f64, limit: ProcessLimit) -> String {
        // Rounded as printed, and never up.
        let thickest = limit.thickest(self.process, is).map(|mm| (mm * 1000.0).floor() / 1000.0);
        match thickest.filter(|mm| *mm > 0.0) {
            Some(mm) => format!(", or use a sheet no thicker than {}", self.show_size(mm)),
            None => String::new(),
        }
    }

    /// Where the process needs holes much wider than the sheet is thick, that others do better.
    pub(super) fn finer(&self) -> &'static str {
        match self.limit(ProcessLimit::HOLE) >= 1.5 * self.part.thickness {
            true => ", or have it cut by a finer process, such as laser or waterjet",
            false => "",
        }
    }

    /// Every opening of the flat: the holes of the part, and openings of cuts and drawings.
    pub(super) fn openings(&self) -> Vec<Opening<'_>> {
        let holes = self.holes().map(|(flat, hole)| Opening {
            outline: &flat.outline,
            hole: Some(hole),
            feature: Feature::Hole(flat.id),
            words: format!("hole `{}`", hole.name),
        });
        let gaps = self.flat.gaps().iter().enumerate().map(|(i, outline)| {
            let at = outline.bounds().centre() - self.flat.region.bounds().min.to_vec2();
            let words = format!("the opening at {}, {}", self.show(at.x), self.show(at.y));
            Opening { outline, hole: None, feature: Feature::Opening(i), words }
        });
        holes.chain(gaps).collect()
    }

    /// A finding about an opening, at what it depends on.
    pub(super) fn about(
        &self,
        opening: &Opening,
        weight: Weight,
        code: &'static str,
        headline: String,
    ) -> Finding {
        let finding = match opening.hole {
            Some(hole) => self.finding(weight, code, headline, &hole.depends, hole.span),
            None => Finding { weight, ..Finding::stop(code, headline) }
                .at(self.here, "")
                .note("positions are in the part's file, from its lower left corner"),
        };
        finding.about(self.of_part([opening.feature]))
    }

    /// How far from a point in the flat the bends of a face begin, mm, each by its index.
    pub(super) fn to_bends(&self, face: usize, at: Point) -> impl Iterator<Item = (usize, f64)> {
        let bends = self.flat.bends.iter().zip(&self.part.bends).enumerate();
        let of_face = bends.filter(move |(_, (_, bend))| bend.from == face || bend.to == face);
        of_face.map(move |(i, (strip, bend))| {
            let begins = strip.tangents[usize::from(bend.to == face)];
            (i, (begins.nearest(at) - at).hypot())
        })
    }

    /// The holes of the flat with the holes of the part they came from.
    pub(super) fn holes(&self) -> impl Iterator<Item = (&crate::flat::FlatHole, &Hole)> {
        self.flat.holes.iter().map(|flat| (flat, self.part.hole(flat.id)))
    }
}

/// Whether an opening is a slot: round-ended, or at least twice as long as wide, which is
/// our choice.
pub(super) fn is_slot(opening: &Outline) -> bool {
    let (length, width) = sides(opening);
    is_round_ended(opening) || length >= 2.0 * width - ROUNDING
}

/// Whether a dimension is smaller than required.
pub(super) fn short(is: f64, needed: f64) -> bool {
    is < needed - ROUNDING
}
