//! The results of the loads on a part: the part with the section that governs, and all checks by
//! their margin; always with the caution.

mod acting;
mod arrows;

use crate::drawings::gap_picture::bar;
use crate::drawings::gap_picture::large;
use crate::drawings::gap_picture::small;
use crate::drawings::hole_dimensions;
use crate::drawings::loads::acting::Acting;
use crate::drawings::notes::sentence;
use crate::drawings::printed;
use crate::flat::to_origin;
use crate::geom::Edge;
use crate::geom::Point;
use crate::job::Job;
use crate::paper;
use crate::paper::Block;
use crate::paper::Ink;
use crate::paper::Item;
use crate::paper::Pen;
use crate::paper::Unit;
use crate::paper::Words;
use crate::report;
use crate::solve::Solved;
use crate::strength::Limit;
use crate::strength::Verdict;
use std::sync::Arc;

/// Maximum height of the picture of a part, mm; its maximum width as a share of the column's; and
/// the margin at its left, mm.
const HIGH: f64 = 22.0;
const WIDE: f64 = 0.4;
const LEFT: f64 = 2.0;
/// Minimum width of the text beside that picture, mm. Our choice.
const SAID: f64 = 40.0;
/// Maximum width of the names of rules, mm.
const RULE: f64 = 30.0;
/// The same where figures and bars take the room, mm: a word.
const MIN: f64 = 14.0;
/// Minimum room for the bars, and the width of names where there is less, mm. Our choice.
const BARS: f64 = 14.0;
const NAME: f64 = 47.0;
/// Maximum length of a bar, as a multiple of the allowable value. Our choice.
const MAX: f64 = 2.0;
/// A table no higher than this is not split between columns, mm. Our choice: a column is some 140
/// mm high.
const WHOLE: f64 = 110.0;
/// From one check to the next, mm.
const ROW: f64 = 4.2;

/// The loads as pictures, tables and words for a column; empty if there are none.
pub(super) fn units(job: &Job, solved: &Solved, column: f64) -> Vec<Unit> {
    let Some(row) = report::loads(job, std::slice::from_ref(solved)) else { return Vec::new() };
    let width = column - 5.0;
    let mut all = Vec::new();
    for (i, ((_, verdict), load)) in solved.verdicts.iter().zip(&row.loads).enumerate() {
        let acting = Acting::of(job, solved, i);
        let mut units = Vec::new();
        let lines = vec![format!("By {}. {}", verdict.method.name(), row.caution)];
        let by = paper::units(&[Block::Lines { heading: String::new(), lines }], column);
        // The method is above its picture.
        units.extend(by.iter().filter(|unit| !unit.is_gap()).map(Unit::leading));
        units.push(picture(job, solved, (verdict, acting.as_ref()), width));
        units.extend(acting.and_then(|acting| acting.seen_from_the_side(width)));
        units.extend(checks(job, (solved, verdict), width));
        let words = verdict.refused().map(|_| sentence(&load.words));
        let lines =
            words.into_iter().chain(load.remarks()).map(|words| printed::remark(&words)).collect();
        units.extend(paper::units(&[Block::Lines { heading: String::new(), lines }], column));
        // If not all of it fits into a column, its subject is repeated.
        let again = Unit::whole_heading(&format!("Load: {}, continued", verdict.case), width);
        let again = again.map(|unit| Unit::picture(unit.height, unit.items));
        let head = again.map(Arc::new);
        all.extend(Unit::heading(&format!("Load: {}", verdict.case), width));
        all.extend(units.into_iter().map(|unit| match &head {
            Some(head) if !unit.is_gap() => unit.headed(head),
            _ => unit,
        }));
    }
    all
}

/// What acts, with the holes of the load as their letters: names are in the recipe alone.
fn acting_words(solved: &Solved, verdict: &Verdict) -> String {
    let named = |name: &str| {
        let sets = hole_dimensions::sets(solved);
        let own = sets.iter().filter_map(|set| {
            let of = set.holes.iter().enumerate();
            let own: Vec<usize> =
                of.filter(|(_, (_, hole))| hole.is_of(name)).map(|(i, _)| i).collect();
            (!own.is_empty()).then(|| own.into_iter().map(|i| set.label(i)).collect::<Vec<_>>())
        });
        own.flatten().collect::<Vec<_>>()
    };
    let hole = verdict.at.strip_prefix("hole `").and_then(|name| name.strip_suffix('`'));
    let Some(letters) = hole.map(named).filter(|letters| !letters.is_empty()) else {
        return printed::remark(&verdict.acting);
    };
    let here = match (solved.flat.holes.len(), letters.len()) {
        (1, _) => "the hole".to_owned(),
        (_, 1) => format!("hole {}", letters[0]),
        _ => format!("holes {}", hole_dimensions::runs(&letters)),
    };
    verdict.acting.replace(&verdict.at, &here)
}

