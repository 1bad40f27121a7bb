//! Platewright: from recipes of small plate parts to files that can be cut.
//!
//! A job says which parts to make, from which sheets. It is read, its parts are developed and
//! checked, then they are nested and every file is made. Everything that is wrong with it is
//! reported at once: [`workshop::Stopped`] prints every finding, and cautions are returned with
//! what was made. The library writes nothing itself: each file is a name and its bytes.
//!
//! ```
//! use platewright::job::Shelf;
//! use platewright::place::Search;
//! use platewright::table::Tables;
//! use platewright::workshop::Workshop;
//!
//! let job = r#"
//!     process = "laser"
//!
//!     [[sheet]]
//!     name = "S235 4 mm"
//!     material = "S235"
//!     thickness = "4 mm"
//!     stock = [ { size = ["300 mm", "200 mm"] } ]
//!
//!     [[part]]
//!     recipe = "tab"
//!     name = "pump-tab"
//!     sheet = "S235 4 mm"
//!     quantity = 6
//!     given = { bolt = "M8", reach = "40 mm", foot = "30 mm" }
//! "#;
//! let tables = Tables::shipped();
//! let workshop = Workshop::new(Shelf::shipped(&tables));
//! let ready = workshop.read("pump", "pump.toml", job)?.solve()?;
//! let made = ready.make(&Search::none())?;
//!
//! // The eye is cut for an M8 bolt: 9 mm, the normal clearance of ISO 273.
//! let flat = &ready.solved[0].flat;
//! let (_, radius) = flat.region.holes()[0].circle().expect("the eye is round");
//! assert!((2.0 * radius - 9.0).abs() < 1e-9);
//! let drawing = made.files.iter().find(|file| file.name == "flats/pump-tab.dxf");
//! assert!(drawing.is_some_and(|file| !file.bytes.is_empty()));
//! assert_eq!((made.report.totals.placed, made.report.totals.sheets), (6, 1));
//! # Ok::<(), platewright::workshop::Stopped>(())
//! ```
//!
//! A module imports only from those before it: `tests/all/house/floor_plan.rs` has the order.
//! Without the default features `cli` and `page` the library needs no terminal, signals, network or
//! disk.

pub mod num;

pub mod diag;

pub mod quantity;

pub mod geom;

pub mod sketch;

pub mod dxf_in;

pub mod svg_in;

pub mod outline_in;

pub mod bend;

pub mod brake;

pub mod document;

pub mod table;

mod entry;

pub mod formula;

pub mod recipe;

pub mod shop;

pub mod part;

pub mod flat;

pub mod fold;

pub mod solid;

pub mod machine;

pub mod sequence;

mod link;

pub mod fit;
pub mod strength;

mod cope;

mod joint;

pub mod check;

pub mod nest;

mod route;

pub mod write;

pub mod paper;

pub mod view;

pub mod history;

pub mod book;

pub mod job;

pub mod solve;

pub mod as_built;

pub mod place;

mod bill;
mod draw;

pub mod changes;

pub mod report;

pub mod drawings;
mod lists;
mod package;

mod report_page;

pub mod make;

pub mod workshop;

#[cfg(feature = "page")]
pub mod serve;

pub mod schema;
