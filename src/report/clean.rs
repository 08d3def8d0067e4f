//! Text that is safe to show: whatever an author's file holds, it can neither drive a terminal nor turn a line about.

use std::borrow::Cow;

/// What stands for a character that is not shown.
const HIDDEN: char = '\u{fffd}';

/// Returns `text` as one line in which every character is harmless; each character stays one character.
pub(crate) fn line(text: &str) -> Cow<'_, str> {
    if text.chars().all(|c| shown(c) == c) {
        Cow::Borrowed(text)
    } else {
        Cow::Owned(text.chars().map(shown).collect())
    }
}

/// Returns the character that is shown for `c`.
pub(crate) fn shown(c: char) -> char {
    match c {
        '\t' | '\n' | '\r' => ' ',
        c if c.is_control() || turns_text(c) || is_invisible(c) => HIDDEN,
        c => c,
    }
}

/// The direction controls of the Unicode bidirectional algorithm (UAX #9, section 2).
fn turns_text(c: char) -> bool {
    matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Characters without a shape that could hide a difference: separators, zero-width spaces, tags.
fn is_invisible(c: char) -> bool {
    matches!(c, '\u{200b}' | '\u{2028}' | '\u{2029}' | '\u{2060}' | '\u{feff}' | '\u{e0000}'..='\u{e007f}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_drives_a_terminal_comes_through() {
        assert_eq!(line("12.5 N·m"), "12.5 N·m");
        assert_eq!(line("a\tb\u{1b}[31mred\u{7}\u{9b}x"), "a b\u{fffd}[31mred\u{fffd}\u{fffd}x");
        assert_eq!(line("nut \u{202e}m·N 21"), "nut \u{fffd}m·N 21");
        assert_eq!(line("one\r\ntwo"), "one  two");
        assert_eq!(line("a\u{200b}b").chars().count(), 3);
    }
}
