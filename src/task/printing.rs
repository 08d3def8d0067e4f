//! From a planned packet or face to a file: made only where the last build's file is not the same already.

use crate::base::name::{DocumentNumber, Tag};
use crate::base::paper::Paper;
use crate::base::path::BinderPath;
use crate::base::stamp::Stamp;
use crate::packet::change::since::Since;
use crate::packet::identity::Identity;
use crate::packet::view::Packet;
use crate::render::Figures;
use crate::render::around::Around;
use crate::render::error::RenderError;
use crate::render::html;
use crate::render::site::{self, SiteView};
use crate::render::theme::Theme;
use crate::task::manifest::{Kind, Output, Refused};
use crate::task::plan::output_path;
use crate::workspace::outputs::{OutputError, Outputs};
use sha2::{Digest as _, Sha256};
use std::cell::OnceCell;
use std::collections::BTreeMap;

#[cfg(feature = "pdf")]
use crate::packet::view::{CardPrint, Face};

#[cfg(feature = "pdf")]
use crate::render::{card, pdf};

/// Digest of the program's own sources, templates and dependencies: another program may print other bytes.
pub(crate) const BUILD: &str = env!("MATCHMARK_BUILD");

/// Everything that is the same for all outputs of a build, or of one release.
pub(crate) struct Printer<'b> {
    figures: Figures,
    outputs: &'b Outputs,
    theme: Theme,
    /// Digest of the templates and the paper.
    dress: String,
    #[cfg(feature = "pdf")]
    paper: Paper,
    #[cfg(feature = "pdf")]
    press: pdf::Press,
}

/// A packet that is to be printed, without its content.
pub(crate) struct PacketSheet<'a> {
    pub(crate) document: &'a DocumentNumber,
    pub(crate) tag: &'a Tag,
    pub(crate) identity: &'a Identity,
    pub(crate) face: &'a Identity,
    pub(crate) stamp: &'a Stamp,
    pub(crate) since: Option<&'a Since>,
}

/// A card that is to be printed, without its content.
#[cfg(feature = "pdf")]
pub(crate) struct CardSheet<'a> {
    pub(crate) document: &'a DocumentNumber,
    pub(crate) path: &'a BinderPath,
    pub(crate) identity: &'a Identity,
    pub(crate) tags: &'a [String],
    pub(crate) print: &'a CardPrint,
    pub(crate) stamp: &'a Stamp,
}

impl<'a> PacketSheet<'a> {
    fn around(&self) -> Around<'a> {
        Around { identity: self.identity, face: self.face, stamp: self.stamp, since: self.since }
    }
}

/// What became of one output.
pub(crate) enum Made {
    /// The bytes were made and written.
    Written(Output),
    /// The last build's file is the same.
    Kept(Output),
    /// It was made and is not good enough.
    Refused(Refused),
    /// It was not asked for, and what the last build left is no longer true.
    LeftOut,
}

/// What was made so far, sorted by what became of it.
#[derive(Default)]
pub(crate) struct Sorted {
    pub(crate) outputs: Vec<Output>,
    pub(crate) refused: Vec<Refused>,
    pub(crate) written: Vec<String>,
}

impl Sorted {
    pub(crate) fn sort_in(&mut self, made: Made) {
        match made {
            Made::Written(output) => {
                self.written.push(output.path.clone());
                self.outputs.push(output);
            }
            Made::Kept(output) => self.outputs.push(output),
            Made::Refused(refused) => self.refused.push(refused),
            Made::LeftOut => {}
        }
    }
}

/// Whether an output was asked for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wanted {
    /// It is made where the last build's file is not the same.
    Asked,
    /// It is kept where it is the same, and never made.
    OnlyKept,
}

impl Wanted {
    /// Returns it of what was asked for, and of what was not.
    pub(crate) fn of(is_asked: bool) -> Self {
        if is_asked { Self::Asked } else { Self::OnlyKept }
    }
}

/// What an output is and what it is made of.
struct Order {
    path: BinderPath,
    kind: Kind,
    document: String,
    tags: Vec<String>,
    key: String,
}

impl<'b> Printer<'b> {
    /// Returns a printer with a binder's own templates in place of the program's.
    pub(crate) fn new(
        templates: &BTreeMap<String, String>,
        paper: Paper,
        figures: Figures,
        outputs: &'b Outputs,
    ) -> Result<Self, RenderError> {
        let own: Vec<(String, String)> =
            templates.iter().filter(|(name, _)| !is_for_pdf(name)).map(|(a, b)| (a.clone(), b.clone())).collect();
        Ok(Self {
            theme: Theme::new(&own, paper)?,
            dress: digest(&(templates, format!("{paper:?}"))),
            figures,
            outputs,
            #[cfg(feature = "pdf")]
            paper,
            #[cfg(feature = "pdf")]
            press: pdf::Press::new(&pdf_templates(templates)?),
        })
    }

