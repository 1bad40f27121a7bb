//! Flared holes and beads: their pilots, checks, load limits and cost.

use crate::own;
use crate::python;
use crate::random::Rng;
use platewright::diag::Sources;
use platewright::job;
use platewright::job::Shelf;
use platewright::num::Angle;
use platewright::part::Flare;
use platewright::recipe::Side;
use platewright::solve;
use platewright::solve::Solved;
use platewright::strength::State;
use platewright::strength::Verdict;
use platewright::table::Tables;
use serde_json::json;

const HOLE: &str = "{ name = \"light\", at = [\"0\", \"0\"], diameter = \"40 mm\", flare = { height = \"5 mm\", angle = \"45 deg\" } }";

/// 200 × 120 mm with further keys.
fn plate(rest: &str) -> String {
    format!(
        "about = \"x\"\n[inputs]\nbolt = {{ kind = \"bolt\", default = \"M12\", about = \"x\" }}\n\
         [face.plate]\n\
         blank = [ {{ add = \"rectangle\", width = \"200 mm\", height = \"120 mm\" }} ]\n{rest}\n"
    )
}

fn made(own: &str) -> (Solved, Vec<String>) {
    let (mut solved, found) =
        own::solve(own, "2 mm", "laser").unwrap_or_else(|found| panic!("{}", found[0].headline));
    (solved.remove(0), found.into_iter().map(|finding| finding.headline).collect())
}

/// 5 mm high at 45° in 2 mm reaches 5 + √2 out of a mouth of 20; the pilot hole is smaller than the
/// mouth, and the outline and the holes of the flat do not include the lip.
#[test]
fn a_flare_is_cut_as_its_pilot_and_counts_as_its_foot() {
    let (solved, found) = made(&plate(&format!("holes = [ {HOLE} ]")));
    assert!(found.is_empty(), "{found:?}");
    let hole = &solved.part.faces[0].holes[0];
    let flare = hole.flare.expect("it has one");
    assert!((flare.outside - 2.0 * (25.0 + 2.0_f64.sqrt())).abs() < 1e-9);
    let pilot = hole.outline.bounds().width();
    assert!((pilot - flare.pilot().expect("there is metal")).abs() < 1e-9 && pilot < 40.0);
    assert!((pilot + 2.0 * hole.growth() - flare.outside).abs() < 1e-9);
    let area = 200.0 * 120.0 - platewright::num::PI * pilot * pilot / 4.0;
    assert!((solved.flat.region.area() - area).abs() < 1e-6);
    assert_eq!((hole.diameter(), hole.operations()), (Some(40.0), 1));
    // A given pilot is cut unchanged.
    let given = HOLE.replace("flare =", "pilot = \"33 mm\", flare =");
    let (solved, _) = made(&plate(&format!("holes = [ {given} ]")));
    let hole = &solved.part.faces[0].holes[0];
    assert!((hole.outline.bounds().width() - 33.0).abs() < 1e-9);
    assert_eq!(hole.diameter(), Some(40.0));
}

#[test]
fn a_lip_out_of_range_says_the_range_why_and_what_to_write() {
    for (angle, why, write) in
        [("80 deg", "beyond 75°", "75 deg"), ("12 deg", "below 15°", "15 deg")]
    {
        let of = |angle: &str| plate(&format!("holes = [ {} ]", HOLE.replace("45 deg", angle)));
        let found = own::solve(&of(angle), "2 mm", "laser").expect_err("it is refused");
        assert!(found[0].headline.contains("between 15° and 75°"), "{}", found[0].headline);
        assert!(found[0].notes.iter().any(|note| note.contains(why)), "{:?}", found[0].notes);
        let help = found[0].help.as_deref().unwrap();
        assert_eq!(help, format!("write `angle = \"{write}\"`"));
        assert!(own::solve(&of(write), "2 mm", "laser").is_ok(), "{write}");
    }
}

/// The outside diameter is equivalent to the angle.
#[test]
fn outside_and_angle_say_the_same() {
    let outside = 2.0 * (25.0 + 2.0_f64.sqrt());
    let other = HOLE.replace("angle = \"45 deg\"", &format!("outside = \"{outside} mm\""));
    let flare = |hole: &str| {
        let (solved, _) = made(&plate(&format!("holes = [ {hole} ]")));
        solved.part.faces[0].holes[0].flare.expect("it has one")
    };
    let (a, b) = (flare(HOLE), flare(&other));
    assert!((a.angle.degrees() - b.angle.degrees()).abs() < 1e-6, "{a:?} {b:?}");
}

