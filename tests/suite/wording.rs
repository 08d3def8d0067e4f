//! Sentences and the rules of wording on whole procedures: places, what stays silent, what is listed as not checked.

use crate::binder::{creamery, drawn, edit, judged};
use matchmark::analysis::wording;
use matchmark::language::sentence::TokenKind;

const SEAL: &str = "seals/MP-PA-101.md";

/// Braces that order something are taken out of a line, values are named in it; every token keeps its place.
#[test]
fn every_token_of_a_procedure_stands_where_it_was_written() {
    let mut world = creamery();
    edit(&mut world, SEAL, "Fit the impeller.\n", "{as turn} Fit **it** at 5 N·m {gap}. {see turn} Ünd so.\n");
    let judged = judged(&world);
    let mut tokens = 0;
    for procedure in &judged.binder.procedures {
        let writing = wording::of(&judged.binder, procedure);
        for token in writing.sayings.iter().flat_map(|saying| &saying.sentence.tokens) {
            let written = judged.binder.texts.slice(token.span);
            match &token.kind {
                TokenKind::Word(text) | TokenKind::Number(text) => assert_eq!(written, text),
                TokenKind::Mark(mark) => assert_eq!(written, mark.to_string()),
                TokenKind::Value(name) | TokenKind::See(name) => assert!(written.contains(name.as_str()), "{written}"),
            }
            tokens += 1;
        }
    }
    assert!(tokens > 1_000, "{tokens}");
}

/// The rules of wording give nothing above a note on the example, and few notes on the two texts in controlled words.
#[test]
fn the_example_has_three_notes_of_wording() {
    let text = drawn(&judged(&creamery()));
    let clean =
        |line: &&str| !line.contains("[idle-option]") && (line.contains(" plates/") || line.contains(" seals/"));
    let style: Vec<&str> = text.lines().filter(clean).collect();
    assert!(text.lines().all(|line| line.starts_with("note")), "{text}");
    let wanted = ["note[semicolon] plates/", "note[no-verb-first] plates/", "note[semicolon] seals/"];
    assert_eq!(style.len(), wanted.len(), "{text}");
    for (line, wanted) in style.iter().zip(wanted) {
        assert!(line.starts_with(wanted), "{text}");
    }
}
