//! The inputs of a recipe: the values to give for a part.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Entry;
use crate::document::Fields;
use crate::document::Findings;
use crate::recipe::expr::Expr;
use crate::recipe::kind::Kind;
use crate::recipe::kind::kind_of;
use crate::recipe::typed::Typed;

/// One input.
#[derive(Clone, Debug)]
pub struct Input {
    /// Its kind.
    pub kind: Kind,
    /// Its default.
    pub default: Option<Typed>,
    /// Smallest value allowed.
    pub min: Option<Expr>,
    /// Largest value allowed.
    pub max: Option<Expr>,
    /// How many values a list has; any number when left out.
    pub count: Option<Expr>,
    /// One sentence.
    pub about: String,
    /// The position of its name.
    pub span: Span,
}

impl Input {
    pub(super) fn read(name: &str, entry: &Entry, findings: &Findings) -> Option<Self> {
        let fields = Fields::of(&entry.item, findings)?;
        let kind = fields.needed_text("kind", "\"length\"");
        let kind = kind.and_then(|word| kind_of(word, &fields));
        let about = fields.needed_text("about", "\"what it is\"").unwrap_or_default().to_owned();
        let limit = |name: &str| fields.get(name).and_then(|i| Expr::read(i, findings));
        let (min, max, count) = (limit("min"), limit("max"), limit("count"));
        let default = fields.get("default");
        let default = match (&kind, default) {
            (Some(kind), Some(item)) => kind.typed(item, findings),
            _ => None,
        };
        fields.finish();
        let kind = kind?;
        let limited = min.is_some() || max.is_some();
        if limited && !matches!(kind.of_each(), Kind::Number(..) | Kind::Count) {
            findings.add(
                Finding::stop("wrong-kind", format!("`{name}` cannot have limits"))
                    .at(entry.key, "")
                    .help("only numbers have `min` and `max`"),
            );
        }
        if let Some(count) = count.as_ref().filter(|_| !matches!(kind, Kind::List(_))) {
            findings.add(
                Finding::stop("wrong-kind", format!("`{name}` cannot have a `count`"))
                    .at(count.span, "")
                    .help(
                        "only a list has one: remove it, or make a list with `kind = \"lengths\"`",
                    ),
            );
        }
        Some(Self { kind, default, min, max, count, about, span: entry.key })
    }
}
