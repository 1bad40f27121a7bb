//! Pages as PDF, at true size. The file carries no date, and its letters as a subset of
//! the font, so that words can be searched and copied.

use crate::geom::Bounds;
use crate::geom::Edge;
use crate::geom::Point;
use crate::num::Angle;
use crate::paper::font;
use crate::paper::font::Weight;
use crate::paper::scene::Ink;
use crate::paper::scene::Item;
use crate::paper::scene::Pages;
use crate::paper::scene::Reading;
use crate::paper::scene::Words;
use crate::paper::scene::outline;
use krilla::Document;
use krilla::color::luma;
use krilla::color::rgb;
use krilla::geom::Path;
use krilla::geom::PathBuilder;
use krilla::geom::Transform;
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::Fill;
use krilla::paint::FillRule;
use krilla::paint::LineCap;
use krilla::paint::LineJoin;
use krilla::paint::Paint;
use krilla::paint::Stroke;
use krilla::paint::StrokeDash;
use krilla::surface::Surface;
use krilla::text::Font;
use krilla::text::GlyphId;
use krilla::text::KrillaGlyph;
use thiserror::Error;

/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// Most of a turn that one Bézier curve follows, degrees: off by less than a millionth of
/// the radius.
const MAX_SWEEP: f64 = 45.0;

/// Why no PDF could be written.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum PdfError {
    /// The size of a page is none.
    #[error("a page cannot be {0} mm × {1} mm")]
    Size(f64, f64),
    /// The font that the program carries cannot be used.
    #[error("the font of the drawings cannot be read")]
    Font,
    /// The PDF library refuses; its own words.
    #[error("the PDF writer reports: {0}")]
    Writer(String),
}

/// The bytes of a PDF file. The same pages give the same bytes.
///
/// # Errors
/// When the size of a page is none, or the writer refuses.
pub fn pdf(drawing: &Pages) -> Result<Vec<u8>, PdfError> {
    let face = |weight: Weight| Font::new(weight.bytes().to_vec().into(), 0).ok_or(PdfError::Font);
    let fonts = [face(Weight::Plain)?, face(Weight::Heavy)?];
    let [width, height] = drawing.size;
    let settings = PageSettings::from_wh(points(width), points(height))
        .ok_or(PdfError::Size(width, height))?;
    let mut document = Document::new();
    let metadata = Metadata::new().title(drawing.title.clone()).creator("platewright".into());
    document.set_metadata(metadata.language("en".into()));
    for page in &drawing.pages {
        let mut sheet = document.start_page_with(settings.clone());
        let mut surface = sheet.surface();
        let mut hand = Hand { surface: &mut surface, fonts: &fonts, top: height };
        hand.items(&page.items);
        surface.finish();
        sheet.finish();
    }
    document.finish().map_err(|error| PdfError::Writer(format!("{error:?}")))
}

/// A length in mm as PDF has it.
#[expect(clippy::cast_possible_truncation, reason = "six digits are finer than any printer")]
fn points(mm: f64) -> f32 {
    (mm * POINTS) as f32
}

/// Draws on one page.
struct Hand<'a, 'b> {
    surface: &'a mut Surface<'b>,
    /// Plain and heavy.
    fonts: &'a [Font; 2],
    /// Height of the page, mm: PDF as the writer has it counts from above.
    top: f64,
}

impl Hand<'_, '_> {
    fn items(&mut self, items: &[Item]) {
        for item in items {
            self.item(item);
        }
    }

    fn item(&mut self, item: &Item) {
        match item {
            Item::Line(pen, edges) => {
                self.surface.set_fill(None);
                self.surface.set_stroke(Some(stroke(paint(pen.ink()), pen.width(), pen.dashes())));
                if let Some(path) = self.path(std::slice::from_ref(edges)) {
                    self.surface.draw_path(&path);
                }
            }
            Item::Fill(tone, loops) => {
                self.surface.set_fill(Some(fill(grey(*tone).into())));
                self.surface.set_stroke(None);
                if let Some(path) = self.path(loops) {
                    self.surface.draw_path(&path);
                }
            }
            Item::Area(ink, loops) => {
                self.surface.set_fill(Some(fill(paint(*ink))));
                self.surface.set_stroke(None);
                if let Some(path) = self.path(loops) {
                    self.surface.draw_path(&path);
                }
            }
            Item::Words(words) => self.words(words),
            Item::Window(bounds, items) => self.window(*bounds, items),
            Item::Noted(_, items) => self.items(items),
        }
    }

    fn window(&mut self, bounds: Bounds, items: &[Item]) {
        let Some(path) = self.path(&[outline(bounds)]) else { return };
        self.surface.push_clip_path(&path, &FillRule::NonZero);
        self.items(items);
        self.surface.pop();
    }

