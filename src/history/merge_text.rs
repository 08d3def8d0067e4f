//! One text that two people changed from one beginning: what only one of them touched is taken, what both touched is a clash.
//!
//! Nothing is ever marked inside of a text: a clash is settled by a person before there is a text at all.

use crate::history::units::{Cut, Unit, numbered, units};
use similar::{Algorithm, DiffOp, capture_diff_slices};
use std::fmt::Write as _;
use std::ops::Range;

/// A piece of what comes of two changes of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// Both agree, or only one of them touched it.
    Settled(String),
    /// Both touched it.
    Clash(Clash),
}

/// What two people made of the same lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clash {
    /// As it was.
    pub base: String,
    /// As this side has it.
    pub ours: String,
    /// As the other side has it.
    pub theirs: String,
    /// The line it begins on, in this side's text.
    pub our_line: usize,
    /// The line it begins on, in the other side's text.
    pub their_line: usize,
}

/// Which of two texts is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Ours.
    Ours,
    /// What the other side has.
    Theirs,
}

/// Returns the pieces of the union of two changes of `base`, in order.
#[must_use]
pub fn pieces(base: &str, ours: &str, theirs: &str, cut: Cut) -> Vec<Piece> {
    let texts = [units(base, cut), units(ours, cut), units(theirs, cut)];
    let [base_units, our_units, their_units] = &texts;
    let (our_hunks, their_hunks) = (hunks(base_units, our_units), hunks(base_units, their_units));
    let mut sweep = Sweep { base: base_units, ours: our_units, theirs: their_units, pieces: Vec::new() };
    let (mut i, mut j, mut at) = (0, 0, 0);
    let (mut our_shift, mut their_shift) = (0_isize, 0_isize);
    while i < our_hunks.len() || j < their_hunks.len() {
        let starts = [our_hunks.get(i), their_hunks.get(j)].into_iter().flatten().map(|hunk| hunk.old.start);
        let start = starts.min().expect("one of them has a change left");
        let (first_i, first_j) = (i, j);
        let mut end = start;
        let mut is_alike = true;
        // Takes in every change that meets those taken in already.
        loop {
            let is_first = first_i == i && first_j == j;
            let meets = |hunk: &&Hunk| {
                is_first && hunk.old.start == start
                    || hunk.old.start < end
                    || (hunk.old.start == end && !is_first && (!(is_alike && hunk.is_alike()) || sweep.is_bound(end)))
            };
            if let Some(hunk) = our_hunks.get(i).filter(meets) {
                end = end.max(hunk.old.end);
                is_alike &= hunk.is_alike();
                i += 1;
            } else if let Some(hunk) = their_hunks.get(j).filter(meets) {
                end = end.max(hunk.old.end);
                is_alike &= hunk.is_alike();
                j += 1;
            } else {
                break;
            }
        }
        sweep.same(at..start, our_shift, their_shift);
        let our_start = shifted(start, our_shift);
        let their_start = shifted(start, their_shift);
        our_shift += our_hunks[first_i..i].iter().map(Hunk::growth).sum::<isize>();
        their_shift += their_hunks[first_j..j].iter().map(Hunk::growth).sum::<isize>();
        let our_range = our_start..shifted(end, our_shift);
        let their_range = their_start..shifted(end, their_shift);
        match (first_i == i, first_j == j) {
            (false, true) => sweep.settled(text(&our_units[our_range])),
            (true, false) => sweep.settled(text(&their_units[their_range])),
            _ => sweep.both(start..end, our_range, their_range),
        }
        at = end;
    }
    sweep.same(at..base_units.len(), our_shift, their_shift);
    sweep.pieces
}

