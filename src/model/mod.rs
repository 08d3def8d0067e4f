//! What a binder is: registers and procedures as typed values that keep their places; it knows no rule and no output.

pub mod accepted;
pub mod binder;
pub mod crib;
pub mod draw;
pub mod drive;
pub mod family;
pub mod fields;
pub mod fleet;
pub mod head;
pub mod load;
mod nut_factor;
pub mod only;
pub mod opening;
pub mod procedure;
pub mod prose;
pub mod ring;
pub mod settings;
mod sorter;
pub mod value;
pub mod verbs;
pub mod waiver;
pub mod world;
