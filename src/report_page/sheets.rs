//! The sheets as pictures whose pieces lead to the cards of their parts, and as a table.

use crate::geom::Bounds;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num;
use crate::num::Angle;
use crate::place::NestedSheet;
use crate::report::PlacedRow;
use crate::report::SheetRow;
use crate::report_page::Page;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::link;
use crate::report_page::html::of_class;
use crate::report_page::shapes;
use crate::report_page::shapes::number;
use crate::report_page::table::Table;

/// Room for a sheet, px. Our choice.
const ROOM: [f64; 2] = [640.0, 460.0];
/// Left of a sheet and below it, for its size, and on the other sides, px.
const SIZES: f64 = 34.0;
const ROUND: f64 = 10.0;
/// Metal round a point at which a number is read, px, and for each of its figures.
const READ: f64 = 6.0;
const READ_EACH: f64 = 3.8;
/// From one line of a hatch to the next, px.
const HATCH: f64 = 7.0;

/// A sheet being drawn: px for a mm, and its height, px.
struct Scale {
    px: f64,
    high: f64,
}

impl Scale {
    fn at(&self, p: Point) -> Point {
        Point::new(p.x * self.px, self.high - p.y * self.px)
    }
}

impl Page<'_> {
    /// The pictures of all sheets.
    pub(super) fn sheet_figures(&self) -> Html {
        let sheets = self.report.sheets.iter().zip(self.nested).enumerate();
        let figures: Html =
            sheets.map(|(i, (row, nested))| self.figure_of(i, row, nested)).collect();
        let tabs = el("div").at("id", "tabs").at("role", "tablist").at("aria-label", "Sheets");
        let words = |id: &'static str, words: &'static str| {
            el("button").at("type", "button").at("id", id).with(words)
        };
        let under = el("div").at("id", "under").flag("hidden");
        let under = under.with(words("whole", "Whole sheet")).with(words("out", "Smaller"));
        let under = under.with(words("in", "Larger")).with(el("output").at("id", "where"));
        Html::from(tabs.flag("hidden")).and(figures).and(under)
    }

    fn figure_of(&self, index: usize, row: &SheetRow, nested: &NestedSheet) -> El {
        let name = super::sheet_name(row);
        let svg = self.sheet_picture(index, row, nested);
        let label = format!(
            "Sheet {name}, {}, with {} on it",
            self.both(row.size_mm),
            super::counted(row.placed.len(), "piece")
        );
        let stage = el("div").at("class", "stage").at("role", "group").at("aria-label", &label);
        let figure = el("figure").at("class", "sheet").at("id", format_args!("sheet-{index}"));
        let figure = figure.at("data-name", name);
        let note = format!(
            "{:.1} % · {}",
            row.used.gross_percent,
            super::counted(row.placed.len(), "piece")
        );
        let figure = figure.at("data-note", note).with(stage.with(svg));
        figure.with(self.sheet_caption(row)).with(self.legend(row))
    }

    fn sheet_caption(&self, row: &SheetRow) -> El {
        let mut facts = vec![format!("{}, {}", row.stock, self.both(row.size_mm))];
        facts.extend(row.remnant_used.as_ref().map(|name| format!("remnant “{name}”")));
        facts.push(super::counted(row.placed.len(), "piece"));
        facts.push(format!(
            "{:.1} % of the used {} filled, upper bound {:.1} %",
            row.used.gross_percent,
            self.shop(row.used.length_mm),
            row.used.upper_bound_percent
        ));
        facts.push(format!(
            "cut {}, {}",
            self.long(row.cut_length_mm),
            super::counted(row.pierces, "pierce")
        ));
        facts.push(format!("gap {}, margin {}", self.shop(row.gap_mm), self.shop(row.margin_mm)));
        let spans: Html = facts.into_iter().map(|fact| el("span").with(fact)).collect();
        let stem = row.file.trim_end_matches(".dxf");
        let kinds = [("pdf", "PDF"), ("dxf", "DXF"), ("svg", "SVG")];
        let files = kinds.map(|(ending, words)| (format!("{stem}.{ending}"), words));
        let files = files.iter().filter(|(file, _)| self.report.files.contains(file));
        let files: Html = files.map(|(file, words)| link(file, words)).collect();
        el("figcaption").with(el("b").with(super::sheet_name(row))).with(spans).with(files)
    }

    /// Which numbers are which part, each once.
    fn legend(&self, row: &SheetRow) -> El {
        let mut parts: Vec<(&str, Vec<String>)> = Vec::new();
        for (i, piece) in row.placed.iter().enumerate() {
            let number = (i + 1).to_string();
            match parts.iter_mut().find(|(name, _)| *name == piece.part) {
                Some((_, numbers)) => numbers.push(number),
                None => parts.push((piece.part.as_str(), vec![number])),
            }
        }
        let item = |(name, numbers): (&str, Vec<String>)| {
            let part = self.part_number(name);
            let item = el("li").at("data-p", part).with(link(format_args!("#part-{name}"), name));
            item.with(format!(" {}", numbers.join(", ")))
        };
        let items: Html = parts.into_iter().map(item).collect();
        let label =
            format!("Pieces on {}, by their numbers in cutting order", super::sheet_name(row));
        el("ul").at("class", "legend").at("aria-label", label).with(items)
    }

    /// The number of a part of this name, which every piece has.
    fn part_number(&self, name: &str) -> usize {
        self.solved.iter().position(|solved| solved.name == name).unwrap_or_default()
    }

    fn sheet_picture(&self, index: usize, row: &SheetRow, nested: &NestedSheet) -> El {
        let stock = &self.job.sheets[nested.sheet].stock[nested.stock];
        let [length, width] = row.size_mm;
        let px = (ROOM[0] / length).min(ROOM[1] / width);
        let scale = Scale { px, high: width * px };
        let edge = shapes::path(&shapes::outlines(&stock.sheet.region)).at("class", "edge");
        let hatch = format!("h{index}");
        let mut metal = Html::from(edge);
        let mut words = Html::default();
        for outline in &stock.sheet.keep_outs {
            let data = shapes::data(&outline.edges().collect::<Vec<_>>()) + "Z";
            metal = metal.and(
                shapes::path(&data).at("class", "out").at("fill", format_args!("url(#{hatch})")),
            );
            words = words.and(note(scale.at(outline.bounds().centre()), "keep out"));
        }
        for clamp in clamps(&stock.sheet.clamps, length, width) {
            metal = metal.and(rect(&clamp, "out").at("fill", format_args!("url(#{hatch})")));
            words = words.and(along(&scale, &clamp, "clamp"));
        }
        let whole = Bounds { min: Point::ZERO, max: Point::new(length, width) };
        if (stock.sheet.region.area() - length * width).abs() < 1e-6 * length * width {
            metal = metal.and(rect(&whole.grown(-row.margin_mm), "margin"));
        }
        let pieces = row.placed.iter().enumerate();
        metal = metal.and(pieces.clone().map(|(i, piece)| self.piece(i, piece)).collect::<Html>());
        words = words.and(pieces.map(|(i, piece)| self.number(i, piece, &scale)).collect::<Html>());
        if let Some((at, size)) = row.remnant_at_mm.zip(row.remnant_mm) {
            let min = Point::new(at[0], at[1]);
            let remnant = Bounds { min, max: min + (size[0], size[1]) };
            metal = metal.and(rect(&remnant, "remnant"));
            let text = format!("remnant {}", self.remnant_size(size));
            words = words.and(along(&scale, &remnant, &text));
        }
        let transform = format!("translate(0 {}) scale({})", number(scale.high), num::text(px, 5));
        let drawn = el("g").at("id", format_args!("g{index}")).at("class", "mm");
        let drawn = drawn.at("transform", transform).with(metal);
        let (wide, high) = (length * px + SIZES + ROUND, scale.high + SIZES + ROUND);
        let view = [-SIZES, -ROUND, wide, high].map(number).join(" ");
        let sizes = sizes(length * px, scale.high, [self.shop(length), self.shop(width)]);
        // The caption, the legend and the table say the same in words.
        let svg = el("svg").at("class", "dwg nest").at("viewBox", view).at("aria-hidden", "true");
        let pattern = el("pattern").at("id", &hatch).at("patternUnits", "userSpaceOnUse");
        let step = num::text(HATCH / px, 3);
        let pattern = pattern.at("width", &step).at("height", &step);
        let pattern = pattern.at("patternTransform", "rotate(45)");
        let line = shapes::path(&format!("M0 0V{step}")).at("class", "hatch");
        svg.with(el("defs").with(pattern.with(line))).with(drawn).with(sizes).with(words)
    }

    /// A piece, which leads to the card of its part.
    fn piece(&self, index: usize, piece: &PlacedRow) -> El {
        let part = self.part_number(&piece.part);
        let mirror = if piece.mirrored { " scale(-1 1)" } else { "" };
        let rotate = match piece.orientation_deg {
            0.0 => String::new(),
            degrees => format!(" rotate({})", num::text(-degrees, 4)),
        };
        let place =
            format!("translate({} {}){rotate}{mirror}", number(piece.x_mm), number(-piece.y_mm));
        let link = el("a").at("href", format_args!("#part-{}", piece.part)).at("class", "piece");
        let link = link.at("data-p", part).at("tabindex", -1);
        let title = el("title").with(format!("{} {}", index + 1, piece.part));
        link.with(title).with(shapes::again(part).at("class", "met").at("transform", place))
    }

    /// The number of a piece, where there is most metal round it; its name where that fits.
    fn number(&self, index: usize, piece: &PlacedRow, scale: &Scale) -> Html {
        let part = self.part_number(&piece.part);
        let (at, room) = self.shapes[part].roomiest;
        let place = Place {
            mirrored: piece.mirrored,
            rotation: Angle::from_degrees(piece.orientation_deg),
            shift: Vec2::new(piece.x_mm, piece.y_mm),
        };
        let (at, room) = (scale.at(place.apply(at)), room * scale.px);
        let words = (index + 1).to_string();
        let needed = READ.max(READ_EACH * words.len() as f64);
        let class = if room < needed { "n tiny" } else { "n" };
        let text = el("text").at("class", class).at("data-p", part).at("data-r", number(room));
        text.at("x", number(at.x)).at("y", number(at.y)).with(words).into()
    }

    /// A table of the sheets, and what each kind keeps.
    pub(super) fn sheet_table(&self) -> Html {
        let mut table = Table::new(
            "sheet-table",
            "Sheets: used length, how much of it the outlines of the parts fill, the upper bound of \
             that with these parts, and the largest rectangular remnant",
            &[
                "Sheet",
                "Size",
                "Used length",
                "Filled",
                "Upper bound",
                "Remnant",
                "Cut length",
                "Pierces",
                "Min. gap",
            ],
        );
        for row in &self.report.sheets {
            let used = &row.used;
            table.row([
                super::sheet_name(row).to_owned(),
                self.both(row.size_mm),
                self.shop(used.length_mm),
                format!("{:.1} %", used.gross_percent),
                format!("{:.1} %", used.upper_bound_percent),
                row.remnant_mm.map_or_else(|| "–".to_owned(), |size| self.remnant_size(size)),
                self.long(row.cut_length_mm),
                row.pierces.to_string(),
                row.min_gap_mm.map_or_else(String::new, |gap| self.rounded_down(gap, 2)),
            ]);
        }
        table.html().and(self.kinds())
    }

    /// A remnant rounded down.
    fn remnant_size(&self, [long, wide]: [f64; 2]) -> String {
        let long = self.rounded_down(long, 1);
        let long = long.split(' ').next().unwrap_or_default();
        format!("{long} × {}", self.rounded_down(wide, 1))
    }

    /// The distances that are kept on a kind of sheet.
    fn kept(&self, stock: &str) -> String {
        let Some(sheet) = self.report.sheets.iter().find(|sheet| sheet.stock == stock) else {
            return String::new();
        };
        let (gap, margin) = (self.length(Some(sheet.gap_mm)), self.length(Some(sheet.margin_mm)));
        let cut_outs = sheet.cut_out_gap_mm.map_or_else(String::new, |gap| {
            format!(", {} to the edge of a cut-out", self.length(Some(gap)))
        });
        format!("; kept: {gap} between parts, {margin} to the sheet edge{cut_outs}")
    }

    /// How each kind of sheet was nested.
    fn kinds(&self) -> Html {
        let item = |nest: &crate::report::NestRow| {
            let min =
                nest.min_sheets.map_or_else(String::new, |n| format!(", at least {n} needed"));
            // Of a single sheet the table says how full it is.
            let filled = match nest.sheets {
                1 => String::new(),
                _ => format!(
                    "; together {:.1} % filled, upper bound {:.1} %",
                    nest.gross_percent, nest.upper_bound_percent
                ),
            };
            let sheets = super::counted(nest.sheets, "sheet");
            let kept = self.kept(&nest.sheet);
            el("li").with(format!("{}: {sheets}{min}{filled}{kept}", nest.sheet))
        };
        let kinds: Html = self.report.nests.iter().filter(|n| n.sheets > 0).map(item).collect();
        of_class("ul", "plain", kinds).into()
    }

    /// The remnants as lines to paste into the stock of a later job.
    pub(super) fn remnants(&self) -> Html {
        let mut out = Html::default();
        for (i, nest) in self.report.nests.iter().enumerate() {
            let of_kind = self.report.sheets.iter().filter(|sheet| sheet.stock == nest.sheet);
            let lines: Vec<&str> = of_kind.filter_map(|s| s.remnant_stock.as_deref()).collect();
            if lines.is_empty() {
                continue;
            }
            let id = format!("remnant-{i}");
            let heading = Html::from("For the stock of ").and(nest.sheet.as_str());
            let copy = el("button").at("type", "button").at("data-copy", &id).flag("hidden");
            let copy = copy.at("aria-label", format_args!("Copy the remnants of {}", nest.sheet));
            let text = lines.iter().map(|line| format!("  {line},\n")).collect::<String>();
            let pre = el("pre").at("id", &id).at("tabindex", 0).at("role", "region");
            let pre = pre.at("aria-label", format_args!("Remnants of {}", nest.sheet));
            let block = of_class("div", "remnants", el("h3").with(heading));
            out = out.and(
                block.with(pre.with(el("code").with(Html::lines(&text)))).with(copy.with("Copy")),
            );
        }
        out
    }
}

