//! A shape that is drawn in a DXF file beside the recipe.

use crate::diag::Finding;
use crate::document::Fields;
use crate::document::Item;
use crate::dxf_in;
use crate::dxf_in::Drawn;
use crate::dxf_in::DxfError;
use crate::geom;
use crate::geom::ContourFault;
use crate::geom::Region;
use crate::quantity::Units;
use crate::recipe::measures::word;

/// A plate that an outline file shows.
#[derive(Clone, Debug)]
pub struct OutlineFile {
    /// The plate, with its openings.
    pub region: Region,
    /// Name of the file.
    pub name: String,
    /// The units of its header, where it was read by them.
    pub header_units: Option<&'static str>,
}

/// The bytes of a file that a recipe names, when there is one.
pub type Files<'a> = &'a dyn Fn(&str) -> Option<Vec<u8>>;

/// More faults than this are only counted: one slip often shows in many places. Our choice.
const MOST: usize = 12;

/// A drawing of more lines and arcs is a picture, not a plate; and each is compared with
/// each. Our choice.
const MAX_EDGES: usize = 20_000;

/// The plate that the `file` of a table shows, read by its `units` and `layer`; `None` when
/// something was reported.
pub(crate) fn drawn(fields: &Fields, files: Files) -> Option<OutlineFile> {
    let known = [Units::Millimetre, Units::Inch].map(|units| (units.word(), units));
    let units = word(fields, "units", &known);
    let layer = fields.text("layer");
    fields.need("file", "\"plate.dxf\"")?;
    let name = fields.text("file")?;
    let item = fields.get("file")?;
    let Some(bytes) = files(name) else {
        fields.add(
            Finding::stop("outline", format!("there is no file `{name}`"))
                .at(item.letters, "")
                .help(
                    "put it beside the recipe or job, and write its name with the extension `.dxf`",
                ),
        );
        return None;
    };
    let drawn = match dxf_in::read(&bytes, units, layer) {
        Ok(drawn) => drawn,
        Err(error) => {
            fields.add(refusal(name, item, &error));
            return None;
        }
    };
    passed(fields, name, item, &drawn, layer.is_some());
    if drawn.edges.len() > MAX_EDGES {
        let pieces = drawn.edges.len();
        let headline = format!("`{name}`: {pieces} lines and arcs, more than {MAX_EDGES}");
        fields.add(
            Finding::stop("outline", headline)
                .at(item.letters, "")
                .help("draw curves as arcs instead of many short lines"),
        );
        return None;
    }
    match geom::plate(&drawn.edges, geom::JOIN) {
        Ok(region) => {
            let header_units = drawn.header_units;
            Some(OutlineFile { region, name: name.to_owned(), header_units })
        }
        Err(faults) => {
            broken(fields, name, item, &faults);
            None
        }
    }
}

/// Reports where the contours of a file are broken.
fn broken(fields: &Fields, name: &str, item: &Item, faults: &[ContourFault]) {
    for fault in faults.iter().take(MOST) {
        fields.add(
            Finding::stop("outline", format!("`{name}`: {fault}"))
                .at(item.letters, "")
                .note(format!(
                    "positions are in mm, as in the file; ends within {} mm are joined",
                    geom::JOIN
                ))
                .help("repair the outline file there"),
        );
    }
    if faults.len() > MOST {
        let headline = format!("`{name}`: {} more of these", faults.len() - MOST);
        let finding = Finding::stop("outline", headline).at(item.letters, "");
        fields.add(finding.help("repair the first ones and try again"));
    }
}

fn refusal(name: &str, item: &Item, error: &DxfError) -> Finding {
    let help = match error {
        DxfError::NoUnits => "add `units = \"mm\"` or `units = \"in\"` to the step".into(),
        DxfError::Units(_) => {
            "add `units = \"mm\"` or `units = \"in\"` if the units in the file are wrong".into()
        }
        DxfError::Kinds(_) => {
            "explode them into lines, arcs and polylines, drawn continuous where they are cut, or \
             move them to another layer and name the one to read: `layer = \"CUT\"`"
                .into()
        }
        DxfError::Layer { known, .. } if known.is_empty() => "the file is empty".into(),
        DxfError::Layer { known, .. } => format!("it has {}", known.join(", ")),
        DxfError::Hidden(_) => "show, thaw and plot the layer of what is cut".into(),
        DxfError::TooFar => {
            "move the plate to the origin of the file; if its units are wrong, write \
             `units = \"mm\"` or `units = \"in\"`"
                .into()
        }
        DxfError::Bulge(_) | DxfError::TooMany(_) => {
            "redraw the plate in lines, arcs, circles and polylines".into()
        }
        DxfError::Unreadable(_) | DxfError::Binary | DxfError::BrokenOff | DxfError::NotFinite => {
            "save the file again as a text DXF".into()
        }
    };
    Finding::stop("outline", format!("`{name}`: {error}")).at(item.letters, "").help(help)
}

