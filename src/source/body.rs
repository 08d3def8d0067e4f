//! The one Markdown walker: a procedure's text as front matter, stages and steps with places; it knows no register.
//!
//! A second-level heading opens a stage; a numbered list under it holds its steps. What stands between a heading and its
//! first step is a note of the stage. Raw HTML, block quotes and code blocks have no place in a procedure.

use crate::base::finding::{Bounded, Finding, RuleId};
use crate::base::limits;
use crate::base::rule::{BRACE_SYNTAX, MARKDOWN_FORM, NESTED_TOO_DEEP, RAW_HTML, STRAY_TEXT, TOO_MANY_STEPS};
use crate::base::text::{FileId, Placed, Span};
use crate::source::brace::{self, Piece};
use pulldown_cmark::{CowStr, Event, HeadingLevel, MetadataBlockKind, Options, Parser, Tag, TagEnd};
use std::ops::Range;

/// A procedure's text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Body {
    /// The front matter between the `---` lines, without them.
    pub front: Option<Span>,
    /// The first-level heading, if there is one.
    pub title: Option<Placed<String>>,
    /// The stages in order.
    pub stages: Vec<Stage>,
}

/// A stage as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stage {
    /// The heading.
    pub title: Placed<String>,
    /// What stands before the first step.
    pub notes: Vec<Block>,
    /// The steps.
    pub steps: Vec<Step>,
}

/// A step as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The whole list item.
    pub span: Span,
    /// Its content.
    pub blocks: Vec<Block>,
}

/// A block of a step or note, made of inlines as written or as told apart by the model.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block<I = Inline> {
    /// A paragraph.
    Paragraph(Vec<I>),
    /// A list of sub-points.
    List(Vec<Vec<Self>>),
    /// A table: header cells, then rows.
    Table {
        /// Header cells.
        head: Vec<Vec<I>>,
        /// Rows of cells.
        rows: Vec<Vec<Vec<I>>>,
    },
    /// An image that stands alone in its paragraph.
    Figure {
        /// The path as written.
        path: Placed<String>,
        /// What it shows.
        alt: String,
        /// The caption; may be empty.
        caption: String,
    },
}

/// A stretch of a paragraph.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Inline {
    /// Words in one manner.
    Words {
        /// The words.
        text: String,
        /// How they are set.
        manner: Manner,
        /// Where they stand.
        span: Span,
    },
    /// A brace, still unread beyond its first word.
    Brace(Piece),
    /// A link.
    Link {
        /// Its words.
        text: String,
        /// Its target as written.
        target: Placed<String>,
    },
}

/// How words are set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Manner {
    /// Plainly.
    Plain,
    /// Strong.
    Strong,
    /// Stressed.
    Emphasis,
    /// Letter by letter.
    Code,
}

/// Walks a procedure's text once.
#[must_use]
pub fn walk(file: FileId, text: &str) -> (Body, Vec<Finding>) {
    if let Some(finding) = nested_too_deep(file, text) {
        return (Body { front: front_matter(file, text), ..Body::default() }, vec![finding]);
    }
    let options = Options::ENABLE_YAML_STYLE_METADATA_BLOCKS | Options::ENABLE_TABLES;
    let mut walker = Walker::new(file, text);
    for (event, range) in Parser::new_ext(text, options).into_offset_iter() {
        if walker.steps > limits::STEPS {
            walker.too_many_steps(range);
            break;
        }
        walker.take(event, range);
    }
    (walker.body, walker.findings.told())
}

/// Returns the front matter alone, for a file whose text is not walked.
fn front_matter(file: FileId, text: &str) -> Option<Span> {
    let rest = text.strip_prefix("---\n")?;
    let end = rest.find("\n---")?;
    Some(Span::new(file, 4, 4 + end + 1))
}

