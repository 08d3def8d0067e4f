//! How hard a text is to read, by three published formulas from counts; it knows no procedure and judges nothing.

/// Counts of a text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Text {
    /// Sentences.
    pub sentences: u32,
    /// Words.
    pub words: u32,
    /// Syllables of the words.
    pub syllables: u32,
    /// Letters and digits of the words.
    pub characters: u32,
}

impl Text {
    /// Returns the Flesch reading ease (R. Flesch, 1948): 100 is very easy, 0 very hard. A text without words is 0.
    #[must_use]
    pub fn ease(self) -> f64 {
        self.with(|words_a_sentence, syllables_a_word, _| 206.835 - 1.015 * words_a_sentence - 84.6 * syllables_a_word)
    }

    /// Returns the Flesch-Kincaid grade (J. P. Kincaid and others, 1975) in years of school.
    #[must_use]
    pub fn grade(self) -> f64 {
        self.with(|words_a_sentence, syllables_a_word, _| 0.39 * words_a_sentence + 11.8 * syllables_a_word - 15.59)
    }

    /// Returns the automated readability index (R. J. Senter and E. A. Smith, 1967), which counts letters and digits.
    #[must_use]
    pub fn index(self) -> f64 {
        self.with(|words_a_sentence, _, characters_a_word| 4.71 * characters_a_word + 0.5 * words_a_sentence - 21.43)
    }

    fn with(self, formula: impl Fn(f64, f64, f64) -> f64) -> f64 {
        if self.words == 0 || self.sentences == 0 {
            return 0.0;
        }
        let (sentences, words) = (f64::from(self.sentences), f64::from(self.words));
        formula(words / sentences, f64::from(self.syllables) / words, f64::from(self.characters) / words)
    }
}

/// Returns how many syllables an English word has, by rule: groups of vowels, less an ending that is not spoken.
///
/// Each part of a hyphenated word counts for itself; a number, a sign and a unit without a vowel count none.
#[must_use]
pub fn syllables(word: &str) -> u32 {
    let parts = word.split(|c: char| !c.is_alphabetic()).filter(|part| !part.is_empty());
    parts.map(|part| of_part(&part.to_lowercase())).sum()
}

fn of_part(word: &str) -> u32 {
    let letters: Vec<char> = word.chars().collect();
    let is_vowel = |at: usize| matches!(letters.get(at), Some('a' | 'e' | 'i' | 'o' | 'u' | 'y' | 'ä' | 'ö' | 'ü'));
    let mut groups = 0_u32;
    for at in 0..letters.len() {
        let begins = is_vowel(at) && (at == 0 || !is_vowel(at - 1));
        groups += u32::from(begins || is_split(&letters, at));
    }
    let ends = |ending: &str| word.ends_with(ending);
    let consonant_before = |length: usize| letters.len() > length && !is_vowel(letters.len() - length - 1);
    let silent_end = ends("e") && consonant_before(1) && !(ends("le") && consonant_before(2));
    let silent_past = ends("ed") && consonant_before(2) && !ends("ted") && !ends("ded");
    let silent_plural = ends("es")
        && consonant_before(2)
        && !["ses", "zes", "xes", "ches", "shes", "ges", "ces"].iter().any(|own| ends(own))
        && !(ends("les") && consonant_before(3));
    if groups > 1 { groups - u32::from(silent_end || silent_past || silent_plural) } else { groups }
}

/// Returns whether a vowel behind another one is spoken for itself (`area`, `fluid`, `ratio`, `quiet`).
fn is_split(letters: &[char], at: usize) -> bool {
    let pair = |first, second| at > 0 && letters[at - 1] == first && letters[at] == second;
    let before = at.checked_sub(2).map(|at| letters[at]);
    let is_soft = matches!(before, Some('t' | 's' | 'c' | 'g'));
    (!is_soft && (pair('i', 'a') || pair('i', 'o')))
        || pair('e', 'o')
        || (pair('u', 'a') && !matches!(before, Some('q' | 'g')))
        || (pair('u', 'i') && at + 1 < letters.len() && letters[at + 1] == 'd')
        || (pair('i', 'e') && at + 1 < letters.len() && letters[at + 1] == 't')
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sentence, words, syllables by a pronouncing dictionary, letters and digits, reading ease, grade, index.
    ///
    /// The scores follow from the counts by the published formulas of Flesch (1948), Kincaid et al. (1975), and Senter and
    /// Smith (1967); the syllables are those of the CMU pronouncing dictionary.
    const SENTENCES: [(&str, u32, u32, u32, f64, f64, f64); 3] = [
        ("Lock the pump disconnect switch.", 5, 7, 27, 83.320, 2.880, 6.504),
        ("Remove the impeller nut with the 24 mm socket.", 9, 11, 37, 94.300, 2.342, 2.433),
        (
            "Prior to the commencement of disassembly operations, it is imperative that personnel ascertain the complete \
             depressurization of the associated equipment.",
            20,
            47,
            132,
            -12.275,
            19.940,
            19.656,
        ),
    ];

    fn counted(sentence: &str) -> Text {
        let words = || sentence.split_whitespace();
        let letters = words().flat_map(str::chars).filter(|c| c.is_alphanumeric()).count();
        Text {
            sentences: 1,
            words: u32::try_from(words().count()).expect("few"),
            syllables: words().map(syllables).sum(),
            characters: u32::try_from(letters).expect("few"),
        }
    }

    #[test]
    fn given_counts_give_the_published_scores() {
        for (sentence, words, syllables, characters, ease, grade, index) in SENTENCES {
            let text = Text { sentences: 1, words, syllables, characters };
            for (own, wanted) in [(text.ease(), ease), (text.grade(), grade), (text.index(), index)] {
                assert!((own - wanted).abs() <= 0.001, "{sentence}: {own} and {wanted}");
            }
        }
    }

    #[test]
    fn own_counts_come_near_enough() {
        for (sentence, words, _, characters, ease, grade, _) in SENTENCES {
            let text = counted(sentence);
            assert_eq!((text.words, text.characters), (words, characters), "{sentence}");
            assert!((text.ease() - ease).abs() <= 10.0, "{sentence}: {}", text.ease());
            assert!((text.grade() - grade).abs() <= 1.5, "{sentence}: {}", text.grade());
        }
    }

    /// Syllables as any English dictionary divides the words.
    #[test]
    fn words_of_the_shop_have_their_syllables() {
        for (word, count) in [
            ("nut", 1),
            ("valve", 1),
            ("casing", 2),
            ("handle", 2),
            ("closed", 1),
            ("greased", 1),
            ("tighten", 2),
            ("fitted", 2),
            ("assembly", 3),
            ("media", 3),
            ("fluid", 2),
            ("quiet", 2),
            ("station", 2),
            ("O-ring", 2),
            ("flanges", 2),
            ("plates", 1),
            ("isolator", 4),
            ("24", 0),
        ] {
            assert_eq!(syllables(word), count, "{word}");
        }
    }

    #[test]
    fn an_empty_text_is_no_division_by_nothing() {
        assert!(Text::default().ease().abs() < f64::EPSILON);
    }
}
