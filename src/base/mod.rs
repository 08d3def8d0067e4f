//! Words every room shares: places in texts, findings, names, quantities and the stamp; it knows no file and no procedure.

pub mod date;
pub mod finding;
pub mod fingerprint;
pub mod letter;
pub mod limits;
pub mod name;
pub mod paper;
pub mod path;
pub mod qr;
pub mod quantity;
pub mod risk;
pub mod rule;
pub mod stamp;
pub mod text;
pub mod twins;
