//! The fits of a part: a rod end between its ears, a captured nut in its tube. Lengths are mm.

use crate::fit::captured::NutRoom;
use crate::fit::captured::nut_room;
use crate::fit::gap;
use crate::fit::gap::Gap;
use crate::fit::gap::Shop;
use crate::fit::rod_end;
use crate::fit::rotation::Strip;
use crate::fit::swing::Swing;
use crate::part::Part;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// How a clevis fits its rod end.
#[derive(Clone, Debug, PartialEq)]
pub struct ClevisFit {
    /// The row of the rod end.
    pub rod_end: Arc<Row>,
    /// The room between the ears.
    pub gap: Gap,
    /// How far the rod end tilts between the coated ears: towards the bolt head, towards the
    /// nut.
    pub swing: [Swing; 2],
    /// The same where the gap comes out narrow: by root sum square, and at its worst. Only where
    /// the part requires a swing.
    pub swing_at_tolerance: Option<[[Swing; 2]; 2]>,
    /// The same with the spacers left out and the ears closer by both; `None` if there are no
    /// spacers.
    pub(crate) swing_without_spacers: Option<[Swing; 2]>,
    /// How far it rotates about its pin, seen as the ear is drawn with its foot below:
    /// anticlockwise, clockwise.
    pub rotation: [Swing; 2],
}

/// How a captured nut fits the bore of its tube.
#[derive(Clone, Debug, PartialEq)]
pub struct NutFit {
    /// The row of the nut.
    pub nut: Arc<Row>,
    /// The room round it.
    pub room: NutRoom,
}

/// The fit of a part's rod end, if it has one; `tail` is the tube and nut behind it.
pub fn clevis(part: &Part, shop: &Shop, tail: &[Strip]) -> Option<ClevisFit> {
    let clevis = part.clevis.as_ref()?;
    let gap = gap::gap(part, clevis, shop);
    let swing = |between: f64| rod_end::swing(part, clevis, between, shop.tables);
    let bare = gap.coated() - 2.0 * gap.spacer;
    let min = [gap.likely()[1][0], gap.worst()[1][0]];
    Some(ClevisFit {
        rod_end: clevis.rod_end.clone(),
        swing_at_tolerance: (clevis.swing.degrees() > 0.0).then(|| min.map(swing)),
        swing: swing(gap.coated()),
        swing_without_spacers: (gap.spacer > 0.0).then(|| swing(bare)),
        rotation: rod_end::rotations(part, clevis, gap.coated(), tail),
        gap,
    })
}

/// The fit of a part's captured nut in its tube, if it has one.
pub fn nut(part: &Part, tables: &Tables) -> Option<NutFit> {
    let captured = part.captured.as_ref()?;
    Some(NutFit { nut: captured.nut.clone(), room: nut_room(captured, tables) })
}
