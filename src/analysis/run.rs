//! One job executed on paper: its steps, what each sentence does on this machine, and what came of it; it judges nothing.

use crate::analysis::job::Job;
use crate::analysis::teardown::Story;
use crate::base::text::Span;
use crate::language::action::Action;
use crate::language::reading::SentenceRead;
use crate::model::accepted::AcceptedLine;
use crate::model::procedure::Step;
use std::sync::Arc;

/// A job executed on paper.
#[derive(Debug)]
pub struct Run<'j, 'b> {
    /// The job.
    pub job: &'j Job<'b>,
    /// The steps that apply, in order.
    pub steps: Vec<StepRun<'b>>,
    /// Everything the sentences do, in order, resolved for this machine.
    pub deeds: Vec<Deed>,
    /// What came of it.
    pub story: Story,
}

/// A step that applies.
#[derive(Debug)]
pub struct StepRun<'b> {
    /// The step.
    pub step: &'b Step,
    /// Its printed number.
    pub number: u32,
    /// The place of its stage in the procedure.
    pub stage: usize,
    /// Its sentences.
    pub sentences: Vec<SentenceHere<'b>>,
}

/// A sentence on this machine.
#[derive(Debug)]
pub struct SentenceHere<'b> {
    /// As it was read.
    pub read: Arc<SentenceRead>,
    /// What the author accepted for it.
    pub accepted: Option<&'b AcceptedLine>,
    /// The actions in force: the accepted ones, else those that were read with certainty or by `{do ...}`.
    pub actions: Vec<Action>,
    /// Whether the actions in force can be relied on.
    pub standing: Standing,
}

/// Whether the actions of a sentence can be relied on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// The author accepted them, and they would be read so again.
    Accepted,
    /// The author accepted them, and the program would read them otherwise with certainty.
    AcceptedOtherwise,
    /// Read with certainty, not accepted yet.
    New,
    /// Not sure, and not accepted: it taints what it might touch.
    Open,
}

/// One thing that is done to this machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deed {
    /// Index into [`Run::steps`].
    pub step: usize,
    /// Index into the step's sentences.
    pub sentence: usize,
    /// The place of the sentence.
    pub span: Span,
    /// The action with its values filled in for this machine (`L-01` for `{assembly fluid}`, `25 N·m` for a torque).
    pub action: Action,
    /// How many it is done to here; none where that is no question.
    pub count: Option<u32>,
}
