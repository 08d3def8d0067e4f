//! The drive between a torque tool and what sits on it: squares and hexagons by their standard sizes; what it does not know by its words it never takes for another.

use crate::source::yaml::Node;

/// A drive, as a register writes it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drive {
    /// As written (`3/8 in square`).
    pub shown: String,
    /// Which one it is; none where its words name no standard size.
    size: Option<(Shape, &'static str)>,
}

/// The shape of a drive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shape {
    Square,
    Hexagon,
}

/// Square drives of ISO 1174-1: nominal size in mm, and the same in inches (from memory).
const SQUARES: [(&str, &str); 5] = [("6.3", "1/4"), ("10", "3/8"), ("12.5", "1/2"), ("20", "3/4"), ("25", "1")];

/// Hexagons of bits and their holders, ISO 1173: nominal size in mm, and the same in inches (from memory).
const HEXAGONS: [(&str, &str); 3] = [("6.3", "1/4"), ("8", "5/16"), ("11.2", "7/16")];

impl Drive {
    /// Returns the drive written as `text`; what is not understood is kept as it stands.
    #[must_use]
    pub fn new(text: &str) -> Self {
        let shown = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let size = size(&shown);
        Self { shown, size }
    }

    /// Returns whether it is a drive of a standard size.
    #[must_use]
    pub fn is_understood(&self) -> bool {
        self.size.is_some()
    }

    /// Returns whether two drives go together; none where that cannot be told.
    #[must_use]
    pub fn meets(&self, other: &Self) -> Option<bool> {
        match (self.size, other.size) {
            (Some(own), Some(other)) => Some(own == other),
            _ => (self.shown == other.shown).then_some(true),
        }
    }
}

fn size(text: &str) -> Option<(Shape, &'static str)> {
    let (size, shape) = text.rsplit_once(' ')?;
    let (shape, table) = match shape {
        "square" => (Shape::Square, SQUARES.as_slice()),
        "hex" | "hexagon" => (Shape::Hexagon, HEXAGONS.as_slice()),
        _ => return None,
    };
    let (number, unit) = size.split_once(' ')?;
    let row = table.iter().find(|(metric, inch)| match unit {
        "mm" => *metric == number,
        "in" => *inch == number,
        _ => false,
    });
    row.map(|(metric, _)| (shape, *metric))
}

/// Reads the drive under a key.
pub fn read(node: &Node, key: &str) -> Option<Drive> {
    node.get(key).and_then(Node::text).map(Drive::new)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 1174-1 has one square for both spellings of each size; a hexagon of the same width is no square.
    #[test]
    fn both_spellings_of_a_size_are_one_drive() {
        let meets = |one: &str, other: &str| Drive::new(one).meets(&Drive::new(other));
        let pairs =
            [("6.3 mm", "1/4 in"), ("10 mm", "3/8 in"), ("12.5 mm", "1/2 in"), ("20 mm", "3/4 in"), ("25 mm", "1 in")];
        for (at, (metric, inch)) in pairs.into_iter().enumerate() {
            for (other, (_, size)) in pairs.into_iter().enumerate() {
                assert_eq!(meets(&format!("{metric} square"), &format!("{size} square")), Some(at == other));
            }
            assert_eq!(meets(&format!("{inch} square"), &format!("{inch} square")), Some(true));
        }
        assert_eq!(meets("1/4 in hex", "1/4 in square"), Some(false));
        assert_eq!(meets("1/4 in hex", "6.3 mm hexagon"), Some(true));
    }

    #[test]
    fn what_is_not_understood_is_never_taken_for_another() {
        for text in
            ["", "1/2", "1/2 in", "half inch square", "12.7 mm square", "0.5 in square", "1/2 mm square", "9x12 mm"]
        {
            let drive = Drive::new(text);
            assert!(!drive.is_understood(), "{text}");
            assert_eq!(drive.meets(&Drive::new("1/2 in square")), None, "{text}");
            assert_eq!(drive.meets(&Drive::new(&format!(" {text} "))), Some(true), "{text}");
        }
    }
}
