//! The templates of pages, compiled once, and what they may call; it knows no packet.

use crate::base::paper::Paper;
use crate::packet::view::{Pattern, PatternShape, RunKind};
use crate::render::drawing;
use crate::render::error::RenderError;
use crate::render::outward::outward;
use crate::render::text::html_text;
use sha2::{Digest as _, Sha256};
use std::fmt::Write as _;
use tera::{Context, Kwargs, Map, State, Tera, TeraResult, Value};

/// The templates a page can be made with, and their built-in text.
const BUILT_IN: [(&str, &str); 2] = [
    ("packet.html", include_str!("../../templates/packet.html")),
    ("site.html", include_str!("../../templates/site.html")),
];

/// A page on which somebody decides: no binder brings its own.
const FIXED: (&str, &str) = ("changes.html", include_str!("../../templates/changes.html"));

const PACKET_STYLE: &str = include_str!("../../templates/packet.css");
const PACKET_SCRIPT: &str = include_str!("../../templates/packet.js");
const SITE_STYLE: &str = include_str!("../../templates/site.css");
const SITE_SCRIPT: &str = include_str!("../../templates/site.js");
const CHANGES_STYLE: &str = include_str!("../../templates/changes.css");

/// How many characters a value may have so that it still fits in one line of the narrowest screen.
const SHORT_VALUE: usize = 16;

/// The compiled templates of one binder; shared by all threads that make its pages.
#[derive(Debug)]
pub struct Theme {
    tera: Tera,
    packet: Dress,
    site: Dress,
    changes: Dress,
}

/// The style and script of a page, and the policy that allows these and nothing else.
#[derive(Clone, Debug)]
struct Dress {
    style_text: String,
    script_text: String,
    style: Value,
    script: Value,
    policy: Value,
}

impl Theme {
    /// Returns the built-in templates with the binder's own in their place.
    ///
    /// # Errors
    ///
    /// A template that cannot be read, or one with a name nobody asks for.
    pub fn new(own: &[(String, String)], paper: Paper) -> Result<Self, RenderError> {
        let mut tera = Tera::new();
        // The suffix decides what is escaped; a page is never written from a template that does not end in it.
        tera.autoescape_on([".html"]);
        // The engine's own function writes byte by byte.
        tera.set_escape_fn(|text, out| escaped(text).try_for_each(|stretch| out.write_all(stretch.as_bytes())));
        register(&mut tera);
        for (name, built_in) in BUILT_IN {
            let text = own.iter().find(|(own, _)| own == name).map_or(built_in, |(_, text)| text);
            tera.add_raw_template(name, text)
                .map_err(|error| RenderError::Template { name: name.to_owned(), reason: reason(&error) })?;
        }
        let (name, text) = FIXED;
        tera.add_raw_template(name, text)
            .map_err(|error| RenderError::Template { name: name.to_owned(), reason: reason(&error) })?;
        if let Some((name, _)) = own.iter().find(|(own, _)| !BUILT_IN.iter().any(|(known, _)| known == own)) {
            return Err(RenderError::UnknownTemplate { name: name.clone() });
        }
        let page = page_rule(paper);
        Ok(Self {
            tera,
            packet: Dress::new(&format!("{PACKET_STYLE}{page}"), PACKET_SCRIPT),
            site: Dress::new(&format!("{SITE_STYLE}{page}"), SITE_SCRIPT),
            changes: Dress::new(&format!("{CHANGES_STYLE}{page}"), ""),
        })
    }

    /// Returns the page of the packet template, filled from `view`.
    pub(in crate::render) fn fill_packet<T: serde::Serialize>(&self, view: &T) -> Result<String, RenderError> {
        self.fill("packet.html", &self.packet, view)
    }

    /// Returns the page of the site template, filled from `view`.
    pub(in crate::render) fn fill_site<T: serde::Serialize>(&self, view: &T) -> Result<String, RenderError> {
        self.fill("site.html", &self.site, view)
    }

    /// Returns the visible text of a page made from the packet template.
    pub(in crate::render) fn packet_text(&self, html: &str) -> String {
        self.packet.text(html)
    }

    /// Returns the visible text of a page made from the site template.
    pub(in crate::render) fn site_text(&self, html: &str) -> String {
        self.site.text(html)
    }

    /// Returns what of a page made from the packet template leads outside.
    pub(in crate::render) fn packet_outward(&self, html: &str) -> Vec<String> {
        self.packet.outward(html, &[])
    }

    /// Returns what of a page made from the site template leads outside, but for these addresses.
    pub(in crate::render) fn site_outward(&self, html: &str, links: &[&str]) -> Vec<String> {
        self.site.outward(html, links)
    }

