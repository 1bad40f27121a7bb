//! Faces and bends sorted into trees: a part for each face that is carried by no bend.

use crate::bend::Development;
use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead;
use crate::diag::nearest;
use crate::geom::Place;
use crate::num::Angle;
use crate::part::carried::check_behind;
use crate::part::carried::check_edges;
use crate::part::carried::report_loop;
use crate::part::edges::only_edge;
use crate::part::face::Face;
use crate::part::fold_line;
use crate::part::fold_line::FoldLine;
use crate::part::fold_line::Folded;
use crate::part::joint::Bend;
use crate::part::joint::Relief;
use crate::part::joint::Ticks;
use crate::part::made::made;
use crate::part::made::unfolding;
use crate::part::relief;
use crate::part::space::in_face;
use crate::part::values::Values;
use crate::part::whole::Laid;
use crate::part::whole::Part;
use crate::recipe;
use crate::recipe::Measured;
use crate::recipe::Recipe;
use crate::recipe::ReliefShape;
use indexmap::IndexMap;

/// Maximum number of pieces of one plate in a set. Our choice.
const MAX_PIECES: u32 = 100;

/// The parts of a recipe; what does not fit together is reported.
pub(super) fn parts(
    recipe: &Recipe,
    faces: Vec<Face>,
    values: &Values,
    development: &Development,
) -> Vec<Part> {
    let Some((faces, folded)) = fold_lines(recipe, faces, values, development) else {
        return Vec::new();
    };
    let bends = bends(recipe, &faces, &folded, values, development);
    // If a bend is refused, the face it carries has no bend: that is not a separate error.
    if !values.findings.is_empty() {
        return Vec::new();
    }
    check_edges(&faces, &bends, values);
    let roots = roots(recipe, &faces, &bends, values);
    let Some(thickness) = values.known("thickness") else {
        return Vec::new();
    };
    let (mut parts, mut hung) = (Vec::new(), 0);
    for root in &roots {
        let (members, bends) = grown(*root, &bends);
        hung += members.len();
        let name = &faces[*root].name;
        let pieces = recipe.faces[name].pieces.as_ref();
        let Some(pieces) = pieces.map_or(Some(1), |pieces| values.count(pieces, MAX_PIECES)) else {
            continue;
        };
        let laid = recipe.faces[name].laid.as_ref();
        let Some(laid) = laid.map_or(Some(None), |laid| self::laid(laid, pieces, values)) else {
            continue;
        };
        parts.push(Part {
            suffix: match roots.len() > 1 || !recipe.elsewhere.is_empty() {
                true => format!("-{name}"),
                false => String::new(),
            },
            hand: None,
            thickness,
            faces: members.iter().map(|i| faces[*i].clone()).collect(),
            bends,
            tubes: Vec::new(),
            passing: Vec::new(),
            stands: None,
            facts: Vec::new(),
            clevis: None,
            captured: None,
            laid,
            copies: recipe.copies.saturating_mul(pieces),
            grain: recipe.grain,
        });
    }
    if hung < faces.len() && values.findings.is_empty() {
        report_loop(&bends, values);
    }
    if values.findings.is_empty() {
        check_behind(&faces, &bends, values);
    }
    parts
}

/// The place of a plate of which a set has `pieces`; `None` when something was reported.
fn laid(laid: &recipe::Laid, pieces: u32, values: &Values) -> Option<Option<Laid>> {
    let below = values.recipe.faces.get(&laid.on)?;
    let at = in_face(below, values, |values| values.point(&laid.at))?;
    let rotation = values.angle(laid.rotate.as_ref())?;
    let place = match is_mirrored(&laid.on, values.recipe) {
        false => Place::rotated(rotation, at),
        // `at` and `rotate` are those of the drawing that is flipped over.
        true => {
            let over = Place { mirrored: true, ..Place::default() };
            Place::rotated(Angle::from_degrees(-rotation.degrees()), over.apply(at))
        }
    };
    Some(Some(Laid { on: laid.on.clone(), place, pieces, span: laid.span }))
}

/// Whether a face, drawn or beyond a fold line, is drawn in the mirror.
fn is_mirrored(face: &str, recipe: &Recipe) -> bool {
    let mut name = face;
    // A fold line carries a piece of the face it crosses.
    for _ in 0..=recipe.bends.len() {
        if let Some(drawn) = recipe.faces.get(name) {
            return drawn.mirrored;
        }
        match recipe.bends.values().find(|bend| bend.to == name) {
            Some(bend) => name = &bend.from,
            None => return false,
        }
    }
    false
}

