//! Loads on parts of the shipped recipes: figures computed by hand, relations that hold
//! whatever the measures are, and choices made by a load.

use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::diag::Weight;
use platewright::job;
use platewright::job::Job;
use platewright::job::Shelf;
use platewright::job::Solved;
use platewright::recipe::SHIPPED;
use platewright::strength::CAUTION;
use platewright::strength::Limit;
use platewright::strength::Verdict;
use platewright::table::Tables;
use proptest::prelude::*;

type Solution = (Job, Vec<Solved>, Vec<Finding>);

/// Recipes for the tests alone.
const OURS: &[(&str, &str)] =
    &[("lug", LUG), ("clamped", CLAMPED), ("neck", NECK), ("three-bolts", THREE_BOLTS)];

/// An eye somewhere above a welded foot.
const LUG: &str = r#"
about = "Plate with an eye, welded along its foot"
[inputs]
left = { kind = "length", about = "eye to the left side" }
right = { kind = "length", about = "eye to the right side" }
up = { kind = "length", about = "eye to the upper side" }
down = { kind = "length", about = "eye to the foot" }
hole = { kind = "length", about = "diameter of the eye" }
[face.plate]
blank = [ { add = "polygon", corners = [ { at = ["-left", "0 mm"], edge = "foot" }, ["right", "0 mm"], ["right", "down + up"], ["-left", "down + up"] ] } ]
holes = [ { name = "eye", at = ["0 mm", "down"], diameter = "hole", role = "eye" } ]
weld = [ { edge = "foot", leg = "3 mm" } ]
"#;

/// The same for a bolt that clamps.
const CLAMPED: &str = r#"
about = "Plate with a bolt, welded along its foot"
[inputs]
left = { kind = "length", about = "bolt to the left side" }
right = { kind = "length", about = "bolt to the right side" }
up = { kind = "length", about = "bolt to the upper side" }
down = { kind = "length", about = "bolt to the foot" }
hole = { kind = "length", about = "diameter of the hole" }
[face.plate]
blank = [ { add = "polygon", corners = [ { at = ["-left", "0 mm"], edge = "foot" }, ["right", "0 mm"], ["right", "down + up"], ["-left", "down + up"] ] } ]
holes = [ { name = "bolt", at = ["0 mm", "down"], diameter = "hole" } ]
weld = [ { edge = "foot", leg = "6 mm" } ]
"#;

/// 60 × 130 with its eye 100 above the foot; half way narrower, or with an opening.
const NECK: &str = r#"
about = "Plate with a neck or an opening between its eye and its foot"
[inputs]
neck = { kind = "length", default = "60 mm", about = "width from 45 to 60 above the foot" }
opening = { kind = "length", default = "0 mm", about = "diameter of an opening 52 above the foot" }
[face.plate]
blank = [
  { add = "polygon", corners = [ { at = ["-30 mm", "0 mm"], edge = "foot" }, ["30 mm", "0 mm"], ["30 mm", "30 mm"], ["neck / 2", "45 mm"], ["neck / 2", "60 mm"], ["30 mm", "75 mm"], ["30 mm", "130 mm"], ["-30 mm", "130 mm"], ["-30 mm", "75 mm"], ["-neck / 2", "60 mm"], ["-neck / 2", "45 mm"], ["-30 mm", "30 mm"] ], when = "neck < 60 mm" },
  { add = "rectangle", width = "60 mm", height = "130 mm", at = ["0 mm", "65 mm"], edges = { bottom = "foot" }, when = "neck >= 60 mm" },
  { cut = "disc", radius = "opening / 2", at = ["0 mm", "52 mm"], when = "opening > 0 mm" },
]
holes = [ { name = "eye", at = ["0 mm", "100 mm"], diameter = "12.5 mm", role = "eye" } ]
weld = [ { edge = "foot", leg = "5 mm" } ]
"#;

/// 100 wide, three holes for M16, 30 apart, the one between `back` nearer to the foot.
const THREE_BOLTS: &str = r#"
about = "Plate with three bolts in a row or staggered, welded along its foot"
[inputs]
back = { kind = "length", default = "0 mm", about = "how far the bolt in the middle is set back" }
[face.plate]
blank = [ { add = "polygon", corners = [ { at = ["-50 mm", "-200 mm"], edge = "foot" }, ["50 mm", "-200 mm"], ["50 mm", "20 mm"], ["-50 mm", "20 mm"] ] } ]
holes = [ { name = "b 1", at = ["-30 mm", "0 mm"], diameter = "18 mm" }, { name = "b 2", at = ["30 mm", "0 mm"], diameter = "18 mm" }, { name = "b 3", at = ["0 mm", "-back"], diameter = "18 mm" } ]
weld = [ { edge = "foot", leg = "5 mm" } ]
"#;

