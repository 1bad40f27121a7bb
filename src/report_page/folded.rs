//! The folded part as its card shows it, in shades that follow light and dark.

use crate::geom::Bounds;
use crate::geom::Point;
use crate::num;
use crate::report_page::html::Html;
use crate::report_page::html::el;
use crate::report_page::shapes;
use crate::report_page::shapes::number;
use crate::solve::Solved;
use crate::view;
use crate::write::Patch;

/// Room for the view, px. Our choice.
const ROOM: [f64; 2] = [330.0, 230.0];
/// Pixels for a millimetre, at the most. Our choice.
const LARGEST: f64 = 5.0;
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
        let [x, y] = [p.x - bounds.min.x, bounds.max.y - p.y].map(|mm| num::text(mm * scale, 1));
        format!("{x} {y}")
    };
    let metal: Html = patches.iter().map(|one| patch(one, &point)).collect();
    let (wide, high) = (bounds.width() * scale, bounds.height() * scale);
    let view = [-ROUND, -ROUND, wide + 2.0 * ROUND, high + 2.0 * ROUND].map(number).join(" ");
    let svg = el("svg").at("class", "dwg").at("viewBox", view);
    let svg = svg.at("width", number(wide + 2.0 * ROUND)).at("role", "img");
    svg.at("aria-label", format_args!("{} formed", solved.name)).with(metal).into()
}

/// One side, and the edges that are drawn on it.
fn patch(patch: &Patch, point: &dyn Fn(&Point) -> String) -> Html {
    let closed = |l: &Vec<Point>| {
        let points: Vec<String> = l.iter().map(point).collect();
        format!("M{}Z", points.join("L"))
    };
    let line = |[a, b]: &[Point; 2]| format!("M{}L{}", point(a), point(b));
    let lines = |lines: &[[Point; 2]], class: &'static str| {
        let data: String = lines.iter().map(line).collect();
        (!data.is_empty()).then(|| shapes::path(&data).at("class", class))
    };
    let side: String = patch.loops.iter().map(closed).collect();
    let shade = ((TONES[0] - patch.tone) / (TONES[0] - TONES[1]) * SHADES).round();
    let shade = shade.clamp(0.0, SHADES);
    Html::from(shapes::path(&side).at("class", format_args!("s{shade}")))
        .and(lines(&patch.narrow, "narrow"))
        .and(lines(&patch.wide, "wide"))
}
