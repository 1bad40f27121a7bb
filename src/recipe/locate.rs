//! The places of the points of a recipe.

use crate::diag::Finding;
use crate::formula::Value;
use crate::geom;
use crate::geom::Network;
use crate::geom::NetworkError;
use crate::geom::Node;
use crate::geom::PlaceChoice;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::quantity::Dimension;
use crate::recipe::evaluate::Evaluator;
use crate::recipe::expr::Expr;
use crate::recipe::point::Choice;
use crate::recipe::point::Measured;
use crate::recipe::point::NamedPoint;
use crate::recipe::point::PointName;
use crate::recipe::point::PointRule;
use crate::recipe::tape::TAPE;
use crate::recipe::tape::TapeCheck;
use crate::recipe::whole::Recipe;

/// Points that are fitted together, and their measurements.
struct Group<'a> {
    names: Vec<&'a str>,
    network: Network,
    words: Vec<Words<'a>>,
}

/// A measurement in words, its formula, and whether it is a direction.
struct Words<'a> {
    what: String,
    formula: &'a Expr,
    is_direction: bool,
}

impl Words<'_> {
    /// The names its formula uses.
    fn names(&self) -> Vec<String> {
        self.formula.formula.names().into_iter().map(str::to_owned).collect()
    }
}

impl<'a> Evaluator<'a> {
    /// The place of a point, if the names it depends on have values; those fitted with it are known
    /// from then on.
    pub(super) fn place(&self, name: &str, point: &'a NamedPoint) -> Option<Value> {
        let place = match &point.rule {
            PointRule::At([x, y]) => Point::new(self.length(x)?, self.length(y)?),
            PointRule::InSpace(at) => {
                let [x, y, z] = at.each_ref().map(|expr| self.length(expr));
                return Some(Value::in_space([x?, y?, z?]));
            }
            PointRule::Along(line, by, left) if self.is_in_space(&line[0])? => {
                return self.along_in_space(line, by, left.as_ref());
            }
            PointRule::Along(line, by, left) => {
                let (a, along) = self.line(line)?;
                let left = left.as_ref().map_or(Some(0.0), |left| self.length(left))?;
                a + along * self.length(by)? + Vec2::new(-along.y, along.x) * left
            }
            PointRule::Mirror(of, over) => {
                let ((a, along), of) = (self.line(over)?, self.point(of)?);
                let foot = a + along * along.dot(of - a);
                foot + (foot - of)
            }
            PointRule::Across(of, over) => return self.across(of, over),
            PointRule::Laid(of, over) => self.laid(of, over)?,
            PointRule::Tangent(from, disc, radius, left) => {
                self.touching(from, disc, radius, *left)?
            }
            PointRule::Measured(measured) if self.recipe.is_in_space(name) => {
                return self.trilaterated(name, point.span, measured);
            }
            PointRule::Measured(_) => return self.fitted(name),
        };
        Some(Value::Point([place.x, place.y]))
    }

    pub(super) fn length(&self, expr: &Expr) -> Option<f64> {
        self.number(expr, Dimension::LENGTH)
    }

    fn number(&self, expr: &Expr, dimension: Dimension) -> Option<f64> {
        let number = expr.number(&self.formula(expr)?, dimension);
        number.map_err(|finding| self.findings.add(finding)).ok()
    }

    /// A measured distance, mm: more than 0.
    pub(super) fn distance(&self, expr: &Expr) -> Option<f64> {
        let mm = self.length(expr)?;
        if mm > 0.0 {
            return Some(mm);
        }
        let shown = self.surroundings.units.length(mm);
        let headline = format!("a distance must be more than 0, not {shown}");
        let finding = Finding::stop("points", headline).at(expr.span, "");
        self.findings.add(finding.help("leave it out, or measure it"));
        None
    }

    /// Places that differ by less, mm, are one.
    pub(super) fn same(&self) -> Option<f64> {
        match &self.recipe.tape {
            Some(tape) => Some(self.tape(tape)?.max(geom::NEAR)),
            None => Some(TAPE),
        }
    }

    /// How far a tape may be off, mm; `None` when something was reported.
    pub(super) fn tape(&self, tape: &Expr) -> Option<f64> {
        let mm = self.length(tape)?;
        if mm >= 0.0 {
            return Some(mm);
        }
        let shown = self.surroundings.units.length(mm);
        let headline = format!("`tape` must be 0 or more, not {shown}");
        let finding = Finding::stop("points", headline).at(tape.span, "");
        self.findings.add(finding.help("write `tape = \"1 mm\"`, or leave it out"));
        None
    }

    fn point(&self, name: &PointName) -> Option<Point> {
        match self.known(&name.0)? {
            Value::Point([x, y]) => Some(Point::new(x, y)),
            Value::Space(_) => {
                let headline = format!("`{}` is a point in space", name.0);
                let finding = Finding::stop("points", headline).at(name.1, "");
                self.findings.add(finding.help(
                    "name a point of two coordinates; in space a point has three, or is \
                     `{ along = [\"A\", \"B\"], by }`",
                ));
                None
            }
            _ => None,
        }
    }

