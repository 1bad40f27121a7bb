//! Kits: their pieces as items of the nest, and whether they were kept together.

use crate::diag::About;
use crate::diag::Finding;
use crate::job::Job;
use crate::job::Kit;
use crate::nest::Item;
use crate::nest::Limits;
use crate::nest::Sheet;
use crate::nest::Unplaced;
use crate::place::sheet::NestedSheet;
use crate::solve::Solved;
use std::collections::BTreeMap;
use std::collections::BTreeSet;

/// Items of the nest, each with the part it is of: the pieces of a part that is in kits are divided
/// among them, and its fillings belong to none.
pub(super) fn divided(
    job: &Job,
    solved: &[Solved],
    parts: &[usize],
    items: Vec<Item>,
) -> (Vec<usize>, Vec<Item>) {
    let mut all = Vec::new();
    for (part, item) in parts.iter().zip(items) {
        let line = &job.lines[solved[*part].line];
        let Some((first, kit)) = kit_of(job, &line.name) else {
            all.push((*part, item));
            continue;
        };
        for n in 0..kit.quantity {
            let share = item.quantity / kit.quantity + u32::from(n < item.quantity % kit.quantity);
            let kit = Some(first + n as usize);
            all.push((*part, Item { quantity: share, fill: 0, kit, ..item.clone() }));
        }
        if item.fill > 0 {
            all.push((*part, Item { quantity: 0, ..item }));
        }
    }
    all.into_iter().unzip()
}

/// What is left over, each part once for each reason, by its first item.
pub(super) fn by_part(unplaced: &[Unplaced], parts: &[usize]) -> Vec<Unplaced> {
    let mut all: Vec<Unplaced> = Vec::new();
    for over in unplaced {
        let is_same =
            |other: &&mut Unplaced| parts[other.item] == parts[over.item] && other.why == over.why;
        match all.iter_mut().find(is_same) {
            Some(same) => same.quantity = same.quantity.saturating_add(over.quantity),
            None => all.push(*over),
        }
    }
    all
}

/// The kit of a part, and the number of the first of it among all kits of the job.
fn kit_of<'j>(job: &'j Job, part: &str) -> Option<(usize, &'j Kit)> {
    let mut first = 0;
    for kit in &job.kits {
        if kit.parts.iter().any(|name| name == part) {
            return Some((first, kit));
        }
        first += kit.quantity as usize;
    }
    None
}

/// The name of a kit by its number among all kits of the job: `stand`, or `stand 2` of several.
fn named(job: &Job, number: usize) -> Option<(&Kit, String)> {
    let mut first = 0;
    for kit in &job.kits {
        let end = first + kit.quantity as usize;
        if number < end {
            let name = match kit.quantity {
                1 => kit.name.clone(),
                _ => format!("{} {}", kit.name, number - first + 1),
            };
            return Some((kit, name));
        }
        first = end;
    }
    None
}

/// The names of the kits of which a sheet has pieces.
pub(super) fn on(job: &Job, items: &[Item], sheet: &Sheet) -> Vec<String> {
    let kits: BTreeSet<usize> = sheet.placed.iter().filter_map(|p| items[p.item].kit).collect();
    kits.into_iter().filter_map(|kit| named(job, kit)).map(|(_, name)| name).collect()
}

/// The findings on kits that are on more than one sheet of a kind.
pub(super) fn split(
    job: &Job,
    kind: usize,
    (items, limits): (&[Item], &Limits),
    sheets: &[NestedSheet],
) -> Vec<Finding> {
    let kits: BTreeSet<usize> = items.iter().filter_map(|item| item.kit).collect();
    let of_kit = |number: usize| {
        let (kit, name) = named(job, number)?;
        let on: Vec<usize> =
            (0..sheets.len()).filter(|i| sheets[*i].kits.contains(&name)).collect();
        if on.len() < 2 {
            return None;
        }
        let names: Vec<&str> = on.iter().map(|i| sheets[*i].name.as_str()).collect();
        let headline = format!("kit `{name}` is on {} sheets: {}", on.len(), names.join(", "));
        let count = |item: &Item| if item.kit == Some(number) { item.quantity } else { 0 };
        let counts: Vec<u32> = items.iter().map(count).collect();
        let (why, help) = match limits.min_sheets(&counts) {
            Some(1) => (
                "no layout with the whole kit on one sheet was found",
                "raise `--effort`, or add a larger size to the `stock` of the sheet",
            ),
            _ => (
                "by the area of its pieces with their gaps, it does not fit on one sheet",
                "add a larger size to the `stock` of the sheet, or divide the kit",
            ),
        };
        let finding = Finding::caution("kit-split", headline)
            .about(About::Sheet(job.sheets[kind].name.clone()))
            .at(kit.here, "")
            .note(why);
        let is_next = on.windows(2).all(|two| two[1] == two[0] + 1);
        let note = "the sheets do not follow one another";
        Some(if is_next { finding } else { finding.note(note) }.help(help))
    };
    kits.into_iter().filter_map(of_kit).collect()
}

/// The findings on kits of which pieces are left over.
pub(super) fn incomplete(
    job: &Job,
    kind: usize,
    (items, name_of): (&[Item], &dyn Fn(usize) -> String),
    left: &[Unplaced],
) -> Vec<Finding> {
    let mut missing: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for over in left {
        if let Some(kit) = items[over.item].kit {
            let pieces = format!("{} of `{}`", over.quantity, name_of(over.item));
            missing.entry(kit).or_default().push(pieces);
        }
    }
    let of_kit = |(number, pieces): (usize, Vec<String>)| {
        let (kit, name) = named(job, number)?;
        let pieces = pieces.join(", ");
        let headline = format!("kit `{name}` is not complete: no sheet has room for {pieces}");
        let finding = Finding::caution("kit-split", headline)
            .about(About::Sheet(job.sheets[kind].name.clone()))
            .at(kit.here, "");
        Some(
            finding.help("add sheets to the `stock`, or a larger size, so that all pieces are cut"),
        )
    };
    missing.into_iter().filter_map(of_kit).collect()
}
