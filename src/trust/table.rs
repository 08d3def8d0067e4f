//! What is current after a record: one packet for each document on each machine; it does not know dates.

use crate::base::name::{DocumentNumber, Tag};
use crate::trust::digest::Digest;
use crate::trust::manifest::{Removed, Resolved, Revised};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// The packets that are current, by document and machine.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    rows: BTreeMap<(DocumentNumber, Tag), Row>,
}

/// One packet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Row {
    /// The digest of its bytes.
    pub packet: Digest,
    /// The revision with which it came.
    pub revision: u32,
    /// The manifest with which it came.
    pub manifest: Digest,
}

impl Table {
    /// Puts in what the change with the manifest `digest` brings and takes out what it removes.
    pub fn release(&mut self, digest: Digest, documents: &[Revised], resolved: &[Resolved], removed: &[Removed]) {
        for removed in removed {
            self.rows.remove(&(removed.document.clone(), removed.tag.clone()));
        }
        for resolved in resolved {
            let own = documents.iter().find(|revised| revised.document == resolved.document);
            let row = Row { packet: resolved.digest, revision: own.map_or(0, |own| own.revision), manifest: digest };
            self.rows.insert((resolved.document.clone(), resolved.tag.clone()), row);
        }
    }

    /// Takes out what came with a manifest; nothing comes back in its place.
    pub fn withdraw(&mut self, digest: Digest) {
        self.rows.retain(|_, row| row.manifest != digest);
    }

    /// Returns the rows, by document and machine.
    pub fn rows(&self) -> impl Iterator<Item = (&DocumentNumber, &Tag, &Row)> {
        self.rows.iter().map(|((document, tag), row)| (document, tag, row))
    }

    /// Returns the row of a document on a machine.
    #[must_use]
    pub fn row(&self, document: &DocumentNumber, tag: &Tag) -> Option<&Row> {
        self.rows.get(&(document.clone(), tag.clone()))
    }

    /// Returns the table as text: a line each of document, tag, digest of the packet and revision, in the order of bytes.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = String::with_capacity(self.rows.len() * 96);
        for ((document, tag), row) in &self.rows {
            writeln!(text, "{document} {tag} {} {}", row.packet, row.revision).expect("a text takes what is written");
        }
        // Two names of which one begins with the other could be in another order as lines than as names.
        let mut lines: Vec<&str> = text.lines().collect();
        if lines.is_sorted() {
            return text;
        }
        lines.sort_unstable();
        lines.into_iter().flat_map(|line| [line, "\n"]).collect()
    }

    /// Returns the digest of that text.
    #[must_use]
    pub fn digest(&self) -> Digest {
        Digest::of(self.text().as_bytes())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trust::manifest::Manifest;
    use crate::trust::samples;

    fn release(table: &mut Table, digest: Digest, manifest: &Manifest) {
        table.release(digest, &manifest.documents, &manifest.resolved, &manifest.removed);
    }

    #[test]
    fn a_change_replaces_its_own_rows_and_a_withdrawal_leaves_a_hole() {
        let manifest = Manifest::parse(samples::manifest_text().as_bytes()).expect("a manifest");
        let (first, second) = (Digest::of(b"1"), Digest::of(b"2"));
        let mut table = Table::default();
        assert_eq!(table.digest(), Digest::of(b""));
        release(&mut table, first, &manifest);
        let only_one = Manifest { resolved: manifest.resolved[..1].to_vec(), ..manifest.clone() };
        release(&mut table, second, &only_one);
        assert_eq!(table.rows().map(|(_, _, row)| row.manifest).collect::<Vec<_>>(), [second, first]);
        table.withdraw(second);
        assert_eq!(table.rows().count(), 1);
    }

    #[test]
    fn the_lines_are_in_the_order_of_their_bytes() {
        let manifest = Manifest::parse(samples::manifest_text().as_bytes()).expect("a manifest");
        let mut table = Table::default();
        release(&mut table, Digest::of(b"1"), &manifest);
        let mut more = manifest.clone();
        more.resolved[0].tag = Tag::new("P-121+A");
        more.resolved[1].tag = Tag::new("P-121.1");
        release(&mut table, Digest::of(b"2"), &more);
        let text = table.text();
        let mut lines: Vec<&str> = text.lines().collect();
        lines.sort_unstable();
        assert_eq!(lines, text.lines().collect::<Vec<_>>());
        assert_eq!(lines.len(), 4);
    }
}
