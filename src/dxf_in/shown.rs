//! The visible contents of a file: its entities and those of the blocks it inserts, each on its
//! layer, and those left out because they would not be plotted.

use crate::dxf_in::drawn::Drawn;
use crate::dxf_in::edges;
use crate::dxf_in::error::DxfError;
use crate::dxf_in::hatch;
use crate::dxf_in::layer::Layers;
use crate::dxf_in::layer::ZERO;
use crate::dxf_in::layer::key;
use crate::dxf_in::records::Record;
use crate::dxf_in::records::Sections;
use crate::dxf_in::words;
use crate::geom::Course;
use crate::geom::Motion;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::sketch::Item;
use crate::sketch::What;
use std::collections::HashMap;
use std::collections::HashSet;

/// Maximum depth of nested blocks. Our choice.
const DEEPEST: usize = 16;

/// Maximum number of entities of all blocks together. Our choice: a plate has far fewer.
const MAX: usize = 100_000;

/// Kinds that become edges.
const READ: &[&str] = &[
    "LINE",
    "ARC",
    "CIRCLE",
    "LWPOLYLINE",
    "POLYLINE",
    "ELLIPSE",
    "SPLINE",
    "SOLID",
    "TRACE",
    "HATCH",
];

/// Kinds that mean nothing for an outline.
const IDLE: &[&str] =
    &["TEXT", "MTEXT", "ATTDEF", "DIMENSION", "LEADER", "MULTILEADER", "TOLERANCE", "POINT"];

/// Everything in the model of a file.
pub(super) fn shown(sections: &Sections) -> Result<Vec<Item>, DxfError> {
    let layers = Layers::read(sections)?;
    let mut blocks = HashMap::new();
    let mut of: Option<(&Record, Vec<Entity>)> = None;
    for entity in entities(sections.of("BLOCKS")) {
        match entity.record.kind.as_str() {
            "BLOCK" => of = Some((entity.record, Vec::new())),
            "ENDBLK" => {
                if let Some((head, inside)) = of.take() {
                    blocks.insert(key(head.text(2).unwrap_or_default()), (head, inside));
                }
            }
            _ => of.iter_mut().for_each(|(_, inside)| inside.push(entity.clone())),
        }
    }
    let model = entities(sections.of("ENTITIES"));
    let mut reading = Reading { layers, blocks, shown: Vec::new(), frames: HashSet::new() };
    // The frame of a text is a separate polyline, which the text names.
    reading.frames.extend(model.iter().flat_map(|entity| frame(entity.record)));
    for entity in &model {
        reading.take(entity, &BlockContext::on_top())?;
    }
    Ok(reading.shown)
}

/// An entity with the records that belong to it: the vertices of a polyline.
#[derive(Clone)]
struct Entity<'a> {
    record: &'a Record,
    vertices: &'a [Record],
}

/// The entities of a section, each with the records that belong to it.
fn entities(records: &[Record]) -> Vec<Entity<'_>> {
    let owned = |record: &Record| matches!(record.kind.as_str(), "VERTEX" | "ATTRIB" | "SEQEND");
    let mut all = Vec::new();
    for (i, record) in records.iter().enumerate() {
        if owned(record) || record.kind == "SECTION" {
            continue;
        }
        let behind = &records[i + 1..];
        let count = behind.iter().take_while(|record| record.kind == "VERTEX").count();
        all.push(Entity { record, vertices: &behind[..count] });
    }
    all
}

/// The handles of the frame that a text names.
fn frame(record: &Record) -> Vec<String> {
    let is_framed = record.kind == "MTEXT"
        && record.texts(1000).any(|text| text.trim() == "ACAD_MTEXT_TEXT_BORDERS_BEGIN");
    if is_framed { record.texts(1005).map(key).collect() } else { Vec::new() }
}

/// How the content of a block is seen.
#[derive(Clone)]
struct BlockContext {
    place: Motion,
    /// Layer and line type of the block, for what takes on those.
    layer: String,
    line_type: String,
    /// Why it is hidden, in words.
    hidden: Option<String>,
    depth: usize,
}

