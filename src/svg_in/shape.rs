//! The shapes of SVG, each as what a pen draws.

use crate::geom::Course;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::svg_in::path;
use crate::svg_in::path::numbers;
use roxmltree::Node;

/// Elements that draw.
pub(super) const SHAPES: &[&str] =
    &["path", "rect", "circle", "ellipse", "line", "polyline", "polygon"];

const FULL: Angle = Angle::from_degrees(360.0);

/// What a shape draws, in its own coordinates; words where it cannot be read.
pub(super) fn courses(node: Node) -> Result<Vec<Course>, String> {
    let name = node.tag_name().name();
    let number = |key: &str| -> Result<f64, String> {
        let Some(text) = node.attribute(key) else { return Ok(0.0) };
        let text = text.trim();
        let digits = text.strip_suffix("px").unwrap_or(text);
        let number = digits.parse().ok().filter(|n: &f64| n.is_finite());
        number.ok_or_else(|| format!("{name} with {key} `{text}`"))
    };
    match name {
        "line" => {
            let ends = [(number("x1")?, number("y1")?), (number("x2")?, number("y2")?)];
            let [from, to] = ends.map(Point::from);
            Ok(vec![Course::Edge(Edge::line(from, to))])
        }
        "circle" | "ellipse" => {
            let centre = Point::new(number("cx")?, number("cy")?);
            let (rx, ry) = match name {
                "circle" => (number("r")?, number("r")?),
                _ => (number("rx")?, number("ry")?),
            };
            if rx <= 0.0 || ry <= 0.0 {
                return Ok(Vec::new());
            }
            let axes = [Vec2::new(rx, 0.0), Vec2::new(0.0, ry)];
            Ok(Course::ellipse(centre, axes, Angle::ZERO, FULL))
        }
        "rect" => {
            let (at, size) = ([number("x")?, number("y")?], [number("width")?, number("height")?]);
            let (rx, ry) = (number("rx")?, number("ry")?);
            let has = |key| node.attribute(key).is_some();
            let rx = if has("rx") { rx } else { ry };
            let ry = if has("ry") { ry } else { rx };
            Ok(rectangle(at, size, [rx.min(size[0] / 2.0), ry.min(size[1] / 2.0)]))
        }
        "polyline" | "polygon" => {
            let text = node.attribute("points").unwrap_or_default();
            let all = numbers(text);
            let points: Vec<Point> =
                all.chunks_exact(2).map(|pair| Point::new(pair[0], pair[1])).collect();
            Ok(chain(&points, name == "polygon"))
        }
        _ => path::courses(node.attribute("d").unwrap_or_default()),
    }
}

fn chain(points: &[Point], closed: bool) -> Vec<Course> {
    let mut edges: Vec<Edge> = points.windows(2).map(|pair| Edge::line(pair[0], pair[1])).collect();
    if let (true, Some(first), Some(last)) = (closed, points.first(), points.last())
        && first != last
    {
        edges.push(Edge::line(*last, *first));
    }
    edges.into_iter().map(Course::Edge).collect()
}

fn rectangle([x, y]: [f64; 2], [w, h]: [f64; 2], [rx, ry]: [f64; 2]) -> Vec<Course> {
    if w <= 0.0 || h <= 0.0 {
        return Vec::new();
    }
    if rx <= 0.0 || ry <= 0.0 {
        let corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)].map(Point::from);
        return chain(&corners, true);
    }
    let axes = [Vec2::new(rx, 0.0), Vec2::new(0.0, ry)];
    let centres =
        [(x + w - rx, y + h - ry), (x + rx, y + h - ry), (x + rx, y + ry), (x + w - rx, y + ry)];
    let corners = centres.iter().enumerate().flat_map(|(i, at)| {
        let from = Angle::from_degrees(90.0 * i as f64);
        Course::ellipse(Point::from(*at), axes, from, Angle::QUARTER)
    });
    let sides = [
        [(x + rx, y), (x + w - rx, y)],
        [(x + w, y + ry), (x + w, y + h - ry)],
        [(x + w - rx, y + h), (x + rx, y + h)],
        [(x, y + h - ry), (x, y + ry)],
    ];
    let sides = sides.iter().map(|ends| ends.map(Point::from)).filter(|[a, b]| a != b);
    let sides = sides.map(|[a, b]| Course::Edge(Edge::line(a, b)));
    corners.chain(sides).collect()
}
