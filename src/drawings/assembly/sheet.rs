//! The drawing of a set of several plates: its picture with item numbers, the list of its parts, its
//! welds, and the gap to which the ears of a clevis are set.

use crate::drawings::assembly::Assembly;
use crate::drawings::assembly::seams::Seam;
use crate::drawings::fit;
use crate::drawings::framed;
use crate::drawings::framed::heading;
use crate::drawings::layout::HEADING;
use crate::drawings::layout::SIDE;
use crate::drawings::printed;
use crate::drawings::title;
use crate::drawings::welds;
use crate::geom::Bounds;
use crate::geom::Point;
use crate::job::Job;
use crate::paper;
use crate::paper::Block;
use crate::paper::Cell;
use crate::paper::Format;
use crate::paper::Item;
use crate::paper::Pages;
use crate::paper::Pen;
use crate::paper::Table;
use crate::paper::figure_text;
use crate::report;
use crate::solve::Solved;

/// Room at the sides of the picture together, and above and below it, mm.
const BESIDE: [f64; 2] = [8.0, 6.0];

impl Assembly<'_> {
    /// The drawing of the set, on sheets of a format.
    pub(crate) fn sheet(&self, job: &Job, name: &str, format: Format) -> Pages {
        let [short, long] = format.size();
        let size = [long, short];
        let fields = |scale: &str, of: [usize; 2]| title::of_set(job, &self.set, name, scale, of);
        let inside = framed::inside(size, &[paper::NOT_TO_SCALE], &fields);
        let Bounds { min, max } = inside;
        let middle = Point::new(max.x - SIDE, min.y);
        let left = Bounds { min, max: Point::new(middle.x, max.y) };
        let right = Bounds { min: middle, max };
        let mut items = vec![Item::line(Pen::Narrow, middle, left.max)];
        items.extend(heading(left, "Assembly"));
        items.extend(framed::beside_heading(left, paper::NOT_TO_SCALE));
        let room = [left.width(), left.height() - HEADING];
        let picture = self.lettered([room[0] - BESIDE[0], room[1] - BESIDE[1]]);
        let by = min + ((room[0] - picture.size[0]) / 2.0, (room[1] - picture.size[1]) / 2.0);
        items.extend(picture.items.into_iter().map(|item| item.shifted((by.x, by.y))));
        let lists: Vec<Block> =
            std::iter::once(parts(job, &self.set)).chain(seams(job, self)).collect();
        let mut units = paper::units(&lists, right.width());
        let clevis = self.set.iter().find_map(|part| part.clevis.as_ref().map(|fit| (part, fit)));
        units.extend(
            clevis.into_iter().flat_map(|(part, fit)| {
                fit::gap(job, &report::clevis(job, part, fit), right.width())
            }),
        );
        units.extend(paper::units(&[notes(job, self, &picture.missing)], right.width()));
        let (placed, rest) = paper::place(units, &[right]);
        items.extend(placed);
        let first = (items, paper::NOT_TO_SCALE.to_owned());
        framed::framed(name, (size, inside), first, rest, &fields)
    }
}

/// The list of parts by item number, for one set.
fn parts(job: &Job, set: &[&Solved]) -> Block {
    let row = |(i, part): (usize, &&Solved)| {
        let sheet = &job.sheets[part.sheet];
        [
            (i + 1).to_string(),
            part.name.clone(),
            part.part.copies.to_string(),
            format!("{} {}", sheet.material.name(), job.units.size(sheet.thickness)),
            title::mass(job, part),
        ]
        .map(Cell::Words)
        .to_vec()
    };
    Block::Table(Table {
        heading: "Parts of one assembly".into(),
        heads: ["item", "part", "qty", "material", "mass each"].map(String::from).to_vec(),
        rows: set.iter().enumerate().map(row).collect(),
        beside: 1,
    })
}

/// The length of a seam on a number of pieces: an all-round seam is on both sides of the plate and
/// round its ends.
fn extent(seam: &Seam, text: &dyn Fn(f64) -> String) -> String {
    let long = format!("{}× {}", seam.pieces, text(seam.length));
    match (seam.weld.all_round, seam.weld.sides) {
        (true, _) => format!("{long}, both sides and round the ends"),
        (false, 2) if seam.bevel.is_none() => format!("{long}, both sides"),
        _ => long,
    }
}

/// The seams with their symbols; `None` if the recipe has none.
fn seams(job: &Job, assembly: &Assembly) -> Option<Block> {
    let text = |mm: f64| figure_text(job.units, mm);
    let rows: Vec<Vec<Cell>> = assembly
        .seams
        .iter()
        .map(|(seam, _)| {
            vec![
                Cell::Words(seam.label.clone()),
                Cell::Words(seam.item.to_string()),
                Cell::Words(printed::name(&seam.weld.edge)),
                Cell::Symbol(welds::alone(job, seam.weld, seam.bevel)),
                Cell::Words(extent(seam, &text)),
            ]
        })
        .collect();
    let heads = ["weld", "item", "edge", "ISO 2553-A", "edge length"];
    (!rows.is_empty()).then(|| {
        Block::Table(Table {
            heading: "Welds".into(),
            heads: heads.map(String::from).to_vec(),
            rows,
            beside: 1,
        })
    })
}

/// What else is to be noted.
fn notes(job: &Job, assembly: &Assembly, missing: &[String]) -> Block {
    let mut lines = assembly.position_notes(job);
    let hidden = assembly.seams.iter().filter(|(_, places)| places.is_empty());
    let mut hidden: Vec<&str> = hidden.map(|(seam, _)| seam.label.as_str()).collect();
    hidden.extend(missing.iter().map(String::as_str));
    if !hidden.is_empty() {
        lines.push(format!("Not visible in the picture: {}.", hidden.join(", ")));
    }
    let legless =
        assembly.seams.iter().filter(|(seam, _)| welds::is_unsized(seam.weld, seam.bevel));
    let legless: Vec<&str> = legless.map(|(seam, _)| seam.label.as_str()).collect();
    lines.push(match (assembly.seams.len(), legless.len()) {
        (0, _) => "The recipe has no welds. Sizes: see the drawings of the parts.".into(),
        (_, 0) => "Sizes and extent of each seam: see the drawings of the parts.".into(),
        (_, _) => format!(
            "Weld size not given for {}: state the leg. Extent of each seam: see the drawings of the \
             parts.",
            legless.join(", ")
        ),
    });
    Block::Lines { heading: "Notes".into(), lines }
}
