//! What is drawn, sorted by what its layer means.

use crate::dxf_in::CUT;
use crate::dxf_in::DxfError;
use crate::dxf_in::same_layer;
use crate::geom::Edge;
use crate::geom::JOIN;
use crate::geom::Point;
use crate::geom::joined;
use crate::geom::without_doubles;
use crate::num::on_grid;
use crate::outline_in::found::Found;
use crate::outline_in::found::MAX_EDGES;
use crate::outline_in::found::OutlineError;
use crate::outline_in::found::Use;
use crate::outline_in::found::Wish;
use crate::outline_in::found::place;
use crate::sketch;
use crate::sketch::Item;
use crate::sketch::What;
use indexmap::IndexMap;

/// The boundary of a filled area that lies on drawn lines this near, mm, is theirs. Our choice:
/// both are fitted to curves by themselves.
const OVER: f64 = 2.0 * sketch::CLOSE + JOIN;

/// Sorts what a file shows; one unit of it is so many mm.
pub(super) fn sorted(items: &[Item], mm: f64, wish: &Wish) -> Result<Found, OutlineError> {
    known(items, wish)?;
    let only = only_layer(items, wish);
    let mut found = Found::default();
    let mut strange: IndexMap<String, (usize, String)> = IndexMap::new();
    let mut fills: Vec<&Item> = Vec::new();
    for item in items {
        let of = match wish.layers.is_empty() {
            false => meaning(item, wish)?,
            true if only.is_some_and(|only| !same_layer(&item.layer, only)) => {
                found.elsewhere += 1;
                continue;
            }
            true => Use::Cut,
        };
        let mut odd = |words: String| {
            strange.entry(words).or_insert_with(|| (0, spot(item))).0 += 1;
        };
        match (&item.what, of) {
            (_, Use::Nothing) => {}
            (What::Idle(_), _) => *found.passed.entry(item.kind.clone()).or_default() += 1,
            (What::Hidden(what), _) => *found.hidden.entry(what.clone()).or_default() += 1,
            (What::Strange(words), _) => odd(words.clone()),
            (What::Drawn(_), Use::Cut) if item.dashes.is_some() => {
                let dashes = item.dashes.as_deref().unwrap_or_default();
                odd(format!("{} in line type {dashes}", item.kind));
            }
            (What::Fill(_), _) => fills.push(item),
            (What::Drawn(courses), of) => {
                let (edges, off) = sketch::edges(courses, mm);
                found.off = found.off.max(off);
                add(&mut found, of, edges, item)?;
            }
        }
    }
    refuse(strange)?;
    filled(&mut found, &fills, mm, wish)?;
    if found.cut.is_empty() && !found.hidden.is_empty() {
        return Err(DxfError::Hidden(found.hidden).into());
    }
    // Each is compared with its neighbours: a picture is not worked on.
    if found.cut.len() <= MAX_EDGES {
        (found.cut, found.doubled) = without_doubles(&found.cut, JOIN);
        found.joined = joined(&found.cut, JOIN);
    }
    let middle = |e: &Edge| e.from.midpoint(e.to);
    let key = |e: &Edge| [on_grid(middle(e).y), on_grid(middle(e).x)];
    found.bends.sort_by(|a, b| key(a).partial_cmp(&key(b)).unwrap_or(std::cmp::Ordering::Equal));
    Ok(found)
}

/// The only layer that is read, where no map says what each means: the one that is named, else
/// `CUT` where something is seen on it.
pub(super) fn only_layer<'a>(items: &[Item], wish: &Wish<'a>) -> Option<&'a str> {
    if !wish.layers.is_empty() {
        return None;
    }
    let has_cut = || items.iter().any(|i| is_seen(i) && same_layer(&i.layer, CUT));
    wish.layer.or_else(|| has_cut().then_some(CUT))
}

fn is_seen(item: &Item) -> bool {
    !matches!(item.what, What::Hidden(_))
}

/// Refuses a layer that was given and does not exist.
fn known(items: &[Item], wish: &Wish) -> Result<(), OutlineError> {
    let named = wish.layers.iter().map(|(name, _)| *name).filter(|name| *name != "*");
    for wanted in wish.layer.into_iter().chain(named) {
        if !items.iter().any(|item| same_layer(&item.layer, wanted)) {
            let mut known: Vec<String> =
                items.iter().filter(|i| is_seen(i)).map(|item| item.layer.clone()).collect();
            known.sort();
            known.dedup();
            return Err(OutlineError::NoLayer { wanted: wanted.to_owned(), known });
        }
    }
    Ok(())
}

/// What the layer of an item means, by the map.
fn meaning(item: &Item, wish: &Wish) -> Result<Use, OutlineError> {
    let own = wish.layers.iter().find(|(name, _)| same_layer(name, &item.layer));
    match own.or_else(|| wish.layers.iter().find(|(name, _)| *name == "*")) {
        Some((_, of)) => Ok(*of),
        None if matches!(item.what, What::Idle(_) | What::Hidden(_)) => Ok(Use::Cut),
        None => Err(OutlineError::Unsaid(item.layer.clone())),
    }
}

fn spot(item: &Item) -> String {
    format!("layer `{}`, {}", item.layer, item.place)
}

fn refuse(strange: IndexMap<String, (usize, String)>) -> Result<(), OutlineError> {
    if strange.is_empty() {
        return Ok(());
    }
    let several = strange.len() > 1 || strange.values().any(|(count, _)| *count > 1);
    let words: Vec<String> = strange
        .iter()
        .map(|(kind, (count, at))| match count {
            1 => format!("1 {kind} ({at})"),
            count => format!("{count} {kind} (the first: {at})"),
        })
        .collect();
    let verb = if several { "are" } else { "is" };
    Err(OutlineError::Kinds { words: words.join(", "), verb })
}

