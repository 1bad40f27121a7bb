//! Tubes cut out of formed parts, against the boolean of a solid kernel.

use crate::own;
use crate::python;
use crate::random::Rng;
use platewright::diag::Weight;
use platewright::fold;
use platewright::geom::Outline;
use platewright::geom::Point;
use platewright::solid;
use platewright::solve::Solved;
use platewright::write;
use serde_json::Value;
use serde_json::json;
use std::fmt::Write;

/// Number of parts compared, in two lots.
const PARTS: usize = 24;

/// A tube of a part: diameter, clearance, a point of its axis and its direction.
struct Tube(f64, f64, [f64; 3], [f64; 3]);

impl Tube {
    fn text(&self) -> String {
        let three = |v: [f64; 3], unit: &str| v.map(|c| format!("\"{c}{unit}\"")).join(", ");
        format!(
            "{{ tube = \"{} mm\", clearance = \"{} mm\", at = [{}], direction = [{}] }},",
            self.0,
            self.1,
            three(self.2, " mm"),
            three(self.3, "")
        )
    }

    fn json(&self) -> Value {
        let long = self.3.iter().map(|c| c * c).sum::<f64>().sqrt();
        json!({ "at": self.2, "along": self.3.map(|c| c / long), "radius": self.0 / 2.0 + self.1 })
    }
}

fn recipe(tubes: &[Tube], faces: &str) -> String {
    let tubes: String = tubes.iter().map(Tube::text).collect();
    format!("about = \"x\"\ncut_folded = [ {tubes} ]\n{faces}")
}

/// A bent gusset between three tubes: the floor along two of them, the wall up to the third.
fn gusset(rng: &mut Rng) -> (Vec<Tube>, String) {
    let size = |rng: &mut Rng| (rng.between(14.0, 44.0), rng.between(0.0, 0.2));
    let mut tube = |at, along| {
        let (tube, play) = size(rng);
        Tube(tube, play, at, along)
    };
    let mut tubes = vec![
        tube([0.0, 0.0, -1.5], [1.0, 0.0, 0.0]),
        tube([0.0, 0.0, -1.5], [0.0, 1.0, 0.0]),
        tube([0.0; 3], [0.0, 0.0, 1.0]),
    ];
    tubes[2].3 = [rng.between(-0.1, 0.1), rng.between(-0.1, 0.1), 1.0];
    let (a, b) = (rng.between(85.0, 130.0), rng.between(85.0, 130.0));
    let (angle, radius) = (rng.between(100.0, 130.0), rng.between(2.5, 8.0));
    let long = (a * a + b * b).sqrt();
    // Square to the fold line, from its middle.
    let (u, v) = (b / long, a / long);
    let up = rng.between(90.0, 130.0);
    let at = |along: f64, out: f64| {
        let (x, y) = (a / 2.0 + u * out + v * along, b / 2.0 + v * out - u * along);
        format!("[\"{x} mm\", \"{y} mm\"]")
    };
    let (top, low) = (up + 10.0, long / 2.0 + 10.0);
    let side = if rng.between(0.0, 2.0) < 1.0 { "up" } else { "down" };
    let mut text = format!(
        "[face.floor]\nblank = [ {{ add = \"polygon\", corners = [ [\"6 mm\", \"6 mm\"], [\"{} mm\", \"6 mm\"], {}, {}, {}, {}, [\"6 mm\", \"{} mm\"] ] }} ]\n",
        a + 6.0,
        at(low, 14.0),
        at(30.0, top),
        at(-30.0, top),
        at(-low, 14.0),
        b + 6.0
    );
    // Writing to a string cannot fail.
    let _ = writeln!(
        text,
        "[bend.fold]\nacross = \"floor\"\nline = [[\"0\", \"{b} mm\"], [\"{a} mm\", \"0\"]]\nto = \"wall\"\nangle = \"{angle} deg\"\nradius = \"{radius} mm\"\nside = \"{side}\""
    );
    (tubes, text)
}

/// A channel with flanges on its edges, whose end is on a tube that runs across it.
fn channel(rng: &mut Rng) -> (Vec<Tube>, String) {
    let (web, up, long) =
        (rng.between(50.0, 80.0), rng.between(28.0, 45.0), rng.between(110.0, 160.0));
    let over = rng.between(-6.0, 10.0);
    let slant = rng.between(-0.15, 0.15);
    let tube = rng.between(48.0, 76.0);
    let tubes = vec![Tube(tube, rng.between(0.0, 0.2), [0.0, 0.0, over], [slant, 1.0, 0.0])];
    let half = web / 2.0;
    let text = format!(
        "[face.web]\nblank = [ {{ add = \"polygon\", corners = [ {{ at = [\"0\", \"-{half} mm\"], edge = \"near\" }}, [\"{long} mm\", \"-{half} mm\"], {{ at = [\"{long} mm\", \"{half} mm\"], edge = \"far\" }}, [\"0\", \"{half} mm\"] ] }} ]\n\
         [face.near]\nblank = [ {{ add = \"rectangle\", width = \"{long} mm\", height = \"{up} mm\", at = [\"0\", \"{0} mm\"] }} ]\n\
         [face.far]\nblank = [ {{ add = \"rectangle\", width = \"{long} mm\", height = \"{up} mm\", at = [\"0\", \"{0} mm\"] }} ]\n\
         [bend.near]\non = \"web.near\"\nto = \"near\"\nangle = \"90 deg\"\n\
         [bend.far]\non = \"web.far\"\nto = \"far\"\nangle = \"90 deg\"\n",
        up / 2.0
    );
    (tubes, text)
}

