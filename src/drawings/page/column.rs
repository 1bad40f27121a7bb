//! The column beside the flat: the picture of the formed part, the bends in order, the tables.

use crate::drawings::framed;
use crate::drawings::layout::HEADING;
use crate::drawings::layout::Layout;
use crate::drawings::page::sheet::Sheet;
use crate::geom::Bounds;
use crate::paper;
use crate::paper::Block;
use crate::paper::Picture;
use crate::paper::Unit;
use std::rc::Rc;

/// Height of the picture of the formed part at most, mm: the column is not much wider.
const TALLEST: f64 = 96.0;

/// Left free beside that picture, and above and below it, mm.
const BESIDE: [f64; 2] = [8.0, 6.0];

/// How a sheet is shared out.
#[derive(Clone, Copy)]
pub(super) struct Share {
    /// How many of the last tables stand with the notes.
    pub(super) below: usize,
    /// Height of the picture of the folded part at least, mm.
    pub(super) least: f64,
    /// Whether it stands beside the flat, and not in the column.
    pub(super) between: bool,
    /// Whether the flat has the sheet for itself, and the tables go on further ones.
    pub(super) alone: bool,
}

/// What stands beside the flat, and where.
pub(super) struct Column {
    /// Height of the picture of the formed part with its heading, at the top of the first area, mm.
    pub(super) high: f64,
    /// What that leaves of the areas.
    pub(super) areas: Vec<Bounds>,
    /// What stands there.
    pub(super) units: Vec<Unit>,
}

impl Sheet<'_> {
    /// The tables that stand beside the flat, and those that stand with the notes, as these are so
    /// many.
    pub(super) fn parted(&self, below: usize) -> (&[Block], &[Block]) {
        self.tables.split_at(self.tables.len() - below)
    }

    /// What stands beside the flat in a layout; nothing where that has no room for it.
    pub(super) fn column(&self, layout: &Layout, share: Share) -> Option<Column> {
        let first = layout.areas.first()?;
        let alone = layout.areas.len() > 1;
        // The picture leaves nothing of a panel of its own.
        let bent = usize::from(alone && self.is_bent());
        let others = layout.areas.iter().skip(bent);
        let width = others.map(Bounds::width).fold(f64::INFINITY, f64::min);
        let bends = self.bend_rows(width).to_vec();
        let tables = paper::units(self.parted(share.below).0, width);
        // Where no bend has room in the panels for them the tables take it.
        let is_lower = alone && paper::taken(&bends, &layout.areas[bent..]) == 0;
        let units = if is_lower { [tables, bends].concat() } else { [bends, tables].concat() };
        let room = first.height();
        let left = room - paper::height(&units, room - share.least);
        let high = if alone { room } else { left.clamp(share.least, TALLEST) };
        let mut areas = layout.areas.clone();
        if self.is_bent() {
            areas[0].max.y = first.max.y - high;
        }
        Some(Column { high, areas, units })
    }

    /// The picture of the formed part in its panel; nothing for a part without bends.
    pub(super) fn folded(&self, layout: &Layout, column: &Column) -> Option<Rc<Picture>> {
        self.picture(self.room_of_folded(layout, column)?)
    }

    /// The largest scale that this picture could have.
    pub(super) fn folded_at_most(&self, layout: &Layout, column: &Column) -> Option<f64> {
        Some(self.formed?.scale_at_most(self.room_of_folded(layout, column)?))
    }

    fn room_of_folded(&self, layout: &Layout, column: &Column) -> Option<[f64; 2]> {
        let first = layout.areas.first().filter(|_| self.is_bent())?;
        let under = [first.width(), column.high - HEADING - framed::second_line(first)];
        Some([under[0] - BESIDE[0], under[1] - BESIDE[1]])
    }
}
