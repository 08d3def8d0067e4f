//! Whether words name something, word by word; what a sentence does with it is the reader's business.

/// Returns whether a text holds a name as whole words, its last word in the singular or plural.
#[must_use]
pub fn is_named(text: &str, name: &str) -> bool {
    Words::of(text).name(&Words::of(name))
}

/// A text cut into words, to be asked for many names.
#[derive(Clone, Debug)]
pub(crate) struct Words(Vec<String>);

impl Words {
    /// Cuts a text.
    pub(crate) fn of(text: &str) -> Self {
        Self(words(text))
    }

    /// Returns whether these words hold those of a name, the last of them in the singular or plural.
    pub(crate) fn name(&self, name: &Self) -> bool {
        !places(&self.0, &name.0).is_empty()
    }
}

/// Returns whether a text names something, other than as a part of a longer name (`impeller` in `impeller nut`).
pub fn is_named_alone<'n>(text: &str, name: &str, others: impl IntoIterator<Item = &'n str>) -> bool {
    let (text, name) = (words(text), words(name));
    let mut found = places(&text, &name);
    if found.is_empty() {
        return false;
    }
    for other in others {
        let other = words(other);
        if other.len() <= name.len() || places(&other, &name).is_empty() {
            continue;
        }
        for start in places(&text, &other) {
            found.retain(|at| !(start..start + other.len()).contains(at));
        }
    }
    !found.is_empty()
}

/// Returns the words of a text in small letters. A hyphen holds words together, as in `O-ring` and `TW-2`.
#[must_use]
pub fn words(text: &str) -> Vec<String> {
    let folded = text.to_lowercase();
    let words = folded.split(|c: char| !(c.is_alphanumeric() || c == '-')).map(|word| word.trim_matches('-'));
    words.filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

fn places(text: &[String], name: &[String]) -> Vec<usize> {
    let Some((last, first)) = name.split_last() else { return Vec::new() };
    let is_here = |window: &[String]| {
        let (own, before) = window.split_last().expect("a window is as long as the name");
        before == first && is_same(own, last)
    };
    text.windows(name.len()).enumerate().filter(|(_, window)| is_here(window)).map(|(at, _)| at).collect()
}

fn is_same(word: &str, name: &str) -> bool {
    let is_plural = |word: &str, of: &str| ["s", "es"].iter().any(|end| word.strip_suffix(end) == Some(of));
    word == name || is_plural(word, name) || is_plural(name, word)
}

#[cfg(test)]
mod tests {
    use super::{is_named, is_named_alone};

    #[test]
    fn a_name_is_whole_words() {
        assert!(is_named("Remove the casing nuts.", "casing nut"));
        assert!(is_named("EPDM, 70 Shore A", "EPDM"));
        assert!(is_named("Wipe it with L-07.", "l-07"));
        assert!(!is_named("HNBR", "NBR"));
        assert!(!is_named("L-070", "L-07"));
        assert!(!is_named("anything", ""));
    }

    #[test]
    fn a_part_of_a_longer_name_is_not_named() {
        let others = ["impeller nut", "impeller-nut O-ring"];
        assert!(!is_named_alone("Remove the impeller nut.", "impeller", others));
        assert!(is_named_alone("Lift the impeller off the impeller nut.", "impeller", others));
        assert!(!is_named_alone("Remove the impeller-nut O-ring.", "impeller nut", others));
    }
}
