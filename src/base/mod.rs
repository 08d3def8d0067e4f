//! Words every room shares: places in texts, findings, quantities, digests and the stamp; it knows no file and no procedure.

pub mod stamp;
