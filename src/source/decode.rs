//! From the bytes of a text file to its characters; it knows encodings and nothing of YAML or Markdown.

use crate::base::finding::Finding;
use crate::base::rule::NOT_UTF8;

/// A decoded text and the places of characters in it that must not stand there.
#[derive(Debug, PartialEq, Eq)]
pub struct Decoded {
    /// The text: a byte order mark is taken off, line ends are `\n`.
    pub text: String,
    /// Byte offsets and names of hidden characters.
    pub hidden: Vec<(usize, char)>,
}

/// Returns the characters of `bytes`.
///
/// # Errors
/// A finding without a place where the bytes are no UTF-8.
pub fn decode(path: &str, bytes: &[u8]) -> Result<Decoded, Box<Finding>> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let text = std::str::from_utf8(bytes).map_err(|error| Box::new(not_utf8(path, bytes, error.valid_up_to())))?;
    let text = if text.contains('\r') { text.replace("\r\n", "\n") } else { text.to_owned() };
    let hidden = text.char_indices().filter(|(_, c)| is_hidden(*c)).collect();
    Ok(Decoded { text, hidden })
}

fn not_utf8(path: &str, bytes: &[u8], valid: usize) -> Finding {
    let line = bytes[..valid].split(|byte| *byte == b'\n').count();
    let byte = bytes.get(valid).copied().unwrap_or(0);
    Finding::error(NOT_UTF8, format!("`{path}` is not a UTF-8 text: line {line} holds the byte {byte:#04x}"))
        .floor("a µ, ° or · would be printed as something else")
        .help("save the file as UTF-8 in the editor; older editors call their own encoding ANSI or Latin-1")
}

/// Returns whether a character is unseen, or turns the order of what is seen.
#[must_use]
pub fn is_hidden(c: char) -> bool {
    let control = c.is_control() && !matches!(c, '\n' | '\t');
    // Zero-width and direction marks; soft hyphen; fillers; a byte order mark inside the text; line and paragraph separators.
    control
        || matches!(c, '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}' | '\u{180e}'
            | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{feff}' | '\u{ffa0}'
            | '\u{e0000}'..='\u{e007f}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_and_line_ends_are_taken_off() {
        let decoded = decode("a.md", b"\xef\xbb\xbfa\r\nb\n").expect("valid");
        assert_eq!(decoded, Decoded { text: "a\nb\n".to_owned(), hidden: vec![] });
    }

    #[test]
    fn latin_1_is_refused_with_its_line() {
        let finding = decode("a.md", b"x\n25 \xb5m\n").expect_err("a Latin-1 byte");
        assert!(finding.message.contains("line 2") && finding.message.contains("0xb5"), "{}", finding.message);
    }

    #[test]
    fn hidden_characters_are_told() {
        let decoded = decode("a.md", "25\u{202e}0 N\u{200b}m".as_bytes()).expect("valid");
        assert_eq!(decoded.hidden, [(2, '\u{202e}'), (8, '\u{200b}')]);
    }
}
