//! How a hole is made to its final size: what is cut, and what is done to it then.

use crate::geom::NEAR;
use crate::num;
use crate::part::Hole;
use crate::part::HoleSize;
use crate::part::Insert;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::recipe::Making;
use crate::table::Row;

/// A cut diameter so much below the tap drill is no tap drill, mm: an inch drill may be named
/// to a thousandth of an inch.
const SAME: f64 = 0.03;

/// Most that a reamer is given to take off a diameter, mm: common practice.
const REAMING: f64 = 0.5;

/// A hole in two steps, as a drawing says them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Finishing {
    /// `Ø9`, `pilot Ø5`, `Ø5 tap drill`: as the machine cuts it.
    pub(crate) as_cut: String,
    /// `drill Ø9 after assembly`, `tap M6×1 through`; none where cutting finishes it.
    pub(crate) finish: Option<String>,
    /// `countersink Ø12 × 90° from the top side`; none where nothing is sunk.
    pub(crate) recess: Option<String>,
}

impl Finishing {
    /// All that is done after cutting, in its order; none where cutting finishes it.
    pub(crate) fn after(&self) -> Option<String> {
        let all: Vec<&str> =
            [&self.finish, &self.recess].into_iter().flatten().map(String::as_str).collect();
        (!all.is_empty()).then(|| all.join(", "))
    }
}

/// The steps of a hole, with lengths as `show` writes them in the units of a job; the sizes of
/// drills and reamers that are made in the other units in those.
pub(crate) fn finishing(hole: &Hole, units: Units, show: &dyn Fn(f64) -> String) -> Finishing {
    let tool = |mm: f64| if units.of_size(mm) == units { show(mm) } else { units.size(mm) };
    let (as_cut, finish) = hole_itself(hole, show, &tool);
    let recess = hole.recess.map(|recess| {
        format!("{} {} from the {}", recess.word(), recess.size(show), recess.side.word())
    });
    Finishing { as_cut, finish, recess }
}

/// The two steps of a hole without what is sunk into it; `tool` writes the sizes of tools.
fn hole_itself(
    hole: &Hole,
    show: &dyn Fn(f64) -> String,
    tool: &dyn Fn(f64) -> String,
) -> (String, Option<String>) {
    let cut = size(hole.size, show);
    let Some(finished) = hole.finished else {
        return (cut, hole.insert.as_ref().map(Insert::work));
    };
    let pilot = format!("pilot {cut}");
    if let Some(flare) = &hole.flare {
        return (pilot, Some(flare.words(show)));
    }
    let opened = show(finished);
    let finished = tool(finished);
    match hole.making {
        Making::Cut => (pilot, Some(format!("open to Ø{opened}"))),
        // A bolt passes more than this part: they are drilled together.
        Making::Drill if hole.through.is_some() => {
            (pilot, Some(format!("drill Ø{finished} after assembly")))
        }
        Making::Drill => (pilot, Some(format!("drill Ø{finished}"))),
        Making::Ream if is_for_the_reamer(hole) => (pilot, Some(format!("ream Ø{finished}"))),
        Making::Ream => (pilot, Some(format!("drill undersize, ream Ø{finished}"))),
        Making::Tap => tapped(hole, &cut, &opened, tool),
    }
}

/// Whether a pilot leaves a reamer no more than it takes.
fn is_for_the_reamer(hole: &Hole) -> bool {
    let pilot = hole.outline.bounds().width();
    hole.finished.is_some_and(|finished| finished - pilot <= REAMING + NEAR)
}

/// A tapped hole is never opened to the diameter of its thread: a tap drill, then the thread.
fn tapped(
    hole: &Hole,
    cut: &str,
    finished: &str,
    tool: &dyn Fn(f64) -> String,
) -> (String, Option<String>) {
    let row = hole.thread.as_deref();
    let thread = row.map_or_else(|| format!("Ø{finished} thread"), thread);
    let drill = row.and_then(|row| row.quantity("tap_drill")).map(|drill| drill.value);
    let diameter = hole.outline.bounds().width();
    match drill.filter(|drill| diameter < drill - SAME) {
        Some(drill) => {
            let tap = format!("tap drill Ø{}, tap {thread} through", tool(drill));
            // Nobody says so, and the pilot fits a fine thread of that size as well.
            let said = match hole.thread_is_said() {
                true => tap,
                false => format!("{tap} (Ø{finished} taken as {thread})"),
            };
            (format!("pilot {cut}"), Some(said))
        }
        None => (format!("{cut} tap drill"), Some(format!("tap {thread} through"))),
    }
}

/// A thread as a drawing calls it: `M6×1`, `1/4-20` (ISO 6410-1 and ASME Y14.6, from memory).
fn thread(row: &Row) -> String {
    let name = row.name().replace('x', "×");
    let Some(pitch) = row.quantity("pitch").filter(|_| !name.contains(['×', '-'])) else {
        return name;
    };
    match name.starts_with('M') {
        true => format!("{name}×{}", num::text(pitch.value, 2)),
        false => format!("{name}-{}", num::text(MM_PER_INCH / pitch.value, 0)),
    }
}

/// What is cut.
fn size(size: HoleSize, show: &dyn Fn(f64) -> String) -> String {
    match size {
        HoleSize::Round { diameter } => format!("Ø{}", show(diameter)),
        HoleSize::Slot { width, length } => format!("slot {} × {}", show(width), show(length)),
        HoleSize::ArcSlot { width, radius, sweep } => {
            format!("slot {} along R{} × {}°", show(width), show(radius), num::text(sweep, 2))
        }
        HoleSize::Hexagon { flats } => format!("hexagon, {} across flats", show(flats)),
        HoleSize::TongueSlot { width, length, relief } => {
            let relief = match relief > 0.0 {
                true => format!(", corners R{}", show(relief)),
                false => String::new(),
            };
            format!("tongue slot {} × {}{relief}", show(width), show(length))
        }
    }
}
