//! English endings: the singular of a noun and the forms of a verb; it knows no meaning.

use std::borrow::Cow;

/// Plurals that follow no rule, with their singulars.
const PLURALS: [(&str, &str); 18] = [
    ("halves", "half"),
    ("calves", "calf"),
    ("knives", "knife"),
    ("leaves", "leaf"),
    ("shelves", "shelf"),
    ("lives", "life"),
    ("loaves", "loaf"),
    ("feet", "foot"),
    ("teeth", "tooth"),
    ("people", "person"),
    ("men", "man"),
    ("axes", "axis"),
    ("bases", "base"),
    ("vertices", "vertex"),
    ("indices", "index"),
    ("gases", "gas"),
    ("lenses", "lens"),
    ("buses", "bus"),
];

/// Words that end like a plural and are none.
const SINGULARS: [&str; 14] = [
    "clevis",
    "trellis",
    "axis",
    "bus",
    "chassis",
    "gas",
    "lens",
    "bias",
    "apparatus",
    "basis",
    "always",
    "radius",
    "perhaps",
    "across",
];

/// Returns the singular of a word in lower case; of a word with hyphens, that of its last part.
#[must_use]
pub(super) fn singular(word: &str) -> Cow<'_, str> {
    if let Some((before, last)) = word.rsplit_once('-') {
        return match singular(last) {
            Cow::Borrowed(same) if same.len() == last.len() => Cow::Borrowed(word),
            one => Cow::Owned(format!("{before}-{one}")),
        };
    }
    if let Some((_, one)) = PLURALS.iter().find(|(many, _)| *many == word) {
        return Cow::Borrowed(one);
    }
    if word.len() < 3 || SINGULARS.contains(&word) || !word.ends_with('s') {
        return Cow::Borrowed(word);
    }
    if word.ends_with("ss") || word.ends_with("us") || word.ends_with("'s") || word.ends_with("’s") {
        return Cow::Borrowed(word);
    }
    if !word[..word.len() - 1].chars().next_back().is_some_and(char::is_alphabetic) {
        return Cow::Borrowed(word);
    }
    if let Some(stem) = word.strip_suffix("ies")
        && stem.len() > 1
    {
        return Cow::Owned(format!("{stem}y"));
    }
    if ["shes", "ches", "xes", "sses", "zes"].iter().any(|end| word.ends_with(end)) {
        return Cow::Borrowed(&word[..word.len() - 2]);
    }
    Cow::Borrowed(&word[..word.len() - 1])
}

/// A form of a verb.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Form {
    /// `remove`.
    Base,
    /// `removes`.
    Third,
    /// `removed`, as past or participle.
    Past,
    /// `removing`.
    Gerund,
}

/// Verbs whose past, or last letter, follows no rule: base, past forms.
const IRREGULAR: [(&str, &[&str]); 54] = [
    ("bind", &["bound"]),
    ("bleed", &["bled"]),
    ("blow", &["blew", "blown"]),
    ("break", &["broke", "broken"]),
    ("bring", &["brought"]),
    ("build", &["built"]),
    ("cast", &["cast"]),
    ("cut", &["cut"]),
    ("do", &["did", "done"]),
    ("draw", &["drew", "drawn"]),
    ("drive", &["drove", "driven"]),
    ("feed", &["fed"]),
    ("feel", &["felt"]),
    ("find", &["found"]),
    ("fit", &["fit", "fitted"]),
    ("get", &["got", "gotten"]),
    ("give", &["gave", "given"]),
    ("grind", &["ground"]),
    ("hang", &["hung"]),
    ("hold", &["held"]),
    ("keep", &["kept"]),
    ("lay", &["laid"]),
    ("leave", &["left"]),
    ("let", &["let"]),
    ("make", &["made"]),
    ("pay", &["paid"]),
    ("prove", &["proved", "proven"]),
    ("put", &["put"]),
    ("read", &["read"]),
    ("reset", &["reset"]),
    ("run", &["ran", "run"]),
    ("see", &["saw", "seen"]),
    ("send", &["sent"]),
    ("set", &["set"]),
    ("shake", &["shook", "shaken"]),
    ("shut", &["shut"]),
    ("sling", &["slung"]),
    ("slide", &["slid"]),
    ("spin", &["spun"]),
    ("spread", &["spread"]),
    ("spring", &["sprang", "sprung"]),
    ("stand", &["stood"]),
    ("stick", &["stuck"]),
    ("swing", &["swung"]),
    ("take", &["took", "taken"]),
    ("tell", &["told"]),
    ("tear", &["tore", "torn"]),
    ("throw", &["threw", "thrown"]),
    ("undo", &["undid", "undone"]),
    ("wear", &["wore", "worn"]),
    ("wind", &["wound"]),
    ("withdraw", &["withdrew", "withdrawn"]),
    ("work", &["worked"]),
    ("write", &["wrote", "written"]),
];

