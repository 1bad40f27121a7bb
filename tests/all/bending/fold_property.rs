//! Thousands of random parts unfolded and folded.

use crate::back;
use crate::random;
use crate::random::Rng;
use platewright::diag::Weight;
use platewright::flat;
use platewright::fold;
use platewright::fold::length;
use platewright::fold::minus;
use platewright::num::Angle;
use std::collections::BTreeMap;

/// How many parts are made.
const PARTS: usize = 3300;

/// How many of them must come out: the rest are refused, with words.
const SOUND: usize = 2000;

#[test]
fn random_parts_fold_and_unfold() {
    let mut rng = Rng(6935);
    let mut sound = 0;
    let mut refused: BTreeMap<String, usize> = BTreeMap::new();
    for i in 0..PARTS {
        let part = random::part(&mut rng, 1 + i % 8);
        let flat = match flat::unfold(&part) {
            Ok(flat) => flat,
            Err(findings) => {
                let first = &findings[0];
                assert!(first.weight == Weight::Stop && first.help.is_some(), "{first:?}");
                let names = |w: &&str| !w.contains('`') && !w.contains(char::is_numeric);
                let words: Vec<&str> = first.headline.split(' ').filter(names).collect();
                *refused.entry(words.join(" ")).or_default() += 1;
                continue;
            }
        };
        sound += 1;
        let unbent = fold::fold(&part, &flat, &vec![Angle::ZERO; part.bends.len()]);
        for (face, place) in unbent.faces.iter().zip(&flat.places) {
            for vertex in face.region.outer().vertices() {
                let p = place.apply(vertex.at);
                let lies = face.frame.point(vertex.at, 0.0);
                assert!(length(minus(lies, [p.x, p.y, 0.0])) < 1e-9, "part {i}");
            }
        }
        assert_eq!(fold::clashes(&part, &unbent), [], "part {i} meets itself while it is flat");
        let sheet = flat.region.area() * part.thickness;
        let unbent = unbent.volume(part.thickness);
        assert!((unbent - sheet).abs() < 1e-9 * sheet + 1e-5, "part {i}: {unbent} for {sheet}");
        let solid = fold::fold(&part, &flat, &fold::full(&part));
        let gained = solid.bends.iter().zip(&part.bends).map(|(s, b)| s.area * fold::gain(&b.bend));
        let gained: f64 = gained.sum();
        let volume = solid.volume(part.thickness);
        assert!((volume - sheet - gained).abs() < 1e-9 * sheet + 1e-5, "part {i}");
        let off = back::unfolded(&part, &solid, &flat);
        assert!(off < 1e-6, "part {i} unfolds {off} mm off");
    }
    assert!(sound >= SOUND, "only {sound} of {PARTS} parts came out: {refused:#?}");
}
