//! Files among the protected ones whose path is none the program writes; nothing rests on them.

use crate::trust::digest::Digest;
use crate::trust::place;
use crate::trust::root::RECOVERY;
use crate::trust::store::Store;
use crate::trust::verdict::{Code, Verdict};
use crate::trust::word::{self, Person};

/// Returns what lies among the protected files without being one: nobody wrote it with this program.
#[must_use]
pub fn strays(store: &dyn Store) -> Vec<Verdict> {
    let folders = ["trust/", "approvals/", "resolved/", "ledger/"];
    let every = folders.iter().flat_map(|folder| store.paths(folder));
    let told = "the program writes no such file; nothing rests on it";
    every.filter(|path| !is_known(path)).map(|path| Verdict::new(Code::Stray, path, told)).collect()
}

fn is_known(path: &str) -> bool {
    let plain = path.strip_suffix(".sig").unwrap_or(path);
    let is_signed = plain.len() < path.len();
    if let Some(name) = plain.strip_prefix("trust/") {
        return is_of_a_root(name, is_signed);
    }
    if let Some(rest) = plain.strip_prefix("approvals/") {
        let Some((digest, name)) = rest.split_once('/') else { return false };
        let Some(digest) = Digest::parse(digest) else { return false };
        return (name == "manifest" && !is_signed) || place::statement_at(&digest, plain).is_some();
    }
    if let Some(rest) = plain.strip_prefix("resolved/") {
        let name = rest.rsplit('/').next().and_then(|name| name.strip_suffix(".json"));
        return !is_signed && name.and_then(Digest::parse).is_some_and(|digest| place::packet(&digest) == plain);
    }
    place::record_at(plain).is_some()
}

fn is_of_a_root(name: &str, is_signed: bool) -> bool {
    let parts: Vec<&str> = name.split('.').collect();
    let number = parts.first().and_then(|number| word::count(number).ok());
    match (number, &parts[1..]) {
        (Some(_), ["root" | "allowed_signers"]) => !is_signed,
        (Some(_), ["root", holder]) => is_signed && (*holder == RECOVERY || Person::parse(holder).is_ok()),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trust::store::Shelf;
    use crate::trust::verdict::Severity;

    #[test]
    fn only_what_the_program_writes_is_known() {
        let digest = Digest::of(b"abc");
        let mut shelf = Shelf::default();
        for path in [
            "trust/1.root".to_owned(),
            "trust/1.root.alice.sig".to_owned(),
            "trust/1.root.recovery.sig".to_owned(),
            "trust/12.allowed_signers".to_owned(),
            place::manifest(&digest),
            format!("{}alice.approve", place::folder(&digest)),
            format!("{}alice.2.approve.sig", place::folder(&digest)),
            place::packet(&digest),
            "ledger/000/000001.record".to_owned(),
            "ledger/000/000001.record.sig".to_owned(),
        ] {
            shelf.put(path, "");
        }
        assert_eq!(strays(&shelf), []);
        let wrong = [
            "trust/01.root",
            "trust/1.root.sig",
            "trust/readme",
            "approvals/abc/manifest",
            "resolved/00/abc.json",
            "ledger/000001.record",
            "ledger/000/1.record",
        ];
        for path in wrong {
            let mut shelf = Shelf::default();
            shelf.put(path, "");
            let found = strays(&shelf);
            assert_eq!(found.len(), 1, "{path}");
            assert_eq!((found[0].code, found[0].severity), (Code::Stray, Severity::Warn));
        }
    }
}
