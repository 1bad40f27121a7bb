//! Names of files that every system takes.
//!
//! Only ASCII letters, digits, `-`, `_` and `.`: older zip programs garble others. No
//! name of a device, no point or dash at either end, 100 letters at most, so that they
//! stay below the 255 bytes of most disks and leave room in the 260 letters of a path on
//! some; none that differs from another in capitals only.

use crate::entry::unfit_for_files;

/// Maximum number of letters of a name without its ending. Our choice.
const LONGEST: usize = 100;

/// A safe name like these words, none of those taken in lower case, to which it is added.
pub(super) fn safe(words: &str, taken: &mut Vec<String>) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() || "-_.".contains(c) { c } else { '-' };
    let name: String = words.chars().filter(|c| *c != ' ').map(plain).take(LONGEST).collect();
    let trimmed = name.trim_matches(['.', '-']);
    let stem = match trimmed {
        "" => "part".to_owned(),
        // A device is one whatever its ending, so it gets a letter before it.
        name if unfit_for_files(&name.chars().take(8).collect::<String>()).is_some()
            && name.len() <= 8 =>
        {
            format!("x-{name}")
        }
        name if is_device(name) => format!("x-{name}"),
        name => name.to_owned(),
    };
    let mut name = stem.clone();
    let mut number = 2;
    while taken.contains(&name.to_lowercase()) {
        name = format!("{stem}-{number}");
        number += 1;
    }
    taken.push(name.to_lowercase());
    name
}

/// Whether some system treats a name as a device, which depends on the text before its first point.
fn is_device(name: &str) -> bool {
    name.split('.').next().is_some_and(|stem| unfit_for_files(stem).is_some() && stem.len() <= 80)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_safe_on_every_system_and_none_is_there_twice() {
        let mut taken = Vec::new();
        let mut name = |words: &str| safe(words, &mut taken);
        assert_eq!(name("Deckel ø60_4x_S235_4 mm"), "Deckel-60_4x_S235_4mm");
        assert_eq!(name("deckel ü60_4x_s235_4 mm"), "deckel-60_4x_s235_4mm-2");
        assert_eq!(name("CON"), "x-CON");
        assert_eq!(name("nul.plate"), "x-nul.plate");
        assert_eq!(name("a/b\\c:d*e?f\"g<h>i|j"), "a-b-c-d-e-f-g-h-i-j");
        assert_eq!(name("..."), "part");
        assert!(name(&"x".repeat(300)).len() <= 100);
        assert!(name(&"X".repeat(300)).len() <= 102);
    }
}
