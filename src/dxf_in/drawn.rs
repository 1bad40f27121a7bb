//! The result of an entity.

use crate::dxf_in::error::DxfError;
use crate::dxf_in::records::Record;
use crate::geom::Course;
use crate::num;

/// The result of an entity.
pub(super) enum Drawn {
    /// Its lines and curves.
    Courses(Vec<Course>),
    /// It is of a supported kind, but in an unsupported form: which.
    Strange(String),
}

impl Drawn {
    pub(super) fn strange(words: impl Into<String>) -> Result<Self, DxfError> {
        Ok(Self::Strange(words.into()))
    }
}

/// Whether the plane of an entity faces up or down; `None` if it is slanted.
pub(super) fn faces_up(entity: &Record) -> Result<Option<bool>, DxfError> {
    let number = |code| entity.number(code, 0.0);
    let normal = [number(210)?, number(220)?, entity.number(230, 1.0)?];
    let level = num::hypot(normal[0], normal[1]) <= 1e-9 * normal[2].abs() && normal[2] != 0.0;
    Ok(level.then_some(normal[2] > 0.0))
}