impl BlockContext {
    fn on_top() -> Self {
        let (layer, line_type) = (ZERO.to_owned(), String::new());
        Self { place: Motion::NONE, layer, line_type, hidden: None, depth: 0 }
    }
}

struct Reading<'a> {
    layers: Layers,
    blocks: HashMap<String, (&'a Record, Vec<Entity<'a>>)>,
    shown: Vec<Item>,
    /// Handles of frames of texts.
    frames: HashSet<String>,
}

impl<'a> Reading<'a> {
    fn take(&mut self, entity: &Entity<'a>, seen: &BlockContext) -> Result<(), DxfError> {
        let record = entity.record;
        // On paper, not in the model.
        if record.whole(67)? == 1 {
            return Ok(());
        }
        if self.shown.len() >= MAX {
            return Err(DxfError::TooMany(MAX));
        }
        let own = record.text(8).map_or(ZERO, str::trim);
        let layer = if own == ZERO { seen.layer.as_str() } else { own }.to_owned();
        let kind = record.kind.as_str();
        let hidden = self.hidden(record, &layer, seen)?;
        if kind == "INSERT" {
            return self.insert(record, layer, hidden, seen);
        }
        let (dashes, what) = match hidden {
            _ if IDLE.contains(&kind) => (None, What::Idle(words::shown(record))),
            _ if record.text(5).is_some_and(|handle| self.frames.contains(&key(handle))) => {
                return self.push(record, "text frame", layer, (None, What::Idle(String::new())));
            }
            Some(why) => (None, What::Hidden(format!("{kind} {why}"))),
            None if !READ.contains(&kind) => (None, What::Strange(within(kind, seen))),
            None => self.read(entity, &layer, seen)?,
        };
        self.push(record, kind, layer, (dashes, what))
    }

    fn push(
        &mut self,
        record: &Record,
        kind: &str,
        layer: String,
        (dashes, what): (Option<String>, What),
    ) -> Result<(), DxfError> {
        let (kind, place) = (kind.to_owned(), record.place());
        self.shown.push(Item { kind, place, layer, dashes, what });
        Ok(())
    }

    /// Why an entity is not seen.
    fn hidden(
        &self,
        record: &Record,
        layer: &str,
        seen: &BlockContext,
    ) -> Result<Option<String>, DxfError> {
        if let Some(why) = &seen.hidden {
            return Ok(Some(why.clone()));
        }
        if record.whole(60)? == 1 {
            return Ok(Some("made invisible".to_owned()));
        }
        let why = self.layers.hidden(layer);
        Ok(why.map(|why| format!("on layer `{layer}` ({})", why.word())))
    }

    /// The curves of an entity of a supported kind, and its line type if that is dashed.
    fn read(
        &self,
        entity: &Entity,
        layer: &str,
        seen: &BlockContext,
    ) -> Result<(Option<String>, What), DxfError> {
        let own = entity.record.text(6).map_or("BYLAYER", str::trim);
        let line_type = match key(own).as_str() {
            "bylayer" => self.layers.line_type(layer),
            "byblock" => seen.line_type.as_str(),
            _ => own,
        };
        let is_fill = entity.record.kind == "HATCH";
        let drawn = match is_fill {
            true => hatch::boundary(entity.record)?,
            false => edges::courses(entity.record, entity.vertices)?,
        };
        let what = match drawn {
            Drawn::Strange(what) => What::Strange(within(&what, seen)),
            Drawn::Courses(courses) => {
                let placed: Vec<Course> =
                    courses.iter().flat_map(|course| course.mapped(&seen.place)).collect();
                if is_fill { What::Fill(placed) } else { What::Drawn(placed) }
            }
        };
        let dashed = self.layers.is_dashed(line_type) && !is_fill;
        Ok((dashed.then(|| line_type.to_owned()), what))
    }

