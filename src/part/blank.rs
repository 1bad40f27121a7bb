//! The steps of a face, done one after the other.

use crate::diag::Span;
use crate::diag::nearest;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Region;
use crate::geom::RegionError;
use crate::geom::RolledError;
use crate::geom::offset;
use crate::part::disc_fit;
use crate::part::edges::common;
use crate::part::edges::surviving;
use crate::part::face::Cope;
use crate::part::face::CornerStep;
use crate::part::face::Idle;
use crate::part::face::NamedEdge;
use crate::part::face::UsedFile;
use crate::part::obstacle::Obstacle;
use crate::part::obstacles;
use crate::part::section::Section;
use crate::part::section::sections;
use crate::part::shape::cope;
use crate::part::shape::holes;
use crate::part::shape::place;
use crate::part::shape::report;
use crate::part::shape::shape;
use crate::part::tongue;
use crate::part::values::Values;
use crate::recipe::Expr;
use crate::recipe::Face;
use crate::recipe::Placed;
use crate::recipe::Shape;
use crate::recipe::Step;
use crate::recipe::Work;

/// Maximum number of steps of a face: each is compared with each. Our choice.
const MAX_STEPS: usize = 500;

/// Metal that grows by less, mm², has not grown: of rounding. Our choice.
const SAME: f64 = 1e-6;

/// A blank with the named edges of its outline.
pub(super) struct Blank {
    /// The metal.
    pub(super) region: Region,
    /// Straight edges that are still there.
    pub(super) edges: Vec<NamedEdge>,
    /// Arcs with a name that are still there.
    pub(super) arcs: Vec<NamedEdge>,
    /// Names of edges coped to a tube, and the edges of the outline they are.
    pub(super) coped: Vec<(String, Vec<Edge>)>,
    /// Names of edges and arcs that no longer exist.
    pub(super) gone: Vec<String>,
    /// The outline files it is made of.
    pub(super) files: Vec<FromFile>,
    /// Steps that changed nothing.
    pub(super) idle: Vec<Idle>,
    /// The tubes of all saddles that were cut.
    pub(super) copes: Vec<Cope>,
    /// The areas where tongues are attached.
    pub(super) tongues: Vec<Outline>,
}

/// The additions of an outline file to a blank.
#[derive(Clone, Debug)]
pub(super) struct FromFile {
    /// The file.
    pub(super) file: UsedFile,
    /// Its openings, in place.
    pub(super) openings: Vec<Outline>,
    /// Its marks, in place.
    pub(super) marks: Vec<Vec<Edge>>,
    /// Its bend lines, in place.
    pub(super) bends: Vec<Edge>,
    /// Whether its holes are named by their sizes.
    pub(super) sized: bool,
    /// The step that names it.
    pub(super) span: Span,
}

/// The blank of a face; `None` when something was reported.
pub(super) fn build(face: &Face, values: &Values, thickness: f64) -> Option<Blank> {
    let mut made = Made::default();
    if face.blank.iter().any(|step| cuts_obstacle(step).is_some()) {
        made.obstacles = obstacles::build(face, values, thickness)?;
    }
    let mut steps = 0;
    for step in &face.blank {
        values.each(step.each.as_ref(), |values| {
            if !values.holds(step.when.as_ref())? {
                return Some(());
            }
            values.around(step.around.as_ref(), |values| {
                steps += 1;
                if steps > MAX_STEPS {
                    let words = format!("a face has at most {MAX_STEPS} steps, this has more");
                    report(values, face.span, &words, "draw it with fewer, larger steps");
                    return None;
                }
                made.take(step, values, thickness)
            })
        })?;
    }
    let Made { blank, named, coped, files, idle, copes, tongues, .. } = made;
    let Some(blank) = blank else {
        report(values, face.span, "the face has no metal", "let its first step add a shape");
        return None;
    };
    let left = |named: &NamedEdge| surviving(named, &blank);
    let is_gone = |named: &&NamedEdge| left(named).is_empty();
    let gone = named.iter().filter(is_gone).map(|named| named.name.clone()).collect();
    let (edges, arcs) = named.iter().flat_map(left).partition(|left| left.edge.is_line());
    Some(Blank {
        gone,
        edges,
        arcs,
        coped: coped.into_iter().map(|(name, shape)| (name, common(&blank, &shape))).collect(),
        region: blank,
        files,
        idle,
        copes,
        tongues,
    })
}

/// The result of the steps up to now.
#[derive(Default)]
struct Made {
    /// The metal, once there is some.
    blank: Option<Region>,
    /// The edges of shapes that have names, lines and arcs, still there or not.
    named: Vec<NamedEdge>,
    /// Names of edges coped to a tube, and the shape that was cut there.
    coped: Vec<(String, Outline)>,
    /// The outline files that were added.
    files: Vec<FromFile>,
    /// Steps that changed nothing.
    idle: Vec<Idle>,
    /// The tubes of all saddles that were cut.
    copes: Vec<Cope>,
    /// The areas where tongues are attached.
    tongues: Vec<Outline>,
    /// The obstacles of the face, for steps that cut them out.
    obstacles: Vec<Obstacle>,
}

