//! Pieces of an earlier layout that stay where they are, while others are nested around them.

use crate::diag::About;
use crate::diag::Finding;
use crate::geom::Place;
use crate::geom::Point;
use crate::job::Job;
use crate::job::Locked;
use crate::job::LockedPiece;
use crate::nest;
use crate::nest::Item;
use crate::nest::Limits;
use crate::nest::Orientations;
use crate::nest::Placed;
use crate::nest::Rules;
use crate::nest::Sheet;
use crate::nest::SheetUsage;
use crate::num;
use crate::place::grain;
use crate::place::sheet::NestedSheet;
use crate::place::sheet::sheet_name;
use crate::route::Route;
use crate::solve;
use crate::solve::Solved;
use std::collections::BTreeMap;

/// The locked sheets of a kind, each with the index of its stock.
fn on(job: &Job, kind: usize) -> impl Iterator<Item = (usize, &Locked)> {
    let stock = job.sheets[kind].stock.iter().enumerate();
    stock.filter_map(|(i, stock)| Some((i, stock.locked.as_ref()?)))
}

/// The pieces of a locked sheet: which of the solved parts is where. Those of parts that the job
/// does not make are left out; [`check`] reports them.
fn pieces(kind: usize, locked: &Locked, solved: &[Solved]) -> Vec<(usize, Place)> {
    let piece = |piece: &LockedPiece| {
        let part = part_of(kind, &piece.part, solved)?;
        // A report gives the position of a part with its lower left corner at the origin.
        let corner = solved[part].flat.region.bounds().min;
        let to_origin = Place::at(Point::ZERO - corner.to_vec2());
        Some((part, to_origin.then(&piece.place)))
    };
    locked.pieces.iter().filter_map(piece).collect()
}

fn part_of(kind: usize, name: &str, solved: &[Solved]) -> Option<usize> {
    solved.iter().position(|part| part.name == name && part.sheet == kind)
}

/// How many pieces of a part are locked.
pub(super) fn count(job: &Job, solved: &Solved) -> u32 {
    let all = on(job, solved.sheet).flat_map(|(_, locked)| &locked.pieces);
    u32::try_from(all.filter(|piece| piece.part == solved.name).count()).unwrap_or(u32::MAX)
}

/// The stock of a kind, with the locked pieces in the way of all others.
pub(super) fn stock(job: &Job, kind: usize, solved: &[Solved]) -> Vec<nest::Stock> {
    let stock = job.sheets[kind].stock.iter().map(|stock| {
        let sheet = stock.sheet.clone();
        let Some(locked) = &stock.locked else { return sheet };
        let taken = pieces(kind, locked, solved);
        let taken =
            taken.iter().map(|(part, place)| solved[*part].flat.region.outer().moved(place));
        nest::Stock {
            keep_outs: sheet.keep_outs.iter().cloned().chain(taken).collect(),
            count: Some(1),
            first: true,
            ..sheet
        }
    });
    stock.collect()
}

/// What contradicts the locked sheets of a job.
pub(super) fn check(
    job: &Job,
    solved: &[Solved],
    rules_of: &dyn Fn(usize) -> Rules,
) -> Vec<Finding> {
    let mut found = Vec::new();
    for kind in 0..job.sheets.len() {
        let before = found.len();
        for (stock, locked) in on(job, kind) {
            found.extend(twice(job, kind, (stock, locked)));
            found.extend(other_parts(job, kind, locked, solved));
            let placed = pieces(kind, locked, solved);
            let rules = rules_of(kind);
            found.extend(across(job, locked, &placed, solved));
            found.extend(of_kit(job, locked, &placed, solved));
            let broken = found.len() == before
                && Whole::new(job, kind, solved, rules).measured(stock, &placed).is_none();
            if broken {
                let headline = format!(
                    "the pieces of locked sheet `{}` do not keep the gap, the margin or the `cutouts` of this job",
                    locked.sheet
                );
                let help = "give the job the `gap`, the `margin`, the `cutouts`, the keep-outs and the clamps of \
                            the earlier layout";
                found.push(Finding::stop("locked", headline).at(locked.here, "").help(help));
            }
        }
        if on(job, kind).next().is_some() {
            let of_kind = solved.iter().filter(|part| part.sheet == kind);
            found.extend(of_kind.filter_map(|part| too_many(job, part)));
        }
    }
    found
}

