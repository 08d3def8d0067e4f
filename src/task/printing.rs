//! From a planned packet or face to a file: made only where the last build's file is not the same already.

use crate::base::path::BinderPath;
use crate::base::stamp::Stamp;
use crate::model::binder::Binder;
use crate::packet::compile::FigureDigests;
use crate::packet::view::Packet;
use crate::render::Figures;
use crate::render::around::Around;
use crate::render::error::RenderError;
use crate::render::html;
use crate::render::site::{self, SiteView};
use crate::render::theme::Theme;
use crate::task::manifest::{Kind, Output, Refused};
use crate::task::plan::Planned;
use crate::workspace::outputs::{OutputError, Outputs};
use sha2::{Digest as _, Sha256};
use std::cell::OnceCell;

#[cfg(feature = "pdf")]
use crate::task::plan::{Plan, Shared};

#[cfg(feature = "pdf")]
use crate::render::{card, pdf};

/// Digest of the program's own sources, templates and dependencies: another program may print other bytes.
pub(crate) const BUILD: &str = env!("MATCHMARK_BUILD");

/// Everything that is the same for all outputs of a build.
pub(crate) struct Printer<'b> {
    binder: &'b Binder,
    digests: &'b FigureDigests,
    figures: Figures,
    outputs: &'b Outputs,
    theme: Theme,
    /// Digest of the templates and the paper.
    dress: String,
    #[cfg(feature = "pdf")]
    press: pdf::Press,
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

/// Whether an output was asked for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wanted {
    /// It is made where the last build's file is not the same.
    Asked,
    /// It is kept where it is the same, and never made.
    OnlyKept,
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
    /// Returns a printer with the binder's own templates in place of the program's.
    pub(crate) fn new(
        binder: &'b Binder,
        digests: &'b FigureDigests,
        figures: Figures,
        outputs: &'b Outputs,
    ) -> Result<Self, RenderError> {
        let own: Vec<(String, String)> = binder
            .templates
            .iter()
            .filter(|(name, _)| !is_for_pdf(name))
            .map(|(a, b)| (a.clone(), b.clone()))
            .collect();
        Ok(Self {
            theme: Theme::new(&own, binder.settings.paper)?,
            dress: digest(&(&binder.templates, format!("{:?}", binder.settings.paper))),
            binder,
            digests,
            figures,
            outputs,
            #[cfg(feature = "pdf")]
            press: pdf::Press::new(&pdf_templates(binder)?),
        })
    }

    /// Makes the packet for a tablet and the one for paper.
    pub(crate) fn packet(&self, planned: &Planned<'_>, wanted: Wanted) -> Result<Vec<Made>, OutputError> {
        let compiled = OnceCell::new();
        let packet = || compiled.get_or_init(|| planned.compiled(self.binder, self.digests));
        let stamp = Stamp::draft(&planned.packet.digest);
        let order = |kind, ending| Order {
            path: planned.path(ending),
            kind,
            document: planned.document().to_string(),
            tags: vec![planned.tag().to_string()],
            key: self.key(&(kind, &planned.packet, &planned.face, &stamp)),
        };
        let html = order(Kind::PacketHtml, "html");
        let made = std::iter::once(self.output(html, wanted, || self.html(packet(), planned, &stamp))?);
        #[cfg(feature = "pdf")]
        let made = {
            let pdf = order(Kind::PacketPdf, "pdf");
            made.chain(std::iter::once(self.output(pdf, wanted, || self.pdf(packet(), planned, &stamp))?))
        };
        Ok(made.collect())
    }

    fn html(&self, packet: &Packet, planned: &Planned<'_>, stamp: &Stamp) -> Result<Vec<u8>, String> {
        let around = Around::of(&planned.packet, &planned.face, stamp);
        let page = html::packet(&self.theme, packet, &around, &self.figures);
        page.map(String::into_bytes).map_err(|error| error.to_string())
    }

    #[cfg(feature = "pdf")]
    fn pdf(&self, packet: &Packet, planned: &Planned<'_>, stamp: &Stamp) -> Result<Vec<u8>, String> {
        let paper = self.binder.settings.paper;
        let around = Around::of(&planned.packet, &planned.face, stamp);
        let bytes = pdf::packet(&self.press, packet, &around, &self.figures, paper);
        bytes.map_err(|error| error.to_string())
    }

    /// Makes the card of a face.
    #[cfg(feature = "pdf")]
    pub(crate) fn card(&self, plan: &Plan<'_>, face: &Shared, wanted: Wanted) -> Result<Made, OutputError> {
        let tags: Vec<String> = face.packets.iter().map(|at| plan.packets[*at].tag().to_string()).collect();
        let stamp = Stamp::draft(&face.identity.digest);
        // Tags with the same face have the same card, so any of them will do.
        let first = &plan.packets[face.packets[0]];
        let print = &first.print;
        let order = Order {
            path: face.card.clone(),
            kind: Kind::Card,
            document: face.document.to_string(),
            key: self.key(&(Kind::Card, &face.identity, print, &tags, &stamp)),
            tags: tags.clone(),
        };
        self.output(order, wanted, || {
            let packet = first.compiled(self.binder, self.digests);
            let bytes = card::card(&self.press, &packet.card, print, &face.identity, &tags, &stamp, &self.figures);
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
fn pdf_templates(binder: &Binder) -> Result<pdf::Templates, RenderError> {
    let mut templates = pdf::Templates::built_in();
    for (name, text) in binder.templates.iter().filter(|(name, _)| is_for_pdf(name)) {
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