/// Returns a finding for the first line that opens more quotes and lists than any text needs.
///
/// This stands before the parser so that its time and stack stay bounded.
fn nested_too_deep(file: FileId, text: &str) -> Option<Finding> {
    let mut offset = 0;
    for line in text.split_inclusive('\n') {
        let markers = line.split_whitespace().take_while(|word| is_container_marker(word));
        let depth: usize = markers.map(|word| word.matches('>').count().max(1)).sum();
        let brackets = line.bytes().filter(|byte| *byte == b'[').count();
        let stars = line.bytes().filter(|byte| matches!(byte, b'*' | b'_' | b'`')).count();
        if depth > limits::NESTING || brackets > 200 || stars > 2_000 {
            let span = Span::new(file, offset, offset + line.trim_end().len().min(80));
            let message = format!("quotes, lists or brackets are nested more than {} deep", limits::NESTING);
            return Some(Finding::error(NESTED_TOO_DEEP, message).at(span).help("write plain numbered steps"));
        }
        offset += line.len();
    }
    None
}

fn is_container_marker(word: &str) -> bool {
    let numbered =
        word.ends_with(['.', ')']) && word.len() > 1 && word[..word.len() - 1].bytes().all(|b| b.is_ascii_digit());
    word.bytes().all(|byte| byte == b'>') || matches!(word, "-" | "*" | "+") || numbered
}

/// What is being gathered at one depth of the walk.
enum Frame {
    /// Blocks of a step, a note, or an item.
    Blocks { blocks: Vec<Block>, range: Range<usize>, role: Role },
    /// A list of sub-points.
    List(Vec<Vec<Block>>),
    /// A table.
    Table { head: Vec<Vec<Inline>>, rows: Vec<Vec<Vec<Inline>>>, row: Vec<Vec<Inline>> },
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Role {
    Step,
    Item,
}

struct Walker<'a> {
    file: FileId,
    text: &'a str,
    body: Body,
    findings: Bounded,
    frames: Vec<Frame>,
    inlines: Vec<Inline>,
    manner: Vec<Manner>,
    heading: Option<(HeadingLevel, Range<usize>)>,
    link: Option<(Range<usize>, String, String)>,
    image: Option<Image>,
    /// The picture that stands in the paragraph being gathered, if one does.
    picture: Option<Range<usize>>,
    /// Inside a metadata block or something refused: its text is passed over.
    passing: usize,
    in_metadata: bool,
    steps: usize,
}

struct Image {
    range: Range<usize>,
    path: String,
    caption: String,
    alt: String,
}

impl<'a> Walker<'a> {
    fn new(file: FileId, text: &'a str) -> Self {
        Self {
            file,
            text,
            body: Body::default(),
            findings: Bounded::default(),
            frames: Vec::new(),
            inlines: Vec::new(),
            manner: Vec::new(),
            heading: None,
            link: None,
            image: None,
            picture: None,
            passing: 0,
            in_metadata: false,
            steps: 0,
        }
    }

    fn span(&self, range: &Range<usize>) -> Span {
        let trimmed = self.text[range.clone()].trim_end().len();
        Span::new(self.file, range.start, range.start + trimmed)
    }

    fn take(&mut self, event: Event<'_>, range: Range<usize>) {
        match event {
            Event::Start(tag) => self.start(tag, range),
            Event::End(tag) => self.end(tag, range),
            Event::Text(_) if self.in_metadata => self.metadata(&range),
            _ if self.passing > 0 => {}
            Event::Text(text) => self.words(&text, range),
            Event::Code(text) => self.push_words(text.into_string(), Manner::Code, &range),
            Event::SoftBreak | Event::HardBreak => self.words(&CowStr::Borrowed(" "), range),
            Event::Html(_) | Event::InlineHtml(_) => {
                self.refuse(RAW_HTML, "raw HTML has no place in a procedure", &range);
            }
            Event::Rule => self.refuse(MARKDOWN_FORM, "a ruled line says nothing to a fitter", &range),
            Event::FootnoteReference(_) | Event::TaskListMarker(_) | Event::InlineMath(_) | Event::DisplayMath(_) => {
                self.refuse(MARKDOWN_FORM, "this form of Markdown is not used in a procedure", &range);
            }
        }
    }

    fn metadata(&mut self, range: &Range<usize>) {
        let start = self.body.front.map_or(range.start, |front| front.range().start);
        self.body.front = Some(Span::new(self.file, start, range.end));
    }

