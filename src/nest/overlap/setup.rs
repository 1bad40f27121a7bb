//! The job in the words of the search: forms on yards side by side.

use crate::nest::overlap::forms::Kit;
use crate::nest::overlap::free_area::Room;
use crate::nest::overlap::placements::Ground;
use crate::nest::overlap::placements::Seat;
use crate::nest::overlap::placements::Yard;
use crate::nest::task::Task;
use crate::nest::value::candidate::Draft;

/// What is the same wherever parts lie: their forms, and the rooms of the stock. It takes a
/// while to make, so what is searched several times shares it.
pub(crate) struct Tools {
    kit: Kit,
    /// By stock; `None` where nothing goes.
    rooms: Vec<Option<Room>>,
    /// By stock, the first of what is in the way on it.
    first: Vec<usize>,
}

impl Tools {
    /// For the items of which there are any.
    pub(crate) fn new(task: &Task, counts: &[u32]) -> Option<Self> {
        let Task { items, turns, stock, rules, .. } = task;
        let rooms: Vec<Option<Room>> = stock.iter().map(|s| Room::new(s, rules)).collect();
        let (mut rings, mut first) = (Vec::new(), Vec::new());
        for room in &rooms {
            first.push(items.len() + rings.len());
            rings.extend(room.iter().flat_map(|r| r.in_the_way.clone()));
        }
        let used: Vec<bool> = counts.iter().map(|n| *n > 0).collect();
        let kit = Kit::new(items, turns, &used, rules, &rings)?;
        Some(Self { kit, rooms, first })
    }
}

/// Sheets and what lies on them.
pub(crate) struct Field<'a> {
    kit: &'a Kit,
    pub(crate) yards: Vec<Yard>,
    /// By yard, its stock and where its corner lies on the sheet.
    sheets: Vec<(usize, Room)>,
    parts: Vec<Seat>,
    /// By part, its item.
    pub(crate) items: Vec<usize>,
    in_the_way: Vec<Seat>,
    /// Whether parts may change from sheet to sheet.
    roaming: bool,
    /// Where the sheets to be used first end, as far as they come first.
    first_end: f64,
}

impl<'a> Field<'a> {
    /// `None` when something lies where it cannot be seen, or there is nothing.
    pub(crate) fn new(task: &Task, tools: &'a Tools, filled: &[Draft]) -> Option<Self> {
        let (kit, items) = (&tools.kit, task.items);
        // What is urgent stays on the early sheets it was laid on.
        let mut urgencies =
            filled.iter().flat_map(|sheet| &sheet.placed).map(|p| items[p.item].urgency);
        let first_urgency = urgencies.next();
        let roaming = urgencies.all(|u| Some(u) == first_urgency);
        let mut field = Self {
            kit,
            yards: Vec::new(),
            sheets: Vec::new(),
            parts: Vec::new(),
            items: Vec::new(),
            in_the_way: Vec::new(),
            roaming,
            first_end: f64::NEG_INFINITY,
        };
        let mut leading = true;
        let mut x = 0.0;
        for sheet in filled {
            let room = tools.rooms[sheet.stock].clone()?;
            let (low, high) = (room.low, room.high);
            // The yard's own corner is where the room's corner is plus this.
            let offset = x - low.x as f64;
            let yard =
                Yard { low: (x, low.y as f64), high: (x + (high.x - low.x) as f64, high.y as f64) };
            for placed in &sheet.placed {
                let (form, px, py) = kit.found(placed, room.corner)?;
                field.items.push(placed.item);
                field.parts.push(within(&yard, kit, Seat { form, x: px + offset, y: py }));
            }
            for i in 0..room.in_the_way.len() {
                let form = kit.forms_of(tools.first[sheet.stock] + i).start;
                field.in_the_way.push(Seat { form, x: offset, y: 0.0 });
            }
            x = yard.high.0;
            leading = leading && task.stock[sheet.stock].first;
            if leading {
                field.first_end = x;
            }
            field.yards.push(yard);
            field.sheets.push((sheet.stock, room));
        }
        (!field.yards.is_empty()).then_some(field)
    }

    /// Every part where it lies at first.
    pub(crate) fn ground(&self) -> Ground<'_> {
        let yards = self.yards.clone();
        let mut ground = Ground::new(self.kit, yards, &self.parts, &self.in_the_way, self.roaming);
        ground.first_end = self.first_end;
        ground
    }

    /// Parts where they lie now, as sheets; those that hold nothing are left out.
    pub(crate) fn drafts(&self, parts: &[Seat]) -> Vec<Draft> {
        let mut drafts: Vec<Draft> = self
            .sheets
            .iter()
            .map(|(stock, _)| Draft { stock: *stock, placed: Vec::new() })
            .collect();
        for seat in parts {
            let form = &self.kit.forms[seat.form];
            let middle = seat.x + (form.least.0 + form.most.0) / 2.0;
            let after = self.yards.partition_point(|y| y.low.0 <= middle);
            let i = after.saturating_sub(1);
            let room = &self.sheets[i].1;
            let offset = self.yards[i].low.0 - room.low.x as f64;
            let placed = self.kit.placed(seat.form, seat.x - offset, seat.y, room.corner);
            drafts[i].placed.push(placed);
        }
        drafts.retain(|d| !d.placed.is_empty());
        drafts
    }
}

/// A part that lies at the very rim may be over it by what rounding to whole micrometres has
/// made of half the gap; it is put back.
fn within(yard: &Yard, kit: &Kit, seat: Seat) -> Seat {
    match yard.room(&kit.forms[seat.form]) {
        Some((low, high)) => {
            Seat { x: seat.x.clamp(low.0, high.0), y: seat.y.clamp(low.1, high.1), ..seat }
        }
        None => seat,
    }
}
