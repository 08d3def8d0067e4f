//! The YAML of a register as a tree whose every node keeps its place; it knows no field names.
//!
//! Taken in: mappings, sequences and scalars. Refused: duplicate keys, anchors, aliases, merge keys, tags, several
//! documents. A scalar stays the text the author wrote (`no`, `010`, `1e3`, `1.10`); only [`Node::to_json`] tells whole
//! numbers, `true`, `false` and nothing apart, for the schema.

use crate::base::finding::{Bounded, Finding};
use crate::base::limits;
use crate::base::rule::{DUPLICATE_KEY, NESTED_TOO_DEEP, YAML_FEATURE, YAML_SYNTAX};
use crate::base::text::{FileId, Placed, Span};
use saphyr_parser::{Event, Parser, ScalarStyle, ScanError};
use serde_json::Value;
use std::collections::BTreeMap;

/// A node of the tree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Node {
    /// Where it stands.
    pub span: Span,
    /// What it is.
    pub kind: Kind,
}

/// What a node is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A text as the author wrote it.
    Scalar {
        /// The text, quotes and folding resolved.
        text: String,
        /// True where it stood without quotes.
        plain: bool,
    },
    /// A sequence.
    List(Vec<Node>),
    /// A mapping in the author's order.
    Map(Vec<(Placed<String>, Node)>),
}

impl Node {
    /// Returns the text of a scalar that is not empty or null.
    #[must_use]
    pub fn text(&self) -> Option<&str> {
        match &self.kind {
            Kind::Scalar { text, plain } if !(*plain && is_null(text)) => Some(text),
            _ => None,
        }
    }

    /// Returns the text of a scalar with its place.
    #[must_use]
    pub fn placed(&self) -> Option<Placed<String>> {
        self.text().map(|text| Placed::new(text.to_owned(), self.span))
    }

    /// Returns the items of a sequence; nothing for any other node.
    #[must_use]
    pub fn items(&self) -> &[Node] {
        match &self.kind {
            Kind::List(items) => items,
            _ => &[],
        }
    }

    /// Returns the entries of a mapping; nothing for any other node.
    #[must_use]
    pub fn entries(&self) -> &[(Placed<String>, Node)] {
        match &self.kind {
            Kind::Map(entries) => entries,
            _ => &[],
        }
    }

    /// Returns the value of a mapping's key.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&Node> {
        self.entries().iter().find(|(own, _)| own.value == key).map(|(_, value)| value)
    }

    /// Returns the node as JSON for a schema: plain whole numbers, `true`, `false` and null are typed, the rest is text.
    #[must_use]
    pub fn to_json(&self) -> Value {
        match &self.kind {
            Kind::Scalar { text, plain: true } => plain_json(text),
            Kind::Scalar { text, plain: false } => Value::String(text.clone()),
            Kind::List(items) => Value::Array(items.iter().map(Node::to_json).collect()),
            Kind::Map(entries) => {
                Value::Object(entries.iter().map(|(key, value)| (key.value.clone(), value.to_json())).collect())
            }
        }
    }

    /// Returns the node a JSON pointer leads to, or the deepest one on the way to it.
    #[must_use]
    pub fn at_pointer(&self, pointer: &str) -> &Node {
        let mut node = self;
        for part in pointer.split('/').skip(1) {
            let part = part.replace("~1", "/").replace("~0", "~");
            let next = match &node.kind {
                Kind::List(items) => part.parse::<usize>().ok().and_then(|index| items.get(index)),
                Kind::Map(_) => node.get(&part),
                Kind::Scalar { .. } => None,
            };
            match next {
                Some(next) => node = next,
                None => return node,
            }
        }
        node
    }

    /// Returns the place of a mapping's key, or of the mapping where it has none of that name.
    #[must_use]
    pub fn key_span(&self, key: &str) -> Span {
        self.entries().iter().find(|(own, _)| own.value == key).map_or(self.span, |(own, _)| own.span)
    }
}

