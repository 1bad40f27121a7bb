//! The flats of a job on its sheets: one nest for each kind of sheet.

use crate::diag::About;
use crate::diag::Finding;
use crate::geom::Place;
use crate::geom::Region;
use crate::job::Job;
use crate::nest;
use crate::nest::Item;
use crate::nest::Limits;
use crate::nest::Orientations;
use crate::nest::Progress;
use crate::nest::Rules;
use crate::nest::Sheet;
use crate::nest::Unplaced;
use crate::nest::Why;
use crate::num;
use crate::num::Angle;
use crate::place::bridges;
use crate::place::budget::Search;
use crate::place::common_cuts;
use crate::place::grain;
use crate::place::kits;
use crate::place::locked;
use crate::place::sheet::NestedSheet;
use crate::place::sheet::NotPlaced;
use crate::place::sheet::Placement;
use crate::place::sheet::Searched;
use crate::place::sheet::sheet_name;
use crate::recipe::Grain;
use crate::route;
use crate::route::Route;
use crate::solve;
use crate::solve::Solved;
use rayon::prelude::*;

/// Places all parts on sheets.
pub(crate) fn place(job: &Job, solved: &[Solved], search: &Search) -> Placement {
    let conflicts = conflicts(job, solved);
    if !conflicts.is_empty() {
        return Placement { findings: conflicts, ..Placement::default() };
    }
    let kinds: Vec<usize> = (0..job.sheets.len()).collect();
    let results: Vec<Placement> =
        kinds.par_iter().map(|kind| one_kind(job, *kind, solved, search)).collect();
    let mut all = Placement::default();
    all.findings.extend(solved.iter().filter_map(|s| bridges::too_small(job, s)));
    for one in results {
        all.sheets.extend(one.sheets);
        all.left.extend(one.left);
        all.findings.extend(one.findings);
        all.searched.extend(one.searched);
    }
    all
}

/// The errors before any part is placed.
pub(super) fn conflicts(job: &Job, solved: &[Solved]) -> Vec<Finding> {
    let mut conflicts: Vec<Finding> =
        solved.iter().flat_map(|s| grain::conflicts(job, s)).collect();
    conflicts.extend(bridges::check(job));
    conflicts.extend(common_cuts::check(job));
    let rules = |kind| Question::new(job, kind, solved, &Search::none()).rules;
    conflicts.extend(locked::check(job, solved, &rules));
    conflicts.extend((0..job.sheets.len()).filter_map(|kind| too_many(job, kind, solved)));
    conflicts
}

/// The nesting problem of one kind of sheet.
pub(crate) struct Question {
    /// Which of the solved parts each item is.
    pub(crate) parts: Vec<usize>,
    pub(crate) items: Vec<Item>,
    pub(crate) stock: Vec<nest::Stock>,
    pub(crate) rules: Rules,
}

impl Question {
    pub(crate) fn new(job: &Job, kind: usize, solved: &[Solved], search: &Search) -> Self {
        let sheet = &job.sheets[kind];
        let of_kind = |i: &usize| solved[*i].sheet == kind;
        let parts: Vec<usize> = (0..solved.len()).filter(of_kind).collect();
        let items: Vec<Item> = parts.iter().map(|i| item(job, &solved[*i])).collect();
        let pieces = items.iter().map(|item| item.quantity).fold(0, u32::saturating_add);
        let all = solved.iter().map(|s| solve::pieces(job, s)).fold(0, u32::saturating_add);
        let stock = locked::stock(job, kind, solved);
        let rules = Rules {
            gap: job.gap_on(sheet),
            margin: job.margin,
            min_cut_out: job.cut_outs.map_or(0.0, |w| w.min),
            cut_out_gap: job.cut_outs.map_or(0.0, |w| w.gap),
            min_remnant: job.min_remnant,
            units: search.units_of(kind, pieces, all),
            stop_at: search.stop_of(kind),
            extra_metal: job.repeat_layouts,
            seed: search.seed,
        };
        Self { parts, items, stock, rules }
    }

    /// The same with the pieces of kits as items of their own.
    pub(crate) fn with_kits(self, job: &Job, solved: &[Solved]) -> Self {
        if job.kits.is_empty() {
            return self;
        }
        let (parts, items) = kits::divided(job, solved, &self.parts, self.items);
        Self { parts, items, ..self }
    }
}

