//! The clevis of a recipe: the dimensions round a rod end.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;

/// The features of a part that carry a rod end, for the checks of fit and swing.
#[derive(Clone, Debug)]
pub struct Clevis {
    /// Evaluates to a row of the table of rod ends.
    pub rod_end: Expr,
    /// Between the bare ears.
    pub gap: Expr,
    /// Thickness of the spacer on each side of the ball.
    pub spacer: Option<Expr>,
    /// The face that is an ear, and its hole for the pin. The foot of the ear lies below the hole,
    /// towards −y.
    pub eye: (String, String),
    /// Ears of one piece on the same pin, which share its load.
    pub ears: u32,
    /// From the pin down to the surface below the ear.
    pub floor: Expr,
    /// Leg of a fillet between the ears, along the foot.
    pub weld: Option<Expr>,
    /// Direction in which the rod end points: 0 is directly away from the foot, anticlockwise positive.
    pub direction: Option<Expr>,
    /// How far the rod end must be able to tilt to either side.
    pub swing: Option<Expr>,
    /// How far the rod end must be able to rotate about its pin to either side.
    pub rotation: Option<Expr>,
    /// Outside diameter of the tube below the ears, whose axis is square to them.
    pub tube: Option<Expr>,
    /// What joins the ears between their foot and the pin.
    pub bridge: Option<Bridge>,
    /// How often each inaccuracy enters the gap.
    pub varies: Vec<(Inaccuracy, Expr)>,
    /// Its position in the text.
    pub span: Span,
}

/// A block that joins the ears, in the drawing of the ear.
#[derive(Clone, Debug)]
pub struct Bridge {
    /// Its centre.
    pub at: [Expr; 2],
    /// Along x.
    pub width: Expr,
    /// Along y.
    pub height: Expr,
    /// Its position in the text.
    pub span: Span,
}

/// What makes a gap differ from the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Inaccuracy {
    /// Thickness of the sheet.
    Thickness,
    /// A cut edge.
    Cut,
    /// The place of a bend.
    Bend,
    /// The angle of a bend, at the end of the ear.
    Angle,
    /// The pull of a weld.
    Weld,
}

impl Inaccuracy {
    /// All, with their words.
    pub(crate) const ALL: [(&'static str, Self); 5] = [
        ("thickness", Self::Thickness),
        ("cut", Self::Cut),
        ("bend", Self::Bend),
        ("angle", Self::Angle),
        ("weld", Self::Weld),
    ];

    /// As typed.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, each)| *each == self).map_or("", |(word, _)| word)
    }
}

impl Clevis {
    pub(super) fn read(item: &Item, findings: &Findings) -> Option<Self> {
        let fields = Fields::of(item, findings)?;
        let need = |name: &str, example: &str| {
            fields.need(name, example).and_then(|i| Expr::read(i, findings))
        };
        let may = |name: &str| fields.get(name).and_then(|i| Expr::read(i, findings));
        let (rod_end, gap) = (need("rod_end", "\"rod_end\""), need("gap", "\"gap\""));
        let (floor, spacer) = (need("floor", "\"reach\""), may("spacer"));
        let (weld, direction, swing) = (may("weld"), may("direction"), may("swing"));
        let (rotation, tube) = (may("rotation"), may("tube"));
        let bridge = fields.get("bridge").and_then(|i| Bridge::read(i, findings));
        let eye = fields.needed_text("eye", "\"ear.eye\"");
        let split = eye.and_then(|eye| eye.split_once('.'));
        if let (Some(_), None, Some(item)) = (eye, split, fields.get("eye")) {
            fields.add(
                Finding::stop("bad-name", "an eye is a hole of a face")
                    .at(item.letters, "")
                    .help("write the face, a dot and the hole: `eye = \"ear.eye\"`"),
            );
        }
        let ears = match fields.has("ears") {
            true => fields.count_from("ears", 1, 2),
            false => Some(1),
        };
        let varies = varies(&fields, findings);
        fields.finish();
        let (face, hole) = split?;
        Some(Self {
            rod_end: rod_end?,
            gap: gap?,
            spacer,
            eye: (face.to_owned(), hole.to_owned()),
            ears: ears?,
            floor: floor?,
            weld,
            direction,
            swing,
            rotation,
            tube,
            bridge,
            varies,
            span: item.span,
        })
    }
}

impl Bridge {
    fn read(item: &Item, findings: &Findings) -> Option<Self> {
        let measures = Measures(Fields::of(item, findings)?);
        let (at, width, height) =
            (measures.point("at"), measures.need("width"), measures.need("height"));
        measures.0.finish();
        Some(Self { at: at?, width: width?, height: height?, span: item.span })
    }
}

fn varies(fields: &Fields, findings: &Findings) -> Vec<(Inaccuracy, Expr)> {
    let Some(item) = fields.get("varies") else { return Vec::new() };
    let Some(inner) = Fields::of(item, findings) else { return Vec::new() };
    let read = |(word, each): &(&str, Inaccuracy)| {
        let item = inner.get(word)?;
        Some((*each, Expr::read(item, findings)?))
    };
    let varies = Inaccuracy::ALL.iter().filter_map(read).collect();
    inner.finish();
    varies
}
