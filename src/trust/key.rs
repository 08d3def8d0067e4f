//! Keys of people: Ed25519 only, in the files that OpenSSH writes; it gets its chance from outside and reads no disk.

use ed25519_dalek::VerifyingKey;
use ssh_key::private::{Ed25519Keypair, KeypairData};
use ssh_key::rand_core::{CryptoRng, Error as ChanceError, RngCore};
use ssh_key::{LineEnding, PrivateKey};
use std::fmt;
use std::ops::Deref;

/// The most bytes of a key file.
pub const MOST_BYTES: usize = 16 << 10;
/// The word before a key, as OpenSSH writes it.
const ALGORITHM: &str = "ssh-ed25519";
/// What the encoded key begins with: the length of the word, the word, and the length of the key.
const HEAD: &[u8] = b"\x00\x00\x00\x0bssh-ed25519\x00\x00\x00\x20";

/// A source of chance that nobody can foretell; the operating system's, outside of tests.
pub trait Chance {
    /// Fills the bytes.
    fn fill(&mut self, bytes: &mut [u8]);
}

/// A public key, written as OpenSSH does and without a comment: `ssh-ed25519 AAAA...`.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PublicKey([u8; 32]);

/// Why a key cannot be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum KeyFault {
    /// It is no key of that kind, or is written in another way.
    #[error("it is no public key of the form `ssh-ed25519 AAAA...`")]
    NoPublicKey,
    /// Everybody could sign with it.
    #[error("this key is worthless: everybody can sign with it; make a new one")]
    Weak,
    /// It is no private key.
    #[error("it is no private key that OpenSSH would read")]
    NoPrivateKey,
    /// It is a key of another algorithm.
    #[error("it is no Ed25519 key; make one with `matchmark key new`")]
    OtherAlgorithm,
    /// A passphrase is needed.
    #[error("the key is locked with a passphrase")]
    Locked,
    /// The passphrase is wrong.
    #[error("the passphrase does not open the key")]
    WrongPassphrase,
    /// A passphrase without a character locks nothing.
    #[error("an empty passphrase locks nothing")]
    EmptyPassphrase,
    /// The key could not be written.
    #[error("the key cannot be written")]
    Unwritable,
}

impl PublicKey {
    /// Returns the key with these bytes (RFC 8032, 5.1.5).
    ///
    /// # Errors
    /// A [`KeyFault`] where the bytes are no point of the curve, or one for which everybody can sign.
    pub fn from_bytes(bytes: [u8; 32]) -> Result<Self, KeyFault> {
        let key = VerifyingKey::from_bytes(&bytes).map_err(|_| KeyFault::NoPublicKey)?;
        if key.is_weak() { Err(KeyFault::Weak) } else { Ok(Self(bytes)) }
    }

    /// Returns the key that `text` writes, without a comment.
    ///
    /// # Errors
    /// A [`KeyFault`] where it is none, or is not written in the one way.
    pub fn parse(text: &str) -> Result<Self, KeyFault> {
        let encoded = text.strip_prefix(ALGORITHM).and_then(|rest| rest.strip_prefix(' '));
        let encoded = encoded.ok_or(KeyFault::NoPublicKey)?;
        let decoded = data_encoding::BASE64.decode(encoded.as_bytes()).map_err(|_| KeyFault::NoPublicKey)?;
        let bytes = decoded.strip_prefix(HEAD).and_then(|rest| rest.try_into().ok());
        let key = Self::from_bytes(bytes.ok_or(KeyFault::NoPublicKey)?)?;
        if key.to_string() == text { Ok(key) } else { Err(KeyFault::NoPublicKey) }
    }

    /// Returns the key of a public key file: one line, which may end with a comment.
    ///
    /// # Errors
    /// A [`KeyFault`] where the first two words are no key.
    pub fn of_file(text: &str) -> Result<Self, KeyFault> {
        let mut words = text.split_ascii_whitespace();
        let (Some(algorithm), Some(key)) = (words.next(), words.next()) else { return Err(KeyFault::NoPublicKey) };
        if algorithm != ALGORITHM && algorithm.starts_with("ssh-") || algorithm.starts_with("ecdsa-") {
            return Err(KeyFault::OtherAlgorithm);
        }
        Self::parse(&format!("{algorithm} {key}"))
    }

