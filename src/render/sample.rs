//! A realistic compiled packet for the tests of this room: P-133 of an invented creamery; nothing outside tests sees it.

use crate::base::stamp::{APPROVED, Approval, Control, PREPARED, Stamp};
use crate::packet::change::since::Since;
use crate::packet::identity::{self, Identity};
use crate::packet::view::{AcceptedFinding, Block, Packet, Run, RunKind};
use std::collections::BTreeMap;

/// Returns the packet of P-133.
pub(crate) fn packet() -> Packet {
    serde_json::from_str(include_str!("../../tests/data/packet-p133.json")).expect("the sample has the view's form")
}

/// Returns the packet with findings that the plant accepted: a short one and one whose reason is as long as may be.
pub(crate) fn packet_with_accepted_findings() -> Packet {
    let accepted = |finding: &str, reason: String, by: &str| AcceptedFinding {
        rule: "torque-without-step".to_owned(),
        finding: finding.to_owned(),
        reason,
        by: by.to_owned(),
        until: "2027-03-14".to_owned(),
    };
    let mut packet = packet();
    packet.accepted_findings = vec![
        accepted("no step names the torque of `guard screws`", "The guard hangs on a hinge.".to_owned(), "R. Example"),
        accepted(
            "no step names the torque of `casing closure`",
            "It waits for the summer stop. ".repeat(33),
            "T. Example-Longname",
        ),
    ];
    packet
}

/// Returns the bytes of the sample's figures by path.
pub(crate) fn figures() -> BTreeMap<String, Vec<u8>> {
    BTreeMap::from([("figures/gap.svg".to_owned(), include_bytes!("../../tests/data/gap.svg").to_vec())])
}

/// Returns the identity of a packet and of its face.
pub(crate) fn identities(packet: &Packet) -> (Identity, Identity) {
    (identity::of(packet), identity::of(&packet.card))
}

/// Returns the stamp of a draft of this packet.
pub(crate) fn draft(packet: &Packet) -> Stamp {
    Stamp::draft(&identity::of(packet).digest)
}

/// Returns the stamp of revision 7 of this packet, whose card last changed in revision 5.
pub(crate) fn controlled(packet: &Packet) -> Stamp {
    stamped(packet, None)
}

/// Returns the stamp of a change that holds until a day.
pub(crate) fn temporary(packet: &Packet) -> Stamp {
    stamped(packet, Some("2027-04-30"))
}

fn stamped(packet: &Packet, last_day: Option<&str>) -> Stamp {
    let signed = |name: &str, time: &str, meaning: &str| Approval {
        name: name.to_owned(),
        time: time.to_owned(),
        meaning: meaning.to_owned(),
    };
    let control = Control {
        revision: 7,
        card_revision: 5,
        effective: "2027-03-14",
        last_day,
        review_by: "2028-03-14",
        source: &identity::of(packet).digest,
        seq: 123,
        record: &"91eb3f00a1b2c3d4".repeat(4),
        as_of: "2027-03-12",
        approvals: vec![
            signed("C. Preparer", "2027-03-09T07:30:00Z", PREPARED),
            signed("A. Sample", "2027-03-10T09:00:00Z", APPROVED),
            signed("B. Example", "2027-03-10T11:15:00Z", APPROVED),
        ],
    };
    Stamp::controlled(&control).expect("it says everything")
}

/// Returns the packet as revision 6 had it, and what changed since: another torque, a caution less, a step that was worded
/// otherwise, one that was not there and one that is gone.
pub(crate) fn since(packet: &Packet) -> Since {
    let mut before = packet.clone();
    let at_steps = before.stages.iter_mut().flat_map(|stage| &mut stage.steps).flat_map(|step| &mut step.joints);
    for joint in before.joints.iter_mut().chain(at_steps).filter(|joint| joint.name == "casing closure") {
        joint.stages.last_mut().expect("a joint has a torque").torque = "41\u{a0}N·m".to_owned();
    }
    let steps = &mut before.stages[1].steps;
    let mut gone = steps[2].clone();
    gone.blocks = vec![Block::Paragraph {
        line: vec![Run { kind: RunKind::Text, text: "Hang the old tag on the valve.".to_owned(), href: None }],
    }];
    gone.cautions.clear();
    steps.remove(1);
    steps.push(gone);
    before.stages[0].steps[0].cautions.clone_from(&packet.stages[1].steps[0].cautions);
    Since::between("6", &before, packet)
}

#[test]
fn the_sample_is_read_without_loss() {
    let packet = packet();
    let written = serde_json::to_value(&packet).expect("text and numbers");
    let read: serde_json::Value =
        serde_json::from_str(include_str!("../../tests/data/packet-p133.json")).expect("sound JSON");
    assert_eq!(written, read);
    assert_eq!(packet.stages.iter().map(|stage| stage.steps.len()).sum::<usize>(), 38);
    assert_eq!(identities(&packet).0.digest.len(), 64);
    assert_eq!(draft(&packet).source.len(), 12);
    assert!(figures().contains_key(&packet.figures[0].path));
}