/// Verbs of more than one syllable that double their last letter.
const DOUBLED: [&str; 10] =
    ["refit", "rerun", "unplug", "unclip", "unpin", "label", "level", "re-fit", "program", "transfer"];

/// Returns the forms of a verb in the order of [`Form`], each as often as it is spelled differently.
#[must_use]
pub(super) fn forms(base: &str) -> Vec<(Form, String)> {
    let mut forms = vec![(Form::Base, base.to_owned()), (Form::Third, third(base))];
    let irregular = IRREGULAR.iter().find(|(own, _)| base == *own || base.strip_prefix("re") == Some(own));
    let prefix = if irregular.is_some_and(|(own, _)| base != *own) { "re" } else { "" };
    for stem in stems(base) {
        forms.push((Form::Gerund, gerund(&stem)));
        if irregular.is_none() {
            forms.push((Form::Past, past(&stem)));
        }
    }
    for past in irregular.map(|(_, pasts)| *pasts).unwrap_or_default() {
        forms.push((Form::Past, format!("{prefix}{past}")));
    }
    forms
}

fn third(base: &str) -> String {
    if let Some(stem) = base.strip_suffix('y')
        && !stem.ends_with(['a', 'e', 'o', 'u'])
    {
        return format!("{stem}ies");
    }
    let hisses = ["s", "x", "z", "sh", "ch", "o"].iter().any(|end| base.ends_with(end));
    format!("{base}{}", if hisses { "es" } else { "s" })
}

/// Returns what endings are put to: with the last letter doubled where a short syllable asks for it.
fn stems(base: &str) -> Vec<String> {
    let letters: Vec<char> = base.chars().collect();
    let is_vowel = |c: char| matches!(c, 'a' | 'e' | 'i' | 'o' | 'u');
    let [.., before, vowel, last] = letters[..] else { return vec![base.to_owned()] };
    let closes = !is_vowel(last) && !matches!(last, 'w' | 'x' | 'y') && is_vowel(vowel) && !is_vowel(before);
    let syllables = letters.iter().filter(|c| is_vowel(**c)).count();
    if !closes || (syllables > 1 && !DOUBLED.contains(&base)) {
        return vec![base.to_owned()];
    }
    if syllables > 1 {
        return vec![base.to_owned(), format!("{base}{last}")];
    }
    vec![format!("{base}{last}")]
}

fn gerund(stem: &str) -> String {
    match stem.strip_suffix('e') {
        Some(short) if !short.ends_with('e') => format!("{short}ing"),
        _ => format!("{stem}ing"),
    }
}

fn past(stem: &str) -> String {
    if stem.ends_with('e') {
        return format!("{stem}d");
    }
    match stem.strip_suffix('y') {
        Some(short) if !short.ends_with(['a', 'e', 'o', 'u']) => format!("{short}ied"),
        _ => format!("{stem}ed"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plurals_lose_their_ending() {
        for (many, one) in [
            ("nuts", "nut"),
            ("halves", "half"),
            ("valves", "valve"),
            ("sleeves", "sleeve"),
            ("assemblies", "assembly"),
            ("ties", "tie"),
            ("bushes", "bush"),
            ("boxes", "box"),
            ("glass", "glass"),
            ("o-rings", "o-ring"),
            ("bearing", "bearing"),
            ("apparatus", "apparatus"),
            ("v101s", "v101s"),
        ] {
            assert_eq!(singular(many), one);
        }
    }

    #[test]
    fn verbs_take_their_endings() {
        let drawn = |base| forms(base).into_iter().map(|(_, form)| form).collect::<Vec<_>>().join(" ");
        assert_eq!(drawn("remove"), "remove removes removing removed");
        assert_eq!(drawn("fit"), "fit fits fitting fit fitted");
        assert_eq!(drawn("refit"), "refit refits refiting refitting refit refitted");
        assert_eq!(drawn("undo"), "undo undoes undoing undid undone");
        assert_eq!(drawn("dry"), "dry dries drying dried");
        assert_eq!(drawn("tighten"), "tighten tightens tightening tightened");
        assert_eq!(drawn("loosen"), "loosen loosens loosening loosened");
        assert_eq!(drawn("tap"), "tap taps tapping tapped");
        assert_eq!(drawn("drain"), "drain drains draining drained");
    }
}
