//! The hash of a part, the messages on a changed one, and its earlier records: without a run of the
//! program.

use crate::own;
use platewright::changes::PartChange;
use platewright::changes::Verdict;
use platewright::changes::changes;
use platewright::diag::Sources;
use platewright::history;
use platewright::history::PartState;
use platewright::history::Past;
use platewright::history::Sent;
use platewright::history::State;
use platewright::job::Shelf;
use platewright::make;
use platewright::make::Made;
use platewright::place::Search;
use platewright::quantity::Units;
use platewright::table::Tables;
use platewright::workshop::Ready;
use platewright::workshop::Workshop;

const SHEET: &str = "process = \"laser\"\nsheet = [ { name = \"S235 4 mm\", material = \"S235\", \
     thickness = \"4 mm\", stock = [ { size = [\"500 mm\", \"400 mm\"] } ] } ]\n";

/// A job of one part of the recipe `own`, made without drawings.
fn made(recipe: &str) -> State {
    let job =
        format!("{SHEET}part = [ {{ recipe = \"own\", name = \"own\", sheet = \"S235 4 mm\" }} ]");
    let mut sources = Sources::default();
    let (mut job, (solved, found)) = own::asked(recipe, &job, &mut sources)
        .unwrap_or_else(|found| panic!("{}\n{recipe}", found[0].headline));
    job.paper = None;
    make::make(&job, &solved, found, &sources, &Search::none()).expect("it is placed").state
}

/// A plate, 200 × 120 mm from a corner, with something on it.
fn plate(more: &str) -> String {
    format!(
        "about = \"x\"\n[inputs]\nbolt = {{ kind = \"bolt\", default = \"M10\", about = \"x\" }}\n\
         [face.plate]\nblank = [ {{ add = \"polygon\", corners = [ {{ at = [\"0\", \"0\"], \
         edge = \"FOOT\" }}, [\"200 mm\", \"0\"], {{ at = [\"200 mm\", \"120 mm\"], edge = \"HEAD\" }}, \
         [\"0\", \"120 mm\"] ] }} ]\n{more}\n"
    )
}

fn edges(recipe: &str, foot: &str, head: &str) -> String {
    recipe.replace("FOOT", foot).replace("HEAD", head)
}

fn change(was: &State, now: &State) -> PartChange {
    changes("what was", was, now, Units::Millimetre).parts.remove(0)
}

fn bead(name: &str, from: [&str; 2], to: [&str; 2]) -> String {
    plate(&format!(
        "bead = [ {{ name = \"{name}\", line = [ {from:?}, {to:?} ], width = \"14 mm\", depth = \"2 mm\" }} ]"
    ))
}

#[test]
fn a_bead_that_moved_is_another_part_and_one_that_is_only_named_or_drawn_otherwise_is_not() {
    let was = made(&bead("rib", ["40 mm", "30 mm"], ["100 mm", "30 mm"]));
    let now = made(&bead("rib", ["40 mm", "80 mm"], ["100 mm", "80 mm"]));
    assert_ne!(was.part[0].geometry, now.part[0].geometry);
    let change = change(&was, &now);
    assert_eq!(change.verdict, Verdict::FinishAgain, "{change:?}");
    let words = "top side, from (40 mm, 80 mm) to (100 mm, 80 mm)";
    assert!(change.differences.iter().any(|line| line.ends_with(words)), "{change:?}");
    let again = made(&bead("stiffener", ["100 mm", "30 mm"], ["40 mm", "30 mm"]));
    assert_eq!(was.part[0].geometry, again.part[0].geometry);
}