    fn start(&mut self, tag: Tag<'_>, range: Range<usize>) {
        if self.passing > 0 {
            self.passing += 1;
            return;
        }
        match tag {
            Tag::MetadataBlock(MetadataBlockKind::YamlStyle) => self.in_metadata = true,
            Tag::Heading { level, .. } => self.start_heading(level, range),
            Tag::Paragraph | Tag::TableCell => self.flush_inlines(),
            Tag::List(_) | Tag::Item | Tag::Table(_) if self.frames.len() >= limits::NESTING => self.too_deep(&range),
            Tag::List(first) => self.start_list(first.is_some()),
            Tag::Item => self.start_item(range),
            Tag::Emphasis => self.manner.push(Manner::Emphasis),
            Tag::Strong => self.manner.push(Manner::Strong),
            Tag::Link { .. } if self.image.is_some() => {}
            Tag::Image { .. } if self.image.is_some() => {
                self.pass(MARKDOWN_FORM, "a picture cannot stand in the words of a picture", &range);
            }
            Tag::Link { dest_url, .. } => self.link = Some((range, dest_url.into_string(), String::new())),
            Tag::Image { dest_url, title, .. } => {
                self.image = Some(Image {
                    range,
                    path: dest_url.into_string(),
                    caption: title.into_string(),
                    alt: String::new(),
                });
            }
            Tag::Table(_) => self.frames.push(Frame::Table { head: Vec::new(), rows: Vec::new(), row: Vec::new() }),
            Tag::TableHead | Tag::TableRow => {}
            Tag::HtmlBlock => self.pass(RAW_HTML, "raw HTML has no place in a procedure", &range),
            Tag::BlockQuote(_) => {
                self.pass(
                    MARKDOWN_FORM,
                    "a block quote has no place in a procedure; declare a caution in the front matter",
                    &range,
                );
            }
            Tag::CodeBlock(_) => {
                self.pass(MARKDOWN_FORM, "a code block has no place in a procedure; look at the indentation", &range);
            }
            _ => self.pass(MARKDOWN_FORM, "this form of Markdown is not used in a procedure", &range),
        }
    }

    fn end(&mut self, tag: TagEnd, range: Range<usize>) {
        if self.passing > 0 {
            self.passing -= 1;
            return;
        }
        match tag {
            TagEnd::MetadataBlock(_) => self.in_metadata = false,
            TagEnd::Heading(_) => self.end_heading(),
            TagEnd::Paragraph => self.flush_inlines(),
            TagEnd::Emphasis | TagEnd::Strong => {
                self.manner.pop();
            }
            TagEnd::Link => self.end_link(),
            TagEnd::Image => self.end_image(),
            TagEnd::Item => self.end_item(),
            TagEnd::List(_) => self.end_list(&range),
            TagEnd::TableCell => self.end_cell(),
            TagEnd::TableHead => self.end_row(true),
            TagEnd::TableRow => self.end_row(false),
            TagEnd::Table => self.end_table(&range),
            _ => {}
        }
    }

    fn refuse(&mut self, rule: RuleId, message: &str, range: &Range<usize>) {
        let finding = Finding::error(rule, message)
            .at(self.span(range))
            .floor("it would be lost or look different on every output")
            .help("write it as a plain sentence, a list or a table");
        self.findings.push(finding);
    }

    fn pass(&mut self, rule: RuleId, message: &str, range: &Range<usize>) {
        self.refuse(rule, message, range);
        self.passing = 1;
    }

    fn too_many_steps(&mut self, range: Range<usize>) {
        let message = format!("the procedure has more than {} steps", limits::STEPS);
        let at = self.span(&(range.start..(range.start + 1).min(self.text.len())));
        self.findings.push(Finding::error(TOO_MANY_STEPS, message).at(at).help("split it into several procedures"));
    }

    fn start_heading(&mut self, level: HeadingLevel, range: Range<usize>) {
        self.flush_inlines();
        self.heading = Some((level, range));
    }

