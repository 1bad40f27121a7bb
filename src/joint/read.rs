//! A `[[joint]]` of a job to [`Joint`].

use crate::diag::Finding;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::document::Value;
use crate::document::wrong_kind;
use crate::entry;
use crate::joint::asked::Fill;
use crate::joint::asked::Filling;
use crate::joint::asked::Joint;
use crate::joint::asked::Laminate;
use crate::joint::asked::Layer;
use crate::joint::asked::Sleeve;
use crate::joint::asked::Washer;
use crate::joint::asked::What;
use crate::num::counted;
use crate::quantity::Dimension;
use crate::table::Tables;

/// Maximum number of one joint. Our choice.
const MAX: u32 = 10_000;

/// Maximum number of layers of one joint. Our choice.
const LAYERS: usize = 40;

/// How far a hole wanders that is drilled by hand through a hole as its guide, mm, either way:
/// common practice.
const WANDER: f64 = 0.1;

const STACK: &str = "[\"front.bolt\", { rubber = \"3 mm\" }, \"back.bolt\"]";

/// Reads a joint; `None` when something was reported.
pub(crate) fn read(item: &Item, tables: &Tables, findings: &Findings) -> Option<Joint> {
    let fields = Fields::of(item, findings)?;
    let name = fields.needed_label("name", "\"seat\"").map(str::to_owned);
    let here = fields.get("name").map_or(item.span, |item| item.letters);
    let bolt = fields.need("bolt", "\"M8\"").and_then(|i| entry::row(i, "bolt", tables, findings));
    let stack = stack(&fields);
    let quantity = fields.has("quantity").then(|| fields.count_from("quantity", 1, MAX));
    let washers = washers(&fields, tables);
    let washers_at = fields.get("washers").map(|item| item.letters);
    let pilot = fields
        .get("pilot")
        .map(|item| Some((entry::row(item, "bolt", tables, findings)?, item.letters)));
    let guide = fields.text("guide").map(str::to_owned);
    let guide = guide.zip(fields.get("guide").map(|item| item.letters));
    let length = |key: &str| {
        let item = fields.get(key)?;
        let help = format!("write how long it is, or remove `{key}`");
        Some(entry::size(item, &help, findings).map(|mm| (mm, item.letters)))
    };
    let (engagement, position) = (length("engagement"), length("position"));
    let of = |key: &str| fields.get(key).and_then(|item| entry::length(item, findings));
    let room = of("room").zip(fields.get("room").map(|item| item.letters));
    let drilling = of("drilling").unwrap_or(WANDER);
    let shear = fields.get("shear").map(|item| force(item, findings));
    fields.finish();
    let bolt = bolt?;
    let nut = tables.table("nut").into_iter().flat_map(|table| table.rows());
    let mut nut = nut.filter(|row| row.text("bolt") == Some(bolt.name()));
    Some(Joint {
        name: name?,
        nut: nut.next().cloned(),
        bolt,
        stack: stack?,
        quantity: whole(quantity)?,
        washers: washers?,
        washers_at,
        pilot: whole(pilot)?,
        guide,
        engagement: whole(engagement)?,
        room,
        shear: whole(shear)?,
        position: whole(position)?.map(|(mm, _)| mm),
        drilling,
        here,
    })
}

/// The value if it was left out or could be read; `None` if an error was reported.
fn whole<T>(read: Option<Option<T>>) -> Option<Option<T>> {
    match read {
        None => Some(None),
        Some(read) => read.map(Some),
    }
}

fn force(item: &Item, findings: &Findings) -> Option<f64> {
    let newtons = entry::measure(item, Dimension::FORCE, "a force", "kN", findings)?;
    if newtons > 0.0 {
        return Some(newtons);
    }
    let finding = Finding::stop("out-of-range", "the force must be more than 0");
    let help = "write the shear force on the most heavily loaded bolt, or remove `shear`";
    findings.add(finding.at(item.letters, "").help(help));
    None
}