    /// The content of a block where it is inserted, once for each copy.
    fn insert(
        &mut self,
        record: &Record,
        layer: String,
        hidden: Option<String>,
        seen: &BlockContext,
    ) -> Result<(), DxfError> {
        let name = record.text(2).unwrap_or_default().trim().to_owned();
        let found = self.blocks.get(&key(&name)).cloned();
        let mut strange = |words: String| {
            let what = match &hidden {
                Some(why) => What::Hidden(format!("INSERT {why}")),
                None => What::Strange(words),
            };
            self.push(record, "INSERT", layer.clone(), (None, what))
        };
        let Some((head, inside)) = found else {
            return strange(format!("INSERT of the missing block `{name}`"));
        };
        // Bits 4 and 8: the block is another file.
        if head.whole(70)? & (4 | 8) != 0 {
            return strange(format!("INSERT of block `{name}` from another file"));
        }
        if seen.depth >= DEEPEST {
            return strange(format!("INSERT of block `{name}` more than {DEEPEST} blocks deep"));
        }
        let Some(places) = places(record, head)? else {
            return strange(format!("INSERT of block `{name}` out of the plane, or of no size"));
        };
        // Entities of a block on the layer that is off are hidden with it; a frozen block is hidden
        // whole.
        let frozen = self.layers.hidden(&layer) == Some(crate::dxf_in::layer::Hidden::Frozen);
        let whole = seen.hidden.is_some() || record.whole(60)? == 1 || frozen;
        let own = record.text(6).map_or("BYLAYER", str::trim);
        let line_type = match key(own).as_str() {
            "bylayer" => self.layers.line_type(&layer).to_owned(),
            "byblock" => seen.line_type.clone(),
            _ => own.to_owned(),
        };
        for place in places {
            let inner = BlockContext {
                place: place.then(&seen.place),
                layer: layer.clone(),
                line_type: line_type.clone(),
                hidden: hidden.clone().filter(|_| whole),
                depth: seen.depth + 1,
            };
            for entity in &inside {
                self.take(entity, &inner)?;
            }
        }
        Ok(())
    }
}

/// An unread entity, with its block.
fn within(what: &str, seen: &BlockContext) -> String {
    if seen.depth == 0 { what.to_owned() } else { format!("{what} in a block") }
}

/// Where an insert puts its block: once, or in columns and rows; `None` if that is out of the
/// plane, or nothing would be left of it.
fn places(record: &Record, head: &Record) -> Result<Option<Vec<Motion>>, DxfError> {
    let number = |code| record.number(code, 0.0);
    let (along_x, along_y) = (record.number(41, 1.0)?, record.number(42, 1.0)?);
    let normal = [number(210)?, number(220)?, record.number(230, 1.0)?];
    let level = normal[0].abs() + normal[1].abs() <= 1e-9 * normal[2].abs() && normal[2] != 0.0;
    if along_x == 0.0 || along_y == 0.0 || !level {
        return Ok(None);
    }
    let base = Vec2::new(head.number(10, 0.0)?, head.number(20, 0.0)?);
    let rotation = Motion::rotated(Angle::from_degrees(number(50)?));
    let over = Motion::scaled(if normal[2] < 0.0 { -1.0 } else { 1.0 }, 1.0);
    let to = Motion::shifted(Point::new(number(10)?, number(20)?).to_vec2());
    let (columns, rows) = (record.whole(70)?.max(1), record.whole(71)?.max(1));
    if columns.saturating_mul(rows) > MAX as i64 {
        return Err(DxfError::TooMany(MAX));
    }
    let (step_x, step_y) = (number(44)?, number(45)?);
    let one = |(column, row): (i64, i64)| {
        let step = Motion::shifted(Vec2::new(step_x * column as f64, step_y * row as f64));
        let block = Motion::shifted(-base).then(&Motion::scaled(along_x, along_y));
        block.then(&step).then(&rotation).then(&to).then(&over)
    };
    let all = (0..rows).flat_map(|row| (0..columns).map(move |column| (column, row)));
    Ok(Some(all.map(one).collect()))
}
