//! The strength of a plate part: a screening by published formulas.
//!
//! Forces are newtons, lengths millimetres, stresses N/mm². A load is a force at a point of
//! the formed part. It is followed through every face and bend to the support; at
//! each section on its path the free body on its side gives the forces there. Every way to fail is
//! a [`Limit`]: the force at which it happens and its factor of safety, with the number of its
//! formula and, for a section, where it is. The least allowable force governs. Where the load path
//! cannot be followed, only the reason is given.
//!
//! Two methods are known. AISC 360-16, in its allowable-strength form (Ω), is written for
//! steel in buildings; ASME BTH-1 for lifting devices, with a design factor Nd by the use.
//! Both are applied to other metals with those metals' own strengths, as a screening.

mod bolt;
mod bolted_plate;
mod bolts;
mod cap;
mod case;
mod chord;
mod column;
mod cut;
mod every_section;
mod eye;
mod face;
mod fan;
mod fault;
mod flexure;
mod group;
mod heat;
mod held;
mod joined;
mod judge;
mod lift;
mod ligament;
mod limit;
mod line;
mod load;
mod load_path;
mod loaded;
mod metalwork;
mod method;
mod net;
mod notch;
mod nudged;
mod parted;
mod parting;
mod place;
mod plate;
mod pry;
mod reason;
mod refined_least;
mod section;
mod shadow;
mod shown;
mod single_pin;
mod spread;
mod station;
mod sunk;
mod support;
mod support_line;
mod tear_out;
mod tube;
mod unmodelled;
mod verdict;
mod weld;

pub use case::Subject;
pub(crate) use column::Piece;
pub(crate) use column::Strut;
pub(crate) use column::buckling_stress;
pub(crate) use column::pressed_and_bent;
pub use fault::Fault;
pub(crate) use fault::STRENGTH;
pub(crate) use held::first_filler;
pub(crate) use held::fused;
pub use judge::judge;
pub use limit::{Forces, Limit, Member, Metal, Section, Shape};
pub use load::{At, Direction, Load};
pub use method::{Category, Method};
pub(crate) use place::face_of;
pub(crate) use place::is_edge;
pub use place::{acts_on, names};
pub use reason::Reason;
pub use shown::Datum;
pub use verdict::{Acts, State, Verdict};
pub(crate) use weld::Fillet;
pub(crate) use weld::min_leg;

/// Printed with everything that shows a strength.
pub const CAUTION: &str = "A screening calculation, not a substitute for local codes and a \
     licensed engineer's judgement.";