/// The washer of an M12, Ø24, reaches farther than the flat metal that a die needs in 2 mm: over
/// a lip and over a bead beside it.
#[test]
fn a_washer_over_a_lip_or_a_bead_is_found() {
    let screw =
        "{ name = \"screw\", at = [\"0\", \"42 mm\"], diameter = \"13 mm\", for = \"bolt\" }";
    let bead = "bead = [ { name = \"rib\", line = [[\"-50 mm\", \"25 mm\"], [\"50 mm\", \"25 mm\"]], width = \"14 mm\", depth = \"2 mm\" } ]";
    let (_, found) = made(&plate(&format!("holes = [ {screw} ]\n{bead}")));
    assert!(
        found.iter().any(|f| f.contains("bead `rib` is below the washer of hole `screw`")),
        "{found:?}"
    );
    let near = HOLE.replace("[\"0\", \"0\"]", "[\"0\", \"6 mm\"]");
    let (_, found) = made(&plate(&format!("holes = [ {near}, {screw} ]")));
    let wanted = "the flare of hole `light` is below the washer of hole `screw`, Ø24 mm";
    assert!(found.iter().any(|f| f == wanted), "{found:?}");
    let far = screw.replace("42 mm", "44 mm");
    let (_, found) = made(&plate(&format!("holes = [ {HOLE}, {far} ]")));
    assert!(found.iter().all(|f| !f.contains("washer")), "{found:?}");
}

/// A plate that has anything formed differs from itself turned over.
#[test]
fn what_is_formed_makes_two_hands() {
    let bead = "bead = [ { name = \"rib\", line = [[\"-50 mm\", \"25 mm\"], [\"30 mm\", \"10 mm\"]], width = \"14 mm\", depth = \"2 mm\" } ]";
    for rest in [format!("holes = [ {HOLE} ]"), bead.to_owned()] {
        let own = plate(&rest)
            .replace("about = \"x\"\n[inputs]", "about = \"x\"\nmirror = true\n[inputs]");
        let (solved, _) = own::solve(&own, "2 mm", "laser").expect("it is a good plate");
        assert_eq!(solved.len(), 2, "{rest}");
        let lines = |i: usize| solved[i].part.faces[0].beads.first().map(|bead| bead.line.clone());
        let (Some(right), Some(left)) = (lines(0), lines(1)) else { continue };
        assert!(right.iter().zip(left).all(|(a, b)| a.x == -b.x && a.y == b.y));
    }
}

/// One flange of 90° leans over nothing; of two, the lip may obstruct either.
#[test]
fn a_lip_between_two_flanges_is_not_compared_with_them() {
    let web = "about = \"x\"\n[face.web]\nblank = [ { add = \"rectangle\", width = \"120 mm\", height = \"80 mm\" } ]\n\
               holes = [ { name = \"light\", diameter = \"24 mm\", flare = { height = \"5 mm\", angle = \"45 deg\" } } ]\n";
    let flange = |edge: &str| {
        format!(
            "[face.{edge}_leg]\nblank = [ {{ add = \"rectangle\", width = \"120 mm\", height = \"20 mm\", at = [\"0\", \"10 mm\"] }} ]\n\
             [bend.{edge}]\non = \"web.{edge}\"\nto = \"{edge}_leg\"\nangle = \"90 deg\"\n"
        )
    };
    let words = "projects 5 mm from the top side, and the flanges beside it assume that the face \
                 is flat";
    for (own, wanted) in [
        (web.to_owned() + &flange("top"), 0),
        (web.to_owned() + &flange("top") + &flange("bottom"), 1),
    ] {
        let (_, found) = made(&own);
        assert_eq!(found.iter().filter(|f| f.contains(words)).count(), wanted, "{found:?}");
    }
}

fn verdict(rest: &str) -> Verdict {
    let own = plate(&format!("weld = [ {{ edge = \"left\", leg = \"2 mm\" }} ]\n{rest}"));
    let tables = Tables::shipped();
    let recipe = |name: &str| (name == "own").then(|| ("own.toml".to_owned(), own.clone()));
    let shelf = Shelf { recipe: &recipe, ..Shelf::shipped(&tables) };
    let text = "process = \"laser\"\n[[sheet]]\nname = \"s\"\nmaterial = \"S235\"\n\
         thickness = \"2 mm\"\nstock = []\n\
         [[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"s\"\n\
         [[load]]\nname = \"a\"\npart = \"own\"\nhole = \"eye\"\npin = \"12 mm\"\n\
         force = \"1 kN\"\ndirection = \"pull\"\n";
    let mut sources = Sources::default();
    let source = sources.add("job.toml", text);
    let asked = job::read("job", source, text, &shelf, &mut sources).expect("it is a good job");
    let (solved, _) = solve::solve(&asked, &shelf, &mut sources, &|| {}).expect("it is solved");
    solved[0].verdicts[0].1.clone()
}

