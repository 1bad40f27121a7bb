//! The front door: the text of a job in, checked files out.
//!
//! Each step returns what the next one needs, or stops with all findings up to then.

use crate::as_built;
use crate::as_built::AsBuilt;
use crate::diag;
use crate::diag::Finding;
use crate::diag::SourceId;
use crate::diag::Sources;
use crate::job;
use crate::job::Job;
use crate::job::Shelf;
use crate::make;
use crate::make::Drafts;
use crate::make::LeftOut;
use crate::make::Made;
use crate::make::Nested;
use crate::make::OfParts;
use crate::make::Parts;
use crate::make::Wanted;
use crate::place::Best;
use crate::place::Search;
use crate::solve;
use crate::solve::Depth;
use crate::solve::Machine;
use crate::solve::Parted;
use crate::solve::SolveCache;
use crate::solve::Solved;
use crate::write::NamedFile;
use std::error::Error;
use std::fmt;

/// Where jobs are made: the recipes and tables they may use.
#[derive(Clone)]
pub struct Workshop<'a> {
    shelf: Shelf<'a>,
    sources: Sources,
    findings: Vec<Finding>,
}

impl<'a> Workshop<'a> {
    /// A workshop with this shelf.
    pub fn new(shelf: Shelf<'a>) -> Self {
        Self { shelf, sources: Sources::default(), findings: Vec::new() }
    }

    /// The same, where the shelf's tables were not read without findings: they stop every job,
    /// beside the job's own findings. `sources` has the texts of the tables.
    #[must_use]
    pub fn with_findings(self, findings: Vec<Finding>, sources: Sources) -> Self {
        Self { findings, sources, ..self }
    }

    /// What jobs may use.
    #[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
    pub(crate) fn shelf(&self) -> &Shelf<'a> {
        &self.shelf
    }

    /// Reads a job called `name`, whose text findings know as `file`.
    ///
    /// # Errors
    /// Everything that is wrong with the text.
    pub fn read(&self, name: &str, file: &str, text: &str) -> Result<ReadJob<'a>, Stopped> {
        self.read_by(job::read, (name, file, text))
    }

    /// The same of a job that may be begun only, and make nothing yet.
    #[cfg(feature = "page")]
    pub(crate) fn read_begun(
        &self,
        name: &str,
        file: &str,
        text: &str,
    ) -> Result<ReadJob<'a>, Stopped> {
        self.read_by(job::read_begun, (name, file, text))
    }

    fn read_by(
        &self,
        read: ReadText,
        (name, file, text): (&str, &str, &str),
    ) -> Result<ReadJob<'a>, Stopped> {
        let mut sources = self.sources.clone();
        let source = sources.add(file, text);
        let mut findings = self.findings.clone();
        match read(name, source, text, &self.shelf, &mut sources) {
            Ok(job) if findings.is_empty() => Ok(ReadJob { job, sources, shelf: self.shelf }),
            result => {
                findings.extend(result.err().unwrap_or_default());
                Err(Stopped { findings, sources })
            }
        }
    }
}

/// Reads the text of a job by its name.
type ReadText = fn(&str, SourceId, &str, &Shelf, &mut Sources) -> Result<Job, Vec<Finding>>;

/// A job that has been read.
pub struct ReadJob<'a> {
    /// The job.
    pub job: Job,
    sources: Sources,
    shelf: Shelf<'a>,
}

