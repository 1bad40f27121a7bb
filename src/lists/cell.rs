//! How numbers are written in the cells of a list.

use crate::num;
use serde::Serializer;

/// A number to a millionth; an empty cell where there is none.
pub(super) fn number<S: Serializer>(x: &Option<f64>, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(&x.map_or_else(String::new, num::file_text))
}

/// Minutes to the thousandth; an empty cell where there are none.
pub(super) fn minutes<S: Serializer>(minutes: &Option<f64>, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(&minutes.map_or_else(String::new, |minutes| num::text(minutes, 3)))
}

/// A price to the hundredth; an empty cell where there is none.
pub(super) fn money<S: Serializer>(price: &Option<f64>, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(&price.map_or_else(String::new, |price| format!("{price:.2}")))
}
