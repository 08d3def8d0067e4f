//! The words a reader sees in an HTML page, read back from its bytes; it knows no style sheet.

use html5gum::{Emitter, Error, State, Tokenizer, naive_next_state};
use std::convert::Infallible;

/// Returns the visible text of a page: no scripts, styles, head or hidden elements; block elements set apart by a space.
///
/// # Panics
///
/// Never: stretches of a page that is UTF-8 are cut at tags, which are ASCII.
#[must_use]
pub fn html_text(html: &str) -> String {
    let mut text = Vec::with_capacity(html.len() / 2);
    // The reader hands no token out, so the first call walks the whole page.
    if let Some(Ok(never)) = Tokenizer::new_with_emitter(html, Reader::new(&mut text)).next() {
        match never {}
    }
    String::from_utf8(text).expect("text of a page that is UTF-8 is UTF-8")
}

/// What has been read so far, and whether the reader is inside something nobody sees.
///
/// It takes the tokenizer's events as they come, because keeping attributes and reporting errors would cost more than all
/// the rest of the check.
struct Reader<'a> {
    text: &'a mut Vec<u8>,
    /// The element whose tag is being read.
    name: Vec<u8>,
    /// The attribute being read, as far as it can be `hidden`.
    attribute: Vec<u8>,
    tag: Tag,
    is_hidden: bool,
    is_self_closing: bool,
    /// The last start tag, which alone ends a script or style.
    last_start: Vec<u8>,
    /// The element that hides what is read, and how many of its name are open.
    unseen: Option<(Vec<u8>, usize)>,
}

/// Which kind of tag is being read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tag {
    Start,
    End,
}

impl<'a> Reader<'a> {
    fn new(text: &'a mut Vec<u8>) -> Self {
        Self {
            text,
            name: Vec::new(),
            attribute: Vec::new(),
            tag: Tag::Start,
            is_hidden: false,
            is_self_closing: false,
            last_start: Vec::new(),
            unseen: None,
        }
    }

    fn begin(&mut self, tag: Tag) {
        self.tag = tag;
        self.name.clear();
        self.attribute.clear();
        self.is_hidden = false;
        self.is_self_closing = false;
    }

    fn end_attribute(&mut self) {
        self.is_hidden |= self.attribute == b"hidden";
        self.attribute.clear();
    }

    fn open(&mut self) {
        let is_empty = self.is_self_closing || is_void(&self.name);
        match &mut self.unseen {
            Some((name, depth)) if *name == self.name && !is_empty => *depth += 1,
            Some(_) => {}
            None if !is_empty && (self.is_hidden || is_unseen(&self.name)) => {
                self.unseen = Some((self.name.clone(), 1));
            }
            None => self.set_apart(),
        }
    }

    fn close(&mut self) {
        match &mut self.unseen {
            Some((unseen, depth)) if *unseen == self.name => {
                *depth -= 1;
                if *depth == 0 {
                    self.unseen = None;
                    self.text.push(b' ');
                }
            }
            Some(_) => {}
            None => self.set_apart(),
        }
    }

    fn set_apart(&mut self) {
        if !is_inline(&self.name) {
            self.text.push(b' ');
        }
    }
}

