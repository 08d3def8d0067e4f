//! The typesetter as a library: fonts, templates and data in memory, pages and PDF bytes out; it knows no disk, clock, package or system font.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::PathBuf;

use typst::diag::{FileError, FileResult, SourceDiagnostic};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::layout::Abs;
use typst::syntax::{DiagSpan, FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook, FontVariant, FontVariations};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt as _, World, WorldExt as _};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

use crate::render::pdf_error::PdfError;

/// The templates of pages and cards as text: the program's own, or a binder's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Templates {
    /// What packet and card share.
    pub base: String,
    /// The packet.
    pub packet: String,
    /// The card.
    pub card: String,
}

impl Templates {
    /// Returns the program's own templates.
    #[must_use]
    pub fn built_in() -> Self {
        Self {
            base: include_str!("../../templates/base.typ").to_owned(),
            packet: include_str!("../../templates/packet.typ").to_owned(),
            card: include_str!("../../templates/card.typ").to_owned(),
        }
    }
}

/// Fonts and templates, made ready once and shared by every thread that prints.
pub struct Press {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
    /// By path without a leading slash. Paths are constant: the typesetter numbers them with 16 bits for the whole process.
    sources: BTreeMap<&'static str, Source>,
}

impl std::fmt::Debug for Press {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Press").field("fonts", &self.fonts.len()).finish_non_exhaustive()
    }
}

/// Which template opens the document.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Opening {
    /// `templates/packet.typ`.
    Packet,
    /// `templates/card.typ`.
    Card,
}

impl Opening {
    const fn path(self) -> &'static str {
        match self {
            Self::Packet => "packet.typ",
            Self::Card => "card.typ",
        }
    }
}

/// The data files a template reads, by path without a leading slash.
pub(crate) type Data = BTreeMap<String, Bytes>;

/// How the finished file is named inside itself.
#[derive(Clone, Debug)]
pub(crate) struct Imprint {
    /// Stable identifier of the document; the file's ID is derived from it.
    pub(crate) ident: String,
    /// Date of the file, `2027-03-14`, or empty: then [`NO_DATE`].
    pub(crate) date: String,
}

/// The date of a file that has none of its own. A draft is known by the digest it prints, never by a clock.
const NO_DATE: (i32, u8, u8) = (2000, 1, 1);

impl Press {
    /// Returns a press with the program's fonts and the given templates.
    ///
    /// # Panics
    /// Never: the embedded fonts are whole.
    #[must_use]
    pub fn new(templates: &Templates) -> Self {
        let fonts: Vec<Font> = font_files()
            .into_iter()
            .map(|bytes| Font::new(Bytes::new(bytes), 0).expect("the embedded fonts are whole"))
            .collect();
        let sources = [("base.typ", &templates.base), ("packet.typ", &templates.packet), ("card.typ", &templates.card)]
            .into_iter()
            .map(|(path, text)| (path, Source::new(file_id(path), text.clone())))
            .collect();
        Self {
            library: LazyHash::new(Library::default()),
            book: LazyHash::new(FontBook::from_fonts(&fonts)),
            fonts,
            sources,
        }
    }

    /// Returns a press with the program's own templates.
    #[must_use]
    pub fn built_in() -> Self {
        Self::new(&Templates::built_in())
    }

    /// Returns the smallest capital height of the faces that set running text, in em, measured on the fonts themselves.
    #[must_use]
    pub fn cap_height_em(&self) -> f64 {
        self.fonts
            .iter()
            .filter(|font| font.info().family.as_str() == FAMILY)
            .map(cap_height)
            .fold(f64::INFINITY, f64::min)
    }

    /// Returns the laid-out pages of a template with its data.
    pub(crate) fn lay_out(&self, opening: Opening, data: Data) -> Result<PagedDocument, PdfError> {
        let sheet = Sheet { press: self, main: file_id(opening.path()), data };
        let result = typst::compile::<PagedDocument>(&sheet);
        // A warning is an unknown font, a layout that does not settle: nothing that may reach the floor.
        if !result.warnings.is_empty() {
            return Err(PdfError::Template(sheet.messages(&result.warnings)));
        }
        result.output.map_err(|errors| PdfError::Template(sheet.messages(&errors)))
    }

