//! Pieces of a tool set side by side.

/// A set of pieces.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Set {
    /// All together, mm.
    pub(super) sum: f64,
    /// Each, mm.
    pub(super) widths: Vec<f64>,
}

/// Sums nearer than this are one, mm: many pieces would make more than anybody needs.
const SAME: f64 = 0.01;

/// One set for every sum of widths up to `room`, mm, the narrowest first.
pub(super) fn sets(widths: &[f64], room: f64) -> Vec<Set> {
    let mut sets = vec![Set { sum: 0.0, widths: Vec::new() }];
    for width in widths {
        let more: Vec<Set> = sets
            .iter()
            .filter(|set| set.sum + width <= room + 1e-6)
            .map(|set| Set {
                sum: set.sum + width,
                widths: set.widths.iter().copied().chain([*width]).collect(),
            })
            .collect();
        sets.extend(more);
        // Of two sets alike the one of fewer pieces.
        sets.sort_by(|a, b| a.sum.total_cmp(&b.sum).then(a.widths.len().cmp(&b.widths.len())));
        sets.dedup_by(|a, b| (a.sum - b.sum).abs() < SAME);
    }
    sets
}

/// The sets worth trying on a bend: the widest, the widest that leaves each of some berths
/// at both ends, and the narrowest that is no narrower than `min`, mm.
pub(super) fn candidates(sets: &[Set], bend: f64, min: f64, berths: &[f64]) -> Vec<Set> {
    let fit: Vec<&Set> = sets.iter().filter(|s| s.sum >= min - 1e-9 && s.sum > 0.0).collect();
    let mut found: Vec<Set> = Vec::new();
    let wanted = std::iter::once(0.0).chain(berths.iter().copied());
    let widest =
        |berth: f64| fit.iter().rev().find(|s| s.sum <= bend - 2.0 * berth + 1e-6).copied();
    for set in wanted.filter_map(widest).chain(fit.first().copied()) {
        if !found.contains(set) {
            found.push(set.clone());
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn widest(widths: &[f64], room: f64) -> f64 {
        sets(widths, room).last().unwrap().sum
    }

    #[test]
    fn pieces_are_set_as_wide_as_fits() {
        assert!((widest(&[25.0, 40.0, 50.0, 75.0], 118.0) - 115.0).abs() < 1e-9);
        assert!((widest(&[25.0, 40.0], 24.0)).abs() < 1e-9);
        assert!((widest(&[25.0; 30], 80.0) - 75.0).abs() < 1e-9);
        for set in sets(&[25.0, 40.0, 50.0, 75.0], 118.0) {
            assert!((set.widths.iter().sum::<f64>() - set.sum).abs() < 1e-9);
        }
    }

    #[test]
    fn narrower_sets_are_tried_where_they_leave_a_berth() {
        let sets = sets(&[10.0, 20.0, 40.0, 100.0], 120.0);
        let sums = |berths: &[f64]| -> Vec<f64> {
            candidates(&sets, 120.0, 108.0, berths).iter().map(|s| s.sum).collect()
        };
        assert_eq!(sums(&[1.0, 5.0]), [120.0, 110.0]);
        assert!(candidates(&sets, 120.0, 121.0, &[]).is_empty());
    }
}