    /// Returns the 32 bytes.
    #[must_use]
    pub fn bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

impl fmt::Display for PublicKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let encoded = data_encoding::BASE64.encode(&[HEAD, &self.0].concat());
        write!(f, "{ALGORITHM} {encoded}")
    }
}

impl fmt::Debug for PublicKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// A private key, open for signing; it is wiped from memory when it is dropped and never printed.
pub struct SigningKey {
    pub(super) key: PrivateKey,
    public: PublicKey,
}

impl SigningKey {
    /// Returns a new key; `comment` is what its files say beside it.
    ///
    /// # Errors
    /// A [`KeyFault`] where no key comes of this chance.
    pub fn new(chance: &mut dyn Chance, comment: &str) -> Result<Self, KeyFault> {
        let pair = Ed25519Keypair::random(&mut Adapter(chance));
        let key = PrivateKey::new(KeypairData::Ed25519(pair), comment).map_err(|_| KeyFault::NoPrivateKey)?;
        Self::of(key)
    }

    /// Returns the key in a private key file that OpenSSH or this program wrote.
    ///
    /// # Errors
    /// A [`KeyFault`] where it is none, is of another algorithm, or the passphrase is missing or wrong.
    pub fn open(file: &[u8], passphrase: Option<&[u8]>) -> Result<Self, KeyFault> {
        if file.len() > MOST_BYTES {
            return Err(KeyFault::NoPrivateKey);
        }
        // An editor on Windows may have given the file its own line ends: they carry no meaning in it.
        let plain: Vec<u8> = file.iter().copied().filter(|b| *b != b'\r').collect();
        let key = PrivateKey::from_openssh(&plain).map_err(|_| KeyFault::NoPrivateKey)?;
        if key.public_key().key_data().ed25519().is_none() {
            return Err(KeyFault::OtherAlgorithm);
        }
        if !key.is_encrypted() {
            return Self::of(key);
        }
        let passphrase = passphrase.ok_or(KeyFault::Locked)?;
        Self::of(key.decrypt(passphrase).map_err(|_| KeyFault::WrongPassphrase)?)
    }

    fn of(key: PrivateKey) -> Result<Self, KeyFault> {
        let public = key.public_key().key_data().ed25519().ok_or(KeyFault::OtherAlgorithm)?.0;
        if key.key_data().ed25519().is_none_or(|pair| pair.public.0 != public) {
            return Err(KeyFault::NoPrivateKey);
        }
        let public = PublicKey::from_bytes(public)?;
        Ok(Self { key, public })
    }

    /// Returns the public half.
    #[must_use]
    pub fn public(&self) -> PublicKey {
        self.public
    }

    /// Returns the private key file without a passphrase: for throw-away keys and a recovery key on paper.
    ///
    /// # Errors
    /// [`KeyFault::Unwritable`].
    pub fn to_file(&self) -> Result<impl Deref<Target = String> + use<>, KeyFault> {
        self.key.to_openssh(LineEnding::LF).map_err(|_| KeyFault::Unwritable)
    }

    /// Returns the private key file, locked with a passphrase.
    ///
    /// # Errors
    /// A [`KeyFault`] where the passphrase is empty or the key cannot be written.
    pub fn to_locked_file(
        &self,
        passphrase: &[u8],
        chance: &mut dyn Chance,
    ) -> Result<impl Deref<Target = String> + use<>, KeyFault> {
        if passphrase.is_empty() {
            return Err(KeyFault::EmptyPassphrase);
        }
        let locked = self.key.encrypt(&mut Adapter(chance), passphrase).map_err(|_| KeyFault::Unwritable)?;
        locked.to_openssh(LineEnding::LF).map_err(|_| KeyFault::Unwritable)
    }

    /// Returns the line of the public key file.
    #[must_use]
    pub fn public_file(&self) -> String {
        let comment = self.key.comment();
        if comment.is_empty() { format!("{}\n", self.public) } else { format!("{} {comment}\n", self.public) }
    }
}

