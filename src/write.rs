//! From values to the bytes of files, and back again to see that nothing was lost.
//!
//! Both formats are drawn from one [`Drawing`] in millimetres; a writer turns them
//! into the units of the file on the way out. No file carries a date, a random
//! number or the name of a machine.

mod csv;
mod drawing;
mod dxf;
mod file;
mod markup;
mod read_back;
#[cfg(test)]
mod sample;
mod step;
mod svg;

pub(crate) use self::csv::csv;
pub use self::drawing::Drawing;
pub use self::drawing::Layer;
pub use self::drawing::Stroke;
pub use self::dxf::Dialect;
pub use self::dxf::Version;
pub use self::dxf::dxf;
pub use self::file::NamedFile;
pub(crate) use self::markup::data;
pub(crate) use self::markup::document;
pub(crate) use self::markup::escaped;
pub(crate) use self::markup::is_simple;
pub(crate) use self::markup::path;
pub(crate) use self::markup::text;
pub(crate) use self::markup::words;
pub(crate) use self::read_back::compare;
pub use self::step::step;
pub use self::svg::svg;
pub(crate) use self::svg::tinted;
