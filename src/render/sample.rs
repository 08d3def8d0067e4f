//! A realistic compiled packet for the tests of this room: P-133 of an invented creamery; nothing outside tests sees it.

use crate::base::stamp::Stamp;
use crate::packet::identity::{self, Identity};
use crate::packet::view::{AcceptedFinding, Packet};
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
