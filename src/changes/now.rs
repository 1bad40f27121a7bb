//! A job that was solved and placed, as what the next one is compared with.

use crate::bill;
use crate::bill::Hardware;
use crate::diag::Finding;
use crate::draw;
use crate::flat::to_origin;
use crate::geom::Edge;
use crate::geom::Place;
use crate::geom::Point;
use crate::history::BendState;
use crate::history::Counted;
use crate::history::FoundState;
use crate::history::PartState;
use crate::history::SheetState;
use crate::history::State;
use crate::history::TubeState;
use crate::history::line;
use crate::history::written;
use crate::job::Job;
use crate::job::Sheet;
use crate::num::on_grid;
use crate::part::Face;
use crate::part::Weld;
use crate::place::NestedSheet;
use crate::solve;
use crate::solve::Solved;

/// What matters of a job. `sheet_cost` is what the sheets cost, where all have a price.
pub(crate) fn state(
    job: &Job,
    solved: &[Solved],
    nested: &[NestedSheet],
    found: &[Finding],
    sheet_cost: Option<f64>,
) -> State {
    let tubes = bill::tubes(job, solved).into_iter();
    let tube = |tube: bill::Tube| TubeState {
        name: tube.name,
        section: tube.section,
        quantity: tube.quantity,
        length_mm: on_grid(tube.length),
        ends: tube.ends,
    };
    let sheet = |(index, sheet): (usize, &Sheet)| {
        let count = nested.iter().filter(|nested| nested.sheet == index).count() as u32;
        (count > 0).then(|| SheetState { name: sheet.name.clone(), count })
    };
    let finding = |finding: &Finding| FoundState {
        code: finding.code.to_owned(),
        headline: finding.headline.clone(),
        parts: finding.parts().map(str::to_owned).collect(),
    };
    State {
        issue: job.titled.issue.clone(),
        currency: job.rates().map_or_else(String::new, |rates| rates.currency.clone()),
        sheet_cost: sheet_cost.map(cents),
        part: solved.iter().map(|solved| part(job, solved)).collect(),
        hardware: bill::hardware(job, solved).iter().flat_map(hardware).collect(),
        tube: tubes.map(tube).collect(),
        sheet: job.sheets.iter().enumerate().filter_map(sheet).collect(),
        found: found.iter().map(finding).collect(),
    }
}

/// A price to the hundredth.
fn cents(price: f64) -> f64 {
    (price * 100.0).round() / 100.0
}

/// A kind of hardware with its washers and nuts, each counted.
fn hardware(of: &Hardware) -> Vec<Counted> {
    let name = [of.kind.word(), &of.thread].join(" ");
    let what = if of.length.is_empty() { name } else { format!("{name} × {}", of.length) };
    let with = |word: &str, quantity| Counted { what: format!("{word} {}", of.thread), quantity };
    let mut all = vec![Counted { what, quantity: of.quantity }];
    all.extend((of.washers > 0).then(|| with("washer", of.washers)));
    all.extend((of.nuts > 0).then(|| with("nut", of.nuts)));
    all
}

fn part(job: &Job, solved: &Solved) -> PartState {
    let (sheet, flat) = (&job.sheets[solved.sheet], &solved.flat);
    let place = to_origin(&flat.region);
    let region = flat.region.moved(&place);
    let corner = flat.region.bounds().min;
    let gaps = flat.gaps().iter().map(|gap| [String::new(), written(&gap.moved(&place))]);
    let holes = flat.holes.iter().map(|hole| {
        let name = solved.part.hole(hole.id).name.clone();
        [name, written(&hole.outline.moved(&place))]
    });
    let bends = solved.part.bends.iter().zip(&flat.bends).map(|(bend, strip)| BendState {
        name: bend.name.clone(),
        line: line(&strip.line.moved(&place)),
        angle_deg: on_grid(bend.bend.angle().degrees()),
        radius_mm: on_grid(bend.bend.radius()),
        up: bend.up,
        form: bend.bend.form().to_string(),
    });
    let strokes = flat.marks.iter().flat_map(|mark| &mark.strokes).flatten();
    let mut strokes: Vec<String> = strokes.map(|edge| line(&edge.moved(&place))).collect();
    strokes.sort();
    let price = bill::price(job, solved).each();
    PartState {
        name: solved.name.clone(),
        letter: solved.issue.letter.clone().unwrap_or_default(),
        geometry: solved.issue.geometry.clone(),
        // Filled in when the order is packed.
        file: String::new(),
        material: sheet.material.name().to_owned(),
        thickness_mm: on_grid(sheet.thickness),
        pieces: solve::pieces(job, solved),
        price_each: price.map(cents),
        corner_mm: [on_grid(corner.x), on_grid(corner.y)],
        outline: written(region.outer()),
        openings: gaps.chain(holes).collect(),
        bends: bends.collect(),
        marks: if strokes.is_empty() { String::new() } else { solve::digits(&strokes.join("\n")) },
        work: work(job, solved),
        welds: welds(solved, &|mm| job.units.length(mm)),
        set_gap_mm: solved.part.set_gap().map(on_grid),
    }
}