fn add(found: &mut Found, of: Use, edges: Vec<Edge>, item: &Item) -> Result<(), OutlineError> {
    match of {
        Use::Cut => found.cut.extend(edges),
        Use::Mark => found.marks.push(edges),
        Use::Bend => {
            let lines = straight(&edges).ok_or_else(|| {
                let ends = [edges.first().map(|e| e.from), edges.last().map(|e| e.to)];
                let [from, to] = ends.map(|p| place(p.unwrap_or(Point::ZERO)));
                let (kind, layer, place) =
                    (item.kind.clone(), item.layer.clone(), item.place.clone());
                OutlineError::Crooked { kind, layer, place, from, to }
            })?;
            for bend in lines {
                let same = |other: &Edge| near(other.from, bend.from) && near(other.to, bend.to);
                if found.bends.iter().any(same) {
                    found.bends_doubled.push((bend.from, bend.to));
                } else {
                    found.bends.push(bend);
                }
            }
        }
        Use::Nothing => {}
    }
    Ok(())
}

/// Whether two ends are one.
fn near(a: Point, b: Point) -> bool {
    (a - b).hypot() <= JOIN
}

/// The straight lines that the edges of an item are, each to the right, or up; pieces in line with
/// one another that meet are one. `None` where a row of edges is not straight.
pub(super) fn straight(edges: &[Edge]) -> Option<Vec<Edge>> {
    let rows = edges.chunk_by(|a, b| near(a.to, b.from));
    let mut lines: Vec<Edge> = Vec::new();
    for row in rows {
        let mut line = one_line(row)?;
        while let Some((i, both)) =
            lines.iter().enumerate().find_map(|(i, other)| Some((i, together(other, &line)?)))
        {
            lines.swap_remove(i);
            line = both;
        }
        lines.push(line);
    }
    (!lines.is_empty()).then_some(lines)
}

/// Two lines in line with one another that meet, as one.
fn together(a: &Edge, b: &Edge) -> Option<Edge> {
    if near(a.to, b.from) {
        one_line(&[*a, *b])
    } else if near(b.to, a.from) {
        one_line(&[*b, *a])
    } else {
        None
    }
}

/// The one line that edges in a row are.
fn one_line(edges: &[Edge]) -> Option<Edge> {
    let (first, last) = (edges.first()?, edges.last()?);
    let whole = Edge::line(first.from, last.to);
    let along = whole.to - whole.from;
    let on = |p: Point| along.cross(p - whole.from).abs() <= JOIN * along.hypot();
    let is_line = along.hypot() > JOIN && edges.iter().all(|e| e.is_line() && on(e.to));
    // It runs to the right, or up.
    let is_back = if along.x.abs() <= JOIN { along.y < 0.0 } else { along.x < 0.0 };
    is_line.then_some(if is_back { whole.reversed() } else { whole })
}

/// The boundaries of filled areas, except what of them lies on drawn lines.
fn filled(found: &mut Found, fills: &[&Item], mm: f64, wish: &Wish) -> Result<(), OutlineError> {
    let drawn = found.cut.clone();
    let on = |p: Point| drawn.iter().any(|e| (e.nearest(p) - p).hypot() <= OVER);
    let over = |e: &Edge| [0.0, 0.25, 0.5, 0.75, 1.0].iter().all(|t| on(e.point_at(*t)));
    for item in fills {
        let What::Fill(courses) = &item.what else { continue };
        let (edges, off) = sketch::edges(courses, mm);
        let of = if wish.layers.is_empty() { Use::Cut } else { meaning(item, wish)? };
        if of == Use::Cut && edges.iter().all(over) {
            *found.passed.entry(format!("{} within its outline", item.kind)).or_default() += 1;
            continue;
        }
        found.off = found.off.max(off);
        add(found, of, edges, item)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edges(ends: &[[f64; 4]]) -> Vec<Edge> {
        let edge = |[a, b, c, d]: &[f64; 4]| Edge::line(Point::new(*a, *b), Point::new(*c, *d));
        ends.iter().map(edge).collect()
    }

    #[test]
    fn the_straight_rows_of_an_item_are_lines_and_pieces_that_meet_are_one() {
        let of = |ends: &[[f64; 4]]| straight(&edges(ends));
        let one = Some(edges(&[[50.0, 0.0, 50.0, 60.0]]));
        let row = [[50.0, 0.0, 50.0, 20.0], [50.0, 20.0, 50.0, 40.0], [50.0, 40.0, 50.0, 60.0]];
        assert_eq!(of(&row), one);
        assert_eq!(of(&[row[2], row[0], row[1]]), one);
        // Three lines of one path: one of them crosses the others.
        let apart = [[20.0, 0.0, 20.0, 60.0], [0.0, 30.0, 99.0, 30.0], [80.0, 60.0, 80.0, 0.0]];
        let upward = [apart[0], apart[1], [80.0, 0.0, 80.0, 60.0]];
        assert_eq!(of(&apart), Some(edges(&upward)));
        // A gap stays a gap, a corner is no line, nor is nothing.
        assert_eq!(of(&[row[0], row[2]]).map(|lines| lines.len()), Some(2));
        assert_eq!(of(&[[0.0, 0.0, 9.0, 0.0], [9.0, 0.0, 9.0, 9.0]]), None);
        assert_eq!(of(&[]), None);
    }
}
