//! A sentence's tokens as the reader looks at them: in lower case, in the singular, with what each small word may be.

use crate::language::inflect::singular;
use crate::language::listed;
use crate::language::sentence::{Sentence, TokenKind};

/// A token as the reader looks at it.
#[derive(Clone, Debug)]
pub(super) struct Item {
    /// What it is.
    pub(super) kind: Kind,
    /// Its words in lower case; a value stands in braces.
    pub(super) text: String,
    /// Its words as written.
    pub(super) raw: String,
    /// Its letters and figures in the singular, by which names are compared.
    pub(super) key: String,
    /// Flags of [`listed::role`].
    pub(super) roles: u32,
    /// True where it differs from its singular.
    pub(super) is_plural: bool,
    /// True where it ends in `'s`.
    pub(super) is_owner: bool,
    /// The number it stands for.
    pub(super) number: Option<u32>,
    /// Its place in the sentence's tokens.
    pub(super) token: usize,
}

/// What a token is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A word.
    Word,
    /// Figures.
    Number,
    /// A value in braces.
    Value,
    /// A reference to a step.
    See,
    /// A mark.
    Mark(char),
}

impl Item {
    /// Returns whether it may be any of the given roles.
    pub(super) fn is(&self, roles: u32) -> bool {
        self.roles & roles != 0
    }

    /// Returns whether it is this word.
    pub(super) fn says(&self, word: &str) -> bool {
        self.kind == Kind::Word && self.text == word
    }

    /// Returns whether it is this mark.
    pub(super) fn is_mark(&self, mark: char) -> bool {
        self.kind == Kind::Mark(mark)
    }
}

/// Returns the letters and figures of a word in the singular and in lower case.
pub(super) fn key(word: &str) -> String {
    let lower = word.to_lowercase();
    singular(&lower).chars().filter(|c| c.is_alphanumeric()).collect()
}

/// Returns the key of a value's name.
pub(super) fn value_key(name: &str) -> String {
    format!("{{{}}}", name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase())
}

/// Returns the items of a sentence; quotation marks are left out, and so is the mark at its end.
pub(super) fn items(sentence: &Sentence) -> Vec<Item> {
    let mut items: Vec<Item> = Vec::with_capacity(sentence.tokens.len());
    for (at, token) in sentence.tokens.iter().enumerate() {
        if let TokenKind::Mark('"' | '“' | '”' | '‘' | '’' | '\'' | '*' | '`') = token.kind {
            continue;
        }
        items.push(item(&token.kind, at, items.is_empty()));
    }
    while items.last().is_some_and(|last| matches!(last.kind, Kind::Mark('.' | '!' | ',' | ';'))) {
        items.pop();
    }
    items
}

fn item(token: &TokenKind, at: usize, is_first: bool) -> Item {
    let (kind, text) = match token {
        TokenKind::Word(word) => (Kind::Word, word.clone()),
        TokenKind::Number(number) => (Kind::Number, number.clone()),
        TokenKind::Value(name) => (Kind::Value, value_key(name.as_str())),
        TokenKind::See(name) => (Kind::See, format!("{{see {}}}", name.folded())),
        TokenKind::Mark(mark) => (Kind::Mark(*mark), mark.to_string()),
    };
    let mut item = Item {
        kind,
        raw: text.clone(),
        key: String::new(),
        roles: 0,
        is_plural: false,
        is_owner: false,
        number: None,
        token: at,
        text,
    };
    match kind {
        Kind::Word => {
            item.text = item.text.to_lowercase().replace('’', "'");
            if let Some(owner) = item.text.strip_suffix("'s") {
                item.text = owner.to_owned();
                item.is_owner = true;
            }
            // A capital that stands alone inside a sentence is a name (`cover A`), never the article.
            let is_letter = !is_first && matches!(token, TokenKind::Word(word) if word == "A" || word == "I");
            item.roles = if is_letter { 0 } else { listed::roles(&item.text) };
            item.number = listed::number(&item.text);
            item.is_plural = singular(&item.text) != item.text;
            item.key = key(&item.text);
        }
        Kind::Number => {
            item.number = item.text.parse().ok();
            item.key = item.text.chars().filter(|c| c.is_alphanumeric()).collect();
        }
        Kind::Value => item.key.clone_from(&item.text),
        Kind::See | Kind::Mark(_) => {}
    }
    item
}