/// The flat with the load and the section that governs, and beside it the load, the allowable value
/// and the margin.
fn picture(
    job: &Job,
    solved: &Solved,
    (verdict, acting): (&Verdict, Option<&Acting>),
    width: f64,
) -> Unit {
    let mut items = flat(solved, verdict, acting, width);
    let drawn = paper::extent(&items);
    let shift = (LEFT - drawn.min.x, -3.0 - drawn.max.y);
    items = items.into_iter().map(|item| item.shifted(shift)).collect();
    let beside = LEFT + drawn.width() + 6.0;
    let most = allowed(job, verdict);
    let long = most.iter().map(|words| words.length() + 1.4).sum::<f64>();
    let is_beside = beside + long.max(SAID) <= width;
    let x = if is_beside { beside } else { LEFT };
    let mut y = if is_beside { -6.0 } else { -drawn.height() - 10.0 };
    let mut say = |line: Vec<Words>, down: f64| {
        let mut x = x;
        for words in line {
            let long = words.length();
            items.push(Item::Words(Words { at: Point::new(x, y), ..words }));
            x += long + 1.4;
        }
        y -= down;
    };
    let grey = |words: &str| small(words).in_ink(Ink::Grey);
    let whole = large(job.units.applied_alone(verdict.force)).in_ink(Ink::Accent);
    say(vec![whole, grey("applied")], 4.6);
    let shared = acting.and_then(Acting::shared);
    let what = std::iter::once(acting_words(solved, verdict)).chain(shared);
    let what: Vec<String> = what.flat_map(|words| paper::wrapped(&words, width - x)).collect();
    for (i, line) in what.iter().enumerate() {
        say(vec![small(line)], if i + 1 == what.len() { 6.6 } else { ROW });
    }
    let governing = verdict.governing();
    match governing.filter(|_| !most.is_empty()) {
        Some(limit) => {
            say(most, 4.6);
            let governs = paper::wrapped(&format!("governs: {}", limit.what), width - x);
            governs.iter().for_each(|line| say(vec![small(line)], ROW));
        }
        None => say(vec![large("not judged").in_ink(Ink::Red)], ROW),
    }
    let low = (-3.0 - drawn.height()).min(y + ROW - 1.6);
    Unit::picture(-low + 2.5, items)
}

/// The allowable value and the margin; empty if the load was not judged.
fn allowed(job: &Job, verdict: &Verdict) -> Vec<Words> {
    let (None, Some(limit), Some(_)) = (verdict.refused(), verdict.governing(), verdict.margin())
    else {
        return Vec::new();
    };
    let left = job.units.percent_left(verdict.force, verdict.allowable(limit));
    let most = large(job.units.allowed_alone(verdict.allowable(limit)));
    vec![most, small("allowed,").in_ink(Ink::Grey), large(format!("margin {left} %"))]
}

/// The flat with the section that governs and the arrows of the load.
fn flat(solved: &Solved, verdict: &Verdict, acting: Option<&Acting>, width: f64) -> Vec<Item> {
    let place = to_origin(&solved.flat.region);
    let region = solved.flat.region.moved(&place);
    let size = region.bounds();
    let by = (HIGH / size.height()).min(width * WIDE / size.width());
    let onto = |p: Point| (p.to_vec2() * by).to_point();
    let edge = |e: &Edge| Edge { from: onto(e.from), to: onto(e.to), bulge: e.bulge };
    let mut items = Vec::new();
    for outline in region.outlines() {
        items.push(Item::Line(Pen::Wide, outline.edges().map(|e| edge(&e)).collect()));
    }
    if let Some(section) = verdict.governing().and_then(|limit| limit.section) {
        let [a, b] = section.flat.map(|p| onto(place.apply(p)));
        if (b - a).hypot() > 0.1 {
            items.push(Item::line(Pen::Governs, a, b));
        } else {
            items.push(Item::Line(Pen::Governs, paper::circle(a, 2.0)));
        }
    }
    if let Some(acting) = acting {
        acting.on_flat(&mut items, (&place, &onto));
    }
    items
}

