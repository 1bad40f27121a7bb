//! The data of a drawing. Data for several arrangements of its first sheet are made once.

use crate::drawings::curves;
use crate::drawings::fit;
use crate::drawings::flat;
use crate::drawings::folded;
use crate::drawings::folded::Formed;
use crate::drawings::framed;
use crate::drawings::framed::INSET;
use crate::drawings::hole_dimensions;
use crate::drawings::layout;
use crate::drawings::layout::Layout;
use crate::drawings::layout::Way;
use crate::drawings::loads;
use crate::drawings::notes;
use crate::drawings::strip;
use crate::drawings::title;
use crate::geom::Bounds;
use crate::job::Job;
use crate::paper::Block;
use crate::paper::Drawn;
use crate::paper::Format;
use crate::paper::Item;
use crate::paper::Picture;
use crate::paper::Plan;
use crate::paper::StripRow;
use crate::paper::Unit;
use crate::solve::Solved;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::PoisonError;

/// Scales as long as any that a flat has: all digits are of one width.
const SCALES: [&str; 3] = ["1:2", "1:20", "1:500"];

/// Below the last of the bends, mm.
const BELOW: f64 = 2.0;

/// How a sheet is shared, as far as its layout depends on it: how many of the last tables are with the
/// notes, how the panels are laid out, whether the notes yield to the flat, whether loads are in the column,
/// and the width of that.
pub(super) type Shared = (Format, usize, (Way, bool, bool), f64);

/// The data of a drawing.
pub(super) struct Sheet<'a> {
    pub(super) job: &'a Job,
    pub(super) solved: &'a Solved,
    pub(super) plan: Plan,
    /// Beside the flat behind the bends: formed dimensions, the places and sizes of many holes.
    pub(super) tables: Vec<Block>,
    /// The unusual, in words.
    pub(super) lines: Vec<String>,
    pub(super) findings: Option<Block>,
    /// The sheet on which details begin that have no room on the first.
    pub(super) details_on: usize,
    /// The areas within the frames of sheets, by their size.
    insides: Cache<[f64; 2], Bounds>,
    /// The flat drawn in rooms.
    flats: Cache<Bounds, Arc<Drawn>>,
    /// The layouts with the flat drawn in them: they do not depend on the height of the picture.
    layouts: Cache<Shared, (Layout, Arc<Drawn>)>,
    /// The bends in order in widths.
    bends: Arc<Cache<f64, Arc<Vec<Unit>>>>,
    /// The formed part in rooms.
    pictures: Arc<Cache<[f64; 2], Arc<Picture>>>,
    pub(super) formed: Option<&'a Formed>,
}

impl<'a> Sheet<'a> {
    /// Of a part among all of the job, with how it is formed.
    pub(super) fn of(
        job: &'a Job,
        all: &[Solved],
        (solved, formed): (&'a Solved, Option<&'a Formed>),
    ) -> Self {
        let plan = flat::plan(job, all, solved);
        Self {
            job,
            solved,
            tables: tables(job, solved, &plan),
            plan,
            lines: notes::lines(job, all, solved, &hole_dimensions::sets(solved)),
            findings: notes::findings(solved),
            details_on: 2,
            insides: Cache::default(),
            flats: Cache::default(),
            layouts: Cache::default(),
            bends: Arc::default(),
            pictures: Arc::default(),
            formed,
        }
    }

    /// The same with its flat no larger than at a scale.
    pub(super) fn with_flat_at_most(&self, largest: f64) -> Self {
        Self {
            plan: Plan { largest, ..self.plan.clone() },
            tables: self.tables.clone(),
            lines: self.lines.clone(),
            findings: self.findings.clone(),
            insides: Cache::default(),
            flats: Cache::default(),
            layouts: Cache::default(),
            bends: Arc::clone(&self.bends),
            pictures: Arc::clone(&self.pictures),
            ..*self
        }
    }

    /// Whether the part is bent.
    pub(super) fn is_bent(&self) -> bool {
        !self.solved.part.bends.is_empty()
    }

