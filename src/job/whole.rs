//! What concerns the text of a job as a whole.

use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Span;

/// Where what concerns the whole of a text is shown.
pub(super) fn first_line(source: SourceId, text: &str) -> Span {
    Span { source, start: 0, end: text.find('\n').unwrap_or(text.len()) }
}

/// A job without a part, a link or a tube.
pub(super) fn makes_nothing(whole: Span) -> Finding {
    Finding::stop("missing-key", "the job makes nothing")
        .at(whole, "")
        .help("add a `[[part]]` with `recipe`, `name` and `sheet`")
}
