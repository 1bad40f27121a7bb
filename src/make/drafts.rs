//! Files made of a layout during the search: used if the last layout has the same sheet.

use crate::diag::Sources;
use crate::drawings;
use crate::geom::Place;
use crate::job::Job;
use crate::make::cut_files;
use crate::place;
use crate::place::Best;
use crate::place::NestedSheet;
use crate::report;
use crate::report::Input;
use crate::report::SheetRow;
use crate::report_page;
use crate::report_page::Laid;
use crate::report_page::Shape;
use crate::solve::Solved;
use crate::write::NamedFile;
use std::cell::RefCell;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::MutexGuard;
use std::sync::PoisonError;

/// Sheets that were drawn before it was known whether they are in the last layout.
#[derive(Debug, Default)]
pub struct Drafts(Mutex<Vec<Arc<Draft>>>);

/// The files of one sheet, and the data they depend on.
#[derive(Debug)]
struct Draft {
    sheet: NestedSheet,
    row: SheetRow,
    /// The first number of the second.
    of: [usize; 2],
    /// Its pieces in the page of the report.
    laid: Laid,
    /// Handed out once, not copied: they are the larger part of what is written.
    files: Mutex<DraftFiles>,
}

/// The files of a sheet that were not handed out yet.
#[derive(Clone, Debug)]
struct DraftFiles {
    cut: Option<[NamedFile; 2]>,
    pictures: Option<Vec<NamedFile>>,
}

impl Drafts {
    /// Draws the sheets of a layout, by kind the best found, one after another while it may
    /// `go_on`; those that are drawn already are kept, others forgotten. The error of a sheet that
    /// cannot be drawn is reported only if it is in the last layout.
    pub(crate) fn draw(
        &self,
        (job, sources): (&Job, &Sources),
        (solved, left_out): (&[Solved], &[String]),
        layout: &[Best],
        go_on: &dyn Fn() -> bool,
    ) {
        let input = Input {
            job,
            solved,
            machine: None,
            nested: &[],
            left: &[],
            searched: &[],
            seed: 0,
            findings: &[],
            left_out,
            sources,
        };
        let rows = report::part_rows(&input);
        let shapes = report_page::shapes(solved);
        let before = self.all();
        let count = layout.iter().map(Vec::len).sum();
        let now = RefCell::new(Vec::with_capacity(count));
        let known = |kind: usize, stock: usize, placed: &[(usize, Place)]| {
            let same = |sheet: &NestedSheet| {
                (sheet.sheet, sheet.stock) == (kind, stock) && sheet.placed == placed
            };
            // One like it is most often the one before.
            let now: Option<Arc<Draft>> = now.borrow().last().map(Arc::clone);
            let mut drawn = now.iter().chain(&before);
            drawn.find(|draft| same(&draft.sheet)).map(|draft| draft.sheet.clone())
        };
        let mut each = |sheet: NestedSheet| {
            let row = report::sheet_row(&input, &sheet, &rows);
            let of = [now.borrow().len() + 1, count];
            let again = before.iter().find(|draft| draft.is_of(&sheet, &row, of));
            let draft = match again {
                Some(draft) => Some(Arc::clone(draft)),
                None => {
                    let last: Option<Arc<Draft>> = now.borrow().last().map(Arc::clone);
                    let parts = (job, solved, shapes.as_slice());
                    Draft::of(parts, (sheet, row, of), last.as_deref(), go_on).map(Arc::new)
                }
            };
            now.borrow_mut().extend(draft);
            go_on()
        };
        for (kind, best) in layout.iter().enumerate() {
            if go_on() {
                place::interim_sheets((job, solved), (kind, best), (&known, go_on), &mut each);
            }
        }
        let mut now = now.into_inner();
        if !go_on() {
            // Interrupted: earlier drawings may be in the last layout as well.
            now.extend(before.iter().map(Arc::clone));
        }
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = now;
    }

    fn all(&self) -> Vec<Arc<Draft>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    fn find(&self, is: impl Fn(&Draft) -> bool) -> Option<Arc<Draft>> {
        self.all().into_iter().find(|draft| is(draft))
    }

    /// The sheet with its route, if an equal one exists.
    pub(super) fn like(&self, sheet: &NestedSheet) -> Option<NestedSheet> {
        self.find(|draft| draft.sheet.holds_the_same(sheet)).map(|draft| draft.sheet.clone())
    }

    /// The pieces of a sheet in the page of the report.
    pub(super) fn laid(&self, sheet: &NestedSheet, row: &SheetRow) -> Option<Laid> {
        let is_like = |draft: &Draft| draft.sheet.is_like(sheet) && draft.row.placed == row.placed;
        self.find(is_like).map(|draft| draft.laid.clone())
    }

    /// The cut files of a sheet, read back; once.
    pub(super) fn cut(&self, sheet: &NestedSheet) -> Option<[NamedFile; 2]> {
        self.find(|draft| draft.sheet == *sheet)?.files().cut.take()
    }

    /// The pictures of a sheet, once.
    pub(super) fn pictures(
        &self,
        sheet: &NestedSheet,
        row: &SheetRow,
        of: [usize; 2],
    ) -> Option<Vec<NamedFile>> {
        self.find(|draft| draft.is_of(sheet, row, of))?.files().pictures.take()
    }
}

impl Draft {
    /// The files of a sheet, those to cut from made from the `last` if it is the same sheet but for its
    /// name.
    fn of(
        (job, solved, shapes): (&Job, &[Solved], &[Shape]),
        (sheet, row, of): (NestedSheet, SheetRow, [usize; 2]),
        last: Option<&Self>,
        go_on: &dyn Fn() -> bool,
    ) -> Option<Self> {
        let last = last.filter(|last| sheet.is_like(&last.sheet));
        let again = last.and_then(|last| {
            let files = last.files();
            cut_files::renamed(files.cut.as_ref()?, [&last.sheet, &sheet])
        });
        let cut = || cut_files::sheet(job, solved, &sheet).ok();
        let cut = again.or_else(|| go_on().then(cut)?)?;
        let pictures = || drawings::sheet(job, solved, (&sheet, &row), of, go_on).ok().flatten();
        let pictures = go_on().then(pictures)??;
        let laid = || Laid::of((job, solved), shapes, (&sheet, &row));
        let again = last.filter(|last| last.row.placed == row.placed).map(|last| last.laid.clone());
        let laid = again.or_else(|| go_on().then(laid))?;
        let files = Mutex::new(DraftFiles { cut: Some(cut), pictures: Some(pictures) });
        Some(Self { sheet, row, of, laid, files })
    }

    fn files(&self) -> MutexGuard<'_, DraftFiles> {
        self.files.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn is_of(&self, sheet: &NestedSheet, row: &SheetRow, of: [usize; 2]) -> bool {
        self.of == of && self.sheet == *sheet && self.row == *row
    }
}
