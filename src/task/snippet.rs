//! Proposals as lines of YAML to be pasted into the registers; it decides nothing and writes no file.
//!
//! What the words leave open is a comment, so that nothing comes into a register that nobody decided.

use crate::task::propose::ProposedLine;
use std::fmt::Write as _;

/// The lists of registers, in the order shown, with the key of an entry's name.
const LISTS: [(&str, &str); 5] =
    [("parts", "part"), ("openings", "opening"), ("temporary", "item"), ("tools", "name"), ("fluids", "id")];

/// Returns the proposals as YAML: one block for each list, one line for each entry, each with the sentence that shows it.
#[must_use]
pub fn snippet(lines: &[ProposedLine]) -> String {
    let mut text = String::new();
    for (field, key) in LISTS {
        block(&mut text, (field, key), lines);
    }
    let rest = [
        ("also", "another word for an entry, to be added as `also: [...]`"),
        ("held-by", "what holds a part, to be added as `held-by: [...]`"),
        ("boundaries", "boundaries, or other words for them"),
        (
            "moves-nothing",
            "only looked at, wiped, held or written about: a part that stays, or a word for `moves-nothing`",
        ),
        ("steps", "parts that this procedure never names"),
    ];
    for (field, head) in rest {
        let own: Vec<&ProposedLine> = lines.iter().filter(|line| line.field == field).collect();
        let Some(first) = own.first() else { continue };
        let _ = writeln!(text, "{}# {}: {head}", gap(&text), plain(&first.register));
        for line in own {
            let _ = writeln!(text, "#   {}", loose(line));
        }
    }
    text
}

fn block(text: &mut String, (field, key): (&str, &str), lines: &[ProposedLine]) {
    let own: Vec<&ProposedLine> = lines.iter().filter(|line| line.field == field).collect();
    let Some(first) = own.first() else { return };
    // A list of comments alone would be no list.
    let mark = if own.iter().any(|line| line.sure) { "" } else { "# " };
    let _ = writeln!(text, "{}# {}\n{mark}{field}:", gap(text), plain(&first.register));
    let entries: Vec<String> = own.iter().map(|line| entry(line, key)).collect();
    let width = entries.iter().map(|entry| entry.chars().count()).max().unwrap_or_default();
    for (line, entry) in own.iter().zip(entries) {
        let padding = " ".repeat(width - entry.chars().count());
        let mark = if line.sure { "  " } else { "# " };
        let question = if line.question.is_empty() { String::new() } else { format!("{} ", line.question) };
        let _ = writeln!(text, "{mark}- {entry}{padding}  # {question}{}", shown(line));
    }
}

/// Returns an entry in braces; a question mark stands for what the words do not say.
fn entry(line: &ProposedLine, key: &str) -> String {
    let mut fields = vec![format!("{key}: {}", scalar(&line.name))];
    if line.field == "tools" {
        fields.insert(0, "id: ?".to_owned());
    }
    if line.field == "fluids" {
        fields.push("name: ?".to_owned());
    }
    if matches!(line.field, "parts" | "openings" | "temporary") {
        let count = line.count.map_or_else(|| "?".to_owned(), |count| count.to_string());
        fields.push(format!("count: {count}"));
        if !line.only.is_empty() {
            fields.push(format!("only: {}", scalar(&line.only)));
        }
    }
    if line.single_use {
        fields.push("single-use: yes".to_owned());
    }
    format!("{{{}}}", fields.join(", "))
}

/// Returns what is no entry of its own.
fn loose(line: &ProposedLine) -> String {
    let others = line.others.iter().map(|other| scalar(other)).collect::<Vec<_>>().join(", ");
    let text = match line.field {
        "held-by" => format!("{}: held-by: [{others}]  {} ({})", line.name, line.question, shown(line)),
        "steps" => format!("{} ({others})", line.question),
        "moves-nothing" => format!("{} ({})", line.name, shown(line)),
        _ => format!("{}: {} ({})", line.name, line.question, shown(line)),
    };
    plain(&text)
}

/// Says which steps and which sentence show a line (`step 9: Remove the two screws.`).
fn shown(line: &ProposedLine) -> String {
    let steps = line.steps.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
    let word = if line.steps.len() == 1 { "step" } else { "steps" };
    let words = plain(&line.sentence);
    match words.char_indices().nth(LONGEST) {
        Some((at, _)) => format!("{word} {steps}: {}…", words[..at].trim_end()),
        None => format!("{word} {steps}: {words}"),
    }
}

/// A sentence is shown up to so many characters; the list for programs has all of it.
const LONGEST: usize = 90;

fn gap(text: &str) -> &'static str {
    if text.is_empty() { "" } else { "\n" }
}

/// Returns words that can stand in a comment: nothing in them ends the line.
fn plain(words: &str) -> String {
    words.chars().map(|c| if c.is_control() || matches!(c, '\u{2028}' | '\u{2029}') { ' ' } else { c }).collect()
}

/// Returns a scalar inside braces, in quotation marks where it would be read as anything but these words.
fn scalar(words: &str) -> String {
    let words = plain(words);
    let is_word = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '-' | '/' | '.');
    let is_said =
        ["yes", "no", "on", "off", "true", "false", "null", "y", "n"].contains(&words.to_lowercase().as_str());
    if words.starts_with(char::is_alphabetic) && words.chars().all(is_word) && !is_said {
        return words;
    }
    format!("\"{}\"", words.replace('\\', "\\\\").replace('"', "\\\""))
}
