//! A joint on one machine: its torque stages, wrench and pattern; whether the torque is wise is another engine's question.

use crate::analysis::adapter::AdapterHere;
use crate::analysis::fastener::thread::is_left_hand;
use crate::analysis::job::{Answer, Job};
use crate::analysis::pattern::{self, Order};
use crate::analysis::values::{boxed, wrong_kind};
use crate::base::finding::Finding;
use crate::base::limits::{FASTENERS, PARTS};
use crate::base::name::{Name, nearest};
use crate::base::quantity::{Dimension, Quantity};
use crate::base::rule::{UNDECLARED_NAME, WRONG_KIND};
use crate::base::text::{Placed, Span};
use crate::model::crib::{Item, Kind};
use crate::model::draw::Draw;
use crate::model::family::{Hand, Joint, Part, TorqueStage};
use crate::model::value::Value;
use rust_decimal::{Decimal, RoundingStrategy};
use std::borrow::Cow;

/// A stage's word and its torque; snug has none.
pub type Stage = (Cow<'static, str>, Option<Quantity>);

/// A joint as it is on one machine.
#[derive(Clone, Debug)]
pub struct JointHere<'b> {
    /// The joint as declared.
    pub joint: &'b Joint,
    /// How many fasteners it has here.
    pub count: u32,
    /// Thread and class in words; may be empty.
    pub thread: String,
    /// Lubrication state in words; may be empty.
    pub state: String,
    /// Stages with their torque.
    pub stages: Vec<Stage>,
    /// The torque tool.
    pub wrench: Option<Item>,
    /// The adapter between it and the fastener.
    pub adapter: Option<AdapterHere>,
    /// True where it is tightened anticlockwise: the register says so, or its thread does (`M20x1.5-LH`).
    pub left_hand: bool,
    /// The tightening order.
    pub order: Option<Order>,
}

/// Returns a count that is not above a limit.
///
/// # Errors
/// A finding at `span` where it is.
pub(crate) fn within(count: u32, most: u32, span: Span) -> Answer<u32> {
    if count <= most {
        return Ok(count);
    }
    let finding = Finding::error(WRONG_KIND, format!("{count} of them are more than the limit of {most}"));
    Err(boxed(finding.at(span).help("look at the number; a digit too many is soon typed")))
}

impl JointHere<'_> {
    /// Returns whether something is its fastener.
    #[must_use]
    pub fn is_fastened_by(&self, thing: &str) -> bool {
        !thing.is_empty() && self.joint.fastener.value == Name::new(thing)
    }
}

impl<'b> Job<'b> {
    /// Returns the joints this procedure tightens here, in the order listed, and what keeps the others from being told.
    #[must_use]
    pub fn joints(&self) -> (Vec<JointHere<'b>>, Vec<Finding>) {
        let mut joints = Vec::new();
        let mut findings = Vec::new();
        for draw in self.procedure.torques.iter().filter(|draw| self.applies(draw.only.as_ref())) {
            match self.joint(draw) {
                Ok(joint) => joints.extend(joint),
                Err(finding) => findings.push(*finding),
            }
        }
        (joints, findings)
    }

