//! From a compiled packet to the bytes of its PDF: A4 or Letter, tagged, read back before it is handed out; it knows no disk and no clock.

use serde::Serialize;
use typst::foundations::Bytes;

use crate::base::stamp::Stamp;
use crate::packet::identity::Identity;
use crate::packet::view::{Packet, Step};
use crate::render::artwork::Artwork;
use crate::render::pdf_error::PdfError;
use crate::render::proof::broken_packet_rules;
use crate::render::readback;
use crate::render::typeset::{Data, Imprint, Opening};

pub use crate::render::artwork::Figures;
pub use crate::render::typeset::{Press, Templates};

/// The sheet a packet is printed on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Paper {
    /// ISO 216 A4, 210 by 297 mm.
    #[serde(rename = "a4")]
    A4,
    /// US Letter, 8.5 by 11 in.
    #[serde(rename = "us-letter")]
    Letter,
}

/// What is printed around the packet, as the template reads it from `/sheet.json`.
#[derive(Debug, Serialize)]
struct Sheet<'a> {
    identity: &'a Identity,
    face: &'a Identity,
    stamp: &'a Stamp,
    paper: Paper,
    #[serde(flatten)]
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
    identity: &Identity,
    face: &Identity,
    stamp: &Stamp,
    figures: &Figures,
    paper: Paper,
) -> Result<Vec<u8>, PdfError> {
    let mut data = Data::new();
    let mut artwork = Artwork::default();
    artwork.add_figures(&packet.figures, figures, &mut data)?;
    artwork.add_signs(packet.cautions.iter().chain(steps(packet).flat_map(|step| &step.cautions)), &mut data)?;
    artwork.add_patterns(packet.joints.iter().chain(steps(packet).flat_map(|step| &step.joints)), &mut data);
    data.insert("packet.json".to_owned(), json(packet));
    data.insert("sheet.json".to_owned(), json(&Sheet { identity, face, stamp, paper, artwork: &artwork }));
    let pages = press.lay_out(Opening::Packet, data)?;
    let ident = format!("matchmark packet {} {} {}", packet.document, packet.tag, identity.digest);
    let bytes = press.export(&pages, &Imprint { ident, date: stamp.effective.clone() })?;
    let broken = broken_packet_rules(&readback::pages(&bytes)?, packet, identity, face, stamp);
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
    use crate::render::sample;

    pub(crate) fn sample_pdf(press: &Press) -> Vec<u8> {
        let view = sample::packet();
        let (identity, face) = sample::identities(&view);
        packet(press, &view, &identity, &face, &sample::draft(&view), &sample::figures(), Paper::A4)
            .unwrap_or_else(|error| panic!("{error}"))
    }

    #[test]
    fn look() {
        let press = Press::built_in();
        let at = std::time::Instant::now();
        let bytes = sample_pdf(&press);
        println!("{} bytes, {:?}", bytes.len(), at.elapsed());
        std::fs::create_dir_all("/tmp/pdf-look").unwrap();
        std::fs::write("/tmp/pdf-look/packet.pdf", &bytes).unwrap();
        let at = std::time::Instant::now();
        let text = crate::render::readback::text(&bytes).unwrap();
        println!("read back {:?}", at.elapsed());
        std::fs::write("/tmp/pdf-look/packet.txt", text).unwrap();
    }
}
