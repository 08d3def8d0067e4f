//! What a build is going to make: every job that no error suppresses, the faces they share, and where each output goes.
//!
//! A compiled packet is large and there may be thousands, so only its digest and words are kept; it is compiled again
//! when it is printed.

use crate::analysis::effectivity;
use crate::analysis::job::Job;
use crate::analysis::run::{Readings, Run};
use crate::base::finding::Finding;
use crate::base::name::{DocumentNumber, Tag};
use crate::base::path::BinderPath;
use crate::language::verb::Verbs;
use crate::model::binder::Binder;
use crate::model::fleet::Machine;
use crate::model::procedure::Procedure;
use crate::packet::compile::{FigureDigests, compile};
use crate::packet::identity::{self, Identity};
#[cfg(feature = "pdf")]
use crate::packet::view::CardPrint;
use crate::packet::view::{AcceptedFinding, Packet};
use crate::task::check::Judged;
use crate::task::manifest::{Reason, Suppressed};
use crate::task::runs;
use rayon::iter::{IntoParallelRefIterator as _, ParallelIterator as _};
use std::collections::BTreeMap;

/// A packet that will be made.
#[derive(Clone, Debug)]
pub(crate) struct Planned<'b> {
    pub(crate) procedure: &'b Procedure,
    pub(crate) machine: &'b Machine,
    /// Of the packet.
    pub(crate) packet: Identity,
    /// Of its card's face.
    pub(crate) face: Identity,
    /// How its card is printed.
    #[cfg(feature = "pdf")]
    pub(crate) print: CardPrint,
    /// The options the face depends on, with this tag's choices.
    pub(crate) choices: Vec<(String, String)>,
    pub(crate) not_checked: Vec<String>,
    accepted: Vec<AcceptedFinding>,
}

/// A face with the tags that share it.
#[derive(Clone, Debug)]
pub(crate) struct Shared {
    pub(crate) document: DocumentNumber,
    pub(crate) identity: Identity,
    /// Places in [`Plan::packets`], in the order of the fleet.
    pub(crate) packets: Vec<usize>,
    /// Where its card goes.
    pub(crate) card: BinderPath,
}

/// What will be made and what will not.
#[derive(Clone, Debug, Default)]
pub(crate) struct Plan<'b> {
    pub(crate) packets: Vec<Planned<'b>>,
    pub(crate) faces: Vec<Shared>,
    pub(crate) suppressed: Vec<Suppressed>,
}

impl Planned<'_> {
    pub(crate) fn document(&self) -> &DocumentNumber {
        &self.procedure.document.value
    }

    pub(crate) fn tag(&self) -> &Tag {
        &self.machine.tag.value
    }

    /// Compiles the packet again; it was whole when it was planned.
    pub(crate) fn compiled(&self, binder: &Binder, figures: &FigureDigests) -> Packet {
        let packet = runs::packet(binder, figures, self.procedure, self.machine);
        let packet = packet.expect("it was whole when it was planned, and a binder never changes");
        Packet { accepted_findings: self.accepted.clone(), ..packet }
    }

    /// Returns where an output of this packet with the given ending goes.
    pub(crate) fn path(&self, ending: &str) -> BinderPath {
        output_path("packets", self.document(), self.tag().as_str(), ending)
    }
}

/// Plans everything that can be made of a judged binder.
pub(crate) fn plan(judged: &Judged) -> Plan<'_> {
    let verbs = Verbs::with(&judged.binder.verbs);
    let procedures = judged.binder.procedures.par_iter();
    let planned: Vec<Result<Planned<'_>, Suppressed>> =
        procedures.flat_map_iter(|procedure| of_procedure(judged, procedure, &verbs)).collect();
    let mut plan = Plan::default();
    for one in planned {
        match one {
            Ok(packet) => plan.packets.push(packet),
            Err(suppressed) => plan.suppressed.push(suppressed),
        }
    }
    plan.faces = shared(&mut plan.packets);
    plan
}

/// Machines that name everything alike are read once.
fn of_procedure<'b>(
    judged: &'b Judged,
    procedure: &'b Procedure,
    verbs: &Verbs,
) -> Vec<Result<Planned<'b>, Suppressed>> {
    let mut readings = Readings::with(verbs);
    let machines = effectivity::scope(&judged.binder, procedure).into_iter();
    machines.map(|machine| one(judged, procedure, machine, &mut readings)).collect()
}

