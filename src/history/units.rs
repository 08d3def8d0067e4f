//! A text cut into the pieces that two people may change without touching one another: a step, a row, a line; it merges nothing.

/// What a text is cut by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cut {
    /// A procedure: rows of its front matter, then steps, headings, rows of tables.
    Procedure,
    /// A register: rows and lines; neighbours belong together.
    Rows,
    /// Any other text: lines; neighbours belong together.
    Lines,
    /// What is no text, or none that may be taken apart.
    Whole,
}

/// Returns how a file is cut, by its name.
#[must_use]
pub fn cut_of(path: &str) -> Cut {
    let extension = path.rsplit_once('.').map_or("", |(_, extension)| extension).to_ascii_lowercase();
    match extension.as_str() {
        "md" => Cut::Procedure,
        "yaml" | "yml" => Cut::Rows,
        "actions" | "csv" | "txt" | "html" | "tera" | "css" => Cut::Lines,
        _ => Cut::Whole,
    }
}

/// One piece of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unit<'a> {
    /// Its bytes, with the ends of its lines.
    pub text: &'a str,
    /// What it is compared by: of a numbered step, the words without the number.
    pub key: &'a str,
    /// Whether a change of its neighbour is a change of what it says.
    pub is_bound: bool,
    /// The line it begins on, from 1.
    pub line: usize,
}

/// Returns the pieces of a text, in order; together they are the text.
#[must_use]
pub fn units(text: &str, cut: Cut) -> Vec<Unit<'_>> {
    let mut cutter = Cutter { units: Vec::new(), row: None };
    let mut at = 0;
    let mut is_front = cut == Cut::Procedure && text.starts_with("---\n");
    for (number, line) in text.split_inclusive('\n').enumerate() {
        let is_new = match cut {
            Cut::Whole => number == 0,
            Cut::Lines => true,
            Cut::Rows => cutter.begins_row(line),
            Cut::Procedure if is_front => cutter.begins_row(line),
            Cut::Procedure => begins_step(line, cutter.units.last().map(|unit| unit.text)),
        };
        let is_bound = cut != Cut::Procedure || is_front;
        cutter.take(text, at, line, &Line { number: number + 1, is_new, is_bound });
        at += line.len();
        if is_front && number > 0 && line.trim_end() == "---" {
            is_front = false;
        }
    }
    for unit in &mut cutter.units {
        unit.key = if unit.is_bound { unit.text } else { numbered(unit.text).map_or(unit.text, |(_, rest)| rest) };
    }
    cutter.units
}

struct Line {
    number: usize,
    is_new: bool,
    is_bound: bool,
}

struct Cutter<'a> {
    units: Vec<Unit<'a>>,
    /// How far the row that is being read is set in.
    row: Option<usize>,
}

impl<'a> Cutter<'a> {
    fn take(&mut self, text: &'a str, at: usize, line: &str, is: &Line) {
        let end = at + line.len();
        match self.units.last_mut() {
            Some(last) if !is.is_new => {
                let start = at - last.text.len();
                last.text = &text[start..end];
            }
            _ => {
                let text = &text[at..end];
                self.units.push(Unit { text, key: text, is_bound: is.is_bound, line: is.number });
            }
        }
    }

    /// A row of a register goes on while its lines are set in deeper than it; one written on a single line stands alone.
    fn begins_row(&mut self, line: &str) -> bool {
        let inner = line.trim_start_matches(' ');
        let depth = line.len() - inner.len();
        let inner = inner.trim_end();
        if inner.is_empty() || inner.starts_with('#') {
            return true;
        }
        let is_item = inner == "-" || inner.starts_with("- ");
        let is_single =
            inner.starts_with("- {") && inner.ends_with('}') || inner.starts_with("- [") && inner.ends_with(']');
        let is_within = self.row.is_some_and(|row| depth > row);
        if is_single {
            return true;
        }
        if is_within {
            // Behind rows on lines of their own, the row they belong to has ended for our purpose.
            return self.units.last().is_some_and(|last| {
                let last = last.text.trim();
                last.is_empty() || last.starts_with('#') || last.ends_with('}') || last.ends_with(']')
            }) && is_item;
        }
        self.row = is_item.then_some(depth);
        true
    }
}

fn begins_step(line: &str, before: Option<&str>) -> bool {
    let inner = line.trim();
    let is_blank = |text: &str| text.trim().is_empty();
    if inner.is_empty() || before.is_none_or(is_blank) {
        return true;
    }
    let outer = line.trim_start();
    let is_item = ["- ", "* ", "+ "].iter().any(|mark| outer.starts_with(mark)) || numbered(outer).is_some();
    let was_quote = before.is_some_and(|before| before.trim_start().starts_with('>'));
    is_item || outer.starts_with('#') || outer.starts_with('|') || (outer.starts_with('>') != was_quote)
}

/// Returns the number of a numbered item, and the words behind it.
#[must_use]
pub fn numbered(text: &str) -> Option<(u32, &str)> {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let rest = text.get(digits..)?;
    let behind = rest.strip_prefix(['.', ')'])?;
    (digits > 0 && digits < 6 && behind.starts_with(' ')).then(|| text[..digits].parse().ok().map(|n| (n, rest)))?
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str, cut: Cut) -> Vec<&str> {
        let units = units(text, cut);
        assert_eq!(units.iter().map(|unit| unit.text).collect::<String>(), text);
        units.into_iter().map(|unit| unit.text).collect()
    }

    #[test]
    fn a_step_is_one_piece_with_its_lines() {
        let text = "---\ntitle: a\nlist:\n  - one: 1\n    two: 2\n---\n\n## Strip\n\n1. Remove\n   the nut.\n2. Wait.\n> a\n> b\n";
        assert_eq!(
            cut(text, Cut::Procedure),
            [
                "---\n",
                "title: a\n",
                "list:\n",
                "  - one: 1\n    two: 2\n",
                "---\n",
                "\n",
                "## Strip\n",
                "\n",
                "1. Remove\n   the nut.\n",
                "2. Wait.\n",
                "> a\n> b\n"
            ]
        );
        assert_eq!(numbered("12. Wait"), Some((12, ". Wait")));
        assert_eq!(numbered("12.5 N·m"), None);
    }

    #[test]
    fn a_row_is_one_piece_and_rows_on_one_line_are_each_one() {
        let text = "tags:\n  - tag: P-1\n    place: here\n    isolation:\n      - {point: A}\n      - {point: B}\n\n  - tag: P-2\n    place: there\n";
        assert_eq!(
            cut(text, Cut::Rows),
            [
                "tags:\n",
                "  - tag: P-1\n    place: here\n    isolation:\n",
                "      - {point: A}\n",
                "      - {point: B}\n",
                "\n",
                "  - tag: P-2\n    place: there\n"
            ]
        );
    }
}
