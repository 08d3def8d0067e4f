//! Chance that nobody can foretell, from the operating system; it knows not what it is for.

/// The operating system refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the operating system gives no chance: {0}")]
pub struct NoChance(String);

/// Fills the bytes.
///
/// # Errors
/// [`NoChance`] where the operating system refuses; then no key may be made.
pub fn fill(bytes: &mut [u8]) -> Result<(), NoChance> {
    getrandom::fill(bytes).map_err(|error| NoChance(error.to_string()))
}
