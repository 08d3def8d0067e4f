//! Passes of a tightening that a sentence names before its torque: `first to 30 %, then to 70 %, then to {torque}`; whether the register has the same is another's question.

use crate::language::action::{Act, Action};
use crate::language::clause::Clause;
use crate::language::item::Kind;
use crate::language::parser::Parser;
use crate::language::reading::Doubt;
use crate::language::verb::Sense;

impl Parser<'_> {
    /// Returns the share of a pass that stands at `at`, in per cent, and where it ends; none where no further `to` follows it, since the
    /// last of them is the torque itself.
    pub(super) fn pass(&self, at: usize) -> Option<(u32, usize)> {
        let (share, after) = self.percent(at)?;
        let of_value = self.says(after, "of") && self.is_kind(after + 1, Kind::Value);
        let end = if of_value { after + 2 } else { after };
        let comma = usize::from(self.is_mark(end, ','));
        let next = self.after_joins(end + comma);
        (next > end && self.says(next, "to")).then_some((share, end))
    }

    /// Returns whole per cent that stand at `at` (`30 %`, `30%`, `30 percent`), and the end of them.
    fn percent(&self, at: usize) -> Option<(u32, usize)> {
        let item = self.item(at)?;
        if let Some(number) = item.text.strip_suffix('%') {
            return Some((number.parse().ok()?, at + 1));
        }
        let is_percent = self.says(at + 1, "%") || self.says(at + 1, "percent");
        let number = item.text.parse().ok().filter(|_| is_percent)?;
        Some((number, at + 2))
    }

    /// Returns whether a figure at `at` is the share of a pass, or the torque that it is a share of.
    pub(super) fn is_of_a_pass(&self, at: usize) -> bool {
        let share = |at: Option<usize>| at.filter(|at| *at > 0 && self.says(at - 1, "to")).and_then(|at| self.pass(at));
        let is_whole =
            || [2, 3].into_iter().any(|back| share(at.checked_sub(back)).is_some_and(|(_, end)| end == at + 1));
        share(Some(at)).is_some() || (self.says(at.saturating_sub(1), "of") && is_whole())
    }
}

/// Asks where the passes of an order do not rise to the torque `to`, or it is more than the whole of one.
pub(super) fn question(clause: &mut Clause<'_>, to: &str) {
    let last = to.strip_suffix('%').map(str::trim_end);
    let is_beyond = last.is_some_and(|share| share.parse::<f64>().is_ok_and(|share| share > 100.0));
    if is_beyond && clause.verbs.iter().any(|verb| verb.sense == Sense::Act(Act::Tighten)) {
        clause.doubts.push(Doubt::Words(format!("to {to}")));
    }
    if clause.passes.is_empty() {
        return;
    }
    let has_torque = !to.is_empty() && last.is_none();
    let rises = clause.passes.windows(2).all(|pair| pair[0] < pair[1]);
    let is_part = clause.passes.iter().all(|share| (1..100).contains(share));
    let tightens = clause.verbs.iter().all(|verb| verb.sense == Sense::Act(Act::Tighten));
    if !rises || !is_part || !tightens || !has_torque || clause.is_share {
        clause.doubts.push(Doubt::Words(in_words(&clause.passes)));
    }
}

/// Returns the passes before a tightening, each as an action of its own.
pub(super) fn actions(passes: &[u32], last: &Action) -> Vec<Action> {
    let pass = |share: &u32| Action { to: format!("{share} %"), ..last.clone() };
    passes.iter().map(pass).collect()
}

fn in_words(passes: &[u32]) -> String {
    passes.iter().map(|share| format!("to {share} %")).collect::<Vec<_>>().join(", ")
}