    fn words(&mut self, words: &Words) {
        let size = font::size(words.height);
        self.surface.set_fill(Some(fill(paint(words.ink))));
        self.surface.set_stroke(None);
        let glyphs: Vec<KrillaGlyph> = words
            .text
            .char_indices()
            .map(|(at, sign)| {
                let glyph = font::glyph(words.weight, sign);
                #[expect(clippy::cast_possible_truncation, reason = "font units are small")]
                let advance = glyph.advance as f32;
                let range = at..at + sign.len_utf8();
                KrillaGlyph::new(GlyphId::new(glyph.id), advance, 0.0, 0.0, 0.0, range, None)
            })
            .collect();
        let (x, y) = (points(words.at.x), points(self.top - words.at.y));
        let (sin, cos) = match words.reading {
            Reading::Level => (0.0, 1.0),
            Reading::Upward => (-1.0, 0.0),
            Reading::Slanting(_) => turned(words.reading),
        };
        self.surface.push_transform(&Transform::from_row(cos, sin, -sin, cos, x, y));
        let start = krilla::geom::Point::from_xy(0.0, 0.0);
        let font = match words.weight {
            Weight::Plain => self.fonts[0].clone(),
            Weight::Heavy => self.fonts[1].clone(),
        };
        self.surface.draw_glyphs(start, &glyphs, font, &words.text, points(size), false);
        self.surface.pop();
    }

    fn at(&self, p: Point) -> (f32, f32) {
        (points(p.x), points(self.top - p.y))
    }

    /// A path through loops or chains of edges; `None` if there are none.
    fn path(&self, chains: &[Vec<Edge>]) -> Option<Path> {
        let mut path = PathBuilder::new();
        for chain in chains {
            let (first, last) = (chain.first()?, chain.last()?);
            let (x, y) = self.at(first.from);
            path.move_to(x, y);
            for edge in chain {
                self.edge(&mut path, edge);
            }
            if (first.from - last.to).hypot() < crate::geom::NEAR {
                path.close();
            }
        }
        path.finish()
    }

    fn edge(&self, path: &mut PathBuilder, edge: &Edge) {
        let Some(arc) = edge.arc() else {
            let (x, y) = self.at(edge.to);
            return path.line_to(x, y);
        };
        let sweep = arc.sweep.degrees();
        let pieces = (sweep.abs() / MAX_SWEEP).ceil().max(1.0);
        let step = sweep / pieces;
        // Handles of a Bézier curve that follows a circle.
        let handle = 4.0 / 3.0 * Angle::from_degrees(step / 4.0).tan();
        let mut angle = arc.start.degrees();
        for _ in 0..pieces as usize {
            let ends = [angle, angle + step].map(Angle::from_degrees);
            let [from, to] = ends.map(|a| arc.point(a));
            let [along, back] = ends.map(|a| (-a.sin() * arc.radius, a.cos() * arc.radius));
            let first = from + (along.0 * handle, along.1 * handle);
            let second = to - (back.0 * handle, back.1 * handle);
            let [(a, b), (c, d), (x, y)] = [first, second, to].map(|p| self.at(p));
            path.cubic_to(a, b, c, d, x, y);
            angle += step;
        }
    }
}

/// Sine and cosine of a slanting line, seen from above.
#[expect(clippy::cast_possible_truncation, reason = "six digits are finer than any printer")]
fn turned(reading: Reading) -> (f32, f32) {
    let angle = reading.angle();
    (-angle.sin() as f32, angle.cos() as f32)
}

fn paint(ink: Ink) -> Paint {
    match ink.colour() {
        None => grey(0.0).into(),
        Some([red, green, blue]) => rgb::Color::new(red, green, blue).into(),
    }
}

fn fill(paint: Paint) -> Fill {
    Fill { paint, opacity: NormalizedF32::ONE, rule: FillRule::EvenOdd }
}

fn stroke(paint: Paint, width: f64, dashes: &[f64]) -> Stroke {
    let dash = (!dashes.is_empty())
        .then(|| StrokeDash { array: dashes.iter().map(|mm| points(*mm)).collect(), offset: 0.0 });
    Stroke {
        paint,
        width: points(width),
        miter_limit: 4.0,
        line_cap: if dashes.is_empty() { LineCap::Round } else { LineCap::Butt },
        line_join: LineJoin::Round,
        opacity: NormalizedF32::ONE,
        dash,
    }
}

#[expect(clippy::cast_possible_truncation, reason = "held to a byte")]
#[expect(clippy::cast_sign_loss, reason = "held to a byte")]
fn grey(tone: f64) -> luma::Color {
    luma::Color::new((tone.clamp(0.0, 1.0) * 255.0).round() as u8)
}