/// A finding if a sheet of the earlier layout is locked for a second time.
fn twice(job: &Job, kind: usize, (stock, locked): (usize, &Locked)) -> Option<Finding> {
    let is_same = |other: &&Locked| other.sheet == locked.sheet && other.pieces == locked.pieces;
    let before = on(job, kind).filter(|(i, _)| *i < stock).map(|(_, other)| other);
    let other = before.into_iter().find(is_same)?;
    let headline = format!("sheet `{}` of the earlier layout is locked twice", locked.sheet);
    let finding = Finding::stop("locked", headline).at(locked.here, "").at(other.here, "the other");
    Some(finding.help("name another sheet of that layout, or remove one of the two"))
}

/// Findings on locked pieces whose part the job does not make, or makes with another outline.
fn other_parts(job: &Job, kind: usize, locked: &Locked, solved: &[Solved]) -> Vec<Finding> {
    let geometry: BTreeMap<&str, &str> =
        locked.pieces.iter().map(|p| (p.part.as_str(), p.geometry.as_str())).collect();
    let (sheet, kind_name) = (&locked.sheet, &job.sheets[kind].name);
    let other = |(name, was): (&str, &str)| {
        let Some(part) = part_of(kind, name, solved) else {
            let headline = format!(
                "`{name}` is on locked sheet `{sheet}`, but the job makes none of `{kind_name}`"
            );
            let help = "add the part as the earlier layout had it, or remove `locked`";
            return Some(Finding::stop("locked", headline).at(locked.here, "").help(help));
        };
        let is = &solved[part].issue.geometry;
        let headline = format!(
            "`{name}` has been changed since sheet `{sheet}` was nested: {was} is now {is}"
        );
        (is != was).then(|| {
            Finding::stop("locked-changed", headline)
                .about(About::part(name))
                .at(locked.here, "")
                .at(job.lines[solved[part].line].here, "the part")
                .note("the numbers are the first digits of the SHA-256 of geometry, welds, metal and thickness")
                .help("undo the change, give the changed part another name, or remove `locked`")
        })
    };
    geometry.into_iter().filter_map(other).collect()
}

/// A finding for a locked piece whose part is in a kit: which of the kits it would belong to, nothing says.
fn of_kit(
    job: &Job,
    locked: &Locked,
    placed: &[(usize, Place)],
    solved: &[Solved],
) -> Option<Finding> {
    let kit_of = |(part, _): &(usize, Place)| {
        let name = &job.lines[solved[*part].line].name;
        Some((name, job.kits.iter().find(|kit| kit.parts.contains(name))?))
    };
    let (name, kit) = placed.iter().find_map(kit_of)?;
    let headline =
        format!("`{name}` is on locked sheet `{}` and in kit `{}`", locked.sheet, kit.name);
    let help = "leave the part out of the kit, enter it again under another name for the kit, or remove `locked`";
    let finding = Finding::stop("locked", headline).at(locked.here, "").at(kit.here, "the kit");
    Some(finding.note("which kit a locked piece belongs to is not known").help(help))
}

/// A finding for the first piece that the job no longer allows to lie as it does.
fn across(
    job: &Job,
    locked: &Locked,
    placed: &[(usize, Place)],
    solved: &[Solved],
) -> Option<Finding> {
    let is_across = |(part, place): &&(usize, Place)| !grain::allows(job, &solved[*part], place);
    let (part, place) = placed.iter().find(is_across)?;
    let name = &solved[*part].name;
    let headline = format!(
        "`{name}` on locked sheet `{}` is rotated by {}°{}, which its `grain`, `orientations` or `may_flip` \
         no longer allow",
        locked.sheet,
        num::text(place.rotation.degrees(), 3),
        if place.mirrored { " and flipped over" } else { "" }
    );
    Some(
        Finding::stop("locked", headline)
            .about(About::part(name))
            .at(locked.here, "")
            .at(job.lines[solved[*part].line].here, "the part")
            .help("undo the change, give the changed part another name, or remove `locked`"),
    )
}