fn one_kind(job: &Job, kind: usize, solved: &[Solved], search: &Search) -> Placement {
    let question = Question::new(job, kind, solved, search).with_kits(job, solved);
    let Question { parts, items, stock, rules } = question;
    let watch = |progress: &Progress| (search.watch)(kind, progress);
    let tell = search.found.map(|found| move |best: &[Sheet]| found(kind, best));
    let found = tell.as_ref().map(|tell| tell as &nest::Found);
    let layout = nest::nest_telling(&items, &stock, rules, &watch, found);
    let limits = Limits::new(&items, &stock, rules);
    let mut placed_of = vec![0; items.len()];
    for placed in layout.sheets.iter().flat_map(|sheet| &sheet.placed) {
        placed_of[placed.item] += 1;
    }
    let mut searched = Searched {
        budget: rules.units,
        units: layout.units,
        stages: layout.stages,
        filled: limits.filled(&layout.sheets),
        min_sheets: limits.min_sheets(&placed_of),
    };
    let sheet = |(i, sheet): (usize, &Sheet)| {
        let kits = kits::on(job, &items, sheet);
        let placed = placed(job, solved, &parts, sheet);
        NestedSheet { kits, ..nested_sheet(job, (kind, i), placed, sheet, &limits) }
    };
    let mut sheets = nested_sheets(job, kind, &layout.sheets, sheet);
    if let Some((joined, filled)) = locked::joined(job, kind, solved, rules, &sheets) {
        (sheets, searched.filled, searched.min_sheets) = (joined, filled, None);
    }
    let mut left = Vec::new();
    let mut findings = Vec::new();
    for over in &kits::by_part(&layout.unplaced, &parts) {
        let part = parts[over.item];
        left.push(NotPlaced { part, quantity: over.quantity });
        let rotation = nest::fitting_rotation(&items[over.item], &stock, &rules);
        findings.push(left_over(job, kind, &solved[part], over, rotation));
    }
    let name_of = |item: usize| solved[parts[item]].name.clone();
    findings.extend(kits::incomplete(job, kind, (&items, &name_of), &layout.unplaced));
    findings.extend(kits::split(job, kind, (&items, &limits), &sheets));
    Placement { sheets, left, findings, searched: vec![searched] }
}

/// The sheets of a kind, each made by `sheet` with its index; of equal ones behind each other the first
/// is made, and the others have its measures.
fn nested_sheets(
    job: &Job,
    kind: usize,
    sheets: &[Sheet],
    sheet: impl Fn((usize, &Sheet)) -> NestedSheet + Sync,
) -> Vec<NestedSheet> {
    let is_new = |i: &usize| *i == 0 || sheets[*i] != sheets[*i - 1];
    let new: Vec<usize> = (0..sheets.len()).filter(is_new).collect();
    let made: Vec<NestedSheet> =
        new.par_iter().with_max_len(1).map(|i| sheet((*i, &sheets[*i]))).collect();
    let ends = new.iter().copied().skip(1).chain([sheets.len()]);
    let alike = new.iter().zip(ends).zip(made);
    let named = alike.flat_map(|((first, end), made)| {
        let again = move |i| NestedSheet { name: sheet_name(job, kind, i), ..made.clone() };
        (*first..end).map(again)
    });
    named.collect()
}

/// A sheet of a kind, by its index among them, without its route.
pub(super) fn nested_sheet(
    job: &Job,
    (kind, i): (usize, usize),
    placed: Vec<(usize, Place)>,
    nested: &Sheet,
    limits: &Limits,
) -> NestedSheet {
    NestedSheet {
        name: sheet_name(job, kind, i),
        sheet: kind,
        stock: nested.stock,
        route: Route::default(),
        placed,
        kits: Vec::new(),
        locked: 0,
        min_gap: nested.min_gap,
        min_margin: nested.min_margin,
        usage: limits.usage(nested),
    }
}

/// Which of the solved parts lies where on a sheet; `parts` has those of its kind.
pub(super) fn placed(
    job: &Job,
    solved: &[Solved],
    parts: &[usize],
    nested: &Sheet,
) -> Vec<(usize, Place)> {
    let placed = nested.placed.iter().map(|p| {
        let part = parts[p.item];
        (part, grain::upright(grain::orientations(job, &solved[part]).0).then(&p.place))
    });
    placed.collect()
}

