//! A part to its blank: the faces laid into one plane, with what the bends use up between them.
//!
//! Each face is cut back to where its bend begins; the bend's strip, as long as its
//! allowance, goes between. The faces are joined by splicing their outlines along the
//! line where the bend begins, so lines stay lines and no boolean can blur them.

mod splice;

use crate::bend;
use crate::diag::Finding;
use crate::diag::Span;
use crate::geom::Edge;
use crate::geom::NEAR;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::geom::Vec2;
use crate::num::Angle;
use crate::part::Bend;
use crate::part::Hole;
use crate::part::Part;
use crate::recipe::Measured;

/// A flat pattern.
#[derive(Clone, Debug)]
pub struct Flat {
    /// What is cut: the blank with all its holes.
    pub region: Region,
    /// The holes, in the order of the faces.
    pub holes: Vec<FlatHole>,
    /// The bends, in the order of the part.
    pub bends: Vec<BendStrip>,
    /// What is scribed or etched.
    pub marks: Vec<FlatMark>,
    /// Where each face of the part came to lie.
    pub places: Vec<Place>,
    /// Each face in its own drawing, cut back to where its bends begin, with its holes.
    pub faces: Vec<Region>,
}

/// A hole in the flat.
#[derive(Clone, Debug)]
pub struct FlatHole {
    /// Index of its face in the part.
    pub face: usize,
    /// Index of the hole in the face.
    pub hole: usize,
    /// What is cut.
    pub outline: Outline,
}

/// A mark on the flat.
#[derive(Clone, Debug)]
pub struct FlatMark {
    /// Index of its face in the part; none for the ticks of a bend.
    pub face: Option<usize>,
    /// Chains of edges.
    pub strokes: Vec<Vec<Edge>>,
    /// Its entry in the recipe, or that of its bend.
    pub span: Span,
}

/// The strip of sheet that becomes a bend.
#[derive(Clone, Debug)]
pub struct BendStrip {
    /// Where the bend begins on the side of the face it stands on, and on that of the face it carries.
    pub tangents: [Edge; 2],
    /// The middle of the strip.
    pub line: Edge,
    /// Where it begins, in the drawing of the face it stands on, metal to its left.
    pub begins: Edge,
    /// Where it ends, in the drawing of the face it carries, metal to its left. The end of
    /// one line faces the start of the other.
    pub ends: Edge,
    /// What it uses up.
    pub bend: bend::Bend,
}

/// A relief reaches so far behind the line where the bend begins, mm. FAA-H-8083-31
/// asks for 1/32 to 1/16 in.
const RELIEF_PAST: f64 = 1.0;

/// How far in front of the edge a cut reaches, mm: enough to be past it. Our choice.
const FRONT: f64 = 0.5;

/// Length of a tick at the end of a bend line, mm: common practice.
const TICK: f64 = 5.0;

/// From the rim to the tick, mm: clear of the cut. Our choice.
const TICK_CLEAR: f64 = 0.5;

/// Unfolds a part.
///
/// # Errors
/// When the faces cannot be cut from one blank, or a hole leaves its face.
pub fn unfold(part: &Part) -> Result<Flat, Vec<Finding>> {
    let mut places = vec![Place::default(); part.faces.len()];
    let mut strips = Vec::with_capacity(part.bends.len());
    let mut whole: Vec<Region> = part.faces.iter().map(|f| f.blank.clone()).collect();
    for bend in &part.bends {
        whole[bend.to] = carried(&whole[bend.to], bend).map_err(|f| vec![f])?;
    }
    // Every face is cut back before any is hung on, so that no cut meets a neighbour's flange.
    let mut joints = Vec::with_capacity(part.bends.len());
    for bend in &part.bends {
        let joint = Joint::new(part, bend, &whole[bend.to]).map_err(|f| vec![f])?;
        let trimmed = joint.trim(&whole[bend.from], bend.bend.thickness());
        whole[bend.from] = trimmed.map_err(|words| vec![refusal(bend, &words)])?;
        joints.push(joint);
    }
    let faces = part.faces.iter().zip(&whole).map(|(face, metal)| with_holes(metal, &face.holes));
    let faces = faces.collect();
    // From the outermost bend inwards, so that each face is whole when it is hung on.
    for (bend, joint) in part.bends.iter().zip(&joints).rev() {
        let child = whole[bend.to].moved(&joint.place);
        let joined = splice::join(&whole[bend.from], &child, joint.seam());
        whole[bend.from] = joined.map_err(|words| vec![refusal(bend, &words)])?;
    }
    for (bend, joint) in part.bends.iter().zip(&joints) {
        places[bend.to] = joint.place.then(&places[bend.from]);
        strips.push(joint.strip(bend, &places[bend.from]));
    }
    let (region, holes) = pierce(part, whole.swap_remove(0), &places)?;
    let marks = marks(part, &places, &strips);
    Ok(Flat { region, holes, bends: strips, marks, places, faces })
}

