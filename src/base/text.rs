//! The texts of a binder and places in them; it does not know where a text came from or what it means.

use crate::base::path::BinderPath;

/// One text in a [`Texts`] store.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(u32);

/// A stretch of bytes in one text; `end` is not part of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The text.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// First byte after the stretch.
    pub end: u32,
}

impl Span {
    /// Returns the span of the bytes `start..end` of `file`.
    #[must_use]
    pub fn new(file: FileId, start: usize, end: usize) -> Self {
        let narrow = |at: usize| u32::try_from(at).expect("a text is smaller than the file limit");
        Self { file, start: narrow(start), end: narrow(end.max(start)) }
    }

    /// Returns the byte range, to slice the text with.
    #[must_use]
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// A value with the place it was read from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placed<T> {
    /// The value.
    pub value: T,
    /// Where the author wrote it.
    pub span: Span,
}

impl<T> Placed<T> {
    /// Returns `value` with its place.
    pub fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}

/// Line and column as an editor counts them, both from 1; columns count characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// A text with its name and line starts.
#[derive(Clone, Debug)]
pub struct Text {
    path: BinderPath,
    content: String,
    line_starts: Vec<usize>,
}

impl Text {
    /// Returns the path inside the binder.
    #[must_use]
    pub fn path(&self) -> &BinderPath {
        &self.path
    }

    /// Returns the whole text.
    #[must_use]
    pub fn content(&self) -> &str {
        &self.content
    }

    /// Returns the position of a byte offset.
    #[must_use]
    pub fn position(&self, offset: usize) -> Position {
        let offset = self.content.floor_char_boundary(offset);
        let line = self.line_starts.partition_point(|start| *start <= offset);
        let start = self.line_starts[line - 1];
        Position { line, column: self.content[start..offset].chars().count() + 1 }
    }

    /// Returns the bytes of a line, counted from 1, with its line end.
    #[must_use]
    pub fn line(&self, line: usize) -> std::ops::Range<usize> {
        let start_of = |line: usize| self.line_starts.get(line).copied().unwrap_or(self.content.len());
        start_of(line - 1)..start_of(line)
    }
}

/// All texts that were read, in the order they were added.
#[derive(Clone, Debug, Default)]
pub struct Texts {
    texts: Vec<Text>,
}

impl Texts {
    /// Adds a text and returns its id.
    pub fn add(&mut self, path: BinderPath, content: String) -> FileId {
        let line_starts = std::iter::once(0).chain(content.match_indices('\n').map(|(at, _)| at + 1)).collect();
        let id = FileId(u32::try_from(self.texts.len()).expect("the number of files is limited"));
        self.texts.push(Text { path, content, line_starts });
        id
    }

    /// Returns the text with this id.
    #[must_use]
    pub fn get(&self, id: FileId) -> &Text {
        &self.texts[id.0 as usize]
    }

    /// Returns the text at `path`, if one was read.
    #[must_use]
    pub fn at(&self, path: &BinderPath) -> Option<FileId> {
        let index = self.texts.iter().position(|text| text.path == *path)?;
        Some(FileId(u32::try_from(index).expect("the number of files is limited")))
    }

    /// Returns the words a span covers.
    #[must_use]
    pub fn slice(&self, span: Span) -> &str {
        self.get(span.file).content.get(span.range()).unwrap_or("")
    }

    /// Returns path and position of a span's start.
    #[must_use]
    pub fn locate(&self, span: Span) -> (&BinderPath, Position) {
        let text = self.get(span.file);
        (&text.path, text.position(span.start as usize))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_count_characters_from_one() {
        let mut texts = Texts::default();
        let id = texts.add(BinderPath::parse("a.yaml").expect("a plain name"), "ab\nN·m x\n".to_owned());
        let x = texts.get(id).content().find('x').expect("it is there");
        assert_eq!(texts.get(id).position(x), Position { line: 2, column: 5 });
        assert_eq!(texts.get(id).position(0), Position { line: 1, column: 1 });
    }
}
