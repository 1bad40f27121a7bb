//! Words for files that know only ASCII.

/// The text with the signs DXF has codes for (%%c %%d %%p), and plain letters for the rest.
/// What has no plain form becomes `?`, which is seen; a lost letter would not be.
pub(super) fn ascii(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            // These three begin codes of the format.
            '%' => out.push_str("%%%"),
            '^' => out.push_str("^ "),
            '\\' => out.push('/'),
            ' '..='~' => out.push(c),
            c if c.is_control() => out.push(' '),
            c => out.push_str(plain(c)),
        }
    }
    out
}

fn plain(c: char) -> &'static str {
    match c {
        'Ø' | 'ø' | '⌀' => "%%c",
        '°' => "%%d",
        '±' => "%%p",
        '×' => "x",
        '·' => "*",
        '÷' => "/",
        '−' | '–' | '—' => "-",
        '‘' | '’' => "'",
        '“' | '”' | '„' | '″' => "\"",
        '′' => "'",
        '…' => "...",
        '→' => "->",
        '≤' => "<=",
        '≥' => ">=",
        '≈' => "~",
        '²' => "2",
        '³' => "3",
        '¼' => "1/4",
        '½' => "1/2",
        '¾' => "3/4",
        'µ' | 'μ' => "u",
        '\u{a0}' | '\u{202f}' => " ",
        'Ä' => "Ae",
        'Ö' => "Oe",
        'Ü' => "Ue",
        'ä' => "ae",
        'ö' => "oe",
        'ü' => "ue",
        'ß' => "ss",
        'Æ' => "AE",
        'æ' => "ae",
        'À' | 'Á' | 'Â' | 'Ã' | 'Å' => "A",
        'à' | 'á' | 'â' | 'ã' | 'å' => "a",
        'È' | 'É' | 'Ê' | 'Ë' => "E",
        'è' | 'é' | 'ê' | 'ë' => "e",
        'Ì' | 'Í' | 'Î' | 'Ï' => "I",
        'ì' | 'í' | 'î' | 'ï' => "i",
        'Ò' | 'Ó' | 'Ô' | 'Õ' => "O",
        'ò' | 'ó' | 'ô' | 'õ' => "o",
        'Ù' | 'Ú' | 'Û' => "U",
        'ù' | 'ú' | 'û' => "u",
        'Ç' => "C",
        'ç' => "c",
        'Ñ' => "N",
        'ñ' => "n",
        _ => "?",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_of_the_trade_become_their_codes() {
        assert_eq!(ascii("Ø8.5 ±0.1, 90° up"), "%%c8.5 %%p0.1, 90%%d up");
    }

    #[test]
    fn letters_stay_readable_and_nothing_vanishes() {
        assert_eq!(ascii("Bügel für Träger, 4 × 6 − déjà"), "Buegel fuer Traeger, 4 x 6 - deja");
        assert_eq!(ascii("鋼 ok"), "? ok");
    }

    /// A typed code is words, not a code; a line break would end the value.
    #[test]
    fn typed_text_cannot_become_a_code_of_the_format() {
        assert_eq!(ascii("50% %%d \\P ^J a\r\nb"), "50%%% %%%%%%d /P ^ J a  b");
    }
}
