//! What is printed around a compiled packet; it knows no page.

use crate::base::stamp::Stamp;
use crate::packet::change::since::Since;
use crate::packet::identity::Identity;

/// What is printed around a packet and is no part of it.
#[derive(Clone, Copy, Debug)]
pub struct Around<'a> {
    /// How the packet is recognised.
    pub identity: &'a Identity,
    /// How the card of the same tag is recognised.
    pub face: &'a Identity,
    /// Whether it may be used, and on whose word.
    pub stamp: &'a Stamp,
    /// What changed since the revision before; none where it was not compared, and then the packet says so.
    pub since: Option<&'a Since>,
}

impl<'a> Around<'a> {
    /// Returns what stands around a packet that is compared with no other.
    #[must_use]
    pub const fn of(identity: &'a Identity, face: &'a Identity, stamp: &'a Stamp) -> Self {
        Self { identity, face, stamp, since: None }
    }

    /// Returns the same with what changed.
    #[must_use]
    pub const fn since(self, since: &'a Since) -> Self {
        Self { since: Some(since), ..self }
    }
}