impl Emitter for Reader<'_> {
    type Token = Infallible;

    fn set_last_start_tag(&mut self, last_start_tag: Option<&[u8]>) {
        self.last_start.clear();
        self.last_start.extend_from_slice(last_start_tag.unwrap_or_default());
    }

    fn should_emit_errors(&mut self) -> bool {
        false
    }

    fn pop_token(&mut self) -> Option<Infallible> {
        None
    }

    fn emit_string(&mut self, text: &[u8]) {
        if self.unseen.is_none() {
            self.text.extend_from_slice(text);
        }
    }

    fn init_start_tag(&mut self) {
        self.begin(Tag::Start);
    }

    fn init_end_tag(&mut self) {
        self.begin(Tag::End);
    }

    fn push_tag_name(&mut self, name: &[u8]) {
        self.name.extend_from_slice(name);
    }

    fn init_attribute(&mut self) {
        self.end_attribute();
    }

    fn push_attribute_name(&mut self, name: &[u8]) {
        self.attribute.extend_from_slice(name);
    }

    fn set_self_closing(&mut self) {
        self.is_self_closing = true;
    }

    fn emit_current_tag(&mut self) -> Option<State> {
        self.end_attribute();
        if self.tag == Tag::End {
            self.last_start.clear();
            self.close();
            return None;
        }
        self.open();
        self.last_start.clear();
        self.last_start.extend_from_slice(&self.name);
        naive_next_state(&self.name)
    }

    fn current_is_appropriate_end_tag_token(&mut self) -> bool {
        self.tag == Tag::End && !self.name.is_empty() && self.name == self.last_start
    }

    fn emit_eof(&mut self) {}
    fn emit_error(&mut self, _: Error) {}
    fn init_comment(&mut self) {}
    fn emit_current_comment(&mut self) {}
    fn emit_current_doctype(&mut self) {}
    fn set_force_quirks(&mut self) {}
    fn push_comment(&mut self, _: &[u8]) {}
    fn push_doctype_name(&mut self, _: &[u8]) {}
    fn init_doctype(&mut self) {}
    fn push_attribute_value(&mut self, _: &[u8]) {}
    fn set_doctype_public_identifier(&mut self, _: &[u8]) {}
    fn set_doctype_system_identifier(&mut self, _: &[u8]) {}
    fn push_doctype_public_identifier(&mut self, _: &[u8]) {}
    fn push_doctype_system_identifier(&mut self, _: &[u8]) {}
}

/// Elements whose content is no text of the page.
fn is_unseen(name: &[u8]) -> bool {
    matches!(name, b"script" | b"style" | b"head" | b"title" | b"template" | b"noscript" | b"iframe" | b"object")
}

/// Elements that have no content and no end tag.
fn is_void(name: &[u8]) -> bool {
    matches!(
        name,
        b"area"
            | b"base"
            | b"br"
            | b"col"
            | b"embed"
            | b"hr"
            | b"img"
            | b"input"
            | b"link"
            | b"meta"
            | b"source"
            | b"track"
            | b"wbr"
    )
}

/// Elements that do not interrupt a line.
fn is_inline(name: &[u8]) -> bool {
    matches!(
        name,
        b"a" | b"abbr"
            | b"b"
            | b"bdi"
            | b"bdo"
            | b"cite"
            | b"code"
            | b"data"
            | b"dfn"
            | b"em"
            | b"i"
            | b"kbd"
            | b"mark"
            | b"q"
            | b"s"
            | b"samp"
            | b"small"
            | b"span"
            | b"strong"
            | b"sub"
            | b"sup"
            | b"time"
            | b"u"
            | b"var"
            | b"wbr"
    )
}

#[cfg(test)]
mod tests {
    use super::html_text;
    use crate::render::conserve::fold;

    #[test]
    fn only_what_is_seen_is_read() {
        let page = "<!DOCTYPE html><html><head><title>no</title><style>p{}</style></head><body><!-- no -->\
            <p>Tighten to <b>44&nbsp;N&middot;m</b>.</p><p>Next</p><script>no()</script><div hidden>no<div>no</div>no</div>\
            <img alt=\"no\" src=\"data:,\"><input value=\"no\" hidden>end</body></html>";
        assert_eq!(fold(&html_text(page)), "Tighten to 44 N·m. Next end");
    }

    #[test]
    fn a_word_is_not_broken_by_an_inline_element_and_is_by_a_block() {
        assert_eq!(fold(&html_text("im<b>pel</b>ler<br>nut<ul><li>a<li>b</ul>")), "impeller nut a b");
    }

    #[test]
    fn a_broken_page_is_read_as_far_as_it_goes() {
        for page in ["", "<script>", "<div hidden", "<p>\u{0}", "<template><p>x", "<div hidden>x"] {
            assert_eq!(fold(&html_text(page)).replace(['\u{0}', '\u{fffd}'], ""), "", "{page}");
        }
        assert_eq!(fold(&html_text("</div></div>text")), "text");
    }
}