    fn end_heading(&mut self) {
        let Some((level, range)) = self.heading.take() else { return };
        let inlines = std::mem::take(&mut self.inlines);
        let title = Placed::new(plain(&inlines), self.span(&range));
        if title.value.contains(['{', '}']) {
            self.refuse(MARKDOWN_FORM, "a heading cannot hold a brace", &range);
        }
        match level {
            HeadingLevel::H1 if self.body.title.is_none() && self.body.stages.is_empty() => {
                self.body.title = Some(title);
            }
            HeadingLevel::H2 => self.body.stages.push(Stage { title, notes: Vec::new(), steps: Vec::new() }),
            _ => self.refuse(MARKDOWN_FORM, "only `##` headings name stages; this heading has another level", &range),
        }
    }

    /// Passes over what is nested so deep that no stack should have to follow it.
    fn too_deep(&mut self, range: &Range<usize>) {
        let message = format!("lists are nested more than {} deep", limits::NESTING / 2);
        let at = self.span(&(range.start..(range.start + 1).min(self.text.len())));
        self.findings.push(Finding::error(NESTED_TOO_DEEP, message).at(at).help("write plain numbered steps"));
        self.passing = 1;
    }

    /// A numbered list at the top of a stage holds steps; any other list holds points.
    fn start_list(&mut self, is_numbered: bool) {
        self.flush_inlines();
        if !self.frames.is_empty() || !is_numbered {
            self.frames.push(Frame::List(Vec::new()));
        }
    }

    fn start_item(&mut self, range: Range<usize>) {
        let role = if self.frames.is_empty() { Role::Step } else { Role::Item };
        self.frames.push(Frame::Blocks { blocks: Vec::new(), range, role });
    }

    fn end_item(&mut self) {
        self.flush_inlines();
        let Some(Frame::Blocks { blocks, range, role }) = self.frames.pop() else { return };
        if role == Role::Item {
            if let Some(Frame::List(items)) = self.frames.last_mut() {
                items.push(blocks);
            }
            return;
        }
        self.steps += 1;
        let span = self.span(&range);
        match self.body.stages.last_mut() {
            Some(stage) => stage.steps.push(Step { span, blocks }),
            None => self.refuse(STRAY_TEXT, "this step stands before the first `##` heading", &range),
        }
    }

    fn end_list(&mut self, range: &Range<usize>) {
        if let Some(Frame::List(_)) = self.frames.last()
            && let Some(Frame::List(items)) = self.frames.pop()
        {
            self.place_block(Block::List(items), range);
        }
    }

    fn end_cell(&mut self) {
        let inlines = std::mem::take(&mut self.inlines);
        let inlines = self.split_braces(inlines);
        if let Some(Frame::Table { row, .. }) = self.frames.last_mut() {
            row.push(inlines);
        }
    }

    fn end_row(&mut self, is_head: bool) {
        if let Some(Frame::Table { head, rows, row }) = self.frames.last_mut() {
            let cells = std::mem::take(row);
            if is_head { *head = cells } else { rows.push(cells) }
        }
    }

    fn end_table(&mut self, range: &Range<usize>) {
        if let Some(Frame::Table { head, rows, .. }) = self.frames.pop() {
            self.place_block(Block::Table { head, rows }, range);
        }
    }

    fn words(&mut self, text: &CowStr<'_>, range: Range<usize>) {
        let manner = self.manner.last().copied().unwrap_or(Manner::Plain);
        self.push_words(text.to_string(), manner, &range);
    }

    fn push_words(&mut self, text: String, manner: Manner, range: &Range<usize>) {
        if let Some(image) = &mut self.image {
            image.alt.push_str(&text);
            return;
        }
        if let Some((_, _, words)) = &mut self.link {
            words.push_str(&text);
            return;
        }
        let span = Span::new(self.file, range.start, range.end);
        match self.inlines.last_mut() {
            // The parser cuts words at every character that might have meant something; they are one run of text.
            Some(Inline::Words { text: last, manner: own, span: at }) if *own == manner && manner != Manner::Code => {
                last.push_str(&text);
                at.end = span.end;
            }
            _ => self.inlines.push(Inline::Words { text, manner, span }),
        }
    }

    fn end_link(&mut self) {
        if let Some((range, target, text)) = self.link.take() {
            self.refuse_brace(&text, "a link", &range);
            let target = Placed::new(target, self.span(&range));
            self.inlines.push(Inline::Link { text, target });
        }
    }

