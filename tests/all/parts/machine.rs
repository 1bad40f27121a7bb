//! The machine round the parts: points, the values that follow from them, and the clearances
//! between bodies.

use crate::own;
use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::diag::Weight;
use platewright::geom::Point;
use platewright::job::Job;

/// Two rails of a frame, a fender beside them, and a link from rail to upright.
const FRAME: &str = r#"
process = "waterjet"
tape    = "2 mm"

[points]
rail_a  = ["0 mm", "0 mm", "600 mm"]
rail_b  = ["900 mm", "0 mm", "600 mm"]
low_a   = ["100 mm", "0 mm", "200 mm"]
low_b   = ["800 mm", "0 mm", "200 mm"]
foot    = ["300 mm", "0 mm", "200 mm"]
head    = { along = ["rail_a", "rail_b"], by = "420 mm" }
box     = ["0 mm", "200 mm", "450 mm"]
upright = ["620 mm", "230 mm", "450 mm"]
skin_1  = ["0 mm", "SKIN", "300 mm"]
skin_2  = ["700 mm", "SKIN", "300 mm"]
skin_3  = ["700 mm", "SKIN", "560 mm"]
skin_4  = ["0 mm", "SKIN", "560 mm"]

[[obstacle]]
name    = "rail"
shape   = "tube"
outside = "48.3 mm"
from    = "rail_a"
to      = "rail_b"

[[obstacle]]
name    = "lower rail"
shape   = "tube"
outside = "48.3 mm"
from    = "low_a"
to      = "low_b"

[[obstacle]]
name      = "fender"
shape     = "panel"
corners   = ["skin_1", "skin_2", "skin_3", "skin_4"]
thickness = "2 mm"

[[tube]]
name     = "strut"
outside  = "38 mm"
wall     = "2 mm"
from     = "foot"
to       = "head"
start    = { meets = "lower rail" }
end      = { meets = "rail" }

[[link]]
name    = "drag-link"
rod_end = "M10"
from    = "box"
to      = "upright"
"#;

fn frame(skin: &str) -> String {
    FRAME.replace("SKIN", skin)
}

fn asked(job: &str) -> Result<(Job, Vec<Finding>), Vec<Finding>> {
    let mut sources = Sources::default();
    let (job, (_, found)) = own::asked("", job, &mut sources)?;
    Ok((job, found))
}

fn clearances(found: &[Finding]) -> Vec<&Finding> {
    found.iter().filter(|finding| finding.code == "machine-clearance").collect()
}

/// Degrees of the strut, which rises 400 mm over a length, mm.
fn slope(over: f64) -> f64 {
    Point::new(over, 400.0).to_vec2().atan2().to_degrees()
}

/// The pin-to-pin length, the angles and the length of a coped tube are those of the points. By
/// hand: (620, 30, 0) from pin to pin; the strut rises 400 mm over 120 mm.
#[test]
fn lengths_and_copes_follow_from_the_points() {
    let (job, found) = asked(&frame("330 mm")).unwrap();
    assert!(clearances(&found).is_empty(), "{}", found[0].headline);
    let pins = (620.0_f64 * 620.0 + 30.0 * 30.0).sqrt();
    assert!((job.links[0].pins - pins).abs() < 1e-6, "{}", job.links[0].pins);
    let strut = &job.tubes[0];
    let long = (400.0_f64 * 400.0 + 120.0 * 120.0).sqrt();
    assert!((strut.length - long).abs() < 1e-6, "{}", strut.length);
    let angle = slope(120.0);
    for end in &strut.ends {
        let cope = end.as_ref().unwrap();
        assert!((cope.angle().degrees() - angle).abs() < 1e-6, "{}", cope.angle().degrees());
    }
    // The strut leans forward at either end: its heels are on opposite sides.
    assert!((strut.twist.degrees().abs() - 180.0).abs() < 1e-6, "{}", strut.twist.degrees());
}

