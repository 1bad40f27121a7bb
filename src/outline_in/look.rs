//! What an outline file shows, for somebody who has not seen it yet: its layers and what they
//! may mean, its contours, its units.

use crate::dxf_in::DxfError;
use crate::dxf_in::same_layer;
use crate::geom::ContourFault;
use crate::geom::Course;
use crate::geom::Edge;
use crate::geom::JOIN;
use crate::geom::Region;
use crate::geom::plate;
use crate::outline_in::found::Found;
use crate::outline_in::found::OutlineError;
use crate::outline_in::found::Use;
use crate::outline_in::found::Wish;
use crate::outline_in::sorted::only_layer;
use crate::outline_in::sorted::straight;
use crate::outline_in::whole::Whole;
use crate::outline_in::whole::found;
use crate::outline_in::whole::unit;
use crate::outline_in::whole::whole;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::sketch;
use crate::sketch::Item;
use crate::sketch::What;
use indexmap::IndexMap;

/// Plates of shops are between these, mm: what guesses of units follow. Our choice.
const PLATES: [f64; 2] = [15.0, 3000.0];

/// Words in names of layers, and what is meant by them. Common practice.
const NAMES: &[(&str, Use)] = &[
    ("bend", Use::Bend),
    ("fold", Use::Bend),
    ("mark", Use::Mark),
    ("engrav", Use::Mark),
    ("etch", Use::Mark),
    ("scribe", Use::Mark),
    ("note", Use::Nothing),
    ("text", Use::Nothing),
    ("dim", Use::Nothing),
    ("title", Use::Nothing),
    ("frame", Use::Nothing),
    ("border", Use::Nothing),
    ("hidden", Use::Nothing),
    ("center", Use::Nothing),
    ("centre", Use::Nothing),
    ("construction", Use::Nothing),
    ("cut", Use::Cut),
    ("outline", Use::Cut),
    ("contour", Use::Cut),
];

/// One layer.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// Its name.
    pub name: String,
    /// Kinds on it, how many; with why, where they are not seen or read.
    pub kinds: IndexMap<String, usize>,
    /// What it may mean.
    pub of: Use,
    /// Why that is assumed.
    pub why: String,
    /// What is drawn on it, where it is not read, mm; without a scale one unit is 1 mm.
    pub unread: Vec<Vec<Edge>>,
}

/// What was seen.
#[derive(Clone, Debug)]
pub struct Looked {
    /// Its layers, in the order of the file.
    pub layers: Vec<Layer>,
    /// Whether its layers need a map: not all is cut.
    pub needs_map: bool,
    /// The units to give to the recipe, where the file does not say them; a guess.
    pub guessed: Option<Units>,
    /// Texts that are left out: their layers, and what they say.
    pub texts: Vec<(String, String)>,
    /// What its units are, and why.
    pub units: String,
    /// The result of reading it so.
    pub found: Result<Found, OutlineError>,
    /// The plate, or what keeps it from being one.
    pub plate: Option<Result<Region, Vec<ContourFault>>>,
}

/// Examines a file. Units and a layer that are given are used.
///
/// # Errors
/// When it is damaged.
pub fn look(bytes: &[u8], wish: &Wish) -> Result<Looked, OutlineError> {
    let whole = whole(bytes)?;
    let layers = layers(&whole);
    let needs_map = wish.layer.is_none() && layers.iter().any(|layer| layer.of != Use::Cut);
    let (guessed, units) = units(&whole, wish);
    let map: Vec<(&str, Use)> = match needs_map {
        true => layers.iter().map(|layer| (layer.name.as_str(), layer.of)).collect(),
        false => Vec::new(),
    };
    let wish = Wish { units: wish.units.or(guessed), layers: map, ..wish.clone() };
    let found = found(&whole, &wish);
    let plate = found.as_ref().ok().map(|found| plate(&found.cut, JOIN));
    let texts = texts(&whole);
    let only = only_layer(&whole.items, &wish).map(str::to_owned);
    let mm = unit(&whole, &wish).map_or(1.0, |(mm, _)| mm);
    let mut layers = as_read(layers, only.as_deref());
    for layer in layers.iter_mut().filter(|layer| found.is_err() || layer.of == Use::Nothing) {
        layer.unread = drawn(&whole, &layer.name, mm);
    }
    Ok(Looked { needs_map, guessed, texts, units, found, plate, layers })
}

