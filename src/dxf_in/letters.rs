//! The letters of a DXF file: UTF-8 in newer ones, the code page of the header in older ones.

use crate::dxf_in::binary::Pair;
use encoding_rs::Encoding;
use encoding_rs::WINDOWS_1252;

/// How the bytes of a text are read.
#[derive(Clone, Copy)]
pub(super) struct Letters(&'static Encoding);

/// Code pages of headers by their number, and what they are called elsewhere.
const PAGES: &[(&str, &str)] = &[
    ("874", "windows-874"),
    ("932", "shift_jis"),
    ("936", "gbk"),
    ("949", "euc-kr"),
    ("950", "big5"),
    ("866", "ibm866"),
    ("1250", "windows-1250"),
    ("1251", "windows-1251"),
    ("1252", "windows-1252"),
    ("1253", "windows-1253"),
    ("1254", "windows-1254"),
    ("1255", "windows-1255"),
    ("1256", "windows-1256"),
    ("1257", "windows-1257"),
    ("1258", "windows-1258"),
];

impl Letters {
    /// As the header says; that of Western Europe where it says nothing that is known.
    pub(super) fn of(pairs: &[Pair]) -> Self {
        let named = pairs
            .iter()
            .position(|(code, value, _)| *code == 9 && value.trim_ascii() == b"$DWGCODEPAGE");
        let page = named
            .and_then(|i| pairs.get(i + 1))
            .map_or_else(String::new, |pair| String::from_utf8_lossy(&pair.1).to_lowercase());
        let digits = page.trim().trim_start_matches(|c: char| !c.is_ascii_digit());
        let known = PAGES.iter().find(|(number, _)| *number == digits);
        let found = known.and_then(|(_, label)| Encoding::for_label(label.as_bytes()));
        Self(found.unwrap_or(WINDOWS_1252))
    }

    /// A value as text; letters written as `\\U+00D8` are read as well.
    pub(super) fn read(self, bytes: &[u8]) -> String {
        let text = match std::str::from_utf8(bytes) {
            Ok(text) => text.to_owned(),
            Err(_) => self.0.decode_without_bom_handling(bytes).0.into_owned(),
        };
        if text.contains("\\U+") { spelled(&text) } else { text }
    }
}

/// With letters in place of their numbers.
fn spelled(text: &str) -> String {
    let mut parts = text.split("\\U+");
    let mut made = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let letter = part.get(..4).and_then(|hex| u32::from_str_radix(hex, 16).ok());
        match letter.and_then(char::from_u32) {
            Some(letter) => {
                made.push(letter);
                made.push_str(&part[4..]);
            }
            None => {
                made.push_str("\\U+");
                made.push_str(part);
            }
        }
    }
    made
}
