//! Shipped recipes work by default: for every process, thickness, metal, bolt, nut, rod end and
//! tube a part comes out without a stop, or with one whose help, when followed, cures it.
//!
//! Cases are drawn by lot from all; `PLATEWRIGHT_SWEEP=all` takes every one of S235 and
//! every tenth of the other metals, and the name of a recipe every one of all metals of that.

use crate::random::Rng;
use platewright::diag::About;
use platewright::diag::Finding;
use platewright::diag::Weight;
use platewright::job::Shelf;
use platewright::recipe::SHIPPED;
use platewright::table::Tables;
use platewright::workshop::Workshop;
use std::collections::BTreeMap;
use std::collections::BTreeSet;
use std::fmt::Write;

/// A help may uncover the next stop; after this many in a row the part counts as not cured.
const MAX_ROUNDS: usize = 6;

/// How a help says that another process has to cut the part.
const FINER: &str = "have it cut by a finer process, such as laser or waterjet";
const FINER_PROCESS: &str = "have it cut by a finer process, such as ";

/// Tubes whose cut grazes the centre line of the corner closer's bend, or turns straight in it.
const GRAZED: [[&str; 3]; 2] =
    [["6061-T6-welded", "3/8 in", "48.26 mm"], ["2024-T3", "10 ga", "42.4 mm"]];

/// The processes, with the share of the usual number of cases that is tried of each.
const PROCESSES: [(&str, f64); 3] = [("waterjet", 1.0), ("laser", 0.5), ("plasma", 0.25)];

/// Parts in one job.
const CHUNK: usize = 200;

/// One part of a job.
#[derive(Clone, Debug)]
struct Case {
    recipe: &'static str,
    metal: String,
    thickness: String,
    given: BTreeMap<String, String>,
}

/// Inputs of recipes that take a row of a table.
const ROWS: &[(&str, &str, &[&str])] = &[
    (
        "bolt",
        "bolt",
        &[
            "angle",
            "backing-plate",
            "base-plate",
            "bellcrank",
            "box-bracket",
            "channel",
            "cover-plate",
            "doubler-plate",
            "hat",
            "hose-comb",
            "measured-plate",
            "motor-plate",
            "quadrant",
            "saddle-strap",
            "strap",
            "tab",
            "tab-joggle",
            "tab-row",
            "u-bolt-plate",
            "zed",
        ],
    ),
    ("bearing", "bearing", &["bellcrank"]),
    ("rod_end", "rod-end", &["clevis-bent", "clevis-plates", "clevis-weldment"]),
];

/// Millimetres from 1 to 12, 16 gauge to half an inch.
fn thicknesses() -> Vec<String> {
    let inch = ["3/16 in", "1/4 in", "5/16 in", "3/8 in", "1/2 in"].map(str::to_owned);
    let gauges = [16, 14, 13, 12, 11, 10].map(|n| format!("{n} ga"));
    (1..=12).map(|n| format!("{n} mm")).chain(gauges).chain(inch).collect()
}

fn names(tables: &Tables, table: &str) -> Vec<String> {
    tables.table(table).unwrap().rows().map(|row| row.name().to_owned()).collect()
}

