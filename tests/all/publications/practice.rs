//! Common practice of the trade: what fabricators do without a calculation, and what the
//! program says of it. No publication is behind these; where one disagreed, it would win.

use platewright::diag::Finding;
use platewright::diag::Weight;
use platewright::job::Shelf;
use platewright::part::HoleSize;
use platewright::table::Tables;
use platewright::workshop::Ready;
use platewright::workshop::Stopped;
use platewright::workshop::Workshop;

const SHOP: &str = include_str!("../../../parts/shop.toml");

/// A job of the shipped tables and the demo's shop, solved.
fn solve(text: &str) -> Result<Ready, Stopped> {
    solve_with(&Tables::shipped(), SHOP, text)
}

fn solve_with(tables: &Tables, shop: &str, text: &str) -> Result<Ready, Stopped> {
    let shop = |name: &str| (name == "shop.toml").then(|| (name.to_owned(), shop.to_owned()));
    let shelf = Shelf { file: &shop, ..Shelf::shipped(tables) };
    Workshop::new(shelf).read("job", "job.toml", text)?.solve()
}

fn clean(text: &str) -> Ready {
    let ready = solve(text).unwrap_or_else(|stopped| panic!("{stopped}\n{text}"));
    assert_eq!(ready.findings, [], "{text}");
    ready
}

fn stop(result: Result<Ready, Stopped>, code: &str) -> Finding {
    let Err(stopped) = result else { panic!("{code} did not stop") };
    let found = stopped.findings.iter().find(|f| f.code == code && f.weight == Weight::Stop);
    found.unwrap_or_else(|| panic!("no {code}: {stopped}")).clone()
}

/// One part on one sheet.
fn one(metal: &str, thickness: &str, coating: &str, part: &str) -> String {
    format!(
        "process = \"waterjet\"\ncoating = \"{coating}\"\n[[sheet]]\nname = \"sheet\"\n\
         material = \"{metal}\"\nthickness = \"{thickness}\"\nstock = []\n[[part]]\n\
         name = \"part\"\nsheet = \"sheet\"\n{part}\n"
    )
}

/// A metal is found by the names on the shelf. One without its temper is not guessed: each temper
/// that there is can be chosen.
#[test]
fn metals_are_found_by_the_names_on_the_shelf() {
    let tables = Tables::shipped();
    let row = |name: &str| tables.row("material", name).map(|row| row.name().to_owned());
    for (name, of) in [
        ("316L", "1.4404"),
        ("316 l", "1.4404"),
        ("1.0976", "S355MC"),
        ("EN AW-5083-H321", "5083-H321"),
        ("1.4301", "304"),
    ] {
        assert_eq!(row(name).as_deref(), Some(of), "{name}");
    }
    let plate = "recipe = \"gusset\"\nquantity = 1";
    for (metal, tempers) in
        [("5754", ["5754-H111", "5754-H22"]), ("5083", ["5083-H111", "5083-H321"])]
    {
        assert_eq!(row(metal), None);
        let finding = stop(solve(&one(metal, "2 mm", "powder", plate)), "unknown-row");
        let help = finding.help.unwrap_or_default();
        assert_eq!(help, format!("write `{}` or `{}`", tempers[0], tempers[1]));
        let fixes: Vec<&str> = finding.fixes.iter().map(|fix| fix.value.as_str()).collect();
        assert_eq!(fixes, tempers);
    }
}

/// Rod ends are set about three quarters in, which leaves room to adjust both ways. The thread of
/// M16 is short, and its bung long.
#[test]
fn rod_ends_about_three_quarters_in_leave_room_both_ways() {
    for rod_end in ["M8", "M10", "M12", "M16", "5/16", "3/8", "1/2", "5/8"] {
        let job = format!(
            "process = \"waterjet\"\n[[link]]\nname = \"link\"\npins = \"700 mm\"\n\
             rod_end = \"{rod_end}\"\n"
        );
        let ready = clean(&job);
        let link = &ready.job.links[0];
        let share = link.ends[0].engagement / link.ends[0].bung.measure("length");
        assert!((0.64..=0.76).contains(&share), "{rod_end}: {share}");
        let setting = link.setting();
        let (longer, shorter) = (setting.longest - link.pins, link.pins - setting.shortest);
        assert!(longer > 5.0 && shorter > 5.0, "{rod_end}: {longer} {shorter}");
    }
}

