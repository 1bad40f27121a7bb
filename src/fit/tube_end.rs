//! The end of a tube: its cap, the plates beside it, its insert, and tabs set round it.

use crate::num::Angle;
use crate::table::Tables;

/// The end of a tube with all that belongs to it. Lengths are mm.
#[derive(Clone, Debug)]
pub(crate) struct TubeEnd {
    /// Outside diameter of the tube.
    pub(crate) outside: f64,
    /// Its wall.
    pub(crate) wall: f64,
    /// How much wider or narrower it may be.
    pub(crate) outside_off: f64,
    /// How much thicker or thinner its wall may be.
    pub(crate) wall_off: f64,
    /// Maximum coating thickness on a face, mm.
    pub(crate) coating: f64,
    /// How far apart what is set for welding may be off.
    pub(crate) set_off: f64,
    /// What closes it.
    pub(crate) cap: Option<CapFit>,
    /// The plates on both sides of it.
    pub(crate) cheeks: Option<CheekFit>,
    /// Outside diameter of the insert.
    pub(crate) inside: Option<f64>,
}

/// A cap on its tube.
#[derive(Clone, Debug)]
pub(crate) struct CapFit {
    /// Its thickness.
    pub(crate) thickness: f64,
    /// Whether it sits inside, so that nothing comes off the tube.
    pub(crate) is_inside: bool,
    /// Whether it is as wide as its tube or wider.
    pub(crate) is_over: bool,
    /// Across.
    pub(crate) width: f64,
    /// Whether its weld is ground flush.
    pub(crate) ground: bool,
    /// The nut it captures.
    pub(crate) nut: Option<String>,
}

/// Two plates, one on each side of a tube.
#[derive(Clone, Debug)]
pub(crate) struct CheekFit {
    /// Maximum coating thickness on a face of each, mm.
    pub(crate) coating: f64,
    /// Left on each side, coated.
    pub(crate) play: f64,
    /// The measured size of the tube where it was ground, if it is given.
    pub(crate) ground: Option<f64>,
}

/// Minimum width of tube wall under a cap, mm, where the job does not say. Our choice.
pub(crate) const LANDING: f64 = 0.5;

impl TubeEnd {
    /// A bare end.
    pub(crate) fn new(outside: f64, wall: f64, coating: f64, tables: &Tables) -> Self {
        let row = |name: &str| tables.row("tolerance", name);
        let length = |name: &str| row(name).map_or(0.0, |r| r.measure("length"));
        let share = |name: &str| row(name).map_or(0.0, |r| r.measure("share"));
        Self {
            outside,
            wall,
            outside_off: length("tube outside").max(share("tube outside") * outside),
            wall_off: length("tube wall").max(share("tube wall") * wall),
            coating,
            set_off: length("weld"),
            cap: None,
            cheeks: None,
            inside: None,
        }
    }

    /// The width of the wall under a cap: as drawn, and where the tube is widest and its wall
    /// thinnest; `None` if the cap sits inside.
    pub(crate) fn landing(&self) -> Option<[f64; 2]> {
        let cap = self.cap.as_ref().filter(|cap| !cap.is_inside)?;
        let undersize = ((self.outside - cap.width) / 2.0).max(0.0);
        let drawn = self.wall - undersize;
        Some([drawn, drawn - self.wall_off - self.outside_off / 2.0])
    }

    /// The groove round a cap for a weld that is ground flush: as drawn, and on the narrowest tube; of a
    /// tube that is ground to a given diameter, both at that diameter.
    pub(crate) fn groove(&self) -> Option<[f64; 2]> {
        let width = self.cap.as_ref()?.width;
        if let Some(ground) = self.ground() {
            return Some([(ground - width) / 2.0; 2]);
        }
        let drawn = (self.outside - width) / 2.0;
        Some([drawn, drawn - self.outside_off / 2.0])
    }

    /// The diameter that it is ground to, mm, if that is given.
    pub(crate) fn ground(&self) -> Option<f64> {
        self.cheeks.as_ref()?.ground
    }