#[test]
fn a_bevel_is_known_by_where_it_is_and_not_by_what_its_edge_is_called() {
    let bevel = |edge: &str, side: &str| {
        plate(&format!(
            "bevel = [ {{ edge = \"{edge}\", angle = \"45 deg\", land = \"1 mm\", side = \"{side}\" }} ]"
        ))
    };
    let foot = made(&edges(&bevel("foot", "up"), "foot", "head"));
    // The same names, the other way round.
    let head = made(&edges(&bevel("foot", "up"), "head", "foot"));
    assert_ne!(foot.part[0].geometry, head.part[0].geometry);
    let moved = change(&foot, &head);
    assert_eq!(moved.verdict, Verdict::FinishAgain, "{moved:?}");
    let below = made(&edges(&bevel("foot", "down"), "foot", "head"));
    assert_eq!(change(&foot, &below).verdict, Verdict::FinishAgain);
    let sole = made(&edges(&bevel("sole", "up"), "sole", "head"));
    assert_eq!(foot.part[0].geometry, sole.part[0].geometry);
    let named = change(&foot, &sole);
    assert_eq!(named.verdict, Verdict::Unchanged, "{named:?}");
    assert_eq!(named.differences, ["renamed, same geometry: edge `foot` → edge `sole`"]);
}

#[test]
fn a_hole_that_is_only_called_differently_is_said_to_be_and_is_no_change() {
    let hole = |name: &str, more: &str| {
        made(&plate(&format!(
            "holes = [ {{ name = \"{name}\", at = [\"60 mm\", \"60 mm\"], diameter = \"10 mm\"{more} }} ]"
        )))
    };
    let tapped = ", made = \"tap\", pilot = \"8.5 mm\"";
    for more in ["", tapped] {
        let (mut was, now) = (hole("eye", more), hole("bolt", more));
        was.part[0].letter = "C".into();
        let named = change(&was, &now);
        assert_eq!(named.verdict, Verdict::Unchanged, "{named:?}");
        assert_eq!(named.differences, ["renamed, same geometry: hole `eye` → hole `bolt`"]);
        let past = Past { made: Some(history::Made::first(was)), ..Past::default() };
        assert_eq!(past.letter("own", &now.part[0].geometry).to_string(), "C");
    }
    // Renamed and made otherwise is made otherwise.
    let other = change(&hole("eye", tapped), &hole("bolt", ""));
    assert_ne!(other.verdict, Verdict::Unchanged, "{other:?}");
}

/// The size alone gives the coarse thread; so does its bolt.
#[test]
fn a_tapped_hole_is_the_same_however_its_thread_is_said() {
    let tapped = |more: &str| {
        let recipe = plate(&format!(
            "holes = [ {{ name = \"thread\", at = [\"60 mm\", \"60 mm\"], diameter = \"10 mm\", \
             made = \"tap\", pilot = \"8.5 mm\"{more} }} ]"
        ));
        made(&recipe).part.remove(0)
    };
    let (by_size, by_bolt) = (tapped(""), tapped(", for = \"bolt\""));
    assert_eq!(by_size.work, by_bolt.work);
    assert_eq!(by_size.geometry, by_bolt.geometry);
}

#[test]
fn marks_in_another_order_are_the_same_marks() {
    let marks = |marks: [&str; 2]| {
        let mark =
            |at: &str| format!("{{ text = \"K\", at = [\"{at}\", \"60 mm\"], height = \"6 mm\" }}");
        let marks = marks.map(mark).join(", ");
        made(&plate(&format!("marks = [ {marks} ]")))
    };
    let (one, other) = (marks(["40 mm", "120 mm"]), marks(["120 mm", "40 mm"]));
    assert!(!one.part[0].marks.is_empty());
    assert_eq!(one.part[0].marks, other.part[0].marks);
    assert!(change(&one, &other).is_plain());
    assert_ne!(one.part[0].marks, marks(["40 mm", "130 mm"]).part[0].marks);
}

/// A job of shipped recipes, with its earlier records.
fn ready(job: &str, past: Past) -> Ready {
    let tables = Tables::shipped();
    let workshop = Workshop::new(Shelf::shipped(&tables));
    let mut asked = workshop.read("cart", "cart.toml", job).expect("it is a job");
    asked.job.past = Some(past);
    asked.job.paper = None;
    asked.solve().expect("it is a good job")
}

fn done(ready: &Ready) -> Made {
    ready.make(&Search::none()).expect("it is placed")
}

