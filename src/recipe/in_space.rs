//! The places of points in space that are measured from others, or lie between them.

use crate::diag::Finding;
use crate::diag::Span;
use crate::formula::Value;
use crate::geom;
use crate::geom::Distances;
use crate::geom::SpaceChoice;
use crate::geom::SpaceFault;
use crate::num;
use crate::recipe::evaluate::Evaluator;
use crate::recipe::expr::Expr;
use crate::recipe::point::Choice;
use crate::recipe::point::Measured;
use crate::recipe::point::PointName;
use crate::recipe::tape::TapeCheck;

impl Evaluator<'_> {
    /// A point in space by its distances from others, each of which has a place.
    pub(super) fn trilaterated(&self, name: &str, here: Span, of: &Measured) -> Option<Value> {
        let flat = of.direction.iter().map(|(_, value)| value.span);
        let flat = flat.chain(of.left.iter().map(|(_, value)| value.span)).next();
        if let Some(at) = flat {
            let headline = format!("`{name}` is a point in space, measured by distances alone");
            return self.refused(
                headline,
                at,
                "give three distances or more, `from` points in space, and nothing else",
            );
        }
        let mut from = Vec::with_capacity(of.from.len());
        for (other, value) in &of.from {
            from.push((self.in_space(other)?, self.distance(value)?));
        }
        if from.len() < 3 {
            let count = from.len();
            let headline =
                format!("`{name}` has {count} of the three distances that fix a point in space");
            let help = "measure it from three points that are not on one line";
            return self.refused(headline, here, help);
        }
        let choice = match &of.choice {
            None => None,
            Some(Choice::Near(to)) => Some(SpaceChoice::Near(self.in_space(to)?)),
            Some(Choice::Above(above)) => Some(SpaceChoice::Above(*above)),
            Some(Choice::Left(_)) => {
                let headline = format!("`left` is for points in the plane; `{name}` is in space");
                return self.refused(headline, here, "write `side = \"above\"`");
            }
        };
        let distances = Distances { from, same: self.same()?, choice };
        match geom::trilaterate(&distances) {
            Ok((at, outcomes)) => {
                let spare = outcomes.len() - 3;
                let measured = of.from.iter().zip(&distances.from).zip(outcomes);
                let checks = measured.map(|(((other, value), known), outcome)| TapeCheck {
                    what: format!("{} to {name}", other.0),
                    of: name.to_owned(),
                    depends: depends(value),
                    span: value.span,
                    measured: known.1,
                    is_direction: false,
                    in_space: true,
                    outcome,
                    spare,
                });
                self.tape_checks.borrow_mut().extend(checks);
                Some(Value::in_space(at))
            }
            Err(fault) => {
                self.findings.add(self.no_place(name, here, of, fault));
                None
            }
        }
    }

    /// A point from one in space towards another.
    pub(super) fn along_in_space(
        &self,
        [from, to]: &[PointName; 2],
        by: &Expr,
        left: Option<&Expr>,
    ) -> Option<Value> {
        let (Value::Space(a), b) = (self.known(&from.0)?, self.known(&to.0)?) else { return None };
        let Value::Space(b) = b else {
            let headline = format!("`{}` is a point in space, but `{}` is not", from.0, to.0);
            return self.refused(headline, to.1, "give it three coordinates");
        };
        if let Some(left) = left {
            let headline = "`left` is for points in the plane; this line is in space".to_owned();
            return self.refused(headline, left.span, "leave out `left`, or give the coordinates");
        }
        let way = geom::minus(b.at, a.at);
        let long = geom::length(way);
        if long <= geom::NEAR {
            self.coincide(from, to);
            return None;
        }
        let by = self.length(by)?;
        Some(Value::in_space(geom::plus(a.at, geom::times(way, by / long))))
    }

    /// Where a point in space lies in the drawing, swung about a line to its left.
    pub(super) fn laid(&self, of: &PointName, over: &[PointName; 2]) -> Option<geom::Point> {
        let (line, at) = (self.line(over)?, self.in_space(of)?);
        let (a, along) = line;
        let to = geom::Point::new(at[0], at[1]) - a;
        let left = geom::Vec2::new(-along.y, along.x);
        let far = num::hypot(left.dot(to), at[2]);
        if far <= geom::NEAR {
            let headline = format!("`{}` is on the line it is swung about", of.0);
            return self.refused(headline, of.1, "name a point off the line");
        }
        Some(a + along * along.dot(to) + left * far)
    }

    /// A point on the other side of the plane through three others.
    pub(super) fn across(&self, of: &PointName, over: &[PointName; 3]) -> Option<Value> {
        let (of, [a, b, c]) = (self.in_space(of), over.each_ref().map(|name| self.in_space(name)));
        let (of, a, b, c) = (of?, a?, b?, c?);
        let up = geom::cross(geom::minus(b, a), geom::minus(c, a));
        let sides = geom::length(geom::minus(b, a)) * geom::length(geom::minus(c, a));
        if geom::length(up) <= geom::NEAR * sides.max(1.0) {
            let headline = "the three points of the plane lie on one line".to_owned();
            return self.refused(headline, over[2].1, "name one off that line");
        }
        let up = geom::unit(up);
        let high = geom::dot(up, geom::minus(of, a));
        Some(Value::in_space(geom::minus(of, geom::times(up, 2.0 * high))))
    }

    fn refused<T>(&self, headline: String, at: Span, help: &str) -> Option<T> {
        self.findings.add(Finding::stop("points", headline).at(at, "").help(help));
        None
    }

    /// A named point, which must be one in space.
    fn in_space(&self, name: &PointName) -> Option<geom::Space> {
        match self.known(&name.0)? {
            Value::Space(point) => Some(point.at),
            _ => {
                let headline = format!("`{}` is not a point in space", name.0);
                self.refused(headline, name.1, "give it three coordinates")
            }
        }
    }

    /// Why it has no place.
    fn no_place(&self, name: &str, here: Span, of: &Measured, fault: SpaceFault) -> Finding {
        let shown = |mm: f64| self.surroundings.units.length(mm);
        let to = |i: usize| (format!("{} to {name}", of.from[i].0.0), of.from[i].1.span);
        let stop = |headline: String, at| Finding::stop("points", headline).at(at, "");
        match fault {
            SpaceFault::InLine => {
                stop(format!("the points that `{name}` is measured from are on one line"), here)
                    .help("measure it from a point off that line as well")
            }
            SpaceFault::Apart(a, b, gap) => {
                let [(a, first), (b, second)] = [a, b].map(to);
                let headline = format!("{a} and {b} do not reach each other: {} short", shown(gap));
                stop(headline, first).at(second, "").help("measure them again")
            }
            SpaceFault::Short(worst, off) => {
                let (what, at) = to(worst);
                let headline = format!(
                    "no point fits all the distances of `{name}`: {what} is {} off",
                    shown(off)
                );
                stop(headline, at).help("measure it again, and from a fourth point")
            }
            SpaceFault::Ambiguous(far) => {
                let headline =
                    format!("`{name}` fits two places equally well, {} apart", shown(far));
                stop(headline, here).help(match &of.choice {
                    Some(Choice::Above(_)) => {
                        "both are equally high: give `near`, or measure it from a fourth point off \
                         the plane of the three"
                    }
                    Some(Choice::Near(_)) => {
                        "both are equally near to it: give `side`, or name another point, or measure it \
                         from a fourth point off the plane of the three"
                    }
                    Some(Choice::Left(_)) | None => {
                        "say which: `side = \"above\"` or `\"below\"`, or `near = \"A\"`, a point \
                         that it is nearer to; or measure it from a fourth point off the plane of \
                         the three"
                    }
                })
            }
            SpaceFault::OtherSide => {
                stop(format!("the measurements of `{name}` put it on the other side"), here)
                    .help("correct its `side` or `near`, or measure it again")
            }
            SpaceFault::Loose => {
                stop(format!("the measurements of `{name}` leave it undetermined"), here)
                    .note("it is in the plane of the points it is measured from")
                    .help("measure it from a point off that plane as well")
            }
        }
    }
}

/// The names that a formula uses.
fn depends(of: &Expr) -> Vec<String> {
    of.formula.names().into_iter().map(str::to_owned).collect()
}
