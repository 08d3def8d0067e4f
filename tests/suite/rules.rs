//! Rules.
