//! The packet of one tag as one HTML file that asks nobody for anything; it knows no disk, clock or network.

use crate::base::stamp::{RELEASED, Stamp, State};
use crate::packet::change::since::Since;
use crate::packet::identity::Identity;
use crate::packet::view::{Block, Entry, EntryKind, Figure, Packet};
use crate::render::Figures;
use crate::render::around::Around;
use crate::render::conserve;
use crate::render::drawing;
use crate::render::error::RenderError;
use crate::render::theme::Theme;
use serde::Serialize;
use std::collections::BTreeMap;

/// Everything a packet template sees; the JSON form of this is the view.
#[derive(Debug, Serialize)]
pub struct Page<'a> {
    /// The compiled packet.
    pub packet: &'a Packet,
    /// How the packet is recognised.
    pub identity: &'a Identity,
    /// How the card of the same tag is recognised.
    pub face: &'a Identity,
    /// Whether it may be used.
    pub stamp: &'a Stamp,
    /// What changed since the revision before; none where it was not compared.
    pub since: Option<&'a Since>,
    /// The steps with a bar.
    pub changed: Vec<u32>,
    /// The words on every page of a controlled output; empty on a draft.
    pub released: &'static str,
    /// How many steps it has.
    pub steps: usize,
    /// The figures with their bytes.
    pub figures: Vec<PageFigure<'a>>,
    /// The measurements of the record sheet, one row per place.
    pub measured: Vec<RecordRow<'a>>,
    /// The other entries of the record sheet, one row per place.
    pub written: Vec<RecordRow<'a>>,
}

/// A figure as the page holds it.
#[derive(Debug, Serialize)]
pub struct PageFigure<'a> {
    /// From 1.
    pub number: u32,
    /// The bytes as a `data:` address.
    pub source: String,
    /// What it shows.
    pub alt: &'a str,
    /// Caption; may be empty.
    pub caption: &'a str,
    /// The first step that shows it; none where it stands in a note.
    pub step: Option<u32>,
}

/// A row of the record sheet: one reading at one place.
#[derive(Debug, Serialize)]
pub struct RecordRow<'a> {
    /// The reading's name.
    pub name: &'a str,
    /// Where it is taken; empty where there is only one place.
    pub place: &'a str,
    /// The limit, or empty.
    pub limit: &'a str,
    /// The unit, or empty.
    pub unit: &'a str,
    /// The instrument's number, or empty.
    pub instrument: &'a str,
    /// The steps that fill it (`13, 31`).
    pub steps: String,
    /// The blanks at the steps whose entries belong into the column `as found`.
    pub found: Vec<String>,
    /// The blanks whose entries belong into the column `as left`, or into the only one.
    pub left: Vec<String>,
}

/// Returns the packet as HTML, after finding everything of the packet again in its text.
///
/// # Errors
///
/// A template that cannot be filled, a figure or a sign that is missing, or a text of the packet that the page lost.
pub fn packet(theme: &Theme, packet: &Packet, around: &Around<'_>, figures: &Figures) -> Result<String, RenderError> {
    check_signs(packet)?;
    let Around { identity, face, stamp, since } = *around;
    let output = format!("packet {} for {}", packet.document, packet.tag);
    let page = Page {
        packet,
        identity,
        face,
        stamp,
        since,
        changed: since.map(|since| since.steps.iter().copied().collect()).unwrap_or_default(),
        released: if stamp.state == State::Controlled { RELEASED } else { "" },
        steps: packet.stages.iter().map(|stage| stage.steps.len()).sum(),
        figures: page_figures(packet, figures)?,
        measured: record_rows(packet, Sheet::Measured),
        written: record_rows(packet, Sheet::Written),
    };
    let html = theme.fill_packet(&page)?;
    let text = theme.packet_text(&html);
    if let Some(reason) = conserve::looks_alike(stamp, &text).pop() {
        return Err(RenderError::State { output, reason });
    }
    let mut lost = conserve::missing(&conserve::expectations(packet, around), &text);
    lost.extend(bars_lost(&html, packet, since));
    let joints = packet.stages.iter().flat_map(|stage| &stage.steps).flat_map(|step| &step.joints);
    let undrawn =
        joints.filter(|joint| joint.pattern.as_ref().is_some_and(|own| !html.contains(&drawing::pattern(own))));
    lost.extend(undrawn.map(|joint| format!("joint `{}`: the drawing of its tightening order", joint.name)));
    let template = "packet.html".to_owned();
    if !lost.is_empty() {
        return Err(RenderError::Lost { output, template, lost });
    }
    let found = theme.packet_outward(&html);
    if found.is_empty() { Ok(html) } else { Err(RenderError::Outward { output, template, found }) }
}

