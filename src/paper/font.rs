//! The letters of drawings: how wide words are, and where they are broken.
//!
//! The two faces are carried in the program, so a drawing is the same on every machine. A sign
//! that they lack is shown as `?`: its width would not be known otherwise.

use std::sync::LazyLock;
use ttf_parser::Face;
use ttf_parser::name_id;

/// How heavy letters are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// For reading: Noto Sans Regular.
    Plain,
    /// For headings and important values: Noto Sans Bold.
    Heavy,
}

impl Weight {
    /// The file of its face.
    pub(super) fn bytes(self) -> &'static [u8] {
        match self {
            Self::Plain => notosans::REGULAR_TTF,
            Self::Heavy => notosans::BOLD_TTF,
        }
    }

    fn metrics(self) -> Option<&'static Metrics> {
        match self {
            Self::Plain => REGULAR.as_ref(),
            Self::Heavy => BOLD.as_ref(),
        }
    }
}

/// How far letters reach above their capitals, by the height of these.
const ASCENT: f64 = 1.12;
/// How far letters reach below their baseline, by the height of capitals.
const DESCENT: f64 = 0.28;

/// The metrics needed of the font, in shares of its em.
struct Metrics {
    face: Face<'static>,
    em: f64,
    /// The glyphs of the first signs of Unicode: nearly all that a drawing says.
    common: Vec<Glyph>,
}

/// How many characters are looked up in advance: all of Latin.
const COMMON: u32 = 0x250;

static REGULAR: LazyLock<Option<Metrics>> = LazyLock::new(|| read(Weight::Plain));
static BOLD: LazyLock<Option<Metrics>> = LazyLock::new(|| read(Weight::Heavy));

fn read(weight: Weight) -> Option<Metrics> {
    let face = Face::parse(weight.bytes(), 0).ok()?;
    let em = f64::from(face.units_per_em());
    let signs = (0..COMMON).map(|code| char::from_u32(code).unwrap_or('?'));
    let common = signs.map(|sign| looked_up(&face, em, sign)).collect();
    Some(Metrics { face, em, common })
}

fn looked_up(face: &Face, em: f64, sign: char) -> Glyph {
    let id = face.glyph_index(sign).or_else(|| face.glyph_index('?')).unwrap_or_default();
    let advance = f64::from(face.glyph_hor_advance(id).unwrap_or_default());
    Glyph { id: u32::from(id.0), advance: advance / em }
}

/// The notices contained in the fonts: name, copyright, licence of each.
pub fn font_notice() -> String {
    let ids = [name_id::FULL_NAME, name_id::COPYRIGHT_NOTICE, name_id::LICENSE];
    let of = |weight: Weight| {
        let metrics = weight.metrics()?;
        let names = || metrics.face.names().into_iter();
        let said = |id| names().filter(|name| name.name_id == id).find_map(|name| name.to_string());
        Some(ids.into_iter().filter_map(said).collect::<Vec<_>>().join("\n"))
    };
    [Weight::Plain, Weight::Heavy].into_iter().filter_map(of).collect::<Vec<_>>().join("\n\n")
}

/// A sign as the font has it.
#[derive(Clone, Copy)]
pub(super) struct Glyph {
    /// Its number in the font.
    pub(super) id: u32,
    /// From this sign to the next, in shares of the em.
    pub(super) advance: f64,
}

/// The glyph of a character; that of `?` if the font does not have it.
pub(super) fn glyph(weight: Weight, sign: char) -> Glyph {
    let Some(metrics) = weight.metrics() else { return Glyph { id: 0, advance: 0.5 } };
    let common = metrics.common.get(sign as usize).copied();
    common.unwrap_or_else(|| looked_up(&metrics.face, metrics.em, sign))
}

/// The words with only such signs as the font has; `` `quoted` `` becomes “quoted”.
pub(super) fn known(words: &str) -> String {
    let mut open = false;
    let quoted = |c: char| match c {
        '`' => {
            open = !open;
            if open { '“' } else { '”' }
        }
        c if c.is_control() => ' ',
        c => c,
    };
    let has = |c: char| {
        let holds = |w: Weight| w.metrics().is_some_and(|m| m.face.glyph_index(c).is_some());
        holds(Weight::Plain) && holds(Weight::Heavy)
    };
    words.chars().map(quoted).map(|c| if has(c) { c } else { '?' }).collect()
}

/// The size of the font with capitals of this height, mm.
pub(super) fn size(height: f64) -> f64 {
    let capital =
        REGULAR.as_ref().and_then(|m| m.face.capital_height().map(|h| f64::from(h) / m.em));
    height / capital.unwrap_or(0.7)
}

/// Width of a line of plain words whose capitals are `height` mm high, mm.
pub(super) fn width(words: &str, height: f64) -> f64 {
    width_in(Weight::Plain, words, height)
}