/// A job of these sheets (material, thickness in mm) and this body.
fn solve(sheets: &[(&str, f64)], body: &str) -> Result<Solution, Vec<Finding>> {
    let sheet = |(material, mm): &(&str, f64)| {
        format!(
            "[[sheet]]\nname = \"{material} {mm} mm\"\nmaterial = \"{material}\"\n\
             thickness = \"{mm} mm\"\nbend_radius = \"{} mm\"\nstock = [ {{ size = [\"900 mm\", \"900 mm\"] }} ]\n\n",
            2.0 * mm
        )
    };
    let sheets: String = sheets.iter().map(sheet).collect();
    let text = format!("process = \"waterjet\"\n\n{sheets}{body}");
    let tables = Tables::shipped();
    let recipe = |wanted: &str| {
        let mut recipes = SHIPPED.iter().chain(OURS);
        let (name, text) = recipes.find(|(name, _)| *name == wanted)?;
        Some((format!("{name}.toml"), (*text).to_owned()))
    };
    let shelf = Shelf {
        file: &|_| None,
        drawing: &|_| None,
        recipe: &recipe,
        names: &Vec::new,
        tables: &tables,
    };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", &text);
    let job = job::read("job", source, &text, &shelf, &mut sources)?;
    let (solved, found) = job::solve(&job, &shelf, &mut sources, &|| {})?;
    Ok((job, solved, found))
}

/// The verdict on the one load of a job with one part.
fn verdict(material: &str, mm: f64, part: &str, load: &str) -> Verdict {
    let body = format!(
        "[[part]]\nname = \"one\"\nsheet = \"{material} {mm} mm\"\n{part}\n\n\
         [[load]]\nname = \"case\"\npart = \"one\"\n{load}\n"
    );
    let (_, solved, _) =
        solve(&[(material, mm)], &body).unwrap_or_else(|found| panic!("{body}\n{found:#?}"));
    let verdicts: Vec<_> = solved.into_iter().flat_map(|s| s.verdicts).collect();
    assert_eq!(verdicts.len(), 1, "{body}");
    verdicts[0].1.clone()
}

fn limit<'a>(verdict: &'a Verdict, rule: &str) -> &'a Limit {
    let found = verdict.limits.iter().find(|l| l.rule.ends_with(rule));
    found.unwrap_or_else(|| panic!("no limit {rule}: {:#?}", verdict.limits))
}

fn near(is: f64, by_hand: f64) {
    assert!((is / by_hand - 1.0).abs() < 5e-4, "{is}, by hand {by_hand}");
}

/// The towing tab of the demo: S235 6 mm, eye of 24 mm radius round a 13 mm hole, M12 pin.
#[test]
fn the_towing_tab_computed_by_hand() {
    let part = r#"recipe = "tab"
given = { bolt = "M12", fit = "close", reach = "32 mm", foot = "60 mm", eye = "24 mm" }"#;
    let load = r#"hole = "eye"
force = "14 kN"
direction = "pull"
grade = "8.8"
leg = "4 mm""#;
    let verdict = verdict("S235", 6.0, part, load);
    // a = 24 − 6.5 = 17.5; be = min(2·6 + 16, 17.5 / 1.33) = 13.158.
    near(limit(&verdict, "D5-1").nominal, 360.0 * 2.0 * 6.0 * 17.5 / 1.33);
    near(limit(&verdict, "D5-2").nominal, 0.6 * 360.0 * 2.0 * 6.0 * (17.5 + 6.0));
    near(limit(&verdict, "J7-1").allowable(), 1.8 * 235.0 * 12.0 * 6.0 / 2.0);
    // The flanks lean out to the foot: 24 / cos 9.98° each side of the middle.
    near(limit(&verdict, "D2-1").nominal, 235.0 * 6.0 * 2.0 * 24.0 / 0.984_87);
    near(limit(&verdict, "J4-1").allowable(), 235.0 * 60.0 * 6.0 / 1.67);
    // 0.60 · 70 ksi = 289.58; a fillet each side, loaded square: 1.5 times.
    near(limit(&verdict, "J2-5").nominal, 289.58 * 1.5 * 0.707 * 4.0 * 120.0);
    near(limit(&verdict, "J3-1").nominal, 0.45 * 800.0 * 113.097);
    let governing = verdict.governing().unwrap();
    assert_eq!(governing.rule, "AISC 360-16 J7-1");
    near(verdict.margin(), 15_228.0 / 14_000.0 - 1.0);
}

