//! Five hundred made-up jobs, their layouts measured anew by `tests/outside/check_nest.py`.
//!
//! Shapes with arcs and holes, turned as allowed, some of them freely, on sheets of two sizes
//! of which some run out, have a price or are to be used first; some parts are urgent, some fill
//! up what room there is; gaps and margins from narrow to wide. The same jobs each time.

use crate::python;
use platewright::geom::Outline;
use platewright::geom::Point;
use platewright::geom::Region;
use platewright::geom::Vertex;
use platewright::geom::disc;
use platewright::geom::rectangle;
use platewright::geom::slot;
use platewright::nest::Item;
use platewright::nest::Layout;
use platewright::nest::Orientations;
use platewright::nest::Rules;
use platewright::nest::Stock;
use platewright::nest::nest;
use platewright::nest::unwatched;
use rayon::prelude::*;
use serde_json::Value;
use serde_json::json;
use std::fs;

/// Numbers that look like chance and are the same every time (SplitMix64, a published
/// generator).
struct Rng(u64);

impl Rng {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number below `end`.
    fn below(&mut self, end: u64) -> u64 {
        self.next() % end
    }

    /// A measure between two, in tenths.
    fn between(&mut self, min: f64, max: f64) -> f64 {
        let tenths = ((max - min) * 10.0) as u64 + 1;
        ((min * 10.0).round() + self.below(tenths) as f64) / 10.0
    }
}

/// A small budget: the search has to rearrange the first layout.
const UNITS: u64 = 2_000;

/// Every so many jobs one is searched on, which takes its time where little is optimised.
const SEARCHED: u64 = 20;

struct Job {
    items: Vec<Item>,
    stock: Vec<Stock>,
    rules: Rules,
}

fn job(number: u64) -> Job {
    let mut rng = Rng(number);
    let mut items: Vec<Item> = (0..2 + rng.below(4)).map(|_| item(&mut rng)).collect();
    let large = Stock::whole(400.0, rng.between(200.0, 300.0)).unwrap();
    let few = Stock::whole(rng.between(150.0, 350.0), 180.0).unwrap();
    let few = Stock { count: Some(1), ..few };
    // Now and then the sheets run out.
    let mut stock = match rng.below(5) {
        0 => vec![Stock { count: Some(2), ..few }],
        1 | 2 => vec![few, large],
        _ => vec![large],
    };
    let margin = [0.0, 5.0, 12.5][rng.below(3) as usize];
    let gap = rng.between(0.5, 6.0);
    let units = if number.is_multiple_of(SEARCHED) { UNITS } else { 0 };
    let rules = Rules { gap, margin, units, seed: number, ..Rules::default() };
    match rng.below(4) {
        0 => stock.iter_mut().for_each(|s| s.price = rng.between(1.0, 9.0)),
        1 => stock[0].first = stock[0].count.is_some(),
        _ => {}
    }
    match rng.below(12) {
        0 => items[0].fill = rng.below(30) as u32,
        1..4 => items[0].priority = 1,
        _ => {}
    }
    // Every fifth job has two kits, and parts that are in neither.
    if number % 5 == 3 {
        for (i, item) in items.iter_mut().enumerate() {
            item.kit = (i % 3 != 2).then_some(i % 2);
        }
    }
    Job { items, stock, rules }
}