    /// The area within the frame of a sheet above its title block.
    pub(super) fn inside(&self, size: [f64; 2]) -> Bounds {
        let fields = |scale: &str, of| title::fields(self.job, self.solved, scale, of);
        self.insides.get(size, || framed::inside(size, &SCALES, &fields))
    }

    /// The flat in a room.
    pub(super) fn drawn(&self, room: Bounds) -> Arc<Drawn> {
        self.flats.get(room, || Arc::new(self.plan.drawn(room)))
    }

    /// The layout of a way to share a sheet with the flat drawn in it, made once.
    pub(super) fn laid_once(
        &self,
        shared: Shared,
        make: impl FnOnce() -> (Layout, Arc<Drawn>),
    ) -> (Layout, Arc<Drawn>) {
        self.layouts.get(shared, make)
    }

    /// The bends in order as rows of a width.
    pub(super) fn bend_rows(&self, width: f64) -> Arc<Vec<Unit>> {
        self.bends.get(width, || Arc::new(bend_rows(self.job, self.solved, width)))
    }

    /// The formed part in a room of a width and a height; nothing for a part without bends.
    pub(super) fn picture(&self, room: [f64; 2]) -> Option<Arc<Picture>> {
        let formed = self.formed?;
        Some(self.pictures.get(room, || Arc::new(formed.picture(room))))
    }

    /// The contents of a separate sheet: fit and loads.
    pub(super) fn second(&self, inside: Bounds) -> Vec<Unit> {
        let half = inside.width() / 2.0;
        self.fit_and_loads(if half < layout::SIDE { inside.width() } else { half })
    }

    /// Fit and loads in a column of a width.
    pub(super) fn fit_and_loads(&self, column: f64) -> Vec<Unit> {
        let width = column - 2.0 * INSET.0;
        let mut units = fit::units(self.job, self.solved, width);
        units.extend(loads::units(self.job, self.solved, width));
        units
    }
}

/// Results made already, by their key.
struct Cache<K, V>(Mutex<Vec<(K, V)>>);

impl<K, V> Default for Cache<K, V> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<K: PartialEq, V: Clone> Cache<K, V> {
    fn get(&self, key: K, make: impl FnOnce() -> V) -> V {
        let all = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let known = all().iter().find(|(own, _)| *own == key).map(|(_, v)| v.clone());
        known.unwrap_or_else(|| {
            let value = make();
            all().push((key, value.clone()));
            value
        })
    }
}

/// The contents after the bends: formed dimensions, then the places and sizes of many holes, and
/// the points of curves.
fn tables(job: &Job, solved: &Solved, plan: &Plan) -> Vec<Block> {
    let sets = hole_dimensions::sets(solved);
    let places = hole_dimensions::table(job, &hole_dimensions::spots(solved, &sets));
    let mut tables = folded::table(job, solved);
    tables.extend(places.into_iter().chain(hole_dimensions::sizes(plan)));
    tables.extend(curves::table(job, plan));
    tables
}

/// The bends in order as rows of a width.
fn bend_rows(job: &Job, solved: &Solved, width: f64) -> Vec<Unit> {
    let row = |row: StripRow| {
        let lowered = |item: Item| item.shifted((-INSET.0, -row.height));
        Unit::picture(row.height, row.items.into_iter().map(lowered).collect())
    };
    let mut rows = strip::rows(job, solved, width).into_iter().map(row);
    let Some(first) = rows.next() else { return Vec::new() };
    let heading = Unit::whole_heading("Bends in order, continued", width);
    let Some(head) = heading.map(Arc::new) else { return Vec::new() };
    let mut rows: Vec<Unit> =
        std::iter::once(first.leading()).chain(rows.map(|row| row.headed(&head))).collect();
    // What continues below keeps clear of the tools of the last.
    rows.iter_mut().next_back().into_iter().for_each(|row| row.height += BELOW);
    rows
}
