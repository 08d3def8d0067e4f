//! From a card face to the bytes of its PDF at the exact trim size, or a refusal that says what would help; it knows no disk and no clock.
//!
//! A card is a memory aid for trained people. Its type size follows from the distance it is read from; type is never made
//! smaller and nothing is left out to make it fit. Where it does not fit, the card is refused.
//!
//! The printer is always set to two-sided, long edge, 100 %. The second page is the back as it lies on the sheet then: where
//! the card is to be turned about its short edge, as on a ring, that page stands on its head.

use std::fmt;

use serde::Serialize;
use thiserror::Error;

use crate::base::letter::{DETAIL_MINUTES, TEXT_FLOOR, TEXT_MINUTES, WARN_FLOOR, type_size};
use crate::base::stamp::{RELEASED, Stamp, State};
use crate::packet::identity::Identity;
use crate::packet::standing::standing;
use crate::packet::view::{CardPrint, Face, Flip, Joint, Standing, Step};
use crate::render::Figures;
use crate::render::artwork::Artwork;
use crate::render::card_check;
use crate::render::card_layout::{
    Density, GAP, GUTTER, Geometry, Heights, Load, MM, Setting, Side, Sizes, Unit, hole_above, pack,
};
use crate::render::pdf::json;
use crate::render::pdf_error::PdfError;
use crate::render::readback;
use crate::render::typeset::{Data, Imprint, Opening, Press, page_heights};

/// Why a card was not made.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum CardError {
    /// The content does not fit on two sides at the size its reading distance asks for.
    #[error("the card is {over_mm} mm too long for two sides of {width_mm} x {height_mm} mm read from {distance_mm} mm{}", advice(.remedies))]
    DoesNotFit {
        /// By how much the tightest setting is too long.
        over_mm: u32,
        /// Trim width.
        width_mm: u32,
        /// Trim height.
        height_mm: u32,
        /// Reading distance.
        distance_mm: u32,
        /// What was tried and found to fit, the cheapest first.
        remedies: Vec<Remedy>,
    },
    /// The pages could not be set, or the finished card breaks a rule.
    #[error(transparent)]
    Print(#[from] PdfError),
}

/// A change that was tried and makes the card fit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Remedy {
    /// Leave these steps to the packet: the fewest from the end of the card.
    MoveSteps {
        /// Their numbers.
        numbers: Vec<u32>,
    },
    /// Hang the card closer to the reader.
    ReadFrom {
        /// The distance at which it fits.
        distance_mm: u32,
    },
    /// Print it on a larger card.
    LargerCard {
        /// Its trade name (`A4`).
        name: &'static str,
        /// Trim width.
        width_mm: u32,
        /// Trim height.
        height_mm: u32,
    },
}

impl fmt::Display for Remedy {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::MoveSteps { numbers } => match numbers.as_slice() {
                [one] => write!(formatter, "leave step {one} to the packet"),
                [first, .., last] => write!(formatter, "leave steps {first} to {last} to the packet"),
                [] => write!(formatter, "leave the steps to the packet"),
            },
            Self::ReadFrom { distance_mm } => write!(formatter, "hang it to be read from {distance_mm} mm"),
            Self::LargerCard { name, width_mm, height_mm } => {
                write!(formatter, "print it on {name} ({width_mm} x {height_mm} mm)")
            }
        }
    }
}

fn advice(remedies: &[Remedy]) -> String {
    match remedies {
        [] => "; no single change helps: divide the procedure".to_owned(),
        [cheapest, ..] => format!("; it fits if you {cheapest}"),
    }
}

/// Trim sizes by trade name, the smallest first (ISO 216), in millimetres.
const TRIMS: [(&str, u32, u32); 3] = [("A6", 105, 148), ("A5", 148, 210), ("A4", 210, 297)];
/// Reading distances of the built-in presets, the longest first, in millimetres.
const DISTANCES: [u32; 3] = [700, 500, 400];
/// Columns and width of the face in per cent, in the order they are tried.
const SETTINGS: [(usize, f64); 4] = [(1, 100.0), (2, 100.0), (1, 87.5), (2, 87.5)];
/// Enlargements tried where room is left, the largest first.
const ENLARGEMENTS: [f64; 3] = [1.3, 1.2, 1.1];

