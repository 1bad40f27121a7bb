//! The holes of a recipe: their shapes, how they are made, and their positions.

use crate::diag::Finding;
use crate::diag::Span;
use crate::document::Fields;
use crate::document::Findings;
use crate::document::Item;
use crate::recipe::each::Each;
use crate::recipe::expr::Expr;
use crate::recipe::flare;
use crate::recipe::flare::Flare;
use crate::recipe::measures::Measures;
use crate::recipe::measures::both;
use crate::recipe::measures::word;
use crate::recipe::pattern;
use crate::recipe::pattern::Pattern;
use crate::recipe::recess;
use crate::recipe::recess::Recess;
use crate::recipe::recess::Side;
use crate::recipe::reference::HolesLike;
use crate::recipe::tongue::TongueSlot;

/// One or more equal holes.
#[derive(Clone, Debug)]
pub struct HoleSet {
    /// Its name.
    pub name: String,
    /// Middle of the hole or of its pattern.
    pub at: [Expr; 2],
    /// The shape of each.
    pub shape: HoleShape,
    /// How each is rotated.
    pub rotate: Option<Expr>,
    /// Their positions.
    pub pattern: Pattern,
    /// Numbers of the holes left out of the pattern.
    pub without: Vec<Expr>,
    /// How they are made to their final size.
    pub making: Making,
    /// Diameter that is cut when the final one is made later.
    pub pilot: Option<Expr>,
    /// Its countersink or counterbore, if any.
    pub recess: Option<Recess>,
    /// The lip that is formed round it, where one is.
    pub flare: Option<Flare>,
    /// The fastener or other item in it.
    pub through: Option<Meant>,
    /// Whether the plate hangs on it by a pin, and is not clamped by a bolt.
    pub eye: bool,
    /// Only when this is true.
    pub when: Option<Expr>,
    /// Once for each value of lists.
    pub each: Option<Each>,
    /// The holes of another recipe that it is like.
    pub like: Option<HolesLike>,
    /// The whole entry.
    pub span: Span,
}

/// The shape of a hole.
#[derive(Clone, Debug)]
pub enum HoleShape {
    /// Diameter.
    Round(Expr),
    /// Width, overall length.
    Slot(Expr, Expr),
    /// Along an arc about the place of the hole: width, and the arc of its centre line.
    ArcSlot(Expr, ArcLine),
    /// Across flats.
    Hexagon(Expr),
    /// For a tongue.
    TongueSlot(TongueSlot),
    /// Round, for an insert.
    Insert(Insert),
    /// That of the holes it is like.
    Like,
}

/// A threaded insert in a hole.
#[derive(Clone, Debug)]
pub struct Insert {
    /// An input, or a row of the table `insert`.
    pub name: Meant,
    /// On which side its head is.
    pub side: Side,
    /// Its entry.
    pub span: Span,
}

/// A word in place of a value: of an input, or of a member of a repeated entry.
#[derive(Clone, Debug)]
pub struct Meant {
    /// As typed.
    pub word: String,
    /// The word as a formula, where it is a name, a field or an element of one.
    pub path: Option<Expr>,
}

impl Meant {
    fn read(measures: &Measures, key: &str) -> Option<Self> {
        let word = measures.name(key)?;
        let item = measures.0.get(key)?;
        let path = Expr::read(item, &Findings::default()).filter(|expr| expr.formula.is_path());
        Some(Self { word, path })
    }
}

/// The centre line of a slot along an arc.
#[derive(Clone, Debug)]
pub struct ArcLine {
    /// Radius.
    pub radius: Expr,
    /// Directions from the centre of the arc to its two ends, anticlockwise.
    pub ends: [Expr; 2],
}

/// How a hole is made to its final size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Making {
    /// Cut with the outline.
    #[default]
    Cut,
    /// Drilled later.
    Drill,
    /// Reamed later.
    Ream,
    /// Tapped later.
    Tap,
}

impl Making {
    /// The work on the hole, in words.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Cut => "cut",
            Self::Drill => "drill",
            Self::Ream => "ream",
            Self::Tap => "drill and tap",
        }
    }
}

pub(super) fn read(item: &Item, findings: &Findings) -> Option<HoleSet> {
    let measures = Measures(Fields::of(item, findings)?);
    let like = HolesLike::read(&measures.0);
    let name = match like {
        Some(_) => measures.0.label("name", "\"eye\"").map(str::to_owned),
        None => measures.0.needed_label("name", "\"eye\"").map(str::to_owned),
    };
    let is_sized = SIZED.iter().any(|key| measures.0.has(key));
    let (shape, spread) = match like.is_some() && !is_sized {
        true => (Some(HoleShape::Like), None),
        // The missing shape is reported, and so are the other keys.
        false => shape(&measures).unwrap_or_default(),
    };
    let (at, rotate) = (measures.point("at"), measures.may("rotate"));
    let pattern = match like {
        Some(_) => Some(Pattern::Like),
        None => spread.or_else(|| pattern::read(&measures)),
    };
    let without = measures.0.list("without").iter();
    let without: Option<Vec<Expr>> = without.map(|i| Expr::read(i, findings)).collect();
    let (when, each) = (measures.may("when"), Each::read(&measures));
    let Made { making, pilot, recess, flare, through, eye } = match shape {
        Some(HoleShape::Like) => Made::default(),
        _ => made(&measures, shape.as_ref()),
    };
    measures.0.finish();
    let set = HoleSet {
        at: at?,
        rotate,
        pattern: pattern?,
        without: without?,
        making,
        pilot,
        recess,
        flare,
        through,
        eye,
        when,
        each: each?,
        like,
        span: item.span,
        name: name.unwrap_or_default(),
        shape: shape?,
    };
    if set.making != Making::Cut && set.pilot.is_none() {
        findings.add(
            Finding::stop(
                "missing-key",
                "a hole that is drilled, reamed or tapped needs its `pilot`",
            )
            .at(item.span, "")
            .help("add `pilot = \"5 mm\"`, the diameter that is cut"),
        );
    }
    Some(set)
}

