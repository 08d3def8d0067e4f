//! Where a part, tool, fluid, value or procedure is used, mentioned, listed and defined; it changes nothing.

use crate::analysis::held::{crib_called, names_of};
use crate::analysis::kit::{Because, Use as KitUse};
use crate::analysis::naming::is_named_alone;
use crate::analysis::references::{Named, Reference, Role, references, without_braces};
use crate::analysis::run::{Run, SentenceHere, StepRun};
use crate::base::name::{CribId, DocumentNumber, FamilyId, Name, Tag, nearest};
use crate::base::path::BinderPath;
use crate::base::text::Span;
use crate::language::action;
use crate::language::sentence::TokenKind;
use crate::language::verb::Verbs;
use crate::model::binder::{Binder, Registers};
use crate::model::load::LoadError;
use crate::model::world::World;
use crate::task::check::{Judged, judge};
use crate::task::runs::each_run;
use crate::task::selection::{Selection, UnknownName};
use serde::Serialize;
use std::collections::BTreeMap;

/// One place at which something is used.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Place {
    /// The document; empty in a register.
    pub document: String,
    /// The number of the step on these machines; none outside the steps.
    pub step: Option<u32>,
    /// The machines; empty where it is true of all.
    pub tags: Vec<String>,
    /// How it stands there.
    pub how: How,
    /// What is done with it, or what stands there.
    pub what: String,
    /// The sentence; empty in a register.
    pub sentence: String,
    /// File and line.
    pub place: String,
}

/// How something stands at a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum How {
    /// It is defined there.
    Defined,
    /// A register names it.
    Register,
    /// The front matter of a procedure lists or names it.
    Declared,
    /// A step uses it.
    Used,
    /// A sentence only names it.
    Mentioned,
}

/// Document, place, step number, use, sentence and words: what is equal is told once for all its machines.
type InStep = (DocumentNumber, Span, u32, How, String, String);

impl How {
    /// Returns the word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Defined => "defined",
            Self::Register => "register",
            Self::Declared => "declared",
            Self::Used => "used",
            Self::Mentioned => "mentioned",
        }
    }
}

/// Where something is used.
#[derive(Debug)]
pub struct WhereUsed {
    /// The binder and what is wrong with it.
    pub judged: Judged,
    /// What was asked for, in the words of the registers.
    pub things: Vec<String>,
    /// The places: registers first, then document by document in the order of their sentences.
    pub places: Vec<Place>,
    /// Documents with a step that was not read with certainty, so that a use in it is not told.
    pub unsure: Vec<DocumentNumber>,
}