    fn end_image(&mut self) {
        let Some(image) = self.image.take() else { return };
        let in_cell = matches!(self.frames.last(), Some(Frame::Table { .. }));
        if in_cell || self.link.is_some() || self.heading.is_some() || self.has_words() {
            self.refuse_picture(&image.range);
            return;
        }
        self.flush_inlines();
        self.refuse_brace(&image.alt, "the words of a picture", &image.range);
        self.refuse_brace(&image.caption, "the caption of a picture", &image.range);
        self.picture = Some(image.range.clone());
        let path = Placed::new(image.path, self.span(&image.range));
        self.place_block(Block::Figure { path, alt: image.alt, caption: image.caption }, &image.range);
    }

    /// Refuses a brace in words that nothing is filled into.
    fn refuse_brace(&mut self, text: &str, what: &str, range: &Range<usize>) {
        if text.contains(['{', '}']) {
            let finding =
                Finding::error(BRACE_SYNTAX, format!("{what} cannot hold a brace: nothing is filled in there"))
                    .at(self.span(range))
                    .floor("the words in the brace would be printed as they stand")
                    .help("name the value in the sentence beside it");
            self.findings.push(finding);
        }
    }

    fn refuse_picture(&mut self, range: &Range<usize>) {
        let finding =
            Finding::error(MARKDOWN_FORM, "a picture cannot stand inside a sentence, a heading or a table cell")
                .at(self.span(range))
                .floor("the words around it would be lost or torn apart")
                .help("put the picture into a paragraph of its own: an empty line before it and after it");
        self.findings.push(finding);
    }

    /// Returns whether the paragraph that is being gathered says something already.
    fn has_words(&self) -> bool {
        self.inlines.iter().any(|inline| !matches!(inline, Inline::Words { text, .. } if text.trim().is_empty()))
    }

    /// Ends the paragraph that is being gathered, if any.
    fn flush_inlines(&mut self) {
        if let Some(picture) = self.picture.take()
            && self.has_words()
        {
            self.refuse_picture(&picture);
        }
        let inlines = std::mem::take(&mut self.inlines);
        let Some(range) = extent(&inlines) else { return };
        let split = self.split_braces(inlines);
        if !split.is_empty() {
            self.place_block(Block::Paragraph(split), &range);
        }
    }

    fn split_braces(&mut self, inlines: Vec<Inline>) -> Vec<Inline> {
        let mut out = Vec::new();
        for inline in inlines {
            match inline {
                Inline::Words { text, manner, span } if manner != Manner::Code => {
                    self.split_words(&text, manner, span, &mut out);
                }
                other => out.push(other),
            }
        }
        trim(out)
    }

    /// Splits one run at its braces; an escaped brace (`\{`) stays a character.
    fn split_words(&mut self, text: &str, manner: Manner, span: Span, out: &mut Vec<Inline>) {
        let source = &self.text[span.range()];
        let places = Places::of(source, text, span);
        if source != text && source.contains('\\') {
            // The escapes shift every offset, so the run is taken as it reads and its braces stay characters.
            let unescaped = source.replace("\\{", "").replace("\\}", "");
            if !unescaped.contains(['{', '}']) {
                out.extend(places.stretches(text, 0..text.len(), manner));
                return;
            }
        }
        let (pieces, findings) = brace::split(self.file, text, span.range().start);
        self.findings.absorb(findings);
        let mut at = 0;
        for piece in pieces {
            let from = at;
            match piece {
                Piece::Words(words) => {
                    at += words.len();
                    out.extend(places.stretches(text, from..at, manner));
                }
                brace => {
                    at += text[from..].find('}').map_or(0, |end| end + 1);
                    out.push(Inline::Brace(brace.at(places.span(from..at))));
                }
            }
        }
    }

    /// Puts a block where it belongs: the open step or item, else the notes of the stage.
    fn place_block(&mut self, block: Block, range: &Range<usize>) {
        if self.frames.is_empty() {
            match self.body.stages.last_mut() {
                Some(stage) if stage.steps.is_empty() => stage.notes.push(block),
                Some(_) => self.refuse(STRAY_TEXT, "this text stands after a step but belongs to none", range),
                None => self.refuse(
                    STRAY_TEXT,
                    "this text stands before the first `##` heading and would not be printed",
                    range,
                ),
            }
        } else {
            self.push_block(block, range);
        }
    }

