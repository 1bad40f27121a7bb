//! The captured nut of a recipe: the dimensions that decide whether the nut fits into a tube.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::recipe::expr::Expr;
use crate::recipe::face::Face;
use indexmap::IndexMap;

/// A nut on a plate that closes a tube: it is in the bore behind the plate.
#[derive(Clone, Debug)]
pub struct Captured {
    /// Evaluates to a row of the table of nuts.
    pub nut: Expr,
    /// The face that closes the tube, and the hole that the nut sits in or behind.
    pub seat: (String, String),
    /// Inside width of the tube; of a rectangular one the narrower.
    pub bore: Expr,
    /// Thickness of the tube's wall.
    pub wall: Expr,
    /// How far the root of the tube's weld, or a backing ring, projects into the bore.
    pub root: Option<Expr>,
    /// Leg of a fillet round the nut.
    pub weld: Option<Expr>,
    /// How far the nut may sit off the centre of its seat.
    pub shift: Option<Expr>,
    /// Its position in the text.
    pub span: Span,
}

impl Captured {
    pub(super) fn read(item: &Item, findings: &Findings) -> Option<Self> {
        let fields = Fields::of(item, findings)?;
        let need = |name: &str, example: &str| {
            fields.need(name, example).and_then(|i| Expr::read(i, findings))
        };
        let may = |name: &str| fields.get(name).and_then(|i| Expr::read(i, findings));
        let nut = need("nut", "\"nut\"");
        let (bore, wall) = (need("bore", "\"outside - 2 * wall\""), need("wall", "\"wall\""));
        let (root, weld, shift) = (may("root"), may("weld"), may("shift"));
        let seat = fields.needed_text("seat", "\"plate.seat\"");
        let split = seat.and_then(|seat| seat.split_once('.'));
        if let (Some(_), None, Some(item)) = (seat, split, fields.get("seat")) {
            fields.add(
                Finding::stop("bad-name", "a seat is a hole of a face").at(item.letters, "").help(
                    "write the face, a dot and the hole the nut sits in: `seat = \"plate.seat\"`",
                ),
            );
        }
        fields.finish();
        let (face, hole) = split?;
        Some(Self {
            nut: nut?,
            seat: (face.to_owned(), hole.to_owned()),
            bore: bore?,
            wall: wall?,
            root,
            weld,
            shift,
            span: item.span,
        })
    }

    /// Refuses a seat that no face has, whatever the inputs are.
    pub(super) fn check(&self, faces: &IndexMap<String, Face>, findings: &Findings) {
        let (face, hole) = &self.seat;
        let found = faces.get(face).is_some_and(|f| f.holes.iter().any(|set| set.name == *hole));
        if !found {
            findings.add(
                Finding::stop("bad-name", format!("there is no hole `{hole}` in a face `{face}`"))
                    .at(self.span, "the seat of this nut")
                    .help("name a face and one of its holes: `seat = \"plate.seat\"`"),
            );
        }
    }
}