/// What each recipe is given: every row it takes, every tube it meets.
fn offers(tables: &Tables) -> Vec<(&'static str, BTreeMap<String, String>)> {
    let mut offers = vec![("gusset-flanged", BTreeMap::new()), ("test-strip", BTreeMap::new())];
    let one = |key: &str, value: String| BTreeMap::from([(key.to_owned(), value)]);
    for (input, table, recipes) in ROWS {
        for recipe in *recipes {
            // Flush heads come in some sizes only.
            let takes = |name: &String| {
                *recipe != "cover-plate" || tables.row("screw-head", name).is_some()
            };
            let rows = names(tables, table).into_iter().filter(takes);
            offers.extend(rows.map(|name| (*recipe, one(input, name))));
        }
    }
    for line in [4, 6, 8, 10, 12, 16, 20, 25] {
        offers.push(("line-tab", one("line", format!("{line} mm"))));
    }
    for tube in tables.table("tube").unwrap().rows() {
        let mm = |field: &str| format!("{} mm", tube.measure(field));
        if tube.text("shape") == Some("round") {
            for recipe in ["tab", "clevis-plates", "corner-closer"] {
                offers.push((recipe, one("tube", mm("outside"))));
            }
            offers.push(("jig-plate", one("rail", mm("outside"))));
            let mut both = one("main", mm("outside"));
            both.insert("branch".to_owned(), mm("outside"));
            offers.push(("gusset", both));
        }
        let mut cap = one("outside", mm("outside"));
        cap.insert("wall".to_owned(), mm("wall"));
        cap.insert("section".to_owned(), tube.text("shape").unwrap().to_owned());
        if tube.text("shape") == Some("rectangular") {
            cap.insert("across".to_owned(), mm("across"));
        }
        for fit in ["slip-in", "flush", "overlap"] {
            let mut cap = cap.clone();
            cap.insert("fit".to_owned(), fit.to_owned());
            offers.push(("end-cap", cap));
        }
    }
    for nut in names(tables, "nut") {
        for seat in ["hexagon", "round", "behind"] {
            let mut cap = one("nut", nut.clone());
            cap.insert("outside".to_owned(), "60.3 mm".to_owned());
            cap.insert("seat".to_owned(), seat.to_owned());
            offers.push(("end-cap", cap));
        }
    }
    offers
}

/// Every case of a metal, or those drawn by lot; of one recipe alone where it is named.
fn cases(tables: &Tables, metal: &str, share: f64, only: Option<&str>, rng: &mut Rng) -> Vec<Case> {
    let mut cases = Vec::new();
    let wanted = |(recipe, _): &(&str, BTreeMap<_, _>)| only.is_none_or(|only| only == *recipe);
    for (recipe, given) in offers(tables).into_iter().filter(wanted) {
        for thickness in thicknesses() {
            if rng.between(0.0, 1.0) < share {
                let (metal, given) = (metal.to_owned(), given.clone());
                cases.push(Case { recipe, metal, thickness, given });
            }
        }
    }
    cases
}

/// A job of these cases: part `pN` is case N.
fn job(process: &str, cases: &[Case]) -> String {
    let mut text = format!("process = \"{process}\"\ncoating = \"0.08 mm\"\n");
    let sheets: BTreeSet<_> = cases.iter().map(|c| (&c.metal, &c.thickness)).collect();
    for (metal, thickness) in sheets {
        writeln!(
            text,
            "[[sheet]]\nname = \"{metal} {thickness}\"\nmaterial = \"{metal}\"\n\
             thickness = \"{thickness}\"\nstock = []"
        )
        .unwrap();
    }
    for (i, case) in cases.iter().enumerate() {
        let (metal, thickness) = (&case.metal, &case.thickness);
        writeln!(
            text,
            "[[part]]\nrecipe = \"{}\"\nname = \"p{i}\"\nsheet = \"{metal} {thickness}\"",
            case.recipe
        )
        .unwrap();
        writeln!(text, "[part.given]").unwrap();
        for (input, value) in &case.given {
            writeln!(text, "{input} = \"{value}\"").unwrap();
        }
    }
    text
}

/// The findings of each case.
fn findings(workshop: &Workshop, process: &str, cases: &[Case]) -> Vec<Vec<Finding>> {
    let mut of_case = vec![Vec::new(); cases.len()];
    let mut from = 0;
    for chunk in cases.chunks(CHUNK) {
        let asked =
            workshop.read("sweep", "sweep.toml", &job(process, chunk)).unwrap_or_else(|stopped| {
                panic!("{stopped}");
            });
        let found = match asked.solve() {
            Ok(ready) => ready.findings,
            Err(stopped) => stopped.findings,
        };
        for finding in found {
            let parts: BTreeSet<usize> = finding.about.iter().filter_map(part).collect();
            assert!(!parts.is_empty(), "{finding:?} is about no part");
            for part in parts {
                of_case[from + part].push(finding.clone());
            }
        }
        from += chunk.len();
    }
    of_case
}

fn part(about: &About) -> Option<usize> {
    let About::Part { name, .. } = about else { return None };
    // Faces of a weldment are separate parts: `p3-base`.
    name.strip_prefix('p')?.split('-').next()?.parse().ok()
}