/// Gives each sheet without a route its route; equal sheets have the same.
pub(crate) fn route(job: &Job, solved: &[Solved], sheets: &mut [NestedSheet]) {
    let mut first_alike: Vec<usize> = Vec::with_capacity(sheets.len());
    for (i, sheet) in sheets.iter().enumerate() {
        let same = |before: &usize| sheets[*before].holds_the_same(sheet);
        first_alike.push(i.checked_sub(1).filter(same).map_or(i, |before| first_alike[before]));
    }
    let routed = |i: usize| match first_alike[i] == i {
        true => routed(job, solved, &sheets[i]),
        false => Route::default(),
    };
    let routes: Vec<Route> =
        (0..sheets.len()).into_par_iter().with_max_len(1).map(routed).collect();
    for (sheet, first) in sheets.iter_mut().zip(first_alike) {
        sheet.route = routes[first].clone();
    }
}

/// The route of a sheet: its own if it has one.
pub(super) fn routed(job: &Job, solved: &[Solved], sheet: &NestedSheet) -> Route {
    if !sheet.route.cuts.is_empty() {
        return sheet.route.clone();
    }
    let parts = sheet.placed.iter().map(|(part, _)| &solved[*part]);
    let alone: Vec<bool> = parts.map(|part| common_cuts::stands_alone(job, part)).collect();
    route::order(&sheet.pieces(solved), common_cuts::sharing(job, &alone), job.heat_spacing)
}

fn item(job: &Job, solved: &Solved) -> Item {
    let (way, orientations) = grain::orientations(job, solved);
    let line = &job.lines[solved.line];
    let region: Region = solved.flat.region.moved(&grain::upright(way));
    Item {
        region,
        quantity: solve::pieces(job, solved).saturating_sub(locked::count(job, solved)),
        fill: line.placing.fill,
        orientations,
        mirror: line.placing.may_flip.is_some(),
        priority: line.placing.priority,
        cut_outs: job.cut_outs.is_some() && !line.placing.cut_outs_closed,
        kit: None,
    }
}

/// The note on pieces left over; `rotation` is one that is not permitted, but would fit.
pub(super) fn left_over(
    job: &Job,
    kind: usize,
    solved: &Solved,
    over: &Unplaced,
    rotation: Option<Angle>,
) -> Finding {
    let Unplaced { why, quantity, .. } = *over;
    let (line, sheet) = (&job.lines[solved.line], &job.sheets[kind]);
    let name = &solved.name;
    match why {
        Why::TooLarge => too_large(job, kind, solved, rotation),
        Why::NoSheetLeft => no_sheet_left(job, kind, solved, quantity),
        Why::TooMany => more_than_one_job(job, solved),
        Why::NotReached => {
            let headline =
                format!("{quantity} of `{name}` were not placed: the nesting was stopped first");
            Finding::caution("not-reached", headline)
                .about(About::part(name))
                .about(About::Sheet(sheet.name.clone()))
                .at(line.here, "")
                .help("give it more time")
        }
        Why::Unsure => {
            let headline = format!("{quantity} of `{name}` cannot be placed reliably");
            Finding::caution("unsure", headline)
                .about(About::part(name))
                .at(line.here, "")
                .help("draw it nearer to the origin of its face")
        }
    }
}

/// Pieces for which there is no sheet left, or no sheet in stock.
fn no_sheet_left(job: &Job, kind: usize, solved: &Solved, quantity: u32) -> Finding {
    let (line, sheet) = (&job.lines[solved.line], &job.sheets[kind]);
    let name = &solved.name;
    let Ended { code, why, help } = Ended::of(job, kind);
    Finding::caution(code, format!("{quantity} of `{name}` could not be placed: {why}"))
        .about(About::part(name))
        .about(About::Sheet(sheet.name.clone()))
        .at(line.here, "")
        .at(sheet.span, "its sheet")
        .help(help)
}

/// How the sheets of a kind were used up, and what to do about it.
pub(super) struct Ended {
    pub(super) code: &'static str,
    pub(super) why: String,
    pub(super) help: String,
}