fn is_null(text: &str) -> bool {
    matches!(text, "" | "~" | "null")
}

fn plain_json(text: &str) -> Value {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let whole = !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit());
    let canonical = whole && (digits == "0" || !digits.starts_with('0'));
    match text {
        "true" => Value::Bool(true),
        "false" => Value::Bool(false),
        text if is_null(text) => Value::Null,
        text if canonical => text.parse::<i64>().map_or_else(|_| Value::String(text.to_owned()), Value::from),
        text => Value::String(text.to_owned()),
    }
}

/// Reads `text`, which stands in `file` from byte `offset` on, into a tree.
///
/// Returns the tree, or none where nothing sensible could be built, and what is wrong with it.
#[must_use]
pub fn parse(file: FileId, text: &str, offset: usize) -> (Option<Node>, Vec<Finding>) {
    let mut builder = Builder::new(file, text, offset);
    for event in Parser::new_from_str(text) {
        let step = match event {
            Ok((event, span)) => builder.take(event, span),
            Err(error) => {
                let finding = builder.syntax_error(&error);
                builder.findings.push(finding);
                break;
            }
        };
        if step == Step::Stop {
            break;
        }
    }
    builder.finish()
}

#[derive(PartialEq, Eq)]
enum Step {
    Go,
    Stop,
}

/// A collection that is still open.
enum Open {
    List {
        start: usize,
        items: Vec<Node>,
    },
    Map {
        start: usize,
        entries: Vec<(Placed<String>, Node)>,
        /// Where each key stood first.
        seen: BTreeMap<String, Span>,
        key: Option<Placed<String>>,
    },
}

struct Builder<'a> {
    file: FileId,
    text: &'a str,
    offset: usize,
    /// Byte offset of each character; empty where every character is one byte.
    bytes: Vec<usize>,
    stack: Vec<Open>,
    root: Option<Node>,
    documents: usize,
    findings: Bounded,
    /// Set where the tree misses something, so that it is not judged further.
    broken: bool,
}

impl<'a> Builder<'a> {
    fn new(file: FileId, text: &'a str, offset: usize) -> Self {
        let bytes = if text.is_ascii() { Vec::new() } else { text.char_indices().map(|(at, _)| at).collect() };
        Self {
            file,
            text,
            offset,
            bytes,
            stack: Vec::new(),
            root: None,
            documents: 0,
            findings: Bounded::default(),
            broken: false,
        }
    }

    fn byte(&self, index: usize) -> usize {
        let at = if self.bytes.is_empty() { Some(&index) } else { self.bytes.get(index) };
        at.copied().unwrap_or(self.text.len()).min(self.text.len())
    }

    fn span(&self, span: saphyr_parser::Span) -> Span {
        let (start, end) = (self.byte(span.start.index()), self.byte(span.end.index()));
        let trimmed = self.text[start..end.max(start)].trim_end().len();
        Span::new(self.file, self.offset + start, self.offset + start + trimmed)
    }

    fn syntax_error(&mut self, error: &ScanError) -> Finding {
        self.broken = true;
        let at = self.byte(error.marker().index());
        let span = Span::new(self.file, self.offset + at, self.offset + at);
        Finding::error(YAML_SYNTAX, format!("this is not readable YAML: {}", error.info()))
            .at(span)
            .label("reading stopped here; the mistake may stand a line above")
            .help("look for a missing quote, a tab, or a line that is indented differently from its neighbours")
    }

