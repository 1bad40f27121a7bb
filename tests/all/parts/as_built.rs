//! Measurements of made parts: the model against closed formulas, known causes recovered from
//! simulated measurements, and the messages on them.

use crate::random::Rng;
use platewright::as_built;
use platewright::as_built::AsBuilt;
use platewright::as_built::At;
use platewright::as_built::Estimate;
use platewright::as_built::Kind;
use platewright::as_built::Model;
use platewright::as_built::Observation;
use platewright::as_built::Target;
use platewright::as_built::Verdict;
use platewright::diag::Finding;
use platewright::diag::HoleId;
use platewright::diag::Sources;
use platewright::job;
use platewright::job::Job;
use platewright::job::Only;
use platewright::job::Shelf;
use platewright::num::Angle;
use platewright::shop::Measured;
use platewright::solve;
use platewright::solve::Solved;
use platewright::table::Tables;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::f64::consts::PI;
use std::fs;
use std::path::Path;

const PARTS: &str = "process = \"waterjet\"\ncoating = \"0.08 mm\"\nshop = \"shop.toml\"\n\
    [[sheet]]\nname = \"S235 4 mm\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\n\
    stock = [ { size = [\"900 mm\", \"600 mm\"] } ]\n\
    [[part]]\nrecipe = \"angle\"\nname = \"angle-pump\"\nsheet = \"S235 4 mm\"\n\
    given = { base = \"50 mm\", leg = \"60 mm\", width = \"60 mm\" }\n\
    [[part]]\nrecipe = \"channel\"\nname = \"channel-pump\"\nsheet = \"S235 4 mm\"\n\
    given = { length = \"80 mm\", web = \"160 mm\", flange = \"40 mm\" }\n\
    [[part]]\nrecipe = \"clevis-bent\"\nname = \"clevis-pump\"\nsheet = \"S235 4 mm\"\n\
    given = { rod_end = \"M10\", reach = \"60 mm\", spacer = \"50 mm\", clearance = \"1.4 mm\" }\n";

/// A press brake with one die and no measured row: DIN 6935 decides.
const SHOP: &str = "about = \"one brake\"\n[[brake]]\nname = \"press brake\"\nkind = \"press\"\nlength = \"1500 mm\"\n\
    force = \"400 kN\"\nmax_angle = \"145 deg\"\n\
    ram = [[\"-20 mm\", \"0 mm\"], [\"20 mm\", \"0 mm\"], [\"20 mm\", \"150 mm\"], [\"-20 mm\", \"150 mm\"]]\n\
    bed = [[\"-45 mm\", \"0 mm\"], [\"-45 mm\", \"-140 mm\"], [\"45 mm\", \"-140 mm\"], [\"45 mm\", \"0 mm\"]]\n\
    [[brake.die]]\nv = \"25 mm\"\nsection = [[\"-23 mm\", \"0 mm\"], [\"-12.5 mm\", \"0 mm\"], [\"0 mm\", \"-15 mm\"], [\"12.5 mm\", \"0 mm\"], [\"23 mm\", \"0 mm\"], [\"23 mm\", \"-60 mm\"], [\"-23 mm\", \"-60 mm\"]]\n\
    [[brake.punch]]\nname = \"gooseneck\"\nangle = \"80 deg\"\nsection = [[\"0 mm\", \"0 mm\"], [\"8 mm\", \"10 mm\"], [\"-14 mm\", \"45 mm\"], [\"-14 mm\", \"80 mm\"], [\"12 mm\", \"110 mm\"], [\"-12 mm\", \"110 mm\"], [\"-45 mm\", \"80 mm\"], [\"-45 mm\", \"45 mm\"], [\"-8 mm\", \"10 mm\"]]\n";

fn solved_with(measures: &str, shop: &str) -> Result<(Job, Vec<Solved>), Vec<Finding>> {
    solved_of(&format!("{PARTS}{measures}"), shop, &[])
}

fn solved_of(text: &str, shop: &str, only: &[Only]) -> Result<(Job, Vec<Solved>), Vec<Finding>> {
    let tables = Tables::shipped();
    let file = |name: &str| Some((name.to_owned(), shop.to_owned()));
    let shelf = Shelf { file: &file, ..Shelf::shipped(&tables) };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", text);
    let mut job = job::read("job", source, text, &shelf, &mut sources)?;
    job.keep_only(only).expect("they are in the job");
    let (solved, _) = solve::solve(&job, &shelf, &mut sources, &|| {})?;
    Ok((job, solved))
}

fn found(measures: &str) -> AsBuilt {
    let (job, solved) = solved_with(measures, SHOP).unwrap();
    as_built::found(&job, &solved).unwrap().unwrap()
}

fn measure(part: &str, what: &str, of: &str, is: &str) -> String {
    let of = if of.is_empty() { String::new() } else { format!("of = {of}\n") };
    format!("[[as_built]]\npart = \"{part}\"\nwhat = \"{what}\"\n{of}is = \"{is}\"\n")
}

const ANGLE: usize = 0;
const CHANNEL: usize = 1;
const CLEVIS: usize = 2;

fn at(part: usize, target: Target) -> At {
    At { part, piece: 1, target, coated: false, deduction: None }
}

