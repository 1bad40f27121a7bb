//! The steps of a face, done one after the other.

use crate::diag::Finding;
use crate::diag::Span;
use crate::geom;
use crate::geom::Corner;
use crate::geom::CornerKind;
use crate::geom::Disc;
use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::RegionError;
use crate::geom::RolledError;
use crate::geom::Saddle;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::part::edges::surviving;
use crate::part::face::Cope;
use crate::part::face::CornerStep;
use crate::part::face::Idle;
use crate::part::face::NamedEdge;
use crate::part::tongue;
use crate::part::values::Values;
use crate::recipe;
use crate::recipe::BeltPiece;
use crate::recipe::Expr;
use crate::recipe::Face;
use crate::recipe::Placed;
use crate::recipe::Shape;
use crate::recipe::Step;
use crate::recipe::Treatment;
use crate::recipe::Work;

/// Most corners of a polygon, pieces in a belt, steps of a face: each is held against each. Our choice.
const MOST: usize = 500;

/// A blank with what in its outline has a name.
pub(super) struct Blank {
    /// The metal.
    pub(super) region: Region,
    /// Straight edges that are still there.
    pub(super) edges: Vec<NamedEdge>,
    /// Names of edges coped to a tube, and the edges of the outline they are.
    pub(super) coped: Vec<(String, Vec<Edge>)>,
    /// The outline files it is made of.
    pub(super) files: Vec<FromFile>,
    /// Steps that changed nothing.
    pub(super) idle: Vec<Idle>,
    /// The tubes of all saddles that were cut.
    pub(super) copes: Vec<Cope>,
}

/// What an outline file adds to a blank.
#[derive(Clone, Debug)]
pub(super) struct FromFile {
    /// Its name, and the units of its header where it was read by them.
    pub(super) file: (String, Option<&'static str>),
    /// Its openings, in place.
    pub(super) openings: Vec<Outline>,
    /// The step that names it.
    pub(super) span: Span,
}

/// The blank of a face; `None` when something was reported.
pub(super) fn build(face: &Face, values: &Values, thickness: f64) -> Option<Blank> {
    if face.blank.len() > MOST {
        let words = format!("a face has at most {MOST} steps, this has {}", face.blank.len());
        report(values, face.span, &words, "draw it with fewer, larger steps");
        return None;
    }
    let mut made = Made::default();
    for step in &face.blank {
        if values.holds(step.when.as_ref())? {
            made.take(step, values, thickness)?;
        }
    }
    let Made { blank, named, coped, files, idle, copes } = made;
    let Some(blank) = blank else {
        report(values, face.span, "the face has no metal", "let its first step add a shape");
        return None;
    };
    Some(Blank {
        edges: named.iter().flat_map(|edge| surviving(edge, &blank)).collect(),
        coped: coped.into_iter().map(|(name, shape)| (name, common(&blank, &shape))).collect(),
        region: blank,
        files,
        idle,
        copes,
    })
}

/// What the steps so far have made.
#[derive(Default)]
struct Made {
    /// The metal, once there is some.
    blank: Option<Region>,
    /// The edges of shapes that have names, gone or not.
    named: Vec<NamedEdge>,
    /// Names of edges coped to a tube, and the shape that was cut there.
    coped: Vec<(String, Outline)>,
    /// The outline files that were added.
    files: Vec<FromFile>,
    /// Steps that changed nothing.
    idle: Vec<Idle>,
    /// The tubes of all saddles that were cut.
    copes: Vec<Cope>,
}

impl Made {
    /// Takes a step; `None` when something was reported.
    fn take(&mut self, step: &Step, values: &Values, thickness: f64) -> Option<()> {
        let next = match (&step.work, self.blank.take()) {
            (Work::Add(placed), before) => {
                self.added(placed, step.span, before, values, thickness)?
            }
            (_, None) => Err("the first step must add metal".into()),
            (Work::Cut(placed), Some(before)) => {
                self.cut(placed, step.span, &before, values, thickness)?
            }
            (Work::Tongue(tongue), Some(before)) => {
                Ok(tongue::stand(tongue, step.span, &before, &self.named, values, thickness)?)
            }
            (Work::Fill(radius), Some(before)) => {
                self.treated(CornerStep::Fill, radius, step.span, before, values)?
            }
            (Work::Round(radius), Some(before)) => {
                self.treated(CornerStep::Round, radius, step.span, before, values)?
            }
        };
        match next {
            Ok(region) => {
                self.blank = Some(region);
                Some(())
            }
            Err(words) => {
                let help = "change the dimensions of this step or of those before";
                report(values, step.span, &words, help);
                None
            }
        }
    }