/// The layers, where only one is read with the others as ignored.
fn as_read(mut layers: Vec<Layer>, only: Option<&str>) -> Vec<Layer> {
    let Some(wanted) = only else { return layers };
    for layer in &mut layers {
        if same_layer(&layer.name, wanted) {
            layer.of = Use::Cut;
        } else {
            layer.of = Use::Nothing;
            layer.why = format!("only layer `{wanted}` is read");
        }
    }
    layers
}

/// What is drawn on a layer, mm.
fn drawn(whole: &Whole, layer: &str, mm: f64) -> Vec<Vec<Edge>> {
    let edges = |item: &Item| match &item.what {
        What::Drawn(courses) | What::Fill(courses) => Some(sketch::edges(courses, mm).0),
        _ => None,
    };
    whole.items.iter().filter(|item| item.layer == layer).filter_map(edges).collect()
}

fn texts(whole: &Whole) -> Vec<(String, String)> {
    let text = |item: &Item| match &item.what {
        What::Idle(text) if !text.is_empty() => Some((item.layer.clone(), text.clone())),
        _ => None,
    };
    whole.items.iter().filter_map(text).collect()
}

fn layers(whole: &Whole) -> Vec<Layer> {
    let mut all: IndexMap<&str, IndexMap<String, usize>> = IndexMap::new();
    for item in &whole.items {
        let kind = match (&item.what, &item.dashes) {
            (What::Hidden(words) | What::Strange(words), _) => words.clone(),
            (_, Some(dashes)) => format!("{} in line type {dashes}", item.kind),
            _ => item.kind.clone(),
        };
        *all.entry(&item.layer).or_default().entry(kind).or_default() += 1;
    }
    let layer = |(name, kinds): (&str, IndexMap<String, usize>)| {
        let (of, why) = meaning(whole, name);
        Layer { name: name.to_owned(), kinds, of, why, unread: Vec::new() }
    };
    all.into_iter().map(layer).collect()
}

/// What a layer may mean, and why.
fn meaning(whole: &Whole, name: &str) -> (Use, String) {
    let on = || whole.items.iter().filter(|item| item.layer == name);
    let is_drawn = |what: &What| matches!(what, What::Drawn(_) | What::Fill(_) | What::Strange(_));
    if !on().any(|item| is_drawn(&item.what)) {
        return (Use::Nothing, "nothing on it is cut".to_owned());
    }
    // A sketch is no etching.
    let small = name.to_lowercase().replace("sketch", "");
    if let Some((word, of)) = NAMES.iter().find(|(word, _)| small.contains(word)) {
        return (*of, format!("its name has `{word}`"));
    }
    let drawn: Vec<&[Course]> = on()
        .filter_map(|item| match &item.what {
            What::Drawn(courses) => Some(courses.as_slice()),
            _ => None,
        })
        .collect();
    let lines: Option<Vec<Vec<Edge>>> = drawn.iter().map(|courses| lines(courses)).collect();
    let lines: Option<Vec<Edge>> = lines.map(|lines| lines.into_iter().flatten().collect());
    let is_dashed = on().all(|item| item.dashes.is_some() || !is_drawn(&item.what));
    match lines.filter(|lines| !lines.is_empty()) {
        Some(_) if on().any(|item| item.dashes.is_some()) => {
            return (Use::Bend, "its lines are dashed".to_owned());
        }
        Some(lines) if whole.items.iter().any(|item| item.layer != name) && is_open(&lines) => {
            let words = "it has straight lines that do not form a closed contour";
            return (Use::Bend, words.to_owned());
        }
        None if is_dashed => {
            let words = "its lines are dashed, but not straight: hidden edges or centre lines";
            return (Use::Nothing, words.to_owned());
        }
        _ => {}
    }
    (Use::Cut, "it has contours that can be cut".to_owned())
}

