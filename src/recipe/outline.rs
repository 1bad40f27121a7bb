//! An outline file, DXF or SVG, that cannot be read completely.
//!
//! # Looks for
//! A file that cannot be read completely: units that are not known, contours that are open, cross or lie
//! apart, entities of a kind that is not read, layers that nothing names, bend lines that nothing
//! bends (stop); text, hidden entities, other layers, lines drawn twice, bend lines that end inside
//! the plate, leave gaps, are off it, run past its edge or cross, styles that are ignored, bends whose angle or side is not written (caution).
//!
//! # Why it matters
//! What a file shows and what is read of it must be the same plate: a contour that was left out is
//! not noticed until the part is cut, or finished.
//!
//! # Example
//! A contour of lines whose ends are 0.3 mm apart at (119.5, 0).
//!
//! # Remedy
//! `platewright outline FILE` shows the file as it is read, with every fault and its place;
//! `--picture` draws it. Join ends to 0.01 mm, name the layers, or state the units.
//!
//! # Source
//! The published references of DXF and SVG 2. Curves become arcs within 0.02 mm: our choice.

use crate::diag::Finding;
use crate::document::Fields;
use crate::document::Item;
use crate::dxf_in;
use crate::dxf_in::DxfError;
use crate::geom;
use crate::geom::ContourFault;
use crate::geom::Edge;
use crate::geom::Region;
use crate::num;
use crate::outline_in;
use crate::outline_in::Found;
use crate::outline_in::Looked;
use crate::outline_in::MAX_EDGES;
use crate::outline_in::OutlineError;
use crate::outline_in::Use;
use crate::outline_in::Wish;
use crate::quantity::Units;
use crate::recipe::bend_rows;
use crate::recipe::measures::word;
use crate::svg_in::SvgError;

/// What to do where nothing is seen on a print.
const HIDDEN: &str = "in a DXF, turn on and thaw the layer to be cut and set it to plot; in an SVG, give it a visible colour";

/// The same where something is.
const PARTLY_HIDDEN: &str = "in a DXF, turn on and thaw the layer to be cut and set it to plot; in an SVG, give it a \
                             visible colour; remove what is not to be cut to silence this";

/// A plate that an outline file shows.
#[derive(Clone, Debug)]
pub struct OutlineFile {
    /// The plate, with its openings.
    pub region: Region,
    /// Its marks, piece by piece.
    pub marks: Vec<Vec<Edge>>,
    /// The centre lines of its bends, in the order of their numbers.
    pub bends: Vec<Edge>,
    /// Name of the file.
    pub name: String,
    /// Whether its holes are named by their sizes, not by the file.
    pub sized: bool,
    /// The units of its header, where it was read by them.
    pub header_units: Option<&'static str>,
    /// The largest deviation of its arcs from the curves they replace, mm; 0 if there are none.
    pub off: f64,
}

/// The bytes of a file that a recipe names, when there is one.
pub type Files<'a> = &'a dyn Fn(&str) -> Option<Vec<u8>>;

/// More faults than this are only counted: one slip often shows in many places. Our choice.
const MAX: usize = 12;

/// More units to the inch than this are none. Our choice.
const MAX_PER_INCH: u32 = 100_000;

/// The plate that the `file` of a table shows, read by its `units` and layers; `None` when
/// something was reported.
pub(crate) fn drawn(fields: &Fields, files: Files) -> Option<OutlineFile> {
    let known = [Units::Millimetre, Units::Inch].map(|units| (units.word(), units));
    let units = word(fields, "units", &known);
    let per_inch = fields.count_from("per_inch", 1, MAX_PER_INCH).map(f64::from);
    let sized = word(fields, "holes", &[("numbered", false), ("sized", true)]).unwrap_or(false);
    let layer = fields.text("layer");
    let layers = layers(fields);
    fields.need("file", "\"plate.dxf\"")?;
    let name = fields.text("file")?;
    let item = fields.get("file")?;
    let Some(bytes) = files(name) else {
        fields.add(
            Finding::stop("outline", format!("there is no file `{name}` that can be read"))
                .at(item.letters, "")
                .help(
                    "put it beside the recipe or job, and write its name with the extension `.dxf` \
                     or `.svg`",
                ),
        );
        return None;
    };
    let wish = Wish { units, per_inch, layer, layers: layers? };
    let drawn = match outline_in::read(&bytes, &wish) {
        Ok(drawn) => drawn,
        Err(error) => {
            fields.add(refusal(name, &error).at(item.letters, ""));
            return None;
        }
    };
    passed(fields, name, item, &drawn, &wish);
    if drawn.cut.len() > MAX_EDGES {
        let pieces = drawn.cut.len();
        let headline = format!("`{name}`: {pieces} lines and arcs, more than {MAX_EDGES}");
        fields.add(
            Finding::stop("outline", headline)
                .at(item.letters, "")
                .help("draw curves as arcs instead of many short lines"),
        );
        return None;
    }
    match geom::plate(&drawn.cut, geom::JOIN) {
        Ok(region) => {
            for (words, help, _) in bend_rows::short(&region, &drawn.bends) {
                let finding = Finding::caution("outline", format!("`{name}`: {words}"));
                fields.add(finding.at(item.letters, "").help(help));
            }
            let Found { marks, bends, header_units, off, .. } = drawn;
            let name = name.to_owned();
            Some(OutlineFile { region, marks, bends, name, sized, header_units, off })
        }
        Err(faults) => {
            broken(fields, name, item, &faults);
            None
        }
    }
}

