//! The finding for a value of the wrong kind, with what to type instead.

use crate::diag::Finding;
use crate::document::tree::Item;
use crate::document::tree::Value;

/// The finding for a value of the wrong kind; `wanted` names the right one with its article.
pub(crate) fn wrong_kind(item: &Item, wanted: &str) -> Finding {
    let help = match &item.value {
        Value::Number(number) if wanted.contains("name") || wanted == "text" => {
            format!("write `\"{number}\"`, in quotes")
        }
        Value::Number(_) => "put the value in quotes, with its unit if it has one".to_owned(),
        Value::Text(text) if wanted.contains("`true`") => match text.trim() {
            "true" | "false" => format!("write `{}`, without quotes", text.trim()),
            _ => "write `true` or `false`, without quotes".to_owned(),
        },
        Value::Text(text) if wanted.contains("number") && text.trim().parse::<f64>().is_ok() => {
            format!("write `{}`, without quotes", text.trim())
        }
        // A list of one where one is wanted.
        Value::List(items) if items.len() == 1 && !wanted.contains("list") => {
            format!("write `{}`, without brackets", items[0].written())
        }
        _ if wanted.starts_with("a table") => {
            "write its keys in braces: `{ key = \"value\", … }`".to_owned()
        }
        _ => "`platewright new tab` prints a job that works, `platewright new tab --copy` a recipe"
            .to_owned(),
    };
    Finding::stop("wrong-kind", format!("{wanted} is needed here, not {}", item.kind()))
        .at(item.span, "")
        .help(help)
}
