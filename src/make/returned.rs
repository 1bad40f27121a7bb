//! Returned files, compared with the flats of the job.
//!
//! A file is that of a part when it has a name the part was made or sent under; otherwise when it
//! shows the same plate. Where it is drawn does not matter. A file that shows several plates is a
//! sheet: each piece is looked for among the parts, however it lies. Outlines and cut-outs are
//! compared by the largest distance from a corner or a centre of an edge of one to the other.
//! A difference from the present job may match an earlier issue that was sent, which is reported.

mod compared;
mod earlier;
mod names;
mod sheets;

pub use compared::Returned;

use crate::changes::SAME;
use crate::diag::nearest;
use crate::dxf_in;
use crate::dxf_in::DxfError;
use crate::flat::to_origin;
use crate::geom;
use crate::geom::ContourFault;
use crate::geom::Edge;
use crate::geom::Outline;
use crate::geom::Place;
use crate::geom::Point;
use crate::geom::Region;
use crate::history;
use crate::job::Job;
use crate::make::returned::compared::ExpectedPart;
use crate::make::returned::compared::Read;
use crate::make::returned::compared::max_deviation;
use crate::make::returned::compared::place;
use crate::make::returned::sheets::Sheets;
use crate::num;
use crate::package;
use crate::quantity::MM_PER_INCH;
use crate::solve::Solved;

/// A cut-out that moved counts as the same if it moved less than this share of its own size, or
/// this many mm. Our choice.
const NEAR: (f64, f64) = (2.0, 5.0);

/// Compares returned files, by name and bytes, with the job. `sent` tells by the checksum of a file
/// whether these very bytes were sent.
pub fn against(
    job: &Job,
    solved: &[Solved],
    files: &[(String, Vec<u8>)],
    sent: &dyn Fn(&str) -> bool,
) -> Returned {
    let mut returned = Returned::default();
    let mut wanted = wanted(job, solved);
    let (mut left, mut sheets) = (Vec::new(), Sheets::default());
    for (name, bytes) in files {
        match plates(job, bytes) {
            Ok(mut plates) if plates.len() == 1 => {
                let region = plates.swap_remove(0);
                let sent = sent(&history::checksum(bytes));
                left.push(Read { name, region: region.moved(&to_origin(&region)), sent });
            }
            Ok(plates) => sheets.add(&mut returned, job, solved, &mut wanted, (name, &plates)),
            Err(words) => returned.differences.push(format!("{name}: {words}")),
        }
    }
    for part in &mut wanted {
        let named = |file: &Read| part.names.iter().any(|name| names::is(file.name, name));
        let (mine, others): (Vec<_>, Vec<_>) = left.into_iter().partition(named);
        left = others;
        for file in mine {
            part.found = true;
            judge(&mut returned, job, &solved[part.part], &part.region, &file);
        }
    }
    for part in wanted.iter_mut().filter(|part| !part.found) {
        let Some(at) = left.iter().position(|file| alike(&part.region, &file.region)) else {
            continue;
        };
        let (file, name, stem) = (left.remove(at), &solved[part.part].name, &part.stem);
        part.found = true;
        let count = names::other_count(file.name, stem);
        returned.differences.push(format!(
            "{}: renamed; it is part `{name}`, sent as {stem}.dxf{count}",
            file.name
        ));
        let file = Read { sent: false, ..file };
        judge(&mut returned, job, &solved[part.part], &part.region, &file);
    }
    left.retain(|file| !sheets.holds_one(&mut returned, job, solved, &mut wanted, file));
    sheets.count(&mut returned, job, solved);
    returned.differences.extend(
        wanted
            .iter()
            .filter(|part| !part.found)
            .map(|part| format!("{}.dxf is missing: part `{}`", part.stem, solved[part.part].name)),
    );
    returned.differences.extend(left.iter().map(|file| extra(job, solved, &wanted, file)));
    returned
}