/// Every sort of measure on the three parts.
fn places(solved: &[Solved]) -> Vec<At> {
    let eye = solved[CLEVIS].part.clevis.as_ref().unwrap().eye;
    let coated = |part, target| At { coated: true, ..at(part, target) };
    let outside = |face, bend| Target::Outside { face, bend };
    vec![
        at(ANGLE, Target::Thickness),
        at(ANGLE, Target::Angle(0)),
        at(ANGLE, Target::Radius(0)),
        at(ANGLE, outside(0, 0)),
        at(ANGLE, outside(1, 0)),
        at(CHANNEL, outside(0, 0)),
        at(CHANNEL, outside(1, 0)),
        at(CHANNEL, outside(2, 1)),
        at(CHANNEL, Target::Angle(0)),
        at(CHANNEL, Target::Angle(1)),
        at(CLEVIS, Target::Gap),
        coated(CLEVIS, Target::Gap),
        at(CLEVIS, Target::Hole(eye)),
        coated(CLEVIS, Target::Hole(eye)),
    ]
}

/// What causes are, by kind.
type Causes = BTreeMap<String, f64>;

fn key(kind: Kind) -> String {
    format!("{kind:?}")
}

/// A bend of 90° as its causes make it, by the formulas of the handbook.
struct Made {
    thickness: f64,
    radius: f64,
    radians: f64,
    /// From the drawn tangent line to where the bend begins now, on either side.
    reach: [f64; 2],
}

/// A second way to the size of a piece: closed formulas in the plane, without frames.
struct Closed<'a> {
    solved: &'a [Solved],
    causes: &'a Causes,
}

impl Closed<'_> {
    fn of(&self, kind: Kind) -> f64 {
        self.causes.get(&key(kind)).copied().unwrap_or(0.0)
    }

    fn bend(&self, part: usize, bend: usize) -> Made {
        let drawn = &self.solved[part].part.bends[bend].bend;
        let (t, r, k) = (drawn.thickness(), drawn.radius(), drawn.k());
        let allowed = PI / 2.0 * (r + k * t);
        let (group, piece) = (0, 1);
        let radius = r + self.of(Kind::Radius { group });
        let deduction = 2.0 * (r + t) - allowed + self.of(Kind::Deduction { group });
        let k = ((2.0 * (radius + t) - deduction) / (PI / 2.0) - radius) / t;
        let thickness = t + self.of(Kind::Thickness { sheet: 0 });
        let degrees =
            90.0 + self.of(Kind::Springback { group }) + self.of(Kind::Angle { part, piece, bend });
        let radians = degrees * PI / 180.0;
        let each = (allowed - radians * (radius + k * thickness)) / 2.0;
        let line = self.of(Kind::Line { part, piece, bend });
        Made { thickness, radius, radians, reach: [each + line, each - line] }
    }

    /// How much longer a leg is at one end, on the side of the face it starts from or carries.
    fn longer(&self, part: usize, bend: usize, side: usize) -> f64 {
        let made = self.bend(part, bend);
        let drawn = &self.solved[part].part.bends[bend].bend;
        let half = libm::tan(made.radians / 2.0);
        made.reach[side] + half * (made.radius + made.thickness)
            - (drawn.radius() + drawn.thickness())
    }

    fn is(&self, at: &At) -> f64 {
        let film = if at.coated { 0.08 + self.of(Kind::Film { coating: 0 }) } else { 0.0 };
        let cut = self.of(Kind::Cut { sheet: 0 });
        let bare = match (at.part, at.target) {
            (_, Target::Thickness) => 4.0 + self.of(Kind::Thickness { sheet: 0 }),
            (part, Target::Angle(bend)) => self.bend(part, bend).radians * 180.0 / PI,
            (part, Target::Radius(bend)) => self.bend(part, bend).radius,
            (ANGLE, Target::Outside { face: 0, .. }) => 50.0 + self.longer(ANGLE, 0, 0) + cut,
            (ANGLE, Target::Outside { .. }) => 60.0 + self.longer(ANGLE, 0, 1) + cut,
            (_, Target::Outside { face: 0, .. }) => {
                160.0 + self.longer(CHANNEL, 0, 0) + self.longer(CHANNEL, 1, 0)
            }
            (_, Target::Outside { bend, .. }) => 40.0 + self.longer(CHANNEL, bend, 1) + cut,
            (part, Target::Hole(id)) => {
                self.solved[part].part.hole(id).diameter().unwrap() - 2.0 * cut
            }
            (_, Target::Gap) => self.gap(),
            _ => unreachable!("no such place"),
        };
        let faces = match at.target {
            Target::Hole(_) | Target::Gap => -2.0,
            Target::Thickness | Target::Outside { .. } => 2.0,
            _ => 0.0,
        };
        bare + faces * film
    }

    /// The section across the base: both inner sides at the pin.
    fn gap(&self) -> f64 {
        let part = &self.solved[CLEVIS].part;
        let drawn = &part.bends[0].bend;
        let (t, r) = (drawn.thickness(), drawn.radius());
        let half = part.clevis.as_ref().unwrap().gap / 2.0 - r;
        let inner = |bend: usize| {
            let made = self.bend(CLEVIS, bend);
            let (sin, cos) = (libm::sin(made.radians), libm::cos(made.radians));
            // 60 mm from the underside of the base to the eye.
            let straight = 60.0 - t - r + made.reach[1];
            let x = half + made.reach[0] + made.radius * sin + straight * cos;
            (x, made.radius * (1.0 - cos) + straight * sin, sin, cos)
        };
        let (a, b) = (inner(0), inner(1));
        let (across, up) = (a.0 + b.0, b.1 - a.1);
        // Along the pin in either ear.
        let along = [across * a.2 + up * a.3, across * b.2 - up * b.3];
        (along[0].abs() + along[1].abs()) / 2.0
    }
}

