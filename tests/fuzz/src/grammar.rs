//! Mutations that know the language: whole constructs set into a recipe, numbers and lines changed.

/// Keys of a face. `FACE` is the name of a face of the recipe, `EDGE` that of an edge of it.
const OF_FACES: &[&str] = &[
    "bead = [ { name = \"rib\", line = [[\"-20 mm\", \"0\"], [\"20 mm\", \"3 mm\"]], width = \"8 mm\", depth = \"2 mm\", section = \"v\" } ]",
    "lighten = [ { wall = \"6 mm\", round = \"3 mm\" } ]",
    "lighten = [ { wall = \"4 mm\", round = \"2 mm\", within = \"disc\", radius = \"40 mm\", ribs = [ { from = [\"-20 mm\", \"0\"], to = [\"20 mm\", \"9 mm\"], around = { count = \"3\" } } ], smallest = \"5 mm\" } ]",
    "bevel = [ { edge = \"EDGE\", angle = \"45 deg\", land = \"1 mm\", side = \"both\" } ]",
    "weld = [ { edge = \"EDGE\", leg = \"3 mm\", all_round = true } ]",
    "obstacles = [ { name = \"lever\", shape = \"arm\", radius = \"40 mm\", width = \"9 mm\", from = \"10 deg\", to = \"80 deg\", at = [\"9 mm\", \"4 mm\"], clearance = \"2 mm\" } ]",
    "on = { origin = [\"0\", \"0\", \"40 mm\"], x = [\"9 mm\", \"0\", \"44 mm\"], side = [\"0\", \"9 mm\", \"40 mm\"] }",
    "on = { origin = [\"0\", \"0\", \"40 mm\"], across = \"post\", centred = true }",
    "mirror = true",
    "on = { origin = \"A\", x = \"B\", side = \"C\" }",
    "on = { holes = { \"eye\" = \"A\", \"h 2\" = \"B\", h = \"C\" } }",
    "like = \"motor-plate.plate\"",
    "like = \"FACE\"",
    "pieces = \"2\"",
    "laid_on = { face = \"FACE\", at = [\"3 mm\", \"4 mm\"], rotate = \"30 deg\" }",
    "marks = [ { text = \"{name} Ø±\", at = [\"0\", \"0\"], height = \"4 mm\" }, { line = [[\"0\", \"0\"], [\"9 mm\", \"9 mm\"]] } ]",
    "holes = [ { name = \"h\", each = { h = \"rows\" }, at = [\"h.x\", \"0\"], diameter = \"clearance(h.bolt, 'close')\", for = \"h.bolt\", countersink = {} } ]",
    "holes = [ { name = \"h\", each = { b = \"bolts\" }, at = [\"number * 20 mm\", \"0\"], diameter = \"b.diameter\", made = \"tap\", pilot = \"tap_drill(b)\", for = \"bolts[number]\" } ]",
    "holes = [ { name = \"h\", diameter = \"20 mm\", flare = { height = \"5 mm\", angle = \"40 deg\", radius = \"3 mm\", side = \"down\" } } ]",
    "holes = [ { name = \"h\", diameter = \"30 mm\", flare = { height = \"4 mm\", outside = \"44 mm\" } } ]",
    "holes = [ { name = \"h\", insert = \"weld nut M6\", side = \"down\" }, { name = \"s\", diameter = \"6 mm\", arc = { radius = \"20 mm\", from = \"-50 deg\", to = \"60 deg\" } } ]",
    "holes = [ { like = \"motor-plate.plate\", at = [\"4 mm\", \"0\"], rotate = \"20 deg\", mirror = true, without = [2] } ]",
    "holes = [ { name = \"h\", like = \"u-bolt-plate.plate.leg\", given = { tube = \"30 mm\" }, insert = \"rivet nut M6\" } ]",
    "holes = [ { name = \"h\", tongue_slot = { count = \"2\", width = \"8 mm\", span = \"20 mm\", fit = \"0.1 mm\" } } ]",
];