/// Returns the text in which each clash, in order, is settled as said; none where one is not.
///
/// Where the steps of all three texts are numbered one by one, so are those of the union.
#[must_use]
pub fn settled(pieces: &[Piece], sides: &[Side], cut: Cut, three: [&str; 3]) -> Option<String> {
    let mut sides = sides.iter();
    let mut whole = String::new();
    for piece in pieces {
        match piece {
            Piece::Settled(text) => whole.push_str(text),
            Piece::Clash(clash) => match sides.next()? {
                Side::Ours => whole.push_str(&clash.ours),
                Side::Theirs => whole.push_str(&clash.theirs),
            },
        }
    }
    let is_counted = cut == Cut::Procedure && three.iter().all(|text| is_counted(text));
    Some(if is_counted { counted(&whole) } else { whole })
}

/// Tells whether the numbered items of a procedure's body are 1, 2, 3 and so on.
fn is_counted(text: &str) -> bool {
    let units = units(text, Cut::Procedure);
    let numbers = units.iter().filter(|unit| !unit.is_bound).filter_map(|unit| numbered(unit.text));
    numbers.zip(1..).all(|((number, _), place)| number == place)
}

fn counted(text: &str) -> String {
    let mut next = 1;
    let mut whole = String::new();
    for unit in units(text, Cut::Procedure) {
        match numbered(unit.text).filter(|_| !unit.is_bound) {
            Some((_, rest)) => {
                let _ = write!(whole, "{next}{rest}");
                next += 1;
            }
            None => whole.push_str(unit.text),
        }
    }
    whole
}

struct Hunk {
    old: Range<usize>,
    new: Range<usize>,
}

impl Hunk {
    /// Returns whether as many pieces stand there as before: nothing was put in or taken out.
    fn is_alike(&self) -> bool {
        self.old.len() == self.new.len()
    }

    fn growth(&self) -> isize {
        self.new.len().cast_signed() - self.old.len().cast_signed()
    }
}

fn hunks(old: &[Unit<'_>], new: &[Unit<'_>]) -> Vec<Hunk> {
    let keys = |units: &[Unit<'_>]| units.iter().map(|unit| unit.key.to_owned()).collect::<Vec<_>>();
    let ops = capture_diff_slices(Algorithm::Myers, &keys(old), &keys(new));
    let changed = ops.into_iter().filter(|op| !matches!(op, DiffOp::Equal { .. }));
    let mut hunks: Vec<Hunk> = Vec::new();
    for op in changed {
        let (old, new) = (op.old_range(), op.new_range());
        // What follows directly on a change is part of it.
        match hunks.last_mut() {
            Some(last) if last.old.end == old.start && last.new.end == new.start => {
                last.old.end = old.end;
                last.new.end = new.end;
            }
            _ => hunks.push(Hunk { old, new }),
        }
    }
    hunks
}

fn shifted(at: usize, shift: isize) -> usize {
    at.checked_add_signed(shift).expect("a place of one text is a place of the other")
}

fn text(units: &[Unit<'_>]) -> String {
    units.iter().map(|unit| unit.text).collect()
}

struct Sweep<'a> {
    base: &'a [Unit<'a>],
    ours: &'a [Unit<'a>],
    theirs: &'a [Unit<'a>],
    pieces: Vec<Piece>,
}

