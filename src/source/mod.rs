//! From bytes to spanned trees: YAML, schemas, Markdown and braces; it knows what was written, not what it means.

pub mod body;
pub mod brace;
pub mod decode;
pub mod schema;
pub mod yaml;