    /// Returns the page of changes, filled from `view`.
    pub(in crate::render) fn fill_changes<T: serde::Serialize>(&self, view: &T) -> Result<String, RenderError> {
        self.fill(FIXED.0, &self.changes, view)
    }

    /// Returns the visible text of a page of changes.
    pub(in crate::render) fn changes_text(&self, html: &str) -> String {
        self.changes.text(html)
    }

    /// Returns what of a page of changes leads outside.
    pub(in crate::render) fn changes_outward(&self, html: &str) -> Vec<String> {
        self.changes.outward(html, &[])
    }

    fn fill<T: serde::Serialize>(&self, name: &str, dress: &Dress, view: &T) -> Result<String, RenderError> {
        let refuse = |error: tera::Error| RenderError::Template { name: name.to_owned(), reason: reason(&error) };
        let mut context = Context::from_serialize(view).map_err(refuse)?;
        context.insert_value("css", dress.style.clone());
        context.insert_value("js", dress.script.clone());
        context.insert_value("policy", dress.policy.clone());
        self.tera.render(name, &context).map_err(refuse)
    }
}

impl Dress {
    fn new(style: &str, script: &str) -> Self {
        let policy = format!(
            "default-src 'none'; img-src data:; style-src 'sha256-{}'; script-src 'sha256-{}'; base-uri 'none'; form-action 'none'",
            hash(style),
            hash(script)
        );
        Self {
            style_text: style.to_owned(),
            script_text: script.to_owned(),
            style: Value::from(style),
            script: Value::from(script),
            policy: Value::safe_string(&policy),
        }
    }
}

impl Dress {
    /// Returns what of a page leads outside.
    fn outward(&self, html: &str, links: &[&str]) -> Vec<String> {
        outward(html, self.policy.as_str().unwrap_or_default(), links)
    }

    /// Returns the visible text of a page; its own style and script are known and need not be read to be skipped.
    fn text(&self, html: &str) -> String {
        let mut rest = html;
        let mut unknown = String::with_capacity(html.len());
        for (tag, known) in [("<style>", &self.style_text), ("<script>", &self.script_text)] {
            let Some(place) = rest.find(tag) else { continue };
            let (head, tail) = rest.split_at(place + tag.len());
            unknown.push_str(head);
            rest = tail.strip_prefix(known.as_str()).unwrap_or(tail);
        }
        unknown.push_str(rest);
        html_text(&unknown)
    }
}

/// Returns the hash by which a Content-Security-Policy names an inline text.
fn hash(text: &str) -> String {
    data_encoding::BASE64.encode(&Sha256::digest(text.as_bytes()))
}

fn page_rule(paper: Paper) -> String {
    let size = match paper {
        Paper::A4 => "A4",
        Paper::Letter => "letter",
    };
    // Browsers without margin boxes leave the page number out; the identity strip does not depend on it.
    format!(
        "@page {{ size: {size}; margin: 12mm 12mm 15mm 16mm; @bottom-right {{ content: \"page \" counter(page) \" of \" counter(pages); font: 9pt sans-serif; }} }}\n"
    )
}

/// Returns what the engine says, on one line each, without its own blank ends.
fn reason(error: &tera::Error) -> String {
    let mut words = error.to_string().trim().to_owned();
    let mut source = std::error::Error::source(error);
    while let Some(cause) = source {
        let _ = write!(words, ": {}", cause.to_string().trim());
        source = cause.source();
    }
    words
}

fn register(tera: &mut Tera) {
    tera.register_filter("line", |runs: Value, _: Kwargs, _: &State| line(&runs));
    tera.register_filter("sign", |name: &str, _: Kwargs, _: &State| sign(name));
    tera.register_filter("pattern", |value: Value, _: Kwargs, _: &State| {
        pattern(&value).map(|pattern| Value::safe_string(&drawing::pattern(&pattern)))
    });
    tera.register_filter("pattern_legend", |value: Value, _: Kwargs, _: &State| {
        pattern(&value).map(|pattern| Value::from(drawing::pattern_legend(&pattern)))
    });
    tera.register_filter("lead", |blocks: Value, _: Kwargs, _: &State| split(&blocks, |list, at| &list[..at]));
    tera.register_filter("rest", |blocks: Value, _: Kwargs, _: &State| split(&blocks, |list, at| &list[at..]));
}

/// Returns the paragraphs a step opens with, or what follows them.
fn split(blocks: &Value, part: impl Fn(&[Value], usize) -> &[Value]) -> TeraResult<Value> {
    let list = blocks.as_array().ok_or_else(|| tera::Error::message("blocks must be a list"))?;
    let is_paragraph = |block: &Value| block.as_map().and_then(|map| text(map, "kind")) == Some("paragraph");
    let at = list.iter().position(|block| !is_paragraph(block)).unwrap_or(list.len());
    Ok(Value::from(part(list, at)))
}