    fn is_in_space(&self, name: &PointName) -> Option<bool> {
        Some(matches!(self.known(&name.0)?, Value::Space(_)))
    }

    /// The first of two points, and the direction to the second.
    pub(super) fn line(&self, [from, to]: &[PointName; 2]) -> Option<(Point, Vec2)> {
        let (a, b) = (self.point(from)?, self.point(to)?);
        let along = b - a;
        if along.hypot() > geom::NEAR {
            return Some((a, along.normalize()));
        }
        self.coincide(from, to);
        None
    }

    /// Reports two points of a line that are one.
    pub(super) fn coincide(&self, from: &PointName, to: &PointName) {
        let headline = format!("`{}` and `{}` coincide: no line joins them", from.0, to.0);
        self.findings.add(
            Finding::stop("points", headline).at(to.1, "").help("name two points that are apart"),
        );
    }

    /// Where a line from a point touches a disc.
    fn touching(
        &self,
        from: &PointName,
        disc: &PointName,
        radius: &Expr,
        left: bool,
    ) -> Option<Point> {
        let (a, centre) = (self.point(from)?, self.point(disc)?);
        let (r, out) = (self.length(radius)?, centre - a);
        let apart = out.hypot();
        if !(r > 0.0 && r < apart) {
            let shown = |mm: f64| self.surroundings.units.length(mm);
            let headline = format!(
                "no line from `{}` touches a disc of radius {} about `{}`, which is {} away",
                from.0,
                shown(r),
                disc.0,
                shown(apart)
            );
            let finding = Finding::stop("points", headline).at(radius.span, "");
            self.findings.add(finding.help("make the radius more than 0 and less than that"));
            return None;
        }
        let along = out / apart;
        // Of the triangle with its right angle where the line touches.
        let back = r * r / apart;
        let aside = (r * r - back * back).max(0.0).sqrt();
        let across = Vec2::new(-along.y, along.x) * if left { aside } else { -aside };
        Some(centre - along * back + across)
    }

    /// The points that measurements join to this one, fitted together.
    fn fitted(&self, name: &str) -> Option<Value> {
        let group = self.group(&members(self.recipe, name))?;
        match geom::fit(&group.network) {
            Ok(fitted) => {
                for (name, at) in group.names.iter().zip(&fitted.points) {
                    self.settle(name, Value::Point([at.x, at.y]));
                }
                let measures = group.network.measures.iter().zip(&group.words);
                let checks =
                    measures.zip(&fitted.measures).map(|((measure, words), outcome)| TapeCheck {
                        what: words.what.clone(),
                        depends: words.names(),
                        of: group.names[measure.of].to_owned(),
                        span: words.formula.span,
                        measured: measure.value,
                        is_direction: words.is_direction,
                        in_space: false,
                        outcome: *outcome,
                        spare: fitted.spare,
                    });
                self.tape_checks.borrow_mut().extend(checks);
                self.known(name)
            }
            Err(error) => {
                self.findings.add(self.not_found(&group, &error));
                group.names.iter().for_each(|name| self.fail(name));
                None
            }
        }
    }

