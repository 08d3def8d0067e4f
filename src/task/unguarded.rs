//! What could be done otherwise than a procedure says without anybody noticing, worst first; it changes nothing.
//!
//! Of each mistake two questions are asked. Would anything on the machine or on the paper show later that the *hand* did it? And if
//! the *paper* said so, would a rule say so of the paper? What the hand would show later is not told; of the rest, the line says
//! whether the paper would be caught.

use crate::analysis::deviation::{Consequence, Deviation, deviations};
use crate::analysis::guard::is_noticed;
use crate::analysis::mutant::{Change, Mutant, Whose, mutants};
use crate::analysis::page::Page;
use crate::analysis::proposal::{self, Guard};
use crate::analysis::run::{Run, SentenceHere, Standing, StepRun};
use crate::base::finding::Finding;
use crate::base::name::{CribId, DocumentNumber, Tag};
use crate::base::text::Span;
use crate::language::action;
use crate::language::verb::Verbs;
use crate::model::binder::Registers;
use crate::model::crib::Kind;
use crate::model::load::LoadError;
use crate::model::procedure::Procedure;
use crate::model::world::World;
use crate::rules;
use crate::task::check::{Judged, judge};
use crate::task::mistyped::{Typed, new_rules, told};
use crate::task::runs::each_run;
use crate::task::selection::{Selection, UnknownName, in_words};
use rayon::iter::{IntoParallelRefIterator as _, ParallelIterator as _};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// A mistake that nothing would show.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Line {
    /// The document.
    pub document: String,
    /// The step, by its number on these machines.
    pub steps: Vec<StepHere>,
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

/// A step as some machines number it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct StepHere {
    /// Its number.
    pub step: u32,
    /// The machines.
    pub tags: Vec<String>,
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
    let procedures = judged.binder.procedures.par_iter().filter(|own| selection.has_document(&own.document.value));
    let each: Vec<Found> = procedures.map(|procedure| of_procedure(&judged, procedure, &selection)).collect();
    let tried = each.iter().map(|own| own.tried).sum();
    let without = each.iter().flat_map(|own| own.without.clone()).collect();
    let mut told: Vec<(Told, Vec<Here>)> = each.into_iter().flat_map(|own| own.groups).collect();
    let weight = |(told, _): &(Told, Vec<Here>)| (told.line.consequence, told.line.fails);
    // The sort is stable: what weighs the same stays in the order of documents and sentences.
    told.sort_by_key(weight);
    let lines = told.into_iter().map(|(told, here)| told.on(&here)).collect();
    Ok(Unguarded { judged, lines, tried, without })
}

/// What is told of a place; machines of which the same is true share it, whatever number the step has on them.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Told {
    span: Span,
    /// The line, without its steps and its guard.
    line: Line,
    /// The guard: the words before the step, and what is to be seen there.
    guard: (String, String),
}

/// A machine on which something is true: the number of the step, and of the step the guard is at.
struct Here {
    tag: Tag,
    step: u32,
    guard: Option<u32>,
}

impl Told {
    /// Returns the line on some machines.
    fn on(self, here: &[Here]) -> Line {
        let mut steps: BTreeMap<u32, Vec<String>> = BTreeMap::new();
        for own in here {
            steps.entry(own.step).or_default().push(own.tag.to_string());
        }
        let at: BTreeSet<u32> = here.iter().filter_map(|own| own.guard).collect();
        let at: Vec<String> = at.iter().map(ToString::to_string).collect();
        let at = if at.is_empty() { String::new() } else { format!("step {}", at.join(" or ")) };
        let words = [self.guard.0, at, self.guard.1];
        let words: Vec<String> = words.into_iter().filter(|words| !words.is_empty()).collect();
        let steps = steps.into_iter().map(|(step, tags)| StepHere { step, tags }).collect();
        Line { steps, guard: words.join(" "), ..self.line }
    }
}