/// The demo's ears of a tie rod, coped to a 48.3 mm tube, pushed along it with 4.5 kN.
#[test]
fn a_pair_of_ears_on_a_tube_computed_by_hand() {
    let part = r#"recipe = "clevis-plates"
given = { rod_end = "M10", spacer = "3 mm", reach = "34 mm", foot = "42 mm", tube = "48.3 mm", weld = "1/8 in" }"#;
    let load = "hole = \"eye\"\nforce = \"4.5 kN\"\ndirection = \"along\"\nwall = \"3.2 mm\"";
    let verdict = verdict("4130-N", 4.7625, part, load);
    assert_eq!(verdict.pieces, 2, "both ears share it");
    // The seam is an arc of radius 24.15 over a chord of 42: half angle 60.41°, length 50.92;
    // its centroid lies 24.15 − 24.15 · sin 60.41° / 1.0544 = 4.233 below the crest, so the
    // eye stands 38.233 off. Fillet of 1/8 in, two of them:
    let (reach, length) = (38.233, 50.924);
    let strength = 289.58 * 0.707 * 3.175;
    let (out, along): (f64, f64) = (reach * 6.0 / (2.0 * 42.0 * 42.0), 1.0 / (2.0 * length));
    near(limit(&verdict, "elastic").nominal, strength / (out * out + along * along).sqrt());
    assert!(verdict.margin() > 0.0);
    // 5.5 Fy t² at a lever of half the foot.
    let wall = verdict.wall.unwrap();
    near(wall.nominal, 5.5 * 344.738 * 3.2 * 3.2 / (reach / 21.0));
}

/// An angle's leg bent by a load on its two holes: 88.9 mm of 5052-H32 11 ga, 3/4 in out.
#[test]
fn a_leg_bent_at_its_heel_computed_by_hand() {
    let part = r#"recipe = "angle"
given = { width = "3-1/2 in", base = "1-1/2 in", leg = "2 in", bolt = "1/4", leg_holes = 2, pitch = "2 in", gauge = "3/4 in" }"#;
    let load = "hole = \"leg\"\nforce = \"60 lbf\"\ndirection = \"sideways\"";
    let verdict = verdict("5052-H32", 2.303_78, part, load);
    let plastic = 88.9 * 2.303_78 * 2.303_78 / 4.0;
    near(limit(&verdict, "F11-1").nominal, 158.579 * plastic / 19.05);
    assert_eq!(verdict.held, "`heel`");
}

/// Two M8 bolts in a row across the pull, 32 mm apart, 17 mm from the edge of 4 mm S235.
#[test]
fn two_bolts_tear_out_a_block_computed_by_hand() {
    let part = r#"recipe = "angle"
given = { width = "60 mm", base = "45 mm", leg = "45 mm", bolt = "M8", leg_holes = 2, pitch = "32 mm", gauge = "28 mm" }"#;
    let load = "hole = \"leg\"\nforce = \"5 kN\"\ndirection = \"pull\"";
    let verdict = verdict("S235", 4.0, part, load);
    // Each: 17 − 4.5 = 12.5 clear.
    near(limit(&verdict, "J3-6c").nominal, 2.0 * 1.2 * 12.5 * 4.0 * 360.0);
    near(limit(&verdict, "J3-6a").nominal, 2.0 * 2.4 * 8.0 * 4.0 * 360.0);
    // Holes count 11 mm: 60 − 22 of width is left.
    near(limit(&verdict, "J4-2").nominal, 360.0 * 4.0 * 38.0);
    // Out between the bolts: Agv 2·17, Anv 2·(17 − 5.5), Ant 32 − 11; out to one side: Agv 17,
    // Anv 11.5, Ant 32 + 14 − 16.5. Shear by rupture 0.6 · 360 · Anv, by yield 0.6 · 235 · Agv.
    let between = 4.0 * ((0.6 * 360.0 * 23.0_f64).min(0.6 * 235.0 * 34.0) + 360.0 * 21.0);
    let aside = 4.0 * ((0.6 * 360.0 * 11.5_f64).min(0.6 * 235.0 * 17.0) + 360.0 * 29.5);
    near(limit(&verdict, "J4-5").nominal, between.min(aside));
}