/// The model in space against closed formulas in the plane, each cause alone and all at once.
#[test]
fn the_model_gives_what_closed_formulas_give() {
    let (job, solved) = solved_with("", SHOP).unwrap();
    let places = places(&solved);
    let model = Model::new(&job, &solved, &places);
    assert_eq!(model.groups.len(), 1, "all bends are alike: {:?}", model.groups);
    assert!(model.causes.len() >= 15, "{:?}", model.causes);
    let mut compared = 0;
    let mut compare = |x: &[f64], within: f64| {
        let causes: Causes = model.causes.iter().zip(x).map(|(c, x)| (key(c.kind), *x)).collect();
        let closed = Closed { solved: &solved, causes: &causes };
        for at in &places {
            let (is, wanted) = (model.predicted(at, x), closed.is(at));
            assert!((is - wanted).abs() < within, "{at:?} with {causes:?}: {is}, not {wanted}");
            compared += 1;
        }
    };
    let n = model.causes.len();
    compare(&vec![0.0; n], 1e-6);
    for i in 0..n {
        let one = |by: f64| {
            let mut x = vec![0.0; n];
            x[i] = by;
            x
        };
        compare(&one(0.3), 1e-6);
        compare(&one(-0.3), 1e-6);
    }
    compare(&vec![0.2; n], 1e-6);
    assert!(compared >= 14 * 32, "{compared}");
}

/// As drawn, all measurements equal the dimensions of the job.
#[test]
fn as_drawn_every_measure_is_what_is_asked_for() {
    let (job, solved) = solved_with("", SHOP).unwrap();
    let places = places(&solved);
    let model = Model::new(&job, &solved, &places);
    let asked = |at: &At| model.predicted(at, &vec![0.0; model.causes.len()]);
    let gap = solved[CLEVIS].part.clevis.as_ref().unwrap().gap;
    let of: Vec<f64> = places.iter().map(asked).collect();
    let wanted = [4.0, 90.0, of[2], 50.0, 60.0, 160.0, 40.0, 40.0, 90.0, 90.0, gap, gap - 0.16];
    for (i, wanted) in wanted.iter().enumerate() {
        assert!((of[i] - wanted).abs() < 1e-6, "{:?}: {}", places[i], of[i]);
    }
    assert!((of[12] - of[13] - 0.16).abs() < 1e-9);
}

/// Beyond 90° the drawing gives a leg to the outer tangent of the bend, which a caliper reads, and
/// not to the mould line the recipe is drawn to; up to 90° the two are the same.
#[test]
fn beyond_90_degrees_an_outside_length_is_that_of_the_drawing() {
    let given = "given = { angle = \"120 deg\", base_holes = 0, leg_holes = 0, base";
    let parts = PARTS.replacen("given = { base", given, 1).replace("shop = \"shop.toml\"\n", "");
    let (job, solved) = solved_of(&parts, SHOP, &[]).unwrap();
    let places = places(&solved);
    let model = Model::new(&job, &solved, &places);
    let bend = &solved[ANGLE].part.bends[0].bend;
    let beyond = (Angle::from_degrees(60.0).tan() - 1.0) * (bend.radius() + bend.thickness());
    for (place, mould_line) in places[3..5].iter().zip([50.0, 60.0]) {
        let is = model.predicted(place, &vec![0.0; model.causes.len()]);
        assert!(beyond > 0.5);
        assert!((is - (mould_line - beyond)).abs() < 1e-6, "{is}, {beyond}");
    }
}

/// Near enough a bell curve: twelve even numbers, less their mean.
fn bell(rng: &mut Rng) -> f64 {
    (0..12).map(|_| rng.between(0.0, 1.0)).sum::<f64>() - 6.0
}