/// The case corrected by the help; `None` if the help names no value.
fn follow(case: &Case, finding: &Finding, tables: &Tables) -> Option<Case> {
    let help = finding.help.as_deref()?;
    let mut next = case.clone();
    let thickness = ["no thicker than ", "a sheet of about "];
    if let Some((_, rest)) = thickness.into_iter().find_map(|words| help.split_once(words)) {
        let thickness: Vec<&str> = rest.split([' ', ',']).take(2).collect();
        next.thickness = thickness.join(" ");
        return Some(next);
    }
    let quoted: Vec<&str> = help.split('`').skip(1).step_by(2).collect();
    let first = *quoted.first()?;
    if let Some((input, value)) = first.split_once(" = ") {
        next.given.insert(input.to_owned(), value.trim_matches('"').to_owned());
        return Some(next);
    }
    // Another metal.
    if let Some(metal) = tables.row("material", first) {
        next.metal = metal.name().to_owned();
        return Some(next);
    }
    // The name of a row: of whatever input has a row of that table now.
    let input = ["bolt", "rod_end", "nut"].into_iter().find(|input| {
        let table = input.replace('_', "-");
        tables.row(&table, first).is_some() && (case.given.contains_key(*input) || *input == "nut")
    })?;
    next.given.insert(input.to_owned(), first.to_owned());
    Some(next)
}

#[derive(Default)]
struct Tally {
    clean: usize,
    /// By recipe and code of the first stop.
    cured: BTreeMap<(&'static str, &'static str), usize>,
    /// Parts that another process has to cut, as the help says.
    elsewhere: usize,
    lost: Vec<String>,
}

impl Tally {
    /// Prints it, and judges that each part is clean or was cured.
    #[expect(clippy::print_stdout, reason = "its counts are what a longer sweep is for")]
    fn judge(&self, process: &str, count: usize) {
        assert!(count > 0, "no recipe is called so");
        let cured: usize = self.cured.values().sum();
        println!(
            "{process}: {count} parts: {} clean, {cured} after their help, {} to be cut otherwise",
            self.clean, self.elsewhere
        );
        for ((recipe, code), n) in &self.cured {
            println!("{n:6} {recipe}: {code}");
        }
        assert!(self.lost.is_empty(), "{} not cured:\n{}", self.lost.len(), self.lost.join("\n"));
        assert_eq!(self.clean + cured + self.elsewhere, count);
        assert!(process == "plasma" || self.elsewhere == 0, "{} by {process}", self.elsewhere);
        // No value could do better: a hole smaller than the cut, a sheet that does not bend, a nut
        // too wide for its tube, a bolt without a clearance hole.
        let allowed = [
            "hole-size",
            "hole-edge",
            "min-radius",
            "weld-metal",
            "captured-nut",
            "formula",
            "requirement",
        ];
        for (recipe, code) in self.cured.keys() {
            assert!(allowed.contains(code), "{recipe} stops with {code} by default");
        }
    }
}

