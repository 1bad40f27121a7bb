//! A sheet with everything on it, in the order in which it is cut.

use crate::draw::flat::bend_lines;
use crate::draw::flat::marks;
use crate::draw::flat::note;
use crate::draw::label;
use crate::draw::label::Spot;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::job::Job;
use crate::place;
use crate::place::NestedSheet;
use crate::route::Cut;
use crate::solve::Solved;
use crate::write::Drawing;
use crate::write::Layer;
use crate::write::Stroke;
use rayon::prelude::*;
use std::collections::HashMap;

/// Where the names of parts go, from the origin of each part, once for each of its orientations.
#[derive(Debug, Default)]
pub(crate) struct Spots(HashMap<Key, Spot>);

/// A part, whether it is mirrored, and the bits of its rotation in degrees.
type Key = (usize, bool, u64);

fn key((part, place): &(usize, Place)) -> Key {
    (*part, place.mirrored, place.rotation.degrees().to_bits())
}

impl Spots {
    /// On all the pieces of some sheets.
    pub(crate) fn of<'a>(solved: &[Solved], sheets: impl Iterator<Item = &'a NestedSheet>) -> Self {
        let pieces = sheets.flat_map(|sheet| &sheet.placed);
        let once: HashMap<Key, &(usize, Place)> = pieces.map(|piece| (key(piece), piece)).collect();
        let spot = |(key, (part, place)): (Key, &(usize, Place))| {
            let Solved { flat, name, .. } = &solved[*part];
            let region = flat.region.moved(&Place { shift: Vec2::ZERO, ..*place });
            (key, label::spot(&region, name.chars().count()))
        };
        Self(once.into_par_iter().map(spot).collect())
    }

    /// On a piece of one of those sheets.
    fn on(&self, piece: &(usize, Place)) -> Option<Spot> {
        let shift = piece.1.shift;
        self.0.get(&key(piece)).map(|spot| Spot { at: spot.at + shift, ..*spot })
    }
}

/// The cuts of a sheet in order; what common cuts leave of an outline, and an outline with
/// bridges, as open chains.
fn cuts(drawing: &mut Drawing, job: &Job, solved: &[Solved], nested: &NestedSheet) {
    let pieces = nested.pieces(solved);
    for cut in &nested.route.cuts {
        let (layer, strokes) = match *cut {
            Cut::Common(i) => {
                let [from, to] = nested.route.common_cuts[i];
                (Layer::CutCommon, vec![Stroke::Line(from, to)])
            }
            Cut::Hole { piece, hole } => {
                (Layer::Cut, vec![Stroke::Outline(pieces[piece].holes()[hole].clone())])
            }
            Cut::Outline(piece) => {
                let outline = pieces[piece].outer();
                let chains = nested.open_chains(job, solved, piece, outline);
                let whole = || vec![Stroke::Outline(outline.clone())];
                let open = |chains: Vec<_>| chains.into_iter().map(Stroke::Path).collect();
                (Layer::Cut, chains.map_or_else(whole, open))
            }
        };
        for stroke in strokes {
            drawing.draw(layer, stroke);
        }
    }
}

/// A sheet with everything on it, in the order it is to be cut; its edge and the names, at their
/// `spots`, are notes.
pub(crate) fn sheet(job: &Job, solved: &[Solved], nested: &NestedSheet, spots: &Spots) -> Drawing {
    let stock = nested.stock(job);
    let mut drawing = Drawing::new(nested.name.clone(), job.units);
    for edge in stock.sheet.region.outlines().chain(&stock.sheet.keep_outs) {
        drawing.draw(Layer::Note, Stroke::Outline(edge.clone()));
    }
    // What is etched comes while the sheet is whole, then all cuts in their order.
    for (part, place) in nested.in_order() {
        marks(&mut drawing, &solved[*part], place);
    }
    cuts(&mut drawing, job, solved, nested);
    for piece in nested.in_order() {
        let solved = &solved[piece.0];
        bend_lines(&mut drawing, solved, &piece.1);
        if let Some(Spot { at, height }) = spots.on(piece) {
            note(&mut drawing, at, height, solved.name.clone());
        }
    }
    let text = format!(
        "{}: {} × {}",
        nested.name,
        job.units.size(stock.length()),
        job.units.size(stock.width())
    );
    note(&mut drawing, Point::new(0.0, -20.0), 10.0, text);
    if !nested.route.common_cuts.is_empty() {
        for (i, text) in place::NOTES.iter().enumerate() {
            let at = Point::new(0.0, -35.0 - 12.0 * i as f64);
            note(&mut drawing, at, 7.0, (*text).to_owned());
        }
    }
    drawing
}
