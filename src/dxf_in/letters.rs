//! The letters of a DXF file: UTF-8 in newer ones, the code page of the header in older ones.

use crate::dxf_in::binary::Pair;
use crate::dxf_in::dos;
use encoding_rs::Encoding;
use encoding_rs::WINDOWS_1252;

/// How the bytes of a text are read that are not UTF-8.
#[derive(Clone, Copy)]
enum Page {
    /// By one of the tables of DOS.
    Dos(&'static str),
    /// By one of those in use since.
    Known(&'static Encoding),
}

/// How the bytes of texts are read.
#[derive(Clone)]
pub(super) struct Letters {
    page: Page,
    /// Whether the page takes precedence over UTF-8: two letters of it may look like one of that.
    is_first: bool,
    /// The page of the header, where it is not known and a text needs it.
    pub(super) unknown: Option<String>,
}

/// Code pages of headers by their number, and their usual names.
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
    ("mac-roman", "macintosh"),
    ("macintosh", "macintosh"),
    ("big5", "big5"),
    ("gb2312", "gbk"),
    ("ksc5601", "euc-kr"),
    ("ascii", "windows-1252"),
];

impl Letters {
    /// From the header; that of Western Europe if it has none.
    pub(super) fn of(pairs: &[Pair]) -> Self {
        let header = |name: &[u8]| {
            let named =
                pairs.iter().position(|(code, at, _)| *code == 9 && at.trim_ascii() == name);
            let value = named.and_then(|i| pairs.get(i + 1));
            value.map(|pair| String::from_utf8_lossy(&pair.1).trim().to_owned())
        };
        let named = header(b"$DWGCODEPAGE").unwrap_or_default().to_lowercase();
        let found = page(&named);
        // From 2007 on, files are in UTF-8.
        let is_old = header(b"$ACADVER").is_some_and(|version| version.as_str() < "AC1021");
        let is_wide = matches!(found, Some(Page::Known(page)) if !page.is_single_byte());
        let is_foreign = || pairs.iter().any(|(_, value, _)| std::str::from_utf8(value).is_err());
        let is_unknown = found.is_none() && !named.is_empty() && is_foreign();
        Self {
            page: found.unwrap_or(Page::Known(WINDOWS_1252)),
            is_first: is_old && is_wide,
            unknown: is_unknown.then_some(named),
        }
    }

    /// A value as text; letters written as `\\U+00D8` are read as well.
    pub(super) fn read(&self, bytes: &[u8]) -> String {
        let text = match std::str::from_utf8(bytes) {
            Ok(text) if !self.is_first || bytes.is_ascii() => text.to_owned(),
            _ => self.page.read(bytes),
        };
        if text.contains("\\U+") { spelled(&text) } else { text }
    }
}

impl Page {
    fn read(self, bytes: &[u8]) -> String {
        let letters = match self {
            Self::Known(page) => return page.decode_without_bom_handling(bytes).0.into_owned(),
            Self::Dos(letters) => letters,
        };
        let letter = |byte: &u8| match byte.checked_sub(128) {
            None => char::from(*byte),
            Some(i) => letters.chars().nth(usize::from(i)).unwrap_or(char::REPLACEMENT_CHARACTER),
        };
        bytes.iter().map(letter).collect()
    }
}

/// The page that a header calls so.
fn page(named: &str) -> Option<Page> {
    let digits = named.trim_start_matches(|c: char| !c.is_ascii_digit());
    if let Some((_, letters)) = dos::PAGES.iter().find(|(number, _)| *number == digits) {
        return Some(Page::Dos(letters));
    }
    let iso = named.strip_prefix("iso8859").map(|part| part.trim_start_matches(['-', '_']));
    let label = match PAGES.iter().find(|(name, _)| *name == digits || *name == named) {
        Some((_, label)) => (*label).to_owned(),
        None => format!("iso-8859-{}", iso?),
    };
    Encoding::for_label(label.as_bytes()).map(Page::Known)
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