/// The keys that give a hole its shape.
const SIZED: &[&str] = &["diameter", "hexagon", "tongue_slot", "insert"];

/// The shape of a hole, and the pattern that comes with it.
fn shape(measures: &Measures) -> Option<(Option<HoleShape>, Option<Pattern>)> {
    if measures.0.has("tongue_slot") {
        let (slot, pattern) = pattern::tongue_slot(measures)?;
        return Some((Some(HoleShape::TongueSlot(slot)), Some(pattern)));
    }
    let shape = if measures.0.has("insert") {
        insert(measures)
    } else if measures.0.has("hexagon") {
        measures.need("hexagon").map(HoleShape::Hexagon)
    } else {
        round_or_slot(measures)
    };
    Some((shape, None))
}

/// How a hole is made, and what for.
#[derive(Default)]
struct Made {
    making: Making,
    pilot: Option<Expr>,
    recess: Option<Recess>,
    flare: Option<Flare>,
    through: Option<Meant>,
    eye: bool,
}

fn made(measures: &Measures, shape: Option<&HoleShape>) -> Made {
    let making = making(measures).unwrap_or_default();
    let (pilot, recess) = (measures.may("pilot"), recess::read(measures));
    let flare = flare::read(measures);
    let through = Meant::read(measures, "for");
    if let (Some(HoleShape::Insert(insert)), Some(recess)) = (shape, &recess) {
        under_the_head(insert, recess, measures.0.findings());
    }
    let eye = word(&measures.0, "role", &[("eye", true), ("bolt", false)]).unwrap_or_default();
    Made { making, pilot, recess, flare, through, eye }
}

fn making(measures: &Measures) -> Option<Making> {
    word(
        &measures.0,
        "made",
        &[
            ("cut", Making::Cut),
            ("drill", Making::Drill),
            ("ream", Making::Ream),
            ("tap", Making::Tap),
        ],
    )
}

/// The shape that an insert gives its hole; a finding if another key gives a shape or an item for
/// the hole.
fn insert(measures: &Measures) -> Option<HoleShape> {
    let item = measures.0.get("insert")?;
    let (name, side) = (Meant::read(measures, "insert"), recess::side(&measures.0));
    let sized = ["diameter", "slot", "arc", "hexagon", "made", "pilot"];
    let sized = sized.map(|key| (key, "an insert sets the diameter of its hole"));
    let through = ("for", "an insert sets what goes through its hole");
    let is_alone = measures.alone("insert", &[&sized[..], &[through]].concat());
    let shape = HoleShape::Insert(Insert { name: name?, side, span: item.span });
    is_alone.then_some(shape)
}

/// A recess on the side where the head of the insert is would be covered by it.
fn under_the_head(insert: &Insert, recess: &Recess, findings: &Findings) {
    if insert.side != recess.side {
        return;
    }
    let (word, side) = (recess.word(), insert.side.word());
    let other = if insert.side == Side::Up { "down" } else { "up" };
    findings.add(
        Finding::stop(
            "wrong-kind",
            format!("the head of the insert covers the {word}: both are on the {side}"),
        )
        .at(recess.span, "")
        .help(format!("remove it, or give it `side = \"{other}\"`")),
    );
}

/// A shape with a `diameter`: round, or a slot as wide.
fn round_or_slot(measures: &Measures) -> Option<HoleShape> {
    let diameter = measures.need("diameter");
    match (measures.0.has("slot"), measures.0.get("arc")) {
        (true, Some(arc)) => {
            measures.0.add(
                Finding::stop("wrong-kind", "a slot is straight or runs along an arc")
                    .at(arc.span, "")
                    .help("remove `slot` or `arc`"),
            );
            None
        }
        (true, None) => both(diameter, measures.need("slot")).map(|(d, l)| HoleShape::Slot(d, l)),
        (false, Some(arc)) => {
            let inner = Measures(Fields::of(arc, measures.0.findings())?);
            let ends = both(inner.need_angle("from"), inner.need_angle("to"));
            let line = both(inner.need("radius"), ends);
            inner.0.finish();
            let line = line.map(|(radius, (from, to))| ArcLine { radius, ends: [from, to] });
            both(diameter, line).map(|(width, line)| HoleShape::ArcSlot(width, line))
        }
        (false, None) => diameter.map(HoleShape::Round),
    }
}
