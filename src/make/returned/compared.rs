//! The data compared: files as read, parts as expected.

use crate::changes;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::job::Job;

/// The result of a comparison, a line for each file or part.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Returned {
    /// Files that show the plates sent.
    pub same: Vec<String>,
    /// Everything that differs, in sentences.
    pub differences: Vec<String>,
}

/// A file as read.
pub(super) struct Read<'a> {
    pub(super) name: &'a str,
    pub(super) region: Region,
    /// Whether these very bytes were sent.
    pub(super) sent: bool,
}

/// A part to look for.
pub(super) struct ExpectedPart {
    /// Under which name it would be sent today, without ending.
    pub(super) stem: String,
    /// All names it may have, that one among them.
    pub(super) names: Vec<String>,
    pub(super) part: usize,
    pub(super) region: Region,
    /// Whether a file or a piece shows it.
    pub(super) found: bool,
}

/// A place in words.
pub(super) fn place(job: &Job, at: Point) -> String {
    format!("({}, {})", job.units.length(at.x), job.units.length(at.y))
}

/// The largest distance between two outlines and where it is; `None` if they are the same.
pub(super) fn max_deviation(a: &Outline, b: &Outline) -> Option<(f64, Point)> {
    let edges = |outline: &Outline| outline.edges().collect::<Vec<_>>();
    changes::max_deviation(&edges(a), &edges(b))
}
