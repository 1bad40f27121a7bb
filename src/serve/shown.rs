//! What the page requests beside the part that is open.

use crate::serve::list;
use crate::serve::machine;
use crate::serve::opened::Opened;
use crate::serve::part;
use serde_json::Value;

impl Opened {
    /// The flats of some parts by their names, as the list shows them.
    pub fn flats(&self, names: &[String]) -> Vec<Value> {
        list::flats(&self.at().seen, names)
    }

    /// A step of a part's bends with its tools, counted from 1; `None` if there is none.
    pub fn section(&self, name: &str, step: usize) -> Option<Value> {
        part::section(&self.at().seen, name, step)
    }

    /// The machine of the job: its picture in an area of some px, its points and bodies.
    pub fn machine(&self, room: [f64; 2]) -> Value {
        machine::machine(&self.at().seen, &self.desk.shown(), room)
    }
}
