//! Whether a captured nut clears the bore of its tube, and the weld of that tube.

use crate::part::Captured;
use crate::table::Tables;

/// The room round a nut in a tube, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NutRoom {
    /// Across the corners of the nut, at their largest.
    pub corners: f64,
    /// Inside width of the tube, as drawn.
    pub bore: f64,
    /// The same of the narrowest tube that is still within its tolerance.
    pub(crate) min_bore: f64,
    /// How far a weld's root, or a backing ring, projects into the bore.
    pub root: f64,
    /// Leg of a fillet round the nut.
    pub weld: f64,
    /// How far the nut may be off the axis of the tube: an eccentric seat, and play in it.
    pub off: f64,
}

/// The room round the nut of a part: across corners, since its orientation is arbitrary.
pub(crate) fn nut_room(captured: &Captured, tables: &Tables) -> NutRoom {
    let row = |name: &str| tables.row("tolerance", name);
    let length = |name: &str| row(name).map_or(0.0, |r| r.measure("length"));
    let share = |name: &str| row(name).map_or(0.0, |r| r.measure("share"));
    let outside = captured.bore + 2.0 * captured.wall;
    let narrower = length("tube outside").max(share("tube outside") * outside);
    let thicker = length("tube wall").max(share("tube wall") * captured.wall);
    NutRoom {
        corners: captured.nut.measure("corners"),
        bore: captured.bore,
        min_bore: captured.bore - narrower - 2.0 * thicker,
        root: captured.root,
        weld: captured.weld,
        off: captured.aside + captured.shift,
    }
}

impl NutRoom {
    /// The circle swept by the nut with its weld, about the axis of the tube.
    pub fn needed(&self) -> f64 {
        self.corners + 2.0 * (self.weld + self.off + self.root)
    }

    /// Clearance between a corner of the nut and the wall, or a projection from it, as drawn and in
    /// the narrowest tube; negative if the nut does not fit.
    pub fn clear(&self) -> [f64; 2] {
        [self.bore, self.min_bore].map(|bore| (bore - self.needed()) / 2.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::HoleId;
    use crate::diag::Sources;
    use crate::diag::Span;
    use proptest::prelude::*;

    fn captured(nut: &str, bore: f64, wall: f64) -> Captured {
        let tables = Tables::shipped();
        Captured {
            nut: tables.row("nut", nut).unwrap().clone(),
            seat: HoleId { face: 0, hole: 0 },
            bore,
            wall,
            root: 1.5,
            weld: 0.0,
            shift: 0.15,
            aside: 0.0,
            span: Span { source: Sources::default().add("", ""), start: 0, end: 0 },
            depends: vec![],
        }
    }

    /// M16 in 38 × 3: bore 32; the nut is 27.713 across corners (24 / cos 30°), and may be 0.15
    /// off: 32 − 27.713 − 2 × (1.5 + 0.15) = 0.987, half of it on each side: 0.4935. The narrowest
    /// tube: 38 less 0.5, its wall a tenth thicker: 32 − 0.5 − 0.6 = 30.9, where 30.9 − 31.013 =
    /// −0.113 is left: −0.0565.
    #[test]
    fn a_nut_in_a_tube_is_as_computed_by_hand() {
        let room = nut_room(&captured("M16", 32.0, 3.0), &Tables::shipped());
        let [drawn, worst] = room.clear();
        assert!((room.corners - 27.713).abs() < 1e-9 && (room.min_bore - 30.9).abs() < 1e-9);
        assert!((drawn - 0.4935).abs() < 1e-9 && (worst + 0.0565).abs() < 1e-9, "{room:?}");
    }

    #[test]
    fn room_never_grows_with_root_weld_or_seat_aside() {
        let tables = Tables::shipped();
        let clear = |c: &Captured| nut_room(c, &tables).clear();
        proptest!(|(bore in 20.0..80.0f64, wall in 1.0..6.0f64, more in 0.0..5.0f64)| {
            let before = captured("M10", bore, wall);
            let [drawn, worst] = clear(&before);
            prop_assert!(worst < drawn);
            for after in [
                Captured { root: before.root + more, ..before.clone() },
                Captured { weld: more, ..before.clone() },
                Captured { aside: more, ..before.clone() },
            ] {
                let after = clear(&after);
                prop_assert!((drawn - after[0] - more).abs() < 1e-9);
                prop_assert!((worst - after[1] - more).abs() < 1e-9);
            }
        });
    }
}