/// Returns the steps whose bar the page lost, or that have one and did not change.
fn bars_lost(html: &str, packet: &Packet, since: Option<&Since>) -> Vec<String> {
    let steps = packet.stages.iter().flat_map(|stage| &stage.steps).map(|step| step.number);
    let has_bar = |number: u32| html.contains(&format!("<li class=\"step changed\" id=\"step-{number}\""));
    let wanted = |number: u32| since.is_some_and(|since| since.steps.contains(&number));
    let wrong = steps.filter(|number| has_bar(*number) != wanted(*number));
    wrong.map(|number| format!("step {number}: whether a bar stands beside it")).collect()
}

fn check_signs(packet: &Packet) -> Result<(), RenderError> {
    let in_steps = packet.stages.iter().flat_map(|stage| &stage.steps).flat_map(|step| &step.cautions);
    match packet.cautions.iter().chain(in_steps).find(|caution| drawing::sign(&caution.sign).is_none()) {
        Some(caution) => Err(RenderError::UnknownSign { name: caution.sign.clone() }),
        None => Ok(()),
    }
}

fn page_figures<'a>(packet: &'a Packet, figures: &Figures) -> Result<Vec<PageFigure<'a>>, RenderError> {
    let steps = figure_steps(packet);
    packet.figures.iter().map(|figure| page_figure(figure, figures, steps.get(&figure.number).copied())).collect()
}

fn page_figure<'a>(figure: &'a Figure, figures: &Figures, step: Option<u32>) -> Result<PageFigure<'a>, RenderError> {
    let bytes = figures.get(&figure.path).ok_or_else(|| RenderError::MissingFigure { path: figure.path.clone() })?;
    let media = media_type(bytes).ok_or_else(|| RenderError::UnknownFigure { path: figure.path.clone() })?;
    let source = format!("data:{media};base64,{}", data_encoding::BASE64.encode(bytes));
    Ok(PageFigure { number: figure.number, source, alt: &figure.alt, caption: &figure.caption, step })
}

/// Returns what the bytes are, by what they say and not by their name.
fn media_type(bytes: &[u8]) -> Option<&'static str> {
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        Some("image/png")
    } else if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
        Some("image/jpeg")
    } else {
        let text = std::str::from_utf8(bytes).ok()?;
        text.contains("<svg").then_some("image/svg+xml")
    }
}

/// Returns for each figure the first step that shows it.
fn figure_steps(packet: &Packet) -> BTreeMap<u32, u32> {
    let mut steps = BTreeMap::new();
    for step in packet.stages.iter().flat_map(|stage| &stage.steps) {
        for number in figure_numbers(&step.blocks) {
            steps.entry(number).or_insert(step.number);
        }
    }
    steps
}

fn figure_numbers(blocks: &[Block]) -> Vec<u32> {
    let mut numbers = Vec::new();
    for block in blocks {
        match block {
            Block::Figure { number } => numbers.push(*number),
            Block::List { items, .. } => numbers.extend(items.iter().flat_map(|item| figure_numbers(item))),
            Block::Paragraph { .. } | Block::Table { .. } => {}
        }
    }
    numbers
}

/// Which table of the record sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sheet {
    Measured,
    Written,
}

impl Sheet {
    fn holds(self, kind: EntryKind) -> bool {
        match self {
            Self::Measured => kind == EntryKind::Measurement,
            Self::Written => kind != EntryKind::Measurement,
        }
    }
}