/// 1,000 cases: causes drawn by their spreads, pieces made of them by closed formulas, measured
/// with a caliper's noise. Every cause lies within its 95 % limit in 95 % of the cases: between 929
/// and 971 of 1,000, which is 950 give or take three standard deviations of √(1000 × 0.95 × 0.05) =
/// 6.9, 99.7 % of a binomial distribution.
#[test]
fn known_causes_are_recovered_within_their_limits() {
    const CASES: u64 = 1000;
    let (job, solved) = solved_with("", SHOP).unwrap();
    let places = places(&solved);
    let model = Model::new(&job, &solved, &places);
    let uncertainty = |at: &At| match at.target {
        Target::Angle(_) | Target::Radius(_) => 0.25,
        _ => 0.05,
    };
    let case = |number: u64| {
        let mut rng = Rng(1000 + number);
        let x: Vec<f64> = model.causes.iter().map(|c| c.spread * bell(&mut rng)).collect();
        let causes: Causes = model.causes.iter().zip(&x).map(|(c, x)| (key(c.kind), *x)).collect();
        let closed = Closed { solved: &solved, causes: &causes };
        let seen: Vec<Observation> = places
            .iter()
            .map(|at| {
                let uncertainty = uncertainty(at);
                Observation {
                    at: *at,
                    is: closed.is(at) + uncertainty * bell(&mut rng),
                    uncertainty,
                }
            })
            .collect();
        let found = Estimate::of(&model, &seen);
        let held = (0..x.len()).map(|i| (x[i] - found.x[i]).abs() <= 1.96 * found.spread(i));
        (held.collect::<Vec<bool>>(), (0..x.len()).map(|i| found.spread(i)).collect::<Vec<f64>>())
    };
    let cases: Vec<_> = (0..CASES).into_par_iter().map(case).collect();
    for (i, cause) in model.causes.iter().enumerate() {
        let held = cases.iter().filter(|(held, _)| held[i]).count();
        println!(
            "{}: {held} of {CASES}, {:.3} of {:.3}",
            key(cause.kind),
            cases[0].1[i],
            cause.spread
        );
        assert!((929..=971).contains(&held), "{}: {held} of {CASES}", key(cause.kind));
    }
    // What these measurements must show: the deduction to a quarter of what was known before.
    let told = |kind: Kind| {
        let i = model.causes.iter().position(|c| c.kind == kind).unwrap();
        cases[0].1[i] / model.causes[i].spread
    };
    assert!(told(Kind::Deduction { group: 0 }) < 0.35, "{}", told(Kind::Deduction { group: 0 }));
    assert!(told(Kind::Thickness { sheet: 0 }) < 0.5);
}

/// Both legs 0.25 mm too long, angle and thickness nominal: 0.5 mm of deduction, the corrected row,
/// and the parts it affects.
#[test]
fn two_legs_tell_the_deduction_and_give_its_row() {
    let text = [
        measure("angle-pump", "outside", "\"leg\"", "60.25 mm"),
        measure("angle-pump", "outside", "\"base\"", "50.25 mm"),
        measure("angle-pump", "angle", "\"heel\"", "90 deg"),
        measure("angle-pump", "thickness", "", "4 mm"),
        measure("angle-pump", "radius", "\"heel\"", "4 mm"),
    ];
    let found = found(&text.concat());
    let of = |word: &str| found.causes.iter().find(|c| c.kind.word() == word).unwrap();
    let deduction = of("bend deduction");
    assert_eq!(deduction.verdict, Verdict::Off, "{deduction:?}");
    assert!((deduction.by - 0.5).abs() < 0.13 && deduction.limit < 0.35, "{deduction:?}");
    assert_eq!(of("sheet thickness").verdict, Verdict::Right);
    assert_eq!(found.rows.len(), 1);
    let row = &found.rows[0];
    assert!((row.row.deduction - row.today - deduction.by).abs() < 1e-9);
    assert_eq!((row.row.v, row.row.material.as_str()), (25.0, "S235"));
    let names: Vec<&str> = found.others.iter().map(|other| other.part.as_str()).collect();
    assert_eq!(names, ["channel-pump", "clevis-pump"], "{:?}", found.others);
    let web = &found.others[0];
    assert!(web.words.contains("`web`") && (web.by[0] - deduction.by).abs() < 0.1, "{web:?}");
    // So is the distance between the two bends of the clevis.
    assert!(found.others[1].by[0] > 0.3, "{:?}", found.others[1]);
    let leg = &found.measures[0];
    assert!((leg.next[0] - leg.asked - deduction.by / 2.0).abs() < 0.05, "{leg:?}");
    assert!((leg.instead.unwrap() + leg.next[0] - 2.0 * leg.asked).abs() < 1e-9);
}

/// One leg alone does not separate the deduction from a misplaced bend line.
#[test]
fn one_leg_is_not_told_apart_from_a_bend_line() {
    let found = found(&measure("angle-pump", "outside", "\"leg\"", "60.25 mm"));
    let deduction = found.causes.iter().find(|c| c.kind.word() == "bend deduction").unwrap();
    let Verdict::NotSeparated { with, .. } = &deduction.verdict else { panic!("{deduction:?}") };
    assert!(with.iter().any(|words| words.contains("bend line `heel` of angle-pump")), "{with:?}");
    assert!(found.rows.is_empty(), "{:?}", found.rows);
    let radius = found.causes.iter().find(|c| c.kind.word() == "inside radius").unwrap();
    assert_eq!(radius.verdict, Verdict::NotShown, "at 90° only the deduction counts");
}

/// A leg too short by the excess of the other is a misplaced bend line, not a deduction.
#[test]
fn a_bend_line_that_is_off_is_no_deduction() {
    let text = [
        measure("angle-pump", "outside", "\"leg\"", "60.3 mm"),
        measure("angle-pump", "outside", "\"base\"", "49.7 mm"),
        measure("angle-pump", "angle", "\"heel\"", "90 deg"),
    ];
    let found = found(&text.concat());
    let of = |word: &str| found.causes.iter().find(|c| c.kind.word() == word).unwrap();
    let line = of("bend line");
    assert!(line.verdict == Verdict::Off && (line.by + 0.3).abs() < 0.06, "{line:?}");
    assert!(of("bend deduction").by.abs() < 0.03);
    assert!(found.rows.is_empty() && found.others.is_empty(), "{:?}", found.others);
    // The next piece has its line where it should be.
    assert!((found.measures[0].next[0] - 60.0).abs() < 0.03);
}