/// The strips along the sides that clamps cover, mm.
fn clamps(sides: &crate::nest::Sides, length: f64, width: f64) -> Vec<Bounds> {
    let strip = |x: [f64; 2], y: [f64; 2]| Bounds {
        min: Point::new(x[0], y[0]),
        max: Point::new(x[1], y[1]),
    };
    let all = [
        (sides.left, strip([0.0, sides.left], [0.0, width])),
        (sides.right, strip([length - sides.right, length], [0.0, width])),
        (sides.bottom, strip([0.0, length], [0.0, sides.bottom])),
        (sides.top, strip([0.0, length], [width - sides.top, width])),
    ];
    all.into_iter().filter(|(deep, _)| *deep > 0.0).map(|(_, strip)| strip).collect()
}

fn rect(bounds: &Bounds, class: &'static str) -> El {
    let (x, y) = (number(bounds.min.x), number(-bounds.max.y));
    let rect = el("rect").at("class", class).at("x", x).at("y", y);
    rect.at("width", number(bounds.width())).at("height", number(bounds.height()))
}

fn note(at: Point, words: &str) -> El {
    let text = el("text").at("class", "note").at("x", number(at.x)).at("y", number(at.y));
    text.with(words)
}

/// Words within a rectangle along its longer side.
fn along(scale: &Scale, within: &Bounds, words: &str) -> El {
    let at = scale.at(within.centre());
    if within.width() >= within.height() {
        return note(at, words);
    }
    let turned = format!("translate({} {}) rotate(-90)", number(at.x), number(at.y));
    el("text").at("class", "note").at("transform", turned).with(words)
}

/// The sizes of a sheet, below and on the left, and the origin of its cut file.
fn sizes(wide: f64, high: f64, [length, width]: [String; 2]) -> Html {
    let off = 18.0;
    let data = format!(
        "M0 {0}V{1}M{2} {0}V{1}M0 {3}H{2}M-4 0H-{4}M-4 {5}H-{4}M-{off} 0V{5}",
        number(high + 4.0),
        number(high + off + 4.0),
        number(wide),
        number(high + off),
        number(off + 4.0),
        number(high)
    );
    let across = note(Point::new(wide / 2.0, high + off), &length);
    let turned = format!("translate(-{off} {}) rotate(-90)", number(high / 2.0));
    let up = el("text").at("class", "note").at("transform", turned).with(width);
    let origin = el("circle").at("class", "datum").at("cx", 0).at("cy", number(high)).at("r", 3);
    Html::from(shapes::path(&data).at("class", "size")).and(across).and(up).and(origin)
}