    fn take(&mut self, event: Event<'_>, at: saphyr_parser::Span) -> Step {
        let span = self.span(at);
        match event {
            Event::DocumentStart(_) => return self.document(span),
            Event::Alias(_) => return self.refuse(span, "an alias (`*`)"),
            Event::Scalar(_, _, 1.., _) | Event::SequenceStart(1.., _) | Event::MappingStart(1.., _) => {
                return self.refuse(span, "an anchor (`&`)");
            }
            Event::Scalar(_, _, _, Some(_)) | Event::SequenceStart(_, Some(_)) | Event::MappingStart(_, Some(_)) => {
                return self.refuse(span, "a tag (`!`)");
            }
            Event::Scalar(text, style, ..) => {
                let kind = Kind::Scalar { text: text.into_owned(), plain: style == ScalarStyle::Plain };
                self.add(Node { span, kind });
            }
            Event::SequenceStart(..) => {
                return self.open(Open::List { start: span.range().start, items: Vec::new() }, span);
            }
            Event::MappingStart(..) => {
                return self.open(
                    Open::Map { start: span.range().start, entries: Vec::new(), seen: BTreeMap::new(), key: None },
                    span,
                );
            }
            Event::SequenceEnd | Event::MappingEnd => self.close(span),
            Event::Nothing | Event::StreamStart | Event::StreamEnd | Event::DocumentEnd => {}
        }
        Step::Go
    }

    fn document(&mut self, span: Span) -> Step {
        self.documents += 1;
        if self.documents > 1 { self.refuse(span, "a second document (`---`)") } else { Step::Go }
    }

    fn refuse(&mut self, span: Span, what: &str) -> Step {
        self.broken = true;
        let finding = Finding::error(YAML_FEATURE, format!("{what} has no place in a binder"))
            .at(span)
            .floor("a reader could not see where a number comes from")
            .help("write the value out where it belongs; put a value that several machines share into a table");
        self.findings.push(finding);
        Step::Stop
    }

    fn open(&mut self, open: Open, span: Span) -> Step {
        if self.stack.len() >= limits::NESTING {
            self.broken = true;
            let message = format!("lists are nested more than {} deep", limits::NESTING);
            self.findings
                .push(Finding::error(NESTED_TOO_DEEP, message).at(span).help("a register is a table, not a tree"));
            return Step::Stop;
        }
        self.stack.push(open);
        Step::Go
    }

    fn close(&mut self, span: Span) {
        let (start, end) = match self.stack.last() {
            Some(Open::List { start, items }) => (*start, items.last().map(|item| item.span.range().end)),
            Some(Open::Map { start, entries, .. }) => (*start, entries.last().map(|(_, value)| value.span.range().end)),
            None => return,
        };
        let kind = match self.stack.pop() {
            Some(Open::List { items, .. }) => Kind::List(items),
            Some(Open::Map { entries, .. }) => Kind::Map(entries),
            None => return,
        };
        // A block collection "ends" where the next line begins; its last item says where it really ends.
        let flow = self.text[..span.range().end - self.offset].ends_with([']', '}']);
        let end = if flow { span.range().end } else { end.unwrap_or(span.range().start) };
        self.add(Node { span: Span::new(self.file, start, end), kind });
    }

    fn add(&mut self, node: Node) {
        match self.stack.last_mut() {
            None => self.root = Some(node),
            Some(Open::List { items, .. }) => items.push(node),
            Some(Open::Map { entries, key, .. }) => {
                if let Some(own) = key.take() {
                    entries.push((own, node));
                } else {
                    let found = self.findings_for_key(&node);
                    self.findings.extend(found);
                }
            }
        }
    }

    /// Takes a node as the next key of the open mapping and returns what is wrong with it.
    fn findings_for_key(&mut self, node: &Node) -> Option<Finding> {
        let Some(Open::Map { seen, key, .. }) = self.stack.last_mut() else { return None };
        let text = match &node.kind {
            Kind::Scalar { text, .. } => text.clone(),
            Kind::List(_) | Kind::Map(_) => String::new(),
        };
        let twin = seen.get(&text).copied();
        seen.entry(text.clone()).or_insert(node.span);
        let merge = text == "<<";
        *key = Some(Placed::new(text.clone(), node.span));
        if merge || !matches!(node.kind, Kind::Scalar { .. }) {
            self.broken = true;
            let message =
                if merge { "a merge key (`<<`) has no place in a binder" } else { "a key must be a plain word" };
            return Some(
                Finding::error(YAML_FEATURE, message).at(node.span).help("write the values out where they belong"),
            );
        }
        let twin = twin?;
        self.broken = true;
        Some(
            Finding::error(DUPLICATE_KEY, format!("`{text}` stands twice"))
                .at(node.span)
                .label("second time")
                .also(twin, "first time")
                .floor("nobody could say which of the two values is meant")
                .help("keep one of them"),
        )
    }

