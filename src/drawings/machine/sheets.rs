//! The arrangement of the views of a machine on sheets: the one that draws them largest.

use crate::drawings::framed;
use crate::drawings::framed::heading;
use crate::drawings::layout::HEADING;
use crate::drawings::machine::view::View;
use crate::geom::Bounds;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::job::Job;
use crate::paper;
use crate::paper::Format;
use crate::paper::Item;
use crate::paper::STANDARD_SCALES;
use crate::paper::Unit;
use crate::paper::scale_text;
use crate::solve::Machine;

/// Between two views and round all of them, mm: room for the numbers of bodies.
const GAP: f64 = 16.0;

/// Minimum and maximum width of a column of a table, and its minimum height, mm. Our choice.
const COLUMN: [f64; 2] = [62.0, 100.0];
const LOWEST: f64 = 30.0;

/// The views on sheets.
pub(super) struct Sheets {
    /// Of a sheet, mm.
    pub(super) size: [f64; 2],
    /// The area within its frame.
    pub(super) inside: Bounds,
    /// Paper for one mm of the machine.
    by: f64,
    /// The views of the first sheet, each with its place.
    first: Vec<(View, Bounds)>,
    /// On a further one.
    second: Option<View>,
}

/// The way in which the views come out largest, and of these the one with the fewest sheets.
pub(super) fn best(
    job: &Job,
    machine: &Machine,
    format: Format,
    inside: &dyn Fn([f64; 2]) -> Bounds,
) -> Sheets {
    let [short, long] = format.size();
    let mut best: Option<Sheets> = None;
    for is_parted in [false, true] {
        for size in [[long, short], [short, long]] {
            let sheets = Sheets::of(job, machine, (size, inside(size)), is_parted);
            if best.as_ref().is_none_or(|best| sheets.by > best.by * (1.0 + 1e-9)) {
                best = Some(sheets);
            }
        }
    }
    best.unwrap_or_else(|| Sheets::of(job, machine, ([long, short], inside([long, short])), false))
}

impl Sheets {
    /// Of one size, all views on the first or, parted, one on a further.
    fn of(job: &Job, machine: &Machine, sheet: ([f64; 2], Bounds), is_parted: bool) -> Self {
        let (size, inside) = sheet;
        let third = job.titled.third_angle;
        let side = if third { View::RIGHT } else { View::LEFT };
        let measure = |view: &View| {
            let bounds = view.bounds(machine, job);
            Vec2::new(bounds.width(), bounds.height())
        };
        let (front, plan, beside) = (measure(&View::FRONT), measure(&View::PLAN), measure(&side));
        let room = Bounds { min: inside.min, max: inside.max - (0.0, HEADING) };
        let level = size[0] > size[1];
        let gaps = |count: f64| GAP * (count + 1.0);
        let fit = |of: Vec2, [across, up]: [f64; 2]| {
            let wide = (room.width() - gaps(across)) / of.x.max(1e-6);
            wide.min((room.height() - gaps(up)) / of.y.max(1e-6))
        };
        // A view moved to a further sheet must fit there; the others are beside or below it.
        let fit = match (is_parted, level) {
            (false, _) => fit(Vec2::new(front.x + beside.x, front.y + plan.y), [2.0, 2.0]),
            (true, true) => fit(Vec2::new(front.x + beside.x, front.y.max(beside.y)), [2.0, 1.0])
                .min(fit(plan, [1.0, 1.0])),
            (true, false) => fit(Vec2::new(front.x.max(plan.x), front.y + plan.y), [1.0, 2.0])
                .min(fit(beside, [1.0, 1.0])),
        };
        let standard = STANDARD_SCALES.iter().copied().find(|scale| *scale <= fit);
        let by = standard.unwrap_or_else(|| fit.max(1e-6));
        let has_plan = !(is_parted && level);
        let has_side = level || !is_parted;
        let [plan_high, plan_low] = if third { [true, false] } else { [false, true] };
        let low = if has_plan && plan_low { plan.y * by + GAP } else { 0.0 };
        // From the upper left corner, the room that is spare at the right and below.
        let high = by * (front.y + if has_plan { plan.y } else { 0.0 });
        let high = high + if has_plan { GAP } else { 0.0 };
        let corner = Point::new(room.min.x + GAP, room.max.y - GAP - high);
        let at_front = corner + (0.0, low);
        let stands = |at: Point, of: Vec2| Bounds { min: at, max: at + of * by };
        let mut first = vec![(View::FRONT, stands(at_front, front))];
        if has_plan {
            let up = if plan_high { front.y * by + GAP } else { 0.0 };
            first.push((View::PLAN, stands(corner + (0.0, up), plan)));
        }
        let mut second = (!has_plan).then_some(View::PLAN);
        if has_side {
            let at = at_front + (front.x * by + GAP, 0.0);
            first.push((side, stands(at, beside)));
        } else {
            second = Some(side);
        }
        Self { size, inside, by, first, second }
    }

