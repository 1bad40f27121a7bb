//! The isolation of the page: its policy, which lets it load nothing and run no script but its own,
//! and pictures embedded in their addresses.

use sha2::Digest;
use sha2::Sha256;
use std::fmt::Write;

/// The content security policy (Content Security Policy Level 3, W3C): no request, no script
/// but this one, known by its checksum.
pub(super) fn policy(script: &str) -> String {
    let sum = base64(&Sha256::digest(script.as_bytes()));
    format!(
        "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'sha256-{sum}'"
    )
}

/// Bytes as letters (RFC 4648, section 4).
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::new();
    for three in bytes.chunks(3) {
        let byte = |i: usize| usize::from(three.get(i).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for i in 0..4 {
            out.push(match i > three.len() {
                true => '=',
                false => char::from(LETTERS[bits >> (18 - 6 * i) & 63]),
            });
        }
    }
    out
}

/// An SVG as a data address: characters not allowed in addresses are written by their number.
pub(super) fn address(svg: &[u8]) -> String {
    let mut out = String::from("data:image/svg+xml,");
    for byte in svg {
        match byte {
            b'\n' => out.push_str("%0A"),
            b'%' | b'#' | b'"' | b'<' | b'>' | b'&' | b'{' | b'}' | 0..=31 | 127.. => {
                // Writing to a string cannot fail.
                let _ = write!(out, "%{byte:02X}");
            }
            _ => out.push(char::from(*byte)),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base64_is_that_of_the_examples_of_its_standard() {
        let made = ["", "f", "fo", "foo", "foob", "fooba", "foobar"].map(|s| base64(s.as_bytes()));
        assert_eq!(made, ["", "Zg==", "Zm8=", "Zm9v", "Zm9vYg==", "Zm9vYmE=", "Zm9vYmFy"]);
    }

    #[test]
    fn a_picture_in_an_address_has_no_letter_that_ends_it() {
        let text = address("<svg a=\"#1\">ø&%</svg>\n".as_bytes());
        assert_eq!(text, "data:image/svg+xml,%3Csvg a=%22%231%22%3E%C3%B8%26%25%3C/svg%3E%0A");
    }
}