/// All checks by their limits, the lowest first, as bars: the share of the limit that the load
/// uses, so that the governing one has the longest.
fn checks(job: &Job, (solved, verdict): (&Solved, &Verdict), width: f64) -> Vec<Unit> {
    let mut limits: Vec<&Limit> = verdict.limits.iter().chain(&verdict.wall).collect();
    limits.sort_by(|a, b| a.allowable().total_cmp(&b.allowable()));
    if limits.is_empty() {
        return Vec::new();
    }
    let share = |limit: &Limit| (verdict.force / verdict.allowable(limit)).min(MAX);
    let most = limits.iter().map(|limit| share(limit)).fold(1.0, f64::max);
    let name = |limit: &Limit| limit_name(solved, limit, &limits);
    let whole = limits.iter().map(|limit| small(name(limit)).length()).fold(0.0, f64::max) + 2.0;
    // Where all rules are of one standard, the heading says it.
    let standard = verdict.method.name().split(',').next().unwrap_or_default();
    let rule_of = |limit: &Limit| limit.rule.trim_start_matches(standard).trim_start().to_owned();
    let widest = limits.iter().map(|limit| small(rule_of(limit)).length()).fold(0.0, f64::max);
    // Long names of rules continue on further lines.
    let figures = limits
        .iter()
        .map(|limit| small(job.units.allowed_alone(verdict.allowable(limit))).length());
    let figure = figures.fold(0.0, f64::max) + 2.0;
    let rule = (widest + 2.0).min(RULE);
    // So do the names of checks where they leave no room for the bars.
    let what = whole.min((width - rule - figure - BARS).max(NAME));
    let rule = rule.min((width - what - figure).max(MIN));
    let left = what + rule;
    let room = width - left - figure;
    // A narrow column leaves no room for bars: then the figures alone.
    let by = if room < 12.0 { 0.0 } else { room / most };
    // Of several limits of one name and rule one alone governs.
    let governing = verdict.governing();
    let row = |limit: &&Limit| {
        let governs = governing.is_some_and(|of| std::ptr::eq(of, *limit));
        let heavy = |words: Words| if governs { words.made_heavy() } else { words };
        let long = by * share(limit);
        let at = |x: f64, words: Words| Item::Words(Words { at: Point::new(x, -3.4), ..words });
        let figure = heavy(small(job.units.allowed_alone(verdict.allowable(limit))));
        let x = (left + long.max(by) + 1.2).min(width - figure.length());
        let mut items = vec![at(x, figure)];
        let names = paper::wrapped(&name(limit), what - 2.0);
        let rules = paper::wrapped(&rule_of(limit), rule - 2.0);
        let mut say = |x: f64, lines: &[String], ink: &dyn Fn(Words) -> Words| {
            for (line, k) in lines.iter().zip(0u32..) {
                let at = Point::new(x, -3.4 - ROW * f64::from(k));
                items.push(Item::Words(Words { at, ..ink(small(line)) }));
            }
        };
        say(0.0, &names, &heavy);
        say(what, &rules, &|words| words.in_ink(Ink::Grey));
        let high = ROW * names.len().max(rules.len()).max(1) as f64;
        if by > 0.0 {
            items.push(bar(Point::new(left, -3.7), long, governs));
            let x = left + by;
            items.push(Item::line(Pen::Wide, Point::new(x, 0.0), Point::new(x, -high)));
        }
        Unit::picture(high, items)
    };
    let mut units: Vec<Unit> = limits.iter().map(row).collect();
    units.push(key(job, verdict.force, by > 0.0, width));
    together(units)
}

/// The name of a limit; if several share one name, with the holes in its section.
fn limit_name(solved: &Solved, limit: &Limit, all: &[&Limit]) -> String {
    let own = report::named_limit(limit, all.iter().copied());
    let alike = all.iter().filter(|other| other.what == limit.what).count();
    match section_holes(solved, limit).filter(|_| alike > 1) {
        Some(letters) => format!("{own} ({letters})"),
        None => own,
    }
}

/// Rows that no column parts, where they are not too many for one.
fn together(mut rows: Vec<Unit>) -> Vec<Unit> {
    let high: f64 = rows.iter().map(|row| row.height).sum();
    let last = rows.len().saturating_sub(1);
    if high < WHOLE {
        rows[..last].iter_mut().for_each(|row| *row = row.leading());
    }
    rows
}

/// The letters of the holes in the section of a limit; `None` if there are none.
fn section_holes(solved: &Solved, limit: &Limit) -> Option<String> {
    let [a, b] = limit.section?.flat;
    let place = to_origin(&solved.flat.region);
    let (from, along) = (place.apply(a), (b - a).normalize());
    let spots = hole_dimensions::spots(solved, &hole_dimensions::sets(solved));
    let cut = spots.iter().filter(|spot| {
        let bounds = spot.outline.bounds();
        let off = (bounds.centre() - from).cross(place.direction(along)).abs();
        off < bounds.width().min(bounds.height()) / 2.0
    });
    let letters: Vec<&str> = cut.map(|spot| spot.label.as_str()).collect();
    (!letters.is_empty()).then(|| hole_dimensions::runs(&letters))
}

/// The meaning of the bars and of the line across them; without these the load alone.
fn key(job: &Job, force: f64, has_bars: bool, width: f64) -> Unit {
    let said = match has_bars {
        true => job.units.bars(force),
        false => format!("{} applied", job.units.applied_alone(force)),
    };
    let said = small(said).made_heavy();
    let said = Words { at: Point::new((width - said.length()).max(0.0), -3.2), ..said };
    Unit::picture(5.0, vec![Item::Words(said)])
}