/// A piece that was cut by another deduction does not contradict the present one: its legs are
/// those of that flat.
#[test]
fn a_piece_of_an_older_flat_is_judged_by_its_own() {
    let (_, solved) = solved_with("", SHOP).unwrap();
    let bend = &solved[ANGLE].part.bends[0].bend;
    let today = bend.deduction();
    let older = |is: f64| {
        let one = measure("angle-pump", "outside", "\"leg\"", &format!("{} mm", 60.0 + is));
        let two = measure("angle-pump", "outside", "\"base\"", &format!("{} mm", 50.0 + is));
        let cut = format!("deduction = \"{} mm\"\n", today - 0.5);
        let found = found(&format!("{one}{cut}{two}{cut}"));
        found.causes.iter().find(|c| c.kind.word() == "bend deduction").unwrap().by
    };
    assert!(older(0.25).abs() < 0.01, "{}", older(0.25));
    assert!(older(0.0) < -0.2, "{}", older(0.0));
}

/// The gap of a bent clevis as measured over its coating: a rod end that does not fit is reported,
/// whatever the drawing has.
#[test]
fn fits_are_judged_by_the_size_as_built() {
    let (job, solved) = solved_with("", SHOP).unwrap();
    let fit = solved[CLEVIS].clevis.as_ref().unwrap();
    let (coated, width) = (fit.gap.coated(), fit.gap.width());
    assert!(coated > width, "as drawn it fits");
    assert!(job.as_built.is_empty());
    let of = |gap: f64| {
        let one = measure("clevis-pump", "gap", "", &format!("{gap} mm"));
        found(&format!("{one}coated = true\n"))
    };
    let tight = of(width - 0.2);
    assert_eq!(tight.findings.iter().map(|f| f.code).collect::<Vec<_>>(), ["as-built-fit"]);
    assert!(
        tight.findings[0].headline.contains("does not fit as built"),
        "{}",
        tight.findings[0].headline
    );
    assert_eq!(tight.findings[0].headline.matches("coated").count(), 1, "{:?}", tight.findings);
    assert!((tight.fits[0].is[0] - (width - 0.2)).abs() < 0.02, "{:?}", tight.fits);
    assert!((tight.fits[0].asked - coated).abs() < 1e-9);
    let near = of(width + 0.05);
    assert!(near.findings[0].headline.contains("may not fit as built"));
    assert!(of(coated).findings.is_empty());
    // The drawing's gap stays.
    assert!((tight.measures[0].asked - coated).abs() < 1e-9);
}

/// A film of 0.12 mm in place of 0.08: two coated holes show it, and the bolt that no longer fits.
#[test]
fn a_hole_measured_over_its_coating_tells_the_film() {
    let (_, solved) = solved_with("", SHOP).unwrap();
    let eye: HoleId = solved[CLEVIS].part.clevis.as_ref().unwrap().eye;
    let bare = solved[CLEVIS].part.hole(eye).diameter().unwrap();
    let hole = |is: f64, more: &str| {
        let one = measure("clevis-pump", "hole", "\"near eye\"", &format!("{is} mm"));
        format!("{one}uncertainty = \"0.003 mm\"\n{more}")
    };
    let found = found(&format!("{}{}", hole(bare, ""), hole(bare - 0.2, "coated = true\n")));
    let film = found.causes.iter().find(|c| c.kind.word() == "coating thickness").unwrap();
    assert_eq!(film.verdict, Verdict::Off, "{film:?}");
    assert!(film.by > 0.005 && film.nominal == Some(0.08), "{film:?}");
    let cut = found.causes.iter().find(|c| c.kind.word() == "cut edge").unwrap();
    assert!(cut.by.abs() < 0.01, "{cut:?}");
}

/// A deviation larger than causes can explain is reported; an impossible value is refused at its
/// place.
#[test]
fn unlikely_measures_are_cautions_and_impossible_ones_stops() {
    let text = measure("angle-pump", "thickness", "", "4.9 mm");
    let found = found(&text);
    assert_eq!(found.findings[0].code, "as-built");
    assert!(
        found.findings[0].headline.contains("no likely cause explains"),
        "{:?}",
        found.findings
    );
    let refused = |text: &str| {
        let stopped = match solved_with(text, SHOP) {
            Ok((job, solved)) => as_built::found(&job, &solved).unwrap_err(),
            Err(found) => found,
        };
        let help = stopped[0].help.clone().unwrap_or_default();
        assert!(!stopped[0].marks.is_empty() && !help.is_empty(), "{stopped:?}");
        (stopped[0].code, help)
    };
    let of = |part: &str, what: &str, of: &str, is: &str| refused(&measure(part, what, of, is));
    assert_eq!(of("channel-pump", "outside", "\"web\"", "160 in").0, "out-of-range");
    assert_eq!(of("angle-pump", "holes", "[\"base 1\", \"base 1\"]", "30 mm").0, "unknown-measure");
    assert_eq!(of("angle-pump", "radius", "\"leg\"", "4 mm").1, "its bend is `heel`");
    assert_eq!(of("angle-pump", "gap", "\"leg\"", "4 mm").1, "remove `of`");
    assert_eq!(of("angle-pump", "angle", "\"heel\"", "0 deg").0, "out-of-range");
    let twice =
        format!("{}uncertainty = \"0 mm\"\n", measure("angle-pump", "thickness", "", "4 mm"));
    assert_eq!(refused(&twice).0, "out-of-range");
}

