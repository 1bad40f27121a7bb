//! What bears on a plate round a hole.

/// What bears on a plate round a hole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bears {
    /// The plain washer of what goes through: no joint says otherwise.
    Washer,
    /// What its joint has there, in words that end before the hole, and the outside diameter of that, mm.
    Joint(&'static str, f64),
    /// Nothing: other layers of its joint are on both sides, or the thread is in it.
    Nothing,
}
