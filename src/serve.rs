//! A job on a page in the browser: seen, changed, nested and made, its file remaining the original.
//!
//! The page requests values and pictures, which are those of the other rooms; it changes the text
//! of the job in place and never keeps a second version. Where the file is and what time it is come
//! from the caller: see [`Desk`].

mod assets;
mod bars;
mod begins;
mod beside;
mod cause;
mod causes;
mod changed;
mod current_layout;
mod desk;
mod edit;
mod entries;
mod entry;
mod entry_edit;
mod finish;
mod fit;
mod form;
mod found;
mod guard;
mod handle;
mod handles;
mod joined;
mod labels;
mod layout;
mod list;
mod listeners;
mod lists;
mod machine;
mod machine_edit;
mod nested;
mod nested_edit;
mod new_part;
mod opened;
mod order;
mod part;
mod path;
mod placed;
mod places;
mod points;
mod reading;
mod recipes;
mod refers;
mod remedies;
mod renamed;
mod routes;
mod setting;
mod shop;
mod shop_file;
mod shown;
mod snapshot;
mod solving;
mod sort;
mod text;
mod text_changes;
mod tried;
mod typed;
mod undo;
mod unreadable;
mod values;

pub use changed::Refused;
pub use desk::Desk;
pub use edit::Edit;
pub use entry_edit::EntryEdit;
pub use guard::Key;
pub use machine_edit::MachineEdit;
pub use opened::Opened;
pub use opened::Whereabouts;
pub use reading::Reading;
pub use routes::router;
pub use setting::ShopEdit;
