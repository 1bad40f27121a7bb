//! Distances of bodies against the solid kernel, and angles of points against numpy.

use crate::own;
use crate::python;
use crate::random::Rng;
use platewright::diag::Sources;
use platewright::geom::Frame;
use platewright::geom::Point;
use platewright::geom::Space;
use platewright::geom::cross;
use platewright::geom::plus;
use platewright::geom::times;
use platewright::geom::unit;
use platewright::machine;
use platewright::machine::Convex;
use serde_json::Value;
use serde_json::json;

/// So many pairs are compared.
const PROGRAM: &str = env!("CARGO_BIN_EXE_platewright");

const PAIRS: usize = 200;

/// What is lost by chords, mm: that of one ring against that of another.
const CHORDS: f64 = 0.05;

fn way(rng: &mut Rng) -> Space {
    loop {
        let v = [0, 1, 2].map(|_| rng.between(-1.0, 1.0));
        let long: f64 = v.iter().map(|c| c * c).sum();
        if (0.01..1.0).contains(&long) {
            return unit(v);
        }
    }
}

/// A random body: as passed to the kernel, and its pieces.
fn body(rng: &mut Rng, kind: usize) -> (Value, Vec<Convex>) {
    let at = [0, 1, 2].map(|_| rng.between(-120.0, 120.0));
    let z = way(rng);
    let x = unit(cross(z, way(rng)));
    let frame = Frame { origin: at, x, y: cross(z, x), z };
    let (radius, long) = (rng.between(4.0, 25.0), rng.between(10.0, 150.0));
    let far = plus(at, times(z, long));
    let place = json!({ "at": at, "x": x, "z": z, "radius": radius, "long": long });
    let with = |mut place: Value, kind: &str| {
        place["kind"] = json!(kind);
        place
    };
    match kind {
        0 => {
            let size = [0, 1, 2].map(|_| rng.between(3.0, 90.0));
            let mut of = with(place, "box");
            of["size"] = json!(size);
            let corners = [(0.0, 0.0), (size[0], 0.0), (size[0], size[1]), (0.0, size[1])];
            (of, vec![machine::prism(&corners.map(Point::from), &frame, [0.0, size[2]])])
        }
        1 => (with(place, "cylinder"), machine::bar([at, far], radius).into_iter().collect()),
        2 => (with(place, "capsule"), vec![Convex::points([at, far], radius)]),
        _ => {
            let ring = radius + rng.between(5.0, 60.0);
            let mut of = with(place, "ring");
            of["ring"] = json!(ring);
            (of, machine::torus(at, z, ring, radius))
        }
    }
}

/// Every kind of body with every other, never further apart than they are.
fn pairs(rng: &mut Rng) -> Vec<Value> {
    let pair = |i: usize| {
        let ((one, a), (other, b)) = (body(rng, i % 4), body(rng, i / 4 % 4));
        let found = machine::nearest(&a, &b, 1e4).unwrap().distance;
        json!({ "bodies": [one, other], "found": found })
    };
    (0..PAIRS).map(pair).collect()
}

/// What the formulas of a job make of four points, through the length and the ends of its tubes.
fn angles(rng: &mut Rng) -> Vec<Value> {
    let one = |_| {
        let points: Vec<Space> =
            (0..4).map(|_| [0, 1, 2].map(|_| rng.between(-400.0, 400.0).round())).collect();
        let mut job = "process = \"waterjet\"\n[points]\n".to_owned();
        for (name, [x, y, z]) in ["A", "B", "C", "D"].iter().zip(&points) {
            job += &format!("{name} = [\"{x} mm\", \"{y} mm\", \"{z} mm\"]\n");
        }
        job += "[[tube]]\nname = \"t\"\noutside = \"1 mm\"\nwall = \"0.2 mm\"\n\
                length = \"1 m + distance(A, B)\"\ntwist = \"twist(A, B, C, D)\"\n\
                [[tube]]\nname = \"u\"\noutside = \"1 mm\"\nwall = \"0.2 mm\"\n\
                length = \"1 m\"\ntwist = \"angle(A, B, C)\"\n";
        let (job, _) = own::asked("", &job, &mut Sources::default()).unwrap();
        json!({
            "points": points,
            "distance": job.tubes[0].length - 1000.0,
            "twist": job.tubes[0].twist.degrees(),
            "angle": job.tubes[1].twist.degrees(),
        })
    };
    (0..12).map(one).collect()
}

/// Random jobs of points, obstacles, links and tubes, right and wrong. At length:
/// `check_machine_jobs.py PROGRAM 0 2000`.
#[test]
fn random_machines_are_read_or_refused_with_words() {
    let (good, said) = python::run("check_machine_jobs.py", &[PROGRAM, "0", "40"]);
    assert!(good, "{said}");
}

#[test]
fn bodies_are_as_far_apart_as_by_the_solid_kernel_and_never_further() {
    let mut rng = Rng(19);
    let given = json!({ "pairs": pairs(&mut rng), "angles": angles(&mut rng) });
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("pairs.json");
    std::fs::write(&file, given.to_string()).unwrap();
    let (good, said) = python::run("check_machine.py", &[file.to_str().unwrap()]);
    assert!(good, "{said}");
    let said: Value = serde_json::from_str(said.trim()).unwrap();
    println!("{said}");
    assert_eq!(said["pairs"], PAIRS);
    assert!(said["apart"].as_u64().unwrap() > 120, "{said}");
    // The kernel ends its own searches some millionths short.
    assert!(said["over"].as_f64().unwrap() < 1e-4, "{said}");
    assert!(said["under"].as_f64().unwrap() < CHORDS, "{said}");
    assert!(said["off"].as_f64().unwrap() < 1e-6, "{said}");
}
