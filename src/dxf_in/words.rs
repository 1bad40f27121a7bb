//! The text that an entity shows, without its formats.

use crate::dxf_in::records::Record;

/// Formats of a long text that end with a semicolon.
const LONG: &str = "ACFHQTWcfp";

/// What a text says, in one row; empty where an entity is no text.
pub(super) fn shown(record: &Record) -> String {
    let text = match record.kind.as_str() {
        "TEXT" | "ATTDEF" => record.text(1).unwrap_or_default().to_owned(),
        // All but the last 250 letters or fewer are in groups 3.
        "MTEXT" => plain(&record.texts(3).chain(record.text(1)).collect::<String>()),
        _ => String::new(),
    };
    let signs = [("%%c", "Ø"), ("%%d", "°"), ("%%p", "±"), ("%%u", ""), ("%%o", "")];
    let both =
        signs.iter().flat_map(|(sign, is)| [(sign.to_uppercase(), is), ((*sign).to_owned(), is)]);
    let text = both.fold(text, |text, (sign, is)| text.replace(&sign, is));
    let words: Vec<&str> = text.split(|c: char| c.is_whitespace() || c.is_control()).collect();
    words.into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// A long text without its formats: `\P` begins a line, `\H2x;` sets a height.
fn plain(text: &str) -> String {
    let (mut all, mut letters) = (String::new(), text.chars());
    while let Some(letter) = letters.next() {
        match letter {
            '{' | '}' => {}
            '\\' => match letters.next() {
                Some('P' | 'N' | 'X' | '~') => all.push(' '),
                Some(sign @ ('\\' | '{' | '}')) => all.push(sign),
                // A fraction: its parts are between `^`, `/` or `#`.
                Some('S') => {
                    let part = letters.by_ref().take_while(|c| *c != ';');
                    all.extend(part.map(|c| if matches!(c, '^' | '#') { '/' } else { c }));
                }
                Some(format) if LONG.contains(format) => {
                    letters.by_ref().take_while(|c| *c != ';').for_each(drop);
                }
                _ => {}
            },
            letter => all.push(letter),
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_text_is_read_without_its_formats() {
        let text = "{\\fArial|b0;\\c255;\\H3.5x;\\C1;BRACKET LH}\\P2 OFF, \\S1/2; in \\{\\LA\\l\\}";
        assert_eq!(plain(text), "BRACKET LH 2 OFF, 1/2 in {A}");
    }
}
