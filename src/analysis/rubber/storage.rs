//! How long rubber keeps on a shelf by its cure date; the two standards are kept apart and never mixed.

use crate::analysis::working::{Known, Refusal, Source};
use crate::base::date::Date;

/// By which standard a store keeps its rubber.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standard {
    /// ISO 2230:2002: a first period, then an extension after inspection.
    Iso2230,
    /// SAE ARP5316: one period, or none at all.
    Arp5316,
}

/// How long a rubber keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Life {
    /// So many years; then, where it passes inspection, so many more.
    Years {
        /// First period.
        first: u32,
        /// Extension after inspection; zero where the standard has none.
        extension: u32,
    },
    /// The standard sets no limit by age.
    Unlimited,
}

/// A group of rubbers that keep equally long.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// Its name in the standard; may be empty.
    pub name: &'static str,
    /// Symbols of ISO 1629.
    pub rubbers: &'static [&'static str],
    /// Symbols of which it is only remembered that they belong here.
    pub remembered: &'static [&'static str],
    /// How long they keep.
    pub life: Life,
}

/// How long a piece keeps, by its cure date.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shelf {
    /// The first day it may have been cured on.
    pub cured: Date,
    /// The group.
    pub group: &'static Group,
    /// The day from which it is inspected before use; none where age sets no limit.
    pub inspect_from: Option<Date>,
    /// The day from which it is not used; none where age sets no limit.
    pub ends: Option<Date>,
    /// How the group is known.
    pub source: Source,
}

const YEARS_5_2: Life = Life::Years { first: 5, extension: 2 };
const YEARS_7_3: Life = Life::Years { first: 7, extension: 3 };
const YEARS_10_5: Life = Life::Years { first: 10, extension: 5 };

const fn years(first: u32) -> Life {
    Life::Years { first, extension: 0 }
}

/// ISO 2230:2002, clause 4: the years were found in print; NR, AU, NBR, HNBR, CR, EPDM, FKM, VMQ, FVMQ and FFKM too, the
/// other members of the groups are from memory.
static ISO_2230: [Group; 3] = [
    Group { name: "A", rubbers: &["NR", "AU"], remembered: &["IR", "BR", "SBR", "EU"], life: YEARS_5_2 },
    Group {
        name: "B",
        rubbers: &["NBR", "HNBR", "CR"],
        remembered: &["ACM", "ECO", "IIR", "CIIR", "BIIR"],
        life: YEARS_7_3,
    },
    Group {
        name: "C",
        rubbers: &["EPDM", "FKM", "VMQ", "FVMQ", "FFKM"],
        remembered: &["EPM", "PVMQ", "CSM"],
        life: YEARS_10_5,
    },
];

/// SAE ARP5316, with which MIL-HDBK-695E agrees: found in two public tables.
static ARP_5316: [Group; 4] = [
    Group { name: "", rubbers: &["NBR", "HNBR", "CR", "ACM", "AEM"], remembered: &[], life: years(15) },
    Group { name: "", rubbers: &["AU", "EU"], remembered: &[], life: years(5) },
    Group { name: "", rubbers: &["SBR"], remembered: &[], life: years(3) },
    Group {
        name: "",
        rubbers: &["EPDM", "FKM", "FFKM", "VMQ", "FVMQ", "IIR", "FEPM"],
        remembered: &[],
        life: Life::Unlimited,
    },
];

impl Standard {
    /// Returns its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Iso2230 => "ISO 2230:2002",
            Self::Arp5316 => "SAE ARP5316",
        }
    }

    /// Returns its groups.
    #[must_use]
    pub fn groups(self) -> &'static [Group] {
        match self {
            Self::Iso2230 => &ISO_2230,
            Self::Arp5316 => &ARP_5316,
        }
    }

    /// Returns how rubber is stored by it.
    #[must_use]
    pub fn conditions(self) -> &'static str {
        match self {
            Self::Iso2230 => "stored at 25 °C or less, away from light, ozone, heat and strain",
            Self::Arp5316 => "stored at 38 °C (100 °F) or less, below 75 % relative humidity (65 % for polyurethane)",
        }
    }

    /// Returns the group of a rubber and how it is known that the rubber belongs there.
    ///
    /// # Errors
    /// A [`Refusal`] where the table does not name the rubber.
    pub fn group(self, rubber: &str) -> Result<(&'static Group, Source), Refusal> {
        let symbol = rubber.trim().to_uppercase();
        for group in self.groups() {
            if group.rubbers.contains(&symbol.as_str()) {
                return Ok((group, Source::of(self.table(), Known::Found)));
            }
            if group.remembered.contains(&symbol.as_str()) {
                return Ok((group, Source::of(self.table(), Known::Memory)));
            }
        }
        let known = |group: &Group| group.rubbers.iter().chain(group.remembered).copied().collect::<Vec<_>>();
        let list = self.groups().iter().flat_map(known).collect::<Vec<_>>().join(", ");
        Err(Refusal::new(format!("the table of {} has no rubber `{rubber}`", self.name()))
            .hint(format!("it has {list}; for another, ask its maker")))
    }

    fn table(self) -> &'static str {
        match self {
            Self::Iso2230 => "ISO 2230:2002, clause 4 and storage tables",
            Self::Arp5316 => "SAE ARP5316; MIL-HDBK-695E",
        }
    }
}

