//! The files that do not depend on where the parts lie: they can be made while a layout is searched for.

use crate::diag::Finding;
use crate::draw;
use crate::drawings;
use crate::drawings::Wanted;
use crate::job::Job;
use crate::make::cut_files;
use crate::make::solids;
use crate::make::solids::Solids;
use crate::solve::Solved;
use crate::write::Drawing;
use crate::write::NamedFile;
use rayon::prelude::*;

/// The files of the parts of a job, whatever their layout.
pub struct OfParts {
    /// The flats and the wraps as cut files.
    pub(super) flats: Vec<NamedFile>,
    pub(super) wraps: Vec<NamedFile>,
    /// Pictures, drawings and templates.
    pub(super) drawings: Vec<NamedFile>,
    pub(super) solids: Solids,
    /// What has no solid.
    pub(super) unclosed: Vec<Finding>,
    /// The names of the files of each part.
    pub(super) names: Vec<Vec<String>>,
}

impl OfParts {
    /// Makes them of the parts that are made, and draws those that are stopped; drawings only while
    /// they are wanted.
    ///
    /// # Errors
    /// When a file does not read back as it was drawn.
    pub(crate) fn of(
        job: &Job,
        (solved, stopped): (&[Solved], &[Solved]),
        wanted: &Wanted,
    ) -> Result<Self, Vec<Finding>> {
        let flats: Vec<(String, Drawing)> =
            solved.iter().map(|s| cut_files::flat(job, s)).collect();
        let wraps = draw::wraps(job);
        let written = |all: &[(String, Drawing)]| {
            cut_files::all(all.par_iter().map(|(name, of)| cut_files::both(name, of)).collect())
        };
        let (cut_flats, cut_wraps) = (written(&flats)?, written(&wraps)?);
        let is_wanted =
            |s: &&Solved| s.part.bends.is_empty() || wanted.is([cut_files::name_of_folded(s)]);
        let bent = solved.par_iter().filter(is_wanted);
        let folded = bent.filter_map(|s| cut_files::folded(job, s));
        let mut all: Vec<NamedFile> = folded.collect();
        all.extend(drawings::assemblies(job, solved, wanted)?);
        all.extend(drawings::wraps(job, &wraps, wanted)?);
        let mut names: Vec<Vec<String>> = flats.iter().map(cut_files::names_of_both).collect();
        for (names, made) in names.iter_mut().zip(drawings::drawings(job, solved, wanted)?) {
            names.extend(made.iter().map(|file| file.name.clone()));
            all.extend(made);
        }
        all.extend(drawings::templates(job, solved, wanted)?);
        all.extend(drawings::stopped(job, stopped, wanted)?);
        let (solids, unclosed) = solids::solids(job, solved);
        Ok(Self { flats: cut_flats, wraps: cut_wraps, drawings: all, solids, unclosed, names })
    }
}
