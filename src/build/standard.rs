//! The notices of the Rust standard library, from the page that comes with the toolchain.

use super::Notice;
use super::tidy;
use std::fs;
use std::path::Path;

/// Begins each crate that the standard library may contain.
const CRATE: &str = "<h3>📦 ";

/// The notices of the standard library in this toolchain: the library itself first, then the crates
/// that are part of it on one platform or another.
///
/// # Errors
/// When the toolchain came without the page.
pub(crate) fn library(toolchain: &Path, version: &str) -> Result<Vec<Notice>, String> {
    let folder = toolchain.join("share/doc/rust");
    let read = |name: &str| {
        let path = folder.join(name);
        fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))
    };
    let page = read("COPYRIGHT-library.html")?;
    let mut blocks = page.split(CRATE);
    let mut texts = vec![plain(blocks.next().unwrap_or_default())];
    for name in ["Apache-2.0", "MIT", "Unicode-3.0"] {
        texts.push(tidy(&read(&format!("licenses/{name}.txt"))?));
    }
    let own = Notice {
        name: format!("Rust standard library {version}"),
        licence: "MIT OR Apache-2.0".to_owned(),
        authors: Vec::new(),
        texts,
    };
    let parts: Vec<Notice> = blocks.map(part).collect();
    if parts.is_empty() || parts.iter().any(|part| part.licence.is_empty()) {
        return Err("COPYRIGHT-library.html is not written as we know it".to_owned());
    }
    Ok([own].into_iter().chain(parts).collect())
}

/// One crate of the page.
fn part(block: &str) -> Notice {
    let name = block.split("</h3>").next().unwrap_or_default();
    let licence = between(block, "<b>License:</b>", "</p>").next().unwrap_or_default();
    Notice {
        name: unescaped(name),
        licence: unescaped(licence.trim()),
        authors: Vec::new(),
        texts: between(block, "<pre>", "</pre>").map(|text| tidy(&unescaped(text))).collect(),
    }
}

fn between<'t>(text: &'t str, start: &'t str, end: &'t str) -> impl Iterator<Item = &'t str> {
    text.split(start).skip(1).filter_map(move |rest| rest.split(end).next())
}

/// A piece of the page without its tags and blank lines.
fn plain(html: &str) -> String {
    let body = html.split("<body>").last().unwrap_or_default();
    let text: String = body.split('<').map(|p| p.split_once('>').map_or(p, |(_, t)| t)).collect();
    let lines: Vec<String> = text.lines().map(|line| unescaped(line.trim())).collect();
    lines.into_iter().filter(|line| !line.is_empty()).collect::<Vec<_>>().join("\n")
}

/// Signs for what HTML writes as `&#60;` or `&lt;`.
fn unescaped(html: &str) -> String {
    let mut pieces = html.split('&');
    let mut out = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        let Some((name, rest)) = piece.split_once(';') else {
            out.push('&');
            out.push_str(piece);
            continue;
        };
        let number = name.strip_prefix('#').and_then(|digits| digits.parse().ok());
        match (name, number.and_then(char::from_u32)) {
            (_, Some(sign)) => out.push(sign),
            ("lt", _) => out.push('<'),
            ("gt", _) => out.push('>'),
            ("amp", _) => out.push('&'),
            ("quot", _) => out.push('"'),
            _ => out.push_str(&format!("&{name};")),
        }
        out.push_str(rest);
    }
    out
}