    /// Makes the packet for a tablet and the one for paper; its content is asked for only where one of them is made.
    pub(crate) fn packet(
        &self,
        sheet: &PacketSheet<'_>,
        wanted: Wanted,
        content: impl Fn() -> Packet,
    ) -> Result<Vec<Made>, OutputError> {
        let made = OnceCell::new();
        let packet = || made.get_or_init(&content);
        let order = |kind, ending| Order {
            path: output_path("packets", sheet.document, sheet.tag.as_str(), ending),
            kind,
            document: sheet.document.to_string(),
            tags: vec![sheet.tag.to_string()],
            key: self.key(&(kind, sheet.identity, sheet.face, sheet.stamp, sheet.since)),
        };
        let html = order(Kind::PacketHtml, "html");
        let made = std::iter::once(self.output(html, wanted, || self.html(packet(), sheet))?);
        #[cfg(feature = "pdf")]
        let made = {
            let pdf = order(Kind::PacketPdf, "pdf");
            made.chain(std::iter::once(self.output(pdf, wanted, || self.pdf(packet(), sheet))?))
        };
        Ok(made.collect())
    }

    fn html(&self, packet: &Packet, sheet: &PacketSheet<'_>) -> Result<Vec<u8>, String> {
        let page = html::packet(&self.theme, packet, &sheet.around(), &self.figures);
        page.map(String::into_bytes).map_err(|error| error.to_string())
    }

    #[cfg(feature = "pdf")]
    fn pdf(&self, packet: &Packet, sheet: &PacketSheet<'_>) -> Result<Vec<u8>, String> {
        let bytes = pdf::packet(&self.press, packet, &sheet.around(), &self.figures, self.paper);
        bytes.map_err(|error| error.to_string())
    }

    /// Makes the card of a face; its content is asked for only where it is made.
    #[cfg(feature = "pdf")]
    pub(crate) fn card(
        &self,
        sheet: &CardSheet<'_>,
        wanted: Wanted,
        content: impl FnOnce() -> Face,
    ) -> Result<Made, OutputError> {
        let CardSheet { document, path, identity, tags, print, stamp } = *sheet;
        let order = Order {
            path: path.clone(),
            kind: Kind::Card,
            document: document.to_string(),
            key: self.key(&(Kind::Card, identity, print, tags, stamp)),
            tags: tags.to_vec(),
        };
        self.output(order, wanted, || {
            let bytes = card::card(&self.press, &content(), print, identity, tags, stamp, &self.figures);
            bytes.map_err(|error| error.to_string())
        })
    }

    /// Makes the index.
    pub(crate) fn index(&self, view: &SiteView) -> Result<Made, OutputError> {
        let path = BinderPath::parse("index.html").expect("a plain name");
        let key = self.key(&(Kind::Index, view));
        let order = Order { path, kind: Kind::Index, document: String::new(), tags: Vec::new(), key };
        self.output(order, Wanted::Asked, || {
            site::index(&self.theme, view).map(String::into_bytes).map_err(|error| error.to_string())
        })
    }

    /// Returns the digest of everything an output is made of.
    fn key<T: serde::Serialize>(&self, parts: &T) -> String {
        digest(&(BUILD, &self.dress, parts))
    }

    fn output(
        &self,
        order: Order,
        wanted: Wanted,
        make: impl FnOnce() -> Result<Vec<u8>, String>,
    ) -> Result<Made, OutputError> {
        let Order { path, kind, document, tags, key } = order;
        let output = |sha256, key| Output {
            path: path.to_string(),
            kind,
            document: document.clone(),
            tags: tags.clone(),
            sha256,
            key,
        };
        if let Some(sha256) = self.outputs.keep(&path, &key)? {
            return Ok(Made::Kept(output(sha256, key)));
        }
        if wanted == Wanted::OnlyKept {
            return Ok(Made::LeftOut);
        }
        match make() {
            Ok(bytes) => Ok(Made::Written(output(self.outputs.write(&path, &bytes)?, key))),
            Err(reason) => Ok(Made::Refused(Refused { path: path.to_string(), kind, document, tags, reason })),
        }
    }
}

/// Returns whether a template of the binder is one of the typesetter's.
fn is_for_pdf(name: &str) -> bool {
    name.rsplit_once('.').is_some_and(|(_, ending)| ending == "typ")
}

#[cfg(feature = "pdf")]
fn pdf_templates(own: &BTreeMap<String, String>) -> Result<pdf::Templates, RenderError> {
    let mut templates = pdf::Templates::built_in();
    for (name, text) in own.iter().filter(|(name, _)| is_for_pdf(name)) {
        match name.as_str() {
            "base.typ" => templates.base.clone_from(text),
            "packet.typ" => templates.packet.clone_from(text),
            "card.typ" => templates.card.clone_from(text),
            _ => return Err(RenderError::UnknownTemplate { name: name.clone() }),
        }
    }
    Ok(templates)
}

fn digest<T: serde::Serialize>(parts: &T) -> String {
    let bytes = serde_json::to_vec(parts).expect("a key holds only text, numbers and lists");
    data_encoding::HEXLOWER.encode(&Sha256::digest(&bytes))
}
