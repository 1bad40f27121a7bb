//! The tasks at the bench for a link.

use crate::bill::bench::task::Stage;
use crate::bill::bench::task::Task;
use crate::bill::bench::task::leg_text;
use crate::job::Job;
use crate::link::Hand;
use crate::link::Link;
use crate::num;

/// Everything that is done to a link, in no order of stages.
pub(super) fn tasks(job: &Job, link: &Link) -> Vec<Task> {
    let task = |stage, what| Task::new(stage, &link.name, link.quantity, what);
    let show = |mm: f64| job.units.length(num::on_grid(mm));
    let ends =
        link.ends.each_ref().map(|end| format!("{} {}-hand", end.thread.name(), end.hand.word()));
    let setting = link.setting();
    let leg = job.link_loads.iter().filter(|load| job.links[load.link].name == link.name);
    let leg = leg.filter_map(|load| load.leg).reduce(f64::max);
    let leg = leg.map_or_else(String::new, |leg| format!(", leg {}", leg_text(job, leg)));
    let [first, second] = &ends;
    let mut tasks = vec![
        task(
            Stage::Fit,
            "Keep the rod ends out until welding is done: heat ruins race and grease.".into(),
        ),
        task(Stage::Tack, format!("Tack a bung into each end, {first} and {second}.")),
        task(
            Stage::Align,
            format!(
                "Roll it on a flat bench: the bungs must run true; {} overall.",
                job.units.taped(setting.welded)
            ),
        ),
        task(Stage::Weld, format!("Weld both bungs all round{leg}.")),
        task(
            Stage::Chase,
            format!("Run a tap through both bungs, once they are cold: {first}, {second}."),
        ),
    ];
    if let Some(left) = link.ends.iter().position(|end| end.hand == Hand::Left) {
        let what = format!("Mark end {} of the tube: left-hand thread.", left + 1);
        tasks.push(task(Stage::Tack, what));
    }
    let engaged = link.ends.each_ref().map(|end| show(end.engagement));
    let engaged = match engaged[0] == engaged[1] {
        true => format!("{} each", engaged[0]),
        false => format!("{} and {}", engaged[0], engaged[1]),
    };
    let what = format!(
        "Screw the rod ends in {engaged}, set it to {} from pin to pin, tighten the jam nuts; never \
         less than {} engaged.",
        job.units.setting(link.pins),
        show(link.min)
    );
    tasks.push(task(Stage::Assemble, what));
    tasks
}
