//! The loads of the demo, recomputed by hand along their whole path: every limit that its
//! report gives, from the hole of the load to the support.
//!
//! Worked with AISC 360-16 (Ω 1.67 for yielding, 1.50 for yielding in shear, 2.00 for rupture,
//! bolts and welds). S235: Fy 235, Fu 360 N/mm²; 4130-N: 50 and 70 ksi; 5052-H32: 23 and 31 ksi.

use platewright::num;
use platewright::num::Angle;
use serde_json::Value;
use std::f64::consts::PI;

const YIELD: f64 = 1.67;
const RUPTURE: f64 = 2.0;
const KSI: f64 = 6.894_757_293;
/// Fillet of an E70 electrode, on its throat: 0.60 · 70 ksi · 0.707.
const THROAT: f64 = 0.6 * 70.0 * KSI * 0.707;

/// A load of the demo's report, which is compared with the program's in another test.
struct Load(Value);

impl Load {
    fn of(case: &str) -> Self {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/vineyard-cart/report.json");
        let text = std::fs::read_to_string(path).expect("the demo's report is in the repository");
        let report: Value = serde_json::from_str(&text).expect("a report is JSON");
        let loads = report["strength"]["loads"].as_array().unwrap();
        Self(loads.iter().find(|load| load["case"] == case).unwrap().clone())
    }

    /// The limit of this name, in this face or bend, has this allowable force, N, on the set.
    fn has(&self, what: &str, member: &str, by_hand: f64) {
        let is = self.allowable(what, member);
        assert!((is / by_hand - 1.0).abs() < 1e-3, "{what} in {member}: {is}, by hand {by_hand}");
    }

    /// As `has`, of a section worked by hand square to the edges, which a slight turn weakens.
    fn has_turned(&self, what: &str, member: &str, by_hand: f64) {
        let ratio = self.allowable(what, member) / by_hand;
        assert!((0.998..1.0).contains(&ratio), "{what} in {member}: {ratio} of {by_hand}");
    }

    /// Of the limit of this name, in this face or bend, N.
    fn allowable(&self, what: &str, member: &str) -> f64 {
        let named = |limit: &&Value| {
            let section = &limit["section"];
            limit["what"] == what && (section["face"] == member || section["bend"] == member)
        };
        let limits = self.0["limits"].as_array().unwrap();
        let limit = limits.iter().find(named).unwrap_or_else(|| panic!("{what}: {limits:#?}"));
        limit["allowable"]["kn"].as_f64().unwrap() * 1000.0
    }

    fn governed(&self, what: &str, margin: f64) {
        assert_eq!(self.0["governed_by"], what);
        let is = self.0["margin_percent"].as_f64().unwrap();
        assert!((is - margin).abs() < 0.5, "{is} %, by hand {margin} %");
    }

    fn limits(&self) -> usize {
        self.0["limits"].as_array().unwrap().len()
    }
}

/// H3-6, with H1 as a linear sum: direct + sideways² = 1.
fn together(direct: f64, sideways: f64) -> f64 {
    2.0 / (direct + (direct * direct + 4.0 * sideways * sideways).sqrt())
}

/// Towing tab, S235 6 mm: eye of 24 mm radius round Ø13, M12 pin, 32 above a foot of 60 with
/// fillets of 4 on both sides; 14 kN in tension.
///
/// 1. Pin: 0.45 · 800 · 113.1 / 2 = 20.36 kN in shear; bearing 1.8 · 235 · 12 · 6 / 2 = 15.23 kN.
/// 2. Eye: a = 24 − 6.5 = 17.5, be = 17.5 / 1.33: 360 · 2 · 6 · 13.16 / 2 = 28.42 kN; shear
///    0.6 · 360 · 2 · 6 · 23.5 / 2 = 30.46 kN.
/// 3. At the hole: the sides lean by 9.98°, so the width is 48 / cos 9.98° = 48.74: yielding
///    235 · 6 · 48.74 / 1.67 = 41.15 kN; net 48.74 − 15: 360 · 6 · 33.74 / 2 = 36.44 kN.
/// 4. At the foot: 60 · 6 · 235 / 1.67 = 50.66 kN; weld 1.5 · 289.6 · 0.707 · 4 · 120 / 2 = 73.70.
///
/// The lowest: bearing, 15.23 / 14 − 1 = 8.8 %.
#[test]
fn towed_out_of_the_mud() {
    let load = Load::of("towed out of the mud");
    load.has(
        "bolt in shear, thread in the shear plane",
        "plate",
        0.45 * 800.0 * 36.0 * PI / RUPTURE,
    );
    load.has("bearing of the pin", "plate", 15_228.0);
    load.has("net section at the hole, tensile rupture", "plate", 4320.0 * 17.5 / 1.33 / RUPTURE);
    load.has("shear rupture beyond the hole", "plate", 0.6 * 4320.0 * 23.5 / RUPTURE);
    let width = 48.0 / Angle::from_degrees(9.98).cos();
    load.has("gross section at the hole, yielding", "plate", 235.0 * 6.0 * width / YIELD);
    let net = 360.0 * 6.0 * (width - 15.0) / RUPTURE;
    load.has("net section through holes, tensile rupture", "plate", net);
    load.has("plate at its support", "plate", 235.0 * 360.0 / YIELD);
    load.has("fillet weld", "plate", 1.5 * THROAT * 4.0 * 120.0 / RUPTURE);
    assert_eq!(load.limits(), 9, "and the sections on the way");
    load.governed("bearing of the pin", 8.8);
}