/// A measured point is moved by 10 mm: every length, every angle and every gap moves with it.
#[test]
fn one_point_moved_changes_lengths_copes_and_clearances() {
    let (before, _) = asked(&frame("330 mm")).unwrap();
    let moved = frame("330 mm")
        .replace("[\"620 mm\", \"230 mm\", \"450 mm\"]", "[\"620 mm\", \"240 mm\", \"450 mm\"]")
        .replace("by = \"420 mm\"", "by = \"430 mm\"");
    let (after, _) = asked(&moved).unwrap();
    let pins = (620.0_f64 * 620.0 + 40.0 * 40.0).sqrt();
    assert!((after.links[0].pins - pins).abs() < 1e-6);
    let cope = |job: &Job| job.tubes[0].ends[0].as_ref().unwrap().angle().degrees();
    let wanted = slope(130.0);
    assert!((cope(&after) - wanted).abs() < 1e-6 && cope(&before) > cope(&after));
    assert!(after.tubes[0].length > before.tubes[0].length);
    // The head of its rod end is 14 mm off the metal of the fender, a little less screwed out, and
    // 10 mm nearer once the point is moved.
    let near = |skin: &str, y: &str| {
        let job = frame(skin).replace("\"230 mm\", \"450 mm\"", &format!("\"{y}\", \"450 mm\""));
        let (_, found) = asked(&job).unwrap();
        clearances(&found).first().map(|finding| finding.headline.clone())
    };
    let head = before.links[0].ends[1].rod_end.measure("head") / 2.0;
    let skin = format!("{} mm", 230.0 + head + 2.0 + 14.0);
    assert_eq!(near(&skin, "230 mm"), None);
    let words = near(&skin, "240 mm").unwrap();
    let left: f64 = words.split(' ').find_map(|word| word.parse().ok()).unwrap();
    assert!((2.0..4.0).contains(&left) && words.contains("13 mm is needed"), "{words}");
}

/// Contact is a stop; bodies named in `touches` are not compared.
#[test]
fn contact_stops_the_job_unless_the_bodies_are_joined() {
    let job = frame("240 mm");
    let found = asked(&job).unwrap_err();
    let found = clearances(&found);
    assert_eq!(found.len(), 1, "{:?}", found);
    assert_eq!(found[0].weight, Weight::Stop);
    assert!(found[0].headline.contains("link `drag-link`"), "{}", found[0].headline);
    assert!(found[0].headline.contains("panel `fender`"), "{}", found[0].headline);
    let joined = job.replace("to      = \"upright\"", "to = \"upright\"\ntouches = [\"fender\"]");
    assert!(clearances(&asked(&joined).unwrap().1).is_empty());
}

/// A corner of the fender 10 mm off the plane of the others is said. The head of the rod end is 8 mm off the
/// metal: a block that encloses the corner on either side would be 2 mm into it.
#[test]
fn a_panel_that_is_not_flat_is_said_and_does_not_collide_for_that() {
    let said = |skin: &str, moved: &str| {
        let job = frame(skin).replace(
            &format!("skin_1  = [\"0 mm\", \"{skin}\", \"300 mm\"]"),
            &format!("skin_1  = [\"0 mm\", \"{moved}\", \"300 mm\"]"),
        );
        let found = asked(&job).map_or_else(|found| found, |(_, found)| found);
        let own = clearances(&found).into_iter().map(|f| (f.weight, f.headline.clone()));
        own.collect::<Vec<_>>()
    };
    assert!(!said("254 mm", "254.5 mm").iter().any(|(_, words)| words.contains("in one plane")));
    let warped = said("254 mm", "264 mm");
    let wanted = "the corners of panel `fender` are not in one plane: one is 10 mm off";
    assert_eq!((warped[0].0, warped[0].1.as_str()), (Weight::Caution, wanted), "{warped:?}");
    assert!(warped.iter().all(|(weight, _)| *weight == Weight::Caution), "{warped:?}");
}

