//! `[[obstacle]]`: what is there already, and must be cleared: tubes, panels, wheels, boxes.

use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::wrong_kind;
use crate::entry;
use crate::geom::CentreLine;
use crate::geom::Frame;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Space;
use crate::geom::Vertex;
use crate::geom::length;
use crate::geom::minus;
use crate::geom::plus;
use crate::geom::times;
use crate::job::machine::RequiredClearance;
use crate::job::meeting::Axis;
use crate::job::piece_position;
use crate::job::points::Points;
use crate::job::tube;
use crate::machine;
use crate::machine::Body;
use crate::machine::Convex;
use crate::machine::Disc;
use crate::machine::Kind;
use crate::machine::Shown;
use crate::table::Tables;

/// The shapes of obstacles.
pub(crate) const SHAPES: [&str; 5] = ["tube", "cylinder", "torus", "box", "panel"];

/// An obstacle as it is read: the body, its required clearance, and its axis if it is a tube.
pub(super) struct Read {
    pub(super) body: Body,
    pub(super) asked: RequiredClearance,
    pub(super) axis: Option<Axis>,
}

/// What is made of the shape of one.
struct Made {
    pieces: Vec<Convex>,
    shown: Vec<Shown>,
    axis: Option<Axis>,
}

/// All obstacles of a job.
pub(super) fn read(fields: &Fields, points: &Points, tables: &Tables) -> Vec<Read> {
    let findings = fields.findings();
    let one = |item: &Item| {
        let reader = Reader { fields: Fields::of(item, findings)?, points, tables };
        let read = reader.obstacle(item.span);
        reader.fields.finish();
        read
    };
    fields.list("obstacle").iter().filter_map(one).collect()
}

struct Reader<'a> {
    fields: Fields<'a>,
    points: &'a Points,
    tables: &'a Tables,
}