/// Returns the least sizes for a reading distance, rounded up to a twentieth of a point.
fn least_sizes(distance_mm: u32, cap_height_em: f64) -> Sizes {
    let size = |minutes: f64| (type_size(f64::from(distance_mm), minutes, cap_height_em) * 20.0).ceil() / 20.0;
    Sizes {
        text: size(TEXT_MINUTES).max(TEXT_FLOOR),
        warn: size(TEXT_MINUTES).max(WARN_FLOOR),
        detail: size(DETAIL_MINUTES),
    }
}

/// Returns a card as PDF: two pages of the trim size, front and back.
///
/// # Errors
/// [`CardError::DoesNotFit`] where no layout keeps the rules; else what went wrong in setting it, or the rule that the
/// finished file was found to break.
pub fn card(
    press: &Press,
    face: &Face,
    print: &CardPrint,
    identity: &Identity,
    tags: &[String],
    stamp: &Stamp,
    figures: &Figures,
) -> Result<Vec<u8>, CardError> {
    let job = Job::new(press, face, identity, tags, stamp, figures)?;
    let mut measured = Measured::default();
    let plan = match job.first_fit(print, &mut measured)? {
        Ok(plan) => plan,
        Err(over) => return Err(job.refusal(print, over, &mut measured)?),
    };
    let bytes = job.print(print, &plan)?;
    let pages = readback::pages(&bytes)?;
    let broken = card_check::broken_card_rules(
        &pages,
        &card_check::Rules {
            face,
            print,
            identity,
            tags,
            stamp,
            sizes: least_sizes(print.distance_mm, press.cap_height_em()),
            geometry: &Geometry::of(print),
        },
    );
    if broken.is_empty() { Ok(bytes) } else { Err(PdfError::Layout(broken).into()) }
}

/// What is printed around the face, as the template reads it from `/sheet.json`.
#[derive(Debug, Serialize)]
struct Sheet<'a> {
    identity: &'a Identity,
    stamp: &'a Stamp,
    /// The words before the record of a controlled card; empty on a draft.
    released: &'static str,
    tags: &'a [String],
    /// The joints of the face, then those that only a step names.
    joints: &'a [Joint],
    standing: &'a Standing,
    artwork: &'a Artwork,
}

/// What the template reads from `/layout.json`.
#[derive(Debug, Serialize)]
struct Layout<'a> {
    /// `probe` or `card`.
    mode: &'static str,
    language: &'a str,
    /// Whether the template must say that the card is a memory aid; else the face does.
    aid: bool,
    geometry: &'a Geometry,
    sizes: Sizes,
    stretch: f64,
    columns: usize,
    column: f64,
    gutter: f64,
    spacing: f64,
    /// What to measure; only in a probe.
    units: &'a [Unit],
    /// What goes where; only for the card.
    sides: &'a [Side],
    strip_row: f64,
    hole_above: [bool; 2],
    back_turned: bool,
}

/// A layout that fits.
#[derive(Debug)]
struct Plan {
    setting: Setting,
    sides: [Side; 2],
    strip_row: f64,
}

/// One card on its way.
struct Job<'a> {
    press: &'a Press,
    face: &'a Face,
    identity: &'a Identity,
    stamp: &'a Stamp,
    tags: &'a [String],
    joints: Vec<Joint>,
    data: Data,
}

/// Heights under each setting that was tried, in the order of [`SETTINGS`].
type Measured = Vec<(Setting, Heights)>;

impl<'a> Job<'a> {
    fn new(
        press: &'a Press,
        face: &'a Face,
        identity: &'a Identity,
        tags: &'a [String],
        stamp: &'a Stamp,
        figures: &Figures,
    ) -> Result<Self, PdfError> {
        let mut joints = face.joints.clone();
        for joint in steps(face).flat_map(|step| &step.joints) {
            if !joints.contains(joint) {
                joints.push(joint.clone());
            }
        }
        let mut data = Data::new();
        let mut artwork = Artwork::default();
        artwork.add_figures(&face.figures, figures, &mut data)?;
        artwork.add_signs(face.cautions.iter().chain(steps(face).flat_map(|step| &step.cautions)), &mut data)?;
        artwork.add_patterns(&joints, &mut data);
        data.insert("face.json".to_owned(), json(face));
        let released = if stamp.state == State::Controlled { RELEASED } else { "" };
        let sheet =
            Sheet { identity, stamp, released, tags, joints: &joints, standing: &standing(), artwork: &artwork };
        data.insert("sheet.json".to_owned(), json(&sheet));
        Ok(Self { press, face, identity, stamp, tags, joints, data })
    }

