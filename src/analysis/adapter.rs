//! What a torque wrench is set to where an adapter changes its lever, on one machine; where a length is not known it says so and gives no setting.

use crate::analysis::fastener::lever::Lever;
use crate::analysis::fastener::si;
use crate::analysis::job::{Answer, Job};
use crate::analysis::joint::{JointHere, Stage};
use crate::analysis::values::boxed;
use crate::analysis::working::Refusal;
use crate::base::finding::Finding;
use crate::base::quantity::{Quantity, Rounding, round_to_step};
use crate::base::rule::NO_SETTING_FOR_ADAPTER;
use crate::model::crib::{Item, Kind};
use crate::model::family::{Joint, TorqueRole};
use rust_decimal::prelude::{FromPrimitive as _, ToPrimitive as _};
use rust_decimal::{Decimal, RoundingStrategy};

/// An adapter between wrench and fastener.
#[derive(Clone, Debug)]
pub struct AdapterHere {
    /// The adapter.
    pub item: Item,
    /// Its angle to the handle, in degrees.
    pub angle: u32,
    /// What the wrench is set to, stage by stage; none for snug.
    pub settings: Vec<Option<Quantity>>,
}

impl JointHere<'_> {
    /// Returns each stage's word with what its wrench must show: the setting where an adapter changes the lever, else the
    /// torque.
    pub fn on_the_wrench(&self) -> impl Iterator<Item = (&str, Option<Quantity>)> {
        let shown = |at: usize, torque: Option<Quantity>| match &self.adapter {
            Some(adapter) => adapter.settings.get(at).copied().flatten(),
            None => torque,
        };
        self.stages.iter().enumerate().map(move |(at, (stage, torque))| (stage.as_ref(), shown(at, *torque)))
    }

    /// Says what the wrench is set to where an adapter changes its lever; empty where none does.
    #[must_use]
    pub fn setting(&self) -> String {
        let (Some(adapter), Some(wrench)) = (&self.adapter, &self.wrench) else { return String::new() };
        let stages: Vec<_> = self.on_the_wrench().filter_map(|(stage, set)| Some((stage, set?))).collect();
        let settings: Vec<String> = match stages.as_slice() {
            [(_, only)] => vec![only.to_string()],
            several => several.iter().map(|(stage, set)| format!("{stage} {set}")).collect(),
        };
        let along = match adapter.angle {
            0 => "in line with the handle".to_owned(),
            90 => "across the handle".to_owned(),
            angle => format!("at {angle}° to the handle"),
        };
        format!("Set {} with {} {along} to {}.", wrench.id.value, adapter.item.id.value, settings.join(", "))
    }
}

impl Job<'_> {
    /// Returns the adapter of a joint with the settings it asks for; none where the joint has none.
    ///
    /// # Errors
    /// A finding where the crib does not hold it, or a length is missing.
    pub(super) fn adapter(
        &self,
        joint: &Joint,
        wrench: Option<&Item>,
        stages: &[Stage],
    ) -> Answer<Option<AdapterHere>> {
        let Some((name, angle)) = &joint.adapter else { return Ok(None) };
        let item = self.held(&self.value_or_literal(name)?, name.span)?.clone();
        let none = |refusal: &Refusal| {
            let message = format!("the setting for `{}` with `{}` cannot be computed", joint.name.value, item.id.value);
            let finding = Finding::error(NO_SETTING_FOR_ADAPTER, message)
                .at(name.span)
                .also(item.id.span, refusal.message.clone())
                .floor("the wrench would be set to the torque, and the fastener would get another")
                .help(refusal.hint.clone());
            boxed(finding)
        };
        let settings = wrench.ok_or_else(|| Refusal::new("the joint names no wrench").hint("name it under `wrench:`"));
        let settings = settings.and_then(|wrench| settings_of(joint, wrench, &item, *angle, stages));
        let settings = settings.map_err(|refusal| none(&refusal))?;
        Ok(Some(AdapterHere { item, angle: *angle, settings }))
    }
}

fn settings_of(
    joint: &Joint,
    wrench: &Item,
    adapter: &Item,
    angle: u32,
    stages: &[Stage],
) -> Result<Vec<Option<Quantity>>, Refusal> {
    let Kind::Tool { reach: Some(reach), .. } = &adapter.kind else {
        return Err(Refusal::new("the crib does not say how far it reaches").hint(
            "measure from the middle of the drive to the middle of the fastener, and enter it under `reach:` of the adapter",
        ));
    };
    let Kind::TorqueTool { lever, graduation, .. } = &wrench.kind else {
        return Err(Refusal::new(format!("`{}` shows no torque", wrench.id.value)).hint("name a torque wrench"));
    };
    let Some(length) = lever else {
        return Err(Refusal::new(format!("the crib does not say the lever of `{}`", wrench.id.value)).hint(
            "measure from the middle of the grip to the middle of the drive, and enter it under `lever:` of the wrench",
        ));
    };
    let lever = Lever::new(si::millimetres(*length)?, si::millimetres(*reach)?, f64::from(angle))?;
    let is_limit = joint.role == TorqueRole::Limit;
    stages
        .iter()
        .map(|(_, torque)| torque.map(|torque| setting(lever, torque, *graduation, is_limit)).transpose())
        .collect()
}

/// Returns what the wrench is set to: three digits that count, or the nearest mark; never above what a limit asks for.
fn setting(lever: Lever, torque: Quantity, graduation: Option<Quantity>, is_limit: bool) -> Result<Quantity, Refusal> {
    let too_large = || Refusal::new("the setting is too large to be shown");
    let exact = lever.setting(torque.number.to_f64().ok_or_else(too_large)?);
    let exact = Decimal::from_f64(exact).ok_or_else(too_large)?;
    let (strategy, rounding) = if is_limit {
        (RoundingStrategy::ToZero, Rounding::Down)
    } else {
        (RoundingStrategy::MidpointAwayFromZero, Rounding::Nearest)
    };
    let number = match graduation.filter(|step| step.unit == torque.unit) {
        Some(step) => round_to_step(exact, step.number, rounding),
        None => exact.round_sf_with_strategy(3, strategy).ok_or_else(too_large)?,
    };
    Ok(Quantity { number, unit: torque.unit })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 44 N·m · 300 / (300 + 60) = 36.667 N·m; at 90° the lever stays and so does the torque; at 180°
    /// 44 · 300 / 240 = 55 N·m.
    #[test]
    fn a_setting_is_rounded_to_what_the_wrench_shows() {
        let torque = Quantity::parse("44 N·m").expect("typed by hand");
        let step = Quantity::parse("0.5 N·m").expect("typed by hand");
        let shown = |angle, graduation, is_limit| {
            let lever = Lever::new(300.0, 60.0, angle).expect("a lever");
            setting(lever, torque, graduation, is_limit).expect("a setting").to_string().replace('\u{a0}', " ")
        };
        assert_eq!(shown(0.0, None, false), "36.7 N·m");
        assert_eq!(shown(0.0, None, true), "36.6 N·m");
        assert_eq!(shown(0.0, Some(step), false), "36.5 N·m");
        assert_eq!(shown(90.0, Some(step), true), "44.0 N·m");
        assert_eq!(shown(180.0, Some(step), false), "55.0 N·m");
    }
}
