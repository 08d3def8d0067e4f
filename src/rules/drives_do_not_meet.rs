//! A torque wrench and a socket or adapter that cannot be put together.
//!
//! ## What is found
//! A step tightens a joint to its torque. The wrench (the one the step names, else that of the joint) has one drive, and what it
//! turns the fastener with has another: the socket the step names, else the adapter of the joint, else those drawn for the
//! fastener (`tools:` of the part), of which one must go. The crib says both under `drive:`. Squares are those of ISO 1174-1
//! (6.3, 10, 12.5, 20 and 25 mm, which are 1/4, 3/8, 1/2, 3/4 and 1 in), hexagons those of ISO 1173 (6.3, 8 and 11.2 mm, which
//! are 1/4, 5/16 and 7/16 in); both from memory.
//!
//! An adapter from one drive to another (`drive:` and `to-drive:`) that the step names or the part draws goes between them. One that
//! only lies in the crib is a note: nobody draws it. A drive that is written in other words is a note too: it is held against nothing.
//! A tool without `drive:` is not looked at.
//!
//! ## On the floor
//! The fitter stands at the machine with two tools that do not go together, and takes another wrench, or tightens without one.
//!
//! ## How to mend it
//! Name a socket for this wrench or a wrench for this socket, or draw the adapter. Look at the tools: the drive is stamped on them.

use crate::analysis::held::crib_item;
use crate::analysis::joint::JointHere;
use crate::analysis::run::{Deed, Run};
use crate::base::finding::{Finding, Severity};
use crate::base::rule::DRIVES_DO_NOT_MEET;
use crate::base::text::Span;
use crate::language::action::Act;
use crate::model::crib::{Item, Kind};
use crate::model::drive::Drive;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: DRIVES_DO_NOT_MEET,
    severity: Severity::Warning,
    found: Found::Run(check),
    source: include_str!("drives_do_not_meet.rs"),
};

/// What a wrench turns a fastener with, and how it comes to hand.
#[derive(Clone, Copy)]
struct Piece<'i> {
    item: &'i Item,
    drive: &'i Drive,
    span: Span,
}

/// How a wrench and a piece go together.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    Meets,
    BetweenIsInTheCrib,
    NotUnderstood,
    Never,
}

fn check(run: &Run<'_, '_>) -> Vec<Finding> {
    let (joints, _) = run.job.joints();
    let tightens = |deed: &&Deed| deed.action.act == Act::Tighten && deed.torque().is_some();
    let mut found: Vec<Finding> = Vec::new();
    for deed in run.deeds.iter().filter(tightens) {
        let Some(here) = joint_of(&joints, deed) else { continue };
        found.extend(of_deed(run, here, deed).filter(|own| !found.contains(own)));
    }
    found
}

/// Returns the joint that a deed tightens: of several on the same fastener, the one with its torque.
fn joint_of<'h, 'b>(joints: &'h [JointHere<'b>], deed: &Deed) -> Option<&'h JointHere<'b>> {
    let fastened = || joints.iter().filter(|here| here.is_fastened_by(&deed.action.thing));
    let torque = deed.torque();
    let exact = fastened().find(|here| here.stages.iter().any(|(_, own)| *own == torque));
    exact.or_else(|| fastened().next())
}

fn of_deed<'b>(run: &'b Run<'_, '_>, here: &'b JointHere<'_>, deed: &Deed) -> Option<Finding> {
    let crib = &run.job.binder.crib;
    let named: Vec<&Item> = deed.action.with.iter().filter_map(|word| crib_item(crib, word)).collect();
    let drawn = drawn(run, here);
    let own_wrench = named.iter().copied().find(|item| matches!(item.kind, Kind::TorqueTool { .. }));
    let wrench = own_wrench.or(here.wrench.as_ref())?;
    let Kind::TorqueTool { drive: Some(drive), .. } = &wrench.kind else { return None };
    let at_hand: Vec<&Item> = named.iter().copied().chain(drawn.iter().map(|(item, _)| *item)).collect();
    let held: Vec<&Item> = crib.items.iter().collect();
    let fitted = |own: Piece<'b>| (own, fit(drive, own.drive, &at_hand, &held));
    let named: Vec<Piece<'_>> = named.iter().filter_map(|item| piece(item, deed.span)).collect();
    let adapter = here.adapter.as_ref().filter(|_| own_wrench.is_none());
    // Each tool that a step names is used; of those that are drawn for a fastener, one is.
    let judged = if !named.is_empty() {
        named.into_iter().map(fitted).max_by(|one, other| one.1.cmp(&other.1))
    } else if let Some(adapter) = adapter {
        let span = here.joint.adapter.as_ref().map_or(here.joint.name.span, |(name, _)| name.span);
        piece(&adapter.item, span).map(fitted)
    } else {
        let drawn = drawn.iter().filter_map(|(item, span)| piece(item, *span));
        drawn.map(fitted).min_by(|one, other| one.1.cmp(&other.1))
    };
    let (piece, fit) = judged?;
    told(run, here, (wrench, drive), &piece, &fit)
}

