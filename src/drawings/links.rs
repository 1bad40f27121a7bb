//! The drawing of a link that is loaded: the link between its pins with the section that governs,
//! its settings, and the results of its loads; always with the caution.

use crate::diag::Finding;
use crate::drawings::file::names_of_both;
use crate::drawings::file::pdf;
use crate::drawings::framed;
use crate::drawings::framed::heading;
use crate::drawings::gap_picture::centred;
use crate::drawings::gap_picture::large;
use crate::drawings::gap_picture::small;
use crate::drawings::layout::HEADING;
use crate::drawings::link;
use crate::drawings::notes::sentence;
use crate::drawings::printed;
use crate::drawings::title;
use crate::drawings::wanted::Wanted;
use crate::entry;
use crate::geom::Bounds;
use crate::geom::Point;
use crate::geom::Vec2;
use crate::job::Job;
use crate::link::Link;
use crate::num;
use crate::paper;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Format;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::Pages;
use crate::paper::Pen;
use crate::paper::Table;
use crate::paper::Unit;
use crate::paper::Words;
use crate::quantity::Units;
use crate::report;
use crate::report::LinkLoadRow;
use crate::solve::Solved;
use crate::strength::CAUTION;
use crate::write::NamedFile;

/// Room for the picture of the link, mm.
const HIGH: f64 = 56.0;

/// From the tube down to the names of its ends, below the sizes, mm.
const BELOW: f64 = 12.0;

/// The drawings of all loaded links, as PDF and SVG, as far as they are wanted.
///
/// # Errors
/// When one cannot be written.
pub(super) fn drawings(
    job: &Job,
    solved: &[Solved],
    format: Format,
    wanted: &Wanted,
) -> Result<Vec<NamedFile>, Vec<Finding>> {
    let rows = report::link_loads(job, solved);
    let mut files = Vec::new();
    for link in job.links.iter().filter(|link| link.quantity > 0) {
        let own: Vec<&LinkLoadRow> = rows.iter().filter(|row| row.link == link.name).collect();
        let name = format!("{}-link", entry::file_word(&link.name.replace(' ', "-")));
        if own.is_empty() || !wanted.is(names_of_both("drawings", &name)) {
            continue;
        }
        let name = format!("drawings/{name}");
        let drawing = drawing(job, link, &own, format);
        files.push(pdf(format!("{name}.pdf"), &drawing, link.places.name)?);
        let bytes = paper::svg(&drawing).into_bytes();
        files.push(NamedFile { name: format!("{name}.svg"), bytes });
    }
    Ok(files)
}

fn drawing(job: &Job, link: &Link, rows: &[&LinkLoadRow], format: Format) -> Pages {
    let [short, long] = format.size();
    let size = [long, short];
    let fields = |scale: &str, of: [usize; 2]| title::of_link(job, link, scale, of);
    let inside = framed::inside(size, &[paper::NOT_TO_SCALE], &fields);
    let middle = inside.centre().x;
    let left = Bounds { min: inside.min, max: Point::new(middle, inside.max.y - HEADING) };
    let right = Bounds { min: Point::new(middle, inside.min.y), max: inside.max };
    let mut items = vec![Item::line(
        Pen::Narrow,
        Point::new(middle, inside.min.y),
        Point::new(middle, inside.max.y),
    )];
    let whole = Bounds { max: Point::new(middle, inside.max.y), ..left };
    items.extend(heading(whole, "Link"));
    items.extend(framed::beside_heading(whole, paper::NOT_TO_SCALE));
    let governs = rows.iter().find_map(|row| row.weakest().first().map(|l| l.place.clone()));
    let mut own = vec![picture(job, link, governs.as_deref(), left.width() - 5.0)];
    own.extend(paper::units(&[sizes(job, link)], left.width()));
    let (placed, mut rest) = paper::place(own, &[left]);
    items.extend(placed);
    let loads: Vec<Unit> = rows.iter().flat_map(|row| load(job, row, right.width())).collect();
    let (placed, more) = paper::place(loads, &[right]);
    items.extend(placed);
    rest.extend(more);
    let first = (items, paper::NOT_TO_SCALE.to_owned());
    framed::framed(&link.name, (size, inside), first, rest, &fields)
}

/// The link from the side with its sizes, the names of its ends, and the place that governs.
fn picture(job: &Job, link: &Link, governs: Option<&str>, width: f64) -> Unit {
    let link::Picture { mut items, along } = link::picture(job, link, [width, HIGH]);
    let half = link.tube.measure("outside") / 2.0;
    for (i, pin) in [0.0, link.pins].into_iter().enumerate() {
        let at = along.at(pin, -half) + Vec2::new(0.0, -BELOW);
        items.push(centred(at, small(format!("end {}", i + 1))));
    }
    let place = match governs {
        Some("tube") => Some(link.pins / 2.0),
        Some("end 1") => Some(link::face(link, 0)),
        Some("end 2") => Some(link::face(link, 1)),
        _ => None,
    };
    if let Some(x) = place {
        let beyond = half + 2.0 / along.by;
        items.push(Item::line(Pen::Governs, along.at(x, -beyond), along.at(x, beyond)));
    }
    let down = |item: Item| item.shifted((0.0, -HIGH));
    Unit::picture(HIGH + 1.0, items.into_iter().map(down).collect())
}