/// Steps of a blank.
const STEPS: &[&str] = &[
    "{ cut = \"arm\", radius = \"50 mm\", width = \"14 mm\", from = \"100 deg\", to = \"150 deg\", at = [\"30 mm\", \"-20 mm\"] }",
    "{ add = \"arm\", radius = \"50 mm\", width = \"14 mm\", from = \"0 deg\", to = \"360 deg\" }",
    "{ cut = \"tube\", tube = \"post\", clearance = \"0.2 mm\", edge = \"cope\" }",
    "{ cut = \"saddle\", tube = \"38 mm\", angle = \"60 deg\", at = [\"0\", \"-19 mm\"], edge = \"cope\" }",
    "{ add = \"tongue\", edge = \"EDGE\", count = \"2\", width = \"8 mm\", span = \"20 mm\" }",
    "{ add = \"polygon\", corners = [ { at = [\"0\", \"0\"], disc = \"12 mm\", edge = \"back\" }, { at = [\"60 mm\", \"0\"], disc = \"-9 mm\" }, { at = [\"30 mm\", \"40 mm\"], arc = { height = \"5 mm\" } } ] }",
    "{ add = \"disc\", radius = \"22 mm\", each = { p = [\"0 mm\", \"30 mm\"] }, at = [\"p\", \"0\"], edge = \"rim {number}\" }",
    "{ cut = \"slot\", from = [\"4 mm\", \"0\"], to = [\"30 mm\", \"9 mm\"], width = \"6 mm\", around = { count = \"5\", about = [\"3 mm\", \"2 mm\"], start = \"20 deg\" } }",
    "{ add = \"rectangle\", from = [\"-9 mm\", \"4 mm\"], to = [\"40 mm\", \"-30 mm\"], corner = \"2 mm\" }",
    "{ fill = \"3 mm\" }",
    "{ round = \"2 mm\" }",
];

