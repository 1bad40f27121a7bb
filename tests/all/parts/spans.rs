//! Rows and grids that fill a span: their number and pitch.

use crate::own;
use platewright::geom::Point;

/// The places of the holes `a` of a plate of 400 by 300 mm.
fn places(pattern: &str) -> Vec<Point> {
    let own = format!(
        "about = \"x\"\n[face.plate]\nblank = [ {{ add = \"rectangle\", width = \"400 mm\", height = \"300 mm\" }} ]\n\
         holes = [ {{ name = \"a\", diameter = \"6 mm\", {pattern} }} ]\n"
    );
    let (solved, found) = own::one(&own);
    assert!(found.is_empty(), "{pattern}: {found:?}");
    solved.part.holes().map(|(_, hole)| hole.at).collect()
}

/// Count and pitch of places in a line along x, whose first and last are even about 0.
fn row(pattern: &str) -> (usize, f64) {
    let places = places(pattern);
    let (first, last) = (places[0].x, places[places.len() - 1].x);
    assert!((first + last).abs() < 1e-9, "{pattern}: {places:?}");
    let pitch = (last - first) / (places.len().max(2) - 1) as f64;
    for (i, at) in places.iter().enumerate() {
        assert!((at.x - first - i as f64 * pitch).abs() < 1e-9, "{pattern}: {places:?}");
    }
    (places.len(), pitch)
}

/// As few as are no further apart than the maximum, as many as are no nearer than the minimum: with
/// one less or one more they would be. Spans that are whole multiples have exactly that pitch.
#[test]
fn a_span_is_filled_by_a_largest_or_a_smallest_pitch() {
    for (span, pitch) in
        [(300.0, 100.0), (300.0, 99.0), (300.0, 101.0), (204.0, 68.0), (350.3, 12.7), (40.0, 60.0)]
    {
        let over =
            |key: &str| row(&format!("row = {{ span = \"{span} mm\", {key} = \"{pitch} mm\" }}"));
        let (few, wide) = over("max_pitch");
        assert!(few >= 2 && wide <= pitch + 1e-9, "{span} by {pitch}: {few}, {wide}");
        let fewer = few == 2 || span / (few as f64 - 2.0) > pitch + 1e-6;
        assert!(fewer, "{span} by {pitch}: {few}");
        let (many, near) = over("min_pitch");
        assert!(many == 1 || near >= pitch - 1e-9, "{span} by {pitch}: {many}, {near}");
        assert!(span / many as f64 + 1e-6 < pitch, "{span} by {pitch}: {many}");
    }
    assert_eq!(row("row = { span = \"204 mm\", max_pitch = \"68 mm\" }").0, 4);
    assert_eq!(row("row = { span = \"204 mm\", min_pitch = \"68 mm\" }").0, 4);
    // Too short for two: one, in its middle.
    assert_eq!(row("row = { span = \"40 mm\", min_pitch = \"60 mm\" }"), (1, 0.0));
}

#[test]
fn a_count_over_a_span_is_that_count_at_its_pitch() {
    for n in [2, 5] {
        let pitch = 200.0 / f64::from(n - 1);
        let over =
            places(&format!("row = {{ count = {n}, span = \"200 mm\" }}, rotate = \"30 deg\""));
        let by = places(&format!(
            "row = {{ count = {n}, pitch = \"{pitch} mm\" }}, rotate = \"30 deg\""
        ));
        assert_eq!(over.len(), by.len());
        assert!(over.iter().zip(&by).all(|(a, b)| (*a - *b).hypot() < 1e-9), "{over:?} {by:?}");
    }
}

#[test]
fn a_grid_fills_both_of_its_spans() {
    let span = "span = [\"200 mm\", \"90 mm\"]";
    for (keys, columns, rows) in [
        ("columns = 5, rows = 4", 5, 4),
        ("max_pitch = [\"50 mm\", \"40 mm\"]", 5, 4),
        ("min_pitch = [\"39 mm\", \"60 mm\"]", 6, 2),
        ("min_pitch = [\"39 mm\", \"91 mm\"]", 6, 1),
    ] {
        let places = places(&format!("grid = {{ {span}, {keys} }}"));
        assert_eq!(places.len(), columns * rows, "{keys}");
        let wide = places.iter().fold(0.0, |w: f64, p| w.max(p.x));
        let high = places.iter().fold(0.0, |h: f64, p| h.max(p.y));
        assert!((wide - 100.0).abs() < 1e-9, "{keys}: {wide}");
        assert!((high - if rows == 1 { 0.0 } else { 45.0 }).abs() < 1e-9, "{keys}: {high}");
    }
}

/// Each edge has as many as its own length requires.
#[test]
fn edges_of_two_lengths_have_their_own_counts() {
    let along = |keys: &str| {
        let keys = format!(
            "along = {{ edge = [\"bottom\", \"right\"], inset = \"10 mm\", ends = \"20 mm\", {keys} }}"
        );
        let places = places(&keys);
        let below = places.iter().filter(|p| (p.y + 140.0).abs() < 1e-9).count();
        (below, places.len() - below)
    };
    // 360 and 260 mm.
    assert_eq!(along("max_pitch = \"100 mm\""), (5, 4));
    assert_eq!(along("min_pitch = \"100 mm\""), (4, 3));
    assert_eq!(along("count = 3"), (3, 3));
}
