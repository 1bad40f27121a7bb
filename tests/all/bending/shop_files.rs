//! Shop files: the one to start from, tools by kind and measures, and hints that can be pasted.

use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::geom::Outline;
use platewright::geom::Point;
use platewright::job;
use platewright::job::Shelf;
use platewright::shop;
use platewright::shop::Press;
use platewright::shop::Shop;
use platewright::shop::Tools;
use platewright::table::Tables;
use std::collections::BTreeSet;

fn read(text: &str) -> Result<Shop, Vec<Finding>> {
    let source = Sources::default().add("shop.toml", text);
    shop::read(source, text, &Tables::shipped())
}

fn good(text: &str) -> Shop {
    read(text).unwrap_or_else(|found| panic!("{}: {:?}\n{text}", found[0].headline, found[0].help))
}

/// The line behind `# `, where it is one of a shop file and no sentence.
fn switched_off(line: &str) -> Option<&str> {
    let bare = line.strip_prefix("# ")?;
    let key = bare.split(['=', ' ']).next()?;
    let is_key = bare.starts_with('[')
        || (bare[key.len()..].trim_start().starts_with('=')
            && key.chars().all(|c| c.is_ascii_lowercase() || c == '_'));
    is_key.then_some(bare)
}

#[test]
fn the_shop_file_to_start_from_reads_back_clean_with_any_of_its_lines() {
    let plain = good(shop::NEW);
    assert_eq!((plain.rolls.len(), plain.brakes.len()), (1, 1));
    for without in [["die ", "punch "], ["[[brake.die]]", "[[brake.punch]]"]] {
        let mut text = String::new();
        let mut skipping = false;
        for line in shop::NEW.lines() {
            let line = switched_off(line).unwrap_or(line);
            if line.starts_with('[') {
                skipping = without.iter().any(|start| line.starts_with(start));
            }
            let skip = skipping || without.iter().any(|start| line.starts_with(start));
            text += if skip { "" } else { line };
            text += "\n";
        }
        let all = good(&text);
        let brakes = all.rates.is_some() && all.hemming.len() == 1 && all.measured.len() == 1;
        assert!(brakes && all.cutting.len() == 1 && all.oven.is_some(), "{text}");
        assert!(text.contains("kind      = \"press\""));
    }
}

#[test]
fn every_key_of_the_shop_file_to_start_from_is_explained_where_it_first_stands() {
    let mut seen = BTreeSet::new();
    let mut explained = 0;
    for line in shop::NEW.lines() {
        let line = switched_off(line).unwrap_or(line);
        let Some((key, value)) = line.split_once('=').filter(|_| !line.starts_with(['#', '[']))
        else {
            continue;
        };
        // Those give their kind.
        let plain =
            ["currency", "process", "material", "pierce_seconds", "machine_hour", "per_kilogram"];
        if seen.insert(key.trim()) && !plain.contains(&key.trim()) {
            assert!(value.contains("  # "), "{line}");
            explained += 1;
        }
    }
    assert!(explained > 35, "{explained}");
    for key in ["springback", "strips", "scatter", "throat"] {
        assert!(seen.contains(key), "{key}");
    }
}

fn press(tools: &str) -> Result<Press, Vec<Finding>> {
    let text = format!(
        "[[brake]]\nname = \"press\"\nkind = \"press\"\nlength = \"1 m\"\nforce = \"400 kN\"\n\
         max_angle = \"145 deg\"\nram = {{ thickness = \"120 mm\" }}\nbed = {{ thickness = \"90 mm\" }}\n{tools}"
    );
    read(&text).map(|shop| match &shop.brakes[0].tools {
        Tools::Press(press) => press.clone(),
        Tools::Folding(_) => panic!("a press brake folds"),
    })
}