    fn joint(&self, draw: &Draw) -> Answer<Option<JointHere<'b>>> {
        let name = self.reference(&draw.what)?;
        let joint = self.family.joint(&Name::new(&name.value)).ok_or_else(|| self.no_joint(&name))?;
        if !self.decides(joint.only.as_ref())? {
            return Ok(None);
        }
        let torque = self.torque(joint)?;
        let count = self.fasteners(joint)?;
        let thread = match &joint.thread {
            Some(thread) => self.shown(&self.value_or_literal(thread)?),
            None => String::new(),
        };
        let words = [thread.as_str(), joint.class.as_str()].into_iter().filter(|word| !word.is_empty());
        let state = joint.state.as_ref().map(|state| self.text(state)).transpose()?;
        let stages: Vec<_> = joint.stages.iter().map(|stage| stage_torque(*stage, torque)).collect();
        let wrench = joint.wrench.as_ref().map(|wrench| self.wrench(wrench)).transpose();
        let wrench = wrench.map_err(|finding| self.covered_otherwise(*finding, joint, &stages))?;
        let adapter = self.adapter(joint, wrench.as_ref(), &stages)?;
        Ok(Some(JointHere {
            joint,
            left_hand: self.hand(joint) == Hand::Left,
            adapter,
            count,
            thread: words.collect::<Vec<_>>().join(" "),
            state: state.unwrap_or_default(),
            stages,
            wrench,
            order: pattern::order(joint.pattern, count),
        }))
    }

    /// Returns the hand of a joint's thread on this machine: left where the register says so, or the designation of the thread.
    #[must_use]
    pub fn hand(&self, joint: &Joint) -> Hand {
        // A thread that cannot be told is found where the joint is.
        let thread = joint.thread.as_ref().and_then(|thread| self.value_or_literal(thread).ok());
        let is_left = thread.is_some_and(|thread| is_left_hand(&self.shown(&thread)));
        if is_left { Hand::Left } else { joint.hand }
    }

    fn torque(&self, joint: &Joint) -> Answer<Quantity> {
        match self.value(&joint.torque)? {
            Value::Quantity(torque) if torque.unit.dimension() == Dimension::Torque => Ok(torque),
            other => Err(boxed(wrong_kind(&joint.torque, &format!("a torque is needed, and it is {}", other.kind())))),
        }
    }

    fn fasteners(&self, joint: &Joint) -> Answer<u32> {
        let part = self.family.part(&joint.fastener.value).ok_or_else(|| self.no_part(&joint.fastener))?;
        within(self.count(part)?, FASTENERS, part.count.span)
    }

    fn wrench(&self, wrench: &Placed<String>) -> Answer<Item> {
        let value = self.value_or_literal(wrench)?;
        self.held(&value, wrench.span).cloned()
    }

    /// Adds to a finding about a missing wrench which torque tools of the crib show every stage of its joint, if any does.
    fn covered_otherwise(&self, finding: Finding, joint: &Joint, stages: &[Stage]) -> Box<Finding> {
        let torques: Vec<Quantity> = stages.iter().filter_map(|(_, torque)| *torque).collect();
        let shown =
            torques.iter().map(|torque| torque.to_string().replace('\u{a0}', " ")).collect::<Vec<_>>().join(", ");
        let others: Vec<&str> = self.tools_that_show(&torques).iter().map(|item| item.id.value.as_str()).collect();
        let words = if others.is_empty() {
            format!("no torque tool of the crib covers {shown}")
        } else {
            format!("{shown}: covered by {}", others.join(", "))
        };
        boxed(finding.also(joint.torque.span, words))
    }

    /// Returns the torque tools of the crib that show all of these torques, in the order of the crib.
    #[must_use]
    pub fn tools_that_show(&self, torques: &[Quantity]) -> Vec<&'b Item> {
        let shows = |item: &&Item| match &item.kind {
            Kind::TorqueTool { range: Some(range), .. } => torques.iter().all(|torque| range.holds(*torque)),
            _ => false,
        };
        self.binder.crib.items.iter().filter(shows).collect()
    }

    /// Returns how many of a part this machine has.
    ///
    /// # Errors
    /// A finding where the count is neither a whole number nor the name of one.
    pub fn count(&self, part: &Part) -> Answer<u32> {
        if let Ok(count) = part.count.value.trim().parse() {
            return within(count, PARTS, part.count.span);
        }
        let name = Placed::new(Name::new(&part.count.value), part.count.span);
        match self.value(&name)? {
            Value::Count(count) => within(count, PARTS, name.span),
            other => Err(boxed(wrong_kind(&name, &format!("a whole number is needed, and it is {}", other.kind())))),
        }
    }

    /// Returns a finding that the family has no such part.
    #[must_use]
    pub fn no_part(&self, name: &Placed<Name>) -> Box<Finding> {
        let known = self.family.parts.iter().map(|part| part.name.value.as_str());
        self.not_in_family("part", &name.value, name.span, nearest(name.value.as_str(), known))
    }

    fn no_joint(&self, name: &Placed<String>) -> Box<Finding> {
        let known = self.family.joints.iter().map(|joint| joint.name.value.as_str());
        self.not_in_family("joint", &Name::new(&name.value), name.span, nearest(&name.value, known))
    }

    fn not_in_family(
        &self,
        what: &str,
        name: &Name,
        span: crate::base::text::Span,
        near: Option<&str>,
    ) -> Box<Finding> {
        let message = format!("family {} has no {what} `{name}`", self.family.id.value);
        let help = near.map_or_else(
            || format!("enter it under `{what}s:` of the family"),
            |near| format!("did you mean `{near}`?"),
        );
        boxed(Finding::error(UNDECLARED_NAME, message).at(span).help(help))
    }
}

/// Returns a stage's word and its torque. A share is exact where it has few digits; else it keeps three, rounded down, so
/// that no stage is ever above its share.
fn stage_torque(stage: TorqueStage, torque: Quantity) -> Stage {
    let share = |above: u32, below: u32| {
        let number = (torque.number * Decimal::from(above) / Decimal::from(below)).normalize();
        let is_short = number.scale() <= torque.number.scale() + 2;
        let number = if is_short { number } else { three_digits(number) };
        Quantity { number, unit: torque.unit }
    };
    match stage {
        TorqueStage::Snug => ("snug".into(), None),
        TorqueStage::Share(1, 2) => ("half".into(), Some(share(1, 2))),
        TorqueStage::Share(1, 3) => ("one third".into(), Some(share(1, 3))),
        TorqueStage::Share(2, 3) => ("two thirds".into(), Some(share(2, 3))),
        TorqueStage::Share(above, below) => (format!("{above}\u{a0}%").into(), Some(share(above, below))),
        TorqueStage::Final => ("final".into(), Some(torque)),
        TorqueStage::Round => ("once round".into(), Some(torque)),
    }
}

fn three_digits(number: Decimal) -> Decimal {
    number.round_sf_with_strategy(3, RoundingStrategy::ToZero).unwrap_or(number).normalize()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stage_is_never_nothing_and_never_above_its_share() {
        let shown = |torque: &str, stage| {
            let (_, quantity) = stage_torque(stage, Quantity::parse(torque).expect("typed by hand"));
            quantity.expect("a share has a figure").to_string().replace('\u{a0}', " ")
        };
        assert_eq!(shown("25 N·m", TorqueStage::Share(1, 2)), "12.5 N·m");
        assert_eq!(shown("44 N·m", TorqueStage::Share(1, 3)), "14.6 N·m");
        assert_eq!(shown("44 N·m", TorqueStage::Share(2, 3)), "29.3 N·m");
        assert_eq!(shown("0.05 N·m", TorqueStage::Share(1, 2)), "0.025 N·m");
        assert_eq!(shown("0.05 N·m", TorqueStage::Share(1, 3)), "0.0166 N·m");
        assert_eq!(shown("1.10 N·m", TorqueStage::Final), "1.10 N·m");
    }
}
