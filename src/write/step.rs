//! A solid as STEP, for drawing programs: planes, true cylinders and cones, lines, circles.
//!
//! ISO 10303-21, the schema of ISO 10303-214, whose names of entities readers have known
//! the longest. Lengths are millimetres. The file carries no date.

use crate::fold::Frame;
use crate::fold::Space;
use crate::num;
use crate::solid::Curve;
use crate::solid::Solid;
use crate::solid::Surface;
use std::fmt::Write;

/// Points nearer than this are one for the reader, mm: what chains of cubics keep to.
const UNCERTAINTY: &str = "1.E-06";

/// The bytes of a STEP file, all ASCII. The same solid gives the same bytes.
pub fn step(name: &str, solid: &Solid) -> Vec<u8> {
    let mut file = File::default();
    let name = text(name);
    let body = file.body(&name, solid);
    let context = file.product(&name);
    file.shape(&name, body, context);
    let mut out = String::from("ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\n");
    let words = concat!("platewright ", env!("CARGO_PKG_VERSION"));
    let _ = writeln!(out, "FILE_NAME({name},'',(''),(''),'{words}','{words}','');");
    out.push_str("FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\nENDSEC;\nDATA;\n");
    out.push_str(&file.data);
    out.push_str("ENDSEC;\nEND-ISO-10303-21;\n");
    out.into_bytes()
}

/// The entities written; each has the number of its line.
#[derive(Default)]
struct File {
    data: String,
    count: usize,
}

impl File {
    fn put(&mut self, entity: &str) -> String {
        self.count += 1;
        // Writing to a string cannot fail.
        let _ = writeln!(self.data, "#{}={entity};", self.count);
        format!("#{}", self.count)
    }

    fn body(&mut self, name: &str, solid: &Solid) -> String {
        let points: Vec<String> = solid.points.iter().map(|p| self.point(*p)).collect();
        let corners: Vec<String> =
            points.iter().map(|p| self.put(&format!("VERTEX_POINT('',{p})"))).collect();
        let mut edges = Vec::with_capacity(solid.edges.len());
        for edge in &solid.edges {
            let [from, to] = [edge.from, edge.to];
            let curve = match &edge.curve {
                Curve::Line => self.line(solid.points[from], solid.points[to], &points[from]),
                Curve::Circle { frame, radius } => {
                    let place = self.place(frame);
                    self.put(&format!("CIRCLE('',{place},{})", real(*radius)))
                }
                Curve::Cubics(points) => {
                    let controls = self.points(points);
                    let (times, knots) = knots(points);
                    self.put(&format!(
                        "B_SPLINE_CURVE_WITH_KNOTS('',3,{controls},.UNSPECIFIED.,.F.,.F.,{times},{knots},.UNSPECIFIED.)"
                    ))
                }
            };
            let (from, to) = (&corners[from], &corners[to]);
            edges.push(self.put(&format!("EDGE_CURVE('',{from},{to},{curve},.T.)")));
        }
        let mut sides = Vec::with_capacity(solid.sides.len());
        for side in &solid.sides {
            let mut bounds = Vec::with_capacity(side.loops.len());
            for (i, oriented) in side.loops.iter().enumerate() {
                let passed: Vec<String> = oriented
                    .iter()
                    .map(|(edge, forward)| {
                        let edge = &edges[*edge];
                        self.put(&format!("ORIENTED_EDGE('',*,*,{edge},{})", flag(*forward)))
                    })
                    .collect();
                let closed = self.put(&format!("EDGE_LOOP('',({}))", passed.join(",")));
                let kind = if i == 0 { "FACE_OUTER_BOUND" } else { "FACE_BOUND" };
                bounds.push(self.put(&format!("{kind}('',{closed},.T.)")));
            }
            let surface = self.surface(&side.surface);
            let bounds = bounds.join(",");
            let outward = flag(side.outward);
            sides.push(self.put(&format!("ADVANCED_FACE('',({bounds}),{surface},{outward})")));
        }
        let skin = self.put(&format!("CLOSED_SHELL('',({}))", sides.join(",")));
        self.put(&format!("MANIFOLD_SOLID_BREP({name},{skin})"))
    }

    fn surface(&mut self, surface: &Surface) -> String {
        match surface {
            Surface::Plane(frame) => {
                let place = self.place(frame);
                self.put(&format!("PLANE('',{place})"))
            }
            Surface::Cylinder { frame, radius } => {
                let place = self.place(frame);
                self.put(&format!("CYLINDRICAL_SURFACE('',{place},{})", real(*radius)))
            }
            Surface::Cone { frame, radius, half } => {
                let place = self.place(frame);
                let (radius, half) = (real(*radius), real(half.radians()));
                self.put(&format!("CONICAL_SURFACE('',{place},{radius},{half})"))
            }
            Surface::Torus { frame, radii: [major, minor] } => {
                let place = self.place(frame);
                let (major, minor) = (real(*major), real(*minor));
                self.put(&format!("TOROIDAL_SURFACE('',{place},{major},{minor})"))
            }
            Surface::Ruled([lower, upper]) => {
                let pairs: Vec<String> =
                    lower.iter().zip(upper).map(|(a, b)| self.points(&[*a, *b])).collect();
                let (times, knots) = knots(lower);
                let pairs = pairs.join(",");
                self.put(&format!(
                    "B_SPLINE_SURFACE_WITH_KNOTS('',3,1,({pairs}),.UNSPECIFIED.,.F.,.F.,.F.,{times},(2,2),{knots},(0.,1.),.UNSPECIFIED.)"
                ))
            }
        }
    }