/// What was found in one procedure.
#[derive(Default)]
struct Found {
    groups: BTreeMap<Told, Vec<Here>>,
    tried: usize,
    without: Vec<(DocumentNumber, Tag, &'static str)>,
}

fn of_procedure(judged: &Judged, procedure: &Procedure, selection: &Selection) -> Found {
    let mut found = Found::default();
    let document = &procedure.document.value;
    let verbs = Verbs::with(&judged.binder.verbs);
    let typed = Typed::new(&judged.binder, procedure);
    let wanted = |tag: &Tag| selection.has_tag(tag);
    each_run(&judged.binder, procedure, &verbs, wanted, |run| {
        let tag = run.job.tag();
        if let Some(why) = not_clean(judged, run) {
            found.without.push((document.clone(), tag.clone(), why));
            return;
        }
        let (tried, lines) = of_run(run, &typed);
        found.tried += tried;
        for (told, step, guard) in lines {
            found.groups.entry(told).or_default().push(Here { tag: tag.clone(), step, guard });
        }
    });
    found
}

/// Returns why nothing can be said of a job; none where it is clean.
fn not_clean(judged: &Judged, run: &Run<'_, '_>) -> Option<&'static str> {
    let mut sentences = run.steps.iter().flat_map(|step| &step.sentences);
    if sentences.any(|own| own.standing == Standing::Open) {
        return Some("a sentence was not read with certainty; `matchmark accept` asks about it");
    }
    let is_wrong = |finding: &Finding| finding.suppresses(&run.job.procedure.document.value, run.job.tag());
    let is_undecided = !run.job.undecided().is_empty();
    (is_undecided || judged.findings.iter().any(is_wrong)).then_some("an error concerns it; `matchmark check` tells it")
}

/// A mistake that nothing shows on one machine.
struct Silent {
    mutant: Mutant,
    deviations: Vec<Deviation>,
    rules: Vec<String>,
}