/// The bends, without those whose flange `when` leaves out.
fn bends(
    recipe: &Recipe,
    faces: &[Face],
    folded: &[Folded],
    values: &Values,
    development: &Development,
) -> Vec<Bend> {
    let is_left_out = |flange: &str| {
        recipe.faces.contains_key(flange) && faces.iter().all(|face| face.name != flange)
    };
    let ticks = Ticks::from_recipe(recipe.bend_ticks);
    recipe
        .bends
        .iter()
        .filter(|(_, bend)| !is_left_out(&bend.to))
        .filter_map(|(name, bend)| match &bend.line {
            None => one_bend(name, bend, faces, values, development),
            Some(_) => {
                let folded = folded.iter().find(|folded| folded.name == *name)?;
                folded_bend(folded, bend, faces, values, development)
            }
        })
        .map(|bend| Bend { ticks, ..bend })
        .collect()
}

/// The faces, those with fold lines cut along them; `None` when something was reported.
fn fold_lines(
    recipe: &Recipe,
    faces: Vec<Face>,
    values: &Values,
    development: &Development,
) -> Option<(Vec<Face>, Vec<Folded>)> {
    let lines = recipe.bends.iter().filter(|(_, bend)| bend.line.is_some());
    let lines: Vec<_> =
        lines.filter(|(name, bend)| fold_line::known(name, bend, recipe, &faces, values)).collect();
    let asked = |(name, bend): &(&String, &recipe::Bend)| {
        Some(FoldLine {
            name: recipe.bends.get_key_value(*name)?.0,
            bend: recipe.bends.get(*name)?,
            made: made(bend, &unfolding(name, bend, development, values)?, values)?,
            mirrored: recipe.faces[&bend.from].mirrored,
        })
    };
    let asked: Vec<Option<FoldLine>> = lines.iter().map(asked).collect();
    let mut asked: Vec<FoldLine> = asked.into_iter().collect::<Option<_>>()?;
    if !values.findings.is_empty() {
        return None;
    }
    let (mut all, mut folded) = (Vec::new(), Vec::new());
    let mut whole = true;
    for face in faces {
        let own: Vec<FoldLine> = asked.extract_if(.., |a| a.bend.from == face.name).collect();
        if own.is_empty() {
            all.push(face);
        } else if let Some((faces, bends)) = across(recipe, &face, &own, values) {
            all.extend(faces);
            folded.extend(bends);
        } else {
            whole = false;
            if values.findings.is_empty() {
                let headline = format!("the fold lines of face `{}` cannot be computed", face.name);
                refuse(values, own[0].bend.span, headline, "move one of them by 0.01 mm or more");
            }
        }
    }
    whole.then_some((all, folded))
}

/// The faces and bends of a face with fold lines, whose places are in its drawing.
fn across(
    recipe: &Recipe,
    face: &Face,
    own: &[FoldLine],
    values: &Values,
) -> Option<(Vec<Face>, Vec<Folded>)> {
    in_face(&recipe.faces[&face.name], values, |values| fold_line::across(face, own, values))
}

/// The bend that a fold line makes.
fn folded_bend(
    folded: &Folded,
    bend: &recipe::Bend,
    faces: &[Face],
    values: &Values,
    development: &Development,
) -> Option<Bend> {
    let unfolding = unfolding(&folded.name, bend, development, values)?;
    let index = |name: &String| faces.iter().position(|face| face.name == *name);
    let [from, to] = folded.faces.each_ref().map(index);
    Some(Bend {
        name: folded.name.clone(),
        from: from?,
        edge: folded.edge,
        to: to?,
        bend: made(bend, &unfolding, values)?,
        by: unfolding.by,
        up: bend.up,
        measured: Measured::Tangent,
        aside: 0.0,
        relief: Relief { shape: ReliefShape::None, width: 0.0, depth: 0.0 },
        corner: bend.corner,
        gap: None,
        ticks: Ticks::Unsaid,
        zone: Some(folded.zone.clone()),
        span: bend.span,
        depends: depends(bend),
    })
}

fn depends(bend: &recipe::Bend) -> Vec<String> {
    let names = bend.radius.iter().flat_map(|e| e.formula.names());
    names.map(str::to_owned).collect()
}

/// The faces that no bend carries. All but the first must be declared separate plates.
fn roots(recipe: &Recipe, faces: &[Face], bends: &[Bend], values: &Values) -> Vec<usize> {
    let hangs = |i: usize| bends.iter().any(|b| b.to == i);
    let roots: Vec<usize> = (0..faces.len()).filter(|i| !hangs(*i)).collect();
    for root in roots.iter().skip(1) {
        let face = &recipe.faces[&faces[*root].name];
        if face.pieces.is_none() {
            let headline = format!("face `{}` is carried by no bend", faces[*root].name);
            values.findings.add(
                Finding::stop("bend-tree", headline).at(face.span, "").help(
                    "add a `[bend.NAME]` that carries it, or `pieces = 1` for a separate plate",
                ),
            );
        }
    }
    roots
}