impl ReadJob<'_> {
    /// Develops and checks every part.
    ///
    /// # Errors
    /// All findings, when one of them stops the job.
    pub fn solve(self) -> Result<Ready, Stopped> {
        self.solve_and_count(&|| ())
    }

    /// The same; `done` is called after each line of the job, from any thread.
    ///
    /// # Errors
    /// All findings, when one of them stops the job.
    pub fn solve_and_count(mut self, done: &(dyn Fn() + Sync)) -> Result<Ready, Stopped> {
        self.in_both_hands(None);
        let sources = &mut self.sources;
        match solve::unstopped(&self.job, &self.shelf, sources, done) {
            Ok(parted) => self.ready(parted),
            Err(findings) => Err(Stopped { findings, sources: self.sources }),
        }
    }

    /// The same where a part that is stopped does not stop the others: it is left out.
    ///
    /// # Errors
    /// All findings, when one of them is about more than a part, or no part is good.
    pub fn solve_the_good(mut self, done: &(dyn Fn() + Sync)) -> Result<Ready, Stopped> {
        self.in_both_hands(None);
        let sources = &mut self.sources;
        match solve::parted(&self.job, &self.shelf, sources, done) {
            Ok(parted) => self.ready(parted),
            Err(findings) => Err(Stopped { findings, sources: self.sources }),
        }
    }

    /// The same regardless of findings, for callers that only view it: what cannot be drawn is
    /// named in [`Ready::left_out`]. Lines that are `kept` are not solved again.
    pub fn look(mut self, kept: &SolveCache, depth: Depth) -> Look {
        self.in_both_hands(Some(kept));
        let (sources, kept) = (&mut self.sources, Some((kept, depth)));
        let parted = solve::looked_at(&self.job, &self.shelf, sources, &|| (), kept);
        let Parted { good: solved, stopped, without, links, machine, .. } = parted;
        let Parted { mut findings, mut all_stop, unfinished, .. } = parted;
        let Self { mut job, sources, .. } = self;
        job.links = links.unwrap_or(job.links);
        findings.extend(make::without_template(&job, &solved));
        findings.extend(make::without_a_place(&job, &solved));
        // How bends came out is judged by the tools they are made on.
        let is_whole = unfinished.is_empty();
        let as_built = is_whole.then(|| as_built::found(&job, &solved));
        let as_built = as_built.unwrap_or(Ok(None)).unwrap_or_else(|found| {
            findings.extend(found);
            all_stop = true;
            None
        });
        findings.extend(as_built.iter().flat_map(|found| found.findings.clone()));
        diag::worst_first(&mut findings);
        let left_out = LeftOut { names: without, drawn: stopped };
        let ready = Ready { job, solved, machine, as_built, left_out, findings, sources };
        Look { ready, all_stop, unfinished }
    }

    /// What is on both sides of the machine is made in both hands where it is not its own mirror image.
    fn in_both_hands(&mut self, kept: Option<&SolveCache>) {
        if let Some(job) = solve::in_both_hands(&self.job, &self.shelf, &self.sources, kept) {
            self.job = job;
        }
    }

    /// With the findings on all that is made, and on the measurements of it.
    fn ready(self, parted: Parted) -> Result<Ready, Stopped> {
        let Parted { good: solved, stopped, without, links, machine, mut findings, .. } = parted;
        let left_out = LeftOut { names: without, drawn: stopped };
        let Self { mut job, sources, .. } = self;
        job.links = links.unwrap_or(job.links);
        findings.extend(make::without_template(&job, &solved));
        let as_built = match as_built::found(&job, &solved) {
            Ok(found) => found,
            Err(found) => {
                findings.extend(found);
                diag::worst_first(&mut findings);
                return Err(Stopped { findings, sources });
            }
        };
        findings.extend(as_built.iter().flat_map(|found| found.findings.clone()));
        diag::worst_first(&mut findings);
        Ok(Ready { job, solved, machine, as_built, left_out, findings, sources })
    }
}

/// A job that is only looked at.
pub struct Look {
    /// The results of it.
    pub ready: Ready,
    /// Whether a finding is about more than a part, so that nothing can be made of the others.
    pub all_stop: bool,
    /// The lines, by index, of which bends and loads are not looked at yet.
    pub unfinished: Vec<usize>,
}

/// A job whose parts are developed and checked.
pub struct Ready {
    /// The job.
    pub job: Job,
    /// Its parts, in the order of the job.
    pub solved: Vec<Solved>,
    /// The bodies in its machine, if it has one.
    pub machine: Option<Machine>,
    /// What was measured on them says; none where nothing was.
    pub as_built: Option<AsBuilt>,
    /// Parts that are stopped.
    pub left_out: LeftOut,
    /// Cautions, and what stops the parts that are left out.
    pub findings: Vec<Finding>,
    /// The texts the findings point into.
    pub sources: Sources,
}