/// The two ends of the sheet's edge at places along the cut: those off the drawn outline.
fn places(solved: &Solved, drawn: &Outline) -> Vec<Value> {
    let folded = fold::fold(&solved.part, &solved.flat, &fold::full(&solved.part));
    let t = solved.part.thickness;
    let mut places = Vec::new();
    let off = |p: Point| drawn.distance(p) > 0.02;
    let of = |outline: &Outline| -> Vec<Point> {
        outline.edges().flat_map(|e| [0.25, 0.5, 0.75].map(|s| e.point_at(s))).collect()
    };
    let flat: Vec<_> =
        solved.flat.region.outer().edges().map(|e| (e.bounds().grown(1e-3), e)).collect();
    let on_flat = |p: Point| {
        flat.iter().any(|(near, e)| near.contains(p) && (e.nearest(p) - p).hypot() < 1e-3)
    };
    for (face, place) in folded.faces.iter().zip(&solved.flat.places) {
        for p in of(face.region.outer()) {
            let at = place.apply(p);
            if off(at) && on_flat(at) {
                places.push(json!([face.frame.point(p, 0.0), face.frame.point(p, -t)]));
            }
        }
    }
    let strips = folded.bends.iter().zip(solved.flat.bends.iter().zip(&folded.strips));
    for (bend, (strip, metal)) in strips {
        let near = strip.tangents[0];
        let along = (near.from - near.to).normalize();
        let out = (strip.tangents[1].from - near.from).normalize();
        for p in of(metal.outer()) {
            let at = near.to + along * p.x + out * p.y;
            if off(at) && on_flat(at) {
                let share = p.y / bend.allowance;
                places.push(json!([bend.point(p.x, share, 0.0), bend.point(p.x, share, -t)]));
            }
        }
    }
    places
}

/// The worst of either lot is printed with `--nocapture`.
#[test]
fn no_metal_is_left_in_the_tubes_and_no_gap_beside_them() {
    let mut rng = Rng(31);
    let (mut parts, mut refused) = (Vec::new(), Vec::new());
    let folder = tempfile::tempdir().unwrap();
    while parts.len() < PARTS {
        let is_gusset = rng.between(0.0, 3.0) < 2.0;
        let (tubes, faces) = if is_gusset { gusset(&mut rng) } else { channel(&mut rng) };
        let text = recipe(&tubes, &faces);
        let solved = match own::solve(&text, "3 mm", "waterjet") {
            Ok((mut solved, _)) => solved.remove(0),
            Err(found) => {
                let stop = found.iter().find(|f| f.weight == Weight::Stop).unwrap();
                refused.push(format!("{}: {}", stop.code, stop.headline));
                assert!(refused.len() < 3 * PARTS, "{refused:?}\n{text}");
                continue;
            }
        };
        let plain = format!("about = \"x\"\n{faces}");
        let drawn = own::solve(&plain, "3 mm", "waterjet").unwrap().0.remove(0);
        let folded = fold::fold(&solved.part, &solved.flat, &fold::full(&solved.part));
        let made = solid::solid(&solved.part, &solved.flat, &folded).unwrap();
        let name = format!("{}.step", parts.len());
        let step = write::step(&name, &made);
        std::fs::write(folder.path().join(&name), step).unwrap();
        let places = places(&solved, drawn.flat.region.outer());
        assert!(places.len() > 20, "{text}");
        parts.push(json!({
            "file": name,
            "lot": rng.between(0.0, 2.0) as usize,
            "tubes": tubes.iter().map(Tube::json).collect::<Vec<_>>(),
            "places": places,
        }));
    }
    std::fs::write(folder.path().join("parts.json"), json!(parts).to_string()).unwrap();
    let (good, said) = python::outside("check_cut_folded.py", folder.path());
    assert!(good, "{said}\n{refused:?}");
    println!("{} refused {refused:?}; {said}", refused.len());
    let said: Value = serde_json::from_str(said.trim()).unwrap();
    assert_eq!(said["parts"], PARTS);
}

/// The gusset of the trade, in both hands: the cut edges are welded and mirrored.
#[test]
fn what_is_cut_is_welded_in_both_hands() {
    let text = include_str!("../../data/trade/box-gusset.toml");
    let (both, _) = own::solve(&format!("mirror = true\n{text}"), "3 mm", "laser").unwrap();
    let [right, left] = both.as_slice() else { panic!("two hands") };
    let over = platewright::geom::Place { mirrored: true, ..Default::default() };
    let mirrored = right.flat.region.outer().moved(&over);
    let off = left.flat.region.outer().edges().map(|e| mirrored.distance(e.point_at(0.5)));
    assert!(off.fold(0.0, f64::max) < 1e-6);
    for solved in &both {
        let welds: Vec<_> = solved.part.faces.iter().flat_map(|face| &face.welds).collect();
        let long = |name: &str| -> Vec<f64> {
            welds.iter().filter(|w| w.edge == name).map(|w| w.edge_length()).collect()
        };
        // Both tubes of the floor pass the wall as well, the third is against the wall and at the
        // corner of the floor.
        assert_eq!([long("first").len(), long("second").len()], [2, 2]);
        let apart = long("first").into_iter().zip(long("second")).map(|(a, b)| (a - b).abs());
        assert!(apart.fold(0.0, f64::max) < 1e-6);
        assert!(long("third").iter().all(|mm| *mm > 20.0), "{:?}", long("third"));
    }
}
