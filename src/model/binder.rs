//! The binder: everything a plant wrote, read once and never changed; it knows not where it came from.

use crate::base::name::{DocumentNumber, FamilyId, Tag};
use crate::base::path::BinderPath;
use crate::base::text::{FileId, Texts};
use crate::model::accepted::Accepted;
use crate::model::crib::{Calibration, Crib};
use crate::model::family::Family;
use crate::model::fleet::Machine;
use crate::model::procedure::Procedure;
use crate::model::settings::Settings;
use crate::model::verbs::PlantVerb;
use crate::model::waiver::Waiver;
use std::collections::BTreeMap;

/// The binder format this program reads and writes.
pub const FORMAT: u32 = 1;

/// A plant's binder.
#[derive(Clone, Debug)]
pub struct Binder {
    /// Every text that was read.
    pub texts: Texts,
    /// Plant, language, print.
    pub settings: Settings,
    /// Tools, instruments, fluids.
    pub crib: Crib,
    /// Calibration dates.
    pub calibration: Vec<Calibration>,
    /// The installed machines, in the order written.
    pub fleet: Vec<Machine>,
    /// The families, in order of their files.
    pub families: Vec<Family>,
    /// The procedures, in order of their document numbers.
    pub procedures: Vec<Procedure>,
    /// The plant's own verbs.
    pub verbs: Vec<PlantVerb>,
    /// The findings the plant accepts.
    pub waivers: Vec<Waiver>,
    /// Accepted actions by the file of their procedure.
    pub accepted: BTreeMap<FileId, Accepted>,
    /// Figures by path, with their bytes.
    pub figures: BTreeMap<BinderPath, Vec<u8>>,
    /// The plant's own templates by file name.
    pub templates: BTreeMap<String, String>,
    /// Whether every register could be read; if not, nothing can be judged against them.
    pub registers: Registers,
}

/// Whether the registers can be relied on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Registers {
    /// All of them were read.
    Whole,
    /// At least one could not be read; what is held against it would only repeat that.
    Broken,
}

impl Binder {
    /// Returns the family of this identifier.
    #[must_use]
    pub fn family(&self, id: &FamilyId) -> Option<&Family> {
        self.families.iter().find(|family| family.id.value == *id)
    }

    /// Returns the procedure of this number.
    #[must_use]
    pub fn procedure(&self, document: &DocumentNumber) -> Option<&Procedure> {
        self.procedures.iter().find(|procedure| procedure.document.value == *document)
    }

    /// Returns the machine of this tag.
    #[must_use]
    pub fn machine(&self, tag: &Tag) -> Option<&Machine> {
        self.fleet.iter().find(|machine| machine.tag.value == *tag)
    }

    /// Returns the path of a figure as written in a procedure, if it stays inside the binder.
    #[must_use]
    pub fn figure_path(&self, procedure: &Procedure, written: &str) -> Option<BinderPath> {
        self.texts.get(procedure.file).path().folder().join(written).ok()
    }
}
