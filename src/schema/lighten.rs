//! The schema of openings that lighten a face.

use crate::schema::keys::around;
use crate::schema::keys::each;
use crate::schema::keys::list;
use crate::schema::keys::object;
use crate::schema::keys::place;
use crate::schema::keys::reference;
use serde_json::Value;
use serde_json::json;

pub(super) fn lighten() -> Value {
    let rib = object(
        &["from", "to"],
        json!({
            "from": place(),
            "to": place(),
            "width": reference("Of the rib; the wall when left out"),
            "each": each(),
            "around": around(),
        }),
    );
    object(
        &["wall", "round"],
        json!({
            "wall": reference("Width of metal left inside the outline and round every hole and cut-out"),
            "round": reference("Radius of the corners of the openings"),
            "smallest": reference("Narrower openings are left out"),
            "ribs": { "type": "array", "items": rib, "description": "Ribs left across them" },
            "within": { "enum": crate::recipe::WITHIN, "description": "The shape they stay in" },
            "from": place(),
            "to": place(),
            "at": place(),
            "rotate": reference("Of that shape, about its centre"),
            "radius": reference("Of a disc"),
            "length": reference("Of a slot, overall"),
            "width": reference("Of a slot or rectangle"),
            "height": reference("Of a rectangle"),
            "corner": reference("Radius of a rectangle's corners"),
            "corners": list("Of a polygon", "#/$defs/corner"),
            "flats": reference("Of a hexagon, across flats"),
            "when": reference("Only when this is true"),
            "each": each(),
        }),
    )
}
