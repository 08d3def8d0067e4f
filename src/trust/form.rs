//! The form every statement has: lines of `key: value` in a fixed order, then blocks; it knows the form of no single one.

use crate::trust::word::WordFault;
use std::fmt::{Display, Write as _};

/// Why bytes are no statement, and in which line; the line is 0 where it is no single one.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}{what}", place(*.line))]
pub struct FormFault {
    /// The line, from 1.
    pub line: usize,
    /// What is wrong.
    pub what: Misformed,
}

fn place(line: usize) -> String {
    if line == 0 { String::new() } else { format!("line {line}: ") }
}

/// What is wrong with a line.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Misformed {
    /// It is larger than such a statement may be.
    #[error("it is larger than {0} bytes")]
    TooLarge(usize),
    /// It is no UTF-8.
    #[error("it is no UTF-8")]
    NotUtf8,
    /// A character that no statement holds.
    #[error("it holds the character U+{0:04X}, which no statement holds")]
    Character(u32),
    /// The last line has no end.
    #[error("the last line has no line end; the file was cut off")]
    CutOff,
    /// The mark of a merge that nobody finished.
    #[error("it holds the marks of an unfinished merge")]
    Merge,
    /// The first line does not say what it should.
    #[error("the first line is not `{0}`")]
    Kind(String),
    /// The first line names a later form.
    #[error("it is of a newer form (`{0}`); a newer program reads it")]
    Newer(String),
    /// Another line should stand here.
    #[error("`{0}` should stand here")]
    Wanted(String),
    /// A value is refused.
    #[error("`{key}`: {why}")]
    Value {
        /// The key, or the block.
        key: String,
        /// Why.
        why: String,
    },
    /// The lines of a block do not ascend.
    #[error("`{0}`: this line is out of order or there twice")]
    Order(String),
    /// There is more than there should be.
    #[error("nothing should follow here")]
    Surplus,
    /// It would be printed otherwise.
    #[error("it is not written as the program would write it")]
    OtherSpelling,
    /// What it says contradicts itself.
    #[error("{0}")]
    Sense(String),
}

impl FormFault {
    /// Returns a fault of the whole statement.
    pub(super) fn whole(what: Misformed) -> Self {
        Self { line: 0, what }
    }

    /// Returns a contradiction within the statement.
    pub(super) fn sense(why: impl Into<String>) -> Self {
        Self::whole(Misformed::Sense(why.into()))
    }
}

/// The lines of a statement, taken one after the other.
pub(super) struct Lines<'a> {
    lines: Vec<&'a str>,
    taken: usize,
}

impl<'a> Lines<'a> {
    /// Returns the lines after the first, which must be `kind v1`.
    pub(super) fn open(bytes: &'a [u8], kind: &str, most: usize) -> Result<Self, FormFault> {
        if bytes.len() > most {
            return Err(FormFault::whole(Misformed::TooLarge(most)));
        }
        let text = str::from_utf8(bytes).map_err(|error| {
            let line = bytes[..error.valid_up_to()].split(|b| *b == b'\n').count();
            FormFault { line, what: Misformed::NotUtf8 }
        })?;
        let mut lines: Vec<&str> = text.split('\n').collect();
        // What follows the last line end is no line.
        let rest = lines.pop().unwrap_or_default();
        for (at, line) in lines.iter().chain([&rest]).enumerate() {
            let found = |what| Err(FormFault { line: at + 1, what });
            if is_merge_mark(line) {
                return found(Misformed::Merge);
            }
            if let Some(c) = line.chars().find(|c| c.is_control() || *c == '\u{feff}') {
                return found(Misformed::Character(u32::from(c)));
            }
        }
        if !rest.is_empty() {
            return Err(FormFault { line: lines.len() + 1, what: Misformed::CutOff });
        }
        let mut lines = Self { lines, taken: 0 };
        lines.first(kind)?;
        Ok(lines)
    }

    fn first(&mut self, kind: &str) -> Result<(), FormFault> {
        let wanted = format!("{kind} v1");
        let first = self.take().unwrap_or_default();
        if first == wanted {
            return Ok(());
        }
        let number = first.strip_prefix(kind).and_then(|rest| rest.strip_prefix(" v"));
        let is_newer = number.is_some_and(|number| {
            (1..=6).contains(&number.len()) && !number.starts_with('0') && number.bytes().all(|b| b.is_ascii_digit())
        });
        Err(self.here(if is_newer { Misformed::Newer(first.to_owned()) } else { Misformed::Kind(wanted) }))
    }

