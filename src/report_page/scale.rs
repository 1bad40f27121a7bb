//! The scale of a sheet in the page.

use crate::geom::Point;
use crate::report::SheetRow;

/// Room for a sheet, px. Our choice.
const ROOM: [f64; 2] = [640.0, 460.0];

/// A sheet being drawn: px for a mm, and its height, px.
pub(super) struct Scale {
    pub(super) px: f64,
    pub(super) high: f64,
}

impl Scale {
    /// That of a sheet.
    pub(super) fn of(row: &SheetRow) -> Self {
        let [length, width] = row.size_mm;
        let px = (ROOM[0] / length).min(ROOM[1] / width);
        Self { px, high: width * px }
    }

    /// A point of the sheet, mm, in the picture.
    pub(super) fn at(&self, p: Point) -> Point {
        Point::new(p.x * self.px, self.high - p.y * self.px)
    }
}