    const fn load(&self, left_off: usize) -> Load<'_> {
        Load { face: self.face, joints: self.joints.as_slice(), left_off }
    }

    /// Returns the heights of every part under a setting; each setting is measured once, when it is first asked for.
    fn measured<'m>(
        &self,
        print: &CardPrint,
        measured: &'m mut Measured,
        at: usize,
    ) -> Result<&'m (Setting, Heights), PdfError> {
        let sizes = least_sizes(print.distance_mm, self.press.cap_height_em());
        while measured.len() <= at {
            let (columns, stretch) = SETTINGS[measured.len()];
            let setting = Setting { columns, stretch, sizes };
            let heights = self.heights(print, &setting)?;
            measured.push((setting, heights));
        }
        Ok(&measured[at])
    }

    fn heights(&self, print: &CardPrint, setting: &Setting) -> Result<Heights, PdfError> {
        let units = self.load(0).all_units();
        let geometry = Geometry::of(print);
        let pages = self.set(print, &geometry, "probe", setting, &units, &[], 0.0)?;
        let heights = page_heights(&pages);
        // The fixed parts come first, in this order; see the template.
        let [front, back, title, front_foot, back_foot, rest @ ..] = heights.as_slice() else {
            return Err(PdfError::Template(vec!["the card template answers a probe with too few pages".to_owned()]));
        };
        if rest.len() != units.len() {
            let message = format!("the card template sets {} parts on {} pages in a probe", units.len(), rest.len());
            return Err(PdfError::Template(vec![message]));
        }
        Ok(Heights {
            strip: [*front, *back],
            title: *title,
            foot: [*front_foot, *back_foot],
            units: units.into_iter().zip(rest.iter().copied()).collect(),
        })
    }

    /// Returns the first layout that fits, or by how many points the tightest is too high.
    fn first_fit(&self, print: &CardPrint, measured: &mut Measured) -> Result<Result<Plan, f64>, PdfError> {
        match self.first_packing(print, measured, 0)? {
            Ok((density, plan)) => Ok(Ok(self.enlarged(print, density, plan)?)),
            Err(over) => Ok(Err(over)),
        }
    }

    /// Returns the first packing that fits without so many steps at the end, in the least sizes.
    fn first_packing(
        &self,
        print: &CardPrint,
        measured: &mut Measured,
        left_off: usize,
    ) -> Result<Result<(Density, Plan), f64>, PdfError> {
        let geometry = Geometry::of(print);
        let mut least = f64::INFINITY;
        for density in Density::ALL {
            for at in 0..SETTINGS.len() {
                let (setting, heights) = self.measured(print, measured, at)?;
                match pack(self.load(left_off), density, setting, heights, &geometry) {
                    Ok(sides) => {
                        let strip_row = heights.strip_row(&geometry);
                        return Ok(Ok((density, Plan { setting: setting.clone(), sides, strip_row })));
                    }
                    Err(over) => least = least.min(over),
                }
            }
        }
        Ok(Err(least))
    }

    /// Returns the plan with larger type where that fits as well.
    fn enlarged(&self, print: &CardPrint, density: Density, plan: Plan) -> Result<Plan, PdfError> {
        let geometry = Geometry::of(print);
        let filled = plan.sides.iter().map(|side| side.filled).fold(0.0, f64::max);
        for factor in ENLARGEMENTS {
            // Both the lines and their number grow with the size: what cannot fit is not tried.
            if filled * factor * factor > 1.0 {
                continue;
            }
            let setting = Setting { sizes: plan.setting.sizes.enlarged(factor), ..plan.setting.clone() };
            let heights = self.heights(print, &setting)?;
            if let Ok(sides) = pack(self.load(0), density, &setting, &heights, &geometry) {
                return Ok(Plan { setting, sides, strip_row: heights.strip_row(&geometry) });
            }
        }
        Ok(plan)
    }

    /// Returns the refusal with what was tried and found to fit.
    fn refusal(&self, print: &CardPrint, over: f64, measured: &mut Measured) -> Result<CardError, PdfError> {
        let mut remedies = Vec::new();
        let numbers: Vec<u32> = steps(self.face).map(|step| step.number).collect();
        for left_off in 1..=numbers.len() {
            if self.first_packing(print, measured, left_off)?.is_ok() {
                remedies.push(Remedy::MoveSteps { numbers: numbers[numbers.len() - left_off..].to_vec() });
                break;
            }
        }
        for distance_mm in DISTANCES.into_iter().filter(|&distance| distance < print.distance_mm) {
            let closer = CardPrint { distance_mm, ..print.clone() };
            if self.first_packing(&closer, &mut Measured::default(), 0)?.is_ok() {
                remedies.push(Remedy::ReadFrom { distance_mm });
                break;
            }
        }
        for (name, width, height) in TRIMS {
            let (width_mm, height_mm) =
                if print.width_mm > print.height_mm { (height, width) } else { (width, height) };
            if width_mm <= print.width_mm || height_mm <= print.height_mm {
                continue;
            }
            let larger = CardPrint { width_mm, height_mm, ..print.clone() };
            if self.first_packing(&larger, &mut Measured::default(), 0)?.is_ok() {
                remedies.push(Remedy::LargerCard { name, width_mm, height_mm });
                break;
            }
        }
        Ok(CardError::DoesNotFit {
            over_mm: whole_mm(over),
            width_mm: print.width_mm,
            height_mm: print.height_mm,
            distance_mm: print.distance_mm,
            remedies,
        })
    }

    fn print(&self, print: &CardPrint, plan: &Plan) -> Result<Vec<u8>, PdfError> {
        let geometry = Geometry::of(print);
        let pages = self.set(print, &geometry, "card", &plan.setting, &[], &plan.sides, plan.strip_row)?;
        let ident = format!("matchmark card {} {} {}", self.face.document, self.tags.join(" "), self.identity.digest);
        Press::export(&pages, &Imprint { ident, date: self.stamp.effective.clone() })
    }

    #[expect(clippy::too_many_arguments, reason = "the two modes of one template")]
    fn set(
        &self,
        print: &CardPrint,
        geometry: &Geometry,
        mode: &'static str,
        setting: &Setting,
        units: &[Unit],
        sides: &[Side],
        strip_row: f64,
    ) -> Result<typst_layout::PagedDocument, PdfError> {
        let layout = Layout {
            mode,
            language: &self.face.language,
            aid: !self.face.deference.iter().any(|line| says_memory_aid(line, &self.face.document)),
            geometry,
            sizes: setting.sizes,
            stretch: setting.stretch,
            columns: setting.columns,
            column: geometry.column(setting.columns),
            gutter: GUTTER,
            spacing: GAP,
            units,
            sides,
            strip_row,
            hole_above: hole_above(print),
            back_turned: print.flip == Flip::ShortEdge,
        };
        let mut data = self.data.clone();
        data.insert("layout.json".to_owned(), json(&layout));
        self.press.lay_out(Opening::Card, data)
    }
}