/// The faces carried by a root, itself first, and the bends between them counted again.
fn grown(root: usize, bends: &[Bend]) -> (Vec<usize>, Vec<Bend>) {
    let mut members = vec![root];
    let mut own = Vec::new();
    let mut i = 0;
    while i < members.len() {
        let standing = members[i];
        for bend in bends.iter().filter(|b| b.from == standing) {
            if !members.contains(&bend.to) {
                members.push(bend.to);
                own.push(Bend { from: i, to: members.len() - 1, ..bend.clone() });
            }
        }
        i += 1;
    }
    (members, own)
}

fn one_bend(
    name: &str,
    bend: &recipe::Bend,
    faces: &[Face],
    values: &Values,
    development: &Development,
) -> Option<Bend> {
    let (from, edge, to) = joined(name, bend, faces, values)?;
    let unfolding = unfolding(name, bend, development, values)?;
    let made = made(bend, &unfolding, values)?;
    let (relief, gap, aside) = relief::build(name, bend, &made, development.min_slot, values)?;
    Some(Bend {
        name: name.to_owned(),
        from,
        edge,
        to,
        bend: made,
        by: unfolding.by,
        up: bend.up,
        measured: bend.measured,
        aside,
        relief,
        corner: bend.corner,
        gap,
        ticks: Ticks::Unsaid,
        zone: None,
        span: bend.span,
        depends: depends(bend),
    })
}

/// The face a bend starts from, the edge in it, and the face it carries, by their indices.
fn joined(
    name: &str,
    bend: &recipe::Bend,
    faces: &[Face],
    values: &Values,
) -> Option<(usize, usize, usize)> {
    // Of the face it is on its edge is named as well.
    let face = |wanted: &str, span: Span, edge: &str| {
        let found = faces.iter().position(|f| f.name == wanted);
        if found.is_none() {
            let names: Vec<&str> = faces.iter().map(|f| f.name.as_str()).collect();
            not_there(name, wanted, span, edge, &names, values);
        }
        found
    };
    let on = format!(".{}", bend.edge);
    let (from, to) = (face(&bend.from, bend.on_span, &on), face(&bend.to, bend.to_span, ""));
    let (from, to) = (from?, to?);
    match only_edge(&faces[from].edges, &faces[from].arcs, &bend.edge) {
        Ok(edge) => Some((from, edge, to)),
        Err(error) => {
            no_edge(bend, &faces[from], error, values);
            None
        }
    }
}

/// Reports that a bend starts from a face that does not exist.
pub(super) fn no_face(
    name: &str,
    bend: &recipe::Bend,
    faces: &IndexMap<String, recipe::Face>,
    values: &Values,
) {
    let names: Vec<&str> = faces.keys().map(String::as_str).collect();
    not_there(name, &bend.from, bend.on_span, &format!(".{}", bend.edge), &names, values);
}

/// Reports that a bend names a face that is not among these; `edge` is the text behind its name.
fn not_there(bend: &str, wanted: &str, span: Span, edge: &str, names: &[&str], values: &Values) {
    let help = match nearest(wanted, names.iter().copied()).filter(|near| *near != wanted) {
        Some(near) => format!("write `{near}{edge}`"),
        None => instead(wanted, names, "choose from"),
    };
    let headline = format!("bend `{bend}` names a face `{wanted}` that is not there");
    refuse(values, span, headline, &help);
}

/// Reports that a face has no such edge for a bend: the words and the remedy of `only_edge`.
pub(super) fn no_edge(
    bend: &recipe::Bend,
    face: &Face,
    (words, mut help): (String, String),
    values: &Values,
) {
    let names = || face.edges.iter().map(|edge| edge.name.as_str());
    if let Some(near) = nearest(&bend.edge, names()).filter(|near| *near != bend.edge) {
        help = format!("write `{}.{near}`", bend.from);
    }
    if names().any(|name| name == bend.edge) {
        help += "; a bend on an edge cannot cross an opening, but each piece may carry a flange by a \
                 bend of its own";
    }
    refuse(values, bend.on_span, format!("face `{}`: {words}", bend.from), &help);
}

fn refuse(values: &Values, span: Span, headline: String, help: &str) {
    values.findings.add(Finding::stop("bend", headline).at(span, "").help(help));
}
