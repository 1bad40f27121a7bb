//! The assets of the page: one page, one style sheet, a few modules, all of our own.

use axum::http::StatusCode;
use axum::http::header;
use axum::response::IntoResponse;
use axum::response::Response;

const HTML: &str = "text/html; charset=utf-8";
const STYLE: &str = "text/css; charset=utf-8";
const DRAWING: &str = "image/svg+xml";
const MODULE: &str = "text/javascript; charset=utf-8";

/// All of them: name, kind, text.
const ALL: &[(&str, &str, &str)] = &[
    ("/", HTML, include_str!("page/page.html")),
    ("/icon.svg", DRAWING, include_str!("page/icon.svg")),
    ("/page.css", STYLE, include_str!("page/page.css")),
    ("/page.mjs", MODULE, include_str!("page/page.mjs")),
    ("/ask.mjs", MODULE, include_str!("page/ask.mjs")),
    ("/words.mjs", MODULE, include_str!("page/words.mjs")),
    ("/parts.mjs", MODULE, include_str!("page/parts.mjs")),
    ("/part.mjs", MODULE, include_str!("page/part.mjs")),
    ("/form.mjs", MODULE, include_str!("page/form.mjs")),
    ("/offers.mjs", MODULE, include_str!("page/offers.mjs")),
    ("/folded.mjs", MODULE, include_str!("page/folded.mjs")),
    ("/rotate.mjs", MODULE, include_str!("page/rotate.mjs")),
    ("/links.mjs", MODULE, include_str!("page/links.mjs")),
    ("/machine.mjs", MODULE, include_str!("page/machine.mjs")),
    ("/fit.mjs", MODULE, include_str!("page/fit.mjs")),
    ("/shop.mjs", MODULE, include_str!("page/shop.mjs")),
    ("/sheets.mjs", MODULE, include_str!("page/sheets.mjs")),
    ("/zoom.mjs", MODULE, include_str!("page/zoom.mjs")),
    ("/order.mjs", MODULE, include_str!("page/order.mjs")),
    ("/text.mjs", MODULE, include_str!("page/text.mjs")),
    ("/new.mjs", MODULE, include_str!("page/new.mjs")),
];

/// The file at an address.
pub(super) fn file(path: &str) -> Response {
    match ALL.iter().find(|(name, ..)| *name == path) {
        Some((_, kind, text)) => ([(header::CONTENT_TYPE, *kind)], *text).into_response(),
        None => (StatusCode::NOT_FOUND, "there is nothing by this name").into_response(),
    }
}
