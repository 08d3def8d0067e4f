//! The words a reader sees in an HTML page, read back from its bytes; it knows no style sheet.

use html5gum::emitters::callback::{CallbackEmitter, CallbackEvent};
use html5gum::{Span, Tokenizer};

/// Returns the visible text of a page: no scripts, styles, head or hidden elements; block elements set apart by a space.
#[must_use]
pub fn html_text(html: &str) -> String {
    let mut reader = Reader { text: Vec::with_capacity(html.len() / 2), ..Reader::default() };
    let mut emitter = CallbackEmitter::new(|event: CallbackEvent<'_>, _: Span<()>| -> Option<()> {
        reader.take(&event);
        None
    });
    emitter.naively_switch_states(true);
    for token in Tokenizer::new_with_emitter(html, emitter) {
        let Ok(()) = token;
    }
    String::from_utf8(reader.text).expect("text of a page that is UTF-8 is UTF-8")
}

/// What has been read so far, and whether the reader is inside something nobody sees.
#[derive(Default)]
struct Reader {
    text: Vec<u8>,
    /// The element whose start tag is being read.
    name: Vec<u8>,
    /// Whether that start tag carries `hidden`.
    hidden: bool,
    /// The element that hides what is read, and how many of its name are open.
    unseen: Option<(Vec<u8>, usize)>,
}

impl Reader {
    fn take(&mut self, event: &CallbackEvent<'_>) {
        match event {
            CallbackEvent::OpenStartTag { name } => {
                self.name.clear();
                self.name.extend_from_slice(name);
                self.hidden = false;
            }
            CallbackEvent::AttributeName { name } => self.hidden |= *name == b"hidden",
            CallbackEvent::CloseStartTag { self_closing } => self.open(*self_closing),
            CallbackEvent::EndTag { name } => self.close(name),
            CallbackEvent::String { value } if self.unseen.is_none() => self.text.extend_from_slice(value),
            _ => {}
        }
    }

    fn open(&mut self, self_closing: bool) {
        let empty = self_closing || is_void(&self.name);
        match &mut self.unseen {
            Some((name, depth)) if *name == self.name && !empty => *depth += 1,
            Some(_) => {}
            None if !empty && (self.hidden || is_unseen(&self.name)) => self.unseen = Some((self.name.clone(), 1)),
            None => {
                if !is_inline(&self.name) {
                    self.text.push(b' ');
                }
            }
        }
    }

    fn close(&mut self, name: &[u8]) {
        match &mut self.unseen {
            Some((unseen, depth)) if unseen.as_slice() == name => {
                *depth -= 1;
                if *depth == 0 {
                    self.unseen = None;
                    self.text.push(b' ');
                }
            }
            Some(_) => {}
            None => {
                if !is_inline(name) {
                    self.text.push(b' ');
                }
            }
        }
    }
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
