//! Whether a Markdown file claims to be a procedure, and which, told from its first bytes; it reads neither YAML nor Markdown.

use crate::base::name::DocumentNumber;

/// How many lines are looked at where no front matter begins.
const LINES: usize = 40;

/// A file's claim to be a procedure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claim {
    /// The document it names, as far as it can be read.
    pub document: DocumentNumber,
    /// Whether it names it in a front matter, as a procedure must.
    pub is_in_front: bool,
}

/// Returns the claim of a file whose first bytes these are; bytes that are no text do not keep it from being found.
#[must_use]
pub fn claim(head: &[u8]) -> Option<Claim> {
    let head = head.strip_prefix(b"\xef\xbb\xbf").unwrap_or(head);
    let text = String::from_utf8_lossy(head);
    let mut lines = text.lines();
    let is_in_front = lines.clone().next() == Some("---");
    let named = if is_in_front {
        // A front matter that is not closed is still one, and is told as such.
        lines.find_map(document)
    } else {
        outside_fences(lines.take(LINES))
            .into_iter()
            .find_map(document)
            .filter(|document| !document.as_str().is_empty())
    };
    named.map(|document| Claim { document, is_in_front })
}

/// Returns the document a line names, without quotes and comment.
fn document(line: &str) -> Option<DocumentNumber> {
    let value = line.strip_prefix("document:")?;
    let value = value.split(" #").next().unwrap_or_default().trim();
    Some(DocumentNumber::new(value.trim_matches(['"', '\''])))
}

/// Returns the lines outside fenced blocks of code: a text about procedures may well show one.
fn outside_fences<'t>(lines: impl Iterator<Item = &'t str>) -> Vec<&'t str> {
    let mut is_inside = false;
    let mut outside = Vec::new();
    for line in lines {
        let is_fence = line.trim_start().starts_with("```") || line.trim_start().starts_with("~~~");
        is_inside ^= is_fence;
        if !is_inside && !is_fence {
            outside.push(line);
        }
    }
    outside
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(head: &[u8]) -> Option<(String, bool)> {
        claim(head).map(|claim| (claim.document.to_string(), claim.is_in_front))
    }

    #[test]
    fn a_claim_is_told_from_bytes() {
        let whole = Some(("MP-1".to_owned(), true));
        assert_eq!(told(b"---\ndocument: MP-1\n---\n"), whole);
        assert_eq!(told(b"\xef\xbb\xbf---\r\ntitle: 25 \xb5m\r\ndocument: 'MP-1' # the first\r\n"), whole);
        assert_eq!(told(b"\n---\ndocument: MP-1\n---\n"), Some(("MP-1".to_owned(), false)));
        assert_eq!(told(b"Notes: 25 \xb5m\n"), None);
        assert_eq!(told(b"Write\n```\n---\ndocument: MP-1\n```\n"), None);
        assert_eq!(told(b"---\ntitle: a page\n---\n"), None);
    }
}