/// A panel needs 13 mm; a smaller `clearance` of its own does not lower that.
#[test]
fn a_panel_does_not_ask_for_less_than_is_usual() {
    let mut cautions = 0;
    for skin in (246..270).step_by(3) {
        let usual = frame(&format!("{skin} mm"));
        let own =
            usual.replace("thickness = \"2 mm\"", "thickness = \"2 mm\"\nclearance = \"1 mm\"");
        let said = |job: &str| {
            let found = asked(job).map_or_else(|found| found, |(_, found)| found);
            let own = clearances(&found).into_iter().map(|f| (f.weight, f.headline.clone()));
            own.collect::<Vec<_>>()
        };
        let usual = said(&usual);
        assert_eq!(said(&own), usual, "{skin}");
        cautions += usual.iter().filter(|(weight, _)| *weight == Weight::Caution).count();
    }
    assert!(cautions > 2, "{cautions}");
}

/// A link is checked wherever its far pin travels, and as it swings.
#[test]
fn travel_and_swing_of_a_link_count() {
    let still = frame("330 mm");
    assert!(clearances(&asked(&still).unwrap().1).is_empty());
    let to = "to      = \"upright\"";
    let travel = still
        .replace(to, "to = \"upright\"\ntravel = [\"bump\"]")
        .replace("box     =", "bump = [\"600 mm\", \"300 mm\", \"520 mm\"]\nbox     =");
    assert!(!clearances(&asked(&travel).unwrap().1).is_empty());
    let swing = still.replace(to, "to = \"upright\"\nswing = \"8 deg\"");
    let found = asked(&swing).map_or_else(|found| found, |(_, found)| found);
    assert!(!clearances(&found).is_empty());
}

/// The other side is the mirrored job: the same clearances, whichever of the two is typed.
#[test]
fn the_other_side_is_the_mirrored_job() {
    let planes = "mid_1 = [\"0 mm\", \"-100 mm\", \"0 mm\"]\n\
                  mid_2 = [\"500 mm\", \"-100 mm\", \"0 mm\"]\n\
                  mid_3 = [\"0 mm\", \"-100 mm\", \"500 mm\"]\n";
    let with = |text: String| {
        text.replace("tape ", "centre_plane = [\"mid_1\", \"mid_2\", \"mid_3\"]\ntape ")
            .replace("[points]\n", &format!("[points]\n{planes}"))
    };
    let both = |text: String| {
        text.replace("thickness = \"2 mm\"", "thickness = \"2 mm\"\nboth_sides = true")
            .replace("rod_end = \"M10\"", "rod_end = \"M10\"\nboth_sides = true\nquantity = 2")
    };
    let right = both(with(frame("255 mm")));
    // The same machine with its given side on the other one.
    let over = |name: &str, rest: &str| {
        format!(
            "{name}_0 = {rest}\n{name} = {{ mirror = \"{name}_0\", over = [\"mid_1\", \"mid_2\", \"mid_3\"] }}"
        )
    };
    let mut left = right.clone();
    for name in ["box", "upright", "skin_1", "skin_2", "skin_3", "skin_4"] {
        let line = left.lines().find(|line| line.starts_with(name)).unwrap().to_owned();
        let rest = line.split_once('=').unwrap().1.trim().to_owned();
        left = left.replace(&line, &over(name, &rest));
    }
    let [right, left] = [right, left].map(|job| asked(&job).unwrap().1);
    let words = |found: &[Finding]| -> Vec<String> {
        clearances(found).iter().map(|finding| finding.headline.clone()).collect()
    };
    assert_eq!(words(&right), words(&left));
    assert_eq!(words(&right).len(), 1, "{:?}", words(&right));
}

