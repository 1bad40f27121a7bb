//! The allowable load of a section, and how its ligaments share the forces in it.
//!
//! A ligament that is separated from the next by an opening carries its share of the normal force
//! and of the bending by its stiffness. Shear along the plate, and the couple of shears by which a
//! section with openings resists torsion, bend the ligaments over the length of the opening, with
//! the point of contraflexure at its centre: a Vierendeel frame. Holes that bolts or pins fill do
//! not divide a section; they are deducted from it in bending.

use crate::num;
use crate::strength::flexure;
use crate::strength::ligament::Cut;
use crate::strength::ligament::Ligament;
use crate::strength::limit::Forces;
use crate::strength::limit::Metal;
use crate::strength::method::Method;
use crate::strength::plate;

/// E over G of steel and of aluminium, Poisson's ratio 0.3.
const SHEAR_MODULUS: f64 = 2.6;
/// Shear deflection of a rectangle, over that of even shear.
const SHEAR_SHAPE: f64 = 1.2;
/// A share of a limit below this is none.
const NOTHING: f64 = 1e-9;

/// Steps of Newton's method, each of which doubles the figures.
const NEWTON: usize = 12;

/// Steps in which an interval is halved until it is nothing.
const HALVED: usize = 50;

/// A lever of less than this bends nothing, mm.
const LEVER: f64 = 1e-6;

/// The data common to the sections of a load path.
#[derive(Clone, Copy, Debug)]
pub(super) struct Terms {
    /// mm.
    pub(super) thickness: f64,
    pub(super) metal: Metal,
    pub(super) method: Method,
    /// From the load to the support, in the flat, mm: for buckling and tipping.
    pub(super) length: f64,
    /// No more of a section than this is pushed, mm.
    pub(super) pushed: f64,
    /// Whether it is cut at a slant across the path: it counts as a plastic section then.
    pub(super) oblique: bool,
}

/// The ligament that governs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Worst {
    /// Which.
    pub(super) ligament: usize,
    /// Its share of the forces.
    pub(super) share: Forces,
    /// The allowable value of each alone.
    pub(super) allowable: Forces,
    /// How many times what acts is allowed.
    pub(super) times: f64,
    /// The clause, by the force or moment.
    pub(super) rule: &'static str,
}

/// No part of a section counts, or less than the thickness of the plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Missed;

/// A ligament in figures, mm.
struct Piece {
    gross: f64,
    net: f64,
    centre: f64,
    /// For bending in plane, for a thickness of 1 mm.
    inertia: f64,
    elastic: f64,
    plastic: f64,
    /// What counts of it for bending out of the plane.
    spread: f64,
}

/// The centroid of the metal of a section along its line, mm.
pub(super) fn centre(cut: &Cut) -> f64 {
    let pieces = || cut.ligaments.iter().flat_map(Ligament::pieces);
    let area: f64 = pieces().map(|(a, b)| b - a).sum();
    pieces().map(|(a, b)| (b - a) * (a + b) / 2.0).sum::<f64>() / area
}

/// The allowable load of a section under these forces; `spreads` are the stretches of the line to
/// each of which a force normal to the plate spreads. `None` when no force acts in it.
///
/// # Errors
/// When it is bent out of its plane where the load does not spread.
pub(super) fn worst(
    cut: &Cut,
    forces: &Forces,
    spreads: &[Vec<(f64, f64)>],
    terms: &Terms,
) -> Result<Option<Worst>, Missed> {
    let pieces: Vec<Piece> = cut.ligaments.iter().map(|l| piece(l, spreads)).collect();
    let counted: f64 = pieces.iter().map(|p| p.spread).sum();
    let net: f64 = pieces.iter().map(|p| p.net).sum();
    let is_bent = forces.bend_out.abs() > LEVER;
    if is_bent && counted < terms.thickness.min(net) {
        return Err(Missed);
    }
    let shares = shares(cut, &pieces, forces, terms);
    let judged = pieces.iter().zip(shares).enumerate();
    Ok(judged
        .filter_map(|(i, (piece, share))| one(i, piece, share, terms))
        .min_by(|a, b| a.times.total_cmp(&b.times)))
}

