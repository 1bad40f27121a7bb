//! SHA-256 in hexadecimal digits: by it files, records and geometries are distinguished.

use sha2::Digest;
use sha2::Sha256;
use std::fmt::Write as _;

/// A checksum of data in pieces.
#[derive(Clone, Debug, Default)]
pub struct Checksum {
    of: Sha256,
}

impl Checksum {
    /// Adds some more bytes.
    pub fn add(&mut self, bytes: &[u8]) {
        self.of.update(bytes);
    }

    /// The digits of all data added.
    pub fn digits(self) -> String {
        self.of.finalize().iter().fold(String::new(), |mut text, byte| {
            // Writing to a string cannot fail.
            let _ = write!(text, "{byte:02x}");
            text
        })
    }
}

/// The digits of some bytes.
pub fn checksum(bytes: &[u8]) -> String {
    let mut checksum = Checksum::default();
    checksum.add(bytes);
    checksum.digits()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first example of FIPS 180-4 (from memory).
    #[test]
    fn a_checksum_is_that_of_the_standard_in_one_piece_or_in_several() {
        let wanted = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(checksum(b"abc"), wanted);
        let mut pieces = Checksum::default();
        [&b"a"[..], b"", b"bc"].iter().for_each(|piece| pieces.add(piece));
        assert_eq!(pieces.digits(), wanted);
    }
}