impl Reader<'_> {
    fn findings(&self) -> &Findings {
        self.fields.findings()
    }

    fn obstacle(&self, here: Span) -> Option<Read> {
        let name = self.fields.needed_label("name", "\"fender\"").map(str::to_owned);
        let here = self.fields.get("name").map_or(here, |item| item.letters);
        let asked = RequiredClearance::of_obstacle(&self.fields, here);
        let moves = self.fields.flag("moves");
        let shape = self.fields.need("shape", "\"panel\"")?;
        let made = match shape.text() {
            Some("tube" | "cylinder") => self.tube(here),
            Some("torus") => self.torus(),
            Some("box") => self.block(),
            Some("panel") => self.panel(),
            other => {
                let headline = "an obstacle cannot have this shape";
                let help = instead(other.unwrap_or_default(), &SHAPES, "shapes are");
                let finding = Finding::stop("unknown-word", headline).at(shape.span, "");
                self.fields.add(finding.help(help));
                None
            }
        };
        let Made { pieces, shown, axis } = made?;
        let name = name?;
        let kind = if shape.text() == Some("panel") { Kind::Panel } else { Kind::Obstacle };
        let (clearance, touches) = (asked.clearance, asked.names());
        let axis = axis.map(|axis| Axis { name: name.clone(), ..axis });
        let other_side = false;
        let set = name.clone();
        let body = Body { name, set, kind, other_side, clearance, moves, touches, pieces, shown };
        Some(Read { body, asked, axis })
    }

    fn point(&self, key: &str) -> Option<Space> {
        self.points.named(self.fields.need(key, "\"rail\"")?, self.findings())
    }

    fn size(&self, key: &str, example: &str) -> Option<f64> {
        let item = self.fields.need(key, &format!("\"{example}\""))?;
        entry::size(item, &format!("write `{key} = \"{example}\"`"), self.findings())
    }

    /// Half the outside of a round tube: of a row of the table, or as it is given.
    fn radius(&self) -> Option<f64> {
        let Some(item) = self.fields.get("tube") else {
            return Some(self.size("outside", "42.4 mm")? / 2.0);
        };
        let row = entry::row(item, "tube", self.tables, self.findings())?;
        let help = "give a tube that is not round as a `box`";
        Some(tube::round(item, &row, help, self.findings())? / 2.0)
    }

    fn refuse<T>(&self, headline: &str, at: Span, help: &str) -> Option<T> {
        self.fields.add(Finding::stop("obstacle-shape", headline).at(at, "").help(help));
        None
    }

    fn tube(&self, here: Span) -> Option<Made> {
        let radius = self.radius();
        let (path, bend, at) = match self.fields.get("through") {
            Some(item) => (self.path(item), self.size("radius", "90 mm"), item.span),
            None => {
                let ends = (self.point("from"), self.point("to"));
                (ends.0.zip(ends.1).map(|(a, b)| vec![a, b]), Some(0.0), here)
            }
        };
        let (radius, path, bend) = (radius?, path?, bend?);
        if path.len() > 2 && bend <= radius {
            let headline = "its bends are tighter than half its diameter";
            return self.refuse(headline, at, "give the `radius` of its centre line in the bends");
        }
        let Some(line) = CentreLine::new(&path, bend) else {
            let headline = "its points are too near each other";
            return self.refuse(headline, at, "name points that are further apart");
        };
        let legs: Vec<[Space; 2]> = line.legs.iter().map(|leg| [leg.from, leg.end()]).collect();
        let pieces = machine::tube(&line, bend, radius);
        let long = line.long();
        let steps = if line.bends.is_empty() { 1 } else { 64 };
        let places = (0..=steps).map(|i| line.at(long * f64::from(i) / f64::from(steps)));
        let shown = vec![Shown::Bar(places.collect(), radius)];
        let axis = Some(Axis { name: String::new(), legs, outside: 2.0 * radius });
        Some(Made { pieces, shown, axis })
    }

    fn path(&self, item: &Item) -> Option<Vec<Space>> {
        let items = self.fields.list("through");
        if items.len() < 3 {
            let finding = wrong_kind(item, "a list of three points or more");
            self.fields.add(finding.help("write `from` and `to` for a straight tube"));
            return None;
        }
        let all = items.iter().map(|item| self.points.named(item, self.findings()));
        all.collect::<Vec<_>>().into_iter().collect()
    }

    fn torus(&self) -> Option<Made> {
        let (at, axis) = (self.point("at"), self.point("axis"));
        let (outside, section) = (self.size("outside", "560 mm"), self.size("section", "120 mm"));
        let span = self.fields.get("axis").map_or(self.fields.here, |item| item.span);
        let (at, axis, outside, section) = (at?, axis?, outside?, section?);
        let way = minus(axis, at);
        if length(way) <= NEAR {
            let headline = "`axis` and `at` are the same point";
            return self.refuse(headline, span, "name another point of the axis");
        }
        if 2.0 * section > outside {
            let headline = "a ring is at least twice as large as it is thick";
            return self.refuse(headline, span, "give its `outside` diameter and its `section`");
        }
        let ring = (outside - section) / 2.0;
        let pieces = machine::torus(at, way, ring, section / 2.0);
        let centres = pieces.iter().map(|piece| piece.discs()[0].centre);
        let mut line: Vec<Space> = centres.collect();
        line.extend(line.first().copied());
        Some(Made { pieces, shown: vec![Shown::Bar(line, section / 2.0)], axis: None })
    }

    fn block(&self) -> Option<Made> {
        const EXAMPLE: &str = "[\"300 mm\", \"200 mm\", \"150 mm\"]";
        let on = self.fields.need("on", "{ origin = \"A\", x = \"B\", side = \"C\" }");
        let frame = on.and_then(|item| piece_position::frame(item, self.points, self.findings()));
        self.fields.need("size", EXAMPLE);
        let sides = entry::lengths(&self.fields, "size");
        let at = self.fields.get("size").map_or(self.fields.here, |item| item.span);
        let (frame, sides) = (frame?, sides?);
        let [x, y, z] = sides.as_slice() else {
            let headline = "a box has three lengths";
            return self.refuse(headline, at, &format!("write `size = {EXAMPLE}`"));
        };
        let corners = [(0.0, 0.0), (*x, 0.0), (*x, *y), (0.0, *y)].map(Point::from);
        Some(block(&corners, &frame, [0.0, *z]))
    }

    /// A panel by the points of its corners. Nobody says on which side of these its metal is.
    fn panel(&self) -> Option<Made> {
        let item = self.fields.need("corners", "[\"A\", \"B\", \"C\", \"D\"]");
        let thickness = self.size("thickness", "2 mm");
        let (item, items) = (item?, self.fields.list("corners"));
        let all = items.iter().map(|item| self.points.named(item, self.findings()));
        let places: Vec<Space> = all.collect::<Vec<_>>().into_iter().collect::<Option<_>>()?;
        let thickness = thickness?;
        let Some(frame) = plane(&places) else {
            let headline = "a panel has three corners or more that are not on one line";
            return self.refuse(headline, item.span, "name the points of its corners in order");
        };
        let seen: Vec<Space> = places.iter().map(|place| frame.seen(*place)).collect();
        let off = off_plane(&places);
        let corners: Vec<Point> = seen.iter().map(|[x, y, _]| Point::new(*x, *y)).collect();
        let vertices = corners.iter().map(|at| Vertex { at: *at, bulge: 0.0 });
        let Ok(outline) = Outline::new(vertices) else {
            let headline = "the outline of this panel crosses itself";
            return self.refuse(headline, item.span, "name its corners in order, round the panel");
        };
        let pieces = match <[Space; 4]>::try_from(places.as_slice()) {
            // Whichever way the panel is warped between four corners, it is within their hull.
            Ok(four) if off > NEAR && machine::is_convex(&corners) => {
                vec![Convex::new(four.map(Disc::point).to_vec(), thickness)]
            }
            _ => {
                let heights = [-thickness - off, thickness + off];
                machine::plate(&Region::solid(outline), &frame, heights)
            }
        };
        Some(Made { pieces, shown: vec![Shown::Loop(places)], axis: None })
    }
}

