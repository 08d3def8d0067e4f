//! Torque and preload: the short form with a nut factor, and the friction form; plain functions of numbers, for whoever checked them.
//!
//! Lengths are mm, forces N, stresses MPa, torques N·m.

use crate::analysis::fastener::thread::Thread;
use std::f64::consts::PI;

/// The short form.
pub const SHORT_FORM: &str = "T = K d F";
/// The friction form of VDI 2230-1 and, with the same terms, of ISO 16047.
pub const FRICTION_FORM: &str = "T = F (0.16 P + 0.58 d2 µG + DKm/2 µK)";
/// The preload that loads the bolt to a share of its yield while the torque still twists it.
pub const ASSEMBLY_FORM: &str = "F = As ν Rp0.2 / √(1 + 3 (3/2 d2/d0 (P/(π d2) + 1.155 µG))²)";

/// Coefficients of friction in the thread and under the head.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Friction {
    /// In the thread, µG.
    pub thread: f64,
    /// Under the head or nut, µK.
    pub head: f64,
}

/// Returns the torque for a preload, by the short form.
#[must_use]
pub fn torque(nut_factor: f64, diameter: f64, preload: f64) -> f64 {
    nut_factor * diameter * preload / 1000.0
}

/// Returns the preload of a torque, by the short form.
#[must_use]
pub fn preload(nut_factor: f64, diameter: f64, torque: f64) -> f64 {
    torque * 1000.0 / (nut_factor * diameter)
}

/// Returns the lever in mm that turns a preload into a torque, by the friction form; `bearing` is DKm.
#[must_use]
pub fn friction_lever(thread: &Thread, bearing: f64, friction: Friction) -> f64 {
    0.16 * thread.pitch + 0.58 * thread.pitch_diameter() * friction.thread + bearing / 2.0 * friction.head
}

/// Returns the torque for a preload, by the friction form.
#[must_use]
pub fn torque_by_friction(thread: &Thread, bearing: f64, friction: Friction, preload: f64) -> f64 {
    preload * friction_lever(thread, bearing, friction) / 1000.0
}

/// Returns the preload of a torque, by the friction form.
#[must_use]
pub fn preload_by_friction(thread: &Thread, bearing: f64, friction: Friction, torque: f64) -> f64 {
    torque * 1000.0 / friction_lever(thread, bearing, friction)
}

/// Returns the preload at which tension and torsion together reach a share of the yield.
#[must_use]
pub fn assembly_preload(thread: &Thread, yielding: f64, utilisation: f64, thread_friction: f64) -> f64 {
    let pitch_diameter = thread.pitch_diameter();
    let slope = thread.pitch / (PI * pitch_diameter) + 1.155 * thread_friction;
    let twist = 1.5 * pitch_diameter / thread.stress_diameter() * slope;
    thread.stress_area() * utilisation * yielding / (1.0 + 3.0 * twist * twist).sqrt()
}
