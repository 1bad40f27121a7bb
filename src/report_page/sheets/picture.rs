//! A sheet as a picture: metal, keep-outs, pieces with the numbers of their parts, the remnant.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::num;
use crate::place::NestedSheet;
use crate::report::SheetRow;
use crate::report_page::Page;
use crate::report_page::dimensions;
use crate::report_page::dimensions::note;
use crate::report_page::dimensions::note_upward;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::laid::Laid;
use crate::report_page::scale::Scale;
use crate::report_page::shapes;
use crate::report_page::shapes::number;

/// Maximum size of a letter of a name with the space round it, px: width, height.
const LETTER: [f64; 2] = [6.6, 18.0];
/// From one line of a hatch to the next, px.
const HATCH: f64 = 7.0;

impl Page<'_> {
    /// The picture of a sheet, the first of which has the index 0; `laid` are its pieces.
    pub(super) fn sheet_picture(
        &self,
        index: usize,
        row: &SheetRow,
        nested: &NestedSheet,
        laid: &Laid,
    ) -> El {
        let stock = &nested.stock(self.job).sheet;
        let [length, width] = row.size_mm;
        let scale = Scale::of(row);
        let px = scale.px;
        let hatch = format!("h{index}");
        let mut metal =
            Html::from(shapes::path(&shapes::outlines(&stock.region)).at("class", "edge"));
        let mut words = Html::default();
        let (areas, names) = self.kept_free(nested, &scale, &hatch);
        metal = metal.and(areas);
        words = words.and(names);
        metal = metal.and(&laid.metal);
        words = words.and(&laid.numbers);
        if let Some((at, size)) = row.remnant_at_mm.zip(row.remnant_mm) {
            let min = Point::new(at[0], at[1]);
            let remnant = Bounds { min, max: min + (size[0], size[1]) };
            metal = metal.and(rect(&remnant, "remnant"));
            let sizes = format!("remnant {}", self.both_down(size));
            words = words.and(along(&scale, &remnant, &sizes));
        }
        let transform = format!("translate(0 {}) scale({})", number(scale.high), num::text(px, 5));
        let drawn = el("g").at("id", format_args!("g{index}")).at("class", "mm");
        let drawn = drawn.at("transform", transform).with(metal);
        let size = [length * px, scale.high];
        let dimensions = dimensions::overall(size, [&self.shop(length), &self.shop(width)]);
        // The caption, the legend and the table say the same in words.
        let svg = dimensions::drawing("dwg nest", size).at("aria-hidden", "true");
        svg.with(pattern(&hatch, px)).with(drawn).with(dimensions).with(words)
    }

    /// The keep-outs of a sheet, drawn in mm, and their names.
    fn kept_free(&self, nested: &NestedSheet, scale: &Scale, hatch: &str) -> (Html, Html) {
        let (mut areas, mut names) = (Html::default(), Html::default());
        let hatched = |area: El| area.at("fill", format_args!("url(#{hatch})"));
        // What reaches out of the sheet is cut off at its edge.
        let sheet = &nested.stock(self.job).sheet.region;
        let clip = format!("{hatch}-sheet");
        let mut kept = Html::default();
        for (outline, name) in nested.keep_outs(self.job) {
            kept = kept.and(hatched(shapes::closed(outline).at("class", "out")));
            let seen = shared(&outline.bounds(), &sheet.bounds());
            if fits(name, &seen, scale) {
                names = names.and(note(scale.at(seen.centre()), name));
            }
        }
        if nested.keep_outs(self.job).next().is_some() {
            let edge = el("clipPath").at("id", &clip).with(shapes::closed(sheet.outer()));
            let kept = el("g").at("clip-path", format_args!("url(#{clip})")).with(kept);
            areas = areas.and(edge).and(kept);
        }
        for (strip, _) in nested.clamped(self.job) {
            areas = areas.and(hatched(rect(&strip, "out")));
            names = names.and(along(scale, &strip, "clamp"));
        }
        let margin = nested.margin_lines(self.job);
        let margin = margin.iter().map(|line| shapes::closed(line).at("class", "margin"));
        (areas.and(margin.collect::<Html>()), names)
    }
}

/// Whether a name has room in the visible part of an area; else only the legend has it.
fn fits(name: &str, seen: &Bounds, scale: &Scale) -> bool {
    let [wide, high] = [seen.width(), seen.height()].map(|mm| mm * scale.px);
    wide >= LETTER[0] * name.chars().count() as f64 && high >= LETTER[1]
}

/// What two rectangles share.
fn shared(a: &Bounds, b: &Bounds) -> Bounds {
    let min = Point::new(a.min.x.max(b.min.x), a.min.y.max(b.min.y));
    Bounds { min, max: Point::new(a.max.x.min(b.max.x), a.max.y.min(b.max.y)) }
}

/// The hatch of keep-outs, at a scale in px for a mm.
fn pattern(id: &str, px: f64) -> El {
    let step = num::text(HATCH / px, 3);
    let pattern = el("pattern").at("id", id).at("patternUnits", "userSpaceOnUse");
    let pattern = pattern.at("width", &step).at("height", &step);
    let line = shapes::path(&format!("M0 0V{step}")).at("class", "hatch");
    el("defs").with(pattern.at("patternTransform", "rotate(45)").with(line))
}

fn rect(bounds: &Bounds, class: &str) -> El {
    let (x, y) = (number(bounds.min.x), number(-bounds.max.y));
    let rect = el("rect").at("class", class).at("x", x).at("y", y);
    rect.at("width", number(bounds.width())).at("height", number(bounds.height()))
}

/// Words within a rectangle along its longer side; `None` if there is no room.
fn along(scale: &Scale, within: &Bounds, words: &str) -> Option<El> {
    let at = scale.at(within.centre());
    let is_level = within.width() >= within.height();
    let room = within.width().max(within.height()) * scale.px;
    let has_room = room >= LETTER[0] * words.chars().count() as f64;
    has_room.then(|| if is_level { note(at, words) } else { note_upward(at, words) })
}