/// Measurements of a part of which none are made, by its quantity or by the selection alone, are
/// left out and named; the others are judged, each at its own place in the text.
#[test]
fn measures_of_parts_of_which_none_are_made_are_left_out() {
    let leg = measure("angle-pump", "outside", "\"leg\"", "60.25 mm");
    let web = measure("channel-pump", "outside", "\"web\"", "160.1 mm");
    let thick = measure("channel-pump", "thickness", "", "4.9 mm");
    let none = PARTS.replacen("name = \"angle-pump\"", "name = \"angle-pump\"\nquantity = 0", 1);
    let only = ["channel-pump".parse::<Only>().unwrap()];
    for (parts, only) in [(PARTS, &only[..]), (none.as_str(), &[])] {
        let text = format!("{parts}{leg}{web}{thick}");
        let (job, solved) = solved_of(&text, SHOP, only).unwrap();
        let found = as_built::found(&job, &solved).unwrap().unwrap();
        assert_eq!(found.left_out, ["angle-pump, outside of `leg`"]);
        assert_eq!(found.measures.len(), 2);
        assert!(found.measures.iter().all(|of| of.part == "channel-pump"), "{:?}", found.measures);
        let off = &found.findings[0];
        assert_eq!(off.code, "as-built");
        assert!(text[off.marks[0].span.start..off.marks[0].span.end].contains("4.9"), "{off:?}");
        let said = as_built::text(&job, &found);
        assert!(said.contains("none of these parts\n  angle-pump, outside of `leg`\n"), "{said}");
        let (job, solved) = solved_of(&format!("{parts}{leg}"), SHOP, only).unwrap();
        assert!(as_built::found(&job, &solved).unwrap().is_none());
    }
}

/// The thickness of an ear shows nothing of the weld: its gap is as uncertain as the tolerances in
/// its recipe, and the film on both faces. For two bent ears the bends count as well.
#[test]
fn a_fit_that_no_measure_shows_is_as_uncertain_as_before() {
    let welded = "[[part]]\nrecipe = \"clevis-weldment\"\nname = \"ear-pump\"\n\
        sheet = \"S235 4 mm\"\ngiven = { rod_end = \"M10\" }\n";
    let (_, solved) = solved_of(&format!("{PARTS}{welded}"), SHOP, &[]).unwrap();
    let ear = solved.iter().find(|of| of.clevis.is_some() && of.line == 3).unwrap();
    let thick = measure(&ear.name, "thickness", "", "4 mm");
    let (job, solved) = solved_of(&format!("{PARTS}{welded}{thick}"), SHOP, &[]).unwrap();
    let found = as_built::found(&job, &solved).unwrap().unwrap();
    let ear = solved.iter().find(|of| of.clevis.is_some() && of.line == 3).unwrap();
    let shares = &ear.clevis.as_ref().unwrap().gap.shares;
    let of_gap: f64 = shares.iter().map(|s| s.times * (s.each / 2.0) * (s.each / 2.0)).sum();
    let film = 2.0 * job.spreads.film;
    let wanted = 1.96 * (of_gap + film * film).sqrt();
    let [fit] = found.fits.as_slice() else { panic!("{:?}", found.fits) };
    assert!(wanted > 0.2 && (fit.is[1] - wanted).abs() < 1e-6, "{fit:?}, not {wanted}");
    let words: Vec<&str> = found.causes.iter().map(|c| c.kind.word()).collect();
    assert_eq!(words, ["sheet thickness"], "no other is reported");
    let found = self::found(&measure("clevis-pump", "thickness", "", "4 mm"));
    let spreads = &job.spreads;
    // Each bend line moves an ear, and each angle too, 60 mm above the base.
    let least = 1.96 * spreads.line.max(50.0 * spreads.angle * PI / 180.0);
    assert!(found.fits[0].is[1] > least, "{:?}, at least {least}", found.fits);
}

/// If a measurement does not agree, no other dimension is asked for, and the row says so first.
#[test]
fn measures_that_do_not_agree_give_no_advice() {
    let text = [
        measure("angle-pump", "outside", "\"leg\"", "60.25 mm"),
        measure("angle-pump", "outside", "\"base\"", "50.25 mm"),
        measure("angle-pump", "angle", "\"heel\"", "90 deg"),
        measure("angle-pump", "thickness", "", "4 mm"),
    ]
    .concat();
    let (job, solved) = solved_with(&text, SHOP).unwrap();
    let found = as_built::found(&job, &solved).unwrap().unwrap();
    assert!(found.findings.is_empty() && found.measures[0].instead.is_some());
    let said = as_built::text(&job, &found);
    let words = "a piece made to 59.76 mm comes out at 60 mm on average";
    assert!(said.contains(words) && said.contains("next pieces 60.24 mm ± "), "{said}");
    assert!(said.contains("; radius as computed now (not measured)"), "{said}");
    let worse = measure("channel-pump", "outside", "\"web\"", "163 mm");
    let (job, solved) = solved_with(&format!("{text}{worse}"), SHOP).unwrap();
    let found = as_built::found(&job, &solved).unwrap().unwrap();
    assert!(found.findings.iter().any(|f| f.code == "as-built"), "{:?}", found.findings);
    assert!(found.measures.iter().all(|of| of.instead.is_none()), "{:?}", found.measures);
    assert!(!as_built::text(&job, &found).contains("until that is changed"));
    let caution = found.rows[0].caution.as_deref().unwrap();
    let first = "a measurement does not agree (see findings): measure again before using it";
    assert!(caution.starts_with(first), "{caution}");
}