/// A plate is where its three points are, and is kept clear by a tube that passes it.
#[test]
fn a_part_stands_on_its_points_or_by_its_holes() {
    let own = "about = \"x\"\n[face.plate]\n\
               blank = [ { add = \"rectangle\", width = \"100 mm\", height = \"60 mm\" } ]\n\
               holes = [ { name = \"foot\", at = [\"-40 mm\", \"0\"], diameter = \"9 mm\" }, \
               { name = \"head\", at = [\"40 mm\", \"20 mm\"], diameter = \"9 mm\" }, \
               { name = \"side\", at = [\"40 mm\", \"-20 mm\"], diameter = \"9 mm\" } ]\n";
    let job = |on: &str, bar: &str| {
        format!(
            "process = \"waterjet\"\n[points]\nA = [\"0 mm\", \"0 mm\", \"100 mm\"]\n\
             B = [\"100 mm\", \"0 mm\", \"100 mm\"]\nC = [\"0 mm\", \"100 mm\", \"100 mm\"]\n\
             H1 = [\"-40 mm\", \"0 mm\", \"100 mm\"]\nH2 = [\"40 mm\", \"20 mm\", \"100 mm\"]\n\
             H3 = [\"40 mm\", \"-20 mm\", \"100 mm\"]\n\
             P = [\"-90 mm\", \"{bar}\", \"60 mm\"]\nQ = [\"90 mm\", \"{bar}\", \"60 mm\"]\n\
             [[obstacle]]\nname = \"bar\"\nshape = \"cylinder\"\noutside = \"20 mm\"\n\
             from = \"P\"\nto = \"Q\"\nclearance = \"30 mm\"\n\
             [[sheet]]\nname = \"steel\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\nstock = []\n\
             [[part]]\nrecipe = \"own\"\nname = \"own\"\nsheet = \"steel\"\non = {on}\n"
        )
    };
    let found = |on: &str, bar: &str| {
        let mut sources = Sources::default();
        let found = own::asked(own, &job(on, bar), &mut sources);
        found.map_or_else(|found| found, |(_, (_, found))| found)
    };
    // The plate ends 4 mm below its points, the bar 50 mm: 40 − 4 − 10 = 26 mm are left.
    let axes = "{ origin = \"A\", x = \"B\", side = \"C\" }";
    let holes = "{ holes = { foot = \"H1\", head = \"H2\", side = \"H3\" } }";
    for on in [axes, holes] {
        let found = found(on, "0 mm");
        let found = clearances(&found);
        assert_eq!(found.len(), 1, "{on}: {found:?}");
        let words = &found[0].headline;
        assert!(words.contains("within 26 mm") && words.contains("part `own`"), "{words}");
    }
    // Beside the plate: the corner at y = 30 and z = 96 is √(45² + 36²) − 10 from the axis.
    let beside = found(axes, "50 mm");
    assert!(clearances(&beside).is_empty(), "{beside:?}");
    let near = found(axes, "45 mm");
    let words = &clearances(&near)[0].headline;
    assert!(words.contains("within 29 mm"), "{words}");
    // A hole that is 6 mm from its point is no measurement of it.
    let wrong = found(&holes.replace("H3", "C"), "0 mm");
    assert!(
        wrong.iter().any(|f| f.headline.contains("from its point") && f.weight == Weight::Stop)
    );
}

/// Names of points where values are typed; wrong ones are reported with the nearest.
#[test]
fn texts_of_a_job_say_lengths_by_points() {
    let job = frame("330 mm").replace(
        "rod_end = \"M10\"",
        "rod_end = \"M10\"\nengagement = \"distance(skin_3, skin_2) / 13\"",
    );
    let (job, _) = asked(&job).unwrap();
    assert!((job.links[0].ends[0].engagement - 20.0).abs() < 1e-9);
    let wrong = frame("330 mm").replace("from    = \"box\"", "from    = \"boks\"");
    let found = asked(&wrong).unwrap_err();
    assert_eq!(found[0].code, "unknown-point");
    assert!(found[0].help.as_deref().unwrap().contains("box"), "{found:?}");
    let wrong =
        frame("330 mm").replace("wall     = \"2 mm\"", "wall = \"distance(box, upright) + 3 deg\"");
    assert_eq!(asked(&wrong).unwrap_err()[0].code, "points");
}

