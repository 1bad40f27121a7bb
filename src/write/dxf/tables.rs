//! The tables a DXF file refers to. What R12 did not know stays out of it.

use super::pairs::MODEL_SPACE;
use super::pairs::PAPER_SPACE;
use super::pairs::PLOT_STYLE;
use super::pairs::Pairs;
use crate::write::drawing::Drawing;
use crate::write::drawing::Layer;
use crate::write::dxf::version::Version;

pub(super) fn section(out: &mut Pairs, drawing: &Drawing) {
    let full = out.version() == Version::R2000;
    out.section("TABLES", |out| {
        out.table("VPORT", 1, |out| view(out, drawing));
        line_types(out);
        layers(out, drawing);
        out.table("STYLE", 1, |out| {
            out.record("STYLE", "AcDbTextStyleTableRecord", "STANDARD");
            out.puts(&[(70, "0"), (40, "0"), (41, "1"), (50, "0"), (71, "0")]);
            out.puts(&[(42, "2.5"), (3, "txt"), (4, "")]);
        });
        if full {
            rest(out);
        }
    });
}

/// How the drawing is first seen: the whole of it.
fn view(out: &mut Pairs, drawing: &Drawing) {
    let bounds = drawing.bounds();
    let (centre, number) = (bounds.centre(), |mm| drawing.number(mm));
    /// Width of the window over its height. Our choice; readers fit it to their own.
    const ASPECT: f64 = 1.5;
    let height = bounds.height().max(bounds.width() / ASPECT).max(1.0);
    out.record("VPORT", "AcDbViewportTableRecord", "*ACTIVE");
    out.puts(&[(70, "0"), (10, "0"), (20, "0"), (11, "1"), (21, "1")]);
    out.puts(&[(12, &number(centre.x)), (22, &number(centre.y))]);
    out.puts(&[(13, "0"), (23, "0"), (14, "1"), (24, "1"), (15, "1"), (25, "1")]);
    out.puts(&[(16, "0"), (26, "0"), (36, "1"), (17, "0"), (27, "0"), (37, "0")]);
    out.put(40, number(height));
    out.put(41, ASPECT);
    out.puts(&[(42, "50"), (43, "0"), (44, "0"), (50, "0"), (51, "0"), (71, "0"), (72, "100")]);
    out.puts(&[(73, "1"), (74, "3"), (75, "0"), (76, "0"), (77, "0"), (78, "0")]);
}

fn line_types(out: &mut Pairs) {
    let names: &[&str] = match out.version() {
        Version::R2000 => &["ByBlock", "ByLayer", "CONTINUOUS"],
        Version::R12 => &["CONTINUOUS"],
    };
    out.table("LTYPE", names.len(), |out| {
        for name in names {
            out.record("LTYPE", "AcDbLinetypeTableRecord", name);
            out.puts(&[(70, "0"), (3, ""), (72, "65"), (73, "0"), (40, "0")]);
        }
    });
}

fn layers(out: &mut Pairs, drawing: &Drawing) {
    out.table("LAYER", 1 + drawing.layers().count(), |out| {
        // Layer 0 must be there, though nothing lies on it.
        for name in std::iter::once("0").chain(drawing.layers().map(Layer::name)) {
            out.record("LAYER", "AcDbLayerTableRecord", name);
            out.puts(&[(70, "0"), (62, "7"), (6, "CONTINUOUS")]);
            if out.version() == Version::R2000 {
                out.put(390, PLOT_STYLE);
            }
        }
    });
}

/// Tables that R2000 requires and nothing here uses.
fn rest(out: &mut Pairs) {
    out.table("VIEW", 0, |_| {});
    out.table("UCS", 0, |_| {});
    out.table("APPID", 1, |out| {
        out.record("APPID", "AcDbRegAppTableRecord", "ACAD");
        out.put(70, "0");
    });
    out.table("DIMSTYLE", 1, |out| {
        out.record("DIMSTYLE", "AcDbDimStyleTableRecord", "STANDARD");
        out.put(70, "0");
    });
    out.table("BLOCK_RECORD", 2, |out| {
        for (handle, name) in [(MODEL_SPACE, "*Model_Space"), (PAPER_SPACE, "*Paper_Space")] {
            out.record_with(handle, "BLOCK_RECORD", "AcDbBlockTableRecord", name);
            out.put(340, "0");
        }
    });
}
