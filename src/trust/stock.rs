//! The commands by which anybody checks a release with git, ssh-keygen and sha256sum; they are written, never run, here.

use crate::trust::chain::Rooted;
use crate::trust::digest::Digest;
use crate::trust::ledger::{Ledger, Released, Sealed};
use crate::trust::manifest::Manifest;
use crate::trust::place;
use crate::trust::signature::Namespace;
use crate::trust::weigh::Authentic;

/// Returns lines of a POSIX shell, run inside the repository, that end with an error where the release is not what it says:
/// the digest of the first root, its seal, manifest, approvals and packets, and the sources at the commit it names.
///
/// They check neither thresholds nor the chain nor what was taken back; the program does. None where the record releases nothing.
#[must_use]
pub fn commands(ledger: &Ledger, sealed: &Sealed, manifest: &Manifest) -> Option<Vec<String>> {
    let released = sealed.release.as_ref()?;
    let first = ledger.chain().roots().first()?;
    let rooted = ledger.chain().root(sealed.record.root.number)?;
    let mut lines = vec!["set -e; export GIT_NO_REPLACE_OBJECTS=1 LC_ALL=C; work=$(mktemp -d)".to_owned()];
    lines.push(digest_of("HEAD", &place::root(1), first.digest));
    lines.extend(roster(rooted));
    let record = place::record(sealed.record.seq);
    lines.extend(signed(&record, &sealed.record.person.principal(), Namespace::Release));
    lines.push(digest_of("HEAD", &record, sealed.digest));
    lines.extend(statements(released));
    lines.push(digest_of("HEAD", &place::manifest(&released.manifest), released.manifest));
    for resolved in &released.resolved {
        lines.push(digest_of("HEAD", &place::packet(&resolved.digest), resolved.digest));
    }
    for source in &manifest.sources {
        lines.push(digest_of(manifest.commit.as_str(), source.path.as_str(), source.digest));
    }
    lines.push("rm -r \"$work\"; echo good".to_owned());
    Some(lines)
}

fn roster(rooted: &Rooted) -> Vec<String> {
    let path = place::allowed_signers(rooted.root.number);
    vec![
        digest_of("HEAD", &path, Digest::of(&rooted.root.allowed_signers())),
        format!("git cat-file blob HEAD:{path} > \"$work/roster\""),
    ]
}

fn statements(released: &Released) -> Vec<String> {
    let of = |own: &Authentic, purpose| {
        let mut lines = signed(&own.path, &own.approval.person.principal(), purpose);
        lines.push(format!("git cat-file blob HEAD:{} | grep -qx 'manifest: {}'", own.path, released.manifest));
        lines.push(digest_of("HEAD", &own.path, own.digest));
        lines
    };
    let prepared = released.preparation.iter().flat_map(|own| of(own, Namespace::Prepare));
    prepared.chain(released.approvals.iter().flat_map(|own| of(own, Namespace::Approve))).collect()
}

fn signed(path: &str, principal: &str, purpose: Namespace) -> Vec<String> {
    vec![
        format!("git cat-file blob HEAD:{path}.sig > \"$work/sig\""),
        format!(
            "git cat-file blob HEAD:{path} | ssh-keygen -Y verify -f \"$work/roster\" -I {principal} -n {} -s \"$work/sig\"",
            purpose.as_str()
        ),
    ]
}

fn digest_of(commit: &str, path: &str, digest: Digest) -> String {
    let object = quoted(&format!("{commit}:{path}"));
    format!("[ \"$(git cat-file blob {object} | sha256sum)\" = '{digest}  -' ]")
}

/// Returns a word that the shell takes as it stands.
fn quoted(text: &str) -> String {
    let is_plain = |c: char| c.is_ascii_alphanumeric() || "/._:-".contains(c);
    if text.chars().all(is_plain) { text.to_owned() } else { format!("'{}'", text.replace('\'', r"'\''")) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_quoted_where_the_shell_would_read_more_in_it() {
        assert_eq!(quoted("HEAD:seals/MP-PA-101.md"), "HEAD:seals/MP-PA-101.md");
        assert_eq!(quoted("HEAD:a b/$(x)'.md"), r"'HEAD:a b/$(x)'\''.md'");
    }
}