/// Width of a line of words so heavy whose capitals are `height` mm high, mm.
pub(super) fn width_in(weight: Weight, words: &str, height: f64) -> f64 {
    words.chars().map(|c| glyph(weight, c).advance).sum::<f64>() * size(height)
}

/// How far such a line reaches below and above its baseline, mm.
pub(super) fn reach(height: f64) -> (f64, f64) {
    (DESCENT * height, ASCENT * height)
}

/// Units that stay on a line with their number.
const UNITS: [&str; 12] = ["mm", "in", "m", "ft", "kg", "lb", "N", "kN", "lbf", "MPa", "%", "mm²"];

/// Signs that stay on a line with the figures at both sides of them, and those that stay with the
/// figure behind them alone.
const BETWEEN: [&str; 1] = ["×"];
const BEFORE: [&str; 1] = ["Ω"];

/// The words one by one; a number and its unit count as one, and so do words bound by a character.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let bare = word.trim_end_matches([')', '.', ',', ';', ':']);
        let is_bound = |last: &String| {
            let sign = last.rsplit(' ').next().unwrap_or_default();
            BETWEEN.contains(&word) || BETWEEN.contains(&sign) || BEFORE.contains(&sign)
        };
        match words.last_mut() {
            Some(last) if is_bound(last) => {
                last.push(' ');
                last.push_str(word);
            }
            Some(last) if UNITS.contains(&bare) && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Plain words broken into lines; see [`wrap_in`].
pub(crate) fn wrap(text: &str, height: f64, width: f64) -> Vec<String> {
    wrap_in(Weight::Plain, text, height, width)
}

/// The words broken into lines up to `width` mm: between words, else behind `-`, `_`, `,` or `/`,
/// else anywhere. Never empty.
pub(super) fn wrap_in(weight: Weight, text: &str, height: f64, width: f64) -> Vec<String> {
    let long = |words: &str| width_in(weight, words, height);
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in words(text) {
        let joined = if line.is_empty() { word.clone() } else { format!("{line} {word}") };
        if long(&joined) <= width {
            line = joined;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        let mut rest = word.as_str();
        while !rest.is_empty() && long(rest) > width {
            let (head, tail) = rest.split_at(cut(weight, rest, height, width));
            lines.push(head.to_owned());
            rest = tail;
        }
        line = rest.to_owned();
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// Bytes of a word that fit on a line; at least one character, so that the loop ends.
fn cut(weight: Weight, word: &str, height: f64, width: f64) -> usize {
    let mut fits = word.chars().next().map_or(0, char::len_utf8);
    let mut good = None;
    let mut so_far = 0.0;
    for (at, sign) in word.char_indices() {
        so_far += glyph(weight, sign).advance;
        if so_far * size(height) > width {
            break;
        }
        fits = at + sign.len_utf8();
        if matches!(sign, '-' | '_' | ',' | '/') {
            good = Some(fits);
        }
    }
    good.unwrap_or(fits)
}

/// Width of the widest piece of the words that is not broken unless it must be, mm.
pub(super) fn min_width(text: &str, height: f64) -> f64 {
    min_width_in(Weight::Plain, text, height)
}

/// The same of words so heavy.
pub(super) fn min_width_in(weight: Weight, text: &str, height: f64) -> f64 {
    let pieces = words(text).into_iter().map(|word| width_in(weight, &word, height));
    pieces.fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sign_stays_with_its_figures() {
        let words = words("allowed; Ω 2. Bolts M8 × 20, grip 4; 3/8-16 × 1-1/2 in, then");
        let all =
            ["allowed;", "Ω 2.", "Bolts", "M8 × 20,", "grip", "4;", "3/8-16 × 1-1/2 in,", "then"];
        assert_eq!(words, all);
        let lines = wrap(
            "bending 65 N·m of 193 N·m allowed; Ω 2.",
            2.5,
            width("bending 65 N·m of 193 N·m allowed; Ω", 2.5),
        );
        assert_eq!(lines.last().map(String::as_str), Some("Ω 2."));
    }

    #[test]
    fn the_font_is_there_with_all_signs_that_drawings_use() {
        assert!(REGULAR.is_some() && BOLD.is_some());
        let signs = "AZaz09 °±×Ø²³–—…·½";
        assert_eq!(known(signs), signs);
        assert_eq!(known("a\u{4e00}\tb"), "a? b");
    }

    #[test]
    fn lines_keep_within_their_width_and_lose_no_letter() {
        let words = "a name-of-many-pieces_that_runs_on,andonandonandonandon/andon without end";
        for width in [5.0, 12.0, 30.0, 400.0] {
            let lines = wrap(words, 2.5, width);
            assert!(lines.iter().all(|l| self::width(l, 2.5) <= width), "{lines:?}");
            let letters = |text: &str| text.chars().filter(|c| *c != ' ').collect::<String>();
            assert_eq!(letters(&lines.concat()), letters(words));
        }
        assert_eq!(wrap("", 2.5, 10.0), [""]);
    }
}
