//! The purchases of a job: tubes by whole bars, and coating by area.

use crate::bill::bars::Packing;
use crate::bill::bars::pack;
use crate::bill::tubes::Tube;
use crate::job::Job;
use crate::num;
use crate::solve;
use crate::solve::Solved;

/// The tubes of one section on bars.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Bars {
    /// As a person orders it.
    pub(crate) section: String,
    /// Length of a bar, mm.
    pub(crate) length: f64,
    /// Of the saw, mm.
    pub(crate) kerf: f64,
    /// Whether the job gives the length.
    pub(crate) said: bool,
    /// The pieces: what each is for, and its length, mm.
    pub(crate) pieces: Vec<(String, f64)>,
    /// Which pieces are on which bar.
    pub(crate) packing: Packing,
}

impl Bars {
    /// The offcut of a bar, mm.
    pub(crate) fn left(&self, bar: &[usize]) -> f64 {
        let cut: f64 = bar.iter().map(|i| self.pieces[*i].1 + self.kerf).sum();
        (self.length - cut).max(0.0)
    }

    /// The pieces that are longer than a bar.
    pub(crate) fn too_long(&self) -> Vec<&str> {
        let on_bar = |i: usize| self.packing.bars.iter().any(|bar| bar.contains(&i));
        let pieces = self.pieces.iter().enumerate().filter(|(i, _)| !on_bar(*i));
        pieces.map(|(_, (name, _))| name.as_str()).collect()
    }
}

/// The tubes on bars, section by section.
pub(crate) fn bars(job: &Job, tubes: &[Tube]) -> Vec<Bars> {
    let mut sections: Vec<&str> = Vec::new();
    for tube in tubes.iter().filter(|tube| tube.quantity > 0) {
        if !sections.contains(&tube.section.as_str()) {
            sections.push(&tube.section);
        }
    }
    let of = |section: &str| {
        let like = tubes.iter().filter(|tube| tube.section == section);
        let pieces: Vec<(String, f64)> = like
            .clone()
            .flat_map(|tube| (0..tube.quantity).map(|_| (tube.name.clone(), tube.length)))
            .collect();
        let size = like.map(|tube| tube.size).next().unwrap_or_default();
        let stock = job.bar(size);
        let lengths: Vec<f64> = pieces.iter().map(|(_, mm)| *mm).collect();
        let packing = pack(&lengths, stock.length, stock.kerf);
        let (length, kerf, said) = (stock.length, stock.kerf, stock.said);
        Bars { section: section.to_owned(), length, kerf, said, pieces, packing }
    };
    sections.into_iter().map(of).collect()
}

/// The area that is coated, mm², by coating thickness, mm: both faces and all edges of the parts,
/// and the outside of tubes.
pub(crate) fn coated(job: &Job, solved: &[Solved]) -> Vec<(f64, f64)> {
    let mut areas: Vec<(f64, f64)> = Vec::new();
    let mut add = |film: f64, area: f64| {
        if film <= 0.0 || area <= 0.0 {
            return;
        }
        match areas.iter_mut().find(|(other, _)| *other == film) {
            Some((_, sum)) => *sum += area,
            None => areas.push((film, area)),
        }
    };
    for part in solved {
        let region = &part.flat.region;
        let one = 2.0 * region.area() + region.length() * part.part.thickness;
        let film = job.coating_of(&job.lines[part.line]).film;
        add(film, one * f64::from(solve::pieces(job, part)));
    }
    let round = |outside: f64, length: f64| num::PI * outside * length;
    for tube in &job.tubes {
        add(job.coating, round(tube.outside, tube.cut_length()) * f64::from(tube.quantity));
    }
    for link in &job.links {
        let one = round(link.tube.measure("outside"), link.setting().cut);
        add(job.coating, one * f64::from(link.quantity));
    }
    areas
}
