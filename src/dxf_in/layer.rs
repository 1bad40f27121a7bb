//! The layers of a file: which of them are shown and plotted, and in which line type.

use crate::dxf_in::error::DxfError;
use crate::dxf_in::records::Record;
use crate::dxf_in::records::Sections;
use std::collections::HashMap;

/// The layer that programs keep for the points of dimensions, and which is never plotted.
const DEFPOINTS: &str = "defpoints";

/// The layer whose content takes on the layer of the block it is in.
pub(super) const ZERO: &str = "0";

/// Why the contents of a layer do not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Hidden {
    Off,
    Frozen,
    NotPlotted,
}

impl Hidden {
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Off => "off",
            Self::Frozen => "frozen",
            Self::NotPlotted => "not plotted",
        }
    }
}

/// The layers and line types in the tables of a file.
pub(super) struct Layers {
    /// By name in small letters: case does not count.
    known: HashMap<String, (Option<Hidden>, String)>,
    /// Line types of dashes, by name in small letters; together with those without dashes.
    dashed: HashMap<String, bool>,
}

impl Layers {
    pub(super) fn read(sections: &Sections) -> Result<Self, DxfError> {
        let mut layers = Self { known: HashMap::new(), dashed: HashMap::new() };
        for record in sections.of("TABLES") {
            let name = key(record.text(2).unwrap_or_default());
            match record.kind.as_str() {
                "LAYER" => {
                    let hidden = hidden(record, &name)?;
                    let line_type = record.text(6).unwrap_or_default().to_owned();
                    layers.known.insert(name, (hidden, line_type));
                }
                "LTYPE" => {
                    layers.dashed.insert(name, record.whole(73)? > 0);
                }
                _ => {}
            }
        }
        Ok(layers)
    }

    /// Why the contents of a layer do not count; `None` if they do.
    pub(super) fn hidden(&self, layer: &str) -> Option<Hidden> {
        let name = key(layer);
        let unplotted = (name == DEFPOINTS).then_some(Hidden::NotPlotted);
        self.known.get(&name).and_then(|known| known.0).or(unplotted)
    }

    /// The line type of a layer.
    pub(super) fn line_type(&self, layer: &str) -> &str {
        self.known.get(&key(layer)).map_or("", |known| known.1.as_str())
    }

    /// Whether a line type is dashed: by its own pattern, else by its name.
    pub(super) fn is_dashed(&self, line_type: &str) -> bool {
        let name = key(line_type);
        let named = !matches!(name.as_str(), "" | "continuous" | "bylayer" | "byblock");
        self.dashed.get(&name).copied().unwrap_or(named)
    }
}

fn hidden(record: &Record, name: &str) -> Result<Option<Hidden>, DxfError> {
    // Bit 1 of the flags: frozen; a colour below 0: off; 290 of 0, or that name: not plotted.
    Ok(if record.whole(70)? & 1 == 1 {
        Some(Hidden::Frozen)
    } else if record.whole(62)? < 0 {
        Some(Hidden::Off)
    } else if record.number(290, 1.0)? == 0.0 || name == DEFPOINTS {
        Some(Hidden::NotPlotted)
    } else {
        None
    })
}

/// The key by which a name is compared.
pub(super) fn key(name: &str) -> String {
    name.trim().to_lowercase()
}
