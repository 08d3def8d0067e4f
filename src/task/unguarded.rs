//! What could be done otherwise than a procedure says without anybody noticing, worst first; it changes nothing.
//!
//! Of each mistake two questions are asked. Would anything on the machine or on the paper show later that the *hand* did it? And if
//! the *paper* said so, would a rule say so of the paper? What the hand would show later is not told; of the rest, the line says
//! whether the paper would be caught.

use crate::analysis::deviation::{Consequence, Deviation, deviations};
use crate::analysis::guard::is_noticed;
use crate::analysis::mutant::{Change, Mutant, Whose, mutants};
use crate::analysis::page::Page;
use crate::analysis::proposal;
use crate::analysis::run::{Run, Standing};
use crate::base::finding::{Finding, Severity};
use crate::base::name::{CribId, DocumentNumber, Name, Tag};
use crate::base::text::Span;
use crate::language::action;
use crate::language::verb::Verbs;
use crate::model::binder::{Binder, Registers};
use crate::model::crib::Kind;
use crate::model::load::LoadError;
use crate::model::procedure::{Block, Inline, Manner, Procedure};
use crate::model::world::World;
use crate::rules;
use crate::task::check::{Judged, judge};
use crate::task::runs::each_run;
use crate::task::selection::{Selection, UnknownName, in_words};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// A mistake that nothing would show.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Line {
    /// The document.
    pub document: String,
    /// The number of the step on these machines.
    pub step: u32,
    /// The machines.
    pub tags: Vec<String>,
    /// How much it weighs.
    pub consequence: Consequence,
    /// The sentence; the first of its step where the whole step is meant.
    pub sentence: String,
    /// What is done otherwise.
    pub done: String,
    /// What nothing would notice.
    pub unnoticed: String,
    /// Which question it fails.
    pub fails: Fails,
    /// The rules that would say so of the paper.
    pub rules: Vec<String>,
    /// The cheapest guard.
    pub guard: String,
    /// File and line.
    pub place: String,
}

/// Which question a mistake fails.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fails {
    /// Nothing would show that the hand did it, and no rule that the paper says so.
    HandAndPaper,
    /// Nothing would show that the hand did it; of the paper, a rule would say so.
    Hand,
}

impl Fails {
    /// Returns the words for it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::HandAndPaper => "by hand and on paper",
            Self::Hand => "by hand",
        }
    }
}

impl Consequence {
    /// Returns the word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Energy => "energy",
            Self::Product => "product",
            Self::Torque => "torque",
            Self::Fluid => "fluid",
            Self::Reading => "reading",
            Self::Rest => "rest",
        }
    }
}

