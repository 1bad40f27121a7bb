//! The folded part as its card shows it, in shades that follow light and dark.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::shapes;
use crate::report_page::shapes::number;
use crate::solve::Solved;
use crate::view;
use crate::write::Patch;
use std::fmt::Write;

/// Room for the view, px. Our choice.
const ROOM: [f64; 2] = [330.0, 230.0];
/// Pixels for a millimetre, at the most. Our choice.
const LARGEST: f64 = 5.0;
/// Units of the drawing for a px, so that whole numbers will do.
const FINE: f64 = 10.0;
/// Round the view, px.
const ROUND: f64 = 6.0;

/// The lightest and the darkest tone of a view, and its shades between them.
const TONES: [f64; 2] = [0.94, 0.54];
const SHADES: f64 = 6.0;

/// A view of a bent part; nothing of a flat one.
pub(super) fn folded(solved: &Solved) -> Html {
    if solved.part.bends.is_empty() {
        return Html::default();
    }
    let patches = view::isometric(&solved.folded, solved.part.thickness);
    let points = patches.iter().flat_map(|patch| &patch.loops).flatten();
    let bounds = points.fold(Bounds::EMPTY, |all, p| all.with(*p));
    let scale = (ROOM[0] / bounds.width()).min(ROOM[1] / bounds.height()).min(LARGEST);
    let point = |p: &Point| {
        [p.x - bounds.min.x, bounds.max.y - p.y].map(|mm| (mm * scale * FINE).round() as i64)
    };
    let metal: Html = patches.iter().map(|one| patch(one, &point)).collect();
    let (wide, high) =
        (bounds.width() * scale + 2.0 * ROUND, bounds.height() * scale + 2.0 * ROUND);
    let view = [-ROUND, -ROUND, wide, high].map(|px| number(px * FINE)).join(" ");
    let svg = el("svg").at("class", "dwg").at("viewBox", view);
    let svg = svg.at("width", number(wide)).at("role", "img");
    svg.at("aria-label", format_args!("{} formed", solved.name)).with(metal).into()
}

/// A point of the view in whole units of its drawing.
type At<'a> = &'a dyn Fn(&Point) -> [i64; 2];

/// One side, and the edges that are drawn on it.
fn patch(patch: &Patch, point: At) -> Html {
    let lines = |lines: &[[Point; 2]], class: &'static str| {
        let data: String = lines.iter().map(|ends| data(ends, point)).collect();
        (!data.is_empty()).then(|| shapes::path(&data).at("class", class))
    };
    let side: String = patch.loops.iter().map(|points| data(points, point) + "z").collect();
    let shade = ((TONES[0] - patch.tone) / (TONES[0] - TONES[1]) * SHADES).round();
    let shade = shade.clamp(0.0, SHADES);
    Html::from(shapes::path(&side).at("class", format_args!("s{shade}")))
        .and(lines(&patch.narrow, "narrow"))
        .and(lines(&patch.wide, "wide"))
}

/// Path data through points, each from the one before, which is shortest; what does not move
/// is left out.
fn data(points: &[Point], point: At) -> String {
    let mut out = String::new();
    let (mut last, mut moved): (Option<[i64; 2]>, bool) = (None, false);
    for next in points.iter().map(point) {
        // Writing to a string cannot fail.
        let _ = match last {
            None => write!(out, "M{} {}", next[0], next[1]),
            Some(last) if last == next => continue,
            Some([x, y]) => {
                let [x, y] = [next[0] - x, next[1] - y];
                let before = match moved {
                    false => "l",
                    true if x < 0 => "",
                    true => " ",
                };
                moved = true;
                write!(out, "{before}{x}{}{y}", if y < 0 { "" } else { " " })
            }
        };
        last = Some(next);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn path_data_goes_from_point_to_point_and_back_to_the_first() {
        let points = [[3.0, 4.0], [5.0, 1.0], [5.2, 1.1], [2.0, 8.0]];
        let points = points.map(|[x, y]| Point::new(x, y));
        let whole = |p: &Point| [p.x, p.y].map(|x| x.round() as i64);
        assert_eq!(data(&points, &whole), "M3 4l2-3-3 7");
    }
}
