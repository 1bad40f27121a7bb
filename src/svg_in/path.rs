//! The data of an SVG path. Its arcs stay true arcs.

use crate::geom::Bezier;
use crate::geom::Course;
use crate::geom::Edge;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::num::Angle;

/// All numbers of a text, whatever is between them.
pub(super) fn numbers(text: &str) -> Vec<f64> {
    let mut data = Data { text, at: 0 };
    let mut all = Vec::new();
    while data.at < text.len() {
        match data.number() {
            Some(number) => all.push(number),
            None => data.at += data.text[data.at..].chars().next().map_or(1, char::len_utf8),
        }
    }
    all
}

/// What a path draws; words where it cannot be read.
pub(super) fn courses(text: &str) -> Result<Vec<Course>, String> {
    let mut pen = Pen::default();
    let mut data = Data { text, at: 0 };
    let mut command = None;
    while !data.is_done() {
        command = data.command().or(match command {
            Some('M') => Some('L'),
            Some('m') => Some('l'),
            Some('Z' | 'z') => None,
            other => other,
        });
        let wrong = |data: &Data| {
            format!("path with `{}` at character {} of its data", data.next(), data.at + 1)
        };
        let Some(letter) = command else { return Err(wrong(&data)) };
        if !pen.drawing && !matches!(letter, 'M' | 'm') {
            return Err(wrong(&data));
        }
        let count = match letter.to_ascii_uppercase() {
            'M' | 'L' | 'T' => 2,
            'H' | 'V' => 1,
            'C' => 6,
            'S' | 'Q' => 4,
            'A' => 7,
            'Z' => 0,
            _ => return Err(wrong(&data)),
        };
        let mut values = [0.0; 7];
        for (i, value) in values.iter_mut().take(count).enumerate() {
            let read = if count == 7 && (i == 3 || i == 4) { data.flag() } else { data.number() };
            *value = read.ok_or_else(|| wrong(&data))?;
        }
        pen.does(letter, &values);
    }
    Ok(pen.courses())
}

/// The text of a path, read from the front.
struct Data<'a> {
    text: &'a str,
    at: usize,
}

impl Data<'_> {
    fn rest(&self) -> &str {
        &self.text[self.at..]
    }

    fn next(&self) -> String {
        self.rest().chars().take(8).collect()
    }

    fn skip(&mut self) {
        let rest = self.rest();
        let kept = rest.trim_start_matches(|c: char| c.is_whitespace() || c == ',');
        self.at += rest.len() - kept.len();
    }

    fn is_done(&mut self) -> bool {
        self.skip();
        self.at >= self.text.len()
    }

    fn command(&mut self) -> Option<char> {
        self.skip();
        let letter = self.rest().chars().next().filter(char::is_ascii_alphabetic)?;
        self.at += 1;
        Some(letter)
    }

    /// One digit, which need not be separated from the next number.
    fn flag(&mut self) -> Option<f64> {
        self.skip();
        let flag = match self.rest().as_bytes().first()? {
            b'0' => 0.0,
            b'1' => 1.0,
            _ => return None,
        };
        self.at += 1;
        Some(flag)
    }

    fn number(&mut self) -> Option<f64> {
        self.skip();
        let bytes = self.rest().as_bytes();
        let digits = |from: usize| bytes[from..].iter().take_while(|b| b.is_ascii_digit()).count();
        let mut end = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
        let whole = digits(end);
        end += whole;
        let mut parts = 0;
        if bytes.get(end) == Some(&b'.') {
            parts = digits(end + 1);
            end += 1 + parts;
        }
        if whole + parts == 0 {
            return None;
        }
        if matches!(bytes.get(end), Some(b'e' | b'E')) {
            let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
            let more = digits((end + 1 + sign).min(bytes.len()));
            if more > 0 {
                end += 1 + sign + more;
            }
        }
        let number: f64 = self.rest()[..end].parse().ok()?;
        self.at += end;
        number.is_finite().then_some(number)
    }
}

