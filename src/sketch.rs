//! What a drawing from elsewhere shows, before anybody says what it means: lines, arcs and
//! curves on layers, each with its place in the file.

use crate::geom::Course;
use crate::geom::Edge;
use crate::geom::Motion;

/// Curves become arcs that leave them by no more than this, mm. Our choice: far below what a
/// cutter keeps to.
pub const CLOSE: f64 = 0.02;

/// Nothing of a plate is further from the origin of its drawing, mm. Our choice: beyond a
/// kilometre, as in the grid of a map, sums of coordinates lose the micrometre.
pub const FURTHEST: f64 = 1e6;

/// One item of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Its kind, as its format calls it.
    pub kind: String,
    /// Where it is in the file: its handle or number, and its line.
    pub place: String,
    /// The layer it is on.
    pub layer: String,
    /// The line type, where it is one of dashes.
    pub dashes: Option<String>,
    /// The result.
    pub what: What,
}

/// The result of a drawn item, in units of its file.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// Lines, arcs and curves.
    Drawn(Vec<Course>),
    /// The boundary of an area that is filled or hatched.
    Fill(Vec<Course>),
    /// It means nothing for an outline: the text it shows, empty where it shows none.
    Idle(String),
    /// It is not read: what it is.
    Strange(String),
    /// It is not seen: why.
    Hidden(String),
}

/// Courses in mm as lines and arcs, and how far these leave them, mm.
pub fn edges(courses: &[Course], mm: f64) -> (Vec<Edge>, f64) {
    let larger = Motion::scaled(mm, mm);
    let (mut edges, mut off) = (Vec::new(), 0.0_f64);
    for course in courses.iter().flat_map(|course| course.mapped(&larger)) {
        // What is nowhere near is refused by its ends; nothing is fitted to it.
        if !course.is_within(FURTHEST) {
            edges.extend(course.chords());
            continue;
        }
        let (more, by) = course.edges(CLOSE);
        edges.extend(more);
        off = off.max(by);
    }
    (edges, off)
}
