//! The accepted actions of a procedure as they stand in the file beside it; what they mean is the language's business.
//!
//! One line a sentence: `KEY | ACTIONS | SENTENCE`, or `KEY @P-101,P-102 | ACTIONS | SENTENCE` where the sentence was read
//! otherwise on some machines. `KEY` is made of the words of the step up to and with the sentence; a `?` behind it says that
//! the program was not sure when its author answered, so that it is asked again where something that was sure no longer is.

use crate::base::name::Tag;
use crate::base::text::{FileId, Span};

/// The first line of every such file.
pub const HEAD: &str = "matchmark actions 1";

/// The accepted actions of one procedure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accepted {
    /// The file.
    pub file: FileId,
    /// The lines, in the order of the file.
    pub lines: Vec<AcceptedLine>,
    /// Lines that cannot be read.
    pub broken: Vec<Span>,
}

/// What was accepted for one sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AcceptedLine {
    /// Made of the step's words up to and with the sentence.
    pub key: String,
    /// True where the program was not sure of it when it was accepted.
    pub was_unsure: bool,
    /// The machines it was accepted for; empty for all.
    pub tags: Vec<Tag>,
    /// The actions as one line.
    pub actions: String,
    /// The sentence as it stood.
    pub sentence: String,
    /// Where the line stands.
    pub span: Span,
}

/// What an author answered for a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// The actions as one line.
    pub actions: String,
    /// True where the program was not sure when he answered.
    pub was_unsure: bool,
}

impl Accepted {
    /// Reads the text of a file.
    #[must_use]
    pub fn read(file: FileId, text: &str) -> Self {
        let mut accepted = Self { file, lines: Vec::new(), broken: Vec::new() };
        let mut at = 0;
        let mut is_headed = false;
        for raw in text.split_inclusive('\n') {
            let line = raw.trim();
            let span = Span::new(file, at, at + raw.trim_end().len());
            at += raw.len();
            if line.is_empty() || line.starts_with('#') {
                continue;
            }
            if !is_headed {
                is_headed = true;
                if line != HEAD {
                    accepted.broken.push(span);
                }
                continue;
            }
            match read_line(line, span) {
                Some(line) => accepted.lines.push(line),
                None => accepted.broken.push(span),
            }
        }
        accepted
    }

    /// Returns what was accepted under a key for a machine.
    #[must_use]
    pub fn find(&self, key: &str, tag: &Tag) -> Option<&AcceptedLine> {
        self.lines.iter().find(|line| line.key == key && (line.tags.is_empty() || line.tags.contains(tag)))
    }
}

fn read_line(line: &str, span: Span) -> Option<AcceptedLine> {
    let mut fields = line.splitn(3, " | ");
    let (head, actions, sentence) = (fields.next()?, fields.next()?, fields.next()?);
    let (key, tags) = head.split_once(" @").unwrap_or((head, ""));
    let (key, was_unsure) = key.strip_suffix('?').map_or((key, false), |key| (key, true));
    let is_key = !key.is_empty() && key.bytes().all(|byte| byte.is_ascii_hexdigit());
    let tags = tags.split(',').filter(|tag| !tag.is_empty()).map(Tag::new).collect();
    is_key.then(|| AcceptedLine {
        key: key.to_owned(),
        was_unsure,
        tags,
        actions: actions.trim().to_owned(),
        sentence: sentence.trim().to_owned(),
        span,
    })
}

impl AcceptedLine {
    /// Returns the line as it is written.
    #[must_use]
    pub fn written(key: &str, tags: &[Tag], answer: &Answer, sentence: &str) -> String {
        let tags = tags.iter().map(Tag::as_str).collect::<Vec<_>>().join(",");
        let tags = if tags.is_empty() { tags } else { format!(" @{tags}") };
        let mark = if answer.was_unsure { "?" } else { "" };
        format!("{key}{mark}{tags} | {} | {sentence}", answer.actions)
    }
}
