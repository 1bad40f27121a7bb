//! Additions to a drawing of the page: its overall dimensions, the datum corner of X and Y, and
//! notes in it.

use crate::geom::Bounds;
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
/// Width of a letter and height of its words, px: those of 12 px type, about.
const WORDS: [f64; 2] = [7.0, 13.0];

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

/// What the dimensions of something of a size take with these words, px.
pub(super) fn taken([wide, high]: [f64; 2], words: &[String; 2]) -> Vec<Bounds> {
    let [across, up] = [0, 1].map(|i| WORDS[0] * words[i].chars().count() as f64 / 2.0 + 2.0);
    let around = |at: (f64, f64), half: (f64, f64)| {
        let at = Point::from(at);
        Bounds { min: at - half, max: at + half }
    };
    let reach = OFF / 2.0;
    let beside = |y: f64| around((-REACH - reach, y), (reach, 1.0));
    let below = |x: f64| around((x, high + REACH + reach), (1.0, reach));
    vec![
        around((wide / 2.0, high + OFF), (wide / 2.0, 1.0)),
        around((-OFF, high / 2.0), (1.0, high / 2.0)),
        around((wide / 2.0, high + OFF), (across, WORDS[1] / 2.0)),
        around((-OFF, high / 2.0), (WORDS[1] / 2.0, up)),
        beside(0.0),
        beside(high),
        below(0.0),
        below(wide),
    ]
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