impl WhereUsed {
    /// Returns whether anything uses it: a step, a register, or the front matter of a procedure.
    #[must_use]
    pub fn is_used(&self) -> bool {
        self.places.iter().any(|own| matches!(own.how, How::Register | How::Declared | How::Used))
    }
}

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub enum WhereUsedError {
    /// There is no binder that can be read.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// A name that stands in no register.
    #[error(transparent)]
    Unknown(#[from] UnknownName),
    /// A register cannot be read, so that nothing can be decided.
    #[error("a register cannot be read, so nobody can say where anything is used")]
    Undecided,
}

/// Returns where `name` is used in the selected procedures, for the selected tags, and in the registers.
///
/// # Errors
/// A [`WhereUsedError`] where there is no binder or the name is not known.
pub fn where_used(
    world: &dyn World,
    name: &str,
    documents: &[String],
    tags: &[String],
) -> Result<WhereUsed, WhereUsedError> {
    let judged = judge(world)?;
    if judged.binder.registers == Registers::Broken {
        return Err(WhereUsedError::Undecided);
    }
    let selection = Selection::of(&judged.binder, documents, tags)?;
    let wanted = Wanted::of(&judged.binder, name)?;
    let mut places: Vec<(Option<Span>, Place)> = references(&judged.binder)
        .iter()
        .filter(|reference| reference.document.is_none_or(|document| selection.has_document(document)))
        .filter_map(|reference| Some((Some(reference.span), wanted.reference(&judged.binder, reference)?)))
        .collect();
    let (steps, unsure) = wanted.in_steps(&judged.binder, &selection);
    places.extend(steps);
    places.sort_by(|(a_span, a), (b_span, b)| {
        (&a.document, a_span, a.step, a.how, &a.what).cmp(&(&b.document, b_span, b.step, b.how, &b.what))
    });
    places.dedup_by(|(_, a), (_, b)| a == b);
    let places = places.into_iter().map(|(_, place)| place).collect();
    let things = wanted.things.clone();
    Ok(WhereUsed { judged, things, places, unsure })
}

/// What was asked for: one name may be a part of one family, a value of another and a tool of the crib.
#[derive(Debug, Default)]
struct Wanted {
    /// In the words of the registers, for the heading.
    things: Vec<String>,
    /// Parts, openings and temporary items of a family, with their synonyms.
    parts: Vec<(FamilyId, Vec<String>)>,
    values: Vec<Name>,
    items: Vec<(CribId, Vec<String>)>,
    procedures: Vec<DocumentNumber>,
    /// Every name of every register: a longer one hides a shorter one.
    others: Vec<String>,
}

impl Wanted {
    fn of(binder: &Binder, typed: &str) -> Result<Self, UnknownName> {
        let name = Name::new(typed);
        let mut wanted = Self { others: every_name(binder), ..Self::default() };
        for (family, own, also, what) in movable(binder) {
            if *own == name || also.contains(&name) {
                wanted.things.push(format!("{what} `{own}` of family {family}"));
                let names = std::iter::once(own).chain(&also).map(|name| name.as_str().to_owned()).collect();
                wanted.parts.push((family.clone(), names));
            }
        }
        let by_number = binder.crib.items.iter().filter(|item| Name::new(item.id.value.as_str()) == name);
        let mut items: Vec<_> = by_number.collect();
        if items.is_empty() {
            items = crib_called(&binder.crib, typed);
        }
        for item in items {
            wanted.things.push(format!("`{}` {} of the crib", item.id.value, item.name));
            let alone = names_of(item).filter(|name| crib_called(&binder.crib, name).len() == 1);
            let names = std::iter::once(item.id.value.as_str()).chain(alone).map(str::to_owned).collect();
            wanted.items.push((item.id.value.clone(), names));
        }
        if let Some(own) = values(binder).into_iter().find(|own| *own == name) {
            wanted.things.push(format!("value `{own}`"));
            wanted.values.push(own);
        }
        for procedure in &binder.procedures {
            if Name::new(procedure.document.value.as_str()) == name {
                wanted.things.push(format!("{} {}", procedure.document.value, procedure.title.value));
                wanted.procedures.push(procedure.document.value.clone());
            }
        }
        if wanted.things.is_empty() {
            let near = nearest(typed, wanted.others.iter().map(String::as_str)).map(str::to_owned);
            return Err(UnknownName {
                kind: "part, tool, fluid, value or procedure",
                name: typed.to_owned(),
                nearest: near,
            });
        }
        Ok(wanted)
    }

    /// Returns how a reference stands to what was asked for.
    fn reference(&self, binder: &Binder, reference: &Reference<'_>) -> Option<Place> {
        let is_it = match &reference.named {
            Named::Part(name) => self.parts_of(reference.family).any(|names| holds(names, name)),
            Named::Value(name) => self.values.contains(name),
            Named::Words(words) if reference.role == Role::Says => self.is_said(words, reference.family),
            Named::Words(words) => {
                let name = Name::new(words);
                self.items.iter().any(|(_, names)| holds(names, &name))
            }
            Named::Document(number) => self.procedures.contains(number),
            Named::Link(target) => self.is_linked(binder, reference, target),
        };
        let how = match (reference.role, reference.document) {
            (Role::Defines, _) => How::Defined,
            (Role::Says, _) => How::Mentioned,
            (Role::Names, None) => How::Register,
            (Role::Names, Some(_)) => How::Declared,
        };
        let sentence = match (&reference.named, reference.role) {
            (Named::Words(words), Role::Says) => words.split_whitespace().collect::<Vec<_>>().join(" "),
            _ => String::new(),
        };
        is_it.then(|| Place {
            document: reference.document.map(ToString::to_string).unwrap_or_default(),
            step: None,
            tags: Vec::new(),
            how,
            what: reference.what.clone(),
            sentence,
            place: place(binder, reference.span),
        })
    }

    fn is_linked(&self, binder: &Binder, reference: &Reference<'_>, target: &str) -> bool {
        let from = reference.document.and_then(|document| binder.procedure(document));
        let file = target.split('#').next().unwrap_or_default();
        let path = from.and_then(|from| binder.figure_path(from, file));
        let is_file = |path: &BinderPath, document: &DocumentNumber| {
            binder.procedure(document).is_some_and(|own| binder.texts.get(own.file).path() == path)
        };
        path.is_some_and(|path| self.procedures.iter().any(|document| is_file(&path, document)))
    }

    /// Returns the names of the wanted parts of a family.
    fn parts_of(&self, family: Option<&FamilyId>) -> impl Iterator<Item = &Vec<String>> {
        self.parts.iter().filter(move |(own, _)| Some(own) == family).map(|(_, names)| names)
    }

    /// Returns whether words name it, other than as a part of a longer name.
    fn is_said(&self, words: &str, family: Option<&FamilyId>) -> bool {
        let others = || self.others.iter().map(String::as_str);
        let mut names = self.parts_of(family).flatten().chain(self.items.iter().flat_map(|(_, names)| names));
        let mut documents = self.procedures.iter().map(DocumentNumber::as_str);
        names.any(|name| is_named_alone(words, name, others()))
            || documents.any(|name| is_named_alone(words, name, others()))
    }

    /// Returns where steps use or mention it, and the documents of which that cannot be said for certain.
    fn in_steps(&self, binder: &Binder, selection: &Selection) -> (Vec<(Option<Span>, Place)>, Vec<DocumentNumber>) {
        let mut groups: BTreeMap<InStep, Vec<Tag>> = BTreeMap::new();
        let mut unsure: Vec<DocumentNumber> = Vec::new();
        let verbs = Verbs::with(&binder.verbs);
        let mut look = |run: &Run<'_, '_>| {
            let document = &run.job.procedure.document.value;
            let (kit, _) = run.kit();
            if !kit.unsure.is_empty() && !unsure.contains(document) {
                unsure.push(document.clone());
            }
            for step in &run.steps {
                for sentence in &step.sentences {
                    let uses = self.uses(run, step, sentence);
                    for (how, what) in uses {
                        let read = &sentence.read.sentence;
                        let key = (document.clone(), read.span, step.number, how, what, read.text.clone());
                        groups.entry(key).or_default().push(run.job.tag().clone());
                    }
                }
            }
            for (number, own) in self.items.iter().filter_map(|(id, _)| kit.items.get(id)).flat_map(|here| {
                here.need.uses.iter().filter_map(|own| because(&own.because).map(|words| (words, own)))
            }) {
                let key = (document.clone(), own.span, own.step, How::Used, number, text_at(run, own));
                groups.entry(key).or_default().push(run.job.tag().clone());
            }
        };
        for procedure in binder.procedures.iter().filter(|own| selection.has_document(&own.document.value)) {
            each_run(binder, procedure, &verbs, |tag| selection.has_tag(tag), &mut look);
        }
        let mut told = Vec::new();
        for ((document, span, step, how, what, sentence), mut tags) in groups {
            tags.dedup();
            told.push((
                Some(span),
                Place {
                    document: document.to_string(),
                    step: Some(step),
                    tags: tags.iter().map(ToString::to_string).collect(),
                    how,
                    what,
                    sentence,
                    place: place(binder, span),
                },
            ));
        }
        (told, unsure)
    }

    /// Returns what a sentence does with it.
    fn uses(&self, run: &Run<'_, '_>, step: &StepRun<'_>, sentence: &SentenceHere<'_>) -> Vec<(How, String)> {
        let family = Some(&run.job.family.id.value);
        let is_own = |words: &str| {
            let name = Name::new(words);
            self.parts_of(family).any(|names| holds(names, &name))
                || self.items.iter().any(|(_, names)| holds(names, &name))
        };
        let at = run.steps.iter().position(|own| own.number == step.number);
        let here = |deed: &&crate::analysis::run::Deed| {
            Some(deed.step) == at && std::ptr::eq(&raw const step.sentences[deed.sentence], sentence)
        };
        let names_it = |deed: &&crate::analysis::run::Deed| {
            let own = &deed.action;
            [&own.thing, &own.to, &own.on].into_iter().chain(&own.with).any(|words| is_own(words))
        };
        let mut uses = Vec::new();
        if run.deeds.iter().filter(here).any(|deed| names_it(&deed)) {
            uses.push((How::Used, action::line(&sentence.actions)));
        }
        let tokens = &sentence.read.sentence.tokens;
        if tokens.iter().any(|token| matches!(&token.kind, TokenKind::Value(name) if self.values.contains(name))) {
            uses.push((How::Used, "in the sentence".to_owned()));
        }
        if uses.is_empty() && self.is_said(&without_braces(&sentence.read.sentence.text), family) {
            uses.push((How::Mentioned, String::new()));
        }
        uses
    }
}

/// Says how a use follows where no action names it.
fn because(because: &Because) -> Option<String> {
    match because {
        Because::Named => None,
        Because::Part(part) => Some(format!("for `{part}`")),
        Because::Verb(verb) => Some(format!("to {verb}")),
        Because::Joint(joint) => Some(format!("torque of `{joint}`")),
        Because::Reading(reading) => Some(format!("reading `{reading}`")),
        Because::Points => Some("one for each isolation point".to_owned()),
        Because::Caution(caution) => Some(format!("caution `{caution}`")),
    }
}

/// Returns the sentence at a use, or the first of its step.
fn text_at(run: &Run<'_, '_>, own: &KitUse) -> String {
    let step = run.steps.iter().find(|step| step.number == own.step);
    let sentences = step.map(|step| step.sentences.as_slice()).unwrap_or_default();
    let here = sentences.iter().find(|sentence| sentence.read.sentence.span == own.span).or(sentences.first());
    here.map(|sentence| sentence.read.sentence.text.clone()).unwrap_or_default()
}

fn holds(names: &[String], name: &Name) -> bool {
    names.iter().any(|own| Name::new(own) == *name)
}

fn place(binder: &Binder, span: Span) -> String {
    let (path, at) = binder.texts.locate(span);
    format!("{path}:{}", at.line)
}

/// Returns everything that is taken off, opened or put in: its family, name, synonyms, and a word for what it is.
fn movable(binder: &Binder) -> Vec<(&FamilyId, &Name, Vec<Name>, &'static str)> {
    let mut all = Vec::new();
    for family in &binder.families {
        let id = &family.id.value;
        let parts = family.parts.iter().map(|own| (&own.name, &own.also, "part"));
        let openings = family.openings.iter().map(|own| (&own.name, &own.also, "opening"));
        let temporary = family.temporary.iter().map(|own| (&own.name, &own.also, "temporary item"));
        for (name, also, what) in parts.chain(openings).chain(temporary) {
            all.push((id, &name.value, also.iter().map(|also| also.value.clone()).collect(), what));
        }
    }
    all
}

/// Returns the names of all values and options, each once.
fn values(binder: &Binder) -> Vec<Name> {
    let mut names: Vec<Name> = Vec::new();
    for family in &binder.families {
        names.extend(family.options.iter().map(|option| option.name.value.clone()));
        names.extend(family.tag_values.iter().map(|name| name.value.clone()));
        names.extend(family.values.definitions().map(|own| own.name().value.clone()));
    }
    for procedure in &binder.procedures {
        names.extend(procedure.values.definitions().map(|own| own.name().value.clone()));
    }
    names.sort();
    names.dedup();
    names
}

fn every_name(binder: &Binder) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for (_, name, also, _) in movable(binder) {
        names.extend(std::iter::once(name).chain(&also).map(|name| name.as_str().to_owned()));
    }
    for item in &binder.crib.items {
        names.push(item.id.value.to_string());
        names.extend(names_of(item).map(str::to_owned));
    }
    names.extend(values(binder).iter().map(|name| name.as_str().to_owned()));
    names.extend(binder.procedures.iter().map(|procedure| procedure.document.value.to_string()));
    names.sort();
    names.dedup();
    names
}