    /// Its scale in words.
    pub(super) fn scale(&self) -> String {
        match STANDARD_SCALES.contains(&self.by) {
            true => scale_text(self.by),
            false => paper::NOT_TO_SCALE.to_owned(),
        }
    }

    /// The first sheet with its views.
    pub(super) fn first(&self, job: &Job, machine: &Machine) -> Vec<Item> {
        let mut items = heading(self.inside, "Machine");
        let seen: Vec<&str> = self.first.iter().map(|(view, _)| view.words).collect();
        let words = format!("{}, seen {}", self.scale(), seen.join(", "));
        items.extend(framed::beside_heading(self.inside, &words));
        for (view, stands) in &self.first {
            let placed = (self.by, stands.min, stands.grown(GAP / 2.0));
            items.extend(view.items(job, (machine, None), placed));
        }
        items
    }

    /// The contents of a further sheet.
    pub(super) fn behind(&self, job: &Job, machine: &Machine) -> Vec<Unit> {
        let Some(view) = &self.second else { return Vec::new() };
        let bounds = view.bounds(machine, job);
        let size = Vec2::new(bounds.width(), bounds.height()) * self.by;
        let at = Point::new(GAP, -GAP - size.y);
        let stands = Bounds { min: at, max: at + size };
        let items = view.items(job, (machine, None), (self.by, at, stands.grown(GAP / 2.0)));
        let words = format!("Machine seen {}, {}", view.words, self.scale());
        let mut units = Unit::heading(&words, self.inside.width());
        units.push(Unit::picture(size.y + 2.0 * GAP, items));
        units
    }

    /// The columns that the views leave on the first sheet: the largest room beside or below them.
    pub(super) fn free(&self) -> Vec<Bounds> {
        let room = Bounds { min: self.inside.min, max: self.inside.max - (0.0, HEADING) };
        let taken: Vec<Bounds> = self.first.iter().map(|(_, at)| at.grown(GAP / 2.0)).collect();
        let xs = taken.iter().map(|t| t.max.x).chain([room.min.x]);
        let ys = taken.iter().flat_map(|t| [t.min.y, t.max.y]).chain([room.min.y, room.max.y]);
        let ys: Vec<f64> = ys.collect();
        let mut best: Option<Bounds> = None;
        for x in xs {
            for (low, high) in ys.iter().flat_map(|low| ys.iter().map(move |high| (*low, *high))) {
                let free = Bounds { min: Point::new(x, low), max: Point::new(room.max.x, high) };
                let is_room = free.width() >= COLUMN[0]
                    && free.height() >= LOWEST
                    && free.max.y <= room.max.y
                    && free.min.y >= room.min.y;
                let meets = |t: &Bounds| {
                    t.min.x < free.max.x - 1e-6
                        && free.min.x < t.max.x - 1e-6
                        && t.min.y < free.max.y - 1e-6
                        && free.min.y < t.max.y - 1e-6
                };
                let area = |b: &Bounds| b.width() * b.height();
                let is_larger = best.as_ref().is_none_or(|best| area(&free) > area(best));
                if is_room && is_larger && !taken.iter().any(meets) {
                    best = Some(free);
                }
            }
        }
        best.map_or_else(Vec::new, |free| columns(&free))
    }
}

/// A room as columns.
fn columns(room: &Bounds) -> Vec<Bounds> {
    let count = (room.width() / COLUMN[0]).floor().max(1.0);
    let count = count.min((room.width() / COLUMN[1]).ceil());
    let each = room.width() / count;
    (0..count as u32)
        .map(|i| {
            let x = room.min.x + each * f64::from(i);
            Bounds { min: Point::new(x, room.min.y), max: Point::new(x + each, room.max.y) }
        })
        .collect()
}