/// What each layer means, by the table `layers`; `None` when something was reported.
fn layers<'a>(fields: &Fields<'a>) -> Option<Vec<(&'a str, Use)>> {
    let entries = fields.entries("layers");
    if let (Some(item), false) = (fields.get("layer"), entries.is_empty()) {
        let headline = "`layers` already says which layers are cut";
        fields.add(Finding::stop("outline", headline).at(item.span, "").help("remove `layer`"));
        return None;
    }
    let mut all = Vec::new();
    for (name, entry) in &entries {
        let of = entry.item.text().and_then(|t| Use::WORDS.iter().find(|(word, _)| *word == t));
        match of {
            Some((_, of)) => all.push((*name, *of)),
            None => {
                let headline = format!("layer `{name}` is `cut`, `mark`, `bend` or `none`");
                let finding = Finding::stop("outline", headline).at(entry.item.span, "");
                fields.add(finding.help("say how its lines are used"));
            }
        }
    }
    (all.len() == entries.len()).then_some(all)
}

/// Reports where the contours of a file are broken.
fn broken(fields: &Fields, name: &str, item: &Item, faults: &[ContourFault]) {
    for fault in faults.iter().take(MAX) {
        fields.add(fault_of(name, fault).at(item.letters, ""));
    }
    if faults.len() > MAX {
        let headline = format!("`{name}`: {} more of these", faults.len() - MAX);
        let finding = Finding::stop("outline", headline).at(item.letters, "");
        fields.add(finding.help("repair the first ones and try again"));
    }
}

/// What is wrong with an outline file, or worth a look.
#[derive(Clone, Debug)]
pub struct OutlineFault {
    /// What it is.
    pub finding: Finding,
    /// The places it is about, mm.
    pub places: Vec<geom::Point>,
}

/// The errors of an outline file, and the remarks on one that is read.
pub fn faults(name: &str, looked: &Looked, wish: &Wish) -> Vec<OutlineFault> {
    let mut all = Vec::new();
    match &looked.found {
        Err(error) => {
            all.push(OutlineFault { finding: refusal(name, error), places: Vec::new() });
        }
        Ok(found) => {
            let mut said = remarks(found, wish);
            if let Some(Ok(region)) = &looked.plate {
                said.extend(bend_rows::short(region, &found.bends));
            }
            all.extend(said.into_iter().map(|(words, help, places)| {
                let finding = Finding::caution("outline", format!("`{name}`: {words}")).help(help);
                OutlineFault { finding, places }
            }));
        }
    }
    if let Some(Err(faults)) = &looked.plate {
        all.extend(
            faults.iter().take(MAX).map(|fault| OutlineFault {
                finding: fault_of(name, fault),
                places: places(fault),
            }),
        );
    }
    all
}

/// The places that a broken contour is about, mm.
fn places(fault: &ContourFault) -> Vec<geom::Point> {
    match fault {
        ContourFault::Nothing => Vec::new(),
        ContourFault::Open(a, b) | ContourFault::Doubled(a, b) | ContourFault::Crossing(a, b) => {
            vec![*a, *b]
        }
        ContourFault::Contour { error: geom::OutlineError::Crossing(at), .. }
        | ContourFault::Contour { at, .. }
        | ContourFault::Branch { at, .. }
        | ContourFault::Apart(at)
        | ContourFault::Island(at) => vec![*at],
    }
}