/// A blank at a step: its entry and the identifier of its first input without the place.
struct Blank<'a> {
    entry: &'a Entry,
    id: String,
}

fn record_rows(packet: &Packet, sheet: Sheet) -> Vec<RecordRow<'_>> {
    let blanks = blanks(packet);
    let mut rows = Vec::new();
    for reading in packet.readings.iter().filter(|reading| sheet.holds(reading.entry.kind)) {
        let entry = &reading.entry;
        let filled = blanks.get(entry.name.as_str()).map_or(&[][..], Vec::as_slice);
        let steps: Vec<String> = reading.steps.iter().map(u32::to_string).collect();
        for (index, place) in entry.places.iter().enumerate() {
            let ids = |is_found: bool| -> Vec<String> {
                filled
                    .iter()
                    .filter(|blank| (blank.entry.moment == "as found") == is_found)
                    .map(|blank| format!("{}p{index}", blank.id))
                    .collect()
            };
            rows.push(RecordRow {
                name: &entry.name,
                place,
                limit: &entry.limit,
                unit: &entry.unit,
                instrument: entry.instrument.as_ref().map_or("", |instrument| instrument.id.as_str()),
                steps: steps.join(", "),
                found: ids(true),
                left: ids(false),
            });
        }
    }
    rows
}

/// Returns the blanks of all steps by the name of their reading.
fn blanks(packet: &Packet) -> BTreeMap<&str, Vec<Blank<'_>>> {
    let mut blanks: BTreeMap<&str, Vec<Blank<'_>>> = BTreeMap::new();
    for step in packet.stages.iter().flat_map(|stage| &stage.steps) {
        for (index, entry) in step.entries.iter().enumerate() {
            let blank = Blank { entry, id: format!("s{}e{index}", step.number) };
            blanks.entry(&entry.name).or_default().push(blank);
        }
    }
    blanks
}

#[cfg(test)]
mod tests {
    use super::{Around, Figures, Since, Stamp, conserve, packet};
    use crate::base::paper::Paper;
    use crate::packet::view::{Block, Run, RunKind};
    use crate::render::error::RenderError;
    use crate::render::sample;
    use crate::render::theme::Theme;
    use sha2::{Digest as _, Sha256};

    fn render(own: &[(String, String)]) -> Result<String, RenderError> {
        let theme = Theme::new(own, Paper::A4)?;
        let view = sample::packet();
        let (identity, face) = sample::identities(&view);
        packet(&theme, &view, &Around::of(&identity, &face, &sample::draft(&view)), &sample::figures())
    }

    fn built_in() -> String {
        render(&[]).expect("the built-in template loses nothing")
    }

