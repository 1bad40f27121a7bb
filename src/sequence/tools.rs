//! The tools of a shop: as polygons, made once, and which of them are used together.

use crate::bend::Bend;
use crate::brake;
use crate::sequence::hull::Section;
use crate::sequence::section::PlacedSection;
use crate::sequence::section::Seat;
use crate::sequence::setup::Tool;
use crate::sequence::setup::measured_over;
use crate::shop::Brake;
use crate::shop::Press;
use crate::shop::SAME_V;
use crate::shop::Shop;
use crate::shop::Tools;

/// A die is tried if its V is within this ratio of the usual one for the thickness. Our choice.
const V_RANGE: (f64, f64) = (0.6, 2.0);

/// The sections of a shop's tools, brake by brake.
pub(super) struct Sections {
    pub(super) brakes: Vec<BrakeSections>,
    /// Which of them may be used.
    pub(super) allowed: Allowed,
}

/// The tools of a shop that a part may be bent on: all but those by hand, unless the job says
/// otherwise.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Allowed {
    /// The opening of the only V, mm.
    pub(super) v: Option<f64>,
    /// Index of the only brake beside hand tools.
    pub(super) brake: Option<usize>,
    /// Whether bends that no brake can make may be made by hand.
    pub(super) by_hand: bool,
}

pub(super) struct BrakeSections {
    /// Beam or ram.
    pub(super) upper: Section,
    pub(super) bed: Section,
    pub(super) leaf: Option<Section>,
    pub(super) fingers: Option<Section>,
    pub(super) punches: Vec<Section>,
    pub(super) dies: Vec<Section>,
}

impl Sections {
    pub(super) fn of(shop: &Shop, allowed: Allowed) -> Self {
        let brake = |brake: &Brake| match &brake.tools {
            Tools::Folding(folding) => BrakeSections {
                upper: Section::new(&folding.beam),
                bed: Section::new(&folding.bed),
                leaf: folding.leaf.as_ref().map(Section::new),
                fingers: folding.fingers.as_ref().map(|f| Section::new(&f.section)),
                punches: Vec::new(),
                dies: Vec::new(),
            },
            Tools::Press(press) => BrakeSections {
                upper: Section::new(&press.ram),
                bed: Section::new(&press.bed),
                leaf: None,
                fingers: None,
                punches: press.punches.iter().map(|p| Section::new(&p.section)).collect(),
                dies: press.dies.iter().map(|d| Section::new(&d.section)).collect(),
            },
        };
        Self { brakes: shop.brakes.iter().map(brake).collect(), allowed }
    }
}

impl BrakeSections {
    /// The tools of a press brake: ram, bed, punch and die, which has a V of a width in mm.
    pub(super) fn on_press(&self, punch: usize, die: usize, v: f64) -> [PlacedSection<'_>; 4] {
        let (above, below) = (&self.punches[punch], &self.dies[die]);
        let under = Seat::Die { v };
        [
            PlacedSection { section: &self.upper, seat: Seat::Punch, lift: above.bounds.max.y },
            PlacedSection { section: &self.bed, seat: under, lift: below.bounds.min.y },
            PlacedSection { section: above, seat: Seat::Punch, lift: 0.0 },
            PlacedSection { section: below, seat: under, lift: 0.0 },
        ]
    }

    /// The tools of a folding brake: beam and bed, and leaf and fingers where it has them.
    pub(super) fn on_folding(&self) -> ([PlacedSection<'_>; 2], [Option<PlacedSection<'_>>; 2]) {
        let at = |section, seat| PlacedSection { section, seat, lift: 0.0 };
        let (leaf, fingers) = (self.leaf.as_ref(), self.fingers.as_ref());
        (
            [at(&self.upper, Seat::Clamp), at(&self.bed, Seat::Bed)],
            [leaf.map(|leaf| at(leaf, Seat::Leaf)), fingers.map(|it| at(it, Seat::Clamp))],
        )
    }
}

/// How far the radius of a die is off the one that the flat of a bend was developed for, as a ratio
/// of 1 or more. A bend by a measured row is right over the V of the row; before a hem is flattened
/// its radius does not count.
pub(super) fn off(bend: &Bend, v: f64) -> f64 {
    if measured_over(bend, v).is_some() || bend.form().is_hem() {
        return 1.0;
    }
    let (gives, asked) = (brake::inside_radius(v), bend.radius());
    (gives / asked).max(asked / gives)
}

/// Every die with every punch: the one first that gives the radius of the bend best, of those
/// that give it alike the V nearest to the usual one. In a part of one die only that.
pub(super) fn pairs(press: &Press, bend: &Bend, only: Option<f64>) -> Vec<Tool> {
    let usual = brake::v_opening(bend.thickness());
    let of = |die: &usize| press.dies[*die].v;
    let fits = |die: &usize| {
        let times = of(die) / usual;
        let is_it = only.is_none_or(|only| (of(die) - only).abs() < SAME_V);
        is_it && (V_RANGE.0..=V_RANGE.1).contains(&times)
    };
    let mut dies: Vec<usize> = (0..press.dies.len()).filter(fits).collect();
    let rank = |die: &usize| (off(bend, of(die)), (of(die) - usual).abs());
    dies.sort_by(|a, b| {
        let (a, b) = (rank(a), rank(b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let punches = |die: usize| {
        (0..press.punches.len()).map(move |punch| Tool::Press { die, punch, widths: [None; 2] })
    };
    dies.into_iter().flat_map(punches).collect()
}