/// What was not read is said, unless the layer was named and so said it itself.
fn passed(fields: &Fields, name: &str, item: &Item, drawn: &Drawn, layer_named: bool) {
    let caution = |words: String, help: &str| {
        let headline = format!("`{name}`: {words}");
        fields.add(Finding::caution("outline", headline).at(item.letters, "").help(help));
    };
    if !drawn.passed.is_empty() {
        let words = format!("{} ignored", dxf_in::counted(&drawn.passed));
        caution(
            words,
            "texts, their frames, dimensions and points are not cut; remove them to silence this",
        );
    }
    if !drawn.hidden.is_empty() {
        let words = format!("{} left out", dxf_in::counted(&drawn.hidden));
        let help = "show, thaw and plot what is to be cut; remove the rest to silence this";
        caution(words, help);
    }
    if drawn.elsewhere > 0 && !layer_named {
        let words = format!("{} entities on other layers than CUT ignored", drawn.elsewhere);
        caution(words, "write `layer = \"CUT\"` to confirm that only that layer counts");
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Sources;
    use crate::diag::Weight;
    use crate::recipe::Recipe;

    const SQUARE: &str =
        "90\n4\n70\n1\n10\n0\n20\n0\n10\n20\n20\n0\n10\n20\n20\n20\n10\n0\n20\n20\n";

    fn file(units: &str, entities: &str) -> String {
        format!(
            "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n{units}\n0\nENDSEC\n\
             0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
        )
    }

    /// Reads a recipe whose only step has these keys; the file is called `a.dxf`.
    fn read_step(keys: &str, dxf: &str) -> (Result<Recipe, Vec<Finding>>, String) {
        let text =
            format!("about = \"x\"\n[face.plate]\nblank = [ {{ add = \"outline\", {keys} }} ]\n");
        let source = Sources::default().add("x.toml", &text);
        let files = |name: &str| (name == "a.dxf").then(|| dxf.as_bytes().to_vec());
        (crate::recipe::read("x", source, &text, &files), text)
    }

    /// The only finding: its headline, the letters it points to, its help.
    fn refused(keys: &str, dxf: &str) -> (String, String, String) {
        let (recipe, text) = read_step(keys, dxf);
        let findings = recipe.unwrap_err();
        assert_eq!(findings.len(), 1, "{findings:?}");
        let span = findings[0].marks[0].span;
        let help = findings[0].help.clone().unwrap();
        (findings[0].headline.clone(), text[span.start..span.end].to_owned(), help)
    }

    #[test]
    fn a_drawing_beside_the_recipe_is_a_shape() {
        let square = file("1", &format!("0\nLWPOLYLINE\n8\n0\n{SQUARE}"));
        let (recipe, _) = read_step("file = \"a.dxf\"", &square);
        let recipe = recipe.unwrap();
        assert!(recipe.cautions.is_empty());
        let crate::recipe::Work::Add(placed) = &recipe.faces["plate"].blank[0].work else {
            panic!("the step adds")
        };
        let crate::recipe::Shape::Outline(file) = &placed.shape else { panic!("an outline") };
        assert!((file.region.area() - 508.0 * 508.0).abs() < 1e-6);
    }

    #[test]
    fn refusals_name_the_file_and_say_what_to_do() {
        let square = |units| file(units, &format!("0\nLWPOLYLINE\n8\n0\n{SQUARE}"));
        let (words, at, help) = refused("file = \"b.dxf\"", &square("4"));
        assert_eq!((words.as_str(), at.as_str()), ("there is no file `b.dxf`", "b.dxf"));
        assert!(help.starts_with("put it beside the recipe or job"));
        let (words, at, help) = refused("file = \"a.dxf\"", &square("0"));
        assert_eq!((words.as_str(), at.as_str()), ("`a.dxf`: it does not say its units", "a.dxf"));
        assert_eq!(help, "add `units = \"mm\"` or `units = \"in\"` to the step");
        let (words, _, help) = refused("file = \"a.dxf\", layer = \"EDGE\"", &square("4"));
        assert_eq!(
            (words.as_str(), help.as_str()),
            ("`a.dxf`: there is nothing on layer `EDGE`", "it has 0")
        );
        let open = file("4", "0\nLINE\n8\n0\n10\n0\n20\n0\n11\n9\n21\n0\n");
        let (words, at, _) = refused("file = \"a.dxf\"", &open);
        assert_eq!(words, "`a.dxf`: the contour is open between (0, 0) and (9, 0): 9 mm");
        assert_eq!(at, "a.dxf");
        let (words, at, _) = refused("file = \"a.dxf\", units = \"m\"", &square("4"));
        assert_eq!((words.as_str(), at.as_str()), ("`units` is `mm` or `in`", "\"m\""));
    }

    #[test]
    fn a_picture_of_very_many_lines_is_refused_before_it_is_worked_on() {
        let line = "0\nLINE\n8\n0\n10\n0\n20\n0\n11\n9\n21\n0\n";
        let (words, _, _) = refused("file = \"a.dxf\"", &file("4", &line.repeat(20_001)));
        assert_eq!(words, "`a.dxf`: 20001 lines and arcs, more than 20000");
    }

    #[test]
    fn what_is_passed_over_is_a_caution_until_the_layer_is_named() {
        let note = "0\nTEXT\n8\nCUT\n10\n0\n20\n0\n40\n3\n1\nx\n0\nLINE\n8\nBEND\n10\n0\n20\n0\n11\n9\n21\n0\n";
        let dxf = file("4", &format!("0\nLWPOLYLINE\n8\nCUT\n{SQUARE}{note}"));
        let said = |keys| read_step(keys, &dxf).0.unwrap().cautions;
        let both = said("file = \"a.dxf\"");
        assert!(both.iter().all(|f| f.weight == Weight::Caution));
        let words: Vec<&str> = both.iter().map(|f| f.headline.as_str()).collect();
        assert_eq!(
            words,
            ["`a.dxf`: 1 TEXT ignored", "`a.dxf`: 1 entities on other layers than CUT ignored"]
        );
        assert_eq!(said("file = \"a.dxf\", layer = \"CUT\"").len(), 1);
    }
}
