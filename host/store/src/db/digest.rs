//! Digests: SHA-256, as 64 hexadecimal digits.

use sha2::{Digest, Sha256};

/// The digest of some bytes. Of secrets (links, cookies, tokens) only this is kept.
pub fn digest(bytes: impl AsRef<[u8]>) -> String {
    hex(&Sha256::digest(bytes.as_ref()))
}

/// A digest as it is kept.
pub(crate) fn hex(digest: &[u8]) -> String {
    const DIGITS: &[u8; 16] = b"0123456789abcdef";
    digest.iter().flat_map(|byte| [byte >> 4, byte & 15]).map(|digit| char::from(DIGITS[usize::from(digit)])).collect()
}
