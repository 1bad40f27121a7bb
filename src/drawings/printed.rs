//! Names and remarks as they are on paper: words of the trade, without the keys of files.

/// A name of a recipe as printed: `left_foot` is the left foot.
pub(super) fn name(name: &str) -> String {
    name.replace('_', " ")
}

/// A name as printed, in quotes that distinguish it from the words around it.
pub(super) fn quoted(words: &str) -> String {
    format!("“{}”", name(words))
}

/// Text with the names between backticks as printed, in quotes.
pub(super) fn in_quotes(words: &str) -> String {
    let run = |(i, run): (usize, &str)| if i % 2 == 1 { quoted(run) } else { run.to_owned() };
    words.split('`').enumerate().map(run).collect()
}

/// A remark without the keys in brackets, which are for whoever types the input, and with its names
/// as printed.
pub(super) fn remark(words: &str) -> String {
    let mut rest = words;
    let mut said = String::new();
    while let Some((before, after)) = rest.split_once(" (`") {
        let key = after.split_once("`)").filter(|(key, _)| is_key(key));
        said += before;
        rest = match key {
            Some((_, after)) => after,
            None => {
                said += " (`";
                after
            }
        };
    }
    name(&(said + rest))
}

/// Whether something is the key of a file: small letters and underscores.
fn is_key(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|sign| sign.is_ascii_lowercase() || sign == '_')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_in_brackets_stay_off_the_paper_and_names_are_said() {
        for (words, wanted) in [
            ("no grade is given (`bolts_grade`)", "no grade is given"),
            ("grade not given (`grade`); bolts (`M8`)", "grade not given; bolts (`M8`)"),
            ("the left_foot (of two) is bent", "the left foot (of two) is bent"),
            ("an end (`", "an end (`"),
        ] {
            assert_eq!(remark(words), wanted);
        }
    }
}