/// Returns a sign with its words as alternative text.
fn sign(name: &str) -> TeraResult<Value> {
    let svg = drawing::sign(name).ok_or_else(|| tera::Error::message(format!("there is no sign `{name}`")))?;
    let label = drawing::sign_label(name);
    let open = format!("<svg class=\"sign\" role=\"img\" aria-label=\"{label}\" ");
    Ok(Value::safe_string(&svg.trim_end().replacen("<svg ", &open, 1)))
}

fn pattern(value: &Value) -> TeraResult<Pattern> {
    let refuse = || tera::Error::message("a pattern has `count`, `shape` and `sequence`");
    let map = value.as_map().ok_or_else(refuse)?;
    let number = |value: &Value| value.as_u64().and_then(|number| u32::try_from(number).ok());
    let count = map.get(&"count".into()).and_then(number).ok_or_else(refuse)?;
    let shape = match text(map, "shape") {
        Some("circle") => PatternShape::Circle,
        Some("rows") => PatternShape::Rows,
        _ => return Err(refuse()),
    };
    let sequence = map.get(&"sequence".into()).and_then(Value::as_array).ok_or_else(refuse)?;
    Ok(Pattern { count, shape, sequence: sequence.iter().filter_map(number).collect() })
}

/// Returns the HTML of a line of runs; everything an author wrote is escaped here.
fn line(runs: &Value) -> TeraResult<Value> {
    let refuse = || tera::Error::message("a line is a list of runs with `kind` and `text`");
    let mut html = String::new();
    for run in runs.as_array().ok_or_else(refuse)? {
        let run = run.as_map().ok_or_else(refuse)?;
        let words = text(run, "text").ok_or_else(refuse)?;
        let kind = text(run, "kind").and_then(run_kind).ok_or_else(refuse)?;
        let (open, close) = match kind {
            RunKind::Text => ("", ""),
            // A short value is read in one glance and never broken.
            RunKind::Value if words.chars().count() <= SHORT_VALUE => ("<span class=\"v nb\">", "</span>"),
            RunKind::Value => ("<span class=\"v\">", "</span>"),
            RunKind::Strong => ("<strong>", "</strong>"),
            RunKind::Emphasis => ("<em>", "</em>"),
            RunKind::Code => ("<code>", "</code>"),
            RunKind::Link | RunKind::Step => {
                link(&mut html, kind, words, text(run, "href").unwrap_or_default());
                continue;
            }
        };
        html.push_str(open);
        escape(&mut html, words);
        html.push_str(close);
    }
    Ok(Value::safe_string(&html))
}

fn run_kind(kind: &str) -> Option<RunKind> {
    Some(match kind {
        "text" => RunKind::Text,
        "value" => RunKind::Value,
        "strong" => RunKind::Strong,
        "emphasis" => RunKind::Emphasis,
        "code" => RunKind::Code,
        "link" => RunKind::Link,
        "step" => RunKind::Step,
        _ => return None,
    })
}

/// Writes a link that can be followed from a page that stands alone; any other is written out as words.
fn link(html: &mut String, kind: RunKind, words: &str, href: &str) {
    let is_followed = match kind {
        RunKind::Step => href.starts_with('#'),
        _ => href.starts_with("https:") || href.starts_with("mailto:"),
    };
    if is_followed {
        html.push_str("<a href=\"");
        escape(html, href);
        html.push_str("\">");
    }
    escape(html, words);
    if is_followed {
        html.push_str("</a>");
    }
    if kind == RunKind::Link {
        html.push_str(if is_followed { " <span class=\"address\">(" } else { " <span>(" });
        escape(html, href);
        html.push_str(")</span>");
    }
}

fn text<'a>(map: &'a Map, key: &'static str) -> Option<&'a str> {
    map.get(&key.into()).and_then(Value::as_str)
}

/// Writes a text so that none of it is read as markup, inside elements and quoted attributes.
fn escape(html: &mut String, text: &str) {
    html.extend(escaped(text));
}

/// Returns a text in stretches of which none is read as markup.
fn escaped(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    std::iter::from_fn(move || {
        let name = match rest.as_bytes().first()? {
            b'&' => "&amp;",
            b'<' => "&lt;",
            b'>' => "&gt;",
            b'"' => "&quot;",
            b'\'' => "&#39;",
            _ => {
                let is_markup = |byte| matches!(byte, b'&' | b'<' | b'>' | b'"' | b'\'');
                let (plain, markup) = rest.split_at(rest.bytes().position(is_markup).unwrap_or(rest.len()));
                rest = markup;
                return Some(plain);
            }
        };
        rest = &rest[1..];
        Some(name)
    })
}