    fn line(&mut self, from: Space, to: Space, start: &str) -> String {
        let way = [to[0] - from[0], to[1] - from[1], to[2] - from[2]];
        let length = crate::fold::length(way);
        let direction = self.direction(way.map(|c| c / length));
        let vector = self.put(&format!("VECTOR('',{direction},1.)"));
        self.put(&format!("LINE('',{start},{vector})"))
    }

    fn points(&mut self, points: &[Space]) -> String {
        let points: Vec<String> = points.iter().map(|p| self.point(*p)).collect();
        format!("({})", points.join(","))
    }

    fn point(&mut self, at: Space) -> String {
        self.put(&format!("CARTESIAN_POINT('',{})", triple(at)))
    }

    fn direction(&mut self, along: Space) -> String {
        self.put(&format!("DIRECTION('',{})", triple(along)))
    }

    fn place(&mut self, frame: &Frame) -> String {
        let origin = self.point(frame.origin);
        let [z, x] = [frame.z, frame.x].map(|d| self.direction(d));
        self.put(&format!("AXIS2_PLACEMENT_3D('',{origin},{z},{x})"))
    }

    /// What is made, before its shape: gives the definition that the shape belongs to.
    fn product(&mut self, name: &str) -> String {
        let application = self.put("APPLICATION_CONTEXT('automotive design')");
        self.put(&format!(
            "APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,{application})"
        ));
        let context = self.put(&format!("PRODUCT_CONTEXT('',{application},'mechanical')"));
        let product = self.put(&format!("PRODUCT({name},{name},'',({context}))"));
        self.put(&format!("PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,({product}))"));
        let formation = self.put(&format!("PRODUCT_DEFINITION_FORMATION('','',{product})"));
        let design = self
            .put(&format!("PRODUCT_DEFINITION_CONTEXT('part definition',{application},'design')"));
        let definition = self.put(&format!("PRODUCT_DEFINITION('design','',{formation},{design})"));
        self.put(&format!("PRODUCT_DEFINITION_SHAPE('','',{definition})"))
    }

    fn shape(&mut self, name: &str, body: String, of: String) {
        let length = self.put("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))");
        let angle = self.put("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))");
        let solid = self.put("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())");
        let near = self.put(&format!(
            "UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE({UNCERTAINTY}),{length},'distance_accuracy_value','')"
        ));
        let context = self.put(&format!(
            "(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT(({near}))\
             GLOBAL_UNIT_ASSIGNED_CONTEXT(({length},{angle},{solid}))REPRESENTATION_CONTEXT('',''))"
        ));
        let place = self.place(&Frame::default());
        let shape = self
            .put(&format!("ADVANCED_BREP_SHAPE_REPRESENTATION({name},({place},{body}),{context})"));
        self.put(&format!("SHAPE_DEFINITION_REPRESENTATION({of},{shape})"));
    }
}

/// How often each joint counts, and where it lies: cubics that share direction and speed.
fn knots(points: &[Space]) -> (String, String) {
    let pieces = points.len() / 2 - 1;
    let list = |of: &dyn Fn(usize) -> String| {
        let all: Vec<String> = (0..=pieces).map(of).collect();
        format!("({})", all.join(","))
    };
    let times = list(&|i| if i == 0 || i == pieces { "4".into() } else { "2".into() });
    (times, list(&|i| real(i as f64)))
}

fn flag(is: bool) -> &'static str {
    if is { ".T." } else { ".F." }
}

fn triple(of: Space) -> String {
    format!("({})", of.map(real).join(","))
}

/// A number; the format requires a point in it.
fn real(x: f64) -> String {
    let digits = num::text(x, 12);
    if digits.contains('.') { digits } else { format!("{digits}.") }
}

/// Words in quotes, what is not ASCII by its code.
fn text(words: &str) -> String {
    let mut out = String::from("'");
    for c in words.chars() {
        match c {
            '\'' => out.push_str("''"),
            '\\' => out.push_str("\\\\"),
            ' '..='~' => out.push(c),
            _ => {
                let _ = write!(out, "\\X4\\{:08X}\\X0\\", u32::from(c));
            }
        }
    }
    out.push('\'');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_a_point_and_words_are_ascii() {
        assert_eq!([40.0, -0.5, 1e-7, -0.0].map(real), ["40.", "-0.5", "0.0000001", "0."]);
        assert_eq!(text("it's ø60\\"), "'it''s \\X4\\000000F8\\X0\\60\\\\'");
    }
}
