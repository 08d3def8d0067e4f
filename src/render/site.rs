//! The index of everything that was built, as one HTML file; it knows no packet, only where each output lies.

use crate::base::stamp::DRAFT_MARK;
use crate::packet::standing;
use crate::packet::view::Standing;
use crate::render::conserve::{self, Expectation};
use crate::render::error::RenderError;
use crate::render::theme::Theme;
use serde::Serialize;
use std::collections::BTreeMap;

/// Words that stand on a controlled index and on no other.
const CONTROLLED: &str = "Released packets and cards";

/// What the index lists.
#[derive(Clone, Debug, Serialize)]
pub struct SiteView {
    /// The plant's name.
    pub plant: String,
    /// Language of the texts, as in BCP 47.
    pub language: String,
    /// The mark of everything that may not be used; empty where all of it is controlled.
    pub mark: String,
    /// What it was built from, in words or digits; may be empty.
    pub source: String,
    /// The ledger's last record, as printed (`000130 91eb3f00a1b2`), where all of it is controlled; else empty.
    #[serde(default)]
    pub record: String,
    /// The day of that record; empty where [`SiteView::record`] is.
    #[serde(default)]
    pub as_of: String,
    /// The packets and cards.
    pub entries: Vec<SiteEntry>,
    /// What nobody and nothing has checked yet, in plain words.
    pub not_checked: Vec<String>,
    /// What every packet and card defers to.
    pub deference: Vec<String>,
}

/// One procedure for one tag.
#[derive(Clone, Debug, Serialize)]
pub struct SiteEntry {
    /// The machine.
    pub tag: String,
    /// Where it stands.
    pub place: String,
    /// Its family, short and in words (`PA, close-coupled centrifugal pump`).
    pub family: String,
    /// Document number.
    pub document: String,
    /// What the procedure does.
    pub title: String,
    /// The revision that is in force; empty for a draft.
    pub revision: String,
    /// From when on it holds; empty for a draft.
    pub effective: String,
    /// The last day of a temporary change; else empty.
    pub last_day: String,
    /// Check words of the packet; empty where it was not made.
    pub packet_words: String,
    /// Check words of the card; empty where it was not made.
    pub card_words: String,
    /// The packet for a tablet, as an address relative to the index.
    pub packet_html: Option<String>,
    /// The packet for paper.
    pub packet_pdf: Option<String>,
    /// The card.
    pub card_pdf: Option<String>,
    /// Why something of it was not made; empty where all was.
    pub missing: String,
}

/// What the site template sees.
#[derive(Debug, Serialize)]
struct Page<'a> {
    site: &'a SiteView,
    standing: Standing,
    tags: Vec<Group<'a>>,
    places: Vec<Group<'a>>,
    families: Vec<Group<'a>>,
    procedures: Vec<Group<'a>>,
    refused: Vec<&'a SiteEntry>,
}

/// Entries under one heading, by the tag's reading order.
#[derive(Debug, Serialize)]
struct Group<'a> {
    name: String,
    entries: Vec<&'a SiteEntry>,
}

/// Returns the index as HTML.
///
/// # Errors
///
/// A template that cannot be filled, an address that leads out of the folder, or an entry that the page lost.
pub fn index(theme: &Theme, view: &SiteView) -> Result<String, RenderError> {
    if let Some(address) = addresses(view).find(|address| !is_inside(address)) {
        return Err(RenderError::Address { address: address.to_owned() });
    }
    let page = Page {
        site: view,
        standing: standing::standing(),
        tags: groups(view, |entry| entry.tag.clone()),
        places: groups(view, |entry| entry.place.clone()),
        families: groups(view, |entry| entry.family.clone()),
        procedures: groups(view, |entry| format!("{} {}", entry.document, entry.title)),
        refused: view.entries.iter().filter(|entry| !entry.missing.is_empty()).collect(),
    };
    let html = theme.fill_site(&page)?;
    let text = theme.site_text(&html);
    let (output, template) = ("the index".to_owned(), "site.html".to_owned());
    if let Some(reason) = wrong_state(view, &text) {
        return Err(RenderError::State { output, reason });
    }
    let lost = conserve::missing(&expectations(view), &text);
    if !lost.is_empty() {
        return Err(RenderError::Lost { output, template, lost });
    }
    let found = theme.site_outward(&html, &addresses(view).collect::<Vec<_>>());
    if found.is_empty() { Ok(html) } else { Err(RenderError::Outward { output, template, found }) }
}

