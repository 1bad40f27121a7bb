//! A set of parts in a form any tool can read, and what it makes of our items.
//!
//! `{name, units, strip_height, separation, items: [{id, qty, rotations, outer, holes}]}`.
//! A corner is `[x, y]`, or `[x, y, bulge]` where an arc leaves it.

use platewright::geom::Outline;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::Side;
use platewright::geom::Vertex;
use platewright::geom::flatten;
use platewright::nest::Item;
use platewright::nest::Limits;
use platewright::nest::Orientations;
use platewright::nest::Rules;
use platewright::nest::Stock;
use serde::Deserialize;
use serde_json::Value;
use serde_json::json;
use std::fs;
use std::path::Path;

/// One strip or a stack of equal sheets, to be filled with parts.
#[derive(Clone)]
pub(crate) struct Instance {
    pub(crate) name: String,
    /// Height of the strip in its own units, as densities are given.
    pub(crate) height: f64,
    /// Height that may be filled: open sets whose parts just fit are a little higher.
    pub(crate) run_height: f64,
    /// `None` is a strip as long as needed; else the length of each sheet.
    pub(crate) length: Option<f64>,
    /// Fewest sheets that hold everything, when known.
    pub(crate) optimum: Option<usize>,
    pub(crate) separation: f64,
    pub(crate) ids: Vec<String>,
    /// In mm, which is [`Instance::scale`] times the set's own units.
    pub(crate) items: Vec<Item>,
    pub(crate) scale: f64,
}

#[derive(Deserialize)]
struct Set {
    name: String,
    units: String,
    strip_height: f64,
    strip_height_in_source: Option<f64>,
    #[serde(default)]
    separation: f64,
    sheet: Option<[f64; 2]>,
    /// Given for sheets of that length instead of a strip.
    sheet_length: Option<f64>,
    items: Vec<Part>,
}

#[derive(Deserialize)]
struct Part {
    id: String,
    qty: u32,
    rotations: Vec<f64>,
    outer: Vec<Vec<f64>>,
    holes: Vec<Vec<Vec<f64>>>,
}

/// Parts cut from whole sheets, so that the fewest sheets are known.
#[derive(Deserialize)]
struct Sheets {
    name: String,
    bin: [f64; 2],
    optimum_bins: usize,
    pieces: Vec<Vec<Vec<f64>>>,
}

/// Open sets are made to fit with nothing over, and parts that touch are one part to us:
/// their strips are higher by this share, as where the sets are carried by others.
const SLACK: f64 = 1e-4;

