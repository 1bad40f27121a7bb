//! A job on a page in the browser: seen, changed, nested and made, its file the truth below it.
//!
//! The page asks for values and pictures, which are those of the other rooms; it changes the text of
//! the job in place and never holds another truth. Where the file lies and what time it is, whoever
//! serves it knows: see [`Desk`].

mod assets;
mod desk;
mod edit;
mod form;
mod found;
mod guard;
mod layout;
mod list;
mod opened;
mod part;
mod recipes;
mod routes;
mod seen;
mod stands;
mod steps;
mod text;

pub use desk::Desk;
pub use edit::Edit;
pub use edit::Refused;
pub use guard::Key;
pub use opened::Opened;
pub use routes::router;