/// Returns the tools that the register draws for the fastener.
fn drawn<'b>(run: &Run<'_, 'b>, here: &JointHere<'_>) -> Vec<(&'b Item, Span)> {
    let Some(part) = run.job.family.part(&here.joint.fastener.value) else { return Vec::new() };
    // What cannot be decided or is not held is told where the kit is made.
    let tools = part.tools.iter().filter(|draw| run.job.applies(draw.only.as_ref()));
    tools.filter_map(|draw| Some((run.job.crib_item(draw).ok()?, draw.what.span))).collect()
}

/// Returns a tool as a piece that sits on a wrench; none where it has no drive, or goes between two.
fn piece(item: &Item, span: Span) -> Option<Piece<'_>> {
    match &item.kind {
        Kind::Tool { drive: Some(drive), to_drive: None, .. } => Some(Piece { item, drive, span }),
        _ => None,
    }
}

fn fit(wrench: &Drive, piece: &Drive, at_hand: &[&Item], crib: &[&Item]) -> Fit {
    if reaches(wrench, piece, at_hand) {
        Fit::Meets
    } else if [wrench, piece].into_iter().chain(ends(at_hand)).any(|drive| !drive.is_understood()) {
        Fit::NotUnderstood
    } else if reaches(wrench, piece, crib) {
        Fit::BetweenIsInTheCrib
    } else {
        Fit::Never
    }
}

/// Returns the drives at both ends of the adapters among some items.
fn ends<'i>(items: &[&'i Item]) -> impl Iterator<Item = &'i Drive> {
    let both = |item: &&'i Item| match &item.kind {
        Kind::Tool { drive: Some(drive), to_drive: Some(to), .. } => [Some(drive), Some(to)],
        _ => [None, None],
    };
    items.iter().flat_map(both).flatten()
}

/// Returns whether a drive meets another, by way of the adapters among some items.
fn reaches(from: &Drive, to: &Drive, items: &[&Item]) -> bool {
    let between = items.iter().filter_map(|item| match &item.kind {
        Kind::Tool { drive: Some(drive), to_drive: Some(to), .. } => Some((drive, to)),
        _ => None,
    });
    let between: Vec<(&Drive, &Drive)> = between.collect();
    let mut reached = vec![from];
    let mut at = 0;
    while let Some(drive) = reached.get(at).copied() {
        let next = between.iter().filter(|(own, _)| own.meets(drive) == Some(true)).map(|(_, to)| *to);
        let next: Vec<&Drive> = next.filter(|to| !reached.contains(to)).collect();
        reached.extend(next);
        at += 1;
    }
    reached.iter().any(|drive| drive.meets(to) == Some(true))
}

fn told(
    run: &Run<'_, '_>,
    here: &JointHere<'_>,
    (wrench, drive): (&Item, &Drive),
    piece: &Piece<'_>,
    fit: &Fit,
) -> Option<Finding> {
    let (wrench_id, piece_id) = (&wrench.id.value, &piece.item.id.value);
    let both = format!("`{wrench_id}` ({}) and `{piece_id}` ({})", drive.shown, piece.drive.shown);
    let name = &here.joint.name.value;
    let finding = match fit {
        Fit::Meets => return None,
        Fit::Never => Finding::warning(DRIVES_DO_NOT_MEET, format!("{both} do not go together on `{name}`"))
            .floor("the fitter has two tools that do not go together, and takes another wrench, or none")
            .help("name a socket for this wrench or a wrench for this socket, or draw an adapter from one drive to the other"),
        Fit::BetweenIsInTheCrib => {
            Finding::note(DRIVES_DO_NOT_MEET, format!("{both} need an adapter between them on `{name}`, and nobody draws one"))
                .help("the crib holds one: name it in the step, or draw it under `tools:` of the fastener")
        }
        Fit::NotUnderstood => {
            Finding::note(DRIVES_DO_NOT_MEET, format!("whether {both} go together on `{name}` is not known"))
                .help("write the drive of each as one of its standard: `3/8 in square`, `10 mm square`, `1/4 in hex`")
        }
    };
    let finding = finding.at(piece.span).also(piece.item.id.span, piece.drive.shown.clone());
    Some(finding.also(wrench.id.span, drive.shown.clone()).document(&run.job.procedure.document.value))
}
