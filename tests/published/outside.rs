//! placeholder.