    /// Returns what stands between two marks, once.
    fn between<'a>(text: &'a str, open: &str, close: &str) -> &'a str {
        let start = text.find(open).expect(open) + open.len();
        &text[start..start + text[start..].find(close).expect(close)]
    }

    #[test]
    #[expect(clippy::disallowed_methods, reason = "a page may be asked for, to be looked at")]
    fn the_sample_is_rendered_to_the_same_bytes_twice() {
        let html = built_in();
        assert_eq!(html, built_in());
        if let Ok(path) = std::env::var("PACKET_HTML") {
            std::fs::write(path, html).expect("written");
        }
    }

    fn controlled(stamp: &Stamp, since: Option<&Since>, own: &[(String, String)]) -> Result<String, RenderError> {
        let theme = Theme::new(own, Paper::A4)?;
        let view = sample::packet();
        let (identity, face) = sample::identities(&view);
        let around = Around { since, ..Around::of(&identity, &face, stamp) };
        packet(&theme, &view, &around, &sample::figures())
    }

    #[test]
    #[expect(clippy::disallowed_methods, reason = "a page may be asked for, to be looked at")]
    fn a_controlled_packet_says_on_whose_word_it_may_be_used() {
        let view = sample::packet();
        let html = controlled(&sample::temporary(&view), Some(&sample::since(&view)), &[]).expect("nothing is lost");
        if let Ok(path) = std::env::var("CONTROLLED_HTML") {
            std::fs::write(path, &html).expect("written");
        }
        let text = crate::render::text::html_text(&html);
        for wanted in [
            "Released as record 000123 91eb3f00a1b2",
            "2027-03-12",
            "effective 2027-03-14",
            "2028-03-14",
            "TEMPORARY CHANGE. Last day: 2027-04-30.",
            "revision 5",
            "C. Preparer 2027-03-09T07:30:00Z prepared",
            "A. Sample 2027-03-10T09:00:00Z approved for use",
            "Compared with revision 6",
        ] {
            assert!(conserve::fold(&text).contains(wanted), "{wanted}: {text}");
        }
        assert!(!html.contains("DRAFT"));
        assert!(!built_in().contains("Released as"), "a draft never says so");
    }

    #[test]
    fn a_bar_stands_beside_what_changed_and_nothing_else() {
        let view = sample::packet();
        let since = sample::since(&view);
        assert!(!since.steps.is_empty() && !since.gone.is_empty() && !since.changes.is_empty(), "{since:?}");
        let html = controlled(&sample::controlled(&view), Some(&since), &[]).expect("nothing is lost");
        assert_eq!(html.matches("<li class=\"step changed\"").count(), since.steps.len());
        assert!(!html.contains("TEMPORARY"));
        let template = include_str!("../../templates/packet.html");
        for (part, put) in [
            ("{% if no in changed %} changed{% endif %}", ""),
            ("{% if no in changed %} changed{% endif %}", " changed"),
            (
                "<td data-head=\"Was\">{% if change.from %}{{ change.from }}",
                "<td data-head=\"Was\">{% if change.from %}",
            ),
            ("{{ stamp.last_day }}", ""),
            ("<td data-head=\"Meaning\">{{ approval.meaning }}</td>", ""),
            ("Review by</dt><dd class=\"nb\">{{ stamp.review_by }}", "Review by</dt><dd class=\"nb\">"),
            ("{{ stamp.record }}", ""),
            ("<dd class=\"nb\">{{ stamp.as_of }}</dd>", ""),
        ] {
            assert!(template.contains(part), "{part}");
            let own = [("packet.html".to_owned(), template.replace(part, put))];
            let error = controlled(&sample::temporary(&view), Some(&since), &own).expect_err(part);
            assert!(matches!(error, RenderError::Lost { .. }), "{part}: {error}");
        }
    }

    #[test]
    fn a_first_release_says_so_and_an_equal_one_too() {
        let view = sample::packet();
        let first = controlled(&sample::controlled(&view), Some(&Since::first()), &[]).expect("nothing is lost");
        assert!(first.contains("First release for this machine."));
        let same = Since::between("6", &view, &view);
        let same = controlled(&sample::controlled(&view), Some(&same), &[]).expect("nothing is lost");
        assert!(same.contains("Nothing changed in meaning.") && !same.contains("step changed\""));
    }

    /// Whatever a template or an author does, neither can be taken for the other.
    #[test]
    fn a_draft_and_a_controlled_packet_cannot_be_taken_for_each_other() {
        let view = sample::packet();
        let template = include_str!("../../templates/packet.html");
        let with = |words: &str| {
            vec![("packet.html".to_owned(), template.replace("<main>", &format!("<main><p>{words}</p>")))]
        };
        let own = with("Released as record 000123 91eb3f00a1b2");
        assert!(matches!(render(&own), Err(RenderError::State { .. })), "a draft that says it was released");
        let own = with("draft - NOT for use");
        let made = controlled(&sample::controlled(&view), None, &own);
        assert!(matches!(made, Err(RenderError::State { .. })), "a controlled packet with the mark of a draft");
        let unmarked = Stamp { mark: String::new(), ..sample::draft(&view) };
        assert!(matches!(controlled(&unmarked, None, &[]), Err(RenderError::State { .. })), "a draft without its mark");
        let nobody = Stamp { approvals: Vec::new(), ..sample::controlled(&view) };
        assert!(matches!(controlled(&nobody, None, &[]), Err(RenderError::State { .. })), "approved by nobody");
    }

    #[test]
    fn the_policy_names_exactly_the_style_and_script_of_the_page() {
        let html = built_in();
        let policy = between(&html, "Content-Security-Policy\" content=\"", "\"");
        for (open, close, directive) in [("<style>", "</style>", "style-src"), ("<script>", "</script>", "script-src")]
        {
            let digest = data_encoding::BASE64.encode(&Sha256::digest(between(&html, open, close).as_bytes()));
            assert!(policy.contains(&format!("{directive} 'sha256-{digest}'")), "{directive}: {policy}");
            assert_eq!(html.matches(open).count(), 1);
        }
        assert!(policy.starts_with("default-src 'none';"));
        assert!(!policy.contains("unsafe"));
    }

    #[test]
    fn the_page_asks_nobody_for_anything() {
        let html = built_in();
        for forbidden in
            ["<link", "@import", "url(", "<iframe", "<object", " style=", " onclick", " srcset", " action="]
        {
            assert!(!html.contains(forbidden), "{forbidden}");
        }
        for source in html.split(" src=\"").skip(1) {
            assert!(source.starts_with("data:image/"), "{}", &source[..40]);
        }
        for address in html.split(" href=\"").skip(1) {
            assert!(address.starts_with('#'), "{}", &address[..40]);
        }
    }

    #[test]
    fn what_an_author_wrote_is_inert() {
        let mut view = sample::packet();
        let evil = "</script><script>alert(1)</script><img src=x onerror=alert(1)> {{ css }} & \"'";
        view.tag = evil.to_owned();
        view.figures[0].alt = evil.to_owned();
        view.stages[0].steps[0].blocks = vec![Block::Paragraph {
            line: vec![
                Run { kind: RunKind::Value, text: evil.to_owned(), href: None },
                Run { kind: RunKind::Link, text: evil.to_owned(), href: Some("javascript:alert(1)".to_owned()) },
                Run { kind: RunKind::Link, text: "x".to_owned(), href: Some("https://x.example/\"><u>".to_owned()) },
            ],
        }];
        let (identity, face) = sample::identities(&view);
        let theme = Theme::new(&[], Paper::A4).expect("built in");
        let html = packet(&theme, &view, &Around::of(&identity, &face, &sample::draft(&view)), &sample::figures())
            .expect("rendered");
        assert_eq!(html.matches("<script>").count(), 1);
        assert!(!html.contains("<img src=x"));
        assert!(!html.contains("href=\"javascript:"));
        assert!(!html.contains("<u>"));
        assert!(html.contains("<span>(javascript:alert(1))</span>"), "an address that is not followed is still read");
    }

    /// Returns the built-in template with one stretch taken out.
    fn without(part: &str) -> Vec<(String, String)> {
        let text = include_str!("../../templates/packet.html");
        assert!(text.contains(part), "{part}");
        vec![("packet.html".to_owned(), text.replace(part, ""))]
    }

    #[test]
    fn a_template_that_loses_something_is_refused() {
        for (part, named) in [
            ("{{ block.line | line }}</span>", "step 1: `Compare the tag plate"),
            ("{{ caution.avoid | line }}", "caution before step 4: `Do not loosen anything"),
            ("{{ hold.verify | line }}", "hold point `H1`: `The motor does not turn"),
            ("<b>{{ stage.torque }}</b></span>", "step 34: `half 22 N·m` (not at its step)"),
            (
                "{%- for joint in step.joints %}{{ <joint joint={joint} standing={standing} heading={4}/> }}{% endfor -%}",
                "step 34: `casing closure` (not at its step)",
            ),
            ("<b class=\"hold-id\">{{ hold.id }}</b>", "hold point `H1`: `H1` (not at its step)"),
            ("class=\"count\">{{ part.count }}</td>", "kit, `casing O-ring`: `1` (not in its row)"),
            ("{{ joint.pattern | pattern }}", "joint `casing closure`: the drawing"),
            ("<h2>{{ standing.deference }}</h2>", "what stands in every packet: `What comes before"),
            ("<dt>Place</dt><dd>{{ packet.place }}</dd>", "place: `Filling hall, bay 7`"),
            ("{% for text in packet.not_checked %}<li>{{ text }}</li>{% endfor %}", "not checked: `The sentences"),
            (
                "<span class=\"no\">{{ no }}</span>",
                "step 1: `Compare the tag plate with this packet. Record the tag.` (without its number)",
            ),
        ] {
            match render(&without(part)) {
                Err(RenderError::Lost { lost, .. }) => {
                    assert!(lost.iter().any(|line| line.starts_with(named)), "{part}: {lost:?}");
                }
                Ok(_) => panic!("{part} was not missed"),
                Err(error) => panic!("{part}: {error}"),
            }
        }
    }

    #[test]
    fn a_template_that_loses_a_limit_or_the_role_of_a_hold_point_is_refused() {
        let mut view = sample::packet();
        for joint in view.stages.iter_mut().flat_map(|stage| &mut stage.steps).flat_map(|step| &mut step.joints) {
            joint.role = crate::packet::view::TorqueRole::Limit;
            joint.left_hand = true;
        }
        for (parts, named) in [
            (&["<strong>{{ standing.limit }}</strong>"][..], "step 30: `LIMIT: never pass it"),
            (&["<strong>{{ standing.left_hand }}</strong>"], "step 30: `LEFT-HAND THREAD"),
            (
                &["<span class=\"role\">{{ hold.role }}</span>", " ~ \" (\" ~ hold.role ~ \")\""],
                "hold point `H1`: `isolation authority` (not at its step)",
            ),
        ] {
            let mut text = include_str!("../../templates/packet.html").to_owned();
            for part in parts {
                assert!(text.contains(part), "{part}");
                text = text.replace(part, "");
            }
            let theme = Theme::new(&[("packet.html".to_owned(), text)], Paper::A4).expect("sound");
            let (identity, face) = sample::identities(&view);
            let made = packet(&theme, &view, &Around::of(&identity, &face, &sample::draft(&view)), &sample::figures());
            let Err(RenderError::Lost { lost, .. }) = made else { panic!("{named} was not missed") };
            assert!(lost.iter().any(|line| line.starts_with(named)), "{named}: {lost:?}");
        }
    }

    #[test]
    fn what_the_plant_accepted_is_printed_each_with_its_own_reason() {
        let view = sample::packet_with_accepted_findings();
        let (identity, face) = sample::identities(&view);
        let built_in = include_str!("../../templates/packet.html");
        let print = |text: String| {
            let theme = Theme::new(&[("packet.html".to_owned(), text)], Paper::A4).expect("sound");
            packet(&theme, &view, &Around::of(&identity, &face, &sample::draft(&view)), &sample::figures())
        };
        let html = print(built_in.to_owned()).expect("nothing is lost");
        assert!(html.contains("<td data-head=\"Reason\">The guard hangs on a hinge.</td>"));
        let reason = "<td data-head=\"Reason\">{{ one.reason }}</td>";
        assert!(built_in.contains(reason));
        let elsewhere = "{% for one in packet.accepted_findings %}<p>{{ one.reason }}</p>{% endfor %}</main>";
        let apart = built_in.replace(reason, "").replace("</main>", elsewhere);
        for text in [built_in.replace(reason, ""), apart] {
            let Err(RenderError::Lost { lost, .. }) = print(text) else { panic!("a reason was not missed") };
            let named = "accepted finding `torque-without-step`: `The guard hangs on a hinge.`";
            assert!(lost.iter().any(|line| line.starts_with(named)), "{lost:?}");
        }
    }

    #[test]
    fn a_template_that_asks_somebody_for_something_is_refused() {
        let built_in = include_str!("../../templates/packet.html");
        let meta = "<meta http-equiv=\"Content-Security-Policy\" content=\"{{ policy }}\">";
        assert!(built_in.contains(meta));
        for text in [
            built_in.replace("</body>", "<script src=\"https://x.example/x.js\"></script></body>"),
            built_in.replace("</body>", "<img alt=\"\" src=\"logo.png\"></body>"),
            built_in.replace(meta, ""),
            built_in.replace("{{ policy }}", "default-src *"),
        ] {
            let error = render(&[("packet.html".to_owned(), text)]).expect_err("it leads outside");
            assert!(matches!(error, RenderError::Outward { .. }), "{error}");
        }
    }

    #[test]
    fn a_template_of_the_binder_takes_the_place_of_the_built_in_one() {
        let text = include_str!("../../templates/packet.html").replace("Hazards of this job", "What can hurt you");
        let html = render(&[("packet.html".to_owned(), text)]).expect("nothing is lost");
        assert!(html.contains("What can hurt you"));
    }

    #[test]
    fn a_template_that_cannot_be_read_is_named_with_its_place() {
        let error = render(&[("packet.html".to_owned(), "{% for %}".to_owned())]).expect_err("broken");
        let text = error.to_string();
        assert!(text.starts_with("template `packet.html` cannot be used") && text.contains('1'), "{text}");
        let error = render(&[("packet.html".to_owned(), "{{ packet.tagg }}".to_owned())]).expect_err("unknown name");
        assert!(error.to_string().contains("tagg"), "{error}");
        let error = render(&[("pakcet.html".to_owned(), String::new())]).expect_err("misspelt");
        assert_eq!(error, RenderError::UnknownTemplate { name: "pakcet.html".to_owned() });
    }

    #[test]
    fn a_missing_figure_an_odd_figure_and_an_unknown_sign_are_refused() {
        let theme = Theme::new(&[], Paper::A4).expect("built in");
        let mut view = sample::packet();
        let (identity, face) = sample::identities(&view);
        let stamp = sample::draft(&view);
        let path = view.figures[0].path.clone();
        let error =
            packet(&theme, &view, &Around::of(&identity, &face, &stamp), &Figures::new()).expect_err("no bytes");
        assert_eq!(error, RenderError::MissingFigure { path: path.clone() });
        let odd = Figures::from([(path.clone(), b"GIF89a".to_vec())]);
        let error = packet(&theme, &view, &Around::of(&identity, &face, &stamp), &odd).expect_err("a GIF");
        assert_eq!(error, RenderError::UnknownFigure { path });
        view.stages[1].steps[0].cautions[0].sign = "radiation".to_owned();
        let error =
            packet(&theme, &view, &Around::of(&identity, &face, &stamp), &sample::figures()).expect_err("no such sign");
        assert_eq!(error, RenderError::UnknownSign { name: "radiation".to_owned() });
    }

    #[test]
    fn the_record_sheet_knows_which_blank_fills_which_cell() {
        let view = sample::packet();
        let rows = super::record_rows(&view, super::Sheet::Measured);
        let gap = rows.iter().find(|row| row.name == "gap").expect("measured");
        assert_eq!(
            (gap.found.as_slice(), gap.left.as_slice()),
            (&["s13e0p0".to_owned()][..], &["s31e0p0".to_owned()][..])
        );
        assert_eq!(
            (gap.limit, gap.unit, gap.instrument, gap.steps.as_str()),
            ("0.8 to 1.2\u{a0}mm", "mm", "FG-1", "13, 31")
        );
        let html = built_in();
        for row in rows.iter().chain(&super::record_rows(&view, super::Sheet::Written)) {
            for id in row.found.iter().chain(&row.left) {
                assert!(html.contains(&format!("<input type=\"text\" id=\"{id}\"")), "{id}");
                assert!(html.contains(&format!("data-of=\"{id}\"")), "{id}");
            }
        }
    }

    #[test]
    fn the_paper_of_the_plant_decides_the_page() {
        for (paper, size) in [(Paper::A4, "@page { size: A4;"), (Paper::Letter, "@page { size: letter;")] {
            let theme = Theme::new(&[], paper).expect("built in");
            let view = sample::packet();
            let (identity, face) = sample::identities(&view);
            let html = packet(&theme, &view, &Around::of(&identity, &face, &sample::draft(&view)), &sample::figures())
                .expect("made");
            assert!(html.contains(size), "{size}");
        }
    }
}