/// How much of a section counts for bending out of its plane, mm.
fn counted(cut: &Cut, spreads: &[Vec<(f64, f64)>]) -> f64 {
    cut.ligaments.iter().map(|l| piece(l, spreads).spread).sum()
}

/// Lets a force square to the plate spread as much farther as it takes for `min` mm of a section
/// to count, or for all of it.
pub(super) fn spread_on(cut: &Cut, spreads: &mut Vec<Vec<(f64, f64)>>, min: f64) {
    spreads.retain(|spread| !spread.is_empty());
    let wider = |by: f64| -> Vec<Vec<(f64, f64)>> {
        let stretch = |s: &(f64, f64)| (s.0 - by, s.1 + by);
        spreads.iter().map(|spread| spread.iter().map(stretch).collect()).collect()
    };
    let wanted = min.min(counted(cut, &[]));
    if counted(cut, spreads) >= wanted {
        return;
    }
    let ends = cut.ends();
    let off = |s: &(f64, f64)| (s.0 - ends[1]).max(ends[0] - s.1).max(0.0);
    let far = spreads.iter().flatten().map(off).fold(0.0, f64::max);
    let halve = |(low, high): (f64, f64), _| {
        let by = f64::midpoint(low, high);
        if counted(cut, &wider(by)) < wanted { (by, high) } else { (low, by) }
    };
    let (_, by) = (0..HALVED).fold((0.0, far + ends[1] - ends[0]), halve);
    *spreads = wider(by);
}

fn piece(ligament: &Ligament, spreads: &[Vec<(f64, f64)>]) -> Piece {
    let pieces = ligament.pieces();
    let width = |(a, b): &(f64, f64)| b - a;
    let net: f64 = pieces.iter().map(width).sum();
    let centre = pieces.iter().map(|p| width(p) * (p.0 + p.1) / 2.0).sum::<f64>() / net;
    let cube = |x: f64| x * x * x;
    let inertia: f64 =
        pieces.iter().map(|(a, b)| (cube(b - centre) - cube(a - centre)) / 3.0).sum();
    let farthest = (ligament.to - centre).max(centre - ligament.from);
    // Where half of the metal is on each side.
    let mut left = net / 2.0;
    let mut half = ligament.from;
    for (a, b) in &pieces {
        if left <= b - a {
            half = a + left;
            break;
        }
        left -= b - a;
    }
    let square = |x: f64| (x - half) * (x - half) / 2.0;
    let plastic = pieces.iter().map(|(a, b)| match *a < half && *b > half {
        true => square(*b) + square(*a),
        false => (square(*b) - square(*a)).abs(),
    });
    let plastic = plastic.sum();
    let spread = spreads.iter().fold(pieces, |metal, spread| common(&metal, spread));
    Piece {
        gross: ligament.to - ligament.from,
        net,
        centre,
        inertia,
        elastic: inertia / farthest,
        plastic,
        spread: spread.iter().map(width).sum(),
    }
}

/// What two rows of stretches have in common.
fn common(some: &[(f64, f64)], others: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let pairs = some.iter().flat_map(|a| others.iter().map(move |b| (a, b)));
    let both = pairs.map(|(a, b)| (a.0.max(b.0), a.1.min(b.1))).filter(|(a, b)| b > a);
    // Where two of the others overlap it counts once.
    let mut both: Vec<(f64, f64)> = both.collect();
    both.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut joined: Vec<(f64, f64)> = Vec::new();
    for (a, b) in both {
        match joined.last_mut() {
            Some(last) if a <= last.1 => last.1 = last.1.max(b),
            _ => joined.push((a, b)),
        }
    }
    joined
}

