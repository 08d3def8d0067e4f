//! From a compiled packet to the bytes of its PDF: A4 or Letter, tagged, read back before it is handed out; it knows no disk and no clock.

use serde::Serialize;
use typst::foundations::Bytes;

use crate::base::paper::Paper;
use crate::base::stamp::{RELEASED, Stamp, State};
use crate::packet::change::since::Since;
use crate::packet::identity::Identity;
use crate::packet::view::{Packet, Standing, Step};
use crate::render::around::Around;
use crate::render::artwork::Artwork;
use crate::render::pdf_error::PdfError;
use crate::render::proof::broken_packet_rules;
use crate::render::readback;
use crate::render::typeset::{Data, Imprint, Opening};

use crate::render::Figures;
pub use crate::render::typeset::{Press, Templates};

/// What is printed around the packet, as the template reads it from `/sheet.json`.
#[derive(Debug, Serialize)]
struct Sheet<'a> {
    identity: &'a Identity,
    face: &'a Identity,
    stamp: &'a Stamp,
    since: Option<&'a Since>,
    /// The words on every page of a controlled output; empty on a draft.
    released: &'static str,
    paper: Paper,
    standing: &'a Standing,
    artwork: &'a Artwork,
}

/// Returns the packet as PDF.
///
/// # Errors
/// When a figure or sign is missing, a template does not compile, the pages do not meet PDF/A-2a and PDF/UA-1, or
/// something of the packet is not found again in the finished text.
pub fn packet(
    press: &Press,
    packet: &Packet,
    around: &Around<'_>,
    figures: &Figures,
    paper: Paper,
) -> Result<Vec<u8>, PdfError> {
    let Around { identity, face, stamp, since } = *around;
    let released = if stamp.state == State::Controlled { RELEASED } else { "" };
    let mut data = Data::new();
    let mut artwork = Artwork::default();
    artwork.add_figures(&packet.figures, figures, &mut data)?;
    artwork.add_signs(packet.cautions.iter().chain(steps(packet).flat_map(|step| &step.cautions)), &mut data)?;
    artwork.add_patterns(packet.joints.iter().chain(steps(packet).flat_map(|step| &step.joints)), &mut data);
    data.insert("packet.json".to_owned(), json(packet));
    data.insert(
        "sheet.json".to_owned(),
        json(&Sheet { identity, face, stamp, since, released, paper, standing: &packet.standing, artwork: &artwork }),
    );
    let pages = press.lay_out(Opening::Packet, data)?;
    let ident = format!("matchmark packet {} {} {}", packet.document, packet.tag, identity.digest);
    let bytes = Press::export(&pages, &Imprint { ident, date: stamp.effective.clone() })?;
    let broken = broken_packet_rules(&readback::pages(&bytes)?, packet, around);
    if broken.is_empty() { Ok(bytes) } else { Err(PdfError::Layout(broken)) }
}

/// Returns the data of a virtual file.
pub(crate) fn json(value: &impl Serialize) -> Bytes {
    Bytes::new(serde_json::to_vec(value).expect("a view holds only text, numbers and lists"))
}