/// The marks of all faces, then the ticks of the bends that want them.
fn marks(part: &Part, places: &[Place], strips: &[BendStrip]) -> Vec<FlatMark> {
    let mut marks = Vec::new();
    for (f, face) in part.faces.iter().enumerate() {
        let moved = |stroke: Vec<Edge>| stroke.iter().map(|e| e.moved(&places[f])).collect();
        marks.extend(face.marks.iter().map(|mark| FlatMark {
            face: Some(f),
            strokes: mark.strokes().into_iter().map(moved).collect(),
            span: mark.span,
        }));
    }
    for (bend, strip) in part.bends.iter().zip(strips).filter(|(bend, _)| bend.ticks) {
        let strokes = ticks(&strip.line).map(|tick| vec![tick]).to_vec();
        marks.push(FlatMark { face: None, strokes, span: bend.span });
    }
    marks
}

/// A tick at either end of a bend line, the two never longer than two thirds of it.
fn ticks(line: &Edge) -> [Edge; 2] {
    let length = line.length();
    let clear = TICK_CLEAR.min(length / 10.0);
    let (near, far) = (clear / length, (clear + TICK.min(length / 3.0)) / length);
    [line, &line.reversed()].map(|l| Edge::line(l.point_at(near), l.point_at(far)))
}

fn refusal(bend: &Bend, words: &str) -> Finding {
    let headline =
        format!("the faces at bend `{}` cannot be cut from one blank: {words}", bend.name);
    Finding::stop("bend", headline).at(bend.span, "").help(
        "make the flange narrower, the face behind it larger, or weld it on as a part of its own",
    )
}

/// From the line to which the faces are drawn back to where the bend begins, mm.
fn setback(bend: &Bend) -> f64 {
    match bend.measured {
        Measured::Outside => bend.bend.setback(),
        Measured::Inside => bend.bend.inside_setback(),
        Measured::Tangent => 0.0,
    }
}

/// The face a bend carries, without what lies nearer to the edge than where the bend ends.
fn carried(blank: &Region, bend: &Bend) -> Result<Region, Finding> {
    let back = setback(bend);
    let bounds = blank.bounds();
    let tall = back - bounds.least.y;
    if tall <= NEAR {
        return Ok(blank.clone());
    }
    if bounds.most.y <= back + NEAR {
        let needed = crate::num::text(back, 2);
        return Err(Finding::stop(
            "bend",
            format!("the flange at bend `{}` is shorter than the bend itself", bend.name),
        )
        .at(bend.span, "")
        .note(format!("the bend ends {needed} mm from the corner to which the flange is drawn"))
        .help(format!("make the flange longer than {needed} mm, or the radius smaller")));
    }
    let wide = 2.0 * (bounds.width() + 1.0);
    let middle = Point::new(bounds.centre().x, back - (tall + 1.0) / 2.0);
    let tool = crate::geom::rectangle(middle, wide, tall + 1.0, 0.0);
    let cut =
        tool.map_err(|e| e.to_string()).and_then(|t| blank.without(&t).map_err(|e| e.to_string()));
    cut.map_err(|words| refusal(bend, &words))
}

/// How the face a bend carries meets the face it stands on, in the plane of the latter.
struct Joint {
    /// Direction of travel along the edge; metal lies to its left.
    along: Vec2,
    /// Away from the metal.
    out: Vec2,
    /// Middle of the edge.
    middle: Point,
    /// Half the length of the edge, mm.
    half: f64,
    /// Where the carried face begins and ends along `along`, from the middle, mm.
    from: f64,
    to: f64,
    /// Setback from the edge, mm.
    back: f64,
    /// Length of the strip, mm.
    allowance: f64,
    /// Where the carried face comes to lie.
    place: Place,
}

impl Joint {
    fn new(part: &Part, bend: &Bend, carried: &Region) -> Result<Self, Finding> {
        let edge = part.faces[bend.from].edges[bend.edge].edge;
        let along = edge.direction_at_start();
        let out = Vec2::new(along.y, -along.x);
        let middle = edge.point_at(0.5);
        let (back, allowance) = (setback(bend), bend.bend.allowance());
        let foot = splice::foot(carried.outer(), back)
            .ok_or_else(|| refusal(bend, "the flange has no straight edge where the bend ends"))?;
        // x of the carried face runs against `along`.
        let turn = Angle::of(-along.x, -along.y);
        let origin = middle + out * (allowance - 2.0 * back);
        Ok(Self {
            along,
            out,
            middle,
            half: edge.length() / 2.0,
            from: -foot.1,
            to: -foot.0,
            back,
            allowance,
            place: Place::turned(turn, origin),
        })
    }

