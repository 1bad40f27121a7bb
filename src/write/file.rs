//! A file before it is on a disk.

/// A file by its name within the job's folder, parts of the name joined by `/`.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedFile {
    /// Its name.
    pub name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}