/// A plate of 120 × 120 mm square to a tube of 48.3 mm, with its middle so far from the axis: at 84.2 mm it
/// touches, at 60 its edge is on the axis.
fn plate_at_a_tube(x: f64, keys: &str) -> String {
    format!(
        "process = \"laser\"\nbench_list = true\n[points]\nfoot = [\"0 mm\", \"0 mm\", \"-500 mm\"]\nhead = [\"0 mm\", \"0 mm\", \"500 mm\"]\n\
         o = [\"{x} mm\", \"0 mm\", \"0 mm\"]\nx = [\"500 mm\", \"0 mm\", \"0 mm\"]\ns = [\"{x} mm\", \"100 mm\", \"0 mm\"]\n\
         [[tube]]\nname = \"leg\"\ntube = \"48.3 x 2.6\"\nfrom = \"foot\"\nto = \"head\"\nmaterial = \"S235\"\n\
         [[sheet]]\nname = \"s\"\nmaterial = \"S235\"\nthickness = \"4 mm\"\nstock = [ {{ size = [\"500 mm\", \"400 mm\"] }} ]\n\
         [[part]]\nrecipe = \"base-plate\"\nname = \"b\"\nsheet = \"s\"\ngiven = {{ bolt = \"M4\", width = \"120 mm\", height = \"120 mm\" }}\n{keys}\
         on = {{ origin = \"o\", x = \"x\", side = \"s\" }}\n"
    )
}

#[test]
fn a_part_that_penetrates_its_tube_is_a_stop() {
    let of = |x: f64, keys: &str| {
        let found = match asked(&plate_at_a_tube(x, keys)) {
            Ok((_, found)) | Err(found) => found,
        };
        clearances(&found).iter().map(|f| (f.weight, f.headline.clone())).collect::<Vec<_>>()
    };
    let touches = "touches = [\"leg\"]\n";
    assert_eq!(of(84.2, touches), []);
    let wanted = "part `b` penetrates tube `leg` by more than 1 mm";
    assert_eq!(of(60.0, touches), [(Weight::Stop, wanted.to_owned())]);
    // The edge of the plate is at the outside at 84.15, 0.95 and 1.05 mm into the tube below.
    assert_eq!(of(83.2, touches), []);
    assert_eq!(of(83.1, touches), [(Weight::Stop, wanted.to_owned())]);
    let free = of(60.0, "");
    assert!(free.len() == 1 && free[0].0 == Weight::Stop, "{free:?}");
}

/// The same plate narrower than the tube, in its middle, goes in and comes out; from one side it does not; wider
/// than the tube it cuts it in two.
#[test]
fn a_part_passes_through_both_walls_of_its_tube_or_says_why_not() {
    let of = |x: f64, width: &str| {
        let text = plate_at_a_tube(x, "through = [\"leg\"]\n");
        let text = text.replace("height = \"120 mm\"", &format!("height = \"{width} mm\""));
        let found = match asked(&text) {
            Ok((_, found)) | Err(found) => found,
        };
        clearances(&found).iter().map(|f| (f.weight, f.headline.clone())).collect::<Vec<_>>()
    };
    let caution = |words: &str| [(Weight::Caution, words.to_owned())];
    assert_eq!(of(0.0, "30"), []);
    assert_eq!(of(10.0, "30"), []);
    let one = "part `b` goes into `leg` and does not come out on the other side";
    assert_eq!(of(60.0, "120"), caution(one));
    let none = "part `b` is to pass through `leg`, but does not reach its wall";
    assert_eq!(of(84.2, "120"), caution(none));
    let severed = "the slot for part `b` would cut `leg` in two";
    assert_eq!(of(0.0, "120"), [(Weight::Stop, severed.to_owned())]);
    let inside = plate_at_a_tube(0.0, "through = [\"leg\"]\n").replace("\"120 mm\"", "\"28 mm\"");
    let inside = asked(&inside).map_or_else(|found| found, |(_, found)| found);
    assert!(
        clearances(&inside)[0].headline.ends_with("inside its bore: no slot is cut"),
        "{inside:?}"
    );
}

/// The tube is cut for the part that passes through it.
#[test]
fn a_slot_is_in_the_lists_of_tubes_and_of_the_bench() {
    let lists = |keys: &str| {
        let made = own::make("", &plate_at_a_tube(60.0, keys));
        let made = made.unwrap_or_else(|found| panic!("{}", found[0].headline));
        ["tubes.csv", "bench.csv"].map(|name| {
            let file = made.files.iter().find(|file| file.name == name).unwrap();
            String::from_utf8_lossy(&file.bytes).into_owned()
        })
    };
    let [tubes, bench] = lists("through = [\"leg\"]\n");
    // The plate lies on z = 0 and is drawn downwards, the tube begins 500 mm below.
    assert!(tubes.contains("slot in one wall for b, 496 mm to 500 mm from the start"), "{tubes}");
    let wanted = "fit,leg,1,\"Cut a slot in one wall for b (4 mm thick), 496 mm to 500 mm from the start: \
                  hold the part in place and scribe round it.\"";
    assert!(bench.contains(wanted), "{bench}");
    let alone = plate_at_a_tube(60.0, "").replace("[[tube]]", "[[tube]]\nthrough = [\"leg\"]");
    let wanted = "only a part passes through a tube in a slot";
    assert_eq!(asked(&alone).unwrap_err()[0].headline, wanted);
}