fn one<'b>(
    judged: &'b Judged,
    procedure: &'b Procedure,
    machine: &'b Machine,
    readings: &mut Readings<'_>,
) -> Result<Planned<'b>, Suppressed> {
    let Judged { binder, figures, findings, .. } = judged;
    let (document, tag) = (&procedure.document.value, &machine.tag.value);
    let suppressed = |reasons| Suppressed { document: document.to_string(), tag: tag.to_string(), reasons };
    let errors: Vec<Reason> = findings.iter().filter(|finding| finding.suppresses(document, tag)).map(reason).collect();
    if !errors.is_empty() {
        return Err(suppressed(errors));
    }
    let job = Job::new(binder, procedure, machine).ok_or_else(|| suppressed(Vec::new()))?;
    let packet = compile(&Run::of(&job, readings), figures);
    let mut packet = packet.map_err(|errors| suppressed(errors.iter().map(reason).collect()))?;
    let accepted = accepted(judged, &job);
    packet.accepted_findings.clone_from(&accepted);
    let choices = packet.card.options.iter().map(|choice| (choice.option.clone(), choice.value.clone())).collect();
    let (identity, face) = (identity::of(&packet), identity::of(&packet.card));
    Ok(Planned {
        procedure,
        machine,
        packet: identity,
        face,
        #[cfg(feature = "pdf")]
        print: packet.print.expect("a packet that was just compiled says how its card is printed"),
        choices,
        not_checked: packet.not_checked,
        accepted,
    })
}

/// Returns what the plant accepts of the findings that concern a job: those of its document and tag, and those of the
/// registers it is made of.
fn accepted(judged: &Judged, job: &Job<'_>) -> Vec<AcceptedFinding> {
    let texts = &judged.binder.texts;
    let is_of_other_family = |finding: &Finding| {
        finding.span.is_some_and(|span| {
            span.file != job.family.file && texts.get(span.file).path().as_str().starts_with("families/")
        })
    };
    let concerns = |finding: &Finding| {
        finding
            .document
            .as_ref()
            .map_or_else(|| !is_of_other_family(finding), |own| *own == job.procedure.document.value)
            && (finding.tags.is_empty() || finding.tags.contains(job.tag()))
    };
    let mut accepted = Vec::new();
    for waived in judged.waived.iter().filter(|one| concerns(&one.finding)) {
        let one = AcceptedFinding {
            rule: waived.finding.rule.0.to_owned(),
            // Backticks are for a terminal; on paper a name stands in quotation marks.
            finding: waived.finding.message.replace('`', "\""),
            reason: waived.waiver.reason.clone(),
            by: waived.waiver.by.clone(),
            until: waived.waiver.until.value.to_string(),
        };
        if !accepted.contains(&one) {
            accepted.push(one);
        }
    }
    accepted
}

fn reason(finding: &Finding) -> Reason {
    Reason { rule: finding.rule.0, message: finding.message.clone() }
}

/// Returns the faces in the order of their first packets, those of one document with words of their own.
fn shared(packets: &mut [Planned<'_>]) -> Vec<Shared> {
    let mut faces: Vec<Shared> = Vec::new();
    let mut known: BTreeMap<(DocumentNumber, String), usize> = BTreeMap::new();
    for (at, packet) in packets.iter().enumerate() {
        let face = *known.entry((packet.document().clone(), packet.face.digest.clone())).or_insert_with(|| {
            faces.push(Shared {
                document: packet.document().clone(),
                identity: packet.face.clone(),
                packets: Vec::new(),
                card: BinderPath::root(),
            });
            faces.len() - 1
        });
        faces[face].packets.push(at);
    }
    let mut by_document: BTreeMap<DocumentNumber, Vec<&mut Identity>> = BTreeMap::new();
    for face in &mut faces {
        by_document.entry(face.document.clone()).or_default().push(&mut face.identity);
    }
    for identities in by_document.values_mut() {
        identity::tell_apart(identities);
    }
    for face in &mut faces {
        face.card = output_path("cards", &face.document, &face.identity.words.replace(' ', "-"), "pdf");
        for at in &face.packets {
            packets[*at].face = face.identity.clone();
        }
    }
    faces
}

/// Returns where an output of a document goes.
pub(crate) fn output_path(folder: &str, document: &DocumentNumber, name: &str, ending: &str) -> BinderPath {
    let path = |name: &str| BinderPath::parse(&format!("{folder}/{document}/{name}.{ending}"));
    // The schemas keep tags to letters, digits and a few signs; what is left is a tag called like a device of Windows.
    path(name).or_else(|_| path(&format!("tag-{name}"))).expect("the schemas keep documents and tags to plain names")
}