/// Files of an order, as they come back.
fn back(made: &Made, end: &str) -> Vec<(String, Vec<u8>)> {
    let fits = |name: &str| name.starts_with("sheets/") && name.ends_with(end);
    let files = made.files.iter().filter(|file| fits(&file.name));
    files.map(|file| (file.name.clone(), file.bytes.clone())).collect()
}

#[test]
fn pieces_of_one_outline_are_shared_out_among_the_parts_that_have_it() {
    let job = |ears: u32, lugs: u32| {
        let part = |name: &str, quantity| {
            format!(
                "{{ recipe = \"tab\", name = \"{name}\", quantity = {quantity}, sheet = \"S235 4 mm\" }}"
            )
        };
        format!("{SHEET}part = [ {}, {} ]", part("ear", ears), part("lug", lugs))
    };
    let whole = ready(&job(1, 3), Past::default());
    let files = back(&done(&whole), ".dxf");
    assert_eq!(files.len(), 1);
    let returned = make::against(&whole.job, &whole.solved, &files, &|_| false);
    assert_eq!((returned.same.len(), returned.differences), (1, vec![]));
    // Four pieces are too few for five, regardless of order.
    let more = ready(&job(1, 4), Past::default());
    let returned = make::against(&more.job, &more.solved, &files, &|_| false);
    assert_eq!(returned.differences, ["lug: 3 pieces on the sheets here, 4 in the job"]);
    // And too many for three, unless the part may fill the sheet.
    let fewer = ready(&job(1, 2), Past::default());
    let returned = make::against(&fewer.job, &fewer.solved, &files, &|_| false);
    let words = "ear: 2 pieces on the sheets here, 1 in the job: 1 too many";
    assert_eq!(returned.differences, [words]);
    let filling = job(1, 2).replace("quantity = 2", "quantity = 2, fill = true");
    let filling = ready(&filling, Past::default());
    let returned = make::against(&filling.job, &filling.solved, &files, &|_| false);
    assert_eq!((returned.same.len(), returned.differences), (1, vec![]));
    // The quantity sent when the job still asked for it.
    let then = PartState { pieces: 2, name: "ear".into(), ..PartState::default() };
    let past = Past { sent: vec![sent(1, "A", then)], ..Past::default() };
    let fewer = ready(&job(1, 2), past);
    let returned = make::against(&fewer.job, &fewer.solved, &files, &|_| false);
    let sent = "; 2 were sent (no. 1, 2026-03-31, to the cutter)";
    assert_eq!(returned.differences, [format!("{words}{sent}")]);
}

/// Nothing of it is no longer made: it is there twice, in another quantity.
#[test]
fn a_second_file_of_a_part_is_said_to_be_one_with_the_number_in_its_name() {
    let part = "{ recipe = \"tab\", name = \"ear\", quantity = 4, sheet = \"S235 4 mm\" }";
    let made = done(&ready(&format!("{SHEET}part = [ {part} ]"), Past::default()));
    let past = Past { sent: vec![sent(1, "A", made.state.part[0].clone())], ..Past::default() };
    let now = ready(&format!("{SHEET}part = [ {part} ]"), past);
    let flat = made.files.iter().find(|file| file.name == "flats/ear.dxf").expect("a flat");
    let against = |names: &[&str]| {
        let files: Vec<_> = names.iter().map(|n| ((*n).to_owned(), flat.bytes.clone())).collect();
        make::against(&now.job, &now.solved, &files, &|_| false).differences
    };
    let count = "sent as ear_4x_S235_4mm.dxf; its name says 6 pieces, 4 were ordered";
    assert_eq!(
        against(&["ear_4x_S235_4mm.dxf", "ear_6x_S235_4mm.dxf"]),
        [format!("ear_6x_S235_4mm.dxf is extra: it is a second copy of part `ear`, {count}")]
    );
    assert_eq!(
        against(&["ear_6x_S235_4mm.dxf"]),
        [format!("ear_6x_S235_4mm.dxf: renamed; it is part `ear`, {count}")]
    );
}

/// An order of one part under an issue.
fn sent(number: u32, issue: &str, part: PartState) -> Sent {
    let state = State { issue: Some(issue.into()), part: vec![part], ..State::default() };
    Sent { number, to: "the cutter".into(), date: "2026-03-31".into(), state, ..Sent::default() }
}