    /// Adds a block to the open step or item; one that finds none is told and not dropped in silence.
    fn push_block(&mut self, block: Block, range: &Range<usize>) {
        if let Some(Frame::Blocks { blocks, .. }) = self.frames.last_mut() {
            blocks.push(block);
        } else {
            self.refuse(MARKDOWN_FORM, "this cannot stand in a list or table without an item around it", range);
        }
    }
}

/// Returns the bytes a paragraph's runs cover.
fn extent(inlines: &[Inline]) -> Option<Range<usize>> {
    let ranges: Vec<Range<usize>> = inlines
        .iter()
        .filter_map(|inline| match inline {
            Inline::Words { span, .. } => Some(span.range()),
            Inline::Link { target, .. } => Some(target.span.range()),
            Inline::Brace(_) => None,
        })
        .collect();
    Some(ranges.first()?.start..ranges.last()?.end)
}

/// Where each byte of a run of text stands in its source: escapes are shorter as they read, and a line that was broken and
/// indented is one line.
struct Places {
    span: Span,
    /// The byte in the source for each byte of the text; none where the text cannot be followed through its source.
    at: Option<Vec<usize>>,
}

impl Places {
    fn of(source: &str, text: &str, span: Span) -> Self {
        let start = span.range().start;
        if source == text {
            return Self { span, at: Some((start..start + text.len()).collect()) };
        }
        let mut at = Vec::with_capacity(text.len());
        let mut rest = source.char_indices();
        for c in text.chars() {
            let is_it = |own: char| own == c || (c == ' ' && own.is_whitespace());
            let mut skipped = rest.by_ref().take_while(|(_, own)| is_it(*own) || *own == '\\' || own.is_whitespace());
            let Some((found, _)) = skipped.find(|(_, own)| is_it(*own)) else { return Self { span, at: None } };
            at.extend((0..c.len_utf8()).map(|byte| start + found + byte));
        }
        Self { span, at: Some(at) }
    }

    /// Returns where a stretch of the text stands.
    fn span(&self, range: Range<usize>) -> Span {
        let ends = self.at.as_ref().and_then(|at| Some((*at.get(range.start)?, *at.get(range.end.checked_sub(1)?)?)));
        ends.map_or(self.span, |(first, last)| Span::new(self.span.file, first, last + 1))
    }

    /// Returns a stretch of the text as words that stand together in the source as they do in the text.
    fn stretches(&self, text: &str, range: Range<usize>, manner: Manner) -> Vec<Inline> {
        let mut cuts = vec![range.start];
        if let Some(at) = &self.at {
            cuts.extend((range.start + 1..range.end).filter(|byte| at[*byte] != at[byte - 1] + 1));
        }
        cuts.push(range.end);
        let stretch = |ends: &[usize]| {
            let (from, to) = (ends[0], ends[1]);
            Inline::Words { text: text[from..to].to_owned(), manner, span: self.span(from..to) }
        };
        cuts.windows(2).filter(|ends| ends[0] < ends[1]).map(stretch).collect()
    }
}

/// Takes white space off both ends of a paragraph and drops empty runs.
fn trim(mut inlines: Vec<Inline>) -> Vec<Inline> {
    if let Some(Inline::Words { text, span, .. }) = inlines.first_mut() {
        let cut = text.len() - text.trim_start().len();
        text.drain(..cut);
        *span = Span::new(span.file, (span.range().start + cut).min(span.range().end), span.range().end);
    }
    if let Some(Inline::Words { text, .. }) = inlines.last_mut() {
        *text = text.trim_end().to_owned();
    }
    inlines.retain(|inline| !matches!(inline, Inline::Words { text, .. } if text.is_empty()));
    inlines
}