fn stack(fields: &Fields) -> Option<Vec<Layer>> {
    let item = fields.need("stack", STACK)?;
    let findings = fields.findings();
    let Some(items) = item.list() else {
        let finding = wrong_kind(item, "a list of the layers, from head to nut,");
        findings.add(finding.help(format!("write `stack = {STACK}`")));
        return None;
    };
    let layers: Vec<Option<Layer>> = items.iter().map(|item| layer(item, findings)).collect();
    let layers: Vec<Layer> = layers.into_iter().collect::<Option<_>>()?;
    let holes = layers.iter().filter(|layer| matches!(layer.what, What::Hole { .. })).count();
    let refuse = |headline: String, help: String| {
        findings.add(Finding::stop("out-of-range", headline).at(item.span, "").help(help));
        None
    };
    if holes == 0 || layers.len() < 2 {
        let headline = "a joint needs two layers or more, at least one of them a plate with holes";
        return refuse(headline.into(), format!("write `stack = {STACK}`"));
    }
    if layers.len() > LAYERS {
        let headline = format!("the stack has {} layers: the maximum is {LAYERS}", layers.len());
        return refuse(headline, "give plates that are welded together as one layer".into());
    }
    Some(layers)
}

fn layer(item: &Item, findings: &Findings) -> Option<Layer> {
    let what = match &item.value {
        Value::Text(text) => hole(text, item, findings)?,
        _ => {
            let fields = Fields::of(item, findings)?;
            let what = filled(&fields, item);
            fields.finish();
            what?
        }
    };
    Some(Layer { what, at: item.letters })
}

/// `base.bolt`: the part, and the text behind its last point.
fn hole(text: &str, item: &Item, findings: &Findings) -> Option<What> {
    match text.rsplit_once('.').map(|(part, hole)| (part.trim(), hole.trim())) {
        Some((part, hole)) if !part.is_empty() && !hole.is_empty() => {
            Some(What::Hole { part: part.to_owned(), hole: hole.to_owned() })
        }
        _ => {
            let headline = format!("`{text}` names no hole of a part");
            let help = "write the part, a dot, and the hole or set of holes: `\"base.bolt\"`";
            findings.add(Finding::stop("bad-name", headline).at(item.letters, "").help(help));
            None
        }
    }
}

/// A layer that is no plate of the job.
fn filled(fields: &Fields, item: &Item) -> Option<What> {
    let findings = fields.findings();
    let keys = ["laminate", "rubber", "spacer", "barrier"];
    let named: Vec<&str> = keys.into_iter().filter(|key| fields.has(key)).collect();
    let [key] = named.as_slice() else {
        let headline =
            "a layer is a hole of a part, or one of `laminate`, `rubber`, `spacer`, `barrier`";
        let finding = Finding::stop("missing-key", headline).at(item.span, "");
        findings.add(finding.help("write `\"base.bolt\"`, or `{ rubber = \"3 mm\" }`"));
        return None;
    };
    let thick = fields.get(key).and_then(|i| entry::size(i, "write its thickness", findings));
    let tolerance = fields.get("tolerance").map(|i| entry::length(i, findings));
    let (tolerance, thickness) = (whole(tolerance)?.unwrap_or(0.0), thick?);
    if tolerance >= thickness {
        let at = fields.get("tolerance").map_or(item.span, |item| item.letters);
        let finding = Finding::stop("out-of-range", "the tolerance leaves nothing of this layer");
        findings.add(finding.at(at, "").help(
            "make it smaller than the thickness: it is how much thicker or thinner the layer may be",
        ));
        return None;
    }
    let filling = match *key {
        "laminate" => return laminate(fields, thickness, tolerance).map(What::Laminate),
        "rubber" => Filling::Rubber(squeeze(fields, thickness)?),
        "spacer" => Filling::Spacer,
        _ => Filling::Barrier,
    };
    Some(What::Fill(Fill { filling, thickness, tolerance }))
}

