//! Candidate sheets as the search sees them: forms in containers side by side, and back.

use crate::nest::overlap::forms::FormCache;
use crate::nest::overlap::free_area::FreeArea;
use crate::nest::overlap::placements::Container;
use crate::nest::overlap::placements::Placement;
use crate::nest::overlap::placements::Placements;
use crate::nest::problem::progress::Stop;
use crate::nest::task::Task;
use crate::nest::value::candidate::Candidate;

/// The data common to all layouts: the forms, and the free areas of the stock. They are slow to
/// build, so several searches share them.
pub(crate) struct Tools {
    cache: FormCache,
    /// By stock; `None` where nothing fits.
    free_areas: Vec<Option<FreeArea>>,
    /// By stock, the index of its first obstacle.
    first: Vec<usize>,
}

impl Tools {
    /// For the items whose count is not 0.
    pub(crate) fn new(task: &Task, counts: &[u32]) -> Option<Self> {
        let Task { items, orientations, stock, rules, stop, .. } = task;
        let free_areas: Vec<Option<FreeArea>> =
            stock.iter().map(|s| FreeArea::new(s, rules)).collect();
        let (mut rings, mut first) = (Vec::new(), Vec::new());
        for free_area in &free_areas {
            first.push(items.len() + rings.len());
            rings.extend(free_area.iter().flat_map(|r| r.in_the_way.clone()));
        }
        let used: Vec<bool> = counts.iter().map(|n| *n > 0).collect();
        let cache = FormCache::new(items, orientations, &used, rules, &rings, stop)?;
        Some(Self { cache, free_areas, first })
    }
}

/// Sheets and the parts on them.
pub(crate) struct Setup<'a> {
    cache: &'a FormCache,
    pub(crate) containers: Vec<Container>,
    /// By container, its stock and free area.
    sheets: Vec<(usize, FreeArea)>,
    parts: Vec<Placement>,
    /// By part, its item.
    pub(crate) items: Vec<usize>,
    in_the_way: Vec<Placement>,
    /// Whether parts may change from sheet to sheet.
    roaming: bool,
    /// Where the sheets to be used first end, as far as they come first.
    first_end: f64,
    stop: &'a Stop<'a>,
}

impl<'a> Setup<'a> {
    /// `None` when a part has no form, a stock no free area, or there is no sheet.
    pub(crate) fn new(task: &Task<'a>, tools: &'a Tools, filled: &[Candidate]) -> Option<Self> {
        let cache = &tools.cache;
        // Where priorities differ or kits are kept together, parts stay on the sheets they were
        // placed on.
        let roaming = !task.is_ordered(filled.iter().flat_map(|sheet| &sheet.placed));
        let mut setup = Self {
            cache,
            containers: Vec::new(),
            sheets: Vec::new(),
            parts: Vec::new(),
            items: Vec::new(),
            in_the_way: Vec::new(),
            roaming,
            first_end: f64::NEG_INFINITY,
            stop: task.stop,
        };
        let mut leading = true;
        let mut x = 0.0;
        for sheet in filled {
            let free_area = tools.free_areas[sheet.stock].clone()?;
            let (low, high) = (free_area.low, free_area.high);
            // The offset from the corner of the free area to that of the container.
            let offset = x - low.x as f64;
            let container = Container {
                low: (x, low.y as f64),
                high: (x + (high.x - low.x) as f64, high.y as f64),
            };
            for placed in &sheet.placed {
                let (form, px, py) = cache.found(placed, free_area.corner)?;
                setup.items.push(placed.item);
                setup.parts.push(within(
                    &container,
                    cache,
                    Placement { form, x: px + offset, y: py },
                ));
            }
            for i in 0..free_area.in_the_way.len() {
                let form = cache.forms_of(tools.first[sheet.stock] + i).start;
                setup.in_the_way.push(Placement { form, x: offset, y: 0.0 });
            }
            x = container.high.0;
            leading = leading && task.stock[sheet.stock].first;
            if leading {
                setup.first_end = x;
            }
            setup.containers.push(container);
            setup.sheets.push((sheet.stock, free_area));
        }
        (!setup.containers.is_empty()).then_some(setup)
    }

    /// The placements at the start.
    pub(crate) fn placements(&self) -> Placements<'_> {
        let containers = self.containers.clone();
        let mut placements =
            Placements::new(self.cache, containers, &self.parts, &self.in_the_way, self.roaming);
        placements.first_end = self.first_end;
        placements.stop = Some(self.stop);
        placements
    }

    /// The placements as sheets; empty ones are left out.
    pub(crate) fn candidates(&self, parts: &[Placement]) -> Vec<Candidate> {
        let mut candidates: Vec<Candidate> = self
            .sheets
            .iter()
            .map(|(stock, _)| Candidate { stock: *stock, placed: Vec::new() })
            .collect();
        for placement in parts {
            let form = &self.cache.forms[placement.form];
            let middle = placement.x + (form.min.0 + form.max.0) / 2.0;
            let after = self.containers.partition_point(|y| y.low.0 <= middle);
            let i = after.saturating_sub(1);
            let free_area = &self.sheets[i].1;
            let offset = self.containers[i].low.0 - free_area.low.x as f64;
            let placed = self.cache.placed(
                placement.form,
                placement.x - offset,
                placement.y,
                free_area.corner,
            );
            candidates[i].placed.push(placed);
        }
        candidates.retain(|d| !d.placed.is_empty());
        candidates
    }
}

/// Rounding half the gap to whole micrometres may move a part at the very edge of the sheet beyond
/// it; this moves it back.
fn within(container: &Container, cache: &FormCache, placement: Placement) -> Placement {
    match container.range(&cache.forms[placement.form]) {
        Some((low, high)) => Placement {
            x: placement.x.clamp(low.0, high.0),
            y: placement.y.clamp(low.1, high.1),
            ..placement
        },
        None => placement,
    }
}
