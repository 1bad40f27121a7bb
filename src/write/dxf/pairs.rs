//! The text of a DXF file: pairs of a group code and a value, each on its own line.

use crate::write::dxf::version::Version;
use std::fmt;
use std::fmt::Display;
use std::fmt::Write;

/// The name of an object within one file; written as a hexadecimal number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Handle(pub(super) u32);

impl Display for Handle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:X}", self.0)
    }
}

/// Owner of objects without an owner.
pub(super) const NOTHING: Handle = Handle(0);
/// The record of model space, which owns every entity.
pub(super) const MODEL_SPACE: Handle = Handle(1);
/// The record of paper space, which must be there though it stays empty.
pub(super) const PAPER_SPACE: Handle = Handle(2);
/// The plot style that every layer must point to.
pub(super) const PLOT_STYLE: Handle = Handle(3);
/// The first handle given by counting.
const FIRST_FREE: u32 = 4;

/// Pairs being written. Handles and class names are written only if the dialect has them.
pub(super) struct Pairs {
    text: String,
    version: Version,
    next: u32,
    table: Handle,
}

impl Pairs {
    pub(super) fn new(version: Version) -> Self {
        Self { text: String::new(), version, next: FIRST_FREE, table: NOTHING }
    }

    pub(super) fn version(&self) -> Version {
        self.version
    }

    /// A handle nobody has yet.
    pub(super) fn take_handle(&mut self) -> Handle {
        self.next += 1;
        Handle(self.next - 1)
    }

    /// The handle that the next one to ask would be given.
    pub(super) fn next_handle(&self) -> Handle {
        Handle(self.next)
    }

    pub(super) fn put(&mut self, code: u16, value: impl Display) {
        let written = write!(self.text, "{code}\r\n{value}\r\n");
        debug_assert!(written.is_ok(), "writing to a string cannot fail");
    }

    pub(super) fn puts(&mut self, pairs: &[(u16, &str)]) {
        for (code, value) in pairs {
            self.put(*code, value);
        }
    }

    /// A point, its codes being `code`, `code` + 10 and, at height 0, `code` + 20.
    pub(super) fn point(&mut self, code: u16, x: impl Display, y: impl Display) {
        self.put(code, x);
        self.put(code + 10, y);
        self.put(code + 20, "0");
    }

    pub(super) fn section(&mut self, name: &str, inside: impl FnOnce(&mut Self)) {
        self.puts(&[(0, "SECTION"), (2, name)]);
        inside(self);
        self.put(0, "ENDSEC");
    }

    /// A table of `count` records, which [`Self::record`] begins.
    pub(super) fn table(&mut self, name: &str, count: usize, inside: impl FnOnce(&mut Self)) {
        self.puts(&[(0, "TABLE"), (2, name)]);
        if self.version == Version::R2000 {
            self.table = self.take_handle();
            self.owned(self.table, NOTHING, &["AcDbSymbolTable"]);
        }
        self.put(70, count);
        inside(self);
        self.put(0, "ENDTAB");
    }

    /// Begins a record of the table being written.
    pub(super) fn record(&mut self, kind: &str, class: &str, name: &str) {
        let handle = if self.version == Version::R2000 { self.take_handle() } else { NOTHING };
        self.record_with(handle, kind, class, name);
    }

    /// The same for a record whose handle is fixed.
    pub(super) fn record_with(&mut self, handle: Handle, kind: &str, class: &str, name: &str) {
        self.put(0, kind);
        if self.version == Version::R2000 {
            // Dimension styles alone keep their handle under another code.
            self.put(if kind == "DIMSTYLE" { 105 } else { 5 }, handle);
            self.put(330, self.table);
            self.puts(&[(100, "AcDbSymbolTableRecord"), (100, class)]);
        }
        self.put(2, name);
    }

    /// Begins an entity.
    pub(super) fn entity(&mut self, kind: &str, class: &str, layer: &str) {
        self.put(0, kind);
        if self.version == Version::R2000 {
            let handle = self.take_handle();
            self.owned(handle, MODEL_SPACE, &["AcDbEntity"]);
        }
        self.put(8, layer);
        self.class(class);
    }

    /// Handle, owner and classes of anything that is no record of a table.
    pub(super) fn owned(&mut self, handle: Handle, owner: Handle, classes: &[&str]) {
        self.put(5, handle);
        self.put(330, owner);
        for class in classes {
            self.put(100, class);
        }
    }

    /// The name of a class, where the dialect has them.
    pub(super) fn class(&mut self, class: &str) {
        if self.version == Version::R2000 {
            self.put(100, class);
        }
    }

    pub(super) fn append(&mut self, other: &Self) {
        self.text.push_str(&other.text);
    }

    pub(super) fn into_bytes(self) -> Vec<u8> {
        self.text.into_bytes()
    }
}
