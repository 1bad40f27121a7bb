//! The files that do not depend on where the parts lie: they can be made while a layout is searched for.

use crate::diag::Finding;
use crate::draw;
use crate::drawings;
use crate::drawings::Wanted;
use crate::job::Job;
use crate::make::cut_files;
use crate::make::parts::Parts;
use crate::make::solids;
use crate::make::solids::Solids;
use crate::package;
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
    /// Parts without a solid.
    pub(super) unclosed: Vec<Finding>,
    /// The names of the files of each part.
    pub(super) names: Vec<Vec<String>>,
    /// The packages of an order.
    pub(super) packages: Vec<NamedFile>,
}

impl OfParts {
    /// Makes them of the good parts, and draws those that are stopped; drawings only while they are
    /// wanted.
    ///
    /// # Errors
    /// When the file read back differs from the drawing.
    pub(crate) fn of(job: &Job, parts: Parts, wanted: &Wanted) -> Result<Self, Vec<Finding>> {
        let Parts { solved, machine, left_out } = parts;
        let flats: Vec<(String, Drawing)> =
            solved.par_iter().map(|s| cut_files::flat(job, s)).collect();
        let mut wraps = draw::wraps(job);
        wraps.extend(draw::clocks(job, solved));
        let written = |all: &[(String, Drawing)]| {
            cut_files::all(all.par_iter().map(|(name, of)| cut_files::both(name, of)).collect())
        };
        let cut = || Ok::<_, Vec<Finding>>((written(&flats)?, written(&wraps)?));
        let others = || {
            let templates = || drawings::templates(job, solved, wanted);
            let (assemblies, templates) =
                rayon::join(|| drawings::assemblies(job, solved, wanted), templates);
            let (solids, cut) = rayon::join(|| solids::solids(job, solved), cut);
            Ok::<_, Vec<Finding>>((assemblies?, templates?, solids, cut?))
        };
        // A thread that is done with one begins with the next.
        let (of_parts, others) = rayon::join(|| drawings::of_parts(job, solved, wanted), others);
        let (assemblies, templates, (solids, unclosed), (cut_flats, cut_wraps)) = others?;
        let mut names: Vec<Vec<String>> = flats.iter().map(cut_files::names_of_both).collect();
        let (mut all, mut drawn) = (Vec::new(), Vec::new());
        for (names, made) in names.iter_mut().zip(of_parts?) {
            names.extend(made.drawings.iter().map(|file| file.name.clone()));
            all.extend(made.formed);
            drawn.extend(made.drawings);
        }
        let packages = package::packages(job, solved, &drawn).map_err(|finding| vec![finding])?;
        all.extend(assemblies);
        all.extend(drawings::wraps(job, &wraps, wanted)?);
        all.extend(drawn);
        all.extend(templates);
        all.extend(drawings::loaded_links(job, solved, wanted)?);
        all.extend(drawings::machine(job, machine, wanted)?);
        all.extend(drawings::stopped(job, &left_out.drawn, wanted)?);
        Ok(Self {
            flats: cut_flats,
            wraps: cut_wraps,
            drawings: all,
            solids,
            unclosed,
            names,
            packages,
        })
    }
}