/// How far the corners of a panel are off the plane of three of them, mm.
pub(crate) fn off_plane(places: &[Space]) -> f64 {
    let Some(frame) = plane(places) else { return 0.0 };
    places.iter().map(|place| frame.seen(*place)[2].abs()).fold(0.0, f64::max)
}

/// A panel of no thickness, so far from the plane of its corners, mm.
pub(crate) fn panel_at(places: &[Space], height: f64) -> Vec<Convex> {
    let Some(frame) = plane(places) else { return Vec::new() };
    let vertices = places.iter().map(|place| {
        let [x, y, _] = frame.seen(*place);
        Vertex { at: Point::new(x, y), bulge: 0.0 }
    });
    let outline = Outline::new(vertices);
    outline.map_or_else(
        |_| Vec::new(),
        |outline| machine::plate(&Region::solid(outline), &frame, [height, height]),
    )
}

/// The plane of corners: through the first and the second, and the one furthest off their line.
fn plane(places: &[Space]) -> Option<Frame> {
    let (a, b) = (places.first()?, places.get(1)?);
    let frames = places[2..].iter().filter_map(|c| piece_position::through([*a, *b, *c]));
    let far = |frame: &Frame| {
        let off = places.iter().map(|place| frame.seen(*place)[1].abs());
        off.fold(0.0, f64::max)
    };
    frames.max_by(|one, other| far(one).total_cmp(&far(other)))
}

/// A box: what is on a rectangle, and its lines.
fn block(corners: &[Point; 4], frame: &Frame, heights: [f64; 2]) -> Made {
    let level = |z: f64| Shown::Loop(corners.iter().map(|p| frame.point(*p, z)).collect());
    let up = |p: &Point| {
        let foot = frame.point(*p, heights[0]);
        Shown::Loop(vec![foot, plus(foot, times(frame.z, heights[1] - heights[0]))])
    };
    let shown = heights.into_iter().map(level).chain(corners.iter().map(up)).collect();
    Made { pieces: vec![machine::prism(corners, frame, heights)], shown, axis: None }
}