#[test]
fn the_other_method_gives_other_limits_and_factors() {
    let part = "recipe = \"tab\"\ngiven = { bolt = \"M12\", eye = \"24 mm\", reach = \"32 mm\", foot = \"60 mm\" }";
    let load =
        |more: &str| format!("hole = \"eye\"\nforce = \"1 kN\"\ndirection = \"pull\"\n{more}");
    let lifting = verdict("S235", 6.0, part, &load("method = \"ASME BTH-1\"\ncategory = \"C\""));
    near(limit(&lifting, "3-53").allowable(), 1.25 * 235.0 / 6.0 * 12.0 * 6.0);
    assert!(lifting.limits.iter().all(|l| l.factor >= 6.0), "{:#?}", lifting.limits);
    let usual = verdict("S235", 6.0, part, &load("method = \"ASME BTH-1\""));
    near(lifting.governing().unwrap().allowable() * 2.0, usual.governing().unwrap().allowable());
}

#[test]
fn welded_aluminium_counts_as_its_weld_leaves_it() {
    let part = "recipe = \"tab\"\ngiven = { bolt = \"M8\", reach = \"26 mm\" }";
    let far = "recipe = \"tab\"\ngiven = { bolt = \"M8\", reach = \"60 mm\" }";
    let load = "hole = \"eye\"\nforce = \"500 N\"\ndirection = \"pull\"";
    // 20 ksi = 137.895 beside the weld, 35 ksi = 241.317 away from it.
    let near_weld = verdict("6061-T6", 6.0, part, load);
    near(limit(&near_weld, "J7-1").nominal, 1.8 * 137.895 * 8.0 * 6.0);
    let away = verdict("6061-T6", 6.0, far, load);
    near(limit(&away, "J7-1").nominal, 1.8 * 241.317 * 8.0 * 6.0);
    near(limit(&away, "J4-1").nominal, 137.895 * 30.0 * 6.0);
    assert!(near_weld.assumed.iter().any(|words| words.contains("weld leaves it")));
}

#[test]
fn a_fillet_on_one_side_holds_nothing_sideways() {
    let part = "recipe = \"clevis-weldment\"";
    let load = "hole = \"eye\"\nforce = \"100 N\"\ndirection = \"sideways\"";
    let body = format!(
        "[[part]]\nname = \"one\"\nsheet = \"S235 5 mm\"\n{part}\n\n\
         [[load]]\nname = \"case\"\npart = \"one\"\n{load}\n"
    );
    let found = solve(&[("S235", 5.0)], &body).unwrap_err();
    let stop = found.iter().find(|f| f.code == "strength").unwrap();
    assert!(stop.headline.contains("bent open at its root"), "{}", stop.headline);
}

#[test]
fn a_load_makes_an_open_sheet_choose_and_says_why() {
    let body = r#"[[part]]
recipe = "tab"
name = "tow"
given = { bolt = "M12", fit = "close", reach = "32 mm", foot = "60 mm", eye = "24 mm" }
open = { sheet = ["S235 5 mm", "S235 6 mm"] }

[[load]]
name = "mud"
part = "tow"
hole = "eye"
force = "FORCE"
direction = "pull"
leg = "4 mm"
"#;
    let sheets = [("S235", 5.0), ("S235", 6.0)];
    let (job, solved, _) = solve(&sheets, &body.replace("FORCE", "14 kN")).unwrap();
    assert_eq!(job.sheets[solved[0].sheet].name, "S235 6 mm");
    let lighter = solved[0].choice.as_ref().unwrap().lighter.as_ref().unwrap();
    assert_eq!(lighter.code, "strength");
    assert!(lighter.headline.contains("bearing of the pin"), "{}", lighter.headline);
    let (job, solved, _) = solve(&sheets, &body.replace("FORCE", "12 kN")).unwrap();
    assert_eq!(job.sheets[solved[0].sheet].name, "S235 5 mm");
    let found = solve(&sheets, &body.replace("FORCE", "16 kN")).unwrap_err();
    assert_eq!(found[0].code, "nothing-fits");
    let (_, solved, _) =
        solve(&sheets, &body.replace("\"S235 5 mm\", ", "").replace("FORCE", "15 kN")).unwrap();
    assert_eq!(solved.len(), 1);
}