impl Instance {
    /// Reads one set.
    pub(crate) fn read(path: &Path) -> Result<Self, String> {
        let text = fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))?;
        let set: Set =
            serde_json::from_str(&text).map_err(|e| format!("{}: {e}", path.display()))?;
        Self::of(set).map_err(|e| format!("{}: {e}", path.display()))
    }

    fn of(set: Set) -> Result<Self, String> {
        let scale = if set.units == "mm" { 1.0 } else { scale(set.strip_height) };
        let parts = set.items.iter().map(|part| part.item(scale));
        Ok(Self {
            name: set.name,
            height: set.strip_height,
            run_height: set.strip_height_in_source.unwrap_or(set.strip_height),
            length: set.sheet_length,
            optimum: None,
            separation: set.separation,
            ids: set.items.iter().map(|part| part.id.clone()).collect(),
            items: parts.collect::<Result<_, _>>()?,
            scale,
        })
    }

    /// The set with every part four times, on the full height of the sheet it names;
    /// `None` unless it is of one kind of part on a narrow strip.
    pub(crate) fn fourfold(path: &Path) -> Option<Self> {
        let text = fs::read_to_string(path).ok()?;
        let mut set: Set = serde_json::from_str(&text).ok()?;
        let [_, height] = set.sheet.filter(|s| s[1] > set.strip_height)?;
        (set.items.len() == 1).then_some(())?;
        set.items[0].qty *= 4;
        set.strip_height = height;
        set.name += "-fourfold";
        Self::of(set).ok()
    }

    /// Reads the sets of a file with one set of equal sheets a line.
    pub(crate) fn read_sheets(path: &Path) -> Result<Vec<Self>, String> {
        let text = fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))?;
        let read = |line| {
            let set: Sheets = serde_json::from_str(line).map_err(|e| e.to_string())?;
            let scale = scale(set.bin[1]);
            let part =
                |outer: &Vec<Vec<f64>>| Ok(Item::new(Region::solid(outline(outer, scale)?), 1));
            Ok(Self {
                name: set.name,
                height: set.bin[1],
                run_height: set.bin[1] * (1.0 + SLACK),
                length: Some(set.bin[0] * (1.0 + SLACK)),
                optimum: Some(set.optimum_bins),
                separation: 0.0,
                ids: (0..set.pieces.len()).map(|i| i.to_string()).collect(),
                items: set.pieces.iter().map(part).collect::<Result<_, String>>()?,
                scale,
            })
        };
        text.lines().map(read).collect()
    }

    /// Parts asked for.
    pub(crate) fn parts(&self) -> u32 {
        self.items.iter().map(|i| i.quantity).sum()
    }

    /// Area within the outlines of all parts, in the set's own units.
    pub(crate) fn area(&self) -> f64 {
        let area = |i: &Item| i.region.outer().area() * f64::from(i.quantity);
        self.items.iter().map(area).sum::<f64>() / (self.scale * self.scale)
    }

    /// No strip is shorter, in the set's own units.
    pub(crate) fn bound(&self) -> f64 {
        let stock = [self.stock()];
        self.limits(&stock).min_length(0, &self.counts()) / self.scale
    }

    fn limits<'a>(&'a self, stock: &'a [Stock]) -> Limits<'a> {
        let rules = Rules { gap: self.separation * self.scale, ..Rules::default() };
        Limits::new(&self.items, stock, rules)
    }

    fn counts(&self) -> Vec<u32> {
        self.items.iter().map(|i| i.quantity).collect()
    }

    /// No fewer sheets hold everything: what is known, or what follows from the areas.
    pub(crate) fn fewest(&self) -> usize {
        let stock = [self.stock()];
        let min = self.limits(&stock).min_sheets(&self.counts());
        self.optimum.unwrap_or(min.unwrap_or(0) as usize)
    }

    /// The sheets to place parts on. A strip is long enough for any reasonable layout.
    pub(crate) fn stock(&self) -> Stock {
        let longest =
            self.items.iter().map(|i| i.region.bounds()).map(|b| b.width().max(b.height()));
        let length = self.length.map_or_else(
            || 4.0 * self.area() * self.scale / self.height + 3.0 * longest.fold(0.0, f64::max),
            |length| length * self.scale,
        );
        Stock::whole(length, self.run_height * self.scale).unwrap()
    }

    /// Every part `copies` times, on a strip of another height if one is given.
    pub(crate) fn resize(&mut self, copies: u32, height: Option<f64>) {
        self.items.iter_mut().for_each(|i| i.quantity *= copies);
        if let Some(height) = height {
            (self.height, self.run_height) = (height, height);
        }
    }

    /// The set for other tools, arcs by their bulges.
    pub(crate) fn reports(&self) -> Value {
        let corners = |outline: &Outline| {
            let corner = |v: &Vertex| [v.at.x / self.scale, v.at.y / self.scale, v.bulge];
            outline.vertices().iter().map(corner).collect::<Vec<_>>()
        };
        let items = self.items.iter().zip(&self.ids).map(|(item, id)| {
            let orientations: Vec<f64> = item.orientations.angles().iter().map(|a| a.degrees()).collect();
            let holes: Vec<_> = item.region.holes().iter().map(corners).collect();
            let outer = corners(item.region.outer());
            json!({
                "id": id, "qty": item.quantity, "rotations": orientations, "outer": outer, "holes": holes
            })
        });
        json!({
            "name": self.name,
            "strip_height": self.height,
            "separation": self.separation,
            "items": items.collect::<Vec<_>>(),
        })
    }

    /// The outlines alone, with chords outside of their arcs, for tools without arcs.
    pub(crate) fn flattened(&self) -> Value {
        let points = |outline: &Outline| {
            let points = flatten(outline, 0.05, Side::Outside).into_iter();
            points.map(|p| [p.x / self.scale, p.y / self.scale]).collect::<Vec<_>>()
        };
        let items = self.items.iter().zip(&self.ids).map(|(item, id)| {
            let orientations: Vec<f64> =
                item.orientations.angles().iter().map(|a| a.degrees()).collect();
            let outer = points(item.region.outer());
            json!({ "id": id, "qty": item.quantity, "rotations": orientations, "outer": outer })
        });
        json!({
            "name": self.name,
            "strip_height": self.run_height,
            "separation": self.separation,
            "items": items.collect::<Vec<_>>(),
        })
    }
}

impl Part {
    fn item(&self, scale: f64) -> Result<Item, String> {
        let own = |e: String| format!("part {}: {e}", self.id);
        let solid = Region::solid(outline(&self.outer, scale).map_err(own)?);
        let region = self.holes.iter().try_fold(solid, |region, hole| {
            region.pierced(outline(hole, scale)?).map_err(|e| e.to_string())
        });
        let item = Item::new(region.map_err(own)?, self.qty);
        Ok(Item { orientations: self.orientations()?, cut_outs: true, ..item })
    }

    fn orientations(&self) -> Result<Orientations, String> {
        match self.rotations[..] {
            [0.0] => Ok(Orientations::Fixed),
            [0.0, 180.0] => Ok(Orientations::Half),
            [0.0, 90.0, 180.0, 270.0] => Ok(Orientations::Quarters),
            _ => {
                Err(format!("part {} is turned by {:?}, which we cannot", self.id, self.rotations))
            }
        }
    }
}

fn outline(corners: &[Vec<f64>], scale: f64) -> Result<Outline, String> {
    let vertex = |c: &Vec<f64>| Vertex {
        at: Point::new(c[0] * scale, c[1] * scale),
        bulge: c.get(2).copied().unwrap_or(0.0),
    };
    Outline::new(corners.iter().map(vertex)).map_err(|e| e.to_string())
}

/// Units other than mm are scaled so that a strip is some metres high: our minimum gap is then
/// negligible.
fn scale(height: f64) -> f64 {
    let mut scale = 1.0;
    while height * scale < 1000.0 {
        scale *= 10.0;
    }
    scale
}
