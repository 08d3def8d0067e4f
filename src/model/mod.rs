//! What a binder is: registers and procedures as typed values that keep their places; it knows no rule and no output.

pub mod world;
