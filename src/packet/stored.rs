//! A packet as it is stored and read back: the bytes that an approval covers; it knows no place where they lie.
//!
//! What is read must hold all that the bytes hold: a field that this program does not know could be a caution or a limit of a
//! newer one, and would not be printed. Such bytes are refused by name. The other way round, what an older program stored lacks
//! the fields that came later, and is read.

use crate::packet::view::{FORMAT, Packet};
use serde::Deserialize;
use serde_json::Value;

/// The largest packet that is stored or read.
pub const MOST_BYTES: usize = 16 * 1024 * 1024;

/// Why bytes are no packet that can be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StoredError {
    /// Larger than any packet is.
    #[error("it has {found} bytes; a stored packet has at most {MOST_BYTES}")]
    TooLarge {
        /// How many bytes there are.
        found: usize,
    },
    /// Another program's form.
    #[error("it was made by a newer program (form {found}; this program knows {FORMAT}): update this program")]
    Newer {
        /// The number of its form.
        found: u32,
    },
    /// Something in it would not be printed.
    #[error("it holds `{0}`, which this program does not know and would not print: update this program")]
    Unknown(String),
    /// Damaged, or something else.
    #[error("it is no compiled packet: {0}")]
    NotAPacket(String),
}

/// What is read first, whatever the rest is.
#[derive(Deserialize)]
struct Form {
    format: u32,
    card: FormOfCard,
}

#[derive(Deserialize)]
struct FormOfCard {
    format: u32,
}

/// Returns the bytes of a packet that are stored, and whose SHA-256 is the packet's digest.
///
/// # Errors
/// A [`StoredError`] where they could not be read back.
pub fn write(packet: &Packet) -> Result<Vec<u8>, StoredError> {
    let bytes = serde_json::to_vec(packet).expect("a packet is plain data with text keys");
    read(&bytes)?;
    Ok(bytes)
}

/// Reads a stored packet.
///
/// # Errors
/// A [`StoredError`] for bytes that are too many, of a newer form, no packet, or that hold more than this program knows.
pub fn read(bytes: &[u8]) -> Result<Packet, StoredError> {
    if bytes.len() > MOST_BYTES {
        return Err(StoredError::TooLarge { found: bytes.len() });
    }
    // The parser refuses nesting of 128 and more, so hostile depth is an error here and below.
    let form: Form = serde_json::from_slice(bytes).map_err(|error| not_a_packet(&error))?;
    let newest = form.format.max(form.card.format);
    if newest > FORMAT {
        return Err(StoredError::Newer { found: newest });
    }
    if form.format == 0 || form.card.format == 0 {
        return Err(StoredError::NotAPacket("there is no form 0".to_owned()));
    }
    let packet: Packet = serde_json::from_slice(bytes).map_err(|error| not_a_packet(&error))?;
    let written: Value = serde_json::from_slice(bytes).map_err(|error| not_a_packet(&error))?;
    let again = serde_json::to_value(&packet).expect("a packet is plain data with text keys");
    match lost(&written, &again, "") {
        Some(place) => Err(StoredError::Unknown(place)),
        None => Ok(packet),
    }
}

fn not_a_packet(error: &serde_json::Error) -> StoredError {
    StoredError::NotAPacket(error.to_string())
}

/// Returns the first place at which what was written is not what was read; what was read may hold more.
fn lost(written: &Value, again: &Value, place: &str) -> Option<String> {
    match (written, again) {
        (Value::Object(fields), Value::Object(own)) => fields.iter().find_map(|(key, value)| {
            let inside = if place.is_empty() { key.clone() } else { format!("{place}.{key}") };
            match own.get(key) {
                Some(own) => lost(value, own, &inside),
                // An empty field that is left out when it is written says nothing.
                None => (!is_empty(value)).then_some(inside),
            }
        }),
        (Value::Array(items), Value::Array(own)) if items.len() == own.len() => {
            let mut pairs = items.iter().zip(own).enumerate();
            pairs.find_map(|(at, (item, own))| lost(item, own, &format!("{place}[{at}]")))
        }
        _ => (written != again).then(|| place.to_owned()),
    }
}

fn is_empty(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::String(text) => text.is_empty(),
        Value::Array(items) => items.is_empty(),
        Value::Bool(_) | Value::Number(_) | Value::Object(_) => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::packet::identity;
    use sha2::{Digest as _, Sha256};

    /// As an older program stored it.
    const SAMPLE: &str = include_str!("../../tests/data/packet-p133.json");

    fn sample() -> Value {
        serde_json::from_str(SAMPLE).expect("sound JSON")
    }

    fn read_value(value: &Value) -> Result<Packet, StoredError> {
        read(&serde_json::to_vec(value).expect("plain data"))
    }

    #[test]
    fn what_is_written_is_read_and_has_the_packets_digest() {
        let packet = read(SAMPLE.as_bytes()).expect("the sample is a packet");
        let bytes = write(&packet).expect("it can be read back");
        assert_eq!(read(&bytes), Ok(packet.clone()));
        assert_eq!(data_encoding::HEXLOWER.encode(&Sha256::digest(&bytes)), identity::of(&packet).digest);
    }

    #[test]
    fn a_newer_form_is_refused_by_its_number_whatever_else_it_holds() {
        let mut newer = sample();
        newer["format"] = 2.into();
        newer["stages"] = "something else".into();
        assert_eq!(read_value(&newer), Err(StoredError::Newer { found: 2 }));
        let mut newer = sample();
        newer["card"]["format"] = 3.into();
        assert_eq!(read_value(&newer), Err(StoredError::Newer { found: 3 }));
        assert!(StoredError::Newer { found: 2 }.to_string().contains("newer program (form 2"));
    }

    #[test]
    fn a_field_that_would_not_be_printed_is_named() {
        let mut more = sample();
        more["stages"][0]["steps"][0]["poison"] = "do not breathe".into();
        assert_eq!(read_value(&more), Err(StoredError::Unknown("stages[0].steps[0].poison".to_owned())));
    }

    #[test]
    fn hostile_bytes_are_refused() {
        let deep = format!("{}{}", "[".repeat(200_000), "]".repeat(200_000));
        let deep_field = SAMPLE.replacen('{', &format!("{{\"more\": {deep},"), 1);
        let twice = SAMPLE.replacen('{', "{\"tag\": \"P-121\",", 1);
        for hostile in [b"".as_slice(), b"null", b"{}", b"\xff\xfe", &SAMPLE.as_bytes()[..SAMPLE.len() / 2]] {
            assert!(matches!(read(hostile), Err(StoredError::NotAPacket(_))), "{hostile:?}");
        }
        for hostile in [deep, deep_field, twice] {
            assert!(matches!(read(hostile.as_bytes()), Err(StoredError::NotAPacket(_))), "{}", &hostile[..40]);
        }
        let large = vec![b' '; MOST_BYTES + 1];
        assert_eq!(read(&large), Err(StoredError::TooLarge { found: MOST_BYTES + 1 }));
        let mut none = sample();
        none["format"] = 0.into();
        assert!(matches!(read_value(&none), Err(StoredError::NotAPacket(_))));
    }
}
