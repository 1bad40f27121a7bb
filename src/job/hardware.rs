//! What has to be bought or turned besides the sheet: one row for each kind of thing.

use crate::job::Job;
use crate::job::Solved;
use crate::job::report::rounded;
use crate::num;
use serde::Serialize;
use std::collections::BTreeMap;

/// One kind of thing to buy or to turn.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hardware {
    /// What it is: `rod end`, `jam nut`, `bung`, `tube`, `bolt`, `nut`, `washer`, `spacer`.
    pub kind: &'static str,
    /// Its row in the table, or its sizes.
    pub size: String,
    /// Thread, where that is not its size.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thread: Option<String>,
    /// `right` or `left`, where it has a hand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hand: Option<&'static str>,
    /// Length of a tube as it is cut, least length of a bolt under its head, thickness of a
    /// spacer, mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length_mm: Option<f64>,
    /// How many.
    pub quantity: u32,
    /// The links and parts it is for.
    pub used_by: Vec<String>,
}

/// Threads of a bolt that stand out of its nut: common practice is one or two. As a share of
/// its diameter, our choice.
const PROUD: f64 = 0.3;

/// Everything that the links and the clevises of a job need, sorted by kind.
pub(super) fn hardware(job: &Job, solved: &[Solved]) -> Vec<Hardware> {
    let mut list = List::default();
    for link in &job.links {
        for end in &link.ends {
            let hand = Some(end.hand.word());
            let thread = Some(end.thread.name().to_owned());
            let mut add = |kind, size: &str, thread: Option<String>| {
                list.add(kind, size, thread, hand, None, link.quantity, &link.name);
            };
            add("rod end", end.rod_end.name(), thread);
            add("jam nut", end.jam_nut.name(), None);
            add("bung", end.bung.name(), None);
        }
        let cut = Some(link.setting().cut);
        list.add("tube", link.tube.name(), None, None, cut, link.quantity, &link.name);
    }
    for part in solved {
        let Some(clevis) = &part.part.clevis else { continue };
        let (sets, name) = (job.lines[part.line].quantity, part.name.as_str());
        if clevis.spacer > 0.0 {
            let thickness = Some(clevis.spacer);
            list.add("spacer", clevis.rod_end.name(), None, None, thickness, 2 * sets, name);
        }
        let Some(fit) = &part.fit else { continue };
        let (Some(bolt), Some(nut)) = (&fit.bolt, &fit.nut) else { continue };
        let grip = clevis.gap
            + 2.0 * part.part.thickness
            + 2.0 * bolt.measure("washer_thickness")
            + nut.measure("height")
            + PROUD * bolt.measure("diameter");
        list.add("bolt", bolt.name(), None, None, Some(grip), sets, name);
        list.add("nut", nut.name(), None, None, None, sets, name);
        list.add("washer", bolt.name(), None, None, None, 2 * sets, name);
    }
    list.0.into_values().collect()
}

type Key = (&'static str, String, Option<&'static str>, Option<String>);

#[derive(Default)]
struct List(BTreeMap<Key, Hardware>);

impl List {
    #[expect(clippy::too_many_arguments, reason = "they are the columns of a row")]
    fn add(
        &mut self,
        kind: &'static str,
        size: &str,
        thread: Option<String>,
        hand: Option<&'static str>,
        length: Option<f64>,
        quantity: u32,
        user: &str,
    ) {
        let length_mm = length.map(|mm| rounded((mm * 100.0).round() / 100.0));
        let key = (kind, size.to_owned(), hand, length_mm.map(|mm| num::text(mm, 2)));
        let row = self.0.entry(key).or_insert_with(|| Hardware {
            kind,
            size: size.to_owned(),
            thread,
            hand,
            length_mm,
            quantity: 0,
            used_by: Vec::new(),
        });
        row.quantity += quantity;
        if row.used_by.last().is_none_or(|last| last != user) {
            row.used_by.push(user.to_owned());
        }
    }
}
