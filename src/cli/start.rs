//! Where to start from: `new`, `schema`, and finding a recipe by name.

use crate::cli::args::SchemaOf;
use crate::cli::begin;
use crate::cli::ending::Ending;
use crate::cli::shelf;
use crate::cli::shelf::Folder;
use crate::cli::terminal;
use crate::cli::terminal::meant;
use anyhow::bail;
use platewright::diag::Finding;
use platewright::diag::Sources;
use platewright::diag::Span;
use platewright::recipe;
use platewright::recipe::Input;
use platewright::recipe::Kind;
use platewright::recipe::Others;
use platewright::recipe::Recipe;
use platewright::schema;
use platewright::shop;
use std::cell::RefCell;
use std::fmt::Write;
use std::path::Path;

/// A recipe that was found: its text among the sources, and what was read of it.
pub(super) struct Found {
    pub(super) sources: Sources,
    pub(super) text: String,
    pub(super) recipe: Result<Recipe, Vec<Finding>>,
}

/// The folder and name of a recipe given by name or as a file.
pub(super) fn place(name: &str) -> anyhow::Result<(String, Folder)> {
    let file = Path::new(name);
    if file.extension().is_none_or(|e| e != "toml") {
        return Ok((name.to_owned(), Folder::here()));
    }
    shelf::read(file)?;
    let stem = file.file_stem().map_or_else(String::new, |s| s.to_string_lossy().into_owned());
    Ok((stem, Folder::of_recipe(file)))
}

/// A recipe by name or as a file, read.
pub(super) fn find(name: &str) -> anyhow::Result<Found> {
    let (stem, folder) = place(name)?;
    let Some((path, text)) = folder.recipe(&stem)? else {
        let names = folder.names();
        bail!("there is no recipe `{name}`{}", meant(name, names.iter().map(String::as_str)));
    };
    let mut sources = Sources::default();
    let source = sources.add(path, &text);
    let kept = RefCell::new(&mut sources);
    let find = |name: &str| {
        let (path, text) = folder.recipe(name).ok().flatten()?;
        Some((kept.borrow_mut().add(path, &text), text))
    };
    let names = || folder.names();
    let others = Others::new(&find, &names);
    let recipe = recipe::read_among(&stem, source, &text, &|file| folder.drawing(file), &others);
    Ok(Found { sources, text, recipe })
}

/// The letters of a span.
pub(super) fn typed(sources: &Sources, span: Span) -> String {
    sources.text(span.source)[span.start..span.end].to_owned()
}

/// The default of an input, as it was typed.
pub(super) fn default(input: &Input, sources: &Sources) -> Option<String> {
    Some(input.default.as_ref()?.shown(&|span| typed(sources, span)))
}

/// What `platewright new` prints a shop file for.
const SHOP: &str = "shop";

/// What it prints a job of [`EXAMPLE`] for, where no recipe is called so.
const JOB: &str = "job";

/// The recipe of a new job, if none is given.
const EXAMPLE: &str = "tab";

/// `platewright new`.
pub(super) fn new(name: &str, copy: bool) -> anyhow::Result<Ending> {
    if name == SHOP {
        terminal::data(shop::NEW);
        return Ok(Ending::Done);
    }
    let of_job = name == JOB && Folder::here().recipe(JOB)?.is_none();
    let Found { sources, text, recipe } = find(if of_job { EXAMPLE } else { name })?;
    let recipe = match recipe {
        Ok(recipe) => recipe,
        Err(findings) => {
            terminal::findings(&findings, &sources);
            return Ok(Ending::Stopped);
        }
    };
    if copy {
        terminal::data(&text);
    } else {
        terminal::data(&job_for(&recipe, &sources));
    }
    Ok(Ending::Done)
}

fn job_for(recipe: &Recipe, sources: &Sources) -> String {
    let (head, sheet) = begin::head(Path::new(""));
    let mut text = format!(
        "# A job for one `{0}`. Make it with `platewright make FILE`.\n\
         # {1}\n\n\
         {head}\n\
         [[part]]\n\
         recipe   = \"{0}\"\n\
         name     = \"my-{0}\"\n\
         quantity = 1\n\
         sheet    = \"{sheet}\"\n",
        recipe.name, recipe.about
    );
    if !recipe.inputs.is_empty() {
        text.push_str("\n# Remove the # in front of what you want to set.\n[part.given]\n");
    }
    for (name, input) in &recipe.inputs {
        let default = default(input, sources);
        let mark = if default.is_some() { "# " } else { "" };
        let value = default.unwrap_or_default();
        let bare = input.kind == Kind::Flag || value.starts_with('[');
        let value = if bare { value } else { format!("\"{value}\"") };
        let kind = input.kind.words();
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{mark}{name} = {value}    # {kind}: {}", input.about);
    }
    text
}

/// `platewright schema`.
pub(super) fn schema(of: SchemaOf) -> anyhow::Result<Ending> {
    let schema = match of {
        SchemaOf::Recipe => schema::recipe(),
        SchemaOf::Job => schema::job(),
        SchemaOf::Report => schema::report(),
    };
    terminal::data(&format!("{}\n", serde_json::to_string_pretty(&schema)?));
    Ok(Ending::Done)
}