/// Tables of the whole recipe.
const TABLES: &[&str] = &[
    "[inputs.rows]\nkind = \"rows\"\nof = { x = \"length\", bolt = \"bolt\", fit = [\"a\", \"b\"] }\ndefault = \"10 mm, M6, a; 40 mm, M8, b\"\nabout = \"x\"",
    "[inputs.rows]\nkind = \"rows\"\nof = { x = \"length\", bolt = \"bolt\" }\ndefault = [ { x = \"10 mm\", bolt = \"M6\" }, { bolt = \"M10\", x = \"30 mm\" } ]\nabout = \"x\"",
    "[inputs.bolts]\nkind = \"bolts\"\ndefault = [\"M6\", \"M8\"]\nabout = \"x\"",
    "[derived]\nq = \"rows[2].bolt.diameter + sum(rows.x) + max(bolts.diameter)\"",
    "[bend.f]\nacross = \"FACE\"\nline = { edge = \"EDGE\", inset = \"20 mm\", rotate = \"12 deg\" }\nto = \"ear\"\nangle = \"70 deg\"",
    "[bend.g]\nacross = \"FACE\"\nline = [[\"10 mm\", \"0\"], [\"0\", \"10 mm\"]]\nmoves = [\"30 mm\", \"30 mm\"]\nto = \"ear\"\nangle = \"90 deg\"\nside = \"down\"",
    "[bend.h]\nacross = \"FACE\"\nline = { at = [\"0\", \"0\"], direction = \"30 deg\" }\nto = \"far\"\nform = \"rolled\"\nangle = \"120 deg\"\nradius = \"25 mm\"",
    "[bend.i]\non = \"FACE.EDGE\"\nto = \"lip\"\nform = \"open-hem\"\nopening = \"8 mm\"\n[face.lip]\nblank = [ { add = \"rectangle\", width = \"30 mm\", height = \"14 mm\", at = [\"0\", \"7 mm\"] } ]",
    "[bend.j]\non = \"FACE.EDGE\"\nto = \"eye\"\nform = \"rolled\"\nangle = \"270 deg\"\nradius = \"12 mm\"\n[face.eye]\nblank = [ { add = \"rectangle\", width = \"30 mm\", height = \"8 mm\", at = [\"0\", \"4 mm\"] } ]",
    "[bend.k]\non = \"FACE.EDGE\"\nto = \"leg\"\nangle = \"90 deg\"\ncorner = \"mitre\"\nrelief = \"hole\"\n[face.leg]\nblank = [ { add = \"rectangle\", width = \"40 mm\", height = \"30 mm\", at = [\"0\", \"15 mm\"] } ]",
    "[[cut_folded]]\ntube = \"30 mm\"\nat = [\"0\", \"0\", \"0\"]\ndirection = [\"1\", \"0.3\", \"0.2\"]\nedge = \"cope\"\nleg = \"3 mm\"",
    "[[cut_folded]]\ntube = \"20 mm\"\nfrom = [\"0\", \"0\", \"0\"]\nto = [\"0\", \"5 mm\", \"60 mm\"]\nface = \"FACE\"",
    "[tube.post]\nfrom = [\"0\", \"0\", \"0\"]\nto = [\"20 mm\", \"0\", \"90 mm\"]\noutside = \"25 mm\"",
    "[tube.post]\nthrough = [[\"-90 mm\", \"0\", \"0\"], [\"0\", \"0\", \"0\"], [\"0\", \"-90 mm\", \"9 mm\"]]\nradius = \"60 mm\"\noutside = \"20 mm\"",
    "[points]\nA = [\"0\", \"0\"]\nB = [\"40 mm\", \"9 mm\"]\nC = [\"3 mm\", \"50 mm\", \"30 mm\"]\nD = { laid = \"C\", over = [\"A\", \"B\"] }\n[bend.l]\nacross = \"FACE\"\nline = [\"A\", \"B\"]\nmeets = \"C\"\nto = \"wall\"",
    "tape = \"2 mm\"\n[points]\nA = [\"0\", \"0\", \"0\"]\nB = [\"400 mm\", \"0\", \"9 mm\"]\nC = [\"3 mm\", \"500 mm\", \"30 mm\"]\nD = { along = [\"A\", \"B\"], by = \"40 mm\" }\nE = { mirror = \"C\", over = [\"A\", \"B\", \"D\"] }\nF = { from = { A = \"400 mm\", B = \"500 mm\", C = \"450 mm\" }, side = \"above\" }",
    "[derived]\nq = \"distance(A, B) + lean(A, C) / 1 deg * 1 mm + A.z\"",
    "[points]\nA = [\"0\", \"0\"]\nB = [\"40 mm\", \"0\"]\nC = { from = { A = \"30 mm\", B = \"35 mm\" }, side = \"left\" }\nD = { mirror = \"C\", over = [\"A\", \"B\"] }",
];

/// Numbers at which something turns over.
const NUMBERS: &[&str] = &[
    "0", "-1", "1", "0.001", "-0.5", "2", "3", "7", "12.5", "45", "90", "89.999", "135", "180",
    "270", "359.9", "360", "1000", "1e6", "1e-9",
];

/// Numbers by chance, the same for the same seed.
struct Chance(u64);

impl Chance {
    fn below(&mut self, n: usize) -> usize {
        // Constants of Knuth's MMIX generator.
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % n.max(1)
    }

    fn of<'a>(&mut self, all: &[&'a str]) -> &'a str {
        all[self.below(all.len())]
    }
}

/// The text with one or a few changes; `None` where bytes are to be changed.
pub fn mutated(text: &str, seed: u32) -> Option<String> {
    let mut chance = Chance(u64::from(seed));
    chance.below(2);
    if chance.below(2) == 0 {
        return None;
    }
    let mut new = text.to_owned();
    for _ in 0..=chance.below(3) {
        new = match chance.below(6) {
            0 => in_face(&new, &mut chance),
            1 => step(&new, &mut chance),
            2 => table(&new, &mut chance),
            3 | 4 => number(&new, &mut chance),
            _ => line(&new, &mut chance),
        };
    }
    Some(new)
}

