//! A boundary of a machine without an isolation point.
//!
//! ## What is found
//! The family says where energy and product come in; every one of these boundaries that a machine has needs at
//! least one isolation point in `fleet.yaml`. An isolation point for a boundary that the machine does not have is
//! told too.
//!
//! ## On the floor
//! The isolation sheet would be short of a valve, and somebody would open a line under pressure.
//!
//! ## How to mend it
//! Walk to the machine, find the point, and write it under `isolation:` of its tag. A boundary that only some
//! machines have is marked `optional: yes` in the family and listed under `boundaries:` of the tag.

use crate::analysis::effectivity;
use crate::base::finding::{Finding, Severity};
use crate::base::rule::BOUNDARY_NOT_ISOLATED;
use crate::model::binder::Binder;
use crate::model::family::{Boundary, Family};
use crate::model::fleet::Machine;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: BOUNDARY_NOT_ISOLATED,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("boundary_not_isolated.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let machines = binder.fleet.iter().filter_map(|machine| Some((machine, binder.family(&machine.family.value)?)));
    machines.flat_map(|(machine, family)| of_machine(machine, family)).collect()
}

fn of_machine(machine: &Machine, family: &Family) -> Vec<Finding> {
    let boundaries = effectivity::boundaries(family, machine);
    let has = |boundary: &Boundary| boundaries.iter().any(|own| std::ptr::eq(*own, boundary));
    let open = boundaries
        .iter()
        .filter(|boundary| !machine.isolation.iter().any(|point| point.boundary.value == boundary.name.value));
    let stray =
        machine.isolation.iter().filter(|point| family.boundary(&point.boundary.value).is_some_and(|own| !has(own)));
    let not_isolated = open.map(|boundary| {
        Finding::error(BOUNDARY_NOT_ISOLATED, format!("nothing isolates the boundary `{}`", boundary.name.value))
            .at(machine.tag.span)
            .also(boundary.name.span, "the family says that it has this boundary")
            .floor(format!("somebody would work on it with {} still connected", boundary.energy))
            .help("walk to the machine, find the point, and write it under `isolation:`")
            .tags([machine.tag.value.clone()])
    });
    let not_listed = stray.map(|point| {
        let message =
            format!("`{}` isolates `{}`, a boundary this tag does not list", point.point, point.boundary.value);
        Finding::error(BOUNDARY_NOT_ISOLATED, message)
            .at(point.boundary.span)
            .floor("either the point or the boundary is wrong, and only the machine can tell which")
            .help("list the boundary under `boundaries:` of the tag, or take the point out")
            .tags([machine.tag.value.clone()])
    });
    not_isolated.chain(not_listed).collect()
}