/// Returns whether a line already says that the card is a memory aid and which packet to use.
fn says_memory_aid(line: &str, document: &str) -> bool {
    line.to_lowercase().contains("memory aid") && line.contains(document)
}

fn steps(face: &Face) -> impl Iterator<Item = &Step> {
    face.stages.iter().flat_map(|stage| &stage.steps)
}

/// Returns a length in points as whole millimetres, rounded up.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held inside the range just before")]
fn whole_mm(points: f64) -> u32 {
    let mm = (points / MM).ceil();
    if mm.is_finite() && mm > 0.0 && mm < f64::from(u32::MAX) { mm as u32 } else { u32::MAX }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::packet::view::Punch;
    use crate::render::conserve::fold;
    use crate::render::readback::PageText;
    use crate::render::sample;
    use crate::render::typeset::Templates;

    /// The sample's face with how it is printed; a test changes either.
    #[derive(Clone)]
    struct Card {
        face: Face,
        print: CardPrint,
    }

    impl std::ops::Deref for Card {
        type Target = Face;
        fn deref(&self) -> &Face {
            &self.face
        }
    }

    impl std::ops::DerefMut for Card {
        fn deref_mut(&mut self) -> &mut Face {
            &mut self.face
        }
    }

    fn print_with(press: &Press, one: &Card) -> Result<Vec<u8>, CardError> {
        let view = sample::packet();
        let identity = crate::packet::identity::of(&one.face);
        card(press, &one.face, &one.print, &identity, &["P-133".to_owned()], &sample::draft(&view), &sample::figures())
    }

    fn print(face: &Card) -> Result<Vec<u8>, CardError> {
        print_with(&Press::built_in(), face)
    }

    fn pages(face: &Card) -> Vec<PageText> {
        readback::pages(&print(face).unwrap_or_else(|error| panic!("{error}"))).unwrap()
    }

    /// Returns the sample's face for a card of this size, read from this distance.
    fn face(width_mm: u32, height_mm: u32, distance_mm: u32) -> Card {
        let punch = Some(Punch { diameter_mm: 6, inset_mm: 12, clear_mm: 15 });
        let preset = "on wall".to_owned();
        let print = CardPrint { preset, width_mm, height_mm, distance_mm, edge_mm: 6, punch, flip: Flip::ShortEdge };
        Card { face: sample::packet().card, print }
    }

    #[test]
    fn type_sizes_follow_from_distance_and_capital_height() {
        // Points at a capital height of 0.72 em: 400, 500, 700 and 1000 mm at 20 minutes of arc.
        for (distance, points) in [(400.0, 9.16), (500.0, 11.45), (700.0, 16.03), (1000.0, 22.91)] {
            let computed = type_size(distance, 20.0, 0.72);
            assert!((computed - points).abs() < 0.01, "{distance}: {computed}");
        }
        let wall = least_sizes(700, 0.729);
        assert!((15.8..15.9).contains(&wall.text) && (15.8..15.9).contains(&wall.warn), "{wall:?}");
        // In hand the formula asks for 9 points; the floors hold.
        let hand = least_sizes(400, 0.729);
        assert_eq!((hand.text, hand.warn), (10.0, 12.0));
        assert!((7.2..7.3).contains(&hand.detail), "{hand:?}");
    }

    #[test]
    fn a_card_is_two_pages_of_the_trim_size() {
        for (width, height, points) in [(210, 297, (595.276, 841.890)), (216, 303, (612.283, 858.898))] {
            let pages = pages(&face(width, height, 700));
            assert_eq!(pages.len(), 2);
            for page in pages {
                assert!((page.width - points.0).abs() < 0.01 && (page.height - points.1).abs() < 0.01);
            }
        }
    }

    fn print_stamped(one: &Card, stamp: &Stamp) -> Result<Vec<u8>, CardError> {
        let identity = crate::packet::identity::of(&one.face);
        let tags = ["P-130".to_owned(), "P-133".to_owned()];
        card(&Press::built_in(), &one.face, &one.print, &identity, &tags, stamp, &sample::figures())
    }

    /// On both sides revision, effective date and last day; on whose word stands on the back.
    #[test]
    #[expect(clippy::disallowed_methods, reason = "a card may be asked for, to be looked at")]
    fn a_controlled_card_says_on_whose_word_it_hangs_there() {
        let wall = print_stamped(&face(210, 297, 700), &sample::controlled(&sample::packet()));
        assert!(wall.is_ok_and(|bytes| !readback::text(&bytes).unwrap().contains("TEMPORARY")));
        let bytes = print_stamped(&face(210, 297, 500), &sample::temporary(&sample::packet())).unwrap();
        if let Ok(path) = std::env::var("CONTROLLED_CARD") {
            std::fs::write(path, &bytes).unwrap();
        }
        let pages = readback::pages(&bytes).unwrap();
        for page in &pages {
            let text = fold(&page.text());
            for wanted in ["revision 7", "effective 2027-03-14", "last day 2027-04-30", "P-130, P-133"] {
                assert!(text.contains(wanted), "{wanted}: {text}");
            }
            assert!(!text.contains("DRAFT"));
        }
        let back = fold(&pages[1].text());
        for wanted in [
            "C. Preparer, 2027-03-09T07:30:00Z: prepared",
            "A. Sample, 2027-03-10T09:00:00Z: approved for use",
            "B. Example, 2027-03-10T11:15:00Z: approved for use",
            "Released as record 000123 91eb3f00a1b2, ledger as of 2027-03-12, review by 2028-03-14",
        ] {
            assert!(back.contains(wanted), "{wanted}: {back}");
        }
    }

    #[test]
    fn a_draft_card_and_a_controlled_one_cannot_be_taken_for_each_other() {
        let view = sample::packet();
        let (draft, controlled) = (sample::draft(&view), sample::controlled(&view));
        let mut says_released = face(210, 297, 700);
        says_released.plant = "Released as record 000123".to_owned();
        let mut says_draft = face(210, 297, 700);
        says_draft.plant = "Draft - not for use".to_owned();
        let plain = face(210, 297, 700);
        let unmarked = Stamp { mark: String::new(), ..draft.clone() };
        let unsigned = Stamp { approvals: Vec::new(), ..controlled.clone() };
        for (one, stamp, reason) in [
            (&says_released, &draft, "a draft may not say"),
            (&says_draft, &controlled, "a controlled output may not say"),
            (&plain, &unmarked, "a draft never says"),
            (&plain, &unsigned, "a controlled output says `prepared`"),
        ] {
            let error = print_stamped(one, stamp).map(|bytes| bytes.len()).unwrap_err();
            let CardError::Print(PdfError::Layout(broken)) = error else { panic!("{error:?}") };
            assert!(broken.iter().any(|line| line.starts_with(reason)), "{reason}: {broken:?}");
        }
    }

    #[test]
    fn both_sides_say_what_they_belong_to() {
        let face = face(210, 297, 700);
        let words = crate::packet::identity::of(&face.face).words;
        let pages = pages(&face);
        for (page, side) in pages.iter().zip(["side A, page 1 of 2", "side B, page 2 of 2"]) {
            let text = fold(&page.text());
            for wanted in ["P-133", "MP-PA-101", "revision draft", words.as_str(), "DRAFT - not for use", side] {
                assert!(text.contains(&fold(wanted)), "{wanted}: {text}");
            }
        }
        assert!(pages[0].text().contains("turn over →"));
        assert!(pages[0].text().to_lowercase().contains("memory aid"));
    }

    #[test]
    fn a_face_that_does_not_say_it_is_a_memory_aid_gets_the_words() {
        let mut face = face(210, 297, 700);
        face.deference.retain(|line| !line.contains("memory aid"));
        assert!(fold(&pages(&face)[0].text()).contains("Memory aid for trained people. Use with packet MP-PA-101."));
    }

    #[test]
    fn the_hole_lies_where_the_sheet_is_turned() {
        // Width, height, flip; is the hole at the top of the back as it lies in the file, does the back stand on its head.
        for (width, height, flip, top, turned) in [
            (210, 297, Flip::ShortEdge, true, true),
            (210, 297, Flip::LongEdge, true, false),
            (297, 210, Flip::ShortEdge, false, true),
            (297, 210, Flip::LongEdge, false, false),
        ] {
            let mut face = face(width, height, 500);
            face.print.flip = flip;
            face.print.punch = Some(Punch { diameter_mm: 6, inset_mm: 12, clear_mm: 15 });
            let back = &pages(&face)[1];
            let diameter = 6.0 * MM;
            let y = if top { 12.0 * MM } else { back.height - 12.0 * MM };
            let hole = back
                .marks
                .iter()
                .find(|mark| (mark.width() - diameter).abs() < 1.0 && (mark.center().x - back.width / 2.0).abs() < 0.5);
            let hole = hole.unwrap_or_else(|| panic!("no hole on {width} x {height}, {flip:?}"));
            assert!((hole.center().y - y).abs() < 0.5, "{width} x {height}, {flip:?}: {hole:?}");
            let down = back.glyphs.iter().filter(|glyph| glyph.direction.0 < -0.9).count();
            assert_eq!(2 * down > back.glyphs.len(), turned, "{width} x {height}, {flip:?}");
        }
    }

    #[test]
    fn a_card_without_a_hole_is_printed() {
        let mut face = face(210, 297, 700);
        face.print.punch = None;
        assert_eq!(pages(&face).len(), 2);
    }

    #[test]
    fn type_grows_where_there_is_room_and_never_shrinks() {
        let mut short = face(210, 297, 500);
        short.stages[0].steps.truncate(2);
        short.cautions.truncate(1);
        let least = least_sizes(500, Press::built_in().cap_height_em()).text;
        let words = |page: &PageText| {
            page.glyphs.iter().filter(|glyph| glyph.text == "W").map(|glyph| glyph.size).fold(0.0, f64::max)
        };
        let largest = words(&pages(&short)[1]);
        assert!(largest > least * 1.05, "{largest} is not more than {least}");
        assert!(words(&pages(&face(210, 297, 700))[1]) >= 15.8);
    }

    #[test]
    fn a_face_with_too_many_steps_is_refused_and_each_remedy_helps() {
        let full = face(148, 210, 500);
        let error = print(&full).unwrap_err();
        let CardError::DoesNotFit { over_mm, remedies, .. } = &error else { panic!("{error:?}") };
        assert!(*over_mm > 0);
        assert!(error.to_string().contains("it fits if you leave steps"), "{error}");
        let [Remedy::MoveSteps { numbers }, rest @ ..] = remedies.as_slice() else { panic!("{remedies:?}") };
        let all: Vec<u32> = steps(&full).map(|step| step.number).collect();
        assert_eq!(*numbers, all[all.len() - numbers.len()..], "the steps moved are not the last");

        let mut shortened = full.clone();
        let kept = all.len() - numbers.len();
        shortened.stages[0].steps.truncate(kept);
        print(&shortened).unwrap();
        // One fewer would not have been enough.
        let mut one_more = full.clone();
        one_more.stages[0].steps.truncate(kept + 1);
        assert!(matches!(print(&one_more), Err(CardError::DoesNotFit { .. })));

        assert!(!rest.is_empty());
        for remedy in rest {
            let mut helped = full.clone();
            match remedy {
                Remedy::MoveSteps { .. } => panic!("named twice"),
                Remedy::ReadFrom { distance_mm } => helped.print.distance_mm = *distance_mm,
                Remedy::LargerCard { width_mm, height_mm, .. } => {
                    helped.print.width_mm = *width_mm;
                    helped.print.height_mm = *height_mm;
                }
            }
            print(&helped).unwrap_or_else(|error| panic!("{remedy} does not help: {error}"));
        }
    }

    #[test]
    fn what_no_single_change_mends_says_so() {
        let mut face = face(105, 148, 1500);
        for at in 0..20 {
            let hazard = face.cautions[0].clone();
            face.cautions.push(crate::packet::view::Caution { id: format!("again {at}"), ..hazard });
        }
        let error = print(&face).unwrap_err();
        assert!(error.to_string().ends_with("no single change helps: divide the procedure"), "{error}");
    }

    #[test]
    fn a_template_that_breaks_a_rule_is_refused() {
        let panel = "set text(size: size.warn)\n      par({\n        strong(runs(it.hazard))";
        let small = panel.replace("size.warn", "8pt");
        for (spoken, instead, reason) in [
            (panel, small.as_str(), "the caution"),
            ("  hole(side)\n", "  place(top + center, dy: 11mm, [x])\n", "punch hole"),
            ("  hole(side)\n", "  place(top + left, dx: 1mm, dy: 1mm, [x])\n", "laminate"),
            ("for hold in it.holds", "for hold in ()", "hold point `H2` is parted"),
            ("strong(it.value)", "strong[?]", "lost: numbers"),
            ("#let tools() = par[", "#let tools() = par[#set text(size: 14pt); ", "smaller than running text"),
        ] {
            let mut templates = Templates::built_in();
            assert!(templates.card.contains(spoken), "{spoken}");
            templates.card = templates.card.replace(spoken, instead);
            let made = print_with(&Press::new(&templates), &face(210, 297, 700)).map(|_| reason);
            let error = made.unwrap_err();
            let CardError::Print(PdfError::Layout(broken)) = error else { panic!("{error:?}") };
            assert!(broken.iter().any(|line| line.contains(reason)), "{reason}: {broken:?}");
        }
    }

    #[test]
    fn the_same_face_is_the_same_bytes_on_every_thread() {
        let press = Press::built_in();
        let face = face(210, 297, 700);
        let first = print_with(&press, &face).unwrap();
        std::thread::scope(|scope| {
            let threads: Vec<_> = (0..3).map(|_| scope.spawn(|| print_with(&press, &face).unwrap())).collect();
            for thread in threads {
                assert!(thread.join().unwrap() == first, "another thread made other bytes");
            }
        });
    }
}
