//! Renames a point of the machine: measurements from it, and entries placed at it, follow.

use crate::serve::renamed::renaming::Renaming;
use crate::serve::renamed::renaming::each;
use crate::serve::renamed::renaming::each_in;
use crate::serve::text::read;
use std::ops::Range;
use toml_edit::DocumentMut;
use toml_edit::Item;
use toml_edit::TableLike;

/// The keys of links, tubes and obstacles under which points are named.
const OF_BODIES: [&str; 7] = ["from", "to", "travel", "through", "at", "axis", "corners"];

/// Keys of points that position a part or a box.
const OF_PLANES: [&str; 4] = ["origin", "x", "side", "holes"];

/// Those of a point.
const OF_POINTS: [&str; 5] = ["near", "along", "over", "mirror", "laid"];

/// Keys of distances and directions, by the point they start from.
const BY_POINT: [&str; 2] = ["from", "direction"];

/// Renames a point wherever it is a value.
pub(super) fn renamed(renaming: &mut Renaming, document: &mut DocumentMut) {
    renaming.key(document.as_table_mut(), "centre_plane");
    for kind in ["link", "tube", "obstacle"] {
        each(document, kind, &mut |of| {
            OF_BODIES.into_iter().for_each(|key| renaming.key(of, key));
        });
    }
    for kind in ["part", "family", "obstacle"] {
        each(document, kind, &mut |of| {
            each_in(of.get_mut("on"), &mut |on| {
                OF_PLANES.into_iter().for_each(|key| renaming.key(on, key));
            });
        });
    }
    let points = document.get_mut("points").and_then(Item::as_table_like_mut);
    for (_, item) in points.into_iter().flat_map(TableLike::iter_mut) {
        let Some(point) = item.as_table_like_mut() else { continue };
        OF_POINTS.into_iter().for_each(|key| renaming.key(point, key));
        each_in(point.get_mut("left"), &mut |left| renaming.key(left, "of"));
        each_in(point.get_mut("tangent"), &mut |line| {
            ["from", "disc"].into_iter().for_each(|key| renaming.key(line, key));
        });
    }
}

/// A text in which a point is renamed wherever it is a key: its own, and those of points measured
/// from it.
///
/// # Errors
/// When the text cannot be read.
pub(super) fn with_key(text: &str, from: &str, to: &str) -> Result<String, String> {
    let document = read(text)?;
    let Some(points) = document.get("points").and_then(Item::as_table_like) else {
        return Ok(text.to_owned());
    };
    let key = |table: &dyn TableLike| table.get_key_value(from).and_then(|(key, _)| key.span());
    let inner = points
        .iter()
        .filter_map(|(_, item)| item.as_table_like())
        .flat_map(|point| BY_POINT.into_iter().filter_map(|key| point.get(key)?.as_table_like()));
    let mut places: Vec<Range<usize>> = inner.filter_map(key).chain(key(points)).collect();
    places.sort_by_key(|place| std::cmp::Reverse(place.start));
    let mut text = text.to_owned();
    for place in places {
        text.replace_range(place, to);
    }
    Ok(text)
}

#[cfg(test)]
mod tests {
    use crate::serve::renamed::Named;
    use crate::serve::renamed::renamed;

    const JOB: &str = "centre_plane = [\"a\", \"b\", # of the row\n  \"c\"]\n\n[points]\na    = [\"0 mm\", \"1 mm\", \"2 mm\"] # the corner\nab   = { from = { a = \"5 mm\", b = \"6 mm\" }, near = \"a\" } # taped\nmid  = { along = [\"a\", \"b\"], by = \"3 mm\" }\nleft = { mirror = \"a\", over = [\"ab\", \"b\", \"a\"] }\n\n[[part]]\nname = \"a\"\nfrom = \"#a\"\non   = [ { origin = \"a\", x = \"b\", side = \"c\", face = \"a\" } ]\n\n[[link]]\nfrom   = \"a\" # pin\nto     = \"b\"\ntravel = [\"a\", \"ab\"]\n\n[[obstacle]]\nname    = \"a\"\ncorners = [\"a\", \"b\", \"c\"]\n";

    #[test]
    fn a_point_follows_wherever_it_is_named() {
        let wanted = JOB
            .replace("[\"a\", \"b\"", "[\"rail\", \"b\"")
            .replace("\na    =", "\nrail    =")
            .replace("{ a =", "{ rail =")
            .replace("near = \"a\"", "near = \"rail\"")
            .replace("mirror = \"a\"", "mirror = \"rail\"")
            .replace("\"b\", \"a\"]", "\"b\", \"rail\"]")
            .replace("origin = \"a\"", "origin = \"rail\"")
            .replace("from   = \"a\"", "from   = \"rail\"")
            .replace("[\"a\", \"ab\"]", "[\"rail\", \"ab\"]");
        assert_eq!(renamed(JOB, Named::Point, "a", "rail").expect("read"), wanted);
        let back = renamed(&wanted, Named::Point, "rail", "a").expect("read");
        assert_eq!(back, JOB, "and back again");
        let tables = "[points.a]\nmirror = \"b\"\n\n[points.\"b\"]\nfrom.a = \"2 mm\"\n";
        let wanted = "[points.a]\nmirror = \"c\"\n\n[points.c]\nfrom.a = \"2 mm\"\n";
        assert_eq!(renamed(tables, Named::Point, "b", "c").expect("read"), wanted);
    }
}