/// The straight lines that an item is.
fn lines(courses: &[Course]) -> Option<Vec<Edge>> {
    let edge = |course: &Course| match course {
        Course::Edge(edge) => Some(*edge),
        Course::Curve(_) => None,
    };
    straight(&courses.iter().map(edge).collect::<Option<Vec<Edge>>>()?)
}

/// Whether no two of the edges meet.
fn is_open(edges: &[Edge]) -> bool {
    let ends: Vec<_> = edges.iter().flat_map(|e| [e.from, e.to]).collect();
    let meets = |i: usize, j: usize| (ends[i] - ends[j]).hypot() < 1e-6;
    (0..ends.len().min(400)).all(|i| (0..i).all(|j| !meets(i, j)))
}

/// The words for a page without a scale, whose extent is this many units.
fn not_known(said: &str, extent: [f64; 2]) -> String {
    let [w, h] = extent.map(|units| crate::num::text(units, 2));
    format!(
        "not known: {said}; with one unit as 1 mm it would be {w} x {h} mm: measure one length of it"
    )
}

/// Guessed units, and the reason.
fn units(whole: &Whole, wish: &Wish) -> (Option<Units>, String) {
    if wish.units.is_some() || wish.per_inch.is_some() {
        return (None, "as they are given".to_owned());
    }
    // Units that the header states are not replaced by a guess.
    if matches!(whole.units, Ok(_) | Err(OutlineError::Dxf(DxfError::Units(..)))) {
        return (None, whole.said.clone());
    }
    let bounds = whole
        .items
        .iter()
        .filter_map(|item| match &item.what {
            What::Drawn(courses) => Some(courses),
            _ => None,
        })
        .flatten()
        .flat_map(Course::chords)
        .map(|edge| edge.bounds())
        .reduce(|a, b| a.and(b));
    let Some(bounds) = bounds else { return (None, whole.said.clone()) };
    let long = bounds.width().max(bounds.height());
    let fits = |mm: f64| (PLATES[0]..=PLATES[1]).contains(&(long * mm));
    let (guess, why) = match (whole.metric, fits(1.0), fits(MM_PER_INCH)) {
        (Some(true), true, _) => (Units::Millimetre, "its header says metric units"),
        (Some(false), _, true) => (Units::Inch, "its header says inch units"),
        (_, false, true) => (Units::Inch, "in mm it would be too small for a plate"),
        _ => (Units::Millimetre, "most files are in mm"),
    };
    let text = |mm: f64| crate::num::text(mm, 2);
    let (w, h) = (bounds.width(), bounds.height());
    if let Some(pixels) = whole.pixels {
        let at = |per_inch: f64| pixels * MM_PER_INCH / per_inch;
        let words = format!(
            "pixels, which have no size: {}; at 96 to the inch it would be {} x {} mm, with one unit \
             as 1 mm {} x {} mm: measure one length of it",
            whole.said,
            text(w * at(96.0)),
            text(h * at(96.0)),
            text(w),
            text(h),
        );
        return (None, words);
    }
    if matches!(whole.units, Err(OutlineError::OddSize(_))) {
        return (None, not_known(&whole.said, [w, h]));
    }
    let words = format!(
        "{}; guessed: {}, as {why}; it would be {} x {} mm, in inches {} x {} mm: measure one \
         length of it",
        whole.said,
        guess.word(),
        text(w),
        text(h),
        text(w * MM_PER_INCH),
        text(h * MM_PER_INCH),
    );
    (Some(guess), words)
}
