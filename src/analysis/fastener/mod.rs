//! Threads, classes, friction, preload, wrenches: figures of published standards and what follows from them; it knows no binder but for `load`.
//!
//! Limits and torques that people read are decimals; what is computed here is floating point, shown with three digits. All of
//! it is a plausibility check and never a design calculation.

pub mod class;
pub mod friction;
pub mod hexagon;
pub mod lever;
pub mod load;
pub mod preload;
pub mod si;
pub mod thread;
pub mod tool;

/// What every figure of this room says of itself.
pub const CAUTION: &str = "A plausibility check, never a design calculation: real friction is not known. The maker's value, \
the drawing and the plant's own procedure come first.";
