//! Names that differ only in upper and lower case: some disks cannot hold both, so neither is read; it knows no folder.

use std::collections::{BTreeMap, BTreeSet};

#[must_use]
/// Returns those of `names` (all of one folder) that another one differs from only in upper and lower case.
pub fn of<'a>(names: impl Iterator<Item = &'a str>) -> BTreeSet<&'a str> {
    let mut by_fold: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    for name in names {
        by_fold.entry(name.to_lowercase()).or_default().push(name);
    }
    by_fold.into_values().filter(|same| same.len() > 1).flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_twin_is_named_and_nothing_else() {
        let twins = of(["Fleet.yaml", "fleet.yaml", "crib.yaml"].into_iter());
        assert_eq!(twins, BTreeSet::from(["Fleet.yaml", "fleet.yaml"]));
    }
}