impl fmt::Debug for SigningKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the private half of {}", self.public)
    }
}

struct Adapter<'a>(&'a mut dyn Chance);

impl RngCore for Adapter<'_> {
    fn next_u32(&mut self) -> u32 {
        let mut bytes = [0; 4];
        self.0.fill(&mut bytes);
        u32::from_le_bytes(bytes)
    }

    fn next_u64(&mut self) -> u64 {
        let mut bytes = [0; 8];
        self.0.fill(&mut bytes);
        u64::from_le_bytes(bytes)
    }

    fn fill_bytes(&mut self, bytes: &mut [u8]) {
        self.0.fill(bytes);
    }

    fn try_fill_bytes(&mut self, bytes: &mut [u8]) -> Result<(), ChanceError> {
        self.0.fill(bytes);
        Ok(())
    }
}

impl CryptoRng for Adapter<'_> {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trust::samples::{Known, key};

    /// RFC 8032, 7.1, test 1: the secret key and its public key.
    #[test]
    fn the_public_half_is_that_of_the_standard() {
        let hex = |text: &str| data_encoding::HEXLOWER.decode(text.as_bytes()).expect("hex");
        struct Fixed(Vec<u8>);
        impl Chance for Fixed {
            fn fill(&mut self, bytes: &mut [u8]) {
                bytes.copy_from_slice(&self.0);
            }
        }
        let secret = hex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60");
        let public = hex("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a");
        let key = SigningKey::new(&mut Fixed(secret), "test").expect("a key");
        assert_eq!(key.public().bytes().as_slice(), public);
    }

    #[test]
    fn a_public_key_is_written_in_one_way() {
        let text = key("alice").public().to_string();
        assert_eq!(PublicKey::parse(&text).expect("a key").to_string(), text);
        for wrong in [format!("{text} alice"), format!(" {text}"), text.replace(' ', "  "), text[..70].to_owned()] {
            assert!(PublicKey::parse(&wrong).is_err(), "{wrong}");
        }
        assert_eq!(PublicKey::of_file(&format!("{text} alice at home\n")), PublicKey::parse(&text));
        assert_eq!(PublicKey::of_file("ssh-rsa AAAA x"), Err(KeyFault::OtherAlgorithm));
    }

    /// The neutral element and a point of order two: signatures for them can be made without any secret.
    #[test]
    fn a_key_of_which_everybody_has_the_secret_is_refused() {
        let mut neutral = [0; 32];
        neutral[0] = 1;
        assert_eq!(PublicKey::from_bytes(neutral), Err(KeyFault::Weak));
        let mut two = [0xff; 32];
        (two[0], two[31]) = (0xec, 0x7f);
        assert_eq!(PublicKey::from_bytes(two), Err(KeyFault::Weak));
        assert_eq!(PublicKey::from_bytes([0; 32]), Err(KeyFault::Weak));
    }

    #[test]
    fn a_key_file_is_opened_by_its_passphrase_only() {
        let key = key("alice");
        let open = key.to_file().expect("written");
        assert_eq!(SigningKey::open(open.as_bytes(), None).expect("open").public(), key.public());
        let windows = open.replace('\n', "\r\n");
        assert_eq!(SigningKey::open(windows.as_bytes(), None).expect("open").public(), key.public());
        let locked = key.to_locked_file(b"a long passphrase", &mut Known::new(7)).expect("written");
        let fault = |phrase| SigningKey::open(locked.as_bytes(), phrase).expect_err("locked");
        assert_eq!(fault(None), KeyFault::Locked);
        assert_eq!(fault(Some(b"a wrong passphrase")), KeyFault::WrongPassphrase);
        let again = SigningKey::open(locked.as_bytes(), Some(b"a long passphrase")).expect("open");
        assert_eq!(again.public(), key.public());
        assert_eq!(key.to_locked_file(b"", &mut Known::new(7)).err(), Some(KeyFault::EmptyPassphrase));
        assert_eq!(SigningKey::open(b"nothing", None).err(), Some(KeyFault::NoPrivateKey));
        assert!(!format!("{key:?}").contains("PRIVATE"));
    }
}