/// By how much rubber gives.
fn squeeze(fields: &Fields, thickness: f64) -> Option<f64> {
    let Some(item) = fields.get("squeeze") else { return Some(0.0) };
    let squeeze = entry::length(item, fields.findings())?;
    if squeeze < thickness {
        return Some(squeeze);
    }
    let headline = "`squeeze` is not less than the thickness of the rubber";
    let finding = Finding::stop("out-of-range", headline);
    fields
        .add(finding.at(item.letters, "").help("write how much it compresses when it is clamped"));
    None
}

fn laminate(fields: &Fields, thickness: f64, tolerance: f64) -> Option<Laminate> {
    let findings = fields.findings();
    let size = |key: &str| {
        let item = fields.get(key)?;
        Some(entry::size(item, "write how large it is", findings))
    };
    let (hole, edge, min_edge) = (size("hole"), size("edge"), size("min_edge"));
    let bearing = fields.get("bearing").map(|item| {
        let stress = entry::measure(item, Dimension::STRESS, "a stress", "MPa", findings)?;
        if stress > 0.0 {
            return Some(stress);
        }
        let finding = Finding::stop("out-of-range", "the stress must be more than 0");
        findings.add(finding.at(item.letters, "").help("write the allowable bearing stress"));
        None
    });
    let carbon = fields.get("fibre").map(|item| match item.text() {
        Some("carbon") => Some(true),
        Some("glass" | "aramid") => Some(false),
        _ => {
            let headline = "`fibre` is `carbon`, `glass` or `aramid`";
            let finding = Finding::stop("unknown-word", headline).at(item.span, "");
            findings
                .add(finding.help("write `fibre = \"carbon\"`, also if only part of it is carbon"));
            None
        }
    });
    let sleeve = fields.get("sleeve").map(|item| sleeve(item, thickness, findings));
    Some(Laminate {
        thickness,
        tolerance,
        carbon: whole(carbon)?,
        hole: whole(hole)?,
        edge: whole(edge)?,
        min_edge: whole(min_edge)?,
        bearing: whole(bearing)?,
        sleeve: whole(sleeve)?,
    })
}

fn sleeve(item: &Item, thickness: f64, findings: &Findings) -> Option<Sleeve> {
    let fields = Fields::of(item, findings)?;
    let outside = fields.need("outside", "\"12 mm\"");
    let outside =
        outside.and_then(|item| entry::size(item, "write its outside diameter", findings));
    let said = fields.get("less").map(|item| (entry::length(item, findings), item.letters));
    fields.finish();
    let (less, at) = said.map_or((Some(0.0), item.span), |(less, at)| (less, at));
    let (outside, less) = (outside?, less?);
    if less < thickness {
        return Some(Sleeve { outside, less });
    }
    let finding = Finding::stop("out-of-range", "`less` leaves nothing of the sleeve");
    findings.add(finding.at(at, "").help("write by how much it is shorter than the laminate"));
    None
}

/// Under the head and under the nut: `plain`, `none`, or rows of the table `washer`; one word is
/// for both.
fn washers(fields: &Fields, tables: &Tables) -> Option<[Washer; 2]> {
    let Some(item) = fields.get("washers") else { return Some([Washer::Plain, Washer::Plain]) };
    let findings = fields.findings();
    let one = |item: &Item| match item.text() {
        Some("none") => Some(Washer::None),
        Some("plain") => Some(Washer::Plain),
        _ => entry::row(item, "washer", tables, findings).map(Washer::Large),
    };
    let refuse = |finding: Finding| {
        findings.add(finding.help(
            "write `washers = \"plain\"`, or one for each: `washers = [\"plain\", \"none\"]`",
        ));
        None
    };
    match (item.list(), item.text()) {
        (None, Some(_)) => one(item).map(|washer| [washer.clone(), washer]),
        (Some([head, nut]), _) => {
            let (head, nut) = (one(head), one(nut));
            Some([head?, nut?])
        }
        (Some(list), _) => {
            let headline = format!(
                "`washers` has {}: one is needed for the head and one for the nut",
                counted(list.len(), "entry")
            );
            refuse(Finding::stop("wrong-kind", headline).at(item.span, ""))
        }
        (None, None) => refuse(wrong_kind(item, "a washer, or a list of two,")),
    }
}