/// About half an inch from a frame tube to a body panel is plenty: asked for, it is kept, and
/// a hair less stops.
#[test]
fn half_an_inch_to_a_body_panel_is_asked_for_and_kept() {
    let tab = |panel: &str| {
        let part = format!(
            "recipe = \"tab\"\ngiven = {{ reach = \"30 mm\" }}\nobstacles = [ {{ name = \"panel\", \
             corners = [[\"-100 mm\", \"{panel}\"], [\"100 mm\", \"{panel}\"], \
             [\"100 mm\", \"90 mm\"], [\"-100 mm\", \"90 mm\"]], clearance = \"1/2 in\" }} ]"
        );
        one("S235", "4 mm", "0 mm", &part)
    };
    // The eye of M8, radius 13.5, ends at 43.5; half an inch further are 56.2.
    clean(&tab("56.21 mm"));
    let finding = stop(solve(&tab("56.19 mm")), "obstacle");
    assert!(finding.headline.contains("panel"), "{finding:?}");
}

/// A flush cap whose weld is ground off stays under the outside of its tube and on its wall,
/// for every round tube of the table.
#[test]
fn a_flush_cap_stays_under_the_outside_and_on_the_wall() {
    let tables = Tables::shipped();
    let mut looked = 0;
    let tubes = tables.table("tube").unwrap().rows().filter(|t| t.text("shape") == Some("round"));
    for tube in tubes {
        let (outside, wall) = (tube.measure("outside"), tube.measure("wall"));
        let part = format!(
            "recipe = \"end-cap\"\ngiven = {{ outside = \"{outside} mm\", wall = \"{wall} mm\", \
             seat = \"none\" }}"
        );
        let ready = clean(&one("S235", "3 mm", "0 mm", &part));
        let size = ready.solved[0].flat.region.bounds();
        let across = size.max.x - size.min.x;
        assert!(across < outside && across > outside - 2.0 * wall, "{}: {across}", tube.name());
        looked += 1;
    }
    assert!(looked > 50);
}

/// A cap that would drop into its tube stops: 2 × 0.035 in, drawn 1 mm smaller all round.
#[test]
fn a_cap_smaller_than_the_bore_stops() {
    let part = "recipe = \"end-cap\"\ngiven = { outside = \"2 in\", wall = \"0.035 in\", \
                undersize = \"1 mm\", seat = \"none\" }";
    let finding = stop(solve(&one("S235", "3 mm", "0 mm", part)), "requirement");
    assert!(finding.help.unwrap().contains("`undersize = \"0.5 mm\"`"));
}

/// The usual captured nut is welded behind a plain disc with a hole for the bolt.
#[test]
fn a_nut_welded_behind_a_plain_disc_is_a_hole_for_its_bolt() {
    let part = "recipe = \"end-cap\"\ngiven = { outside = \"48.3 mm\", wall = \"2.6 mm\", \
                nut = \"M12\", seat = \"behind\" }";
    let ready = clean(&one("S235", "5 mm", "0.08 mm", part));
    let holes = &ready.solved[0].part.faces[0].holes;
    assert_eq!(holes.len(), 1);
    // ISO 273, medium: 13.5 for M12.
    assert!(
        matches!(holes[0].size, HoleSize::Round { diameter } if (diameter - 13.5).abs() < 1e-9)
    );
}

/// Quarter-inch aluminium plates make clevis ears for rod ends from 5/16 to 1/2.
#[test]
fn quarter_inch_aluminium_makes_clevis_ears() {
    for rod_end in ["5/16", "3/8", "7/16", "1/2"] {
        let part = format!("recipe = \"clevis-plates\"\ngiven = {{ rod_end = \"{rod_end}\" }}");
        clean(&one("6061-T6", "1/4 in", "0 mm", &part));
    }
}

