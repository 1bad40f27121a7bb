//! The recipes as pictures, for a new part.

use crate::job::Shelf;
use crate::report_page::flat_data;
use crate::serve::form::Forms;
use crate::serve::opened::Opened;
use crate::workshop::Workshop;
use rayon::prelude::*;
use serde_json::Value;
use serde_json::json;

/// A job with a part of every recipe, by their names, on one sheet.
fn job_of(names: &[String]) -> String {
    let sheet = "process = \"laser\"\n[[sheet]]\nname = \"S\"\nmaterial = \"S235\"\n\
        thickness = \"4 mm\"\nstock = []\n";
    let part = |name: &String| {
        let name = toml_edit::Value::from(name.as_str());
        format!("[[part]]\nrecipe = {name}\nname = {name}\nsheet = \"S\"\n")
    };
    names.iter().fold(sheet.to_owned(), |job, name| job + &part(name))
}

impl Opened {
    /// Every recipe with its description and the flat of a part at its defaults.
    ///
    /// # Errors
    /// When the workshop cannot be entered.
    pub fn recipes(&self) -> Result<Value, String> {
        let mut rows = Vec::new();
        self.desk.in_workshop(&mut |workshop| rows = all(workshop, &self.forms))?;
        Ok(json!(rows))
    }
}

fn all(workshop: &Workshop, forms: &Forms) -> Vec<Value> {
    let shelf: &Shelf = workshop.shelf();
    let names = (shelf.names)();
    let about = |name: &String| forms.of(name, shelf).map(|form| form.about.clone());
    let abouts: Vec<(String, String)> =
        names.into_iter().filter_map(|name| Some((name.clone(), about(&name)?))).collect();
    let names: Vec<String> = abouts.iter().map(|(name, _)| name.clone()).collect();
    let asked = workshop.read("recipes", "recipes", &job_of(&names));
    let ready = asked.ok().map(|asked| {
        asked.look(&crate::solve::SolveCache::default(), crate::solve::Depth::Whole).ready
    });
    let solved = ready.as_ref().map_or(&[][..], |ready| &ready.solved[..]);
    let row = |(name, about): &(String, String)| {
        let line =
            |line: usize| ready.as_ref().is_some_and(|ready| ready.job.lines[line].name == *name);
        let flat = solved.iter().find(|solved| line(solved.line));
        json!({
            "name": name,
            "about": about,
            "flat": flat.map(|solved| flat_data(&solved.flat.region)),
            "size": flat.map(|solved| {
                let bounds = solved.flat.region.bounds();
                [bounds.width(), bounds.height()]
            }),
        })
    };
    abouts.par_iter().map(row).collect()
}