/// Returns by what the index of drafts could be taken for a controlled one, or the other way round.
fn wrong_state(view: &SiteView, text: &str) -> Option<String> {
    let is_controlled = !view.record.is_empty();
    let says = |words: &str| text.to_lowercase().contains(&words.to_lowercase());
    let is_released = |entry: &SiteEntry| !entry.revision.is_empty() && !entry.effective.is_empty();
    let is_draft =
        |entry: &SiteEntry| entry.revision.is_empty() && entry.effective.is_empty() && entry.last_day.is_empty();
    let of_both = [
        (is_controlled != view.mark.is_empty(), "it bears a mark or a record, and never both or none"),
        (is_controlled == view.as_of.is_empty(), "a controlled index says as of when, and a draft does not"),
    ];
    let of_one = if is_controlled {
        [
            (says(DRAFT_MARK), "a controlled index may not bear the mark of a draft"),
            (
                !view.entries.iter().all(is_released),
                "each entry of a controlled index has its revision and effective date",
            ),
        ]
    } else {
        [
            (says(CONTROLLED), "the index of drafts may not say that it is controlled"),
            (!view.entries.iter().all(is_draft), "an entry of a draft has no revision, effective date or last day"),
        ]
    };
    of_both.into_iter().chain(of_one).find(|(is_wrong, _)| *is_wrong).map(|(_, reason)| reason.to_owned())
}

fn addresses(view: &SiteView) -> impl Iterator<Item = &str> {
    view.entries
        .iter()
        .flat_map(|entry| [&entry.packet_html, &entry.packet_pdf, &entry.card_pdf])
        .flatten()
        .map(String::as_str)
}

/// Returns whether an address stays in the folder of the index, so that the folder can be carried on a stick.
fn is_inside(address: &str) -> bool {
    let is_plain = |part: &str| !part.is_empty() && part != ".." && part != ".";
    !address.contains([':', '\\', '?', '#']) && address.split('/').all(is_plain)
}

/// Returns what the text of the index must contain.
fn expectations(view: &SiteView) -> Vec<Expectation> {
    let mut expected = vec![Expectation::anywhere("plant", &view.plant), Expectation::anywhere("mark", &view.mark)];
    for (place, text) in [("record", &view.record), ("as of", &view.as_of)] {
        expected.push(Expectation::anywhere(place, text));
    }
    if !view.record.is_empty() {
        expected.push(Expectation::anywhere("what it is", CONTROLLED));
    }
    for text in &view.not_checked {
        expected.push(Expectation::anywhere("not checked", text));
    }
    for text in &view.deference {
        expected.push(Expectation::anywhere("deference", text));
    }
    for entry in in_reading_order(view) {
        let revision = if entry.revision.is_empty() { String::new() } else { format!("revision {}", entry.revision) };
        let texts = [&entry.tag, &entry.place, &entry.document, &entry.packet_words, &entry.card_words, &entry.missing];
        for text in texts.into_iter().chain([&revision, &entry.effective, &entry.last_day]) {
            expected.push(Expectation::anywhere(&format!("{} for {}", entry.document, entry.tag), text));
        }
    }
    expected.retain(|expectation| !expectation.text.is_empty());
    expected
}