/// Both tubes of a part with two places are looked at, and each place.
#[test]
fn every_place_of_a_part_passes_through_a_tube() {
    let second = "[[tube]]\nname = \"far\"\ntube = \"48.3 x 2.6\"\nfrom = \"foot2\"\nto = \"head2\"\nmaterial = \"S235\"\n[[sheet]]";
    let of = |through: &str, o2: f64| {
        let text = plate_at_a_tube(0.0, &format!("through = [{through}]\n"));
        let points = format!(
            "[points]\nfoot2 = [\"800 mm\", \"0 mm\", \"-500 mm\"]\nhead2 = [\"800 mm\", \"0 mm\", \"500 mm\"]\n\
             o2 = [\"{o2} mm\", \"0 mm\", \"0 mm\"]\nx2 = [\"1900 mm\", \"0 mm\", \"0 mm\"]\ns2 = [\"{o2} mm\", \"100 mm\", \"0 mm\"]\n"
        );
        let text = text
            .replace("height = \"120 mm\"", "height = \"30 mm\"")
            .replace("[points]\n", &points);
        let text = text.replace("[[sheet]]", second).replace(
            "on = { origin = \"o\", x = \"x\", side = \"s\" }",
            "on = [ { origin = \"o\", x = \"x\", side = \"s\" }, { origin = \"o2\", x = \"x2\", side = \"s2\" } ]",
        );
        let found = asked(&text).map_or_else(|found| found, |(_, found)| found);
        clearances(&found).iter().map(|f| f.headline.clone()).collect::<Vec<_>>()
    };
    assert_eq!(of("\"leg\", \"far\"", 800.0), Vec::<String>::new());
    let none = "part `b` is to pass through `leg`, but does not reach its wall";
    assert_eq!(of("\"leg\"", 400.0), [none]);
    let far = "part `b` is to pass through `far`, but does not reach its wall";
    assert!(of("\"leg\", \"far\"", 0.0).contains(&far.to_owned()));
}

/// A foot on a box touches it and is not in it; a plate through a panel is.
#[test]
fn a_part_penetrates_a_box_or_a_panel_that_it_touches() {
    let of = |x: f64, obstacle: &str| {
        let text = plate_at_a_tube(x, "touches = [\"body\"]\n");
        let points = "[points]\nc1 = [\"0 mm\", \"-200 mm\", \"-200 mm\"]\nc2 = [\"0 mm\", \"200 mm\", \"-200 mm\"]\n\
                      c3 = [\"0 mm\", \"200 mm\", \"200 mm\"]\nc4 = [\"0 mm\", \"-200 mm\", \"200 mm\"]\n";
        let text = text.replace("[points]\n", points);
        let tube = text.find("[[tube]]").unwrap();
        let sheet = text.find("[[sheet]]").unwrap();
        let text = format!(
            "{}[[obstacle]]\nname = \"body\"\n{obstacle}\n{}",
            &text[..tube],
            &text[sheet..]
        );
        let found = asked(&text).map_or_else(|found| found, |(_, found)| found);
        clearances(&found).iter().map(|f| f.headline.clone()).collect::<Vec<_>>()
    };
    let none = Vec::<String>::new();
    // The face of the box at x = 0; its metal is behind it.
    let block = "shape = \"box\"\non = { origin = \"c1\", x = \"c2\", side = \"c4\" }\nsize = [\"400 mm\", \"400 mm\", \"100 mm\"]";
    let in_box = "part `b` penetrates obstacle `body` by more than 1 mm";
    // y is up on the frame of the box, so that it rises along x.
    assert_eq!(of(-59.5, block), none);
    assert_eq!(of(-57.0, block), [in_box]);
    assert_eq!(of(159.5, block), none);
    let panel =
        "shape = \"panel\"\ncorners = [\"c1\", \"c2\", \"c3\", \"c4\"]\nthickness = \"2 mm\"";
    assert_eq!(of(60.0, panel), none);
    assert_eq!(of(61.0, panel), none);
    assert_eq!(of(57.0, panel), ["part `b` penetrates panel `body` by more than 1 mm"]);
}