/// What is done to holes and edges after cutting.
fn work(job: &Job, solved: &Solved) -> Vec<String> {
    let show = |mm: f64| job.units.length(mm);
    let mut all = Vec::new();
    let to_origin = to_origin(&solved.flat.region);
    for (face, of_face) in solved.part.faces.iter().zip(&solved.flat.places) {
        let place = of_face.then(&to_origin);
        let holes = face.holes.iter().filter_map(|hole| {
            let finishing = draw::finishing(hole, job.units, &show);
            let after = finishing.after()?;
            Some(format!("hole `{}`: {}, {after}", hole.name, finishing.as_cut))
        });
        all.extend(holes);
        all.extend(face.bevels.iter().map(|bevel| {
            let (words, along) = (bevel.words(&show), along(&bevel.stretches, &place, &show));
            format!("edge `{}`: {words}, {}, {along}", bevel.edge, bevel.sides.word())
        }));
        all.extend(face.beads.iter().map(|bead| {
            let (words, along) = (bead.words(&show), along(&bead.edges(), &place, &show));
            format!("bead `{}`: {words}, {along}", bead.name)
        }));
    }
    all
}

/// The position of edges in the flat, the same in whichever direction and order they were drawn:
/// `from (10 mm, 20 mm) to (60 mm, 20 mm)`.
fn along(edges: &[Edge], place: &Place, show: &dyn Fn(f64) -> String) -> String {
    let order = |a: &Point, b: &Point| a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x));
    let ends = |edge: &Edge| {
        let ends = [edge.from, edge.to].map(|p| place.apply(p));
        let mut ends = ends.map(|p| Point::new(on_grid(p.x), on_grid(p.y)));
        ends.sort_by(order);
        ends
    };
    let mut ends: Vec<[Point; 2]> = edges.iter().map(ends).collect();
    ends.sort_by(|a, b| order(&a[0], &b[0]).then(order(&a[1], &b[1])));
    let at = |p: Point| format!("({}, {})", show(p.x), show(p.y));
    let each = ends.iter().map(|[from, to]| format!("from {} to {}", at(*from), at(*to)));
    each.collect::<Vec<_>>().join(", ")
}

fn welds(solved: &Solved, show: &dyn Fn(f64) -> String) -> Vec<String> {
    let of_face = |(index, face): (usize, &Face)| {
        let weld = |weld: &Weld| {
            let leg = weld.leg.map_or_else(String::new, |leg| format!(", leg {}", show(leg)));
            let sides = match (weld.all_round, weld.sides) {
                (true, _) => "all round",
                (_, 1) => "one side",
                _ => "both sides",
            };
            // A note most often says the sides in its own words.
            let said = match weld.note.as_str() {
                "" => sides.to_owned(),
                note if note.contains(sides) => note.to_owned(),
                note => format!("{sides}; {note}"),
            };
            let edge = format!("{}.{}", face.name, weld.edge);
            format!("weld {edge}: {}{leg}, {said}", show(solved.weld_length(index, weld)))
        };
        face.welds.iter().map(weld).collect::<Vec<_>>()
    };
    solved.part.faces.iter().enumerate().flat_map(of_face).collect()
}