#[test]
fn a_die_and_a_punch_are_made_of_a_few_measures() {
    let tools =
        press("die = [\"16 mm\", \"24 mm\"]\npunch = [\"straight\", \"gooseneck\"]\n").unwrap();
    assert_eq!(tools.dies.iter().map(|die| die.v).collect::<Vec<_>>(), [16.0, 24.0]);
    assert!((tools.dies[1].min_flange - 0.7 * 24.0).abs() < 1e-9);
    let names: Vec<&str> = tools.punches.iter().map(|punch| punch.name.as_str()).collect();
    assert_eq!(names, ["straight", "gooseneck"]);
    // By hand: a V of 24 mm and 80 degrees is 12 / tan 40° = 14.30 mm deep.
    let section = &tools.dies[1].section;
    let in_metal = |down: f64| section.contains(Point::new(0.0, -down));
    assert!(!in_metal(14.2) && in_metal(14.4));
    let own = press(
        "die = { v = \"24 mm\", angle = \"60 deg\" }\n\
         punch = { kind = \"straight\", angle = \"60 deg\", nose = \"3 mm\", body = \"30 mm\", height = \"90 mm\" }\n",
    )
    .unwrap();
    // 12 / tan 30° = 20.78 mm.
    let section = &own.dies[0].section;
    assert!(!section.contains(Point::new(0.0, -20.7)) && section.contains(Point::new(0.0, -20.9)));
    // A nose of 3 mm radius is within the section: its tangents at 60° meet the sheet 3 tan 30° = 1.73
    // mm from its centre, and the body of 15 mm to either side begins (15 − 1.73) / tan 30° = 22.98 up.
    let bounds = own.punches[0].section.bounds();
    assert!((bounds.width() - 30.0).abs() < 1e-9 && (bounds.height() - 90.0).abs() < 1e-9);
    let at = |x: f64, y: f64| own.punches[0].section.contains(Point::new(x, y));
    assert!(at(1.7, 0.05) && !at(1.9, 0.05) && at(14.9, 23.2) && !at(14.9, 22.5));
}

/// A die is as high as measured, and its V no deeper than that leaves room for: a part that reaches
/// below it would meet the bed differently from in the shop.
#[test]
fn a_die_is_no_higher_than_it_was_measured() {
    let die = |height: &str| {
        let tools = format!("die = {{ v = \"63 mm\"{height} }}\npunch = \"straight\"\n");
        press(&tools).unwrap().dies[0].section.clone()
    };
    // By hand: a V of 63 mm and 80 degrees is 31.5 / tan 40° = 37.54 mm deep.
    let in_metal = |section: &Outline, down: f64| section.contains(Point::new(0.0, -down));
    let usual = die("");
    assert!((usual.bounds().height() - 60.0).abs() < 1e-9);
    assert!(!in_metal(&usual, 37.5) && in_metal(&usual, 37.6));
    let low = die(", height = \"40 mm\"");
    assert!((low.bounds().height() - 40.0).abs() < 1e-9);
    assert!(!in_metal(&low, 27.9) && in_metal(&low, 28.1));
}

/// The text of a hint reads back clean, for every kind of section.
#[test]
fn a_section_pasted_from_a_hint_is_right() {
    let whole = "[[brake]]\nname = \"b\"\nkind = \"box-and-pan\"\nlength = \"1 m\"\nmax_thickness = \"2 mm\"\n\
        max_angle = \"135 deg\"\nmin_clamp = \"20 mm\"\nmin_flange = \"12 mm\"\nfingers = [\"50 mm\"]\n\
        beam = { depth = \"140 mm\", height = \"160 mm\", nose = \"45 deg\" }\n\
        bed = { depth = \"140 mm\", height = \"80 mm\" }\n\
        leaf = { depth = \"60 mm\", thickness = \"40 mm\" }\n\
        finger = { depth = \"100 mm\", height = \"75 mm\", nose = \"45 deg\", face = \"45 mm\" }\n";
    let press = "[[brake]]\nname = \"p\"\nkind = \"press\"\nlength = \"1 m\"\nforce = \"400 kN\"\nmax_angle = \"145 deg\"\n\
        ram = { thickness = \"120 mm\" }\nbed = { thickness = \"90 mm\" }\ndie = \"24 mm\"\npunch = \"straight\"\n";
    let mut pasted = 0;
    for text in [whole, press] {
        good(text);
        for key in ["beam", "bed", "leaf", "finger", "ram", "die", "punch"] {
            let Some(line) = text.lines().find(|line| line.starts_with(&format!("{key} "))) else {
                continue;
            };
            let wrong =
                [String::new(), format!("{key} = true"), format!("{key} = [[\"0 mm\", \"0 mm\"]]")];
            for wrong in
                wrong.iter().filter(|wrong| wrong.is_empty() || !["die", "punch"].contains(&key))
            {
                let found = read(&text.replace(line, wrong)).unwrap_err();
                let help = found[0].help.clone().unwrap();
                let hint = help.split('`').nth(1).unwrap();
                good(&text.replace(line, hint));
                pasted += 1;
            }
        }
    }
    assert_eq!(pasted, 4 * 3 + 2 * 3 + 2);
}