fn shares(cut: &Cut, pieces: &[Piece], forces: &Forces, terms: &Terms) -> Vec<Forces> {
    let (Some((low, high)), true) = (cut.openings(), pieces.len() > 1) else {
        return vec![*forces; pieces.len().min(1)];
    };
    let sum = |of: &dyn Fn(&Piece) -> f64| pieces.iter().map(of).sum::<f64>();
    let (length, past) = ((high - low).max(NOTHING), (low + high) / 2.0);
    let (t, e) = (terms.thickness, terms.metal.elastic);
    let centre = sum(&|p| p.net * p.centre) / sum(&|p| p.net);
    let arm = |p: &Piece| p.centre - centre;
    let area = sum(&|p| p.net);
    let inertia = sum(&|p| p.inertia + p.net * arm(p) * arm(p));
    // In the centre of the opening.
    let bend_in = forces.bend_in - past * forces.shear;
    let stiff = |p: &Piece| {
        1.0 / (length * length * length / (12.0 * e * p.inertia * t)
            + SHEAR_SHAPE * SHEAR_MODULUS * length / (e * p.net * t))
    };
    let turned = sum(&|p| p.net * arm(p) * arm(p));
    let by_shear = 12.0 * e * turned * t * t * t / 12.0 / (length * length * length);
    let by_torsion = e / SHEAR_MODULUS * area * t * t * t / 3.0 / length;
    let couple = by_shear / (by_shear + by_torsion);
    let spread = sum(&|p| p.spread).max(NOTHING);
    let share = |p: &Piece| {
        let shear = forces.shear * stiff(p) / sum(&stiff);
        let lifted = couple * forces.torsion * p.net * arm(p) / turned;
        Forces {
            normal: forces.normal * p.net / area - bend_in * p.net * arm(p) / inertia,
            shear,
            across: forces.across * p.net / area + lifted,
            bend_in: (bend_in * p.inertia / inertia).abs() + (past * shear).abs(),
            bend_out: (forces.bend_out * p.spread / spread).abs() + (past * lifted).abs(),
            torsion: (1.0 - couple) * forces.torsion * p.net / area,
        }
    };
    pieces.iter().map(share).collect()
}

/// The factor on a load of which one part counts linearly and one squared: first · n + (second ·
/// n)² = 1, written so that nothing is lost to rounding.
fn both(first: f64, second: f64) -> f64 {
    2.0 / (first + (first * first + 4.0 * second * second).sqrt())
}

/// The same with the fourth power of a third part: bent · n + (pulled · n)² + (sheared · n)⁴
/// = 1, the plastic section of AISC manual part 9, equation 9-1 (from memory).
fn plastic(bent: f64, pulled: f64, sheared: f64) -> f64 {
    let mut times = both(bent, pulled).min(1.0 / sheared);
    if !times.is_finite() {
        return times;
    }
    // From above to the root of a convex function: no step passes it.
    for _ in 0..NEWTON {
        let (p, v) = (pulled * times, sheared * times);
        let over = bent * times + p * p + v * v * v * v - 1.0;
        let slope = bent + 2.0 * pulled * p + 4.0 * sheared * v * v * v;
        if over <= 0.0 || slope <= 0.0 {
            break;
        }
        times -= over / slope;
    }
    times
}