/// A measure that alone is too coarse is no mixture with nothing.
#[test]
fn a_measure_that_is_too_coarse_is_said_to_be() {
    let coarse = measure("angle-pump", "thickness", "", "4.05 mm");
    let (job, solved) = solved_with("", SHOP).unwrap();
    let uncertainty = job.spreads.thickness[solved[ANGLE].sheet];
    let text = format!("{coarse}uncertainty = \"{uncertainty} mm\"\n");
    let (job, solved) = solved_with(&text, SHOP).unwrap();
    let found = as_built::found(&job, &solved).unwrap().unwrap();
    let said = as_built::text(&job, &found);
    let words = "thickness of S235 4 mm: these measurements are not accurate enough, perhaps 4.0";
    assert!(said.contains(words), "{said}");
}

/// A row over another V is not one over this: its value is as uncertain as a formula. One over this
/// V is replaced, by name, and keeps the springback measured on strips.
#[test]
fn a_row_counts_as_measured_over_its_own_v_alone() {
    let row = |v: &str, deduction: f64, more: &str| {
        format!(
            "[[measured]]\nmaterial = \"S235\"\nthickness = \"4 mm\"\nv = \"{v}\"\n\
             deduction = \"{deduction} mm\"\nradius = \"4 mm\"\n{more}"
        )
    };
    let text = [
        measure("angle-pump", "outside", "\"leg\"", "60.4 mm"),
        measure("angle-pump", "outside", "\"base\"", "50.4 mm"),
        measure("angle-pump", "angle", "\"heel\"", "90.5 deg"),
        measure("angle-pump", "thickness", "", "4 mm"),
    ]
    .concat();
    let with = |row: &str| {
        let (job, solved) = solved_with(&text, &format!("{SHOP}{row}")).unwrap();
        let found = as_built::found(&job, &solved).unwrap().unwrap();
        let causes = &found.causes;
        let before = causes.iter().find(|c| c.kind.word() == "bend deduction").unwrap().before;
        (before, as_built::text(&job, &found), found)
    };
    let (before, said, found) = with(&row("32 mm", 7.9, ""));
    assert!(before > 0.7, "{before}");
    assert!(!said.contains("in place of") && found.rows[0].row.springback.is_none(), "{said}");
    let (before, said, found) = with(&row("25 mm", 7.5, "springback = \"2 deg\"\n"));
    assert!((before - 1.96 * 0.2).abs() < 1e-9, "{before}");
    let words = "; in place of the row of S235, 4 mm over a V of 25 mm, which has 7.5 mm";
    assert!(said.contains(words), "{said}");
    let more = found.rows[0].row.springback.map(|more| more.degrees());
    assert_eq!(more, Some(2.0), "{:?}", found.rows);
}

/// A base between four bends is longer by two of them each way, not by all four.
#[test]
fn bends_square_to_one_another_do_not_add_up() {
    let text = "process = \"waterjet\"\n[[sheet]]\nname = \"S235 4 mm\"\n\
        material = \"S235\"\nthickness = \"4 mm\"\nstock = []\n\
        [[part]]\nrecipe = \"box-bracket\"\nname = \"box-pump\"\nsheet = \"S235 4 mm\"\n";
    let (job, solved) = solved_of(text, "", &[]).unwrap();
    let bend = &solved[0].part.bends[0].bend;
    let (v, is) = (32.0, bend.deduction() + 0.2);
    let row = Measured::new("S235".to_owned(), 4.0, v, is, bend.radius()).unwrap();
    let [effect] = &as_built::effects(&job, &solved, &row)[..] else { panic!("one part") };
    assert_eq!((effect.face.as_str(), effect.bends), ("base", 2));
    assert!((effect.by - 0.2).abs() < 1e-9 && (effect.share - 1.0).abs() < 1e-9, "{effect:?}");
}

