//! Additions to a drawing of the page: its overall dimensions, the datum corner of X and Y, and
//! notes in it.

use crate::geom::Point;
use crate::report_page::html::El;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::html::of_class;
use crate::report_page::shapes;
use crate::report_page::shapes::number;

/// Left of a drawing and below it, px: room for its dimensions.
const ROOM: f64 = 34.0;
/// On its other sides, px.
const ASIDE: f64 = 16.0;
/// From a drawing to the lines of its dimensions, px, and how far other lines reach.
const OFF: f64 = 18.0;
const REACH: f64 = 4.0;

/// An empty drawing of a class for something of a size, px, with room for its dimensions.
pub(super) fn drawing(class: &str, [wide, high]: [f64; 2]) -> El {
    let (width, height) = (wide + ROOM + ASIDE, high + ROOM + ASIDE);
    let view = [-ROOM, -ASIDE, width, height].map(number).join(" ");
    el("svg").at("class", class).at("viewBox", view).at("width", number(width))
}

/// The overall dimensions of something of a size, px, and its origin.
pub(super) fn overall([wide, high]: [f64; 2], [length, width]: [&str; 2]) -> Html {
    let data = format!(
        "M0 {0}V{1}M{2} {0}V{1}M0 {3}H{2}M-{REACH} 0H-{4}M-{REACH} {5}H-{4}M-{OFF} 0V{5}",
        number(high + REACH),
        number(high + OFF + REACH),
        number(wide),
        number(high + OFF),
        number(OFF + REACH),
        number(high)
    );
    let across = note(Point::new(wide / 2.0, high + OFF), length);
    let up = note_upward(Point::new(-OFF, high / 2.0), width);
    let origin = el("circle").at("class", "datum").at("cx", 0).at("cy", number(high)).at("r", 3);
    Html::from(shapes::path(&data).at("class", "size")).and(across).and(up).and(origin)
}

/// Words with their centre at a place.
pub(super) fn note(at: Point, words: &str) -> El {
    of_class("text", "note", words).at("x", number(at.x)).at("y", number(at.y))
}

/// The same, read upward.
pub(super) fn note_upward(at: Point, words: &str) -> El {
    let place = format!("translate({} {}) rotate(-90)", number(at.x), number(at.y));
    of_class("text", "note", words).at("transform", place)
}