/// The names that stand behind a mark, up to another.
fn names<'t>(text: &'t str, before: &str, behind: char) -> Vec<&'t str> {
    text.split(before).skip(1).filter_map(|rest| rest.split(behind).next()).collect()
}

/// The construct with names of the recipe in place of `FACE` and `EDGE`.
fn fitted(construct: &str, text: &str, chance: &mut Chance) -> String {
    let faces = names(text, "[face.", ']');
    let edges = [names(text, "edge = \"", '"'), vec!["top", "right", "bottom", "left"]].concat();
    let face = faces.get(chance.below(faces.len())).copied().unwrap_or("plate");
    construct.replace("FACE", face).replace("EDGE", chance.of(&edges))
}

/// A key more in a face.
fn in_face(text: &str, chance: &mut Chance) -> String {
    let heads: Vec<usize> = text.match_indices("[face.").map(|(at, _)| at).collect();
    let Some(head) = heads.get(chance.below(heads.len())) else { return text.to_owned() };
    let Some(end) = text[*head..].find('\n').map(|at| head + at + 1) else {
        return text.to_owned();
    };
    let own = chance.of(OF_FACES);
    let own = fitted(own, text, chance);
    // A key stands once: what was there goes.
    let key = own.split(' ').next().unwrap_or_default();
    let rest = text[end..].lines().scan(true, |is_here, line| {
        *is_here &= !line.starts_with('[');
        Some((*is_here && line.starts_with(key), line))
    });
    let kept: Vec<&str> = rest.filter(|(goes, _)| !goes).map(|(_, line)| line).collect();
    format!("{}{own}\n{}\n", &text[..end], kept.join("\n"))
}

/// A step more in a blank.
fn step(text: &str, chance: &mut Chance) -> String {
    let ends: Vec<usize> = text.match_indices("blank = [").map(|(at, of)| at + of.len()).collect();
    let Some(at) = ends.get(chance.below(ends.len())) else { return text.to_owned() };
    let own = chance.of(STEPS);
    let own = fitted(own, text, chance);
    // Behind the first step, which adds metal.
    let Some(at) = text[*at..].find(" },").map(|first| at + first + 3) else {
        return text.replacen(" } ]\n", &format!(" }}, {own} ]\n"), 1);
    };
    format!("{} {own},{}", &text[..at], &text[at..])
}

/// A table more.
fn table(text: &str, chance: &mut Chance) -> String {
    let own = chance.of(TABLES);
    format!("{text}\n{}\n", fitted(own, text, chance))
}

/// Another number in place of one.
fn number(text: &str, chance: &mut Chance) -> String {
    let is_number = |c: char| c.is_ascii_digit() || c == '.';
    let mut starts = Vec::new();
    let mut before = ' ';
    for (at, c) in text.char_indices() {
        if c.is_ascii_digit() && !(before.is_alphanumeric() || before == '.') {
            starts.push(at);
        }
        before = c;
    }
    let Some(at) = starts.get(chance.below(starts.len())) else { return text.to_owned() };
    let rest = &text[*at..];
    let end = rest.find(|c| !is_number(c)).unwrap_or(rest.len());
    format!("{}{}{}", &text[..*at], chance.of(NUMBERS), &rest[end..])
}

/// A line less, or twice.
fn line(text: &str, chance: &mut Chance) -> String {
    let mut lines: Vec<&str> = text.lines().collect();
    if lines.is_empty() {
        return text.to_owned();
    }
    let at = chance.below(lines.len());
    match chance.below(2) {
        0 => drop(lines.remove(at)),
        _ => lines.insert(at, lines[at]),
    }
    lines.join("\n")
}