    /// The metal with its corners filled or rounded.
    fn treated(
        &mut self,
        does: CornerStep,
        radius: &Expr,
        span: Span,
        before: Region,
        values: &Values,
    ) -> Option<Result<Region, String>> {
        let radius = values.length(radius)?;
        let treated = match does {
            CornerStep::Fill => before.filled(radius),
            CornerStep::Round => before.rounded(radius),
        };
        let shown = |mm: f64| values.params.units().length(mm);
        let place = |at: Option<Point>| match at {
            Some(at) => format!(" at {}, {}", shown(at.x), shown(at.y)),
            None => String::new(),
        };
        Some(match treated {
            Ok(Some(region)) => Ok(region),
            Ok(None) => {
                // Nothing is what a radius of 0 asks for.
                self.idle.extend((radius > 0.0).then_some(Idle { does, span }));
                Ok(before)
            }
            Err(RegionError::Rolled(RolledError::Narrow(at))) => Err(match does {
                CornerStep::Fill => format!(
                    "a fill of {} would close a gap{}: it reaches no inward corner there",
                    shown(radius),
                    place(at)
                ),
                CornerStep::Round => format!(
                    "a round of {} would take away metal{} that is too narrow for it",
                    shown(radius),
                    place(at)
                ),
            }),
            Err(error) => Err(error.to_string()),
        })
    }

    /// The metal with a shape more, and without the holes that come with it.
    fn added(
        &mut self,
        placed: &Placed,
        span: Span,
        before: Option<Region>,
        values: &Values,
        thickness: f64,
    ) -> Option<Result<Region, String>> {
        let (shape, edges) = shape(placed, values, thickness, before.as_ref(), span)?;
        self.named.extend(edges);
        let holes = holes(placed, values)?;
        if let Shape::Outline(file) = &placed.shape {
            let file = (file.name.clone(), file.header_units);
            self.files.push(FromFile { file, openings: holes.clone(), span });
        }
        let whole = match before {
            None => holes.into_iter().try_fold(Region::solid(shape), Region::pierced),
            Some(before) => before
                .with(&shape)
                .and_then(|whole| holes.iter().try_fold(whole, |whole, hole| whole.without(hole))),
        };
        Some(whole.map_err(|e| e.to_string()))
    }

