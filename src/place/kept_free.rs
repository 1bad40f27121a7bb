//! The areas kept free of parts on a sheet: its margin, strips under clamps, keep-outs.

use crate::geom::Bounds;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::offset;
use crate::geom::rectangle;
use crate::job::Job;
use crate::place::sheet::NestedSheet;

impl NestedSheet {
    /// Areas of metal that must not be cut, with the name of each.
    pub(crate) fn keep_outs<'j>(
        &self,
        job: &'j Job,
    ) -> impl Iterator<Item = (&'j Outline, &'j str)> {
        let stock = self.stock(job);
        let names = stock.keep_out_names.iter().map(|name| name.as_deref().unwrap_or("keep out"));
        stock.sheet.keep_outs.iter().zip(names)
    }

    /// The strips under clamps along the sides, with the width of each, mm.
    pub(crate) fn clamped(&self, job: &Job) -> Vec<(Bounds, f64)> {
        let stock = &self.stock(job).sheet;
        let clamps = &stock.clamps;
        let [left, right, bottom, top] = [clamps.left, clamps.right, clamps.bottom, clamps.top];
        let Bounds { min, max } = stock.region.bounds();
        let strips = [
            (Bounds { min, max: Point::new(min.x + left, max.y) }, left),
            (Bounds { min: Point::new(max.x - right, min.y), max }, right),
            (Bounds { min, max: Point::new(max.x, min.y + bottom) }, bottom),
            (Bounds { min: Point::new(min.x, max.y - top), max }, top),
        ];
        strips.into_iter().filter(|(_, width)| *width > 0.0).collect()
    }

    /// The lines that are a margin away from the edge of the sheet and its holes; none without a
    /// margin.
    pub(crate) fn margin_lines(&self, job: &Job) -> Vec<Outline> {
        let (stock, margin) = (&self.stock(job).sheet, job.margin);
        if margin <= 0.0 {
            return Vec::new();
        }
        if stock.is_plain() {
            let inner = stock.region.bounds().grown(-margin);
            let all = rectangle(inner.centre(), inner.width(), inner.height(), 0.0);
            return all.into_iter().collect();
        }
        let outer = offset(stock.region.outer(), -margin);
        let holes = stock.region.holes().iter().map(|hole| offset(hole, margin));
        std::iter::once(outer).chain(holes).filter_map(Result::ok).collect()
    }
}