/// A tube of which none is made is there, and in no list.
#[test]
fn a_tube_of_which_none_is_made_is_in_no_list() {
    let text = plate_at_a_tube(84.2, "touches = [\"leg\"]\n");
    let end = "[[tube_end]]\ntube = \"leg\"\nstub = \"spigot\"\n[[tube]]\nname = \"spigot\"\noutside = \"42 mm\"\nwall = \"2 mm\"\n\
               length = \"100 mm\"\nmaterial = \"S235\"\n";
    let names = |quantity: &str| {
        let text =
            text.replace("name = \"leg\"", &format!("name = \"leg\"\nquantity = {quantity}"));
        let made = own::make("", &format!("{text}{end}"));
        let made = made.unwrap_or_else(|found| panic!("{}", found[0].headline));
        let rows = |name: &str| {
            let file = made.files.iter().find(|file| file.name == name).unwrap();
            String::from_utf8_lossy(&file.bytes).lines().filter(|row| row.contains("leg")).count()
        };
        [rows("tubes.csv"), rows("bench.csv")]
    };
    let [cut, bench] = names("1");
    assert!(cut == 1 && bench > 0, "{cut} {bench}");
    assert_eq!(names("0"), [0, 0]);
}

/// A branch 300 mm along the axis of a main that is coped itself: the tape goes to its long point.
#[test]
fn a_branch_is_placed_from_the_start_of_its_main_as_cut() {
    let points = "process = \"laser\"\nbench_list = true\n[points]\na = [\"0 mm\", \"0 mm\", \"0 mm\"]\nb = [\"0 mm\", \"0 mm\", \"600 mm\"]\n\
                  p = [\"0 mm\", \"-300 mm\", \"0 mm\"]\nq = [\"0 mm\", \"300 mm\", \"0 mm\"]\nm = [\"0 mm\", \"0 mm\", \"300 mm\"]\nn = [\"400 mm\", \"0 mm\", \"300 mm\"]\n";
    let tube = |name: &str, size: &str, [from, to]: [&str; 2], start: &str| {
        format!(
            "[[tube]]\nname = \"{name}\"\n{size}\nfrom = \"{from}\"\nto = \"{to}\"\nmaterial = \"S235\"\n{start}\n"
        )
    };
    let rail = tube("rail", "tube = \"48.3 x 2.6\"", ["p", "q"], "");
    let bench = |start: &str| {
        let text = format!(
            "{points}{rail}{}{}",
            tube("post", "tube = \"38 x 2\"", ["a", "b"], start),
            tube(
                "branch",
                "outside = \"30 mm\"\nwall = \"2 mm\"",
                ["m", "n"],
                "start = { meets = \"post\" }"
            )
        );
        let made = own::make("", &text).unwrap_or_else(|found| panic!("{}", found[0].headline));
        let file = made.files.iter().find(|file| file.name == "bench.csv").unwrap();
        String::from_utf8_lossy(&file.bytes).into_owned()
    };
    let square = bench("touches = [\"rail\"]");
    assert!(square.contains("axis 300 mm from the start of post"), "{square}");
    // 38 mm square on 48.3 mm: the long point is √(24.15² − 19²) = 14.91 mm from the axis of the rail.
    let coped = bench("start = { meets = \"rail\" }");
    assert!(coped.contains("from the long point at the start of post"), "{coped}");
    let said = coped.split(" from the long point").next().unwrap().rsplit("axis ").next().unwrap();
    let mm: f64 = said.trim_end_matches(" mm").parse().unwrap();
    assert!((mm - 285.09).abs() <= 0.5, "{said}");
}
