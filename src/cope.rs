//! Tube ends shaped to the round tube they meet.
//!
//! A *branch* tube meets a *main* tube. Along the branch, s is measured from the place
//! where its axis passes the axis of the main, away from the main, in mm. Round the branch,
//! φ is 0° at the *heel*, the side where the angle between the two tubes is widest; 180° is the throat.
//! With the main below, the branch upwards and the heel towards the eye, φ grows to the
//! right, and so does the offset of the branch's axis from the main's.
//!
//! The saddle is where a line of the branch at radius ρ meets the main of radius R:
//!
//! ```text
//! s(φ) = (√(R² − (ρ sin φ + e)²) − ρ cos φ cos θ) / sin θ
//! ```

mod end;
mod saw;
mod wrap;

pub(crate) use end::Cope;
pub(crate) use end::CopeError;
pub(crate) use end::Cut;
pub(crate) use saw::saw;
pub(crate) use wrap::OTHER_HEEL;
pub(crate) use wrap::Wrap;