/// Returns how many mistakes were tried on one machine, and those that nothing shows.
fn of_run(run: &Run<'_, '_>, typed: &Typed<'_>) -> (usize, Vec<(Told, u32, Option<u32>)>) {
    let page = Page::of(run);
    let is_fluid =
        |id: &&CribId| run.job.binder.crib.find(id).is_some_and(|item| matches!(item.kind, Kind::Fluid { .. }));
    let fluids: Vec<CribId> = page.kit.iter().filter(is_fluid).cloned().collect();
    let all = mutants(run, &fluids);
    let mut silent: Vec<Silent> = Vec::new();
    for mutant in &all {
        // Where nothing on the machine moves otherwise, nothing needs to be executed again.
        let again = mutant.moves(run).then(|| run.with_steps(mutant.steps(run, Whose::Hand)));
        let mutated = again.as_ref().unwrap_or(run);
        let deviations = deviations(run, mutated, mutant);
        if !deviations.is_empty() && !is_noticed(&page, mutated, mutant, &deviations) {
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
    let groups = merged(&page, together(silent));
    (all.len(), groups.iter().map(|group| line(run, group)).collect())
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

/// Mistakes of one kind at one place.
struct Group {
    /// The actions they are about; for values and steps, one.
    all: Vec<Silent>,
    /// Other values, or other fluids.
    others: Vec<String>,
    guard: Guard,
}

/// Joins mistakes that differ only in the value or the fluid that is used.
fn together(silent: Vec<Silent>) -> Vec<(Silent, Vec<String>)> {
    let mut groups: Vec<(Silent, Vec<String>)> = Vec::new();
    for own in silent {
        let place = |own: &Silent| (own.mutant.step, own.mutant.sentence, own.rules.is_empty());
        let is_same = |(first, _): &&mut (Silent, Vec<String>)| {
            place(first) == place(&own)
                && match (&first.mutant.change, &own.mutant.change) {
                    (Change::Sister(a, ..), Change::Sister(b, ..)) => a == b,
                    (Change::WrongFluid(a, _), Change::WrongFluid(b, _)) => a == b,
                    _ => false,
                }
        };
        let other = match &own.mutant.change {
            Change::Sister(_, _, tag) => Some(tag.to_string()),
            Change::WrongFluid(_, id) => Some(id.to_string()),
            _ => None,
        };
        match groups.iter_mut().find(is_same) {
            Some((first, others)) => {
                others.extend(other);
                first.rules.extend(own.rules);
            }
            None => groups.push((own, other.into_iter().collect())),
        }
    }
    groups
}

/// Joins mistakes of one kind in one sentence, where one step would guard against all of them.
fn merged(page: &Page<'_, '_, '_>, singles: Vec<(Silent, Vec<String>)>) -> Vec<Group> {
    let run = page.run;
    let mut groups: Vec<Group> = Vec::new();
    for (own, others) in singles {
        let guard = proposal::guard(page, own.worst(run));
        let is_same = |group: &&mut Group| {
            let first = &group.all[0];
            let place = |own: &Silent| (own.mutant.step, own.mutant.sentence, own.rules.is_empty());
            let kind = |own: &Silent| (own.worst(run).consequence(run), std::mem::discriminant(&own.worst(run).what));
            own.mutant.change.clause().is_some()
                && place(first) == place(&own)
                && kind(first) == kind(&own)
                && std::mem::discriminant(&first.mutant.change) == std::mem::discriminant(&own.mutant.change)
                && (&group.others, &group.guard.before, group.guard.step) == (&others, &guard.before, guard.step)
        };
        match groups.iter_mut().find(is_same) {
            Some(group) => {
                if !guard.after.is_empty() && !group.guard.after.contains(&guard.after) {
                    group.guard.after = format!("{}; {}", group.guard.after, guard.after);
                }
                group.all.push(own);
            }
            None => groups.push(Group { all: vec![own], others, guard }),
        }
    }
    groups
}

impl Silent {
    /// Returns the deviation that weighs most.
    fn worst(&self, run: &Run<'_, '_>) -> &Deviation {
        let weight = |own: &&Deviation| own.consequence(run);
        self.deviations.iter().min_by_key(weight).expect("a mistake without deviation is not told")
    }
}

fn line(run: &Run<'_, '_>, group: &Group) -> (Told, u32, Option<u32>) {
    let first = &group.all[0];
    let mutant = &first.mutant;
    let step = &run.steps[mutant.step];
    let sentence = &step.sentences[mutant.sentence];
    let mut unnoticed: Vec<String> = Vec::new();
    for told in group.all.iter().flat_map(|own| &own.deviations).map(proposal::unnoticed) {
        if !unnoticed.contains(&told) {
            unnoticed.push(told);
        }
    }
    let rules: BTreeSet<&String> = group.all.iter().flat_map(|own| &own.rules).collect();
    let span = if sentence_is_meant(&mutant.change) { sentence.read.sentence.span } else { step.step.span };
    let (path, at) = run.job.binder.texts.locate(span);
    let line = Line {
        document: run.job.procedure.document.value.to_string(),
        steps: Vec::new(),
        consequence: first.worst(run).consequence(run),
        sentence: sentence.read.sentence.text.clone(),
        done: done(step, sentence, group),
        unnoticed: unnoticed.join("; "),
        fails: if rules.is_empty() { Fails::HandAndPaper } else { Fails::Hand },
        rules: rules.into_iter().cloned().collect(),
        guard: String::new(),
        place: format!("{path}:{}", at.line),
    };
    let guard = (group.guard.before.clone(), group.guard.after.clone());
    (Told { span, line, guard }, step.number, group.guard.step)
}

/// Says what is done otherwise.
fn done(step: &StepRun<'_>, sentence: &SentenceHere<'_>, group: &Group) -> String {
    let clauses = group.all.iter().filter_map(|own| own.mutant.change.clause());
    let clauses: Vec<String> = clauses.map(|clause| sentence.actions[clause].to_string()).collect();
    let (clauses, others) = (clauses.join("; "), group.others.join(", "));
    match &group.all[0].mutant.change {
        Change::Skipped(_) => format!("left out: {clauses}"),
        Change::StepSkipped => {
            let actions: Vec<_> = step.sentences.iter().flat_map(|own| own.actions.iter().cloned()).collect();
            format!("whole step left out: {}", action::line(&actions))
        }
        Change::Exchanged => "the next step is done first".to_owned(),
        Change::Halved(_, meant, done) => format!("{done} instead of {meant}: {clauses}"),
        Change::Sister(name, ..) => format!("the {name} of {others}"),
        Change::Reused(_) => format!("the old one fitted again: {clauses}"),
        Change::WrongFluid(..) => format!("{others} instead: {clauses}"),
    }
}

fn sentence_is_meant(change: &Change) -> bool {
    !matches!(change, Change::StepSkipped | Change::Exchanged)
}