    /// The clearance round a cap that sits inside, in diameter: as drawn, in the narrowest bore and
    /// in the widest; `None` if it sits on the end.
    pub(crate) fn slip(&self) -> Option<[f64; 3]> {
        let cap = self.cap.as_ref().filter(|cap| cap.is_inside)?;
        let drawn = self.outside - 2.0 * self.wall - cap.width;
        let off = self.outside_off + 2.0 * self.wall_off;
        Some([drawn, drawn - off, drawn + off])
    }

    /// Between the bare plates beside it: for the tube as drawn or as ground, and for the widest. The
    /// play is at least what the plates may be off when they are set.
    pub(crate) fn gap(&self) -> Option<[f64; 2]> {
        let cheeks = self.cheeks.as_ref()?;
        let play = (2.0 * cheeks.play).max(self.set_off);
        let more = 2.0 * (self.coating + cheeks.coating) + play;
        let widest = cheeks.ground.unwrap_or(self.outside + self.outside_off);
        Some([cheeks.ground.unwrap_or(self.outside) + more, widest + more])
    }

    /// The clearance round the insert, in diameter: as drawn, and in the narrowest bore.
    pub(crate) fn clear(&self) -> Option<[f64; 2]> {
        let drawn = self.outside - 2.0 * self.wall - self.inside?;
        Some([drawn, drawn - self.outside_off - 2.0 * self.wall_off])
    }

    /// By how much a place at this distance from the tube, mm, is too high or aside for each degree
    /// by which its tab is rotated, mm.
    pub(crate) fn per_degree(&self, out: f64) -> f64 {
        (self.outside / 2.0 + out) * Angle::from_degrees(1.0).sin()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 38 × 2, by hand: 0.5 wider, the wall 0.2 thinner. A cap of 36 leaves 1 round it, 0.75 on a tube
    /// 0.5 narrower: it lands by 1, at least by 1 − 0.2 − 0.25 = 0.55. Cheeks with 0.08 of coating on each of four faces and
    /// 0.2 of play a side: 38 + 0.32 + 0.4 = 38.72, 39.22 at the widest; ground to 37.8: 38.52. A
    /// stub of 33.5 in the bore of 34: 0.5, in the narrowest −0.4. A tab 31 out: 50 × sin 1° = 0.8726.
    #[test]
    fn a_tubes_end_is_as_computed_by_hand() {
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
        let mut end = TubeEnd::new(38.0, 2.0, 0.08, &Tables::shipped());
        end.cap = Some(CapFit {
            thickness: 4.0,
            is_inside: false,
            is_over: false,
            width: 36.0,
            ground: true,
            nut: None,
        });
        let [drawn, least] = end.landing().unwrap();
        assert!(near(drawn, 1.0) && near(least, 0.55), "{drawn} {least}");
        let [drawn, least] = end.groove().unwrap();
        assert!(near(drawn, 1.0) && near(least, 0.75), "{drawn} {least}");
        assert!(end.slip().is_none());
        end.cheeks = Some(CheekFit { coating: 0.08, play: 0.2, ground: None });
        let [drawn, widest] = end.gap().unwrap();
        assert!(near(drawn, 38.72) && near(widest, 39.22), "{drawn} {widest}");
        end.cheeks = Some(CheekFit { coating: 0.08, play: 0.2, ground: Some(37.8) });
        assert!(end.gap().unwrap().iter().all(|gap| near(*gap, 38.52)));
        // Ground, the cap has 0.9 mm of groove, whatever the tube was before.
        assert!(end.groove().unwrap().iter().all(|groove| near(*groove, 0.9)));
        // Without play, plates may be set 0.2 closer than they should be.
        end.cheeks = Some(CheekFit { coating: 0.08, play: 0.0, ground: None });
        let [drawn, widest] = end.gap().unwrap();
        assert!(near(drawn, 38.52) && near(widest, 39.02), "{drawn} {widest}");
        end.inside = Some(33.5);
        let [drawn, least] = end.clear().unwrap();
        assert!(near(drawn, 0.5) && near(least, -0.4), "{drawn} {least}");
        assert!((end.per_degree(31.0) - 0.8726).abs() < 1e-4);
    }
}