/// The parts with the names their files may have.
fn wanted(job: &Job, solved: &[Solved]) -> Vec<ExpectedPart> {
    let wanted = |(stem, part): (String, usize)| {
        let (region, name) = (&solved[part].flat.region, &solved[part].name);
        let mut names = vec![stem.clone(), name.clone()];
        names.extend(earlier::names(job, name));
        let region = region.moved(&to_origin(region));
        ExpectedPart { stem, names, part, region, found: false }
    };
    package::sent(job, solved).into_iter().map(wanted).collect()
}

/// A file that is that of no part.
fn extra(job: &Job, solved: &[Solved], wanted: &[ExpectedPart], file: &Read) -> String {
    let name = file.name;
    if let Some(of) = wanted.iter().find(|of| earlier::same(&of.region, &file.region)) {
        let (part, stem) = (&solved[of.part].name, &of.stem);
        let count = names::other_count(name, stem);
        return format!(
            "{name} is extra: it is a second copy of part `{part}`, sent as {stem}.dxf{count}"
        );
    }
    if let Some(words) = earlier::any(job, &file.region) {
        return format!("{name}: {words}; the job no longer makes it that way");
    }
    let near = nearest(names::stem(name), wanted.iter().map(|w| w.stem.as_str()));
    let near = near.map_or(String::new(), |near| format!("; nearest name: {near}.dxf"));
    format!("{name} is extra: it matches no part of the order{near}")
}

/// The plates a file shows.
fn plates(job: &Job, bytes: &[u8]) -> Result<Vec<Region>, String> {
    let read = |layer| match dxf_in::read(bytes, None, layer) {
        Err(DxfError::NoUnits) => dxf_in::read(bytes, Some(job.units), layer),
        other => other,
    };
    let drawn = match read(Some(dxf_in::CUT)) {
        Err(DxfError::Layer { .. }) => read(None),
        other => other,
    };
    let drawn = drawn.map_err(|e| e.to_string())?;
    match geom::plate(&drawn.edges, geom::JOIN) {
        Ok(plate) => Ok(vec![plate]),
        Err(faults) => {
            let apart = |fault: &ContourFault| {
                matches!(fault, ContourFault::Apart(_) | ContourFault::Island(_))
            };
            let sheet = faults.iter().all(apart).then(|| geom::plates(&drawn.edges, geom::JOIN));
            match sheet {
                Some(Ok(plates)) => Ok(plates),
                _ => Err(no_outline(&faults)),
            }
        }
    }
}

fn no_outline(faults: &[ContourFault]) -> String {
    let open = |fault: &ContourFault| matches!(fault, ContourFault::Open(..));
    let why = match faults.iter().any(open) {
        true => "; cuts that are bridged or shared by two pieces are open and not compared",
        false => "",
    };
    let faults: Vec<String> = faults.iter().map(ToString::to_string).collect();
    format!("no part outline: {}{why}", faults.join("; "))
}

/// Whether two plates are alike except for a scale of 1 in : 1 mm, or for holes.
fn alike(a: &Region, b: &Region) -> bool {
    let scale = scale(a, b);
    let size = |r: &Region| (r.bounds().width(), r.bounds().height());
    let ((w, h), (x, y)) = (size(a), size(b));
    (x - w * scale).abs() < 10.0 * SAME * scale
        && (y - h * scale).abs() < 10.0 * SAME * scale
        && a.holes().len() == b.holes().len()
        && (a.area() * scale * scale - b.area()).abs() < 0.02 * b.area()
}

/// How many times the second is as large as the first, when units were mistaken; else 1.
fn scale(a: &Region, b: &Region) -> f64 {
    let ratio = b.bounds().width() / a.bounds().width();
    [MM_PER_INCH, 1.0 / MM_PER_INCH]
        .into_iter()
        .find(|scale| (ratio / scale - 1.0).abs() < 0.01)
        .unwrap_or(1.0)
}