/// Two ears, 4130-N 3/16 in, on a tube of 60.3: Ø10.5 and a pin of 10, 26 above the crest, foot
/// of 42, fillets of 3.2; 4.5 kN along the tube, 2.25 kN on each.
///
/// 1. Bearing: 2 · 1.8 · 344.7 · 10 · 4.7625 / 2 = 29.55 kN.
/// 2. Seam: an arc of radius 30.15 over a chord of 42: half its angle is 44.15°, its length
///    46.46, its centroid 2.895 below the crest. There 2250 N and 2250 · 28.895 = 65.0 N·m act.
/// 3. Plate there: F11 with Lb d/t² = 28.895 · 42 / 4.7625² = 53.5: (1.52 − 0.274 · 53.5 · 344.7 /
///    199 948) My = 1.4947 · 482.7 N·m; shear 0.6 · 344.7 · 42 · 4.7625 / 1.5: together 24.17 kN.
/// 4. Weld: 2250 / (2 · 46.46) = 24.2 along and 65 015 · 6 / (2 · 42²) = 110.6 N/mm square to it,
///    113.2 together, of 0.707 · 3.2 · 289.6 / 2 = 327.6 N/mm.
///
/// The lowest: the weld, 4.5 · 327.6 / 113.2 = 13.02 kN, 189 %.
#[test]
fn steering_against_a_stone() {
    let load = Load::of("steering into a rock");
    let (t, fy, ears): (f64, f64, f64) = (4.7625, 50.0 * KSI, 2.0);
    load.has("bearing of the pin", "ear", ears * 1.8 * fy * 10.0 * t / RUPTURE);
    let radius: f64 = 30.15;
    let half = num::asin(21.0 / radius);
    let length = radius * half.degrees() * PI / 90.0;
    let lever = 26.0 + radius - 2.0 * radius * radius * half.sin() / length;
    let elastic = fy * t * 42.0 * 42.0 / 6.0;
    let slender = lever * 42.0 / (t * t);
    let bent = (1.52 - 0.274 * slender * fy / (29_000.0 * KSI)) * elastic / YIELD;
    let sheared = 0.6 * fy * 42.0 * t / 1.5;
    load.has("plate at its support", "ear", ears * together(lever / bent, 1.0 / sheared));
    let worst = f64::sqrt(f64::powi(0.5 / length, 2) + f64::powi(lever * 3.0 / (42.0 * 42.0), 2));
    load.has("fillet weld", "ear", ears * THROAT * 3.2 / RUPTURE / worst);
    load.governed("fillet weld", 189.0);
}

