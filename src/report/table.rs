//! Lists as columns for a person and as comma-separated values for a spreadsheet; it does not know what they list.

use crate::report::clean;

/// A list with a heading for each column.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// Headings.
    pub head: Vec<&'static str>,
    /// Rows of as many cells.
    pub rows: Vec<Vec<String>>,
}

/// Returns the table as RFC 4180 has it: a header row, CRLF, quotes doubled, UTF-8.
///
/// A cell that a spreadsheet would take for a formula begins with an apostrophe, and so does one it would turn into a
/// date or another number (a part number such as `10-12`, `0045` or `1E5`).
#[must_use]
pub fn csv(table: &Table) -> String {
    let head = table.head.iter().map(|cell| (*cell).to_owned()).collect();
    let row = |row: &Vec<String>| row.iter().map(|cell| csv_cell(cell)).collect::<Vec<_>>().join(",");
    let mut lines: Vec<String> = std::iter::once(&head).chain(&table.rows).map(row).collect();
    // Every line ends, the last one too.
    lines.push(String::new());
    lines.join("\r\n")
}

fn csv_cell(cell: &str) -> String {
    let cell = clean::line(cell);
    let cell = if is_formula(&cell) || is_mistaken(&cell) { format!("'{cell}") } else { cell.into_owned() };
    if cell.contains(['"', ',']) || cell.starts_with(' ') || cell.ends_with(' ') {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell
    }
}

/// Returns whether a spreadsheet would run this cell.
fn is_formula(cell: &str) -> bool {
    cell.starts_with(['=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}'])
}

/// Returns whether a spreadsheet would show this text as another number or as a date.
fn is_mistaken(cell: &str) -> bool {
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let leading_zero = cell.len() > 1 && cell.starts_with('0') && digits(cell);
    let long = cell.len() > 15 && digits(cell);
    let exponent = cell.split_once(['e', 'E']).is_some_and(|(mantissa, power)| digits(mantissa) && digits(power));
    let parts: Vec<&str> = cell.split(['-', '/']).collect();
    let date = (2..=3).contains(&parts.len()) && parts.iter().all(|part| digits(part) && part.len() <= 4);
    // An ISO date is meant to be one.
    let iso = parts.len() == 3 && parts[0].len() == 4 && parts[1].len() == 2 && parts[2].len() == 2;
    leading_zero || long || exponent || (date && !iso)
}

/// Returns the table in columns for a person, with its headings.
#[must_use]
pub fn columns(table: &Table) -> String {
    let head: Vec<String> = table.head.iter().map(|cell| (*cell).to_owned()).collect();
    let rows: Vec<Vec<String>> = std::iter::once(&head)
        .chain(&table.rows)
        .map(|row| row.iter().map(|cell| clean::line(cell).into_owned()).collect())
        .collect();
    let width = |column: usize| rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max();
    let widths: Vec<usize> = (0..head.len()).map(|column| width(column).unwrap_or(0)).collect();
    let set = |row: &Vec<String>| {
        let cells = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}"));
        format!("{}\n", cells.collect::<Vec<_>>().join("  ").trim_end())
    };
    rows.iter().map(set).collect()
}

/// Returns the rows without headings, their cells parted by tabs.
#[must_use]
pub fn plain(table: &Table) -> String {
    let row = |row: &Vec<String>| row.iter().map(|cell| clean::line(cell)).collect::<Vec<_>>().join("\t");
    let mut lines: Vec<String> = table.rows.iter().map(row).collect();
    lines.push(String::new());
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(rows: &[[&str; 2]]) -> Table {
        let rows = rows.iter().map(|row| row.iter().map(|cell| (*cell).to_owned()).collect()).collect();
        Table { head: vec!["name", "number"], rows }
    }

    #[test]
    fn a_spreadsheet_can_neither_run_nor_change_a_cell() {
        let table = table(&[
            ["=HYPERLINK(\"x\")", "+1"],
            ["-2", "@x"],
            ["10-12", "0045"],
            ["1E5", "2026-03-14"],
            ["a, b", "OR-PA3-C-E"],
        ]);
        assert_eq!(
            csv(&table),
            "name,number\r\n\"'=HYPERLINK(\"\"x\"\")\",'+1\r\n'-2,'@x\r\n'10-12,'0045\r\n'1E5,2026-03-14\r\n\"a, b\",OR-PA3-C-E\r\n"
        );
    }

    #[test]
    fn columns_stand_under_their_headings() {
        assert_eq!(
            columns(&table(&[["casing O-ring", "1"], ["Nut·m", "22"]])),
            "name           number\ncasing O-ring  1\nNut·m          22\n"
        );
        assert_eq!(plain(&table(&[["a\tb", "1"]])), "a b\t1\n");
    }
}