/// A flare beside the way is a hole as wide as its foot: the load is allowed the same to the last
/// figure, and less than beside the hole that is cut. A bead, and a load in a flare, have no
/// margin.
#[test]
fn a_lip_adds_no_strength_and_a_bead_is_not_judged() {
    let eye = "{ name = \"eye\", at = [\"75 mm\", \"0\"], diameter = \"12 mm\", role = \"eye\" }";
    let (solved, _) = made(&plate(&format!("holes = [ {HOLE} ]")));
    let flare = solved.part.faces[0].holes[0].flare.expect("it has one");
    let plain =
        |mm: f64| format!("holes = [ {{ name = \"light\", diameter = \"{mm} mm\" }}, {eye} ]");
    let least = |rest: &str| {
        let verdict = verdict(rest);
        assert_eq!(verdict.state, State::Judged, "{rest}");
        let across = verdict.limits.iter().filter(|limit| limit.what.contains("section"));
        let all = across.chain(&verdict.limits).map(|limit| limit.allowable());
        (verdict.limits.len(), all.fold(f64::INFINITY, f64::min))
    };
    let flared = least(&format!("holes = [ {HOLE}, {eye} ]"));
    let (foot, mouth) = (least(&plain(flare.outside)), least(&plain(40.0)));
    assert_eq!(flared.0, foot.0);
    assert!(
        (flared.1 / foot.1 - 1.0).abs() < 1e-9 && flared.1 <= mouth.1,
        "{flared:?} {foot:?} {mouth:?}"
    );
    let bead = "bead = [ { name = \"rib\", line = [[\"0\", \"-40 mm\"], [\"0\", \"40 mm\"]], width = \"14 mm\", depth = \"2 mm\" } ]";
    let loaded = HOLE.replace("light", "eye");
    for (rest, words) in [
        (format!("holes = [ {eye} ]\n{bead}"), "bead `rib` flattens"),
        (format!("holes = [ {loaded} ]"), "flared hole `eye`"),
    ] {
        let verdict = verdict(&rest);
        let State::NotJudged(reason) = &verdict.state else { panic!("{words}: it is judged") };
        assert!(reason.to_string().contains(words), "{reason}");
        assert!(verdict.limits.is_empty());
    }
}

/// A lip or a bead below a plate that lies there is a stop; on the other side it is none.
#[test]
fn a_lip_between_two_plates_stops_them() {
    let bead = "bead = [ { name = \"rib\", line = [[\"-50 mm\", \"0\"], [\"50 mm\", \"0\"]], width = \"14 mm\", depth = \"2 mm\"SIDE } ]";
    let flare = format!("holes = [ {} ]", HOLE.replace(" }", "SIDE }"));
    let pad = "[face.pad]\nblank = [ { add = \"rectangle\", width = \"30 mm\", height = \"30 mm\" } ]\n\
               pieces = 1\nlaid_on = { face = \"plate\", at = [\"X\", \"0\"] }\n";
    for (rest, words) in [(bead.to_owned(), "bead `rib`"), (flare, "the flare of hole `light`")] {
        let own = |side: &str, x: &str| {
            let rest = rest.replacen("SIDE", side, 1).replace("SIDE", "");
            format!(
                "{}{}",
                plate(&rest).replace("[face.plate]\n", "[face.plate]\npieces = 1\n"),
                pad.replace('X', x)
            )
        };
        let headlines = |own: &str| match own::solve(own, "2 mm", "laser") {
            Ok(_) => Vec::new(),
            Err(found) => found.into_iter().map(|f| f.headline).collect::<Vec<_>>(),
        };
        let over = headlines(&own("", "20 mm"));
        assert!(
            over.iter().any(|f| f.contains(words) && f.contains("stands out between")),
            "{over:?}"
        );
        assert!(headlines(&own(", side = \"down\"", "20 mm")).is_empty());
        assert!(headlines(&own("", "80 mm")).is_empty());
    }
}