    /// The measurements of these points.
    fn group(&self, names: &[&'a str]) -> Option<Group<'a>> {
        let network = Network { same: self.same()?, ..Network::default() };
        let mut group = Group { names: names.to_vec(), network, words: Vec::new() };
        for (of, name) in names.iter().enumerate() {
            let PointRule::Measured(measured) = &self.recipe.points[*name].rule else { continue };
            self.measures_of(&mut group, of, measured)?;
        }
        Some(group)
    }

    fn measures_of(&self, group: &mut Group<'a>, of: usize, measured: &'a Measured) -> Option<()> {
        let name = group.names[of].to_owned();
        for (from, value) in &measured.from {
            let node = self.node(&group.names, from)?;
            let mm = self.distance(value)?;
            let what = geom::Measured::Distance(node);
            group.network.measures.push(geom::Measure { of, what, value: mm });
            let what = format!("{} to {name}", from.0);
            group.words.push(Words { what, formula: value, is_direction: false });
        }
        for (from, value) in &measured.direction {
            let what = geom::Measured::Direction(self.node(&group.names, from)?);
            let degrees = self.number(value, Dimension::ANGLE)?;
            group.network.measures.push(geom::Measure { of, what, value: degrees });
            let what = format!("the direction from {} to {name}", from.0);
            group.words.push(Words { what, formula: value, is_direction: true });
        }
        for ([a, b], value) in &measured.left {
            let (from, to) = (self.node(&group.names, a)?, self.node(&group.names, b)?);
            let is_point = match (from, to) {
                (Node::Fixed(a), Node::Fixed(b)) => (b - a).hypot() < geom::NEAR,
                _ => from == to,
            };
            if is_point {
                self.coincide(a, b);
                return None;
            }
            let what = geom::Measured::Left(from, to);
            group.network.measures.push(geom::Measure { of, what, value: self.length(value)? });
            let what = format!("{name} from the line {}–{}", a.0, b.0);
            group.words.push(Words { what, formula: value, is_direction: false });
        }
        let choice = match &measured.choice {
            None => None,
            Some(Choice::Near(name)) => Some(PlaceChoice::Near(self.node(&group.names, name)?)),
            Some(Choice::Above(_)) => {
                let headline = format!("`above` is for points in space; `{name}` is in the plane");
                let at = self.recipe.points[&name].span;
                let finding = Finding::stop("points", headline).at(at, "");
                self.findings.add(finding.help("write `side = \"left\"`"));
                return None;
            }
            Some(Choice::Left(left)) => {
                let [(a, _), (b, _), ..] = measured.from.as_slice() else { return None };
                let (a, b) = (self.node(&group.names, a)?, self.node(&group.names, b)?);
                Some(PlaceChoice::Side(a, b, *left))
            }
        };
        group.network.choices.push(choice);
        Some(())
    }

    fn node(&self, names: &[&str], name: &PointName) -> Option<Node> {
        match names.iter().position(|other| *other == name.0) {
            Some(i) => Some(Node::Sought(i)),
            None => self.point(name).map(Node::Fixed),
        }
    }

    /// Why points have no places.
    fn not_found(&self, group: &Group, error: &NetworkError) -> Finding {
        let shown = |mm: f64| self.surroundings.units.length(mm);
        let span = |of: usize| self.recipe.points[group.names[of]].span;
        match *error {
            NetworkError::TooFew(of, count) => {
                let headline = format!(
                    "`{}` has {count} of the two measurements that fix a point",
                    group.names[of]
                );
                let note = "only measurements from points that are fixed count";
                let help = "measure it from another point, or give a point that fixes the others: \
                            `A = [\"0\", \"0\"]`";
                Finding::stop("points", headline).at(span(of), "").note(note).help(help)
            }
            NetworkError::Apart(a, b, gap) => {
                let measures = [a, b].map(|i| &group.network.measures[i]);
                let words = [a, b].map(|i| &group.words[i]);
                let headline = format!(
                    "{} ({}) and {} ({}) do not reach each other: {} short",
                    words[0].what,
                    shown(measures[0].value),
                    words[1].what,
                    shown(measures[1].value),
                    shown(gap)
                );
                let finding = Finding::stop("points", headline)
                    .at(words[0].formula.span, "")
                    .at(words[1].formula.span, "");
                finding.help("measure them again")
            }
            NetworkError::Ambiguous(of, far) => {
                let headline = format!(
                    "`{}` fits two places equally well, {} apart",
                    group.names[of],
                    shown(far)
                );
                Finding::stop("points", headline).at(span(of), "").help(
                    "say which: `side = \"left\"` of the line from the first to the second point \
                     in `from`, or `near = \"A\"`; or measure it from a third point",
                )
            }
            NetworkError::OtherSide(of) => {
                let headline =
                    format!("the measurements of `{}` put it on the other side", group.names[of]);
                Finding::stop("points", headline)
                    .at(span(of), "")
                    .help("correct its `side` or `direction`, or measure it again")
            }
            NetworkError::Loose(of) => {
                let headline =
                    format!("the measurements of `{}` leave it undetermined", group.names[of]);
                Finding::stop("points", headline)
                    .at(span(of), "")
                    .note("they run along one line: 1 mm more in one of them moves it by a metre")
                    .help("measure it from a point off that line")
            }
        }
    }
}

/// The points that measurements join to one, in the order of the recipe.
fn members<'a>(recipe: &'a Recipe, name: &str) -> Vec<&'a str> {
    let measured = |name: &str| match recipe.points.get(name).map(|point| &point.rule) {
        Some(PointRule::Measured(measured)) if !recipe.is_in_space(name) => Some(measured),
        _ => None,
    };
    let mut joined: Vec<&str> = vec![name];
    let mut count = 0;
    while joined.len() > count {
        count = joined.len();
        for (other, point) in &recipe.points {
            let Some(_) = measured(other) else { continue };
            for name in point.names() {
                if measured(&name.0).is_none() {
                    continue;
                }
                let (one, two) = (joined.contains(&other.as_str()), joined.contains(&&*name.0));
                match (one, two) {
                    (true, false) => joined.push(&name.0),
                    (false, true) => joined.push(other),
                    _ => {}
                }
            }
        }
    }
    let names = recipe.points.keys().map(String::as_str);
    names.filter(|name| joined.contains(name)).collect()
}
