//! Plates that lie on a face of another plate.

use crate::diag::Span;
use crate::document::Fields;
use crate::recipe::expr::Expr;
use crate::recipe::measures::Measures;

/// `laid_on = { face = "plate", at = ["0", "40 mm"], rotate = "90 deg" }`: where a plate lies.
#[derive(Clone, Debug)]
pub struct Laid {
    /// The face it lies on.
    pub on: String,
    /// Where its origin lies there.
    pub at: [Expr; 2],
    /// How it is rotated about that.
    pub rotate: Option<Expr>,
    /// The entry.
    pub span: Span,
}

impl Laid {
    /// The `laid_on` of a face, where it has one.
    pub(super) fn read(face: &Fields) -> Option<Self> {
        let item = face.get("laid_on")?;
        let measures = Measures(Fields::of(item, face.findings())?);
        let on = measures.0.needed_text("face", "\"plate\"").map(str::to_owned);
        let (at, rotate) = (measures.point("at"), measures.may("rotate"));
        measures.0.finish();
        Some(Self { on: on?, at: at?, rotate, span: item.span })
    }
}