#[test]
fn rules_of_shape_are_cautions_and_a_strength_carries_its_caution() {
    let body = r#"[[part]]
recipe = "tab"
name = "one"
sheet = "S235 4 mm"
given = { bolt = "M12", reach = "40 mm" }

[[load]]
name = "mud"
part = "one"
hole = "eye"
force = "FORCE"
direction = "pull"
wall = "1 mm"
"#;
    let (_, _, found) = solve(&[("S235", 4.0)], &body.replace("FORCE", "3 kN")).unwrap();
    let said: Vec<&str> = found.iter().map(|f| f.headline.as_str()).collect();
    assert!(found.iter().all(|f| (f.weight, f.code) == (Weight::Caution, "strength")), "{said:?}");
    for words in
        ["larger than its pin is 1.5 mm", "on the wall of the tube", "wall would be dented"]
    {
        assert!(said.iter().any(|s| s.contains(words)), "{words}: {said:#?}");
    }
    let found = solve(&[("S235", 4.0)], &body.replace("FORCE", "30 kN")).unwrap_err();
    let stop = found.iter().find(|f| f.weight == Weight::Stop).unwrap();
    assert!(stop.notes.iter().any(|note| note.contains(CAUTION)), "{stop:#?}");
}

const DIRECTIONS: [&str; 6] = ["pull", "push", "along", "sideways", "35 deg", "-60 deg"];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// A thicker plate, or a larger eye, never holds less by any limit. Where two formulas
    /// of AISC 360 meet (buckling, E3) their published figures step by a thousandth.
    #[test]
    fn strength_never_falls_when_thickness_or_the_eye_grows(
        tenths in 20..75u32, more in 0..35u32, eye in 18..30u32, larger in 0..8u32,
        reach in 40..90u32, direction in 0..6usize, wide in 44..80u32,
    ) {
        let of = |tenths: u32, eye: u32| {
            let part = format!(
                "recipe = \"tab\"\ngiven = {{ bolt = \"M10\", eye = \"{eye} mm\", \
                 reach = \"{reach} mm\", foot = \"{wide} mm\" }}"
            );
            let load = format!(
                "hole = \"eye\"\nforce = \"1 N\"\ndirection = \"{}\"\ngrade = \"8.8\"\nleg = \"3 mm\"",
                DIRECTIONS[direction]
            );
            verdict("S235", f64::from(tenths) / 10.0, &part, &load)
        };
        let before = of(tenths, eye);
        for after in [of(tenths + more, eye), of(tenths, eye + larger)] {
            let (b, a) = (before.governing().unwrap(), after.governing().unwrap());
            prop_assert!(a.allowable() >= b.allowable() * 0.999, "{b:?} {a:?}");
            for limit in &before.limits {
                let same = after.limits.iter().find(|l| l.what == limit.what);
                if let Some(same) = same {
                    prop_assert!(same.allowable() >= limit.allowable() * 0.999, "{limit:?} {same:?}");
                }
            }
        }
    }
}

/// A post on a base plate, pushed 150 mm above it. By hand: four M8 bolts at ± 60, ± 40, a
/// push of 1 N along x: 0.25 across each, and ± 150 · 60 / (4 · 60²) = 0.625 along. A bolt of
/// 8.8 breaks at 0.75 · 800 · 50.265 = 30 159 N pulled and 0.45 · 800 · 50.265 = 18 096 N
/// sheared; both at once at (0.625 / 30 159 + 0.25 / 18 096) / 1.3 = 1 / 37 639.
#[test]
fn a_post_on_a_base_plate_computed_by_hand() {
    let part = "recipe = \"base-plate\"\ngiven = { width = \"160 mm\", height = \"120 mm\", inset = \"20 mm\", bolt = \"M8\", centre = \"30 mm\" }";
    let load = |above: &str| {
        format!(
            "at = [\"0 mm\", \"0 mm\"]\nabove = \"{above}\"\nforce = \"2 kN\"\ndirection = \"along\"\n\
             bolts_grade = \"8.8\""
        )
    };
    let high = verdict("S235", 6.0, part, &load("150 mm"));
    near(limit(&high, "J3-3b").nominal, 37_639.0);
    // Each of the bolts bears with 0.25, and has 20 − 4.5 of metal to the rim behind it.
    near(limit(&high, "J3-6a").nominal, 2.4 * 8.0 * 6.0 * 360.0 / 0.25);
    near(limit(&high, "J3-6c").nominal, 1.2 * 15.5 * 6.0 * 360.0 / 0.25);
    assert_eq!(high.held, "its other holes");
    // In the plane of the plate, nothing is pulled.
    let low = verdict("S235", 6.0, part, &load("0 mm"));
    assert!(low.limits.iter().all(|l| l.rule != "AISC 360-16 J3-3b"), "{low:#?}");
    assert!(
        low.limits.iter().any(|l| l.what == "bolt that holds it, sheared, thread in the plane")
    );
}

