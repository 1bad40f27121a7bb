//! The stock book as far as it needs no disk: sheets and remnants as values and as a list, and
//! what of a job that was made is cut from which of them.
//!
//! Lengths are mm. The database itself is the business of the command line.

mod corners;
mod cut;
mod entry;
mod list;

pub use corners::Corners;
pub use corners::CornersError;
pub use cut::Cut;
pub use cut::CutSheet;
pub use entry::Entry;
pub use entry::thickness_alike;
pub use list::read;
pub use list::written;

/// What a stock book has.
#[derive(Clone, Debug, PartialEq)]
pub struct Book {
    /// How findings call it: where it lies.
    pub shown: String,
    /// Its sheets and remnants, those first that are used first.
    pub entries: Vec<Entry>,
}

impl Book {
    /// What it has of a metal and a thickness, mm.
    pub fn of<'b>(
        &'b self,
        material: &'b str,
        thickness: f64,
    ) -> impl Iterator<Item = &'b Entry> + 'b {
        let same = move |entry: &&Entry| {
            entry.material == material && thickness_alike(entry.thickness, thickness)
        };
        self.entries.iter().filter(same).filter(|entry| entry.quantity > 0)
    }

    /// The size of a whole sheet to offer, along and across the grain: one of this metal and
    /// thickness, else one of any.
    pub fn offered(&self, material: &str, thickness: f64) -> Option<[f64; 2]> {
        let own = self.entries.iter().filter(|entry| entry.material == material);
        let own = own.filter(|entry| thickness_alike(entry.thickness, thickness));
        let whole = |entry: &&Entry| !entry.remnant && entry.corners.is_rectangle();
        own.chain(&self.entries).find(whole).map(|entry| entry.corners.size())
    }
}