/// The likes of a bracket maker's parts: ears, ells, gussets, frames, tees, coped plates.
fn item(rng: &mut Rng) -> Item {
    let (w, h) = (rng.between(30.0, 120.0), rng.between(25.0, 80.0));
    let middle = Point::new(w / 2.0, h / 2.0);
    let thin = w.min(h) * 0.35;
    let solid = match rng.below(6) {
        0 => chain(&[(0.0, 0.0, 0.0), (w, 0.0, 0.0), (w, h, 1.0), (0.0, h, 0.0)]),
        1 => chain(&[
            (0.0, 0.0, 0.0),
            (w, 0.0, 0.0),
            (w, thin, 0.0),
            (thin, thin, 0.0),
            (thin, h, 0.0),
            (0.0, h, 0.0),
        ]),
        2 => chain(&[(0.0, 0.0, 0.0), (w, 0.0, 0.0), (w, 9.0, 0.0), (9.0, h, 0.0), (0.0, h, 0.0)]),
        3 => Region::solid(rectangle(middle, w, h, thin / 3.0).unwrap()),
        4 => {
            let (a, b) = (w * 0.35, w * 0.65);
            chain(&[
                (0.0, 0.0, 0.0),
                (w, 0.0, 0.0),
                (w, thin, 0.0),
                (b, thin, 0.0),
                (b, h, 0.0),
                (a, h, 0.0),
                (a, thin, 0.0),
                (0.0, thin, 0.0),
            ])
        }
        // A bay for a tube in its foot.
        _ => chain(&[
            (0.0, 0.0, 0.0),
            (w * 0.2, 0.0, -0.4),
            (w * 0.8, 0.0, 0.0),
            (w, 0.0, 0.0),
            (w, h, 0.4),
            (0.0, h, 0.0),
        ]),
    };
    let at = Point::new(thin / 2.0, h * 0.9);
    let hole = match rng.below(3) {
        0 => disc(at, thin / 4.0),
        1 => slot(Point::new(w / 2.0, thin / 2.0), thin, thin / 3.0),
        // A window other parts may fit into.
        _ => rectangle(middle, w * 0.7, h * 0.7, 2.0),
    };
    // Where it does not lie within the metal it is left away.
    let region = solid.clone().pierced(hole.unwrap()).unwrap_or(solid);
    let turns =
        [Orientations::Free, Orientations::Quarters, Orientations::Half, Orientations::Fixed];
    let item = Item::new(region, 1 + rng.below(7) as u32);
    Item { orientations: turns[rng.below(4) as usize], cut_outs: rng.below(2) == 0, ..item }
}

fn chain(corners: &[(f64, f64, f64)]) -> Region {
    let vertex = |c: &(f64, f64, f64)| Vertex { at: Point::new(c.0, c.1), bulge: c.2 };
    Region::solid(Outline::new(corners.iter().map(vertex)).unwrap())
}

/// Job and layout for readers that know nothing of ours.
fn reported(number: u64, job: &Job, layout: &Layout) -> Value {
    let corners = |outline: &Outline| -> Value {
        outline.vertices().iter().map(|v| json!([v.at.x, v.at.y, v.bulge])).collect()
    };
    let items = job.items.iter().enumerate().map(|(id, item)| {
        let count = layout.sheets.iter().flat_map(|s| &s.placed).filter(|p| p.item == id).count();
        let left: u32 = layout.unplaced.iter().filter(|u| u.item == id).map(|u| u.quantity).sum();
        // Fillings count as required parts, up to their maximum.
        let fillings = (count as u32 + left).saturating_sub(item.quantity).min(item.fill);
        let turns: Option<Vec<f64>> = (item.orientations != Orientations::Free)
            .then(|| item.orientations.angles().iter().map(|a| a.degrees()).collect());
        let holes: Value = item.region.holes().iter().map(corners).collect();
        let outer = corners(item.region.outer());
        let quantity = item.quantity + fillings;
        json!({
            "id": id, "qty": quantity, "fillings": fillings, "rotations": turns, "outer": outer,
            "holes": holes,
        })
    });
    let items: Value = items.collect();
    let sheets = layout.sheets.iter().map(|sheet| {
        let placed = sheet.placed.iter().map(|p| {
            let shift = p.place.shift;
            json!({ "id": p.item, "turn": p.place.rotation.degrees(), "x": shift.x, "y": shift.y })
        });
        let size = job.stock[sheet.stock].region.bounds();
        let placed: Value = placed.collect();
        json!({ "length": size.width(), "height": size.height(), "placed": placed })
    });
    let sheets: Value = sheets.collect();
    let left = layout.unplaced.iter().flat_map(|u| vec![u.item; u.quantity as usize]);
    let left: Vec<usize> = left.collect();
    json!({
        "instance": { "name": format!("job {number}"), "items": items },
        "layout": {
            "gap": job.rules.gap, "margin": job.rules.margin, "sheets": sheets, "left": left,
            "stages": layout.stages,
        },
    })
}

fn laid(number: u64) -> Value {
    let job = job(number);
    let layout = nest(&job.items, &job.stock, job.rules, &unwatched);
    reported(number, &job, &layout)
}

/// Parts that lie at no quarter turn.
fn askew(reported: &Value) -> usize {
    let sheets = reported["layout"]["sheets"].as_array().unwrap().iter();
    let placed = sheets.flat_map(|sheet| sheet["placed"].as_array().unwrap());
    placed.filter(|p| p["turn"].as_f64().unwrap() % 90.0 != 0.0).count()
}

