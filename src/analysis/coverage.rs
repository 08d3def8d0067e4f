//! Coverage of a fleet.