/// The limit of one ligament.
fn one(ligament: usize, piece: &Piece, share: Forces, terms: &Terms) -> Option<Worst> {
    let Terms { thickness: t, metal, method, length, oblique, pushed: pushed_width } = *terms;
    let yielding = metal.yield_strength / method.yielding();
    let pushed = share.normal < 0.0;
    let width = piece.gross.min(pushed_width);
    let compressed = plate::compression(width, t, length, metal, method);
    let depth = piece.gross;
    let edgeways =
        flexure::edgeways(t, (piece.elastic, piece.plastic), (depth, length), metal, method);
    let sheared = method.sheared() * metal.yield_strength * t / method.yielding_in_shear();
    let (thin, wide) = (t.min(piece.net), t.max(piece.net));
    let twisted = method.sheared() * thin * thin / 2.0 * (wide - thin / 3.0) * yielding;
    let flat = method.modulus(piece.spread * t * t / 6.0, piece.spread * t * t / 4.0);
    let allowable = Forces {
        normal: if pushed { compressed.allowable() } else { yielding * piece.gross * t },
        shear: sheared * piece.gross,
        across: sheared * piece.gross,
        bend_in: edgeways.allowable(),
        bend_out: yielding * flat,
        torsion: twisted,
    };
    let part = |is: f64, max: f64| if is.abs() < NOTHING { 0.0 } else { is.abs() / max };
    let pulled = part(share.normal, allowable.normal);
    let [edge, out] =
        [part(share.bend_in, allowable.bend_in), part(share.bend_out, allowable.bend_out)];
    let direct = pulled + edge + out;
    let shear =
        num::hypot(part(share.shear, allowable.shear), part(share.across, allowable.across));
    let twist = part(share.torsion, allowable.torsion);
    let sideways = shear + twist;
    if direct + sideways == 0.0 {
        return None;
    }
    // At a slant a plastic section: a linear sum would govern a strip that is pulled evenly,
    // or whose side it meets off centre.
    let times = match oblique {
        true => plastic(edge + out, pulled, sideways),
        false => both(direct, sideways),
    };
    // A result that is not a number allows no load: it must not rank above a real limit.
    let times = if times.is_finite() { times } else { 0.0 };
    let acting = [pulled, edge, out, shear, twist].map(|share| share * times > 1e-6);
    let rule = match (method, acting) {
        (Method::Bth1(_), _) => "ASME BTH-1 section 3-2",
        (_, [true, false, false, false, false]) if pushed => compressed.rule,
        (_, [true, false, false, false, false]) => "AISC 360-16 J4-1",
        (_, [false, true, false, false, false]) => edgeways.rule,
        (_, [false, false, true, false, false]) => "AISC 360-16 F11-1",
        (_, [false, false, false, true, false]) => "AISC 360-16 J4-3",
        _ if oblique => "AISC manual part 9, plastic section",
        (_, [_, _, _, false, false]) => "AISC 360-16 H1, linear",
        _ => "AISC 360-16 H1, H3-6",
    };
    Some(Worst { ligament, share, allowable, times, rule })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::geom::Vec2;
    use crate::strength::line::Line;

    const STEEL: Metal =
        Metal { yield_strength: 235.0, tensile_strength: 360.0, elastic: 210_000.0 };

    fn terms() -> Terms {
        let (metal, method) = (STEEL, Method::Aisc360);
        Terms { thickness: 6.0, metal, method, length: 100.0, pushed: 1e3, oblique: false }
    }

    fn cut(ligaments: &[(f64, f64)], gaps: &[(f64, f64)]) -> Cut {
        let of = |(from, to): &(f64, f64)| Ligament { from: *from, to: *to, holes: vec![] };
        Cut {
            line: Line { at: Point::ZERO, toward: Vec2::new(0.0, 1.0) },
            ligaments: ligaments.iter().map(of).collect(),
            gaps: gaps.to_vec(),
        }
    }

    fn near(is: f64, by_hand: f64) {
        assert!((is / by_hand - 1.0).abs() < 1e-6, "{is}, by hand {by_hand}");
    }

    /// 120 × 6 of S235, pulled with 1 N, 45 mm off its centre: 720 · 235 / 1.67 = 101 317 N
    /// and 6 · 120² / 4 · 235 / 1.67 / 45 = 67 545 N; together 1 / (1/101 317 + 1/67 545).
    #[test]
    fn a_plate_pulled_off_its_middle_computed_by_hand() {
        let forces = Forces { normal: 1.0, bend_in: 45.0, ..Forces::default() };
        let section = cut(&[(-60.0, 60.0)], &[]);
        let worst =
            worst(&section, &forces, &[], &Terms { length: 10.0, ..terms() }).unwrap().unwrap();
        near(worst.times, 1.0 / (1.0 / 101_317.365_27 + 1.0 / 67_544.910_18));
        assert_eq!(worst.rule, "AISC 360-16 H1, linear");
    }

    /// Two ligaments of 6 × 6, 27 mm off the centre, 10 mm before the centre of an opening of
    /// 48 mm. 1 N along: half each, bent by 5 N·mm; 58 N·mm in the centre of the opening:
    /// I = 2 · (6³/12 + 6 · 27²) = 8784, so 58 · 6 · 27 / 8784 = 1.069 672 N and
    /// 58 · 18 / 8784 = 0.118 852 N·mm.
    #[test]
    fn an_open_frame_computed_by_hand() {
        let section = cut(&[(-30.0, -24.0), (24.0, 30.0)], &[(-34.0, 14.0)]);
        let forces = Forces { shear: 1.0, bend_in: 48.0, ..Forces::default() };
        let worst = worst(&section, &forces, &[], &terms()).unwrap().unwrap();
        near(worst.share.normal.abs(), 1.069_672_131);
        near(worst.share.shear, 0.5);
        near(worst.share.bend_in, 5.0 + 0.118_852_459);
    }

    /// A hole of 20 in the centre of 60: Z = 2 · 6 · 20 · 20 mm³ in plane, 40 · 6² / 4 out.
    #[test]
    fn holes_are_left_out_of_bending() {
        let mut section = cut(&[(-30.0, 30.0)], &[]);
        section.ligaments[0].holes = vec![(-10.0, 10.0)];
        let terms = Terms { length: 1.0, ..terms() };
        let bent = |forces: Forces| worst(&section, &forces, &[], &terms).unwrap().unwrap().times;
        near(bent(Forces { bend_out: 1.0, ..Forces::default() }), 40.0 * 36.0 / 4.0 * 235.0 / 1.67);
        let elastic = 6.0 * (60.0_f64.powi(3) - 20.0_f64.powi(3)) / 12.0 / 30.0;
        let plastic: f64 = 2.0 * 6.0 * 20.0 * 20.0;
        near(
            bent(Forces { bend_in: 1.0, ..Forces::default() }),
            plastic.min(1.6 * elastic) * 235.0 / 1.67,
        );
    }

    /// 0.5 n + (0.5 n)² + (0.5 n)⁴ = 1 to rounding, and the ends of the rule.
    #[test]
    fn shear_bends_with_the_rest_at_a_slant() {
        let n = plastic(0.5, 0.5, 0.5);
        let h = n / 2.0;
        assert!((h + h * h + h * h * h * h - 1.0).abs() < 1e-12, "{n}");
        assert!(n < both(0.5, 0.5), "shear counts with bending");
        near(plastic(0.25, 0.0, 0.0), 4.0);
        near(plastic(0.0, 0.25, 0.0), 4.0);
        near(plastic(0.0, 0.0, 0.25), 4.0);
    }

    /// A strip that is pulled evenly yields straight across, not at a slant of 20° to 60°: there
    /// cos²θ and sin θ cos θ of its strength act, on 1 / cos θ of its width.
    #[test]
    fn no_slant_governs_a_strip_that_is_pulled_evenly() {
        let across = STEEL.yield_strength * 6.0 * 40.0 / 1.67;
        for degrees in [5.0, 20.0, 45.0, 60.0] {
            let rotation = crate::num::Angle::from_degrees(degrees);
            let half = 20.0 / rotation.cos();
            let forces =
                Forces { normal: rotation.cos(), shear: rotation.sin(), ..Forces::default() };
            let terms = Terms { oblique: true, ..terms() };
            let slanted = worst(&cut(&[(-half, half)], &[]), &forces, &[], &terms);
            assert!(slanted.unwrap().unwrap().times >= across, "{degrees}");
        }
    }

    /// A load that spreads to 2 mm of a section, or past it, counts on as much of it as is wanted.
    #[test]
    fn a_load_spreads_as_far_as_the_plate_is_thick() {
        let section = cut(&[(-20.0, 20.0)], &[]);
        let widened = |spread: (f64, f64), min: f64| {
            let mut spreads = vec![vec![spread], Vec::new()];
            spread_on(&section, &mut spreads, min);
            counted(&section, &spreads)
        };
        near(widened((-1.0, 1.0), 6.0), 6.0);
        near(widened((30.0, 35.0), 6.0), 6.0);
        near(widened((-9.0, 4.0), 6.0), 13.0);
        near(widened((-1.0, 1.0), 60.0), 40.0);
    }

    /// Plastic torsion of 40 × 6: 0.6 · 235 · 6² / 2 · (40 − 2) N·mm.
    #[test]
    fn torsion_computed_by_hand() {
        let section = cut(&[(-20.0, 20.0)], &[]);
        let forces = Forces { torsion: 1.0, ..Forces::default() };
        let worst = worst(&section, &forces, &[], &terms()).unwrap().unwrap();
        near(worst.times, 0.6 * 235.0 * 18.0 * 38.0 / 1.67);
    }
}