#[test]
fn shapely_finds_nothing_wrong_with_the_layouts_of_500_jobs() {
    let layouts: Vec<Value> = (0..500).into_par_iter().map(laid).collect();
    let sheets = |l: &Value| l["layout"]["sheets"].as_array().unwrap().len();
    let parts = |l: &Value| {
        let sheets = l["layout"]["sheets"].as_array().unwrap().iter();
        sheets.map(|s| s["placed"].as_array().unwrap().len()).sum::<usize>()
    };
    let (parts, several) = (
        layouts.iter().map(parts).sum::<usize>(),
        layouts.iter().filter(|l| sheets(l) > 1).count(),
    );
    assert!(parts > 5000 && several > 50, "{parts} parts, {several} jobs on more than one sheet");
    let askew = layouts.iter().map(askew).sum::<usize>();
    assert!(askew > 50, "only {askew} parts lie askew");
    let fillings = |l: &Value| {
        let items = l["instance"]["items"].as_array().unwrap().iter();
        items.map(|i| i["fillings"].as_u64().unwrap()).sum::<u64>()
    };
    let fillings = layouts.iter().map(fillings).sum::<u64>();
    assert!(fillings > 100, "only {fillings} fillings found room");
    let left = |l: &&Value| !l["layout"]["left"].as_array().unwrap().is_empty();
    let short = layouts.iter().filter(left).count();
    let searched = layouts.iter().filter(|l| l["layout"]["stages"].as_u64() > Some(1)).count();
    assert!(searched > 20, "{searched} jobs were searched on");
    assert!(short > 10, "the sheets ran out in {short} jobs only");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("layouts.json");
    fs::write(&path, Value::from(layouts).to_string()).unwrap();
    let passed = python::accepted("check_nest.py", &path);
    assert!(passed > 2 * parts, "only {passed} facts about {parts} parts");
}

/// A check that never fails proves nothing: each of these must be found.
#[test]
fn the_check_of_layouts_refuses_each_planted_fault() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("layouts.json");
    let corners = json!([[0.0, 0.0], [40.0, 0.0, 1.0], [40.0, 30.0], [0.0, 30.0]]);
    let hole = json!([[[35.0, 15.0, 1.0], [45.0, 15.0, 1.0]]]);
    let ears =
        json!({ "id": "ear", "qty": 2, "rotations": [0, 180], "outer": corners, "holes": hole });
    let pin = json!([[-4.0, 0.0, 1.0], [4.0, 0.0, 1.0]]);
    let pins = json!({ "id": "pin", "qty": 1, "rotations": [0], "outer": pin, "holes": [] });
    // Round end against round end, and a pin within a hole; all as near as may be.
    let good = json!({
        "instance": { "name": "planted", "items": [ears, pins] },
        "layout": { "gap": 1.0, "margin": 5.0, "sheets": [ { "length": 121.0, "height": 40.0, "placed": [
            { "id": "ear", "turn": 0, "x": 5.0, "y": 5.0 },
            { "id": "ear", "turn": 180, "x": 116.0, "y": 35.0 },
            { "id": "pin", "turn": 0, "x": 45.0, "y": 20.0 },
        ] } ] },
    });
    fs::write(&path, json!([good]).to_string()).unwrap();
    python::accepted("check_nest.py", &path);
    let at = |pointer: &str, value: Value| {
        let mut bad = good.clone();
        *bad.pointer_mut(pointer).unwrap() = value;
        bad
    };
    let placed = "/layout/sheets/0/placed";
    for (bad, wanted) in [
        (at(&format!("{placed}/1/x"), json!(115.99)), "apart, not 1"),
        (at(&format!("{placed}/0/x"), json!(4.99)), "from the edge, not 5"),
        (at(&format!("{placed}/1/y"), json!(35.01)), "from the edge, not 5"),
        (at(&format!("{placed}/1/turn"), json!(90)), "is turned by 90"),
        (at(&format!("{placed}/2/x"), json!(45.01)), "apart, not 1"),
        (at(&format!("{placed}/2/x"), json!(20.0)), "apart, not 1"),
        (at(&format!("{placed}/2/id"), json!("bolt")), "nobody asked for"),
        (at(&format!("{placed}/2/id"), json!("ear")), "3 of ear are given"),
        (at("/instance/items/0/qty", json!(3)), "2 of ear are given, 3 are asked for"),
        (at("/layout/gap", json!(1.01)), "apart, not 1.01"),
        (at("/layout/margin", json!(5.01)), "from the edge, not 5.01"),
    ] {
        fs::write(&path, json!([bad]).to_string()).unwrap();
        let (accepted, said) = python::outside("check_nest.py", &path);
        assert!(!accepted && said.contains(wanted), "{wanted} is not said: {said}");
    }
}