    /// The metal without a shape.
    fn cut(
        &mut self,
        placed: &Placed,
        span: Span,
        before: &Region,
        values: &Values,
        thickness: f64,
    ) -> Option<Result<Region, String>> {
        let (shape, edges) = shape(placed, values, thickness, Some(before), span)?;
        let turned = edges.into_iter().map(|e| NamedEdge { edge: e.edge.reversed(), ..e });
        self.named.extend(turned);
        if !holes(placed, values)?.is_empty() {
            return Some(Err("the metal in the holes of the cut would fall out".into()));
        }
        if let Shape::Saddle(_, _, _, Some(name)) = &placed.shape {
            self.coped.push((name.clone(), shape.clone()));
        }
        if let Shape::Saddle(tube, angle, offset, _) = &placed.shape {
            self.copes.push(cope(placed, tube, angle.as_ref(), offset.as_ref(), values)?);
        }
        Some(before.without(&shape).map_err(|e| e.to_string()))
    }
}

/// The edges of the outline that lie on a shape.
fn common(blank: &Region, shape: &Outline) -> Vec<Edge> {
    let on = |p: Point| shape.distance(p) < 10.0 * NEAR;
    let is_common = |e: &Edge| [0.0, 0.5, 1.0].iter().all(|t| on(e.point_at(*t)));
    blank.outer().edges().filter(is_common).collect()
}

fn report(values: &Values, span: Span, words: &str, help: &str) {
    values.findings.add(Finding::stop("blank", words).at(span, "").help(help));
}

type Shaped = (Outline, Vec<NamedEdge>);

/// A shape in its place, with the edges it names.
fn shape(
    placed: &Placed,
    values: &Values,
    thickness: f64,
    before: Option<&Region>,
    span: Span,
) -> Option<Shaped> {
    let place = place(placed, values)?;
    let length = |expr| values.length(expr);
    let plain = |outline: Result<Outline, geom::OutlineError>| {
        outline.map(|o| (o, Vec::new())).map_err(|e| e.to_string())
    };
    let o = Point::ZERO;
    let made = match &placed.shape {
        Shape::Disc(radius) => plain(geom::disc(o, length(radius)?)),
        Shape::Slot(l, w) => plain(geom::slot(o, length(l)?, length(w)?)),
        Shape::Hexagon(flats) => plain(geom::hexagon(o, length(flats)?)),
        Shape::Keyway(d, key, depth) => {
            plain(geom::keyway(o, length(d)?, length(key)?, length(depth)?))
        }
        Shape::Outline(file) => Ok((file.region.outer().clone(), Vec::new())),
        Shape::DoubleFlat(d, flats) => plain(geom::double_flat(o, length(d)?, length(flats)?)),
        Shape::Rectangle(w, h, corner) => {
            let corner = corner.as_ref().map_or(Some(0.0), length)?;
            rectangle(length(w)?, length(h)?, corner)
        }
        Shape::Polygon(corners) => polygon(corners, values)?,
        Shape::Belt(pieces) => belt(pieces, values)?,
        Shape::Saddle(tube, lean, aside, _) => {
            let saddle = Saddle {
                tube: length(tube)?,
                lean: lean.as_ref().map_or(Some(Angle::QUARTER), |l| values.angle(Some(l)))?,
                aside: aside.as_ref().map_or(Some(0.0), length)?,
                thickness,
                reach: reach(before, &place),
            };
            saddle.outline().map(|o| (o, Vec::new())).map_err(|e| e.to_string())
        }
    };
    match made {
        Ok((outline, edges)) => {
            let moved = |e: NamedEdge| NamedEdge {
                edge: e.edge.moved(&place),
                centre: place.apply(e.centre),
                ..e
            };
            Some((outline.moved(&place), edges.into_iter().map(moved).collect()))
        }
        Err(words) => {
            report(values, span, &words, "change the dimensions of this shape");
            None
        }
    }
}

/// The tube of a saddle, in the drawing of its face.
fn cope(
    placed: &Placed,
    tube: &Expr,
    angle: Option<&Expr>,
    offset: Option<&Expr>,
    values: &Values,
) -> Option<Cope> {
    let place = place(placed, values)?;
    let angle = angle.map_or(Some(Angle::QUARTER), |angle| values.angle(Some(angle)))?;
    Some(Cope {
        at: place.apply(Point::ZERO),
        above: offset.map_or(Some(0.0), |offset| values.length(offset))?,
        along: place.direction(Vec2::new(angle.cos(), 0.0)),
        rise: angle.sin(),
        radius: values.length(tube)? / 2.0,
    })
}

/// The holes that come with a shape, in its place.
fn holes(placed: &Placed, values: &Values) -> Option<Vec<Outline>> {
    let Shape::Outline(file) = &placed.shape else { return Some(Vec::new()) };
    let place = place(placed, values)?;
    Some(file.region.holes().iter().map(|h| h.moved(&place)).collect())
}

fn place(placed: &Placed, values: &Values) -> Option<Place> {
    let (at, rotate) = (values.point(&placed.at), values.angle(placed.rotate.as_ref()));
    Some(Place::turned(rotate?, at?))
}

/// Far enough to cut through everything there is.
fn reach(before: Option<&Region>, place: &Place) -> f64 {
    before.map_or(1.0, |region| {
        let b = region.bounds();
        2.0 * (b.width() + b.height()) + (b.centre() - place.shift.to_point()).hypot()
    })
}

fn named(name: &str, from: Point, to: Point) -> NamedEdge {
    NamedEdge { name: name.to_owned(), edge: Edge::line(from, to), centre: from.midpoint(to) }
}

fn rectangle(width: f64, height: f64, corner: f64) -> Result<Shaped, String> {
    let outline = geom::rectangle(Point::ZERO, width, height, corner).map_err(|e| e.to_string())?;
    let (x, y) = (width / 2.0, height / 2.0);
    let corners = [Point::new(-x, -y), Point::new(x, -y), Point::new(x, y), Point::new(-x, y)];
    let sides = ["bottom", "right", "top", "left"];
    let edges = (0..4).map(|i| named(sides[i], corners[i], corners[(i + 1) % 4])).collect();
    Ok((outline, edges))
}

fn polygon(steps: &[recipe::CornerStep], values: &Values) -> Option<Result<Shaped, String>> {
    if steps.len() > MOST {
        return Some(Err(format!(
            "a polygon has at most {MOST} corners, this has {}",
            steps.len()
        )));
    }
    let mut corners = Vec::with_capacity(steps.len());
    for step in steps {
        let at = values.point(&step.at)?;
        let kind = match &step.treatment {
            None => CornerKind::Sharp,
            Some((treatment, measure)) => match (treatment, values.length(measure)?) {
                (_, 0.0) => CornerKind::Sharp,
                (Treatment::Round, r) => CornerKind::Round(r),
                (Treatment::Chamfer, d) => CornerKind::Chamfer(d),
                (Treatment::Clip, r) => CornerKind::Clip(r),
            },
        };
        corners.push(Corner { at, kind });
    }
    let outline = match geom::polygon(&corners) {
        Ok(outline) => outline,
        Err(error) => return Some(Err(error.to_string())),
    };
    let n = corners.len();
    let edges = steps.iter().enumerate().filter_map(|(i, step)| {
        Some(named(step.edge.as_deref()?, corners[i].at, corners[(i + 1) % n].at))
    });
    Some(Ok((outline, edges.collect())))
}

fn belt(pieces: &[BeltPiece], values: &Values) -> Option<Result<Shaped, String>> {
    if pieces.len() > MOST {
        return Some(Err(format!("a belt runs round at most {MOST} pieces, not {}", pieces.len())));
    }
    let mut discs = Vec::new();
    let mut edges = Vec::new();
    for piece in pieces {
        match piece {
            BeltPiece::Disc(radius, at) => {
                discs.push(Disc { radius: values.length(radius)?, centre: values.point(at)? });
            }
            BeltPiece::Bar(length, at, rotate, name) => {
                let (half, at) = (values.length(length)? / 2.0, values.point(at)?);
                let rotate = values.angle(rotate.as_ref())?;
                let along = Vec2::new(rotate.cos(), rotate.sin()) * half;
                for centre in [at - along, at + along] {
                    discs.push(Disc { radius: 0.0, centre });
                }
                edges.extend(name.as_ref().map(|name| named(name, at - along, at + along)));
            }
        }
    }
    Some(geom::belt(&discs).map(|outline| (outline, edges)).map_err(|e| e.to_string()))
}
