//! The commands that list: `recipes`, `tables`, `explain`.

use crate::cli::commands;
use crate::cli::commands::UNITS;
use crate::cli::ending::Ending;
use crate::cli::shelf::Folder;
use crate::cli::start;
use crate::cli::terminal;
use crate::cli::terminal::meant;
use anyhow::bail;
use platewright::check;
use platewright::diag::Sources;
use platewright::recipe;
use platewright::recipe::Input;
use platewright::recipe::Recipe;
use platewright::table::Cell;
use platewright::table::Table;
use platewright::table::Tables;
use std::path::Path;

/// `platewright recipes`.
pub(super) fn recipes(name: Option<&str>, picture: Option<&Path>) -> anyhow::Result<Ending> {
    let Some(name) = name else {
        let folder = Folder::here();
        let mut rows = Vec::new();
        for name in folder.names() {
            let about = match start::find(&name)?.recipe {
                Ok(recipe) => recipe.about,
                Err(_) => "(cannot be read: see `platewright recipes NAME`)".into(),
            };
            rows.push(vec![name, about]);
        }
        terminal::data(&aligned(&rows));
        return Ok(Ending::Done);
    };
    let start::Found { sources, recipe, .. } = start::find(name)?;
    let recipe = match recipe {
        Ok(recipe) => recipe,
        Err(findings) => {
            terminal::findings(&findings, &sources);
            return Ok(Ending::Stopped);
        }
    };
    terminal::data(&one_recipe(&recipe, &sources));
    picture.map_or(Ok(Ending::Done), |file| commands::picture(name, file))
}

fn one_recipe(recipe: &Recipe, sources: &Sources) -> String {
    let typed = |span| start::typed(sources, span);
    let limits = |input: &Input| {
        let limit = |word: &str, expr: &Option<recipe::Expr>| {
            expr.as_ref().map(|e| format!(" {word} {}", typed(e.span))).unwrap_or_default()
        };
        let all = [("count", &input.count), ("min", &input.min), ("max", &input.max)];
        all.map(|(word, expr)| limit(word, expr)).concat().trim().to_owned()
    };
    let mut rows =
        vec![["input", "kind", "default", "limits", "about"].map(str::to_owned).to_vec()];
    for (name, input) in &recipe.inputs {
        let default = start::default(input, sources).unwrap_or_else(|| "(required)".into());
        rows.push(vec![
            name.clone(),
            input.kind.words(),
            default,
            limits(input),
            input.about.clone(),
        ]);
    }
    format!("{}: {}\n\n{}", recipe.name, recipe.about, aligned(&rows))
}

/// `platewright tables`; `add` prints a row to fill in.
pub(super) fn tables(name: Option<&str>, add: bool) -> anyhow::Result<Ending> {
    // Where it is written to `tables/NAME.csv`, that file is there already, and empty.
    if let (Some(name), true) = (name, add)
        && let Some(table) = Tables::shipped().table(name)
    {
        terminal::data(&table.blank());
        return Ok(Ending::Done);
    }
    let mut sources = Sources::default();
    let folder = Folder::here();
    let (tables, said, findings) = folder.tables(&mut sources)?;
    for line in said {
        terminal::say(&format!("note: {line}"));
    }
    if !findings.is_empty() {
        terminal::findings(&findings, &sources);
        return Ok(Ending::Stopped);
    }
    let Some(name) = name else {
        let rows: Vec<Vec<String>> = tables
            .names()
            .filter_map(|name| {
                let about =
                    tables.table(name)?.about().lines().next().unwrap_or_default().to_owned();
                Some(vec![name.to_owned(), about])
            })
            .collect();
        terminal::data(&aligned(&rows));
        return Ok(Ending::Done);
    };
    let Some(table) = tables.table(name) else {
        bail!("there is no table `{name}`{}", meant(name, tables.names()));
    };
    match add {
        true => terminal::data(&table.blank()),
        false => terminal::data(&one_table(table)),
    }
    Ok(Ending::Done)
}

fn one_table(table: &Table) -> String {
    let fields: Vec<&str> = table.columns().iter().map(|c| c.name.as_str()).collect();
    let ends = ["basis", "source"];
    let head = std::iter::once("name").chain(fields.iter().copied()).chain(ends);
    let mut rows = vec![head.map(str::to_owned).collect::<Vec<_>>()];
    for row in table.rows() {
        let mut cells = vec![row.name().to_owned()];
        cells.extend(fields.iter().map(|field| match row.field(field) {
            Some(Cell::Quantity(q)) => q.show(UNITS),
            Some(Cell::Text(text)) => text.clone(),
            None => "-".into(),
        }));
        cells.push(row.basis().map_or_else(String::new, |b| b.to_string()));
        cells.push(row.source().unwrap_or_default().to_owned());
        rows.push(cells);
    }
    let about: Vec<Vec<String>> = table
        .columns()
        .iter()
        .filter(|c| !c.about.is_empty())
        .map(|c| vec![format!("  {}", c.name), c.about.clone()])
        .collect();
    format!("{}: {}\n\n{}\n{}", table.name(), table.about(), aligned(&about), aligned(&rows))
}

/// `platewright explain`.
pub(super) fn explain(code: Option<&str>) -> anyhow::Result<Ending> {
    let checks = check::explanations();
    let Some(code) = code else {
        let rows: Vec<Vec<String>> = checks
            .iter()
            .map(|(code, text)| {
                let first = text.lines().next().unwrap_or_default().to_owned();
                vec![(*code).to_owned(), first]
            })
            .collect();
        terminal::data(&aligned(&rows));
        return Ok(Ending::Done);
    };
    let Some((code, text)) = checks.iter().find(|(known, _)| *known == code) else {
        bail!("there is no check `{code}`{}", meant(code, checks.iter().map(|c| c.0)));
    };
    terminal::data(&format!("{code}: {text}\n"));
    Ok(Ending::Done)
}

/// Rows in columns as wide as their widest cell, separated by two blanks.
pub(super) fn aligned(rows: &[Vec<String>]) -> String {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let wide = |i: usize| rows.iter().filter_map(|r| r.get(i)).map(|c| c.chars().count()).max();
    let widths: Vec<usize> = (0..columns).map(|i| wide(i).unwrap_or(0)).collect();
    let mut text = String::new();
    for row in rows {
        let cells = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}"));
        let line = cells.collect::<Vec<_>>().join("  ");
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}