/// The dimensions of the link, and the parts at its ends.
fn sizes(job: &Job, link: &Link) -> Block {
    let setting = link.setting();
    let show = |mm: f64| job.units.length(num::on_grid(mm));
    let mut rows = vec![
        vec!["cut length of the tube".into(), show(setting.cut)],
        vec!["shortest, pin to pin".into(), show(setting.shortest)],
        vec!["longest, pin to pin".into(), show(setting.longest)],
        vec!["minimum engagement".into(), show(link.min)],
    ];
    if link.is_uneven() {
        let [short, long] = job.units.settings(setting.turned);
        rows.push(vec!["by turning the tube".into(), format!("{short} to {long}")]);
    }
    for (i, end) in link.ends.iter().enumerate() {
        let thread = format!("{}, {}-hand", end.thread.name(), end.hand.word());
        rows.push(vec![format!("end {}: thread", i + 1), thread]);
        rows.push(vec![format!("end {}: engaged as made", i + 1), show(end.engagement)]);
        let [inwards, out] = end.room(link.min).map(show);
        rows.push(vec![format!("end {}: screws in, out", i + 1), format!("{inwards}, {out}")]);
    }
    Block::Table(Table {
        heading: "Sizes".into(),
        beside: 1,
        heads: ["what", "size"].map(String::from).to_vec(),
        rows: rows.into_iter().map(|row| row.into_iter().map(Cell::Words).collect()).collect(),
    })
}

/// A load: its value, the allowable value, what governs, every check, remarks.
fn load(job: &Job, row: &LinkLoadRow, column: f64) -> Vec<Unit> {
    let width = column - 5.0;
    let force = |force: report::Force| {
        let (newtons, (unit, word)) = (force.kn * 1000.0, job.units.force_unit());
        (newtons / unit, word)
    };
    let (applied, word) = force(row.force);
    let mut units = Unit::heading(&format!("Load: {}", row.case), width);
    let caution = format!("By {}. {}", row.method, CAUTION);
    units.extend(lines(vec![caution], column));
    let mut items = Vec::new();
    let mut y = -4.0;
    let mut say = |words: Words, down: f64| {
        items.push(Item::Words(Words { at: Point::new(2.0, y), ..words }));
        y -= down;
    };
    let load = format!("{} {word}", Units::applied_figure(applied));
    say(large(load).in_ink(Ink::Accent), 4.6);
    say(small(format!("{} along the link", row.acting)), 6.0);
    let outcome = &row.outcome;
    match (outcome.allowable, &outcome.margin, outcome.governed_by) {
        (Some(allowable), Some(margin), Some(what)) if outcome.judged => {
            let (allowed, word) = force(allowable);
            let allowed = Units::three_figures(allowed);
            say(large(format!("allowed {allowed} {word}, margin {margin} %")), 4.6);
            say(small(format!("governs: {what}")), 4.6);
        }
        _ => say(large("not judged").in_ink(Ink::Red), 4.6),
    }
    units.push(Unit::picture(-y + 1.0, items));
    units.extend(paper::units(checks(job, row).as_slice(), column));
    let unjudged = (!outcome.judged).then(|| sentence(&row.words));
    let said = unjudged.into_iter().chain(row.remarks()).map(|words| printed::remark(&words));
    units.extend(lines(said.collect(), column));
    units
}

fn lines(lines: Vec<String>, column: f64) -> Vec<Unit> {
    paper::units(&[Block::Lines { heading: String::new(), lines }], column)
}

/// The weakest of each kind of limit, the lowest first.
fn checks(job: &Job, row: &LinkLoadRow) -> Option<Block> {
    let (unit, word) = job.units.force_unit();
    let cells = |limit: &&report::LinkLimitRow| {
        let allowed = Units::three_figures(limit.allowable.kn * 1000.0 / unit);
        let rule = limit.rule.trim_start_matches("AISC 360-16 ").to_owned();
        let cells = [limit.what.to_owned(), limit.place.clone(), rule, allowed];
        cells.map(Cell::Words).to_vec()
    };
    let rows: Vec<Vec<Cell>> = row.weakest().iter().map(cells).collect();
    let heads = ["check".to_owned(), "where".into(), "by".into(), format!("allowed, {word}")];
    (!rows.is_empty()).then(|| {
        Block::Table(Table { heading: String::new(), beside: 1, heads: heads.to_vec(), rows })
    })
}
