//! Information in the name of a returned file.

/// The name of a file without folder and ending.
pub(super) fn stem(name: &str) -> &str {
    let name = name.rsplit('/').next().unwrap_or(name);
    name.rsplit_once('.').map_or(name, |(stem, _)| stem)
}

/// Whether a file is called so, except for its folder and ending.
pub(super) fn is(file: &str, called: &str) -> bool {
    stem(file).eq_ignore_ascii_case(called)
}

/// `; its name says 6 pieces, 4 were ordered`, if the name of a file has another number of pieces
/// than the one that was sent; else empty.
pub(super) fn other_count(file: &str, sent: &str) -> String {
    match (pieces(stem(file)), pieces(sent)) {
        (Some(says), Some(asked)) if says != asked => {
            format!("; its name says {says} pieces, {asked} were ordered")
        }
        _ => String::new(),
    }
}

/// The pieces in the name of a flat of an order: 4 of `tab_4x_S235_5mm`.
fn pieces(stem: &str) -> Option<u32> {
    stem.rsplit('_').find_map(|word| word.strip_suffix('x')?.parse().ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_tells_how_many_pieces_it_is_for() {
        assert_eq!(pieces("tab-2x_4x_S235_5mm"), Some(4));
        assert_eq!(pieces("tab"), None);
        let words = "; its name says 6 pieces, 4 were ordered";
        assert_eq!(other_count("back/tab_6x_S235_5mm.dxf", "tab_4x_S235_5mm"), words);
        assert_eq!(other_count("tab.dxf", "tab_4x_S235_5mm"), "");
        assert!(is("back/TAB_4x.dxf", "tab_4x") && !is("tab_4x.dxf", "tab_6x"));
    }
}
