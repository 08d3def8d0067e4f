//! Shelf life of rubber by ISO 2230 and by SAE ARP5316, which are kept apart.

use crate::agreement::{Agreement, Deviation};
use matchmark::analysis::rubber::storage::{Life, Standard, cure_date, shelf};

/// A row of a table.
type Row = (Standard, &'static str, Option<(u32, u32)>);

/// Standard, rubber, years of the first period and in all; none where age sets no limit.
///
/// Sources: ISO 2230:2002, clause 4 and storage tables: the years of the groups found on a public page; NR, AU, NBR, HNBR, CR, EPDM,
/// FKM, VMQ, FVMQ and FFKM found, the other members from memory. SAE ARP5316 and MIL-HDBK-695E: found in two public tables.
#[rustfmt::skip]
const ROWS: [Row; 37] = [
    (Standard::Iso2230, "NR", Some((5, 7))),
    (Standard::Iso2230, "IR", Some((5, 7))),
    (Standard::Iso2230, "BR", Some((5, 7))),
    (Standard::Iso2230, "SBR", Some((5, 7))),
    (Standard::Iso2230, "AU", Some((5, 7))),
    (Standard::Iso2230, "EU", Some((5, 7))),
    (Standard::Iso2230, "NBR", Some((7, 10))),
    (Standard::Iso2230, "HNBR", Some((7, 10))),
    (Standard::Iso2230, "CR", Some((7, 10))),
    (Standard::Iso2230, "ACM", Some((7, 10))),
    (Standard::Iso2230, "ECO", Some((7, 10))),
    (Standard::Iso2230, "IIR", Some((7, 10))),
    (Standard::Iso2230, "CIIR", Some((7, 10))),
    (Standard::Iso2230, "BIIR", Some((7, 10))),
    (Standard::Iso2230, "EPDM", Some((10, 15))),
    (Standard::Iso2230, "EPM", Some((10, 15))),
    (Standard::Iso2230, "FKM", Some((10, 15))),
    (Standard::Iso2230, "VMQ", Some((10, 15))),
    (Standard::Iso2230, "PVMQ", Some((10, 15))),
    (Standard::Iso2230, "FVMQ", Some((10, 15))),
    (Standard::Iso2230, "FFKM", Some((10, 15))),
    (Standard::Iso2230, "CSM", Some((10, 15))),
    (Standard::Arp5316, "NBR", Some((15, 15))),
    (Standard::Arp5316, "HNBR", Some((15, 15))),
    (Standard::Arp5316, "CR", Some((15, 15))),
    (Standard::Arp5316, "ACM", Some((15, 15))),
    (Standard::Arp5316, "AEM", Some((15, 15))),
    (Standard::Arp5316, "AU", Some((5, 5))),
    (Standard::Arp5316, "EU", Some((5, 5))),
    (Standard::Arp5316, "SBR", Some((3, 3))),
    (Standard::Arp5316, "EPDM", None),
    (Standard::Arp5316, "FKM", None),
    (Standard::Arp5316, "FFKM", None),
    (Standard::Arp5316, "VMQ", None),
    (Standard::Arp5316, "FVMQ", None),
    (Standard::Arp5316, "IIR", None),
    (Standard::Arp5316, "FEPM", None),
];

pub(crate) fn agreement() -> Agreement {
    for (standard, rubber, years) in ROWS {
        let (group, _) = standard.group(rubber).expect(rubber);
        let own = match group.life {
            Life::Unlimited => None,
            Life::Years { first, extension } => Some((first, first + extension)),
        };
        assert_eq!(own, years, "{} {rubber}", standard.name());
        let cured = cure_date("2000-03").expect("a month");
        let shelf = shelf(standard, rubber, cured).expect(rubber);
        let day = |years: u32| format!("{}-03-01", 2000 + years);
        assert_eq!(shelf.inspect_from.map(|day| day.to_string()), years.map(|(first, _)| day(first)));
        assert_eq!(shelf.ends.map(|day| day.to_string()), years.map(|(_, all)| day(all)));
    }
    let listed: usize = [Standard::Iso2230, Standard::Arp5316]
        .iter()
        .flat_map(|standard| standard.groups())
        .map(|group| group.rubbers.len() + group.remembered.len())
        .sum();
    assert_eq!(listed, ROWS.len(), "every rubber of the program stands in a published table");
    Agreement {
        table: "shelf life of rubber",
        rows: ROWS.len(),
        worst: Deviation::default(),
        tolerance: "exact",
        source: "ISO 2230:2002 (some members of groups from memory) and SAE ARP5316 with MIL-HDBK-695E, found",
    }
}

#[test]
fn shelf_lives_agree() {
    agreement();
    // Worked example: NBR cured on 2019-03-15. ISO 2230, group B: seven years to 2026-03-15, and three more to 2029-03-15; SAE ARP5316:
    // fifteen years, to 2034 (found, and computed by another hand).
    let cured = cure_date("2019-03-15").expect("a day");
    let iso = shelf(Standard::Iso2230, "NBR", cured).expect("listed");
    assert_eq!(iso.inspect_from.map(|day| day.to_string()).as_deref(), Some("2026-03-15"));
    assert_eq!(iso.ends.map(|day| day.to_string()).as_deref(), Some("2029-03-15"));
    let arp = shelf(Standard::Arp5316, "NBR", cured).expect("listed");
    assert!(arp.ends.is_some_and(|day| day.to_string().starts_with("2034-")), "{arp:?}");
    // Conditions of storage, found on several public pages.
    assert!(Standard::Iso2230.conditions().contains("25 °C or less"));
    let arp = Standard::Arp5316.conditions();
    assert!(
        arp.contains("38 °C (100 °F) or less") && arp.contains("below 75 %") && arp.contains("65 % for polyurethane")
    );
    // ARP5316 counts from the quarter of the cure (found).
    assert_eq!(cure_date("3Q2021").expect("a quarter").to_string(), "2021-07-01");
}