/// What has been drawn, and where the pen is.
#[derive(Default)]
struct Pen {
    drawing: bool,
    at: Point,
    start: Point,
    /// The last control point of a cubic or a quadratic curve, for smooth continuations.
    cubic: Option<Point>,
    quadratic: Option<Point>,
    all: Vec<Course>,
    curve: Vec<Bezier>,
}

impl Pen {
    fn does(&mut self, letter: char, v: &[f64; 7]) {
        let from = if letter.is_ascii_lowercase() { self.at.to_vec2() } else { Vec2::ZERO };
        let p = |i: usize| Point::new(v[i], v[i + 1]) + from;
        let (cubic, quadratic) = (self.cubic.take(), self.quadratic.take());
        let mirrored = |of: Option<Point>| of.map_or(self.at, |c| self.at + (self.at - c));
        match letter.to_ascii_uppercase() {
            'M' => {
                self.end_curve();
                (self.at, self.start, self.drawing) = (p(0), p(0), true);
            }
            'L' => self.line(p(0)),
            'H' => self.line(Point::new(v[0] + from.x, self.at.y)),
            'V' => self.line(Point::new(self.at.x, v[0] + from.y)),
            'C' => self.cubic([p(0), p(2), p(4)]),
            'S' => self.cubic([mirrored(cubic), p(0), p(2)]),
            'Q' => self.quadratic([p(0), p(2)]),
            'T' => self.quadratic([mirrored(quadratic), p(0)]),
            'A' => self.arc([v[0], v[1]], v[2], [v[3] != 0.0, v[4] != 0.0], p(5)),
            _ => {
                let start = self.start;
                if start != self.at {
                    self.line(start);
                }
                self.end_curve();
            }
        }
    }

    fn line(&mut self, to: Point) {
        self.end_curve();
        self.all.push(Course::Edge(Edge::line(self.at, to)));
        self.at = to;
    }

    fn cubic(&mut self, [a, b, to]: [Point; 3]) {
        self.curve.push(Bezier::plain(&[self.at, a, b, to]));
        (self.at, self.cubic) = (to, Some(b));
    }

    fn quadratic(&mut self, [a, to]: [Point; 2]) {
        self.curve.push(Bezier::plain(&[self.at, a, to]));
        (self.at, self.quadratic) = (to, Some(a));
    }

    /// An elliptical arc by its ends, as appendix B.2.4 of SVG 2 finds its centre.
    fn arc(&mut self, radii: [f64; 2], rotation: f64, [large, forward]: [bool; 2], to: Point) {
        let [mut rx, mut ry] = radii.map(f64::abs);
        if rx == 0.0 || ry == 0.0 || to == self.at {
            return self.line(to);
        }
        self.end_curve();
        let turn = Angle::from_degrees(rotation);
        let (x, y) = (Vec2::new(turn.cos(), turn.sin()), Vec2::new(-turn.sin(), turn.cos()));
        let half = (self.at - to) / 2.0;
        let (u, w) = (half.dot(x), half.dot(y));
        let reach = (u / rx) * (u / rx) + (w / ry) * (w / ry);
        if reach > 1.0 {
            (rx, ry) = (rx * reach.sqrt(), ry * reach.sqrt());
        }
        let side = ((1.0 / reach.min(1.0)) - 1.0).max(0.0).sqrt();
        let side = if large == forward { -side } else { side };
        let (cu, cw) = (side * rx * w / ry, -side * ry * u / rx);
        let centre = self.at.midpoint(to) + x * cu + y * cw;
        let angle = |u: f64, w: f64| Angle::of(u / rx, w / ry).degrees();
        let start = angle(u - cu, w - cw);
        let sweep = angle(-u - cu, -w - cw) - start;
        let sweep = if forward { sweep.rem_euclid(360.0) } else { -(-sweep).rem_euclid(360.0) };
        let [start, sweep] = [start, sweep].map(Angle::from_degrees);
        self.all.extend(Course::ellipse(centre, [x * rx, y * ry], start, sweep));
        self.at = to;
    }

    fn end_curve(&mut self) {
        if !self.curve.is_empty() {
            self.all.push(Course::Curve(std::mem::take(&mut self.curve)));
        }
    }

    fn courses(mut self) -> Vec<Course> {
        self.end_curve();
        self.all
    }
}