impl Ended {
    pub(super) fn of(job: &Job, kind: usize) -> Self {
        let sheet = &job.sheets[kind];
        let Some(book) = &sheet.book else {
            let help = "raise `count` of the sheet, or add another size to its `stock`".to_owned();
            return Self { code: "sheets-used-up", why: "the sheets are used up".to_owned(), help };
        };
        let thickness = num::text(sheet.thickness, 3);
        let kind = format!("{} of {thickness} mm", sheet.material.name());
        let [length, width] = book.offered.unwrap_or([1000.0, 500.0]).map(|mm| num::text(mm, 3));
        let help = format!(
            "add what you have: `platewright stock add --material \"{}\" --thickness \
             \"{thickness} mm\" --size \"{length} mm\" \"{width} mm\"`; or name it in the job: \
             `stock = [ {{ size = [\"{length} mm\", \"{width} mm\"] }} ]`",
            sheet.material.name(),
        );
        let why = match sheet.stock.is_empty() {
            true => format!("the job names no `stock`, and the book {} has no {kind}", book.shown),
            false => format!("the book {} has no more {kind}", book.shown),
        };
        Self { code: "no-stock", why, help }
    }
}

/// The first part of a kind with which there are more pieces than the nest takes.
fn too_many(job: &Job, kind: usize, solved: &[Solved]) -> Option<Finding> {
    let mut pieces = 0u32;
    let beyond = |s: &&Solved| {
        pieces = pieces.saturating_add(solve::pieces(job, s));
        pieces > nest::MAX_PARTS
    };
    let first = solved.iter().filter(|s| s.sheet == kind).find(beyond)?;
    Some(more_than_one_job(job, first))
}

fn more_than_one_job(job: &Job, solved: &Solved) -> Finding {
    let name = &solved.name;
    Finding::stop("too-many", format!("with `{name}` the job has more pieces than the maximum"))
        .about(About::part(name))
        .at(job.lines[solved.line].here, "")
        .note(format!("maximum number of pieces on one kind of sheet: {}", nest::MAX_PARTS))
        .help("split it into several jobs")
}

/// A part that fits on no sheet of its kind.
fn too_large(job: &Job, kind: usize, solved: &Solved, rotation: Option<Angle>) -> Finding {
    let (line, sheet) = (&job.lines[solved.line], &job.sheets[kind]);
    let bounds = solved.flat.region.bounds();
    let show = |mm: f64| job.units.length(mm);
    let both = |long: f64, wide: f64| format!("{} × {}", show(long), show(wide));
    let size = both(bounds.width(), bounds.height());
    let sizes: Vec<String> = sheet.stock.iter().map(|s| both(s.length(), s.width())).collect();
    let headline =
        format!("`{}` is {size} and does not fit on any sheet of `{}`", solved.name, sheet.name);
    let (grain, orientations) = grain::orientations(job, solved);
    let remark = match (grain, orientations) {
        (Grain::Free, Orientations::Free) => "; it was tried at every angle",
        (Grain::Free, _) => "",
        _ => "; the grain allows half-turns only",
    };
    let by_header = solved.part.faces.iter().flat_map(|face| &face.files).find_map(|file| {
        let units = file.header_units.filter(|units| *units != "millimetres")?;
        let name = &file.name;
        Some(format!(
            "does the header of `{name}` say {units} by mistake? Then write `units = \"mm\"` beside \
             it; else use a larger sheet"
        ))
    });
    let help = match (rotation, grain) {
        (None, _) if by_header.is_some() => by_header.unwrap_or_default(),
        (None, _) => "use a larger sheet, or make the part in two pieces".to_owned(),
        (Some(rotation), Grain::Free) => {
            format!("write `orientations = \"any\"` for this part: rotated by {rotation} it fits")
        }
        // Its own x may now run along y, so the angle would mislead.
        (Some(_), _) => "if the grain does not matter, write `grain = \"free\"` and \
                         `orientations = \"any\"` for this part: it fits at an angle"
            .to_owned(),
    };
    Finding::stop("too-large", headline)
        .about(About::part(&solved.name))
        .about(About::Sheet(sheet.name.clone()))
        .at(line.here, "")
        .at(sheet.span, "its sheet")
        .note(format!(
            "in stock: {}; margin {} all round{remark}",
            sizes.join(", "),
            show(job.margin),
        ))
        .help(help)
}