/// Follows the help of the first stop of each case until there are no stops.
fn sweep(workshop: &Workshop, tables: &Tables, process: &str, cases: Vec<Case>) -> Tally {
    let mut tally = Tally::default();
    let mut open: Vec<(Case, Option<&'static str>)> =
        cases.into_iter().map(|c| (c, None)).collect();
    for _ in 0..MAX_ROUNDS {
        let now: Vec<Case> = open.iter().map(|(case, _)| case.clone()).collect();
        let found = findings(workshop, process, &now);
        let mut next = Vec::new();
        for ((case, first), findings) in open.into_iter().zip(found) {
            let Some(stop) = findings.iter().find(|f| f.weight == Weight::Stop) else {
                match first {
                    None => tally.clean += 1,
                    Some(code) => *tally.cured.entry((case.recipe, code)).or_default() += 1,
                }
                continue;
            };
            let mut stops = findings.iter().filter(|f| f.weight == Weight::Stop);
            match stops.find_map(|stop| follow(&case, stop, tables)) {
                Some(cured) => next.push((cured, Some(first.unwrap_or(stop.code)))),
                None if stop.help.iter().any(|help| help.contains(FINER)) => tally.elsewhere += 1,
                None => tally.lost.push(format!("{case:?}\n  {}: {:?}", stop.headline, stop.help)),
            }
        }
        open = next;
        if open.is_empty() {
            break;
        }
    }
    let never = |(case, code): (Case, _)| format!("{case:?} never ends: {code:?}");
    tally.lost.extend(open.into_iter().map(never));
    tally
}

#[test]
#[expect(clippy::disallowed_methods, reason = "a longer sweep is asked for by a variable")]
fn a_part_by_default_is_clean_or_its_help_cures_it() {
    let tables = Tables::shipped();
    let workshop = Workshop::new(Shelf::shipped(&tables));
    let asked = std::env::var("PLATEWRIGHT_SWEEP").ok();
    let whole = asked.as_deref() == Some("all");
    let only = asked.as_deref().filter(|_| !whole);
    let mut rng = Rng(20);
    for (process, part) in PROCESSES {
        let mut all = Vec::new();
        for metal in names(&tables, "material") {
            let share = match (whole, metal.as_str()) {
                _ if only.is_some() => 1.0,
                (true, "S235") => 1.0,
                (true, _) => 0.1,
                (false, "S235") => 0.008 * part,
                (false, _) => 0.002 * part,
            };
            all.extend(cases(&tables, &metal, share, only, &mut rng));
        }
        let count = all.len();
        let tally = sweep(&workshop, &tables, process, all);
        tally.judge(process, count);
        if only.is_none() && process != "plasma" {
            assert!(3 * tally.clean > 2 * count, "{} of {count} are clean", tally.clean);
        }
    }
}

#[test]
fn a_tube_that_grazes_a_bend_is_cut_out_of_it() {
    let tables = Tables::shipped();
    let workshop = Workshop::new(Shelf::shipped(&tables));
    let case = |[metal, thickness, tube]: [&str; 3]| Case {
        recipe: "corner-closer",
        metal: metal.into(),
        thickness: thickness.into(),
        given: BTreeMap::from([("tube".to_owned(), tube.to_owned())]),
    };
    let cases = GRAZED.map(case);
    for (case, found) in cases.iter().zip(findings(&workshop, "waterjet", &cases)) {
        let stops = found.iter().filter(|f| f.weight == Weight::Stop).count();
        assert_eq!(stops, 0, "{case:?}: {found:?}");
    }
}

/// A slot for a tongue grows with its sheet, so that no size and no other sheet helps.
#[test]
fn slots_for_tongues_are_not_for_plasma_whatever_the_sheet() {
    let tables = Tables::shipped();
    let workshop = Workshop::new(Shelf::shipped(&tables));
    let case = |thickness: &str| Case {
        recipe: "clevis-weldment",
        metal: "S235".into(),
        thickness: thickness.into(),
        given: BTreeMap::new(),
    };
    let cases = ["1 mm", "6 mm", "12 mm"].map(case);
    for (case, found) in cases.iter().zip(findings(&workshop, "plasma", &cases)) {
        let is_slot = |f: &&Finding| {
            let named = ["for a tongue", "ear 1"].iter().any(|words| f.headline.contains(words));
            named && f.weight == Weight::Stop
        };
        let about_slots = found.iter().filter(is_slot);
        let helps: Vec<&str> = about_slots.filter_map(|f| f.help.as_deref()).collect();
        assert!(
            !helps.is_empty() && helps.iter().all(|help| help.contains(FINER)),
            "{case:?}: {helps:?}"
        );
    }
}

#[test]
fn every_shipped_recipe_is_tried() {
    let tables = Tables::shipped();
    let offered: BTreeSet<&str> = offers(&tables).into_iter().map(|(recipe, _)| recipe).collect();
    let shipped: BTreeSet<&str> = SHIPPED.iter().map(|(name, _)| *name).collect();
    assert_eq!(offered, shipped);
}

/// A countersunk hole cut by plasma is too small for every sheet in which its head is flush: that is said
/// at once, whichever of the two limits it breaks.
#[test]
fn a_flush_head_by_plasma_is_sent_to_a_finer_process_at_once() {
    let tables = Tables::shipped();
    let workshop = Workshop::new(Shelf::shipped(&tables));
    let case = |(thickness, bolt): (&str, &str)| Case {
        recipe: "cover-plate",
        metal: "S235".into(),
        thickness: thickness.into(),
        given: BTreeMap::from([("bolt".to_owned(), bolt.to_owned())]),
    };
    let asked =
        [("2 mm", "M4"), ("2.5 mm", "M4"), ("3 mm", "M4"), ("12 mm", "M4"), ("1/4 in", "1/4")];
    let cases = asked.map(case);
    for (case, found) in cases.iter().zip(findings(&workshop, "plasma", &cases)) {
        let stops: Vec<&Finding> = found.iter().filter(|f| f.weight == Weight::Stop).collect();
        assert!(!stops.is_empty(), "{case:?}");
        for stop in stops {
            let help = stop.help.as_deref().unwrap_or_default();
            assert!(
                stop.code == "requirement" && help.contains(FINER_PROCESS),
                "{case:?}: {stop:?}"
            );
        }
    }
    // By a jet the sheet or the screw is the cure.
    let thick = [case(("12 mm", "M4"))];
    let found = findings(&workshop, "waterjet", &thick);
    let help = found[0].iter().find(|f| f.weight == Weight::Stop).and_then(|f| f.help.as_deref());
    assert_eq!(help, Some("write `bolt = \"M12\"`"));
}

/// A link needs no sheet, and its defaults are valid for every rod end of the table, with room to
/// set it both ways: about three quarters in (common practice).
#[test]
fn a_link_by_default_is_clean_and_can_be_set_both_ways() {
    let tables = Tables::shipped();
    let workshop = Workshop::new(Shelf::shipped(&tables));
    let mut looked = 0;
    for rod_end in names(&tables, "rod-end") {
        let job = format!(
            "process = \"waterjet\"\n[[link]]\nname = \"link\"\npins = \"900 mm\"\n\
             rod_end = \"{rod_end}\"\n"
        );
        let asked = workshop.read("links", "links.toml", &job);
        let asked = asked.unwrap_or_else(|stopped| panic!("{rod_end}: {stopped}"));
        let ready = asked.solve().unwrap_or_else(|stopped| panic!("{rod_end}: {stopped}"));
        assert_eq!(ready.findings, [], "{rod_end}");
        let link = &ready.job.links[0];
        let setting = link.setting();
        assert!(setting.shortest < link.pins - 1.0, "{rod_end}: {setting:?}");
        assert!(setting.longest > link.pins + 1.0, "{rod_end}: {setting:?}");
        looked += 1;
    }
    assert_eq!(looked, tables.table("rod-end").unwrap().rows().len());
}

/// Two clevises of one recipe lack room between their bends, each by a different amount: each gets
/// its own remedy. Findings with the same remedy are reported once.
#[test]
fn parts_with_unlike_remedies_are_told_one_by_one() {
    let tables = Tables::shipped();
    let workshop = Workshop::new(Shelf::shipped(&tables));
    let case = |rod_end: &str| Case {
        recipe: "clevis-bent",
        metal: "6061-T6".to_owned(),
        thickness: "8 mm".to_owned(),
        given: BTreeMap::from([("rod_end".to_owned(), rod_end.to_owned())]),
    };
    let alike = [case("#10"), case("M14"), case("#10")];
    let helps: Vec<Option<String>> = findings(&workshop, "waterjet", &alike)
        .into_iter()
        .map(|found| found.into_iter().find(|f| f.code == "requirement")?.help)
        .collect();
    assert!(helps.iter().all(|help| help.as_deref().is_some_and(|h| h.contains("spacer = "))));
    assert_eq!(helps[0], helps[2]);
    assert_ne!(helps[0], helps[1]);
    let asked = workshop.read("sweep", "sweep.toml", &job("waterjet", &alike)).unwrap();
    let stopped = asked.solve().err().unwrap();
    let told = stopped.findings.iter().filter(|f| f.code == "requirement").count();
    assert_eq!(told, 2, "{stopped}");
}