    fn take(&mut self) -> Option<&'a str> {
        let line = self.lines.get(self.taken).copied();
        self.taken += 1;
        line
    }

    /// Returns the fault of the line that was taken last.
    fn here(&self, what: Misformed) -> FormFault {
        FormFault { line: self.taken, what }
    }

    /// Returns the value of the next line, which must be `key: value`.
    pub(super) fn field<T>(
        &mut self,
        key: &str,
        read: impl FnOnce(&str) -> Result<T, WordFault>,
    ) -> Result<T, FormFault> {
        let line = self.take();
        let value = line.and_then(|line| line.strip_prefix(key)).and_then(|rest| rest.strip_prefix(": "));
        let Some(value) = value else { return Err(self.here(Misformed::Wanted(format!("{key}: ")))) };
        read(value).map_err(|WordFault(why)| self.here(Misformed::Value { key: key.to_owned(), why }))
    }

    /// Returns the values of all next lines that are `key: value`.
    pub(super) fn fields<T>(
        &mut self,
        key: &str,
        read: impl Fn(&str) -> Result<T, WordFault>,
    ) -> Result<Vec<T>, FormFault> {
        let mut values = Vec::new();
        while self.lines.get(self.taken).is_some_and(|line| line.starts_with(&format!("{key}: "))) {
            values.push(self.field(key, &read)?);
        }
        Ok(values)
    }

    /// Returns the lines of the next block, which must be headed `name:` and ascend strictly by `order`.
    pub(super) fn block<T, K: Ord>(
        &mut self,
        name: &str,
        read: impl Fn(&str) -> Result<T, WordFault>,
        order: impl Fn(&T) -> K,
    ) -> Result<Vec<T>, FormFault> {
        if self.take().and_then(|line| line.strip_suffix(':')) != Some(name) {
            return Err(self.here(Misformed::Wanted(format!("{name}:"))));
        }
        let mut entries: Vec<T> = Vec::new();
        while self.lines.get(self.taken).is_some_and(|line| !is_head(line)) {
            let line = self.take().unwrap_or_default();
            let entry =
                read(line).map_err(|WordFault(why)| self.here(Misformed::Value { key: name.to_owned(), why }))?;
            if entries.last().is_some_and(|last| order(last) >= order(&entry)) {
                return Err(self.here(Misformed::Order(name.to_owned())));
            }
            entries.push(entry);
        }
        Ok(entries)
    }

    /// Checks that every line was taken.
    pub(super) fn end(mut self) -> Result<(), FormFault> {
        if self.taken < self.lines.len() {
            self.taken += 1;
            return Err(self.here(Misformed::Surplus));
        }
        Ok(())
    }
}

/// A head of a block holds no space; a line within one does.
fn is_head(line: &str) -> bool {
    line.ends_with(':') && !line.contains(' ')
}

fn is_merge_mark(line: &str) -> bool {
    ["<<<<<<<", "=======", ">>>>>>>", "|||||||"].iter().any(|mark| line.starts_with(mark))
}

/// A statement as it is written.
pub(super) struct Written(String);

impl Written {
    /// Returns a statement that holds its first line.
    pub(super) fn new(kind: &str) -> Self {
        Self(format!("{kind} v1\n"))
    }

    /// Adds `key: value`.
    pub(super) fn field(&mut self, key: &str, value: impl Display) {
        writeln!(self.0, "{key}: {value}").expect("a text takes what is written");
    }

    /// Adds a block.
    pub(super) fn block(&mut self, name: &str, lines: impl IntoIterator<Item = String>) {
        self.0.push_str(name);
        self.0.push_str(":\n");
        for line in lines {
            self.0.push_str(&line);
            self.0.push('\n');
        }
    }

    /// Returns the bytes.
    pub(super) fn bytes(self) -> Vec<u8> {
        self.0.into_bytes()
    }
}

/// Returns the statement that `bytes` are, if it is printed as these same bytes.
pub(super) fn canonical<T>(
    bytes: &[u8],
    parse: impl FnOnce(&[u8]) -> Result<T, FormFault>,
    print: impl FnOnce(&T) -> Vec<u8>,
) -> Result<T, FormFault> {
    let statement = parse(bytes)?;
    if print(&statement) == bytes { Ok(statement) } else { Err(FormFault::whole(Misformed::OtherSpelling)) }
}

/// Returns the bytes of a statement that was made here, if it reads as itself.
pub(super) fn written<T: PartialEq>(
    statement: &T,
    print: impl FnOnce(&T) -> Vec<u8>,
    parse: impl FnOnce(&[u8]) -> Result<T, FormFault>,
) -> Result<Vec<u8>, FormFault> {
    let bytes = print(statement);
    if parse(&bytes)? == *statement { Ok(bytes) } else { Err(FormFault::whole(Misformed::OtherSpelling)) }
}

/// Returns what `read` makes of the text, or nothing for `none`.
pub(super) fn or_none<T>(
    read: impl FnOnce(&str) -> Result<T, WordFault>,
) -> impl FnOnce(&str) -> Result<Option<T>, WordFault> {
    |text| if text == "none" { Ok(None) } else { read(text).map(Some) }
}

/// Returns the text of a value, or `none`.
pub(super) fn shown<T: Display>(value: Option<&T>) -> String {
    value.map_or_else(|| "none".to_owned(), T::to_string)
}

/// Returns the digest that `text` writes.
pub(super) fn digest(text: &str) -> Result<crate::trust::digest::Digest, WordFault> {
    crate::trust::digest::Digest::parse(text)
        .ok_or_else(|| WordFault("a digest is 64 small hexadecimal digits, as `sha256sum` prints them".to_owned()))
}

/// Returns the digest and the rest of a line as `sha256sum` prints it.
pub(super) fn sum(line: &str) -> Result<(crate::trust::digest::Digest, &str), WordFault> {
    let (sum, rest) = line
        .split_once("  ")
        .ok_or_else(|| WordFault("a digest, two spaces and what it is of are wanted".to_owned()))?;
    Ok((digest(sum)?, rest))
}

/// Returns the words of a line that are parted by single spaces, if there are `N`.
pub(super) fn words<const N: usize>(line: &str) -> Result<[&str; N], WordFault> {
    let words: Vec<&str> = line.split(' ').collect();
    let count = words.len();
    words.try_into().map_err(|_| WordFault(format!("{N} words parted by single spaces are wanted, there are {count}")))
}
