//! The O-ring of a part and its groove, as a plant writes them; whether they go together is the analysis' business.

use crate::base::text::Placed;
use crate::source::yaml::Node;

/// The ring that a part is, and the groove it lies in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RingWritten {
    /// Its size: a size code (`AS568-214`), or the name of a value that says it.
    pub size: RingSize,
    /// Its groove, if the plant has written it down.
    pub groove: Option<GrooveWritten>,
}

/// How the size of a ring is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RingSize {
    /// By a size code, or by the name of a value.
    Code(Placed<String>),
    /// By its dimensions, each a length or the name of a value.
    Dimensions {
        /// Inside diameter.
        inside: Placed<String>,
        /// Section.
        section: Placed<String>,
    },
}

/// A groove; each dimension is a length, a range of lengths, or the name of a value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GrooveWritten {
    /// `static`, `face` or `moving`.
    pub seal: String,
    /// The diameter that the ring sits on.
    pub seat: Option<Placed<String>>,
    /// From the bottom of the groove to the surface it seals against.
    pub depth: Placed<String>,
    /// Width.
    pub width: Option<Placed<String>>,
}

impl RingWritten {
    /// Reads the fields `ring` and `groove` of a part.
    #[must_use]
    pub fn read(part: &Node) -> Option<Self> {
        let ring = part.get("ring")?;
        let at = |node: &Node, key: &str| node.get(key).and_then(Node::placed);
        let size = match ring.placed() {
            Some(code) => RingSize::Code(code),
            None => RingSize::Dimensions { inside: at(ring, "inside")?, section: at(ring, "section")? },
        };
        let groove = part.get("groove").and_then(|groove| {
            let seal = groove.get("seal").and_then(Node::text)?.to_owned();
            Some(GrooveWritten {
                seal,
                seat: at(groove, "seat"),
                depth: at(groove, "depth")?,
                width: at(groove, "width"),
            })
        });
        Some(Self { size, groove })
    }

    /// Returns the place of its size.
    #[must_use]
    pub fn span(&self) -> crate::base::text::Span {
        match &self.size {
            RingSize::Code(code) => code.span,
            RingSize::Dimensions { inside, .. } => inside.span,
        }
    }
}
