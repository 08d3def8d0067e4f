//! The order in which the fasteners of a joint are tightened; it draws nothing.

use crate::model::family::JointPattern;

/// A tightening order for a number of fasteners.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// Number of fasteners.
    pub count: u32,
    /// Fastener numbers, from 1, in the order they are tightened.
    pub sequence: Vec<u32>,
}

/// Cross patterns for bolts numbered clockwise, as the legacy tables of ASME PCC-1 print them: the first bolt of each
/// opposite pair (from memory; the order for 12 was found in print).
const CROSS: [(u32, &[u32]); 6] = [
    (4, &[1, 2]),
    (8, &[1, 3, 2, 4]),
    (12, &[1, 4, 2, 5, 3, 6]),
    (16, &[1, 5, 3, 7, 2, 6, 4, 8]),
    (20, &[1, 6, 3, 8, 5, 10, 2, 7, 4, 9]),
    (24, &[1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12]),
];

/// The passes of a gasketed flange with a cross pattern, each with the share of the torque it lies in, in per cent: the legacy
/// scheme of ASME PCC-1, table 2 (from memory: hold it against the standard). Snug is hand tight and then at most a fifth; after
/// the last pass the bolts are gone over once round until none turns. Shops often go 30, 60 and 100 % (found on three pages).
pub const PASSES: [(&str, u32, u32); 4] =
    [("snug", 0, 20), ("first pass", 20, 30), ("second pass", 50, 70), ("last pass", 100, 100)];

/// Returns the passes in words: `snug; first pass 20 to 30 %; ...`.
#[must_use]
pub fn passes_in_words() -> String {
    let pass = |(name, from, to): &(&str, u32, u32)| match (*from, *to) {
        (0, _) => (*name).to_owned(),
        (from, to) if from == to => format!("{name} {to} %"),
        (from, to) => format!("{name} {from} to {to} %"),
    };
    PASSES.iter().map(pass).collect::<Vec<_>>().join("; ")
}

/// Returns the order for `count` fasteners; none where no order is needed.
#[must_use]
pub fn order(pattern: JointPattern, count: u32) -> Option<Order> {
    let sequence = match pattern {
        _ if count < 2 => return None,
        JointPattern::None => return None,
        JointPattern::Cross => cross(count),
        JointPattern::Rows => rows(count),
    };
    Some(Order { count, sequence })
}

/// Bolts on a circle, numbered clockwise: each is followed by the one opposite.
fn cross(count: u32) -> Vec<u32> {
    if count % 2 == 1 {
        return star(count);
    }
    let half = count / 2;
    let known = CROSS.iter().find(|(bolts, _)| *bolts == count).map(|(_, firsts)| firsts.to_vec());
    // Where the table has no row: every second pair, then the pairs between (common practice, no source).
    let firsts = known.unwrap_or_else(|| (1..=half).step_by(2).chain((2..=half).step_by(2)).collect());
    firsts.into_iter().flat_map(|first| [first, first + half]).collect()
}

/// An odd number of bolts: each is followed by the one farthest away (common practice, no source).
fn star(count: u32) -> Vec<u32> {
    let stride = count / 2;
    (0..count).map(|turn| (turn * stride) % count + 1).collect()
}

/// Bolts in two rows, numbered clockwise from the top of the right row: each is followed by the one diagonally opposite,
/// from the middle of the pack outward (common practice, no source).
fn rows(count: u32) -> Vec<u32> {
    if count % 2 == 1 {
        return star(count);
    }
    let half = count / 2;
    let middle = half.div_ceil(2);
    let mut firsts: Vec<u32> = (1..=half).collect();
    firsts.sort_by_key(|first| (first.abs_diff(middle), *first));
    firsts.into_iter().flat_map(|first| [first, first + half]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(count: u32) -> String {
        let order = order(JointPattern::Cross, count).expect("more than one bolt");
        order.sequence.iter().map(u32::to_string).collect::<Vec<_>>().join("-")
    }

    /// ASME PCC-1, legacy cross pattern, from memory; the order for 12 bolts was found in print.
    #[test]
    fn published_cross_patterns() {
        assert_eq!(drawn(4), "1-3-2-4");
        assert_eq!(drawn(8), "1-5-3-7-2-6-4-8");
        assert_eq!(drawn(12), "1-7-4-10-2-8-5-11-3-9-6-12");
        assert_eq!(drawn(16), "1-9-5-13-3-11-7-15-2-10-6-14-4-12-8-16");
        assert_eq!(drawn(20), "1-11-6-16-3-13-8-18-5-15-10-20-2-12-7-17-4-14-9-19");
        assert_eq!(drawn(24), "1-13-7-19-4-16-10-22-2-14-8-20-5-17-11-23-3-15-9-21-6-18-12-24");
    }

    #[test]
    fn every_bolt_once_and_each_pair_opposite() {
        for pattern in [JointPattern::Cross, JointPattern::Rows] {
            for count in 2..=60 {
                let order = order(pattern, count).expect("more than one bolt");
                let mut seen = order.sequence.clone();
                seen.sort_unstable();
                assert_eq!(seen, (1..=count).collect::<Vec<_>>(), "{pattern:?} {count}");
                if count % 2 == 0 {
                    assert!(
                        order.sequence.chunks(2).all(|pair| pair[0].abs_diff(pair[1]) == count / 2),
                        "{pattern:?} {count}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_single_fastener_has_no_pattern() {
        assert_eq!(order(JointPattern::Cross, 1), None);
        assert_eq!(order(JointPattern::None, 8), None);
    }
}
