//! The keys of beads.

use crate::schema::keys::each;
use crate::schema::keys::object;
use crate::schema::keys::place;
use crate::schema::keys::reference;
use crate::schema::keys::text;
use serde_json::Value;
use serde_json::json;

/// A bead of a face.
pub(super) fn bead() -> Value {
    object(
        &["name", "line", "width", "depth"],
        json!({
            "name": text("Its name"),
            "line": { "type": "array", "items": place(), "minItems": 2, "description": "Points of its centre line" },
            "width": reference("Where it leaves the sheet"),
            "depth": reference("How far it stands out"),
            "section": { "enum": ["round", "v"], "description": "Round when left out" },
            "side": { "enum": ["up", "down"], "description": "Stands out on the top side, the default, or on the bottom side" },
            "when": reference("Only when this is true"),
            "each": each(),
        }),
    )
}
