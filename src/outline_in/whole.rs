//! An outline file of either format.

use crate::dxf_in;
use crate::outline_in::found::Found;
use crate::outline_in::found::OutlineError;
use crate::outline_in::found::Wish;
use crate::outline_in::sorted;
use crate::quantity::MM_PER_INCH;
use crate::sketch::Item;
use crate::svg_in;

/// A file as it is, and one unit of it in mm.
pub(super) struct Whole {
    /// What is drawn.
    pub(super) items: Vec<Item>,
    /// One unit in mm, and what says so.
    pub(super) units: Result<(f64, &'static str), OutlineError>,
    /// Pixels to one unit, in an SVG file in pixels.
    pub(super) pixels: Option<f64>,
    /// In words, what the file says of its units.
    pub(super) said: String,
    /// Whether its header calls for metric units.
    pub(super) metric: Option<bool>,
    /// The code page that its header names, where its texts cannot be read by it.
    pub(super) unknown_page: Option<String>,
    /// In words, what of its styles is ignored though it hides or dashes elements.
    pub(super) ignored: Option<String>,
}

/// A file as it is.
pub(super) fn whole(bytes: &[u8]) -> Result<Whole, OutlineError> {
    if svg_in::is_svg(bytes) {
        let svg_in::Whole { items, scale, pixels, size, ignored } = svg_in::whole(bytes)?;
        let (units, said) = match (scale, pixels) {
            (Some((mm, words)), _) => (Ok((mm, "page units")), words),
            (None, None) => (Err(OutlineError::OddSize(size.clone())), size),
            (None, Some(_)) => (Err(OutlineError::NoScale(size.clone())), size),
        };
        let (metric, unknown_page) = (None, None);
        return Ok(Whole { items, units, pixels, said, metric, unknown_page, ignored });
    }
    if let Some(format) = foreign(bytes) {
        return Err(OutlineError::Foreign(format));
    }
    let dxf_in::Whole { items, units, metric, unknown_page } = dxf_in::whole(bytes)?;
    let said = match &units {
        Ok((_, name)) => format!("its header says {name}"),
        Err(error) => error.to_string(),
    };
    let units = units.map_err(OutlineError::from);
    Ok(Whole { items, units, pixels: None, said, metric, unknown_page, ignored: None })
}

/// The format of a file that is not DXF, by how it begins.
fn foreign(bytes: &[u8]) -> Option<&'static str> {
    let known: [(&[u8], &str); 6] = [
        (b"AC10", "a DWG file"),
        (b"PK\x03\x04", "a zip archive"),
        (b"%PDF", "a PDF file"),
        (b"ISO-10303-21", "a STEP file"),
        (b"\x89PNG", "a bitmap image"),
        (b"\xff\xd8\xff", "a bitmap image"),
    ];
    let section = b"SECTION";
    match known.iter().find(|(head, _)| bytes.starts_with(head)) {
        Some((_, format)) => Some(format),
        None if bytes.iter().all(u8::is_ascii_whitespace) => Some("empty"),
        None if !bytes.windows(section.len()).any(|part| part == section) => {
            Some("a file of another format")
        }
        None => None,
    }
}

/// Reads an outline file.
///
/// # Errors
/// When it is damaged, its units are unknown, or it contains entities that cannot be read.
pub fn read(bytes: &[u8], wish: &Wish) -> Result<Found, OutlineError> {
    found(&whole(bytes)?, wish)
}

/// One unit of a file in mm, and what the file says of it, where it was read by that.
pub(super) fn unit(
    whole: &Whole,
    wish: &Wish,
) -> Result<(f64, Option<&'static str>), OutlineError> {
    match (wish.units, wish.per_inch) {
        (Some(units), _) => Ok((units.in_mm(), None)),
        (None, Some(per_inch)) => match (whole.pixels, &whole.units) {
            (Some(pixels), _) => Ok((pixels * MM_PER_INCH / per_inch, None)),
            // On a page of no known size a pixel says nothing.
            (None, Err(error @ OutlineError::OddSize(_))) => Err(error.clone()),
            (None, _) => Err(OutlineError::NoPixels(whole.said.clone())),
        },
        (None, None) => whole.units.clone().map(|(mm, name)| (mm, Some(name))),
    }
}

/// What a file shows.
pub(super) fn found(whole: &Whole, wish: &Wish) -> Result<Found, OutlineError> {
    let (mm, header_units) = unit(whole, wish)?;
    let found = sorted::sorted(&whole.items, mm, wish)?;
    dxf_in::within_reach(&found.cut)?;
    let (unknown_page, ignored) = (whole.unknown_page.clone(), whole.ignored.clone());
    Ok(Found { header_units, unknown_page, ignored, ..found })
}