/// The command, the report and the page say it; no drawing or flat changes by it.
#[test]
fn the_report_has_it_and_the_drawings_stay() {
    use snapbox::cmd::Command;
    let folder = tempfile::tempdir().unwrap();
    let run = |arguments: &[&str]| {
        let program = Command::new(env!("CARGO_BIN_EXE_platewright")).current_dir(folder.path());
        let output = program.args(arguments).assert().get_output().clone();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        (output.status.code(), text(output.stdout), text(output.stderr))
    };
    fs::write(folder.path().join("shop.toml"), SHOP).unwrap();
    fs::write(folder.path().join("job.toml"), PARTS).unwrap();
    let make = |out: &str| run(&["make", "job.toml", "--effort", "0", "--out", out]);
    assert_eq!(make("before").0, Some(0));
    let (code, _, said) = run(&["as-built", "job.toml"]);
    assert!(code == Some(2) && said.contains("has no [[as_built]]"), "{said}");
    let measures = [
        measure("angle-pump", "outside", "\"leg\"", "60.3 mm"),
        measure("angle-pump", "outside", "\"base\"", "50.3 mm"),
        measure("angle-pump", "angle", "\"heel\"", "90 deg"),
        measure("angle-pump", "thickness", "", "4 mm"),
    ];
    fs::write(folder.path().join("job.toml"), format!("{PARTS}{}", measures.concat())).unwrap();
    let (code, said, errors) = run(&["as-built", "job.toml"]);
    assert_eq!(code, Some(0), "{errors}");
    for words in [
        "angle-pump, outside length of `leg` square to bend `heel`: nominal 60 mm, measured 60.3 mm ± 0.1 mm (+0.3 mm)",
        "bend deduction of S235 4 mm over a V of 25 mm: ",
        "other parts affected by the same causes",
        "channel-pump, outside length of `web`",
        "row for the shop file: deduction ",
        "[[measured]]",
        "Once the row is in the shop file, add `deduction = ",
    ] {
        assert!(said.contains(words), "{words} is missing in\n{said}");
    }
    assert_eq!(make("after").0, Some(0));
    let read = |path: &Path| fs::read(folder.path().join(path)).unwrap();
    let report: serde_json::Value =
        serde_json::from_slice(&read(Path::new("after/report.json"))).unwrap();
    let row = &report["as_built"]["shop_rows"][0];
    assert!(row["toml"].as_str().unwrap().contains("deduction"), "{row}");
    assert_eq!(report["as_built"]["measures"].as_array().unwrap().len(), 4);
    let page = String::from_utf8(read(Path::new("after/report.html"))).unwrap();
    assert!(page.contains("id=\"as-built\"") && page.contains("For the shop file"));
    let mut same = 0;
    for kind in ["flats", "drawings", "folded", "templates"] {
        for entry in fs::read_dir(folder.path().join("before").join(kind)).unwrap() {
            let name = entry.unwrap().file_name();
            let of = |out: &str| read(&Path::new(out).join(kind).join(&name));
            assert!(of("before") == of("after"), "{kind}/{} changed", name.display());
            same += 1;
        }
    }
    assert!(same > 12, "{same}");
}

/// A part with a different coating: its film is not that of the others, and neither is its name.
#[test]
fn the_film_of_a_part_is_that_of_its_own_coating() {
    let plain = "[[part]]\nrecipe = \"angle\"\nname = \"angle-plain\"\nsheet = \"S235 4 mm\"\ncoating = \"0 mm\"\n\
        given = { base = \"50 mm\", leg = \"60 mm\", width = \"60 mm\" }\n\
        [[part]]\nrecipe = \"angle\"\nname = \"angle-thick\"\nsheet = \"S235 4 mm\"\n\
        coating = { min = \"0.1 mm\", max = \"0.3 mm\" }\n\
        given = { base = \"50 mm\", leg = \"60 mm\", width = \"60 mm\" }\n";
    let coated =
        |part: &str, is: &str| format!("{}coated = true\n", measure(part, "thickness", "", is));
    let measures = ["angle-pump", "angle-plain", "angle-thick"]
        .map(|part| coated(part, "4.16 mm") + &measure(part, "thickness", "", "4 mm"))
        .concat();
    let found = found(&format!("{plain}{measures}"));
    let asked: Vec<f64> = found.measures.iter().step_by(2).map(|of| of.asked).collect();
    for (asked, wanted) in asked.iter().zip([4.16, 4.0, 4.4]) {
        assert!((asked - wanted).abs() < 1e-9, "{asked} {wanted}");
    }
    let films: Vec<_> =
        found.causes.iter().filter(|of| matches!(of.kind, Kind::Film { .. })).collect();
    // The plain one has no film.
    assert_eq!(films.len(), 2);
    let of = |mm: f64| films.iter().find(|of| of.nominal == Some(mm)).unwrap();
    assert!(of(0.08).words.contains("0.08 mm") && of(0.2).words.contains("0.2 mm"));
    // Half of the tolerance, and a quarter of the range.
    assert!((of(0.2).before - 1.96 * 0.05).abs() < 1e-9, "{}", of(0.2).before);
    assert!(of(0.08).by.abs() < 0.02 && of(0.2).by < -0.08, "{films:?}");
}

/// Measurements of a part that is not made, with `--only` or because it is stopped, stop nothing: a
/// note says that they are left out.
#[test]
fn measures_of_what_is_not_made_are_not_used() {
    let measures = measure("angle-pump", "thickness", "", "4.2 mm")
        + &measure("channel-pump", "thickness", "", "4.1 mm");
    let (mut job, mut solved) = solved_with(&measures, SHOP).unwrap();
    solved.remove(ANGLE);
    let found = as_built::found(&job, &solved).unwrap().unwrap();
    assert_eq!(found.measures.len(), 1);
    assert_eq!(found.measures[0].part, "channel-pump");
    assert!((found.measures[0].is - 4.1).abs() < 1e-9);
    assert_eq!(found.left_out, ["angle-pump, thickness"]);
    // A name that is wrong is not taken for one of those.
    job.as_built[0].part.0 = "angle-pumps".into();
    assert_eq!(as_built::found(&job, &solved).unwrap_err()[0].code, "unknown-part");
}