fn judge(returned: &mut Returned, job: &Job, part: &Solved, wanted: &Region, file: &Read) {
    let (name, units) = (file.name, job.units);
    let mut found = file.region.clone();
    let mut differences = Vec::new();
    let scale = scale(wanted, &found);
    if scale != 1.0 {
        let words =
            if scale > 1.0 { "millimetres read as inches" } else { "inches read as millimetres" };
        differences.push(format!("scaled by {}: {words}", num::text(scale, 4)));
        match scaled(&found, 1.0 / scale) {
            Some(back) => found = back,
            None => {
                return returned.differences.push(format!("{name}: {}", differences.join("; ")));
            }
        }
    }
    if let Some((off, at)) = max_deviation(wanted.outer(), found.outer()) {
        differences.push(format!(
            "outline differs by {} near {}",
            units.length(off),
            place(job, at)
        ));
    }
    differences.extend(holes(job, part, wanted, &found));
    if differences.is_empty() {
        return returned.same.push(name.to_owned());
    }
    let differences = differences.join("; ");
    let earlier = (scale == 1.0).then(|| earlier::of(job, part, &found)).flatten();
    returned.differences.push(match (earlier, file.sent) {
        (Some(earlier), _) => format!("{name}: {earlier}: {differences}"),
        (None, true) => {
            format!("{name}: exactly as sent, but the job has changed since: {differences}")
        }
        (None, false) => format!("{name}: {differences}"),
    });
}

/// What differs between the cut-outs of two plates.
fn holes(job: &Job, part: &Solved, wanted: &Region, found: &Region) -> Vec<String> {
    let mut left: Vec<&Outline> = found.holes().iter().collect();
    let mut differences = Vec::new();
    let gaps = part.flat.gaps().len();
    let size = |o: &Outline| o.bounds().width().max(o.bounds().height());
    // Those that stayed are matched first, so that one that moved does not take their place.
    let mut moved = Vec::new();
    for (i, hole) in wanted.holes().iter().enumerate() {
        match left.iter().position(|other| max_deviation(hole, other).is_none()) {
            Some(at) => drop(left.remove(at)),
            None => moved.push((i, hole)),
        }
    }
    for (i, hole) in moved {
        let name = match part.flat.holes.get(i.wrapping_sub(gaps)) {
            Some(of) => format!("hole `{}`", part.part.hole(of.id).name),
            None => "a cut-out".to_owned(),
        };
        let centre = hole.bounds().centre();
        let away = |other: &&Outline| (other.bounds().centre() - centre).hypot();
        let nearest = (0..left.len()).min_by(|a, b| away(&left[*a]).total_cmp(&away(&left[*b])));
        let reach = (NEAR.0 * size(hole)).max(NEAR.1);
        match nearest.filter(|at| away(&left[*at]) <= reach) {
            None => differences.push(format!("{name} at {} is missing", place(job, centre))),
            Some(at) => {
                let other = left.remove(at);
                let by = other.bounds().centre() - centre;
                let mut words = Vec::new();
                if by.hypot() > SAME {
                    let (x, y) = (job.units.length(by.x), job.units.length(by.y));
                    words.push(format!("moved by X {x}, Y {y}"));
                }
                let (was, is) = (size(hole), size(other));
                if (was - is).abs() > SAME {
                    words.push(format!(
                        "is {} instead of {}",
                        job.units.length(is),
                        job.units.length(was)
                    ));
                }
                if words.is_empty() {
                    words.push("has a different shape".to_owned());
                }
                differences.push(format!(
                    "{name} at {} {}",
                    place(job, centre),
                    words.join(" and ")
                ));
            }
        }
    }
    for other in left {
        differences.push(format!(
            "extra cut-out at {}, {} across",
            place(job, other.bounds().centre()),
            job.units.length(size(other))
        ));
    }
    differences
}

/// A plate drawn larger or smaller.
fn scaled(region: &Region, by: f64) -> Option<Region> {
    let point = |p: Point| Point::new(p.x * by, p.y * by);
    let edges: Vec<Edge> = region
        .outlines()
        .flat_map(Outline::edges)
        .map(|e| Edge { from: point(e.from), to: point(e.to), bulge: e.bulge })
        .collect();
    let region = geom::plate(&edges, geom::JOIN).ok()?;
    let corner = region.bounds().min;
    Some(region.moved(&Place { shift: -corner.to_vec2(), ..Place::default() }))
}
