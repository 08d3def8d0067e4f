//! The roster as stock `ssh-keygen` reads it (`allowed_signers`), derived from a root; it decides about no signature.

use crate::trust::key::PublicKey;
use crate::trust::signature::Namespace;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// The most bytes of a roster.
pub const MOST_BYTES: usize = 256 << 10;

/// One line of a roster: a name, what it may sign, and a key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signer {
    /// The name that `ssh-keygen -I` takes, exactly.
    pub principal: String,
    /// What signatures of it are for.
    pub namespaces: BTreeSet<Namespace>,
    /// The key.
    pub key: PublicKey,
}

/// Why a roster is refused as a whole.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {why}")]
pub struct RosterFault {
    /// The line, from 1.
    pub line: usize,
    /// What is wrong.
    pub why: &'static str,
}

/// Returns the text of a roster with these lines.
#[must_use]
pub fn text(signers: &[Signer]) -> String {
    let mut text = String::new();
    for signer in signers {
        let namespaces: Vec<&str> = signer.namespaces.iter().map(|namespace| namespace.as_str()).collect();
        writeln!(text, "{} namespaces=\"{}\" {}", signer.principal, namespaces.join(","), signer.key)
            .expect("a text takes what is written");
    }
    text
}

/// Returns the lines of a roster that is written as this program writes it.
///
/// # Errors
/// A [`RosterFault`] where a line could mean more than one person, one key stands for two, a date decides, or the file is
/// written in another way.
pub fn read(bytes: &[u8]) -> Result<Vec<Signer>, RosterFault> {
    let fault = |line, why| Err(RosterFault { line, why });
    if bytes.len() > MOST_BYTES {
        return fault(1, "it is too large");
    }
    if bytes.starts_with(b"\xef\xbb\xbf") {
        return fault(1, "it begins with a byte order mark");
    }
    let Ok(whole) = str::from_utf8(bytes) else { return fault(1, "it is no UTF-8") };
    if !whole.is_empty() && !whole.ends_with('\n') {
        return fault(whole.lines().count(), "the last line has no line end");
    }
    let mut signers = Vec::new();
    let mut owners: BTreeMap<PublicKey, String> = BTreeMap::new();
    for (at, line) in whole.split_terminator('\n').enumerate() {
        let signer = signer(line).map_err(|why| RosterFault { line: at + 1, why })?;
        if let Some(owner) = owners.insert(signer.key, signer.principal.clone()) {
            let is_own = owner == signer.principal;
            return fault(at + 1, if is_own { "this key stands here twice" } else { "this key is another person's" });
        }
        signers.push(signer);
    }
    if text(&signers) != whole {
        return fault(1, "it is spelled in another way");
    }
    Ok(signers)
}

fn signer(line: &str) -> Result<Signer, &'static str> {
    if line.contains('\r') {
        return Err("it holds a carriage return");
    }
    let words: Vec<&str> = line.split(' ').collect();
    let [principal, options, algorithm, key] = words[..] else {
        return Err("a line is a name, `namespaces=`, and a key");
    };
    if principal.contains(['*', '?', '!', ',']) {
        return Err("a name stands for exactly one person: no `*`, `?`, `!` or `,`");
    }
    let is_name = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if principal.strip_suffix("@plant").is_none_or(|name| name.is_empty() || !name.chars().all(is_name)) {
        return Err("a name is an id and `@plant`");
    }
    if options.contains("valid-") {
        return Err("the ledger decides when a key holds, not a date");
    }
    let list = options.strip_prefix("namespaces=\"").and_then(|rest| rest.strip_suffix('"'));
    let list = list.ok_or("only `namespaces=` stands between name and key")?;
    let every = [Namespace::Approve, Namespace::Prepare, Namespace::Release, Namespace::Root];
    let mut namespaces = BTreeSet::new();
    for word in list.split(',') {
        let namespace = every.into_iter().find(|namespace| namespace.as_str() == word);
        namespaces.insert(namespace.ok_or("this namespace is none of the program's")?);
    }
    let key = PublicKey::parse(&format!("{algorithm} {key}")).map_err(|_| "the key is no Ed25519 key")?;
    Ok(Signer { principal: principal.to_owned(), namespaces, key })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trust::samples::key;

    fn two() -> Vec<Signer> {
        let signer = |name: &str, namespaces: &[Namespace]| Signer {
            principal: format!("{name}@plant"),
            namespaces: namespaces.iter().copied().collect(),
            key: key(name).public(),
        };
        vec![signer("alice", &[Namespace::Approve, Namespace::Root]), signer("bob", &[Namespace::Release])]
    }

    #[test]
    fn a_roster_is_read_as_it_is_written() {
        let whole = text(&two());
        assert!(
            whole.starts_with("alice@plant namespaces=\"approve.v1@matchmark,root.v1@matchmark\" ssh-ed25519 AAAA")
        );
        assert_eq!(read(whole.as_bytes()), Ok(two()));
    }

    /// `ssh-keygen` takes most of these; what it would understand by them is not what the root says.
    #[test]
    fn what_could_mean_more_than_it_says_is_refused() {
        let whole = text(&two());
        let twice = whole.replace(&key("bob").public().to_string(), &key("alice").public().to_string());
        for (other, line) in [
            (whole.replacen("alice@plant", "*", 1), 1),
            (whole.replacen("alice@plant", "alice@plant,bob@plant", 1), 1),
            (whole.replacen("bob@plant", "!bob@plant", 1), 2),
            (whole.replacen("namespaces", "valid-before=\"20270101\",namespaces", 1), 1),
            (whole.replacen("namespaces", "cert-authority,namespaces", 1), 1),
            (whole.replacen("namespaces=\"release.v1@matchmark\" ", "", 1), 2),
            (twice, 2),
            (format!("\u{feff}{whole}"), 1),
            (whole.replacen('\n', "\r\n", 1), 1),
            (format!("{whole}# note\n"), 3),
            (format!("{whole}\n"), 3),
            (whole.trim_end().to_owned(), 2),
            (whole.replacen("approve.v1@matchmark,root.v1@matchmark", "root.v1@matchmark,approve.v1@matchmark", 1), 1),
            (whole.replacen("alice@plant", "Alice@plant", 1), 1),
        ] {
            assert_eq!(read(other.as_bytes()).expect_err(&other).line, line, "{other}");
        }
    }
}