    fn finish(self) -> (Option<Node>, Vec<Finding>) {
        let root = if self.broken { None } else { self.root };
        (root, self.findings.told())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::path::BinderPath;
    use crate::base::text::Texts;

    /// Reads `text` and returns the JSON of its tree, or its findings as `line:column rule`.
    fn read(text: &str) -> String {
        let mut texts = Texts::default();
        let file = texts.add(BinderPath::parse("a.yaml").expect("plain"), text.to_owned());
        let (node, findings) = parse(file, text, 0);
        if findings.is_empty() {
            return node.map_or("nothing".to_owned(), |node| node.to_json().to_string());
        }
        let told = |finding: &Finding| {
            let (_, at) = texts.locate(finding.span.expect("a YAML finding has a place"));
            format!("{}:{} {}", at.line, at.column, finding.rule.0)
        };
        findings.iter().map(told).collect::<Vec<_>>().join(", ")
    }

    #[test]
    fn scalars_stay_what_the_author_wrote() {
        assert_eq!(
            read(
                "a: no\nb: 010\nc: 1e3\nd: 2026-11-25\ne: 1.10\nf: 7\ng: '7'\nh: true\ni: ~\nj: 1_000\nk: 0x1F\nl: yes"
            ),
            r#"{"a":"no","b":"010","c":"1e3","d":"2026-11-25","e":"1.10","f":7,"g":"7","h":true,"i":null,"j":"1_000","k":"0x1F","l":"yes"}"#
        );
    }

    #[test]
    fn what_hides_a_value_is_refused_where_it_stands() {
        assert_eq!(read("a: 1\nb: 2\na: 3"), "3:1 duplicate-key");
        assert_eq!(read("a: &x 1\nb: *x"), "1:4 yaml-feature");
        assert_eq!(read("a: 1\n<<: {b: 2}"), "2:1 yaml-feature");
        assert_eq!(read("a: !!int 1"), "1:4 yaml-feature");
        assert_eq!(read("a: 1\n---\nb: 2"), "2:1 yaml-feature");
        assert_eq!(read("? [a]\n: 1"), "1:3 yaml-feature");
        assert_eq!(read("a: [1"), "1:6 yaml-syntax");
    }

    #[test]
    fn depth_is_limited() {
        let deep = |depth: usize| format!("{}{}", "[".repeat(depth), "]".repeat(depth));
        assert!(read(&deep(40)).ends_with("nested-too-deep"), "{}", read(&deep(40)));
        // The parser itself stops far below what a stack could not bear.
        assert!(read(&deep(100_000)).ends_with("yaml-syntax"), "{}", read(&deep(100_000)));
        let laughs = "a: &a [x,x]\nb: &b [*a,*a]\nc: [*b,*b]";
        assert_eq!(read(laughs), "1:4 yaml-feature");
    }

    #[test]
    fn places_count_bytes_of_wide_characters() {
        let text = "µ: 5 N·m\nb: [é, {c: d}]\n";
        let mut texts = Texts::default();
        let file = texts.add(BinderPath::parse("a.yaml").expect("plain"), text.to_owned());
        let (node, _) = parse(file, text, 0);
        let node = node.expect("readable");
        assert_eq!(texts.slice(node.at_pointer("/µ").span), "5 N·m");
        assert_eq!(texts.slice(node.at_pointer("/b").span), "[é, {c: d}]");
        assert_eq!(texts.slice(node.at_pointer("/b/1/c").span), "d");
        assert_eq!(texts.slice(node.span).trim_end(), text.trim_end());
    }
}