    fn point(&self, along: f64, out: f64) -> Point {
        self.middle + self.along * along + self.out * out
    }

    /// The line where the bend begins, on the face it stands on.
    fn tangent(&self) -> Edge {
        Edge::line(self.point(self.from, -self.back), self.point(self.to, -self.back))
    }

    /// What the splice needs: the line where the bend begins and the strip beyond.
    fn seam(&self) -> splice::Seam {
        splice::Seam { tangent: self.tangent(), strip: self.out * self.allowance }
    }

    /// The face the bend stands on, cut back to where the bend begins, with reliefs
    /// where the flange ends before the edge does.
    fn trim(&self, face: &Region, thickness: f64) -> Result<Region, String> {
        if self.from < -self.half - NEAR || self.to > self.half + NEAR {
            let over = (-self.half - self.from).max(self.to - self.half);
            return Err(format!(
                "the flange is {} mm wider than its edge",
                crate::num::text(over, 3)
            ));
        }
        let relief = (self.from + self.half > NEAR, self.half - self.to > NEAR);
        // Past the end of the edge there is nothing in front of it, so the cut may run over.
        let over = thickness;
        let low = if relief.0 { self.from } else { self.from - over };
        let high = if relief.1 { self.to } else { self.to + over };
        let mut face = face.clone();
        if self.back > NEAR {
            face = self.cut(&face, (low, high), -self.back)?;
        }
        let behind = -self.back - RELIEF_PAST;
        if relief.0 {
            let end = (self.from - thickness).max(-self.half - over);
            face = self.cut(&face, (end, self.from), behind)?;
        }
        if relief.1 {
            let end = (self.to + thickness).min(self.half + over);
            face = self.cut(&face, (self.to, end), behind)?;
        }
        Ok(face)
    }

    /// Without the rectangle over a stretch of the edge, from `depth` outwards.
    fn cut(&self, face: &Region, (low, high): (f64, f64), depth: f64) -> Result<Region, String> {
        let corners = [(low, depth), (high, depth), (high, FRONT), (low, FRONT)];
        let vertices = corners
            .map(|(along, out)| crate::geom::Vertex { at: self.point(along, out), bulge: 0.0 });
        let tool = Outline::new(vertices).map_err(|e| e.to_string())?;
        face.without(&tool).map_err(|e| e.to_string())
    }

    fn strip(&self, bend: &Bend, place: &Place) -> BendStrip {
        let near = self.tangent();
        let shifted = |share: f64| {
            let by = self.out * (self.allowance * share);
            Edge::line(near.from + by, near.to + by).moved(place)
        };
        BendStrip {
            tangents: [near.moved(place), shifted(1.0)],
            line: shifted(0.5),
            begins: near,
            ends: Edge::line(Point::new(-self.to, self.back), Point::new(-self.from, self.back)),
            bend: bend.bend,
        }
    }
}

/// The metal of a face without its holes. One that runs into a bend is cut where it is in
/// the face; the checks say what is wrong with it.
fn with_holes(metal: &Region, holes: &[Hole]) -> Region {
    holes.iter().fold(metal.clone(), |metal, hole| {
        let pierced = metal.clone().pierced(hole.outline.clone());
        pierced.or_else(|_| metal.without(&hole.outline)).unwrap_or(metal)
    })
}

type Pierced = (Region, Vec<FlatHole>);

/// The blank with the holes of all faces.
fn pierce(part: &Part, mut region: Region, places: &[Place]) -> Result<Pierced, Vec<Finding>> {
    let mut findings: Vec<Finding> = Vec::new();
    let mut holes = Vec::new();
    for (f, face) in part.faces.iter().enumerate() {
        for (h, hole) in face.holes.iter().enumerate() {
            let outline = hole.outline.moved(&places[f]);
            match region.clone().pierced(outline.clone()) {
                Ok(pierced) => {
                    region = pierced;
                    holes.push(FlatHole { face: f, hole: h, outline });
                }
                // One word for each set: its holes share a cause.
                Err(_) if findings.iter().any(|f| f.marks[0].span == hole.span) => {}
                Err(_) => findings.push(
                    Finding::stop(
                        "hole-outside",
                        format!(
                            "hole `{}` runs out of face `{}` or into another hole",
                            hole.name, face.name
                        ),
                    )
                    .at(hole.span, "")
                    .help("move it, make it smaller, or make the face larger"),
                ),
            }
        }
    }
    if findings.is_empty() { Ok((region, holes)) } else { Err(findings) }
}