impl Ready {
    /// Its parts, as files are made of them.
    pub(crate) fn parts(&self) -> Parts<'_> {
        Parts { solved: &self.solved, machine: self.machine.as_ref(), left_out: &self.left_out }
    }

    /// Nests the parts, searching as long as allowed, and makes every file.
    ///
    /// # Errors
    /// All findings, when one of them stops the job.
    pub fn make(&self, search: &Search) -> Result<Made, Stopped> {
        self.files(self.nest(search)?)
    }

    /// Nests the parts, searching as long as allowed.
    ///
    /// # Errors
    /// All findings, when one of them stops the job.
    pub fn nest(&self, search: &Search) -> Result<Nested, Stopped> {
        let found = self.findings.clone();
        make::nest(&self.job, &self.solved, found, search)
            .map_err(|findings| self.stopped(findings))
    }

    /// Makes every file of the nested parts.
    ///
    /// # Errors
    /// When a file does not read back as it was drawn.
    pub fn files(&self, nested: Nested) -> Result<Made, Stopped> {
        make::files(&self.job, self.parts(), nested, &self.sources)
            .map_err(|findings| self.stopped(findings))
    }

    /// Makes what does not depend on where the parts lie, before they are nested or meanwhile; drawings
    /// only while they are wanted.
    ///
    /// # Errors
    /// When a file does not read back as it was drawn.
    pub fn of_parts(&self, wanted: &Wanted) -> Result<OfParts, Stopped> {
        make::of_parts(&self.job, self.parts(), wanted).map_err(|findings| self.stopped(findings))
    }

    /// Draws the sheets of a layout during the search, by kind the best found, one after another
    /// while it may `go_on`, so that less is left to do when it is the last.
    pub fn draft(&self, layout: &[Best], drafts: &Drafts, go_on: &dyn Fn() -> bool) {
        let of = (self.solved.as_slice(), self.left_out.names.as_slice());
        drafts.draw((&self.job, &self.sources), of, layout, go_on);
    }

    /// Makes the files that depend on where the parts lie, and puts all together; pictures of sheets
    /// only while they are wanted.
    ///
    /// # Errors
    /// When a file does not read back as it was drawn.
    pub fn laid(&self, of: (Nested, OfParts), wanted: &Wanted) -> Result<Made, Stopped> {
        make::laid(&self.job, self.parts(), of, &self.sources, wanted)
            .map_err(|findings| self.stopped(findings))
    }

    /// Makes the flats with their drawings and templates, and nests nothing.
    ///
    /// ```
    /// use platewright::bend::Bend;
    /// use platewright::bend::Method;
    /// use platewright::job::Shelf;
    /// use platewright::num::Angle;
    /// use platewright::table::Tables;
    /// use platewright::workshop::Workshop;
    ///
    /// let job = r#"
    ///     process = "laser"
    ///
    ///     [[sheet]]
    ///     name = "S235 3 mm"
    ///     material = "S235"
    ///     thickness = "3 mm"
    ///     stock = []
    ///
    ///     [[part]]
    ///     recipe = "angle"
    ///     name = "angle"
    ///     sheet = "S235 3 mm"
    ///     given = { base = "40 mm", leg = "50 mm", radius = "3 mm" }
    /// "#;
    /// let tables = Tables::shipped();
    /// let workshop = Workshop::new(Shelf::shipped(&tables));
    /// let ready = workshop.read("angle", "angle.toml", job)?.solve()?;
    ///
    /// // The blank is as long as both legs, less the bend deduction.
    /// let bend = Bend::new(3.0, 3.0, Angle::QUARTER, Method::Din6935).expect("it can be bent");
    /// let blank = ready.solved[0].flat.region.bounds();
    /// assert!((blank.height() - (40.0 + 50.0 - bend.deduction())).abs() < 1e-9);
    ///
    /// let files = ready.flats()?;
    /// assert_eq!(files[0].name, "flats/angle.dxf");
    /// assert!(files[0].bytes.ends_with(b"EOF\r\n"));
    /// # Ok::<(), platewright::workshop::Stopped>(())
    /// ```
    ///
    /// # Errors
    /// When a file does not read back as it was drawn.
    pub fn flats(&self) -> Result<Vec<NamedFile>, Stopped> {
        make::flats(&self.job, &self.solved).map_err(|findings| self.stopped(findings))
    }

    /// Makes the flats once more for older software: DXF R12, the unit in the name of each file.
    ///
    /// # Errors
    /// When a file does not read back as it was drawn.
    pub fn old_flats(&self) -> Result<Vec<NamedFile>, Stopped> {
        make::old_flats(&self.job, &self.solved).map_err(|findings| self.stopped(findings))
    }

    fn stopped(&self, findings: Vec<Finding>) -> Stopped {
        Stopped { findings, sources: self.sources.clone() }
    }
}

/// Why nothing is made. Shown as text, it gives every finding with its place and its remedy.
#[derive(Clone, Debug)]
pub struct Stopped {
    /// Everything that was found, cautions as well.
    pub findings: Vec<Finding>,
    /// The texts the findings point into.
    pub sources: Sources,
}

impl fmt::Display for Stopped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let drawn = self.findings.iter().map(|finding| self.sources.draw(finding, false));
        f.write_str(&drawn.collect::<Vec<_>>().join("\n\n"))
    }
}

impl Error for Stopped {}