/// A load off the middle of the same plate twists it: 1 N up in the drawing, 90 mm aside, is
/// 90 about the middle; Σr² = 4 · (60² + 40²) = 20 800: 90 · 60 / 20 800 + 0.25 = 0.5096 up and
/// 90 · 40 / 20 800 = 0.1731 aside, 0.5382 together.
#[test]
fn a_load_off_the_middle_twists_its_bolts_as_computed_by_hand() {
    let part = "recipe = \"base-plate\"\ngiven = { width = \"160 mm\", height = \"120 mm\", inset = \"20 mm\", bolt = \"M8\" }";
    let load =
        "at = [\"90 mm\", \"0 mm\"]\nforce = \"2 kN\"\ndirection = \"pull\"\nbolts_grade = \"8.8\"";
    let verdict = verdict("S235", 6.0, part, load);
    let sheared = verdict.limits.iter().find(|l| l.what.starts_with("bolt that holds it, sheared"));
    near(sheared.unwrap().nominal, 0.45 * 800.0 * 50.265_5 / 0.538_2);
}

/// An angle that two M8 bolts hold, 28 mm from its heel outside, pulled up at its leg: its
/// force acts in the middle of 4 mm, 26 mm off the bolts, whose leg ends 17 mm beyond them: by
/// hand each bolt takes 0.5 + 26 / (2 · 17) = 1.2647, and bends half the leg with 13 N·mm at
/// the bolts, where 30 − 9 mm are left of it: 235 · 21 · 4² / 4 / 13 = 1518.5 N.
#[test]
fn an_angle_pulled_off_its_two_bolts_computed_by_hand() {
    let part = "recipe = \"angle\"\ngiven = { width = \"60 mm\", base = \"45 mm\", leg = \"45 mm\", bolt = \"M8\", base_holes = 2, leg_holes = 2, pitch = \"32 mm\", gauge = \"28 mm\" }";
    let load = "hole = \"leg\"\nforce = \"0.5 kN\"\ndirection = \"pull\"\nbolts = \"base\"\nbolts_grade = \"8.8\"";
    let verdict = verdict("S235", 4.0, part, load);
    let of = |what: &str| {
        let found = verdict.limits.iter().find(|l| l.what == what);
        found.unwrap_or_else(|| panic!("{what}: {:#?}", verdict.limits)).nominal
    };
    near(of("bolt that holds it, pulled apart"), 0.75 * 800.0 * 50.265_5 / 1.264_71);
    near(of("plate bent at the bolts that hold it"), 1518.5);
    assert_eq!(verdict.held, "`heel`", "the leg is looked at as well");
    assert!(verdict.assumed.iter().any(|words| words.contains("turns over its rim")));
}

#[test]
fn bolts_that_hold_a_part_are_named_for_those_who_give_no_grade() {
    let part = "recipe = \"base-plate\"\ngiven = { bolt = \"M8\" }";
    let load =
        "at = [\"0 mm\", \"0 mm\"]\nabove = \"60 mm\"\nforce = \"1 kN\"\ndirection = \"along\"";
    let verdict = verdict("S235", 6.0, part, load);
    assert!(verdict.not_judged.iter().any(|words| words.contains("bolts_grade")));
    assert!(verdict.limits.iter().all(|l| !l.what.starts_with("bolt")));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    /// The higher a load acts, the more it turns over what the bolts hold.
    #[test]
    fn bolts_that_hold_a_part_never_carry_more_from_higher_up(
        above in 0.0..300.0f64, more in 0.0..200.0f64,
    ) {
        let part = "recipe = \"base-plate\"\ngiven = { width = \"160 mm\", height = \"120 mm\", bolt = \"M8\" }";
        let carried = |above: f64| {
            let load = format!(
                "at = [\"10 mm\", \"0 mm\"]\nabove = \"{above} mm\"\nforce = \"1 kN\"\n\
                 direction = \"along\"\nbolts_grade = \"8.8\""
            );
            let verdict = verdict("S235", 6.0, part, &load);
            verdict.governing().unwrap().allowable()
        };
        prop_assert!(carried(above + more) <= carried(above) * (1.0 + 1e-9));
    }
}