/// A finding if more pieces of a part are locked than the job makes.
fn too_many(job: &Job, part: &Solved) -> Option<Finding> {
    let (locked, pieces) = (count(job, part), solve::pieces(job, part));
    let name = &part.name;
    (locked > pieces).then(|| {
        let headline = format!("{locked} of `{name}` are locked, but the job makes {pieces}");
        let line = &job.lines[part.line];
        let quantity = locked.div_ceil(part.part.copies.max(1));
        Finding::stop("locked", headline)
            .about(About::part(name))
            .at(line.here, "")
            .note("the quantity of a part includes the locked pieces")
            .help(format!("write `quantity = {quantity}`"))
    })
}

/// All pieces of a kind on bare sheets, to measure what is on them: an item for each solved part,
/// in its own coordinates.
struct Whole {
    items: Vec<Item>,
    stock: Vec<nest::Stock>,
    rules: Rules,
}

impl Whole {
    fn new(job: &Job, kind: usize, solved: &[Solved], rules: Rules) -> Self {
        let item = |part: &Solved| Item {
            orientations: Orientations::Free,
            mirror: true,
            cut_outs: job.cut_outs.is_some() && !job.lines[part.line].placing.cut_outs_closed,
            ..Item::new(part.flat.region.clone(), solve::pieces(job, part))
        };
        let stock = job.sheets[kind].stock.iter().map(|stock| stock.sheet.clone());
        Self { items: solved.iter().map(item).collect(), stock: stock.collect(), rules }
    }

    /// A sheet with pieces on it, measured; `None` where they break the rules.
    fn measured(&self, stock: usize, placed: &[(usize, Place)]) -> Option<Sheet> {
        let placed = placed.iter().map(|(item, place)| Placed { item: *item, place: *place });
        let sheet = Sheet { stock, placed: placed.collect(), min_gap: None, min_margin: 0.0 };
        nest::measured_alone(&self.items, &self.stock, &self.rules, &sheet)
    }
}

/// The sheets of a kind with the locked pieces on theirs. Locked sheets come first, in the order of
/// the stock, whether anything was added to them or not. `None` if there are none.
pub(super) fn joined(
    job: &Job,
    kind: usize,
    solved: &[Solved],
    rules: Rules,
    sheets: &[NestedSheet],
) -> Option<(Vec<NestedSheet>, SheetUsage)> {
    let locked: BTreeMap<usize, Vec<(usize, Place)>> =
        on(job, kind).map(|(stock, locked)| (stock, pieces(kind, locked, solved))).collect();
    if locked.is_empty() {
        return None;
    }
    let whole = Whole::new(job, kind, solved, rules);
    let limits = Limits::new(&whole.items, &whole.stock, rules);
    let own = |stock: &usize| locked.get(stock).map_or(&[][..], Vec::as_slice);
    let mut all: Vec<_> = sheets
        .iter()
        .map(|sheet| (sheet.stock, [own(&sheet.stock), &sheet.placed].concat(), sheet.kits.clone()))
        .collect();
    for (stock, placed) in &locked {
        if !placed.is_empty() && sheets.iter().all(|sheet| sheet.stock != *stock) {
            all.push((*stock, placed.clone(), Vec::new()));
        }
    }
    all.sort_by_key(|(stock, ..)| if locked.contains_key(stock) { *stock } else { usize::MAX });
    let mut measured = Vec::new();
    let mut joined = Vec::new();
    for (i, (stock, placed, kits)) in all.into_iter().enumerate() {
        let sheet = whole
            .measured(stock, &placed)
            .expect("locked pieces keep the rules among themselves, others keep them as keep-outs");
        joined.push(NestedSheet {
            name: sheet_name(job, kind, i),
            sheet: kind,
            stock,
            route: Route::default(),
            placed,
            kits,
            locked: own(&stock).len(),
            min_gap: sheet.min_gap,
            min_margin: sheet.min_margin,
            usage: limits.usage(&sheet),
        });
        measured.push(sheet);
    }
    let filled = limits.filled(&measured);
    Some((joined, filled))
}