    /// Returns the bytes of laid-out pages as a tagged PDF, and forgets what the typesetter remembers of them.
    pub(crate) fn export(pages: &PagedDocument, imprint: &Imprint) -> Result<Vec<u8>, PdfError> {
        let standards = PdfStandards::new(&[PdfStandard::A_2a, PdfStandard::Ua_1])
            .map_err(|error| PdfError::Standard(vec![error.message().to_string()]))?;
        let options = PdfOptions {
            ident: Smart::Custom(imprint.ident.clone()),
            creator: Smart::Custom(Some(concat!("Matchmark ", env!("CARGO_PKG_VERSION")).to_owned())),
            timestamp: Some(Timestamp::new_utc(date(&imprint.date))),
            standards,
            ..PdfOptions::default()
        };
        let bytes = typst_pdf::pdf(pages, &options)
            .map_err(|errors| PdfError::Standard(errors.iter().map(plain_message).collect()));
        forget();
        bytes
    }
}

/// Forgets what the typesetter remembers. Otherwise it grows by about 4 MB a document; what documents have in common
/// is too little to make the next one measurably faster. A card is measured several times before it is exported, and
/// what its trials have in common is remembered until then.
fn forget() {
    comemo::evict(0);
}

/// Returns the capital height of a font in em: the smaller of what it states (`OS/2 sCapHeight`) and what its H measures.
///
/// The statement alone is not enough: `DejaVu` states 1556 of 2048 units, and its H is 1493 high.
fn cap_height(font: &Font) -> f64 {
    let instance = font.clone().instantiate(FontVariant::default(), Abs::pt(10.0), &FontVariations::default());
    let stated = instance.metrics().cap_height.get();
    let face = instance.ttf();
    let drawn = face
        .glyph_index('H')
        .and_then(|glyph| face.glyph_bounding_box(glyph))
        .map_or(stated, |bounds| f64::from(bounds.y_max) / instance.units_per_em());
    stated.min(drawn)
}

/// The family of all faces but the monospaced one.
const FAMILY: &str = "DejaVu Sans";

/// Returns the embedded font files. Stretched faces come last, so that the normal one is found first.
fn font_files() -> [&'static [u8]; 8] {
    [
        dejavu::sans::regular(),
        dejavu::sans::bold(),
        dejavu::sans::oblique(),
        dejavu::sans_condensed::regular(),
        dejavu::sans_condensed::bold(),
        dejavu::sans_condensed::oblique(),
        dejavu::sans_mono::regular(),
        dejavu::sans_mono::bold(),
    ]
}

fn file_id(path: &str) -> FileId {
    let path = VirtualPath::new(path).expect("the program's own virtual paths are relative and plain");
    RootedPath::new(VirtualRoot::Project, path).intern()
}

/// Returns a calendar date as a moment; what is no date becomes [`NO_DATE`].
fn date(text: &str) -> Datetime {
    let mut parts = text.splitn(3, '-').map(str::parse::<i32>);
    let read = match (parts.next(), parts.next(), parts.next()) {
        (Some(Ok(year)), Some(Ok(month)), Some(Ok(day))) => u8::try_from(month)
            .ok()
            .zip(u8::try_from(day).ok())
            .and_then(|(month, day)| Datetime::from_ymd_hms(year, month, day, 0, 0, 0)),
        _ => None,
    };
    let (year, month, day) = NO_DATE;
    read.or_else(|| Datetime::from_ymd_hms(year, month, day, 0, 0, 0)).expect("the fallback date is one")
}

/// One document being set: the world as the typesetter sees it.
struct Sheet<'a> {
    press: &'a Press,
    main: FileId,
    data: Data,
}

impl World for Sheet<'_> {
    fn library(&self) -> &LazyHash<Library> {
        &self.press.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.press.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let path = project_path(id)?;
        self.press.sources.get(path).cloned().ok_or_else(|| FileError::NotFound(PathBuf::from(path)))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let path = project_path(id)?;
        self.data.get(path).cloned().ok_or_else(|| FileError::NotFound(PathBuf::from(path)))
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.press.fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}

/// Returns the path of a file of this document; packages would need a network or a disk, and are refused.
fn project_path(id: FileId) -> FileResult<&'static str> {
    let path = id.get();
    match path.root() {
        VirtualRoot::Project => Ok(path.vpath().get_without_slash()),
        VirtualRoot::Package(_) => Err(FileError::Other(Some("templates cannot import packages".into()))),
    }
}