fn steps(packet: &Packet) -> impl Iterator<Item = &Step> {
    packet.stages.iter().flat_map(|stage| &stage.steps)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::stamp::DRAFT_MARK;
    use crate::packet::view::{Block, Run, RunKind};
    use crate::render::conserve;
    use crate::render::readback::PageText;
    use crate::render::sample;
    use std::sync::OnceLock;

    use hayro_interpret::hayro_syntax::Pdf;
    use hayro_interpret::hayro_syntax::object::{Name, Object};

    fn print(press: &Press, view: &Packet, stamp: &Stamp, paper: Paper) -> Result<Vec<u8>, PdfError> {
        let (identity, face) = sample::identities(view);
        packet(press, view, &Around::of(&identity, &face, stamp), &sample::figures(), paper)
    }

    /// Returns the sample on A4, made once for all tests of a process.
    fn sample_bytes() -> &'static [u8] {
        static BYTES: OnceLock<Vec<u8>> = OnceLock::new();
        BYTES.get_or_init(|| {
            let view = sample::packet();
            print(&Press::built_in(), &view, &sample::draft(&view), Paper::A4).unwrap()
        })
    }

    /// A hyphen slides far under the arm of a T and the slant of a V or Y; that is how the face is cut, and no overprint.
    #[test]
    fn letters_that_are_cut_to_slide_together_are_no_overprint() {
        let mut view = sample::packet();
        view.kit.parts[0].number = "LN-TA2-VA-YT-A-V".to_owned();
        let bytes = print(&Press::built_in(), &view, &sample::draft(&view), Paper::A4);
        assert!(bytes.is_ok(), "{:?}", bytes.map(|bytes| bytes.len()));
    }

    fn sample_pages() -> Vec<PageText> {
        readback::pages(sample_bytes()).unwrap()
    }

    fn pages_of(view: &Packet, paper: Paper) -> Vec<PageText> {
        let bytes = print(&Press::built_in(), view, &sample::draft(view), paper).unwrap();
        readback::pages(&bytes).unwrap()
    }

    fn text_run(text: &str) -> Run {
        Run { kind: RunKind::Text, text: text.to_owned(), href: None }
    }

    #[test]
    fn pages_are_exactly_a4_or_letter() {
        let view = sample::packet();
        // ISO 216: 210 by 297 mm; ANSI/ASME Y14.1: 8.5 by 11 in.
        for (paper, width, height) in [(Paper::A4, 595.276, 841.890), (Paper::Letter, 612.0, 792.0)] {
            for page in pages_of(&view, paper) {
                assert!((page.width - width).abs() < 0.01 && (page.height - height).abs() < 0.01, "{paper:?}");
            }
        }
    }

    #[test]
    fn every_page_says_what_it_belongs_to() {
        let view = sample::packet();
        let (identity, _) = sample::identities(&view);
        let pages = sample_pages();
        assert!(pages.len() > 10);
        for (at, page) in pages.iter().enumerate() {
            let text = conserve::fold(&page.text());
            let number = format!("page {} of {}", at + 1, pages.len());
            for wanted in ["MP-PA-101", "P-133", "revision draft", &identity.words, &number] {
                assert!(text.contains(wanted), "page {} lacks `{wanted}`", at + 1);
            }
            // Once across the page, once in its foot.
            assert_eq!(text.matches(&conserve::fold(DRAFT_MARK)).count(), 2, "page {}: {text}", at + 1);
        }
    }

    #[test]
    fn all_of_the_packet_is_found_again() {
        let view = sample::packet();
        let (identity, face) = sample::identities(&view);
        let text = readback::text(sample_bytes()).unwrap();
        let expected = conserve::expectations(&view, &Around::of(&identity, &face, &sample::draft(&view)));
        assert_eq!(conserve::missing(&expected, &text), Vec::<String>::new());
        assert!(text.contains("— end of steps —"));
    }

    #[test]
    fn no_type_is_smaller_than_ten_points() {
        for page in sample_pages() {
            for glyph in &page.glyphs {
                assert!(glyph.size > 9.95, "`{}` in {:.2} pt", glyph.text, glyph.size);
            }
        }
    }

    #[test]
    fn the_file_is_tagged_and_carries_its_fonts() {
        let pdf = Pdf::new(sample_bytes().to_vec()).unwrap();
        let (mut fonts, mut pictures, mut headings, mut tables) = (0, 0, 0, 0);
        for object in pdf.objects() {
            let Object::Dict(dict) = object else { continue };
            let named = |key: &[u8]| dict.get::<Name<'_>>(key).map(|name| name.as_ref().to_vec());
            if named(b"Type").as_deref() == Some(b"FontDescriptor") {
                fonts += 1;
                assert!(dict.contains_key(b"FontFile2".as_slice()), "a font is not embedded");
            }
            match named(b"S").as_deref() {
                Some(b"Figure") => {
                    pictures += 1;
                    assert!(dict.contains_key(b"Alt".as_slice()), "a picture has no alternative text");
                }
                Some(b"H1" | b"H2") => headings += 1,
                Some(b"Table") => tables += 1,
                _ => {}
            }
        }
        assert!(fonts >= 3 && pictures >= 10 && headings > 20 && tables > 10, "{fonts} {pictures} {headings} {tables}");
    }

    #[test]
    fn the_same_packet_is_the_same_bytes_on_every_thread() {
        let press = Press::built_in();
        let view = sample::packet();
        let stamp = sample::draft(&view);
        let first = sample_bytes();
        std::thread::scope(|scope| {
            let threads: Vec<_> =
                (0..3).map(|_| scope.spawn(|| print(&press, &view, &stamp, Paper::A4).unwrap())).collect();
            for thread in threads {
                assert!(thread.join().unwrap() == first, "another thread made other bytes");
            }
        });
    }

    fn print_controlled(stamp: &Stamp, since: Option<&Since>, templates: &Templates) -> Result<Vec<u8>, PdfError> {
        let view = sample::packet();
        let (identity, face) = sample::identities(&view);
        let around = Around { since, ..Around::of(&identity, &face, stamp) };
        packet(&Press::new(templates), &view, &around, &sample::figures(), Paper::A4)
    }

    #[test]
    #[expect(clippy::disallowed_methods, reason = "pages may be asked for, to be looked at")]
    fn a_controlled_packet_says_on_every_page_what_it_is() {
        let view = sample::packet();
        let since = sample::since(&view);
        let bytes = print_controlled(&sample::temporary(&view), Some(&since), &Templates::built_in()).unwrap();
        if let Ok(path) = std::env::var("CONTROLLED_PDF") {
            std::fs::write(path, &bytes).unwrap();
        }
        let pages = readback::pages(&bytes).unwrap();
        for (at, page) in pages.iter().enumerate() {
            let text = conserve::fold(&page.text());
            for wanted in [
                "Released as record 000123 91eb3f00a1b2, ledger as of 2027-03-12",
                "review by 2028-03-14",
                "revision 7, effective 2027-03-14",
                "TEMPORARY CHANGE. Last day: 2027-04-30.",
            ] {
                assert!(text.contains(wanted), "page {}: {wanted}", at + 1);
            }
            assert!(!text.contains("DRAFT"), "page {}", at + 1);
        }
        let text = conserve::fold(&readback::text(&bytes).unwrap());
        for wanted in ["A. Sample 2027-03-10T09:00:00Z approved for use", "C. Preparer", "prepared", "revision 5"] {
            assert!(text.contains(wanted), "{wanted}");
        }
        assert!(!readback::text(sample_bytes()).unwrap().contains("Released as"), "a draft never says so");
    }

    /// A bar is a line of its own in the margin: as many as steps that changed, each at the height of its number.
    #[test]
    fn a_bar_stands_in_the_margin_beside_what_changed() {
        let view = sample::packet();
        let since = sample::since(&view);
        let bars = |since: Option<&Since>| {
            let bytes = print_controlled(&sample::controlled(&view), since, &Templates::built_in()).unwrap();
            let pages = readback::pages(&bytes).unwrap();
            // The text begins 20 mm from the edge, and the bar stands 3 mm to its left.
            let is_bar =
                |mark: &&kurbo::Rect| (mark.x0 - 48.2).abs() < 2.0 && mark.width() < 3.0 && mark.height() > 20.0;
            pages.iter().map(|page| page.marks.iter().filter(is_bar).count()).sum::<usize>()
        };
        assert_eq!(bars(None), 0);
        assert_eq!(bars(Some(&since)), since.steps.len());
    }

    #[test]
    fn a_first_release_says_so() {
        let view = sample::packet();
        let made = print_controlled(&sample::controlled(&view), Some(&Since::first()), &Templates::built_in());
        assert!(readback::text(&made.unwrap()).unwrap().contains("First release for this machine."));
    }

    #[test]
    fn a_draft_and_a_controlled_packet_cannot_be_taken_for_each_other() {
        let view = sample::packet();
        let (draft, controlled) = (sample::draft(&view), sample::controlled(&view));
        let says = |words: &str| {
            let mut templates = Templates::built_in();
            templates.packet = format!("{}\n#par[{words}]\n", templates.packet);
            templates
        };
        let unmarked = Stamp { mark: String::new(), ..draft.clone() };
        let nobody = Stamp { approvals: Vec::new(), ..controlled.clone() };
        for (stamp, templates, reason) in [
            (&draft, says("Released as record 000123 91eb3f00a1b2"), "a draft may not say"),
            (&controlled, says("Draft - not for use"), "a controlled output may not say"),
            (&unmarked, Templates::built_in(), "a draft never says"),
            (&nobody, Templates::built_in(), "a controlled output says `prepared`"),
        ] {
            let error = print_controlled(stamp, None, &templates).map(|bytes| bytes.len()).unwrap_err();
            let PdfError::Layout(broken) = error else { panic!("{error:?}") };
            assert!(broken.iter().any(|line| line.starts_with(reason)), "{reason}: {broken:?}");
        }
    }

    #[test]
    fn a_template_that_loses_a_value_of_the_stamp_is_refused() {
        let view = sample::packet();
        for part in
            ["*#stamp.last_day*", "#sheet.released *#stamp.record*", "review by *#stamp.review_by*", "it.meaning"]
        {
            let mut templates = Templates::built_in();
            assert!(templates.packet.contains(part), "{part}");
            let put = if part == "it.meaning" { "[]" } else { "" };
            templates.packet = templates.packet.replace(part, put);
            let made = print_controlled(&sample::temporary(&view), None, &templates).map(|bytes| bytes.len());
            assert!(matches!(made, Err(PdfError::Layout(_))), "{part}: {made:?}");
        }
    }

    #[test]
    fn a_template_that_loses_something_is_refused() {
        let mut templates = Templates::built_in();
        let spoken = "for it in step.cautions { panel(it, sheet.artwork.signs) }";
        assert!(templates.packet.contains(spoken));
        templates.packet = templates.packet.replace(spoken, "");
        let view = sample::packet();
        let error = print(&Press::new(&templates), &view, &sample::draft(&view), Paper::A4)
            .map(|bytes| bytes.len())
            .unwrap_err();
        let PdfError::Layout(broken) = error else { panic!("{error:?}") };
        assert!(broken.contains(&"caution `hot caustic` is parted from step 4".to_owned()), "{broken:?}");
        assert!(broken.iter().any(|line| line.starts_with("lost: caution before step 4")), "{broken:?}");
    }

    #[test]
    fn what_the_plant_accepted_is_on_the_page_where_it_is_approved() {
        let view = sample::packet_with_accepted_findings();
        let pages = pages_of(&view, Paper::A4);
        let page =
            pages.iter().find(|page| page.text().contains("Findings accepted by the plant")).expect("it is told");
        assert!(page.text().contains("R. Example") && page.text().contains("2027-03-14"), "{}", page.text());
        let without = pages_of(&sample::packet(), Paper::A4);
        assert!(!without.iter().any(|page| page.text().contains("accepted by the plant")));
    }

    #[test]
    fn a_template_that_breaks_says_where() {
        let mut templates = Templates::built_in();
        templates.packet = "#let x = 1\n#y".to_owned();
        let view = sample::packet();
        let error = print(&Press::new(&templates), &view, &sample::draft(&view), Paper::A4)
            .map(|bytes| bytes.len())
            .unwrap_err();
        assert_eq!(error, PdfError::Template(vec!["templates/packet.typ:2:2: unknown variable: y".to_owned()]));
    }

    #[test]
    fn what_an_author_writes_is_text_and_never_code() {
        let mut view = sample::packet();
        let hostile = r#"Close #panic() *V* _1_ $x$ @y <z> `w` [a] \ // = ~ -- ' " #import "@x/y:1.0.0""#;
        view.stages[0].steps[0].blocks = vec![Block::Paragraph { line: vec![text_run(hostile)] }];
        let bytes = print(&Press::built_in(), &view, &sample::draft(&view), Paper::A4).unwrap();
        let text = conserve::fold(&readback::text(&bytes).unwrap());
        assert!(text.contains(&conserve::fold(hostile)), "{text}");
    }

    #[test]
    fn a_character_without_a_glyph_is_refused() {
        let mut view = sample::packet();
        view.title = "Renew the \u{13000} seal".to_owned();
        let error =
            print(&Press::built_in(), &view, &sample::draft(&view), Paper::A4).map(|bytes| bytes.len()).unwrap_err();
        assert!(matches!(error, PdfError::Standard(_)), "{error:?}");
    }

    #[test]
    fn a_missing_or_unknown_figure_is_named() {
        let view = sample::packet();
        let (identity, face) = sample::identities(&view);
        let stamp = sample::draft(&view);
        let press = Press::built_in();
        let error = packet(&press, &view, &Around::of(&identity, &face, &stamp), &Figures::new(), Paper::A4)
            .map(|bytes| bytes.len())
            .unwrap_err();
        assert_eq!(error, PdfError::MissingFigure("figures/gap.svg".to_owned()));
        let figures = Figures::from([("figures/gap.svg".to_owned(), b"GIF89a".to_vec())]);
        let error = packet(&press, &view, &Around::of(&identity, &face, &stamp), &figures, Paper::A4)
            .map(|bytes| bytes.len())
            .unwrap_err();
        assert_eq!(error, PdfError::FigureFormat("figures/gap.svg".to_owned()));
    }

    #[test]
    fn a_step_higher_than_a_page_runs_on_and_keeps_its_caution() {
        let mut view = sample::packet();
        let step = view.stages[1].steps.iter_mut().find(|step| !step.cautions.is_empty()).unwrap();
        for at in 1..=80 {
            let line = vec![text_run(&format!("Part {at} of a long step, which has a line of its own."))];
            step.blocks.push(Block::Paragraph { line });
        }
        // The proof reads the pages: nothing runs off, the caution stands with the first line.
        let pages = pages_of(&view, Paper::A4);
        assert!(pages.iter().any(|page| page.text().contains("Part 80 of a long step")));
    }
}