/// The obstacle that a step cuts out.
const fn cuts_obstacle(step: &Step) -> Option<&String> {
    match &step.work {
        Work::Cut(Placed { shape: Shape::Obstacle(name, _), .. }) => Some(name),
        _ => None,
    }
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
                let stood = tongue::with_tongues(
                    tongue,
                    step.span,
                    &before,
                    &self.named,
                    values,
                    thickness,
                )?;
                self.tongues.extend(stood.1);
                Ok(stood.0)
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
                let help = "change the dimensions of this step or of an earlier one";
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
        Some(match treated {
            Ok(Some(region)) => Ok(region),
            Ok(None) => {
                // A radius of 0 asks for no change.
                self.idle.extend((radius > 0.0).then_some(Idle { does: Some(does), span }));
                Ok(before)
            }
            Err(RegionError::Rolled(RolledError::Narrow(_))) => {
                disc_fit::report(does, radius, span, &before, values);
                return None;
            }
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
        let names_edges = !edges.is_empty();
        self.named.extend(edges);
        let holes = holes(placed, values)?;
        if let Shape::Outline(file) = &placed.shape {
            let place = place(placed, values)?;
            let moved = |edges: &[Edge]| edges.iter().map(|e| e.moved(&place)).collect::<Vec<_>>();
            self.files.push(FromFile {
                file: UsedFile {
                    name: file.name.clone(),
                    header_units: file.header_units,
                    off: file.off,
                },
                openings: holes.clone(),
                marks: file.marks.iter().map(|edges| moved(edges)).collect(),
                bends: moved(&file.bends),
                sized: file.sized,
                span,
            });
        }
        let area = before.as_ref().map(Region::area);
        let whole = match before {
            None => holes.into_iter().try_fold(Region::solid(shape), Region::pierced),
            Some(before) => before
                .with(&shape)
                .and_then(|whole| holes.iter().try_fold(whole, |whole, hole| whole.without(hole))),
        };
        let same = |whole: &Region| area.is_some_and(|area| (whole.area() - area).abs() < SAME);
        if !names_edges && whole.as_ref().is_ok_and(same) {
            self.idle.push(Idle { does: None, span });
        }
        Some(whole.map_err(|e| e.to_string()))
    }

    /// The metal without an obstacle and its clearance, wherever they overlap.
    fn cleared(
        &self,
        (name, span): (&String, Span),
        before: &Region,
        values: &Values,
    ) -> Option<Result<Region, String>> {
        let mut named = self.obstacles.iter().filter(|obstacle| obstacle.name == *name).peekable();
        if named.peek().is_none() {
            let words = format!("no obstacle of the face is named `{name}`");
            let known: Vec<&str> = self.obstacles.iter().map(|of| of.name.as_str()).collect();
            let help = match nearest(name, known.iter().copied()) {
                Some(near) => format!("write `{near}`"),
                None => "list it in the `obstacles` of the face".to_owned(),
            };
            report(values, span, &words, &help);
            return None;
        }
        let left = |left: Region, of: &Obstacle| {
            let grown = match of.clear > 0.0 {
                true => offset(&of.outline, of.clear).map_err(|e| e.to_string())?,
                false => of.outline.clone(),
            };
            match left.without(&grown) {
                // It lies beside the metal.
                Err(RegionError::Misses) => Ok(left),
                made => made.map_err(|e| e.to_string()),
            }
        };
        Some(named.try_fold(before.clone(), left))
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
        if let Shape::Tube(cut) = &placed.shape {
            let (mut left, mut misses) = (before.clone(), true);
            for Section { outline, copes } in sections(cut, values, thickness, before, span)? {
                left = match left.without(&outline) {
                    Ok(left) => left,
                    // It crosses the plane of the plate there, beside the metal.
                    Err(RegionError::Misses) => continue,
                    Err(error) => return Some(Err(error.to_string())),
                };
                misses = false;
                let name = cut.edge.as_ref();
                self.coped.extend(name.map(|name| (values.edge_name(name), outline)));
                self.copes.extend(copes);
            }
            let is_there = values.tubes.get(&cut.tube.0).is_some_and(Option::is_some);
            if misses && is_there {
                return Some(Err(RegionError::Misses.to_string()));
            }
            return Some(Ok(left));
        }
        if let Shape::Obstacle(name, span) = &placed.shape {
            return self.cleared((name, *span), before, values);
        }
        let (shape, edges) = shape(placed, values, thickness, Some(before), span)?;
        let reversed = edges.into_iter().map(|e| NamedEdge { edge: e.edge.reversed(), ..e });
        self.named.extend(reversed);
        if !holes(placed, values)?.is_empty() {
            return Some(Err("the metal in the holes of the cut would fall out".into()));
        }
        if let Shape::Saddle(_, _, _, Some(name)) = &placed.shape {
            self.coped.push((values.edge_name(name), shape.clone()));
        }
        if let Shape::Saddle(tube, angle, offset, _) = &placed.shape {
            self.copes.push(cope(placed, tube, angle.as_ref(), offset.as_ref(), values)?);
        }
        Some(before.without(&shape).map_err(|e| e.to_string()))
    }
}
