//! `locked`: a sheet as an earlier layout has it, the pieces of which stay where they are.

use crate::diag;
use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::geom::Place;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::recipe::Files;
use serde_json::Value;

/// A sheet of an earlier layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Locked {
    /// Its name there, such as `S235-4-mm-02`.
    pub sheet: String,
    /// Its pieces, in the order in which they are listed.
    pub pieces: Vec<LockedPiece>,
    /// The area of its metal there, and of its keep-outs, mm².
    pub areas: [f64; 2],
    /// The position of the key.
    pub here: Span,
}

/// A piece that stays where it is.
#[derive(Clone, Debug, PartialEq)]
pub struct LockedPiece {
    /// Its part, by name.
    pub part: String,
    /// The first digits of the SHA-256 of the geometry that the part had.
    pub geometry: String,
    /// From its part as its file has it, lower left corner at the origin, to the sheet.
    pub place: Place,
}

/// Dimensions of sheets that differ by less are equal, mm. Our choice: the report rounds to a
/// millionth.
const SAME: f64 = 1e-5;

/// Areas that differ by less are equal, mm². Our choice: the same rounding on a large sheet.
const SAME_AREA: f64 = 0.5;

const EXAMPLE: &str = "write `locked = \"first/report.json#S235-4-mm-02\"`: the report of a layout, and the \
                       name of a sheet in it";

/// The locked sheet that `locked` names, of a length and width in mm; `None` when something was
/// reported.
pub(super) fn read(fields: &Fields, files: Files, size: [f64; 2]) -> Option<Locked> {
    let item = fields.get("locked")?;
    let refuse = |code, headline: String, help: &str| {
        fields.add(Finding::stop(code, headline).at(item.letters, "").help(help));
    };
    let Some((file, sheet)) = item.text().and_then(|text| text.rsplit_once('#')) else {
        let headline = "`locked` is a report, `#` and the name of a sheet in it".to_owned();
        refuse("wrong-kind", headline, EXAMPLE);
        return None;
    };
    let Some(bytes) = files(file) else {
        let help = "copy `report.json` of the layout beside the job, and give its name";
        refuse("no-file", format!("there is no file `{file}` that can be read"), help);
        return None;
    };
    let Some(report) = serde_json::from_slice::<Value>(&bytes).ok().filter(is_report) else {
        refuse("locked", format!("`{file}` is not the report of a layout"), EXAMPLE);
        return None;
    };
    let sheets = report["sheets"].as_array().map_or(&[][..], Vec::as_slice);
    let name = |sheet: &Value| Some(sheet_name(sheet["file"].as_str()?).to_owned());
    let Some(found) = sheets.iter().find(|of| name(of).as_deref() == Some(sheet)) else {
        let names: Vec<String> = sheets.iter().filter_map(name).collect();
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let help = diag::instead(sheet, &names, "choose from");
        refuse("unknown-sheet", format!("there is no sheet `{sheet}` in `{file}`"), &help);
        return None;
    };
    let was = [0, 1].map(|i| found["size_mm"][i].as_f64().unwrap_or(f64::NAN));
    if !(0..2).all(|i| (was[i] - size[i]).abs() < SAME) {
        let was = was.map(|mm| crate::num::text(mm, 6));
        let headline = format!("sheet `{sheet}` is {} mm × {} mm in `{file}`", was[0], was[1]);
        let help = format!("write `size = [\"{} mm\", \"{} mm\"]`", was[0], was[1]);
        refuse("locked", headline, &help);
        return None;
    }
    let placed = found["placed"].as_array().map_or(&[][..], Vec::as_slice);
    let pieces: Option<Vec<LockedPiece>> =
        placed.iter().map(|placed| piece(placed, &report["parts"])).collect();
    let Some(pieces) = pieces else {
        refuse("locked", format!("a piece of `{sheet}` in `{file}` cannot be read"), EXAMPLE);
        return None;
    };
    let area = |key: &str| found[key].as_f64().unwrap_or(0.0);
    let areas = [area("area_mm2"), area("keep_out_mm2")];
    Some(Locked { sheet: sheet.to_owned(), pieces, areas, here: item.letters })
}

impl Locked {
    /// A finding if its metal or its keep-outs, of these areas in mm², are not those it had.
    pub(super) fn differs(&self, areas: [f64; 2]) -> Option<Finding> {
        let i = (0..2).find(|i| (self.areas[*i] - areas[*i]).abs() > SAME_AREA)?;
        let [what, keys] = [
            ["metal", "the `corners`, the `file` and the `holes`"],
            ["keep-outs", "the `keep_out`"],
        ][i];
        let [was, is] = [self.areas[i], areas[i]].map(|area| crate::num::text(area, 0));
        let headline = format!(
            "sheet `{}` had {was} mm² of {what} in the earlier layout, but has {is} mm² here",
            self.sheet
        );
        let help = format!("give it {keys} of the earlier layout");
        Some(Finding::stop("locked", headline).at(self.here, "").help(help))
    }
}

fn is_report(value: &Value) -> bool {
    value["format"] == "platewright report 1"
}

/// The name of a sheet by its cut file.
fn sheet_name(file: &str) -> &str {
    file.trim_start_matches("sheets/").trim_end_matches(".dxf")
}

fn piece(placed: &Value, parts: &Value) -> Option<LockedPiece> {
    let part = placed["part"].as_str()?;
    let row = parts.as_array()?.iter().find(|row| row["name"] == part)?;
    let number = |key: &str| placed[key].as_f64().filter(|n| n.is_finite());
    let place = Place {
        mirrored: placed["mirrored"].as_bool().unwrap_or(false),
        rotation: Angle::from_degrees(number("orientation_deg")?),
        shift: Vec2::new(number("x_mm")?, number("y_mm")?),
    };
    let geometry = row["geometry"].as_str()?.to_owned();
    Some(LockedPiece { part: part.to_owned(), geometry, place })
}