impl Sweep<'_> {
    fn is_bound(&self, at: usize) -> bool {
        let bound = |unit: Option<&Unit<'_>>| unit.is_some_and(|unit| unit.is_bound);
        bound(self.base.get(at)) || bound(at.checked_sub(1).and_then(|before| self.base.get(before)))
    }

    fn settled(&mut self, text: String) {
        match self.pieces.last_mut() {
            Some(Piece::Settled(last)) => last.push_str(&text),
            _ => self.pieces.push(Piece::Settled(text)),
        }
    }

    /// What neither changed but for a number: the one that was changed is taken.
    fn same(&mut self, range: Range<usize>, our_shift: isize, their_shift: isize) {
        for at in range {
            let (base, our) = (self.base[at].text, self.ours[shifted(at, our_shift)].text);
            let text = if our == base { self.theirs[shifted(at, their_shift)].text } else { our };
            self.settled(text.to_owned());
        }
    }

    fn both(&mut self, base: Range<usize>, ours: Range<usize>, theirs: Range<usize>) {
        let line = |units: &[Unit<'_>], at: usize| {
            let end = || units.last().map_or(1, |unit| unit.line + unit.text.lines().count());
            units.get(at).map_or_else(end, |unit| unit.line)
        };
        let (our_line, their_line) = (line(self.ours, ours.start), line(self.theirs, theirs.start));
        let (ours, theirs) = (text(&self.ours[ours]), text(&self.theirs[theirs]));
        if ours == theirs {
            return self.settled(ours);
        }
        let base = text(&self.base[base]);
        self.pieces.push(Piece::Clash(Clash { base, ours, theirs, our_line, their_line }));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BASE: &str = "## Strip\n\n1. Remove the guard.\n2. Remove the nuts.\n3. Remove the casing.\n4. Wait.\n";

    fn union(ours: &str, theirs: &str, cut: Cut, base: &str) -> Result<String, Vec<Clash>> {
        let pieces = pieces(base, ours, theirs, cut);
        settled(&pieces, &[], cut, [base, ours, theirs]).ok_or_else(|| {
            let clash = |piece| if let Piece::Clash(clash) = piece { Some(clash) } else { None };
            pieces.into_iter().filter_map(clash).collect()
        })
    }

    #[test]
    fn different_steps_are_united_and_numbered_again() {
        let ours = BASE.replace("the nuts", "the cap nuts");
        let theirs = BASE.replace("the casing", "the pump casing");
        let both = union(&ours, &theirs, Cut::Procedure, BASE).unwrap();
        assert_eq!(both, BASE.replace("the nuts", "the cap nuts").replace("the casing", "the pump casing"));
        // One puts a step in and numbers what follows; the other words the last one.
        let ours =
            "## Strip\n\n1. Drain it.\n2. Remove the guard.\n3. Remove the nuts.\n4. Remove the casing.\n5. Wait.\n";
        let theirs = BASE.replace("Wait.", "Wait 5 min.");
        let both = union(ours, &theirs, Cut::Procedure, BASE).unwrap();
        assert_eq!(both, ours.replace("Wait.", "Wait 5 min."));
        assert_eq!(union(&theirs, ours, Cut::Procedure, BASE).unwrap(), both);
    }

    #[test]
    fn the_same_step_is_a_clash_with_both_texts() {
        let ours = BASE.replace("the nuts", "the cap nuts");
        let theirs = BASE.replace("the nuts", "the six nuts");
        let clashes = union(&ours, &theirs, Cut::Procedure, BASE).unwrap_err();
        assert_eq!(clashes.len(), 1);
        assert_eq!(clashes[0].ours, "2. Remove the cap nuts.\n");
        assert_eq!(clashes[0].theirs, "2. Remove the six nuts.\n");
        assert_eq!(clashes[0].our_line, 4);
        // Put in at the same place: nobody knows the order.
        let ours = BASE.replace("4. Wait.\n", "4. Wait.\n5. Ours.\n");
        let theirs = BASE.replace("4. Wait.\n", "4. Wait.\n5. Theirs.\n");
        assert_eq!(union(&ours, &theirs, Cut::Procedure, BASE).unwrap_err().len(), 1);
    }

    #[test]
    fn neighbouring_rows_are_a_clash_and_distant_ones_none() {
        let base = "rows:\n  - [1, 10]\n  - [2, 12]\n  - [3, 25]\n  - [4, 44]\n";
        let with = |from: &str, to: &str| base.replace(from, to);
        let ours = with("[1, 10]", "[1, 11]");
        assert!(union(&ours, &with("[2, 12]", "[2, 13]"), Cut::Rows, base).is_err());
        assert!(union(&ours, &with("[1, 10]", "[1, 12]"), Cut::Rows, base).is_err());
        let both = union(&ours, &with("[4, 44]", "[4, 45]"), Cut::Rows, base).unwrap();
        assert_eq!(both, base.replace("[1, 10]", "[1, 11]").replace("[4, 44]", "[4, 45]"));
        assert_eq!(union(&ours, &ours, Cut::Rows, base).unwrap(), ours);
    }
}
