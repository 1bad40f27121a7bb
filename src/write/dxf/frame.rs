//! The sections round the tables and entities: header, classes, blocks, objects.

use super::pairs::Handle;
use super::pairs::MODEL_SPACE;
use super::pairs::NOTHING;
use super::pairs::PAPER_SPACE;
use super::pairs::PLOT_STYLE;
use super::pairs::Pairs;
use crate::quantity::Units;
use crate::write::drawing::Drawing;
use crate::write::dxf::version::Version;

/// The header. `first_free` is larger than every handle of the file.
pub(super) fn header(drawing: &Drawing, version: Version, first_free: Handle) -> Pairs {
    let bounds = drawing.bounds();
    let mut out = Pairs::new(version);
    out.section("HEADER", |out| {
        match version {
            Version::R12 => out.puts(&[(9, "$ACADVER"), (1, "AC1009")]),
            Version::R2000 => {
                out.puts(&[(9, "$ACADVER"), (1, "AC1015"), (9, "$DWGCODEPAGE"), (3, "ANSI_1252")]);
                out.put(9, "$HANDSEED");
                out.put(5, first_free);
                let (units, metric) = match drawing.units {
                    Units::Millimetre => ("4", "1"),
                    Units::Inch => ("1", "0"),
                };
                out.puts(&[(9, "$INSUNITS"), (70, units), (9, "$MEASUREMENT"), (70, metric)]);
            }
        }
        for (name, corner) in [("$EXTMIN", bounds.min), ("$EXTMAX", bounds.max)] {
            out.put(9, name);
            out.point(10, drawing.number(corner.x), drawing.number(corner.y));
        }
    });
    out
}

/// The two kinds of object that R2000 must be told of.
pub(super) fn classes(out: &mut Pairs) {
    out.section("CLASSES", |out| {
        for (name, class) in [
            ("ACDBDICTIONARYWDFLT", "AcDbDictionaryWithDefault"),
            ("ACDBPLACEHOLDER", "AcDbPlaceHolder"),
        ] {
            out.puts(&[(0, "CLASS"), (1, name), (2, class), (3, "ObjectDBX Classes")]);
            out.puts(&[(90, "0"), (280, "0"), (281, "0")]);
        }
    });
}

/// Model space and paper space.
pub(super) fn blocks(out: &mut Pairs) {
    out.section("BLOCKS", |out| {
        for (record, name, paper) in
            [(MODEL_SPACE, "*Model_Space", false), (PAPER_SPACE, "*Paper_Space", true)]
        {
            for (kind, class) in [("BLOCK", "AcDbBlockBegin"), ("ENDBLK", "AcDbBlockEnd")] {
                out.put(0, kind);
                let handle = out.take_handle();
                out.owned(handle, record, &["AcDbEntity"]);
                if paper {
                    out.put(67, "1");
                }
                out.puts(&[(8, "0"), (100, class)]);
                if kind == "BLOCK" {
                    out.puts(&[(2, name), (70, "0")]);
                    out.point(10, "0", "0");
                    out.puts(&[(3, name), (1, "")]);
                }
            }
        }
    });
}

/// The dictionaries, down to the plot style the layers point to.
pub(super) fn objects(out: &mut Pairs) {
    let [root, groups, styles] = [out.take_handle(), out.take_handle(), out.take_handle()];
    out.section("OBJECTS", |out| {
        out.put(0, "DICTIONARY");
        out.owned(root, NOTHING, &["AcDbDictionary"]);
        out.put(281, "1");
        for (name, handle) in [("ACAD_GROUP", groups), ("ACAD_PLOTSTYLENAME", styles)] {
            out.put(3, name);
            out.put(350, handle);
        }
        out.put(0, "DICTIONARY");
        out.owned(groups, root, &["AcDbDictionary"]);
        out.put(281, "1");
        out.put(0, "ACDBDICTIONARYWDFLT");
        out.owned(styles, root, &["AcDbDictionary"]);
        out.puts(&[(281, "1"), (3, "Normal")]);
        out.put(350, PLOT_STYLE);
        out.put(100, "AcDbDictionaryWithDefault");
        out.put(340, PLOT_STYLE);
        out.put(0, "ACDBPLACEHOLDER");
        out.owned(PLOT_STYLE, styles, &[]);
    });
}