fn ear(issue: &str) -> String {
    format!(
        "issue = \"{issue}\"\n{SHEET}part = [ {{ recipe = \"tab\", name = \"ear\", sheet = \"S235 4 mm\" }} ]"
    )
}

/// By part, whatever else was sent under that issue later, and without parts of which no piece was
/// sent.
#[test]
fn a_part_that_changed_under_one_issue_is_found_behind_later_sendings() {
    let found = |past: Vec<Sent>| -> Vec<String> {
        let ready = ready(&ear("2"), Past { sent: past, ..Past::default() });
        let findings = ready.findings.iter().filter(|f| f.code == "issue-not-raised");
        findings.map(|finding| finding.headline.clone()).collect()
    };
    let part = |name: &str, pieces| PartState {
        name: name.into(),
        pieces,
        geometry: "0000000".into(),
        ..PartState::default()
    };
    let caution =
        "`ear` has changed since it was sent as issue 2 (no. 1, 2026-03-31, to the cutter)";
    let first = sent(1, "2", part("ear", 2));
    assert_eq!(found(vec![first.clone(), sent(2, "2", part("brace", 1))]), [caution]);
    assert_eq!(found(vec![first.clone(), sent(2, "2", part("ear", 0))]), [caution]);
    assert!(found(vec![sent(1, "2", part("ear", 0))]).is_empty());
    assert!(found(vec![sent(1, "1", part("ear", 2))]).is_empty());
    let is = ready(&ear("2"), Past::default()).solved[0].issue.geometry.clone();
    let same = PartState { geometry: is, ..part("ear", 2) };
    assert!(found(vec![sent(1, "2", same.clone())]).is_empty());
    // Two prints of one issue are about, and are not the same part.
    assert_eq!(found(vec![first, sent(2, "2", same)]), [caution]);
}

/// A part that only filled the sheet was in no order.
#[test]
fn what_only_filled_sheets_is_not_said_to_have_been_sent() {
    let old = ear("1").replace("name = \"ear\",", "name = \"ear\", given = { reach = \"32 mm\" },");
    let old = done(&ready(&old, Past::default()));
    let said = |pieces: u32| {
        let part = PartState { pieces, ..old.state.part[0].clone() };
        let past = Past { sent: vec![sent(1, "1", part)], ..Past::default() };
        let now = ready(&ear("2"), past);
        let flat = old.files.iter().find(|file| file.name == "flats/ear.dxf").expect("a flat");
        let files = [&back(&old, ".dxf")[..], &[("ear.dxf".into(), flat.bytes.clone())]].concat();
        make::against(&now.job, &now.solved, &files, &|_| false).differences.join("\n")
    };
    assert!(said(1).contains("ear.dxf: as sent as issue 1 (no. 1,"), "{}", said(1));
    assert!(!said(0).contains("as sent as issue"), "{}", said(0));
}

/// The drawing gives the distance of ears: two prints that differ in that alone are two issues.
#[test]
fn ears_that_are_set_further_apart_are_not_unchanged() {
    let made = |gap: &str| {
        let part = format!(
            "recipe = \"clevis-plates\", name = \"ears\", sheet = \"S235 4 mm\", given = {{ gap = \"{gap}\" }}"
        );
        done(&ready(&format!("{SHEET}part = [ {{ {part} }} ]"), Past::default())).state
    };
    let (was, now) = (made("14.5 mm"), made("15.1 mm"));
    assert_ne!(was.part[0].geometry, now.part[0].geometry);
    let moved = change(&was, &now);
    assert_eq!(moved.verdict, Verdict::FinishAgain, "{moved:?}");
    let words = "gap between the bare ears 14.5 mm → 15.1 mm: set them to the new one";
    assert_eq!(moved.differences, [words]);
    assert!(change(&was, &made("14.5 mm")).is_plain());
    // A record of a make without the gap is no evidence of it.
    let mut old = was.clone();
    old.part[0].set_gap_mm = None;
    assert_eq!(change(&old, &was).verdict, Verdict::Unchanged);
}
