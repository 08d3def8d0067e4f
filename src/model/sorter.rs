//! The braces of steps told apart: what they order goes to the step, what they name stays in the sentence; it resolves none.

use crate::base::finding::{Bounded, Finding};
use crate::base::name::Name;
use crate::base::rule::{BRACE_SYNTAX, MARKDOWN_FORM};
use crate::base::text::{Placed, Span};
use crate::model::only;
use crate::model::procedure::{Block, Inline, Manner, Stage, Step};
use crate::source::body;
use crate::source::brace::Piece;

/// Returns stages with the braces of their steps told apart.
pub(super) fn sorted(stages: &[body::Stage], findings: &mut Bounded) -> Vec<Stage> {
    let mut sorter = Sorter { findings: Bounded::default() };
    let stages = stages.iter().map(|stage| sorter.stage(stage)).collect();
    findings.absorb(sorter.findings);
    stages
}

struct Sorter {
    findings: Bounded,
}

impl Sorter {
    fn stage(&mut self, stage: &body::Stage) -> Stage {
        let mut nobody = Step::empty(stage.title.span);
        let notes = self.blocks(&stage.notes, &mut nobody);
        if let Some(span) = nobody.first_order() {
            let finding = Finding::error(BRACE_SYNTAX, "a note before the first step cannot carry this brace");
            self.findings.push(finding.at(span).help("move it into the step it is about"));
        }
        let steps = stage.steps.iter().map(|step| self.step(step)).collect();
        Stage { title: stage.title.clone(), notes, steps }
    }

    fn step(&mut self, written: &body::Step) -> Step {
        let mut step = Step::empty(written.span);
        step.blocks = self.blocks(&written.blocks, &mut step);
        if !says_something(&step.blocks) {
            let finding = Finding::error(MARKDOWN_FORM, "this step has no words")
                .at(written.span)
                .floor("a number with nothing to do")
                .help("write what is to be done, or move its braces into the step they belong to");
            self.findings.push(finding);
        }
        step
    }

    fn blocks(&mut self, blocks: &[body::Block], step: &mut Step) -> Vec<Block> {
        blocks.iter().filter_map(|block| self.block(block, step)).collect()
    }

    fn block(&mut self, block: &body::Block, step: &mut Step) -> Option<Block> {
        Some(match block {
            body::Block::Paragraph(line) => {
                let line = self.line(line, step);
                if line.is_empty() {
                    return None;
                }
                Block::Paragraph(line)
            }
            body::Block::List(items) => Block::List(items.iter().map(|item| self.blocks(item, step)).collect()),
            body::Block::Table { head, rows } => Block::Table {
                head: head.iter().map(|cell| self.line(cell, step)).collect(),
                rows: rows.iter().map(|row| row.iter().map(|cell| self.line(cell, step)).collect()).collect(),
            },
            body::Block::Figure { path, alt, caption } => {
                Block::Figure { path: path.clone(), alt: alt.clone(), caption: caption.clone() }
            }
        })
    }

    fn line(&mut self, line: &[body::Inline], step: &mut Step) -> Vec<Inline> {
        let mut out: Vec<Inline> = Vec::new();
        for inline in line {
            match inline {
                body::Inline::Words { text, manner, span } => {
                    push_words(&mut out, text, *manner, *span);
                }
                body::Inline::Link { text, target } => {
                    out.push(Inline::Link { text: text.clone(), target: target.clone() });
                }
                body::Inline::Brace(Piece::Value(name)) => out.push(Inline::Value(name.clone())),
                body::Inline::Brace(Piece::Words(_)) => {}
                body::Inline::Brace(Piece::Keyword { keyword, rest }) => self.keyword(keyword, rest, step, &mut out),
            }
        }
        trim_end(&mut out);
        out
    }

    fn keyword(&mut self, keyword: &'static str, rest: &Placed<String>, step: &mut Step, out: &mut Vec<Inline>) {
        if rest.value.is_empty() {
            let finding = Finding::error(BRACE_SYNTAX, format!("`{{{keyword}}}` does not say what"));
            self.findings.push(finding.at(rest.span).help(format!("write `{{{keyword} NAME}}`")));
            return;
        }
        let name = Placed::new(Name::new(&rest.value), rest.span);
        match keyword {
            "only" => match only::parse(rest) {
                Ok(only) if step.only.is_none() => step.only = Some(only),
                Ok(_) => {
                    let finding = Finding::error(BRACE_SYNTAX, "a step has one `{only ...}`");
                    self.findings.push(finding.at(rest.span).help("join the two with `and`, or split the step"));
                }
                Err(finding) => self.findings.push(*finding),
            },
            "caution" => step.cautions.push(name),
            "hold" => step.holds.push(name),
            "record" => step.records.push(name),
            "as" => step.labels.push(name),
            "see" => out.push(Inline::See(name)),
            _ => step.overrides.push(rest.clone()),
        }
    }
}

/// Returns whether some blocks hold anything that is printed.
fn says_something(blocks: &[Block]) -> bool {
    blocks.iter().any(|block| match block {
        Block::Paragraph(line) => !line.is_empty(),
        Block::List(items) => items.iter().any(|item| says_something(item)),
        Block::Table { .. } | Block::Figure { .. } => true,
    })
}

impl Step {
    fn empty(span: Span) -> Self {
        Self {
            span,
            blocks: Vec::new(),
            only: None,
            cautions: Vec::new(),
            holds: Vec::new(),
            records: Vec::new(),
            labels: Vec::new(),
            overrides: Vec::new(),
        }
    }

    /// Returns the place of the first brace that orders something, if there is one.
    fn first_order(&self) -> Option<Span> {
        let ordering = [&self.cautions, &self.holds, &self.records, &self.labels];
        let named = ordering.into_iter().flatten().map(|name| name.span);
        self.only
            .as_ref()
            .map(|only| only.span)
            .into_iter()
            .chain(named)
            .chain(self.overrides.iter().map(|o| o.span))
            .min()
    }
}

/// Adds words to a line; a space left over where a brace was taken out is folded into the one before it.
fn push_words(out: &mut Vec<Inline>, text: &str, manner: Manner, span: Span) {
    if let Some(Inline::Words { text: last, manner: own, span: whole, joins }) = out.last_mut()
        && *own == manner
    {
        let joined = if last.ends_with(' ') { text.trim_start_matches(' ') } else { text };
        let start = (span.start + narrow(text.len() - joined.len())).min(span.end);
        joins.push((last.len(), Span { start, ..span }));
        whole.end = whole.end.max(span.end);
        last.push_str(joined);
        return;
    }
    out.push(Inline::Words { text: text.to_owned(), manner, span, joins: Vec::new() });
}

fn narrow(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

/// Takes white space off both ends of a line; what is cut short keeps the places of the words that are left.
fn trim_end(line: &mut Vec<Inline>) {
    while let Some(Inline::Words { text, joins, .. }) = line.last_mut() {
        text.truncate(text.trim_end().len());
        joins.retain(|(at, _)| *at <= text.len());
        if !text.is_empty() {
            break;
        }
        line.pop();
    }
    if let Some(Inline::Words { text, span, joins, .. }) = line.first_mut() {
        let cut = text.len() - text.trim_start().len();
        text.drain(..cut);
        span.start = (span.start + narrow(cut)).min(span.end);
        for (at, _) in joins.iter_mut() {
            *at = at.saturating_sub(cut);
        }
    }
}