/// Returns the entries under the names that `name` gives them, names and tags in reading order.
fn groups(view: &SiteView, name: impl Fn(&SiteEntry) -> String) -> Vec<Group<'_>> {
    let mut groups: BTreeMap<(Vec<Part>, String), Vec<&SiteEntry>> = BTreeMap::new();
    for entry in in_reading_order(view) {
        let name = name(entry);
        groups.entry((parts(&name), name)).or_default().push(entry);
    }
    groups.into_iter().map(|((_, name), entries)| Group { name, entries }).collect()
}

fn in_reading_order(view: &SiteView) -> Vec<&SiteEntry> {
    let mut entries: Vec<&SiteEntry> = view.entries.iter().collect();
    entries.sort_by_cached_key(|entry| (parts(&entry.tag), entry.tag.clone(), entry.document.clone()));
    entries
}

/// A stretch of letters or of digits: people look for P-9 before P-10.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Part {
    Number(u64),
    Text(String),
}

fn parts(name: &str) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    for character in name.chars().flat_map(char::to_lowercase) {
        match (character.to_digit(10), parts.last_mut()) {
            (Some(digit), Some(Part::Number(number))) => {
                *number = number.saturating_mul(10).saturating_add(u64::from(digit));
            }
            (Some(digit), _) => parts.push(Part::Number(u64::from(digit))),
            (None, Some(Part::Text(text))) => text.push(character),
            (None, _) => parts.push(Part::Text(character.to_string())),
        }
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::{SiteEntry, SiteView, index};
    use crate::base::paper::Paper;
    use crate::base::stamp::DRAFT_MARK;
    use crate::render::error::RenderError;
    use crate::render::theme::Theme;

    fn entry(tag: &str, place: &str) -> SiteEntry {
        SiteEntry {
            tag: tag.to_owned(),
            place: place.to_owned(),
            family: "PA, close-coupled centrifugal pump".to_owned(),
            document: "MP-PA-101".to_owned(),
            title: "Renew the single shaft seal".to_owned(),
            revision: String::new(),
            effective: String::new(),
            last_day: String::new(),
            packet_words: "amber tile".to_owned(),
            card_words: "quiet lamp".to_owned(),
            packet_html: Some(format!("packets/MP-PA-101/{tag}.html")),
            packet_pdf: Some(format!("packets/MP-PA-101/{tag}.pdf")),
            card_pdf: Some("cards/MP-PA-101/quiet-lamp.pdf".to_owned()),
            missing: String::new(),
        }
    }

    fn view() -> SiteView {
        let mut refused = entry("P-101", "Intake hall, bay 1");
        refused.card_pdf = None;
        refused.card_words = String::new();
        refused.missing = "the card does not fit on A5; leave a stage out or choose A4".to_owned();
        SiteView {
            plant: "Quarrow Creamery, works 2".to_owned(),
            language: "en".to_owned(),
            mark: DRAFT_MARK.to_owned(),
            source: "618f8eda3881".to_owned(),
            record: String::new(),
            as_of: String::new(),
            entries: vec![entry("P-110", "Filling hall, bay 2"), refused, entry("P-9", "Filling hall, bay 2")],
            not_checked: vec!["The torques have not been recomputed.".to_owned()],
            deference: vec!["Only competent people who are authorised may use it.".to_owned()],
        }
    }

    #[test]
    #[expect(clippy::disallowed_methods, reason = "a page may be asked for, to be looked at")]
    fn every_entry_is_listed_with_its_links_or_its_reason() {
        let html = index(&Theme::new(&[], Paper::A4).expect("built in"), &view()).expect("rendered");
        if let Ok(path) = std::env::var("SITE_HTML") {
            std::fs::write(path, &html).expect("written");
        }
        for link in ["packets/MP-PA-101/P-110.html", "packets/MP-PA-101/P-110.pdf", "cards/MP-PA-101/quiet-lamp.pdf"] {
            assert!(html.contains(&format!("href=\"{link}\"")), "{link}");
        }
        assert!(html.contains("<b>Not made:</b> the card does not fit on A5"));
        assert!(html.find("nb\">P-9<").expect("listed") < html.find("nb\">P-101<").expect("listed"), "9 before 101");
    }

    fn controlled() -> SiteView {
        let mut view = SiteView {
            mark: String::new(),
            record: "000130 91eb3f00a1b2".to_owned(),
            as_of: "2027-03-12".to_owned(),
            ..view()
        };
        for entry in &mut view.entries {
            entry.revision = "7".to_owned();
            entry.effective = "2027-03-14".to_owned();
        }
        view.entries[0].last_day = "2027-04-30".to_owned();
        view
    }

    #[test]
    #[expect(clippy::disallowed_methods, reason = "a page may be asked for, to be looked at")]
    fn a_controlled_index_says_as_of_when_and_each_revision() {
        let html = index(&Theme::new(&[], Paper::A4).expect("built in"), &controlled()).expect("rendered");
        if let Ok(path) = std::env::var("CONTROLLED_SITE_HTML") {
            std::fs::write(path, &html).expect("written");
        }
        for wanted in ["Released packets and cards", "000130 91eb3f00a1b2", "2027-03-12", "effective", "2027-04-30"] {
            assert!(html.contains(wanted), "{wanted}");
        }
        assert!(!html.contains("DRAFT"));
    }

    #[test]
    fn a_draft_index_and_a_controlled_one_cannot_be_taken_for_each_other() {
        let theme = Theme::new(&[], Paper::A4).expect("built in");
        type Damage = fn(&mut SiteView);
        let damaged: [(fn() -> SiteView, Damage); 8] = [
            (view, |own| own.mark.clear()),
            (view, |own| own.as_of = "2027-03-12".to_owned()),
            (view, |own| own.entries[0].revision = "7".to_owned()),
            (view, |own| own.entries[0].title = "Released packets and cards".to_owned()),
            (controlled, |own| own.mark = DRAFT_MARK.to_owned()),
            (controlled, |own| own.as_of.clear()),
            (controlled, |own| own.entries[1].effective.clear()),
            (controlled, |own| own.entries[1].title = DRAFT_MARK.to_owned()),
        ];
        for (at, (own, damage)) in damaged.into_iter().enumerate() {
            let mut view = own();
            damage(&mut view);
            let error = index(&theme, &view).expect_err("it is neither");
            assert!(matches!(error, RenderError::State { .. }), "{at}: {error}");
        }
    }

    #[test]
    fn a_template_of_the_binder_may_not_drop_a_reason() {
        let own = "<!DOCTYPE html>{{ site.plant }} {{ site.mark }} {% for entry in site.entries %}{{ entry.tag }} {{ entry.place }} {{ entry.document }} {{ entry.packet_words }} {{ entry.card_words }} {% endfor %}{% for text in site.not_checked %}{{ text }} {% endfor %}{% for text in site.deference %}{{ text }} {% endfor %}";
        let theme = Theme::new(&[("site.html".to_owned(), own.to_owned())], Paper::A4).expect("read");
        let error = index(&theme, &view()).expect_err("the reason is lost");
        let RenderError::Lost { lost, .. } = error else { panic!("{error}") };
        assert_eq!(lost.len(), 1);
        assert!(lost[0].starts_with("MP-PA-101 for P-101: `the card does not fit"), "{lost:?}");
    }

    #[test]
    fn an_address_out_of_the_folder_is_refused() {
        let theme = Theme::new(&[], Paper::A4).expect("built in");
        for address in ["../P-9.html", "/P-9.html", "https://x.example/P-9.html", "javascript:x", "a//b", ""] {
            let mut view = view();
            view.entries[0].packet_html = Some(address.to_owned());
            let error = index(&theme, &view).expect_err(address);
            assert_eq!(error, RenderError::Address { address: address.to_owned() });
        }
    }

    #[test]
    fn an_empty_plant_says_so() {
        let empty = SiteView { entries: Vec::new(), ..view() };
        let html = index(&Theme::new(&[], Paper::A4).expect("built in"), &empty).expect("rendered");
        assert!(html.contains("Nothing was built."));
    }
}