/// What nothing would notice.
#[derive(Debug)]
pub struct Unguarded {
    /// The binder and what is wrong with it.
    pub judged: Judged,
    /// The mistakes, worst first; the same consequence in order of documents and steps.
    pub lines: Vec<Line>,
    /// How many mistakes were tried, over all machines.
    pub tried: usize,
    /// Jobs of which nothing is told: an error concerns them, or a sentence was not read with certainty.
    pub without: Vec<(DocumentNumber, Tag, &'static str)>,
}

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub enum UnguardedError {
    /// There is no binder that can be read.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// A name that stands in no register.
    #[error(transparent)]
    Unknown(#[from] UnknownName),
    /// A register cannot be read, so that nothing can be decided.
    #[error("a register cannot be read, so nobody can say what a mistake would do")]
    Undecided,
    /// No procedure that was asked for is for any of the tags.
    #[error("no procedure that was asked for is for {tags}")]
    Nothing {
        /// The tags.
        tags: String,
    },
}

/// Tries every mistake in the selected procedures for the selected tags, and returns those that nothing would show.
///
/// # Errors
/// An [`UnguardedError`] where there is no binder, a name is not known, or no procedure is for the tags.
pub fn unguarded(world: &dyn World, documents: &[String], tags: &[String]) -> Result<Unguarded, UnguardedError> {
    let judged = judge(world)?;
    if judged.binder.registers == Registers::Broken {
        return Err(UnguardedError::Undecided);
    }
    let selection = Selection::of(&judged.binder, documents, tags)?;
    if selection.is_for_nothing(&judged.binder) {
        return Err(UnguardedError::Nothing { tags: in_words(tags) });
    }
    let mut found = Found::default();
    for procedure in judged.binder.procedures.iter().filter(|own| selection.has_document(&own.document.value)) {
        of_procedure(&judged, procedure, &selection, &mut found);
    }
    let Found { groups, tried, without } = found;
    let mut lines: Vec<(Span, Line)> = groups
        .into_iter()
        .map(|((span, ..), (mut line, tags))| {
            line.tags = tags.iter().map(ToString::to_string).collect();
            (span, line)
        })
        .collect();
    lines.sort_by(|(a_span, a), (b_span, b)| {
        (a.consequence, a.fails, &a.document, a_span, a.step, &a.done).cmp(&(
            b.consequence,
            b.fails,
            &b.document,
            b_span,
            b.step,
            &b.done,
        ))
    });
    let lines = lines.into_iter().map(|(_, line)| line).collect();
    Ok(Unguarded { judged, lines, tried, without })
}

/// Where and how a line is told, so that machines of which the same is true share it.
type Told = (Span, u32, String, String, Fails, Vec<String>, String);

#[derive(Default)]
struct Found {
    groups: BTreeMap<Told, (Line, Vec<Tag>)>,
    tried: usize,
    without: Vec<(DocumentNumber, Tag, &'static str)>,
}

fn of_procedure(judged: &Judged, procedure: &Procedure, selection: &Selection, found: &mut Found) {
    let binder = &judged.binder;
    let document = &procedure.document.value;
    let verbs = Verbs::with(&binder.verbs);
    let typed = Typed::new(binder, procedure);
    each_run(
        binder,
        procedure,
        &verbs,
        |tag| selection.has_tag(tag),
        |run| {
            let tag = run.job.tag();
            let is_open = run.steps.iter().flat_map(|step| &step.sentences).any(|own| own.standing == Standing::Open);
            let is_wrong = judged.findings.iter().any(|finding| finding.suppresses(document, tag));
            if is_wrong || is_open || !run.job.undecided().is_empty() {
                let why = if is_open { "a sentence was not read with certainty" } else { "an error concerns it" };
                found.without.push((document.clone(), tag.clone(), why));
                return;
            }
            let (tried, lines) = of_run(run, &typed);
            found.tried += tried;
            for (span, line) in lines {
                let key = (
                    span,
                    line.step,
                    line.done.clone(),
                    line.unnoticed.clone(),
                    line.fails,
                    line.rules.clone(),
                    line.guard.clone(),
                );
                found.groups.entry(key).or_insert_with(|| (line, Vec::new())).1.push(tag.clone());
            }
        },
    );
}

/// A mistake that nothing shows on one machine.
struct Silent {
    mutant: Mutant,
    deviations: Vec<Deviation>,
    rules: Vec<String>,
}

/// Returns how many mistakes were tried on one machine, and those that nothing shows.
fn of_run(run: &Run<'_, '_>, typed: &Typed<'_>) -> (usize, Vec<(Span, Line)>) {
    let page = Page::of(run);
    let is_fluid =
        |id: &&CribId| run.job.binder.crib.find(id).is_some_and(|item| matches!(item.kind, Kind::Fluid { .. }));
    let fluids: Vec<CribId> = page.kit.iter().filter(is_fluid).cloned().collect();
    let all = mutants(run, &fluids);
    let mut silent: Vec<Silent> = Vec::new();
    for mutant in &all {
        let mutated = run.with_steps(mutant.steps(run, Whose::Hand));
        let deviations = deviations(run, &mutated, mutant);
        if !deviations.is_empty() && !is_noticed(&page, &mutated, mutant, &deviations) {
            silent.push(Silent { mutant: mutant.clone(), deviations, rules: Vec::new() });
        }
    }
    let mut silent = without_repeats(silent);
    let clean = told(&rules::judged(run));
    for own in &mut silent {
        let paper = run.with_steps(own.mutant.steps(run, Whose::Paper));
        let mut caught = new_rules(&clean, &told(&rules::judged(&paper)));
        if let Change::Sister(name, value, _) = &own.mutant.change {
            let step = run.steps[own.mutant.step].step.span;
            caught.extend(typed.rules(step, name, &run.job.shown(value)));
        }
        own.rules = caught.into_iter().map(str::to_owned).collect();
    }
    (all.len(), together(silent).iter().map(|own| line(&page, own)).collect())
}

/// Takes out what only says more of the same: half of what nobody misses, and a step of which each action is told.
fn without_repeats(silent: Vec<Silent>) -> Vec<Silent> {
    let skipped: BTreeSet<(usize, usize, usize)> = silent
        .iter()
        .filter_map(|own| match own.mutant.change {
            Change::Skipped(clause) => Some((own.mutant.step, own.mutant.sentence, clause)),
            _ => None,
        })
        .collect();
    let mut sentences: BTreeSet<(usize, usize, String, String)> = BTreeSet::new();
    let is_new = |own: &Silent| match own.mutant.change {
        Change::Halved(clause, ..) => !skipped.contains(&(own.mutant.step, own.mutant.sentence, clause)),
        Change::StepSkipped => {
            let is_told = |deviation: &Deviation| {
                skipped.iter().any(|(step, sentence, _)| (*step, *sentence) == deviation.moment)
            };
            !own.deviations.iter().all(is_told)
        }
        _ => true,
    };
    let mut kept: Vec<Silent> = silent.into_iter().filter(is_new).collect();
    // `Confirm that it is so and so` is one check, however many actions it is read as.
    kept.retain(|own| {
        let first = own.deviations.first().map(|own| format!("{:?} {}", own.what, own.thing)).unwrap_or_default();
        let change = match own.mutant.change {
            Change::Skipped(_) => "skipped".to_owned(),
            ref other => format!("{other:?}"),
        };
        sentences.insert((own.mutant.step, own.mutant.sentence, change, first))
    });
    kept
}

/// What several mistakes of one kind at one place have in common: other values, or other fluids.
struct Group {
    first: Silent,
    others: Vec<String>,
}

fn together(silent: Vec<Silent>) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for own in silent {
        let is_same = |group: &&mut Group| {
            let (a, b) = (&group.first, &own);
            (a.mutant.step, a.mutant.sentence, &a.rules) == (b.mutant.step, b.mutant.sentence, &b.rules)
                && match (&a.mutant.change, &b.mutant.change) {
                    (Change::Sister(a, ..), Change::Sister(b, ..)) => a == b,
                    (Change::WrongFluid(a, _), Change::WrongFluid(b, _)) => a == b,
                    _ => false,
                }
        };
        let other = match &own.mutant.change {
            Change::Sister(_, _, tag) => tag.to_string(),
            Change::WrongFluid(_, id) => id.to_string(),
            _ => String::new(),
        };
        match groups.iter_mut().find(is_same) {
            Some(group) => group.others.push(other),
            None => groups.push(Group { first: own, others: vec![other] }),
        }
    }
    groups
}

fn line(page: &Page<'_, '_, '_>, group: &Group) -> (Span, Line) {
    let run = page.run;
    let Silent { mutant, deviations, rules } = &group.first;
    let step = &run.steps[mutant.step];
    let sentence = &step.sentences[mutant.sentence];
    let worst = deviations.iter().min_by_key(|own| own.consequence(run)).expect("a mistake without deviation is none");
    let others = group.others.join(", ");
    let clause = |clause: usize| sentence.actions[clause].to_string();
    let done = match &mutant.change {
        Change::Skipped(at) => format!("left out: {}", clause(*at)),
        Change::StepSkipped => {
            let actions: Vec<_> = step.sentences.iter().flat_map(|own| own.actions.iter().cloned()).collect();
            format!("whole step left out: {}", action::line(&actions))
        }
        Change::Exchanged => format!("step {} is done first", run.steps[mutant.step + 1].number),
        Change::Halved(at, meant, done) => format!("{done} instead of {meant}: {}", clause(*at)),
        Change::Sister(name, ..) => format!("the {name} of {others}"),
        Change::Reused(at) => format!("the old one fitted again: {}", clause(*at)),
        Change::WrongFluid(at, _) => format!("{others} instead: {}", clause(*at)),
    };
    let mut unnoticed: Vec<String> = deviations.iter().map(proposal::unnoticed).collect();
    unnoticed.dedup();
    let span = if sentence_is_meant(&mutant.change) { sentence.read.sentence.span } else { step.step.span };
    let (path, at) = run.job.binder.texts.locate(span);
    let line = Line {
        document: run.job.procedure.document.value.to_string(),
        step: step.number,
        tags: Vec::new(),
        consequence: worst.consequence(run),
        sentence: sentence.read.sentence.text.clone(),
        done,
        unnoticed: unnoticed.join("; "),
        fails: if rules.is_empty() { Fails::HandAndPaper } else { Fails::Hand },
        rules: rules.clone(),
        guard: proposal::guard(page, worst),
        place: format!("{path}:{}", at.line),
    };
    (span, line)
}

fn sentence_is_meant(change: &Change) -> bool {
    !matches!(change, Change::StepSkipped | Change::Exchanged)
}

/// What findings say, without their places: those a reader must act upon.
fn told(findings: &[Finding]) -> BTreeSet<(&'static str, String)> {
    let weighs = findings.iter().filter(|finding| finding.severity != Severity::Note);
    weighs.map(|finding| (finding.rule.0, finding.message.clone())).collect()
}

fn new_rules(
    clean: &BTreeSet<(&'static str, String)>,
    here: &BTreeSet<(&'static str, String)>,
) -> BTreeSet<&'static str> {
    here.difference(clean).map(|(rule, _)| *rule).collect()
}

/// What the rules of sentences say where a value is typed over its name.
struct Typed<'b> {
    binder: &'b Binder,
    procedure: &'b Procedure,
    clean: BTreeSet<(&'static str, String)>,
}

impl<'b> Typed<'b> {
    fn new(binder: &'b Binder, procedure: &'b Procedure) -> Self {
        Self { binder, procedure, clean: told(&rules::written(binder, procedure)) }
    }

    /// Returns the rules that say something of a step in which words stand for a value's name.
    fn rules(&self, step: Span, name: &Name, words: &str) -> BTreeSet<&'static str> {
        let mut procedure = self.procedure.clone();
        let steps = procedure.stages.iter_mut().flat_map(|stage| &mut stage.steps).filter(|own| own.span == step);
        steps.for_each(|own| type_over(&mut own.blocks, name, words));
        new_rules(&self.clean, &told(&rules::written(self.binder, &procedure)))
    }
}

fn type_over(blocks: &mut [Block], name: &Name, words: &str) {
    let over = |line: &mut Vec<Inline>| {
        for inline in line {
            if let Inline::Value(own) = inline
                && own.value == *name
            {
                let span = own.span;
                *inline = Inline::Words { text: words.to_owned(), manner: Manner::Plain, span, joins: Vec::new() };
            }
        }
    };
    for block in blocks {
        match block {
            Block::Paragraph(line) => over(line),
            Block::List(items) => items.iter_mut().for_each(|item| type_over(item, name, words)),
            Block::Table { head, rows } => head.iter_mut().chain(rows.iter_mut().flatten()).for_each(over),
            Block::Figure { .. } => {}
        }
    }
}