/// The finding for a broken contour.
fn fault_of(name: &str, fault: &ContourFault) -> Finding {
    let finding = Finding::stop("outline", format!("`{name}`: {fault}"));
    if *fault == ContourFault::Nothing {
        return finding.help(
            "draw the plate on a layer that is cut, or say in `layers` which is: `CUT = \"cut\"`",
        );
    }
    let places = "positions are in mm, as in the file; ends within";
    finding.note(format!("{places} {} mm are joined", geom::JOIN)).help(match fault {
        ContourFault::Open(..) | ContourFault::Branch { .. } => {
            "join the ends there or remove the line; a bend line, a mark or a note belongs on a \
             layer of its own, named in `layers`: `BEND = \"bend\"`"
        }
        ContourFault::Apart(_) | ContourFault::Island(_) => {
            "an outline file holds one plate: put other contours on a layer of their own, with \
             `\"none\"` in `layers`"
        }
        _ => "repair the outline file there",
    })
}

/// The finding for a file that cannot be read.
fn refusal(name: &str, error: &OutlineError) -> Finding {
    Finding::stop("outline", format!("`{name}`: {error}")).help(remedy(error))
}

/// What to do about a file that cannot be read.
pub fn remedy(error: &OutlineError) -> String {
    match error {
        OutlineError::Foreign(_) => "save the drawing as DXF or SVG".into(),
        OutlineError::Dxf(error) => dxf_remedy(error),
        OutlineError::Svg(error) => svg_remedy(error).into(),
        OutlineError::OddSize(_) => {
            "write `width` and `height` of the file in mm, or add `units = \"mm\"` or `\"in\"` for the \
             length of one unit"
                .into()
        }
        OutlineError::NoScale(_) => {
            "add `units = \"mm\"` or `\"in\"` for the length of one unit, or the pixels per inch: `per_inch = 96`, or 72 or 90 from older programs"
                .into()
        }
        OutlineError::NoPixels(_) => {
            "remove `per_inch`; add `units = \"mm\"` or `\"in\"` if the file states no units, or \
             states them wrongly"
                .into()
        }
        OutlineError::Kinds { words, .. } if words.contains("` in its style") || words.contains("with a `transform-") => {
            "write its sizes and its transform as attributes, or export the file with presentation attributes in place of a stylesheet".into()
        }
        OutlineError::Kinds { words, .. } if words.contains(" in a stylesheet") => {
            "write `fill` and `stroke` as attributes of each element, or export the file with presentation attributes in place of a stylesheet"
                .into()
        }
        OutlineError::Kinds { words, .. } if words.contains(" with a clip path") || words.contains(" with a mask") => {
            "remove the clip path or mask, and draw the outline that it leaves".into()
        }
        OutlineError::Kinds { .. } => {
            "explode them into lines, arcs and polylines, drawn continuous where they are cut, or \
             move them to a layer of their own and say what it means: `layers = { CUT = \"cut\", \
             BEND = \"bend\", NOTE = \"none\" }`"
                .into()
        }
        OutlineError::Unsaid(layer) => {
            format!("add `{layer:?} = \"none\"` to `layers`, or \"cut\", \"mark\", \"bend\"")
        }
        OutlineError::NoLayer { known, .. } if known.is_empty() => "the file is empty".into(),
        OutlineError::NoLayer { known, .. } => format!("it has {}", known.join(", ")),
        OutlineError::Crooked { .. } => {
            "draw each bend as one straight line, or say in `layers` what else that layer is".into()
        }
    }
}

fn svg_remedy(error: &SvgError) -> &'static str {
    match error {
        SvgError::View(_) => {
            "write `viewBox` as four numbers, of which the last two, width and height, are more than 0"
        }
        SvgError::Uneven(..) => "save it without `preserveAspectRatio=\"none\"`",
        SvgError::TooMany(_) => {
            "redraw the repeated shapes as one path, or leave out those the plate does not need"
        }
        SvgError::Unseen(..) => {
            "remove what is hidden, and write `fill` and `stroke` as attributes of each element, or \
             export the file with presentation attributes in place of a stylesheet"
        }
        SvgError::Stylesheet(..) => {
            "write its sizes and its transform as attributes, and draw the outline that a clip path or \
             mask leaves, or export the file with presentation attributes in place of a stylesheet"
        }
        _ => "save the file again as a plain SVG",
    }
}