impl Sheet<'_> {
    fn messages(&self, diagnostics: &[SourceDiagnostic]) -> Vec<String> {
        diagnostics.iter().map(|diagnostic| self.message(diagnostic)).collect()
    }

    /// Returns a diagnostic with the place in the template.
    fn message(&self, diagnostic: &SourceDiagnostic) -> String {
        match self.place(diagnostic.span) {
            Some(place) => format!("{place}: {}", plain_message(diagnostic)),
            None => plain_message(diagnostic),
        }
    }

    fn place(&self, span: DiagSpan) -> Option<String> {
        let id = span.id()?;
        // A drawing's own fault is told with its virtual path, which bears the figure's number.
        let path = project_path(id).ok()?;
        if self.data.contains_key(path) {
            return Some(path.to_owned());
        }
        let source = self.source(id).ok()?;
        let range = self.range(span)?;
        let (line, column) = source.lines().byte_to_line_column(range.start)?;
        Some(format!("templates/{path}:{}:{}", line + 1, column + 1))
    }
}

fn plain_message(diagnostic: &SourceDiagnostic) -> String {
    let mut message = diagnostic.message.to_string();
    for hint in &diagnostic.hints {
        write!(message, " ({})", hint.v).expect("writing into a string cannot fail");
    }
    message
}

/// Returns the height of each laid-out page in points.
pub(crate) fn page_heights(pages: &PagedDocument) -> Vec<f64> {
    pages.pages().iter().map(|page| page.frame.height().to_pt()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns what the typesetter says to a template of this text.
    fn complaint(text: &str) -> String {
        let mut templates = Templates::built_in();
        templates.packet = text.to_owned();
        match Press::new(&templates).lay_out(Opening::Packet, Data::new()) {
            Ok(_) => String::new(),
            Err(error) => error.to_string(),
        }
    }

    #[test]
    fn the_capital_height_is_that_of_the_letters() {
        let press = Press::built_in();
        // 1493 of 2048 units in every face; the fonts state 1556.
        for font in &press.fonts {
            assert!((cap_height(font) - 1493.0 / 2048.0).abs() < 1e-9, "{:?}", font.info());
        }
        assert!((press.cap_height_em() - 0.729).abs() < 0.0001);
    }

    #[test]
    fn condensed_faces_are_found_by_their_width() {
        let press = Press::built_in();
        let widths: Vec<String> = press
            .fonts
            .iter()
            .filter(|font| font.info().family.as_str() == FAMILY)
            .map(|font| format!("{:?}", font.info().variant.stretch))
            .collect();
        let (normal, condensed) = ("FontStretch(1000)", "FontStretch(875)");
        assert_eq!(widths, [normal, normal, normal, condensed, condensed, condensed]);
    }

    #[test]
    fn a_template_reaches_nothing_outside() {
        assert!(complaint("#read(\"/etc/hostname\")").contains("file not found"));
        assert!(complaint("#import \"@preview/x:1.0.0\": y").contains("templates cannot import packages"));
        assert!(complaint("#datetime.today()").contains("unable to get the current date"));
        assert!(!complaint("#read(\"../../Cargo.toml\")").is_empty());
    }

    #[test]
    fn a_template_that_does_not_end_is_stopped() {
        let endless = complaint("#let n = 0\n#while n < 1 { n = n * 1 }");
        assert!(endless.contains("infinite"), "{endless}");
        let deep = complaint("#let f(x) = f(x + 1)\n#f(0)");
        assert!(deep.contains("depth"), "{deep}");
    }

    #[test]
    fn a_warning_is_refused() {
        let text = complaint("#set text(font: \"No Such Face\")\nx");
        assert!(text.starts_with("templates/packet.typ:1:17: unknown font family"), "{text}");
    }

    #[test]
    fn a_file_is_dated_by_its_release_and_never_by_a_clock() {
        assert_eq!(date("2027-03-14"), Datetime::from_ymd_hms(2027, 3, 14, 0, 0, 0).unwrap());
        for none in ["", "soon", "2027-02-31", "2027-13-01", "2027-03"] {
            assert_eq!(date(none), Datetime::from_ymd_hms(2000, 1, 1, 0, 0, 0).unwrap(), "{none}");
        }
    }
}