/// Returns how long a piece keeps that was cured on or after a day.
///
/// A month or a quarter on a bag says no day: its first day is taken, so that no piece is older than it is thought to be.
/// The clock runs from the cure, not from the purchase.
///
/// # Errors
/// A [`Refusal`] where the table does not name the rubber, or the calendar ends.
pub fn shelf(standard: Standard, rubber: &str, cured: Date) -> Result<Shelf, Refusal> {
    let (group, source) = standard.group(rubber)?;
    let (inspect_from, ends) = match group.life {
        Life::Unlimited => (None, None),
        Life::Years { first, extension } => {
            let after = |years: u32| {
                cured
                    .plus_months(years * 12)
                    .ok_or_else(|| Refusal::new(format!("the calendar ends before `{cured}` and {years} years")))
            };
            (Some(after(first)?), Some(after(first + extension)?))
        }
    };
    Ok(Shelf { cured, group, inspect_from, ends, source })
}

/// Returns the first day of what a bag says: `2019-03-14`, `2019-03`, `2019-Q1` or `1Q2019`.
///
/// # Errors
/// A [`Refusal`] where it is none of these, or the calendar has no such day.
pub fn cure_date(text: &str) -> Result<Date, Refusal> {
    let text = text.trim();
    let day = quarter(text).or_else(|| is_month(text).then(|| format!("{text}-01"))).unwrap_or_else(|| text.to_owned());
    if day.starts_with('0') || day.starts_with('1') && !day.starts_with("19") {
        let refusal = Refusal::new(format!("`{text}` is no cure date: no ring on a shelf is that old"));
        return Err(refusal.hint("look at the bag again"));
    }
    Date::parse(&day).map_err(|fault| {
        Refusal::new(format!("`{text}` is no cure date: {fault}"))
            .hint("write a day (`2019-03-14`), a month (`2019-03`) or a quarter (`2019-Q1`, `1Q2019`)")
    })
}

fn is_month(text: &str) -> bool {
    text.len() == 7 && text.as_bytes()[4] == b'-'
}

/// Returns the first day of a quarter, if the text names one.
fn quarter(text: &str) -> Option<String> {
    let upper = text.to_uppercase();
    let (year, number) = match upper.split_once("-Q") {
        Some(both) => both,
        None => upper.split_once('Q').map(|(number, year)| (year, number))?,
    };
    let is_digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let first_month = match number {
        "1" => "01",
        "2" => "04",
        "3" => "07",
        "4" => "10",
        _ => return None,
    };
    // Two digits of a year are refused: they name a year in every century.
    (year.len() == 4 && is_digits(year)).then(|| format!("{year}-{first_month}-01"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(standard: Standard, rubber: &str, cured: &str) -> String {
        let shelf = cure_date(cured).and_then(|cured| shelf(standard, rubber, cured));
        let day = |day: Option<Date>| day.map_or_else(|| "never".to_owned(), |day| day.to_string());
        shelf.map_or_else(
            |refusal| refusal.message,
            |it| format!("{} {} {}", it.cured, day(it.inspect_from), day(it.ends)),
        )
    }

    #[test]
    fn the_two_standards_are_kept_apart() {
        assert_eq!(shown(Standard::Iso2230, "EPDM", "2019-03"), "2019-03-01 2029-03-01 2034-03-01");
        assert_eq!(shown(Standard::Arp5316, "EPDM", "2019-03"), "2019-03-01 never never");
        assert_eq!(shown(Standard::Iso2230, "nbr", "2019-Q2"), "2019-04-01 2026-04-01 2029-04-01");
        assert_eq!(shown(Standard::Arp5316, "NBR", "2Q2019"), "2019-04-01 2034-04-01 2034-04-01");
        assert_eq!(shown(Standard::Iso2230, "AU", "2020-02-29"), "2020-02-29 2025-02-28 2027-02-28");
        assert!(shown(Standard::Iso2230, "FEPM", "2019-03").contains("has no rubber `FEPM`"));
        assert!(shown(Standard::Arp5316, "NR", "2019-03").contains("has no rubber `NR`"));
    }

    #[test]
    fn an_impossible_date_is_refused() {
        for text in [
            "",
            "2019",
            "2019-13",
            "2019-00",
            "2019-02-30",
            "03/2019",
            "5Q2019",
            "1Q19",
            "Q1",
            "1Q",
            "2019-Q0",
            "1Q019",
            "٢019-03",
        ] {
            assert!(cure_date(text).is_err(), "{text}");
        }
        assert!(shown(Standard::Iso2230, "EPDM", "9999-01").contains("the calendar ends"));
    }

    #[test]
    fn what_is_remembered_says_so() {
        let known = |rubber| Standard::Iso2230.group(rubber).expect(rubber).1.known;
        assert_eq!((known("EPDM"), known("CSM")), (Known::Found, Known::Memory));
    }
}