/// Angle, 5052-H32 11 ga (2.304 mm), 88.9 wide: two holes 50.8 apart in each leg, 19.05 from the
/// heel outside; 266.9 N square to the upper leg, two 1/4 in bolts in the base.
///
/// 1. Upper leg: net 88.9 − 2 · 9.14 = 70.6 wide: shear 0.6 · 213.7 · 2.304 · 70.6 / 2 = 10.43 kN.
/// 2. Bend: at its end on the base the force is compression and acts 17.9 above the sheet.
/// 3. Base at its bolts: 266.9 N of compression, 266.9 · 17.898 = 4.78 N·m. Of the base 17.898 to
///    either side of each bolt counts, less the holes: 4 · 17.898 − 2 · 7.144 = 57.3 mm: 158.6 ·
///    57.3 · 2.304² / 4 / 1.67 = 7.22 N·m. Flat there are 2 · (19.05 − 6.27) and the bend,
///    7.84 by the FAA formula, from the load to the bolts: compression by E3 with 2.1 · 33.40 · √12 /
///    2.304 = 105.5, 0.877 · 62.1 N/mm² on 88.9: 6.68 kN. Together 1 / (17.898 / 7220 + 1 / 6681) = 380 N.
/// 4. Bolts: half each. Bearing 2.4 · 6.35 · 2.304 · 213.7 / 2 = 3.75 kN on each, tear-out
///    1.2 · (19.05 − 3.57) · 2.304 · 213.7 / 2 = 4.57 kN; net section 213.7 · 2.304 · 70.6 / 2.
///
/// The lowest: the base at its bolts, 380 / 266.9 − 1 = 43 %.
#[test]
fn valve_block_vibrating() {
    let load = Load::of("valve block vibrating");
    let (t, fy, fu) = (2.303_78, 23.0 * KSI, 31.0 * KSI);
    let net = 88.9 - 2.0 * 9.143_75;
    let torn = "net section through holes, shear rupture";
    load.has(torn, "leg", 0.6 * fu * t * net / RUPTURE);
    let radius = 3.968_75;
    let flat = 2.0 * (19.05 - radius - t) + 90.0 * (0.017_43 * radius + 0.0078 * t);
    let slender = 2.1 * flat * 12.0_f64.sqrt() / t;
    let pushed = 0.877 * PI * PI * 70_000.0 / (slender * slender) * 88.9 * t / YIELD;
    let bent = fy * (4.0 * 17.898 - 2.0 * 7.143_75) * t * t / 4.0 / YIELD;
    load.has("section of the plate", "base", 1.0 / (17.898 / bent + 1.0 / pushed));
    load.has("bearing at a mounting bolt", "base", 2.0 * 2.4 * 6.35 * t * fu / RUPTURE);
    let clear = 19.05 - 7.143_75 / 2.0;
    load.has("tear-out at a mounting bolt", "base", 2.0 * 1.2 * clear * t * fu / RUPTURE);
    load.has("net section through holes, tensile rupture", "base", fu * t * net / RUPTURE);
    load.governed("section of the plate", 43.0);
}

/// Base of a seat, S235 4 mm, 160 × 110: M8 at ± 62, ± 37, 500 N along at 300 above the plate.
///
/// 1. Each bolt: 125 N of shear, and 500 · 304 / (4 · 62) = 613 N of tension or compression.
/// 2. Two bolts on the load's side of the line through the lower row leave 500 · 304 / 2 less the
///    seat: 2 · 613 · 62 − 250 · 2 = 75.5 N·m of torsion and 250 N of shear in 160 − 18 = 142 × 4.
/// 3. Torsion: 0.6 · 235 · 4²/2 · (142 − 4/3) / 1.67 = 95.0 N·m; shear 0.6 · 235 · 640 / 1.5 = 60.2
///    kN. For 1 N: 151 / 95 013 + 0.5 / 60 160: 626 N. Turned by 0.4°, it also bends by
///    0.54 N·m of 65: 0.1 % less.
/// 4. Bolts: 0.45 · 800 · 50.27 / 0.25 / 2 = 36.2 kN; with tension (1.2258 / 30 159 + 0.25 / 18 096) /
///    1.3: 11.9 kN; bearing 2.4 · 8 · 4 · 360 / 0.25 / 2 = 55.3 kN; tear-out of 18 − 4.5: 46.7 kN.
///
/// The lowest: the plate in torsion, 626 / 500 − 1 = 25 %.
#[test]
fn leaning_back_on_a_slope() {
    let load = Load::of("leaning back on a slope");
    let twisted = 0.6 * 235.0 * 8.0 * (142.0 - 4.0 / 3.0) / YIELD;
    let sideways = 151.0 / twisted + 0.5 * 1.5 / (0.6 * 235.0 * 640.0);
    load.has_turned("section of the plate", "plate", together(0.0, sideways));
    let area = PI * 16.0;
    let sheared = 0.45 * 800.0 * area / 0.25 / RUPTURE;
    load.has("mounting bolt, in shear, thread in the shear plane", "plate", sheared);
    let tension = 304.0 / (4.0 * 62.0);
    let both = (tension / (0.75 * 800.0 * area) + 0.25 / (0.45 * 800.0 * area)) / 1.3;
    load.has("mounting bolt, in tension and shear", "plate", 1.0 / both / RUPTURE);
    load.has("bearing at a mounting bolt", "plate", 2.4 * 8.0 * 4.0 * 360.0 / 0.25 / RUPTURE);
    load.has("tear-out at a mounting bolt", "plate", 1.2 * 13.5 * 4.0 * 360.0 / 0.25 / RUPTURE);
    load.governed("section of the plate", 25.0);
}