fn dxf_remedy(error: &DxfError) -> String {
    match error {
        DxfError::NoUnits => "add `units = \"mm\"` or `units = \"in\"` to the step".into(),
        DxfError::Units(..) => {
            "add `units = \"mm\"` or `units = \"in\"` if the units in the file are wrong".into()
        }
        DxfError::Hidden(_) => HIDDEN.into(),
        DxfError::TooFar => {
            "move the plate to the origin of the file; if its units are wrong, write \
             `units = \"mm\"` or `units = \"in\"`"
                .into()
        }
        DxfError::Bulge(_) | DxfError::TooMany(_) | DxfError::Kinds(_) | DxfError::Layer { .. } => {
            "redraw the plate in lines, arcs, circles and polylines".into()
        }
        DxfError::Unreadable(_) | DxfError::Binary | DxfError::BrokenOff | DxfError::NotFinite => {
            "save the file again as a text DXF".into()
        }
    }
}

/// Entities that were not read are reported, unless the layer was named by the user.
fn passed(fields: &Fields, name: &str, item: &Item, drawn: &Found, wish: &Wish) {
    for (words, help, _) in remarks(drawn, wish) {
        let headline = format!("`{name}`: {words}");
        fields.add(Finding::caution("outline", headline).at(item.letters, "").help(help));
    }
}

/// The remarks on a file that is read, each with what to do about it, and where.
fn remarks(drawn: &Found, wish: &Wish) -> Vec<(String, &'static str, Vec<geom::Point>)> {
    let mut all = Vec::new();
    if !drawn.passed.is_empty() {
        let words = format!("{} ignored", dxf_in::counted(&drawn.passed));
        let help =
            "texts, their frames, dimensions and points are not cut; remove them to silence this";
        all.push((words, help, Vec::new()));
    }
    if !drawn.hidden.is_empty() {
        let words = format!("{} left out", dxf_in::counted(&drawn.hidden));
        all.push((words, PARTLY_HIDDEN, Vec::new()));
    }
    if drawn.elsewhere > 0 && wish.layer.is_none() {
        let words = match drawn.elsewhere {
            1 => "1 entity on a layer other than CUT is ignored".to_owned(),
            count => format!("{count} entities on layers other than CUT are ignored"),
        };
        let help = "write `layer = \"CUT\"` to confirm that only that layer counts";
        all.push((words, help, Vec::new()));
    }
    if let Some(page) = &drawn.unknown_page {
        let words = format!("its header names the code page `{page}`, which is not known");
        let help = "check the layer names: if they are garbled, save the file as DXF 2007 or later";
        all.push((words, help, Vec::new()));
    }
    if let Some(words) = &drawn.ignored {
        let help = "write it as an attribute of each element, or export the file with presentation attributes in place of a stylesheet";
        all.push((words.clone(), help, Vec::new()));
    }
    for (twice, line, done) in
        [(&drawn.doubled, "line", "cut"), (&drawn.bends_doubled, "bend line", "bent")]
    {
        let Some((from, to)) = twice.first() else { continue };
        let [from, to] =
            [from, to].map(|p| format!("({}, {})", num::text(p.x, 3), num::text(p.y, 3)));
        let words = match twice.len() {
            1 => format!("a {line} drawn twice is {done} once: from {from} to {to}"),
            count => format!(
                "{count} {line}s drawn twice are {done} once: the first from {from} to {to}"
            ),
        };
        let places = twice.iter().flat_map(|(from, to)| [*from, *to]).collect();
        all.push((words, "remove the second line from the file to silence this", places));
    }
    all
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
        assert_eq!(
            (words.as_str(), at.as_str()),
            ("there is no file `b.dxf` that can be read", "b.dxf")
        );
        assert!(help.starts_with("put it beside the recipe or job"));
        let (words, at, help) = refused("file = \"a.dxf\"", &square("0"));
        assert_eq!(
            (words.as_str(), at.as_str()),
            ("`a.dxf`: it does not state its units", "a.dxf")
        );
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
            ["`a.dxf`: 1 TEXT ignored", "`a.dxf`: 1 entity on a layer other than CUT is ignored"]
        );
        assert_eq!(said("file = \"a.dxf\", layer = \"CUT\"").len(), 1);
    }
}