/// Quarter-inch bolts need pilots that are opened to size after lamination.
#[test]
fn pilots_are_opened_after_lamination() {
    let part = "recipe = \"base-plate\"\ngiven = { bolt = \"1/4\", pilot = \"5 mm\" }";
    let ready = clean(&one("6061-T6", "4 mm", "0 mm", part));
    let holes = &ready.solved[0].part.faces[0].holes;
    assert_eq!(holes.len(), 4);
    for hole in holes {
        assert!(matches!(hole.size, HoleSize::Round { diameter } if (diameter - 5.0).abs() < 1e-9));
        // ASME B18.2.8, normal: 9/32 in for 1/4.
        assert!((hole.finished.unwrap() - 9.0 / 32.0 * 25.4).abs() < 1e-3);
    }
}

/// A bush as wide as a 2 in tube no longer fits between ears 2 in apart once they are powder
/// coated; with the default gap it does.
#[test]
fn powder_closes_the_ears_on_a_bush() {
    let mut tables = Tables::shipped();
    let bush = "name,bore,ball_width,body_width,head,shank,length,threaded,thread,swing,bolt,source\n\
                bush 2,12.7 mm,2 in,1.9 in,44 mm,12.7 mm,80 mm,30 mm,1/2-20,3 deg,1/2,own\n";
    tables.add("rod-end", bush).unwrap();
    let ears = |gap: &str| {
        let part = format!(
            "recipe = \"clevis-plates\"\ngiven = {{ rod_end = \"bush 2\", reach = \"50 mm\"{gap} }}"
        );
        one("S235", "6 mm", "0.08 mm", &part)
    };
    let finding = stop(solve_with(&tables, SHOP, &ears(", gap = \"2 in\"")), "clevis-gap");
    assert!(finding.headline.contains("does not fit"), "{finding:?}");
    let ready = solve_with(&tables, SHOP, &ears("")).unwrap_or_else(|s| panic!("{s}"));
    assert!(ready.findings.iter().all(|f| f.code != "clevis-gap" || f.weight == Weight::Caution));
}

/// A brace of 40 in does not fit into an oven of 36 in.
#[test]
fn a_forty_inch_brace_does_not_fit_a_small_oven() {
    let shop =
        SHOP.replace("[\"1200 mm\", \"600 mm\", \"600 mm\"]", "[\"36 in\", \"24 in\", \"24 in\"]");
    assert_ne!(shop, SHOP);
    let job = |pins: &str| {
        format!(
            "process = \"waterjet\"\nshop = \"shop.toml\"\ncoating = \"0.08 mm\"\n[[link]]\n\
             name = \"brace\"\npins = \"{pins}\"\nrod_end = \"1/2\"\n"
        )
    };
    let ovens = |pins: &str| {
        let ready = solve_with(&Tables::shipped(), &shop, &job(pins));
        let ready = ready.unwrap_or_else(|stopped| panic!("{stopped}"));
        ready.findings.iter().filter(|f| f.code == "oven").count()
    };
    assert_eq!(ovens("40 in"), 1);
    assert_eq!(ovens("34 in"), 0);
}

/// A tab out of reach of every brake is bent by hand in the vice: with only the vice of the demo's
/// tools, a joggled tab of 3 mm has its sequence; with no tool for it, it stops.
#[test]
fn a_small_tab_is_bent_in_the_vice() {
    let brakes: Vec<&str> = SHOP.split("\n[[brake]]\n").collect();
    let (head, vice) = (brakes[0], brakes.iter().find(|b| b.contains("kind          = \"vice\"")));
    let shop = format!("{head}\n[[brake]]\n{}", vice.unwrap());
    let tab = |thickness: &str| {
        let part = "recipe = \"angle\"\ngiven = { base = \"60 mm\", leg = \"40 mm\" }";
        let job = one("S235", thickness, "0 mm", part);
        format!("shop = \"shop.toml\"\n{job}")
    };
    let tables = Tables::shipped();
    let ready = solve_with(&tables, &shop, &tab("3 mm")).unwrap_or_else(|s| panic!("{s}"));
    assert_eq!(ready.solved[0].part.bends.len(), 1);
    let Err(stopped) = solve_with(&tables, &shop, &tab("4 mm")) else { panic!("4 mm in the vice") };
    assert!(stopped.findings.iter().any(|f| f.weight == Weight::Stop));
}