/// Returns the words of some inlines without their manner.
fn plain(inlines: &[Inline]) -> String {
    let words = |inline: &Inline| match inline {
        Inline::Words { text, .. } | Inline::Link { text, .. } => text.clone(),
        Inline::Brace(_) => String::new(),
    };
    inlines.iter().map(words).collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::path::BinderPath;
    use crate::base::text::Texts;

    fn inlines(line: &[Inline]) -> String {
        let drawn = |inline: &Inline| match inline {
            Inline::Words { text, manner: Manner::Plain, .. } => text.clone(),
            Inline::Words { text, manner, .. } => format!("{manner:?}({text})"),
            Inline::Brace(Piece::Value(name)) => format!("<{}>", name.value),
            Inline::Brace(Piece::Keyword { keyword, rest }) => format!("<{keyword}:{}>", rest.value),
            Inline::Brace(Piece::Words(words)) => words.clone(),
            Inline::Link { text, target } => format!("[{text}]({})", target.value),
        };
        line.iter().map(drawn).collect()
    }

    fn blocks(content: &[Block]) -> String {
        let drawn = |block: &Block| match block {
            Block::Paragraph(line) => inlines(line),
            Block::List(items) => format!("({})", items.iter().map(|item| blocks(item)).collect::<Vec<_>>().join("; ")),
            Block::Table { head, rows } => {
                let row = |row: &Vec<Vec<Inline>>| row.iter().map(|cell| inlines(cell)).collect::<Vec<_>>().join("|");
                std::iter::once(row(head)).chain(rows.iter().map(row)).collect::<Vec<_>>().join(" / ")
            }
            Block::Figure { path, alt, caption } => format!("figure {} {alt} {caption}", path.value),
        };
        content.iter().map(drawn).collect::<Vec<_>>().join(" + ")
    }

    /// Walks `text` and draws stages, notes and steps a line each, then findings as `!line:column rule`.
    fn drawn(text: &str) -> String {
        let mut texts = Texts::default();
        let file = texts.add(BinderPath::parse("a.md").expect("plain"), text.to_owned());
        let (body, findings) = walk(file, text);
        let mut lines = Vec::new();
        for stage in &body.stages {
            lines.push(format!("# {}", stage.title.value));
            lines.extend((!stage.notes.is_empty()).then(|| format!("note {}", blocks(&stage.notes))));
            lines.extend(stage.steps.iter().map(|step| blocks(&step.blocks)));
        }
        lines.extend(findings.iter().map(|finding| {
            let (_, at) = texts.locate(finding.span.expect("placed"));
            format!("!{}:{} {}", at.line, at.column, finding.rule.0)
        }));
        lines.join("\n")
    }

    #[test]
    fn stages_steps_and_braces() {
        let text = "---\ndocument: X\n---\n# Title\n\n## Strip\n\nFirst read this.\n\n1. Remove the *two* nuts. {only size 2, 3}\n2. Tighten to {nut\n   torque}, **not** more.\n\n## Rebuild\n3. Fit it. See {see nut}\n";
        assert_eq!(
            drawn(text),
            "# Strip\nnote First read this.\nRemove the Emphasis(two) nuts. <only:size 2, 3>\nTighten to <nut torque>, Strong(not) more.\n# Rebuild\nFit it. See <see:nut>"
        );
    }

    #[test]
    fn sub_points_tables_and_figures_belong_to_their_step() {
        let text = "## A\n1. Perform one:\n   - this\n   - that {x}\n\n   ![a pump](../figures/p.svg \"The pump\")\n2. Look:\n\n   | a | b |\n   |---|---|\n   | 1 | {y} |\n";
        assert_eq!(
            drawn(text),
            "# A\nPerform one: + (this; that <x>) + figure ../figures/p.svg a pump The pump\nLook: + a|b / 1|<y>"
        );
    }

    #[test]
    fn a_picture_among_words_is_refused_and_the_words_are_kept() {
        let cell = "## A\n1. Look:\n\n   | a | b |\n   |---|---|\n   | Turn to {x} now ![w](p.svg) | y |\n";
        assert_eq!(drawn(cell), "# A\nLook: + a|b / Turn to <x> now|y\n!6:22 markdown-form");
        assert_eq!(drawn("## A\n1. Turn ![w](p.svg) on.\n"), "# A\nTurn  on.\n!2:9 markdown-form");
        assert_eq!(drawn("## A\n1. ![w](p.svg) Turn.\n"), "# A\nfigure p.svg w  + Turn.\n!2:4 markdown-form");
        assert_eq!(drawn("## A ![w](p.svg)\n1. Go.\n"), "# A\nGo.\n!1:6 markdown-form");
        assert_eq!(drawn("## A\n1. Go [x ![w](p.svg)](y).\n"), "# A\nGo [x ](y).\n!2:10 markdown-form");
        assert_eq!(drawn("## A\n1. ![a `b` [c](d)](p.svg)\n"), "# A\nfigure p.svg a b c ");
    }

    #[test]
    fn a_list_without_numbers_holds_no_steps() {
        assert_eq!(drawn("## A\n- Have ready\n- a hoist\n\n1. Go.\n"), "# A\nnote (Have ready; a hoist)\nGo.");
        assert_eq!(drawn("## A\n1. Go.\n\nx\n\n- y\n"), "# A\nGo.\n!4:1 stray-text\n!6:1 stray-text");
        assert_eq!(drawn("- y\n"), "!1:1 stray-text");
    }

    #[test]
    fn braces_have_no_place_where_nothing_is_filled_in() {
        let text = "## A\n1. Go [{x}](https://x.example).\n\n   ![a {x}](p.svg)\n\n   ![a](p.svg \"{x}\")\n";
        let told = drawn(text);
        assert!(told.ends_with("!2:7 brace-syntax\n!4:4 brace-syntax\n!6:4 brace-syntax"), "{told}");
    }

    #[test]
    fn lists_over_many_lines_stay_within_the_limit() {
        let deep = |depth: usize| (0..depth).map(|at| format!("{}- x\n", "  ".repeat(at))).collect::<Vec<_>>().concat();
        assert!(drawn(&format!("## A\n{}", deep(15))).starts_with("# A\nnote"));
        let told = drawn(&format!("## A\n{}", deep(700)));
        assert!(told.ends_with("nested-too-deep"), "{told}");
        assert_eq!(told.matches('!').count(), 1, "{told}");
    }

    #[test]
    fn what_has_no_place_is_told_where_it_stands() {
        assert_eq!(drawn("## A\n1. Go <b>on</b>.\n"), "# A\nGo on.\n!2:7 raw-html\n!2:12 raw-html");
        assert_eq!(drawn("## A\n\n<div>x</div>\n\n1. Go.\n"), "# A\nGo.\n!3:1 raw-html");
        assert_eq!(drawn("1. Go.\n"), "!1:1 stray-text");
        assert_eq!(drawn("## A\n> quoted\n\n1. Go.\n"), "# A\nGo.\n!2:1 markdown-form");
        assert_eq!(drawn("## A\n1. Go.\n\nAfterthought.\n"), "# A\nGo.\n!4:1 stray-text");
        assert_eq!(drawn("## A\n1. Go {x.\n"), "# A\nGo {x.\n!2:7 brace-syntax");
    }

    #[test]
    fn an_escaped_brace_is_a_character() {
        assert_eq!(drawn("## A\n1. Press \\{ESC\\}.\n"), "# A\nPress {ESC}.");
        assert_eq!(drawn("## A\n1. Type `{x}`.\n"), "# A\nType Code({x}).");
    }

    #[test]
    fn a_brace_is_placed_in_its_file() {
        let text = "---\nx: µ\n---\n## A\n1. Tighten to {nut torque}.\n";
        let mut texts = Texts::default();
        let file = texts.add(BinderPath::parse("a.md").expect("plain"), text.to_owned());
        let (body, _) = walk(file, text);
        assert_eq!(texts.slice(body.front.expect("there is one")), "x: µ\n");
        let Block::Paragraph(line) = &body.stages[0].steps[0].blocks[0] else { unreachable!("a step's sentence") };
        let Inline::Brace(Piece::Value(name)) = &line[1] else { unreachable!("the brace follows the words") };
        assert_eq!(texts.slice(name.span), "{nut torque}");
    }

    #[test]
    fn bounds_hold_before_the_parser_sees_the_text() {
        let quotes = "> ".repeat(100_000);
        assert!(drawn(&quotes).ends_with("nested-too-deep"));
        let steps = format!("## A\n{}", "1. Go.\n".repeat(3_000));
        assert!(drawn(&steps).ends_with("too-many-steps"));
    }
}