/// A tool that is missing is asked for by a few dimensions, not by a drawing of it.
#[test]
fn what_a_brake_lacks_is_asked_for_by_measures() {
    let press = "[[brake]]\nname = \"p\"\nkind = \"press\"\nlength = \"1 m\"\nforce = \"400 kN\"\n\
        die = \"24 mm\"\npunch = \"straight\"\n";
    let found = read(press).unwrap_err();
    let helps: Vec<&str> = found.iter().filter_map(|finding| finding.help.as_deref()).collect();
    let wanted = [
        "add `max_angle = \"95 deg\"`",
        "add `ram = { thickness = \"120 mm\" }`, and leave the ram out of the sections of the punches",
        "add `bed = { thickness = \"90 mm\" }`, and leave the bed out of the sections of the dies",
    ];
    assert_eq!(helps, wanted);
}

#[test]
fn a_die_without_its_v_is_refused_with_a_section_that_has_it() {
    let block = "[[\"-26 mm\", \"0 mm\"], [\"26 mm\", \"0 mm\"], [\"26 mm\", \"-60 mm\"], [\"-26 mm\", \"-60 mm\"]]";
    let tools = |section: &str| {
        format!("punch = \"straight\"\ndie = {{ v = \"32 mm\", section = {section} }}\n")
    };
    let found = press(&tools(block)).unwrap_err();
    assert_eq!((found.len(), found[0].code), (1, "tool-section"));
    assert!(found[0].headline.contains("no V of 32 mm"));
    let help = found[0].help.clone().unwrap();
    let section = help.split("section = ").nth(1).unwrap().trim_end_matches('`');
    assert_eq!(press(&tools(section)).unwrap().dies[0].v, 32.0);
    // The section's opening differs from the given one.
    assert!(press(&tools(section).replace("\"32 mm\", section", "\"50 mm\", section")).is_err());
    assert_eq!(
        press("punch = \"straight\"\ndie = { angle = \"80 deg\" }\n").unwrap_err()[0].code,
        "missing-key"
    );
    assert_eq!(
        press("punch = \"goosenek\"\ndie = \"16 mm\"\n").unwrap_err()[0].code,
        "unknown-word"
    );
}

#[test]
fn a_bar_in_the_vice_is_a_former_of_half_its_diameter() {
    let roll = "[[roll]]\nname = \"bar\"\nkind = \"former\"\nbar = \"30 mm\"\nlength = \"150 mm\"\n\
        max_thickness = \"4 mm\"\nflat_end = \"12 mm\"\n";
    let shop = good(roll);
    assert_eq!(shop.rolls[0].min_radius, 15.0);
    assert!(shop.rolls[0].max_radius.is_some_and(|max| (max - 16.5).abs() < 1e-9));
    let both = read(&roll.replace("kind", "min_radius = \"6 mm\"\nkind")).unwrap_err();
    assert_eq!(both[0].code, "unknown-key");
}

/// All errors of the shop and of the job are reported in one run, without those that only follow.
#[test]
fn faults_of_shop_and_job_are_said_together() {
    let text = "process = \"laser\"\nshop = \"shop.toml\"\n[[sheet]]\nname = \"s\"\nmaterial = \"S235\"\n\
        thickness = \"4 mm\"\nbend_method = \"measured\"\nstock = []\n[[part]]\nrecipe = \"tab\"\nname = \"a\"\nsheet = \"t\"\n";
    let tables = Tables::shipped();
    let file =
        |name: &str| Some((name.to_owned(), "oven = [\"1 m\"]\nbend_method = 0.8\n".to_owned()));
    let shelf = Shelf { file: &file, ..Shelf::shipped(&tables) };
    let mut sources = Sources::default();
    let source = sources.add("job.toml", text);
    let found = job::read("job", source, text, &shelf, &mut sources).unwrap_err();
    let codes: Vec<&str> = found.iter().map(|f| f.code).collect();
    assert_eq!(codes, ["unknown-word", "wrong-kind", "unknown-sheet"]);
}