/// Pilots, and the volume lost in the solid, against a model that divides the lip into many rings;
/// the outlines of beads against the buffer of their line.
#[test]
fn pilots_volumes_and_outlines_are_those_of_another_model() {
    let mut rng = Rng(31);
    let flare = |rng: &mut Rng| {
        let thickness = rng.between(0.8, 5.0);
        let (angle, height) = (rng.between(15.0, 75.0), rng.between(0.5, 4.0) * thickness);
        let inside = rng.between(20.0, 120.0);
        let slope = Angle::from_degrees(angle);
        // Every other foot has a radius, up to what leaves half a thickness of straight lip.
        let most = (height - thickness / 2.0) / (1.0 - slope.cos());
        let radius = match rng.between(0.0, 1.0) > 0.5 {
            true => rng.between(0.05, 1.0) * most.min(4.0 * thickness),
            false => 0.0,
        };
        let half = Angle::from_degrees(angle / 2.0);
        let reach = height / slope.tan() + thickness * slope.sin() + radius * half.tan();
        let outside = inside + 2.0 * reach;
        Flare { inside, outside, height, angle: slope, radius, thickness, side: Side::Up }
    };
    let flares: Vec<_> = (0..200)
        .filter_map(|_| {
            let flare = flare(&mut rng);
            let pilot = flare.pilot()?;
            Some(json!({
                "inside": flare.inside, "outside": flare.outside, "height": flare.height,
                "angle": flare.angle.degrees(), "thickness": flare.thickness, "pilot": pilot,
                "radius": flare.radius,
                "loss": flare.loss(pilot), "stretch": flare.stretch(pilot),
            }))
        })
        .collect();
    assert!(flares.len() > 150, "only {}", flares.len());
    let mut beads = Vec::new();
    for _ in 0..40 {
        let (x, y, width) =
            (rng.between(20.0, 60.0), rng.between(-35.0, 35.0), rng.between(6.0, 18.0));
        let depth = width * rng.between(0.05, 0.5);
        let section = if rng.between(0.0, 1.0) > 0.5 { "v" } else { "round" };
        let own = format!(
            "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"400 mm\", height = \"300 mm\" }} ]\n\
             bead = [ {{ name = \"a\", line = [[\"-90 mm\", \"0\"], [\"0\", \"0\"], [\"{x} mm\", \"{y} mm\"]], \
             width = \"{width} mm\", depth = \"{depth} mm\", section = \"{section}\" }} ]\n"
        );
        let (solved, _) = own::solve(&own, "1 mm", "laser").expect("it is a good plate");
        let bead = &solved[0].part.faces[0].beads[0];
        let edge =
            |e: &platewright::geom::Edge| json!([[e.from.x, e.from.y], [e.to.x, e.to.y], e.bulge]);
        beads.push(json!({
            "line": bead.line.iter().map(|p| [p.x, p.y]).collect::<Vec<_>>(), "width": width,
            "depth": depth, "section": section, "stretch": bead.stretch(), "length": bead.length(),
            "outline": bead.outline().iter().map(edge).collect::<Vec<_>>(),
        }));
    }
    let folder = tempfile::tempdir().expect("a folder can be made");
    let text = json!({ "flares": flares, "beads": beads }).to_string();
    std::fs::write(folder.path().join("formed.json"), text).expect("it can be written");
    let passed = python::accepted("check_formed.py", folder.path());
    assert_eq!(passed, 3 * flares.len() + 3 * beads.len());
}

/// Inside a rolled bend of 180° and a radius of 4 mm the return lies 8 mm above its face: a bead of
/// 12 mm passes through it, one of 5 mm does not reach it.
#[test]
fn a_bead_through_the_return_above_it_stops_the_part() {
    let found = |depth: &str| {
        let own = plate(&format!(
            "bead = [ {{ name = \"rib\", line = [[\"-40 mm\", \"0\"], [\"40 mm\", \"0\"]], width = \"40 mm\", depth = \"{depth}\" }} ]\n\
             [face.return]\n\
             blank = [ {{ add = \"rectangle\", width = \"200 mm\", height = \"100 mm\", at = [\"0\", \"50 mm\"] }} ]\n\
             [bend.heel]\non = \"plate.top\"\nto = \"return\"\nform = \"rolled\"\nangle = \"180 deg\"\nradius = \"4 mm\""
        ));
        own::solve(&own, "2 mm", "laser").err().unwrap_or_default()
    };
    assert!(found("5 mm").is_empty());
    let stops = found("12 mm");
    let stops: Vec<&str> = stops
        .iter()
        .filter(|f| f.code == "flange-collision")
        .map(|f| f.headline.as_str())
        .collect();
    assert_eq!(stops, ["bead `rib` and face `return` collide when formed"]);
}
