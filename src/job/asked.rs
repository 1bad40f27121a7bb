//! The contents of a job as typed values; nothing is solved yet.

use crate::bend::Rule;
use crate::check::Limits;
use crate::check::Near;
use crate::diag::Span;
use crate::document::Entry;
use crate::entry::Coating;
use crate::geom::dot;
use crate::geom::minus;
use crate::geom::unit;
use crate::history::Past;
use crate::job::accept::Accepted;
use crate::job::as_built::BuiltMeasure;
use crate::job::as_built::Spreads;
use crate::job::bar;
use crate::job::bar::Bar;
use crate::job::bridges::Bridges;
use crate::job::linked::Held;
use crate::job::machine::Machine;
use crate::job::machine::RequiredClearance;
use crate::job::machine::TubeStands;
use crate::job::on_hand::BookOf;
use crate::job::order_form::OrderForm;
use crate::job::piece_position::PiecePosition;
use crate::job::placing::CutOuts;
use crate::job::placing::Placing;
use crate::job::points::Points;
use crate::job::sheet::Sheet;
use crate::job::titled::Titled;
use crate::job::tube::CopedTube;
use crate::job::tube_end::TubeEnd;
use crate::job::tube_end::TubeEnds;
use crate::job::weldment::Weldment;
use crate::joint::Joint;
use crate::joint::Joints;
use crate::joint::What;
use crate::link::Link;
use crate::link::LinkLoad;
use crate::num;
use crate::paper::Format;
use crate::quantity::Units;
use crate::recipe;
use crate::shop::Rates;
use crate::shop::Shop;
use crate::strength::Load;
use crate::table::ProcessLimit;
use crate::table::Row;
use crate::table::Tables;
use std::sync::Arc;

/// The parts to make, and their sheets.
#[derive(Clone, Debug)]
pub struct Job {
    /// Its name, that of its file.
    pub name: String,
    /// One sentence.
    pub about: String,
    /// How lengths are printed and files are written.
    pub units: Units,
    /// The page size of drawings and templates, where any are wanted.
    pub paper: Option<Format>,
    /// The cutting process, with the shop's own figures.
    pub process: Arc<Row>,
    /// The shop, where the job names one.
    pub shop: Option<Arc<Shop>>,
    /// Coating thickness on every face, mm, unless a sheet or part gives its own.
    pub coating: f64,
    /// Minimum distance between parts on a sheet, mm; by the process and thickness when not given.
    pub gap: Option<f64>,
    /// Minimum distance from the sheet edge, mm.
    pub margin: f64,
    /// What is left of a sheet is worth keeping when it is no narrower than this, mm.
    pub min_remnant: f64,
    /// The cut-outs in which parts may be placed; none when not given.
    pub cut_outs: Option<CutOuts>,
    /// Bridges that hold small pieces; `None` if not given.
    pub bridges: Option<Bridges>,
    /// Where it says that pieces one kerf apart are separated by one cut; none when it does not.
    pub common_cuts: Option<Span>,
    /// The share of metal more for which the same layout is repeated on many sheets; none when it
    /// is not asked for.
    pub repeat_layouts: Option<f64>,
    /// Distance from one piece to the next in the cutting sequence, mm, so that the heat is spread;
    /// none when it is not asked for.
    pub heat_spacing: Option<f64>,
    /// What is in the title blocks of its drawings.
    pub titled: Titled,
    /// What was made and sent of it before; none where no issues are kept, so that its parts have
    /// no letters.
    pub past: Option<Past>,
    /// Whether the ends of bend lines are etched; where it does not say, of parts with more than one
    /// bend that are cut by a process that marks.
    pub bend_ticks: Option<bool>,
    /// Whether every part has its name etched where it has room for it.
    pub etch_names: bool,
    /// Where it asks for a list for the bench, the table of coatings, for parts that are not coated
    /// in the oven.
    pub(crate) bench: Option<Vec<Arc<Row>>>,
    /// Limits for every part.
    pub limits: Limits,
    /// The sheets in stock.
    pub sheets: Vec<Sheet>,
    /// Its links.
    pub links: Vec<Link>,
    /// What to make, families expanded.
    pub lines: Vec<Line>,
    /// Parts that are kept together on their sheets.
    pub kits: Vec<Kit>,
    /// How the flats of orders are drawn.
    pub order: OrderForm,
    /// The table of bolts, for the list of hardware.
    pub bolts: Vec<Arc<Row>>,
    /// The table of nuts.
    pub nuts: Vec<Arc<Row>>,
    /// The loads on the parts.
    pub loads: Vec<Load>,
    /// The loads along the links.
    pub(crate) link_loads: Vec<LinkLoad>,
    /// Tubes with coped ends.
    pub tubes: Vec<CopedTube>,
    /// Stock lengths of tube.
    pub bars: Vec<Bar>,
    /// The points of the machine.
    pub points: Points,
    /// What is in the machine.
    pub machine: Machine,
    /// Tube ends and their fittings.
    pub tube_ends: TubeEnds,
    /// Its bolted joints.
    pub(crate) joints: Joints,
    /// What is welded together and coated as one.
    pub weldments: Vec<Weldment>,
    /// What was measured on parts that were made.
    pub as_built: Vec<BuiltMeasure>,
    /// How far what nobody measured may be off.
    pub spreads: Spreads,
    /// Diameters of the hole saws at hand, mm: the shop's, else those of the table.
    pub(crate) hole_saws: Vec<f64>,
}

/// One part to make.
#[derive(Clone, Debug)]
pub struct Line {
    /// Name of the recipe, and its position.
    pub recipe: (String, Span),
    /// Name of the part.
    pub name: String,
    /// How many sets.
    pub quantity: u32,
    /// Index of its sheet.
    pub sheet: usize,
    /// That of the whole part, where these are plates of it on a separate sheet.
    pub part_sheet: Option<usize>,
    /// Faces that are on separate sheets: the face, the index of its sheet, its position in the
    /// text.
    pub sheets: Vec<(String, usize, Span)>,
    /// Grip of a bolt beside the plate itself, mm, if the job gives it.
    pub holds: Option<f64>,
    /// The values given, by input.
    pub given: Vec<(String, Entry)>,
    /// The end of a link that it is attached to, with its rod end.
    pub held: Option<Held>,
    /// What is beside it.
    pub near: Vec<Near>,
    /// How some of its bends are to be calculated.
    pub bends: Vec<AskedBend>,
    /// The values to choose from, by input; `sheet` means the sheet itself.
    pub open: Vec<(String, Entry)>,
    /// How its pieces may lie.
    pub placing: Placing,
    /// Stops of workmanship that are accepted.
    pub accept: Vec<Accepted>,
    /// Its own coating, in place of that of its sheet and of the job.
    pub coating: Option<Coating>,
    /// Whether it is made in both hands; as its recipe says when there is none.
    pub mirror: Option<bool>,
    /// The positions of its pieces in the machine.
    pub(crate) stands: Vec<PiecePosition>,
    /// The required clearances of these.
    pub(crate) asked: RequiredClearance,
    /// The position of its name.
    pub here: Span,
}

impl Line {
    /// Whether nothing is made of it: no file, no row, and no finding.
    pub(crate) fn is_idle(&self) -> bool {
        self.quantity == 0 && self.placing.fill == 0
    }
}

/// The settings of a line of the job for one bend.
#[derive(Clone, Debug)]
pub struct AskedBend {
    /// Name of the bend in its recipe.
    pub name: String,
    /// How it is calculated.
    pub rule: Rule,
    /// The position of that.
    pub span: Span,
}

/// A kit of the job.
#[derive(Clone, Debug, PartialEq)]
pub struct Kit {
    /// Its name.
    pub name: String,
    /// How many there are: each has an equal share of the pieces of every part.
    pub quantity: u32,
    /// The parts in it, by name.
    pub parts: Vec<String>,
    /// The position of its name.
    pub here: Span,
}

/// The tables, recipes and other files a job may refer to.
#[derive(Clone, Copy)]
pub struct Shelf<'a> {
    /// A file named by the job: where it was found, and its text.
    pub file: &'a dyn Fn(&str) -> Option<(String, String)>,
    /// The bytes of a drawing that a recipe names, when there is one.
    pub drawing: recipe::Files<'a>,
    /// The name and text of a recipe, when there is one.
    pub recipe: &'a dyn Fn(&str) -> Option<(String, String)>,
    /// The names of all recipes, to offer the nearest.
    pub names: &'a dyn Fn() -> Vec<String>,
    /// The tables.
    pub tables: &'a Tables,
    /// The book of the shop whose file the job names, or of its own folder if it names none.
    pub book: BookOf<'a>,
}

impl<'a> Shelf<'a> {
    /// The recipes compiled in, with no file beside them.
    pub fn shipped(tables: &'a Tables) -> Self {
        let recipe: &dyn Fn(&str) -> Option<(String, String)> = &|name| {
            let (name, text) = recipe::SHIPPED.iter().find(|(shipped, _)| *shipped == name)?;
            Some((format!("parts/{name}.toml"), (*text).to_owned()))
        };
        let names = &|| recipe::SHIPPED.iter().map(|(name, _)| (*name).to_owned()).collect();
        Self { file: &|_| None, drawing: &|_| None, recipe, names, tables, book: &|_| Ok(None) }
    }
}

impl Job {
    /// Its tubes of which any are made.
    pub(crate) fn made_tubes(&self) -> impl Iterator<Item = &CopedTube> {
        self.tubes.iter().filter(|tube| tube.quantity > 0)
    }

    /// The tube that an end belongs to: one of its own, else that of a link; nothing where none is made.
    pub(crate) fn tube_of(&self, end: &TubeEnd) -> Option<CopedTube> {
        let tube = self.made_tubes().find(|tube| tube.name == end.tube).cloned();
        let link = || self.links.iter().find(|link| link.name == end.tube && link.quantity > 0);
        tube.or_else(|| link().map(CopedTube::of_link))
    }

    /// The tube that an end of another meets, how far along it the two axes pass each other, mm from its start as
    /// cut, and whether that start is coped.
    pub(crate) fn on_main<'a>(
        &self,
        stands: &'a TubeStands,
        end: usize,
    ) -> Option<(&'a str, f64, bool)> {
        let (name, along) = stands.mains[end].as_ref()?;
        let main = self.machine.tubes.iter().find(|main| main.name == *name);
        let Some((main, cut)) = main.zip(self.tubes.iter().find(|tube| tube.name == *name)) else {
            return Some((name, *along, false));
        };
        let way = unit(minus(main.ends[1], main.ends[0]));
        let along = dot(minus(stands.ends[end], main.ends[0]), way) - cut.off(0);
        Some((name, along, cut.ends[0].is_some()))
    }

    /// How many pieces of a line are set beside or round the ends of tubes, and tacked there.
    pub(crate) fn set_on_tubes(&self, line: &str, is_bent: bool) -> u32 {
        let of_end = |end: &TubeEnd| {
            let cheeks = end.cheeks.as_ref().filter(|cheeks| cheeks.part == line);
            let cheeks = cheeks.map_or(0, |_| if is_bent { 1 } else { 2 });
            let tabs = end.tabs.iter().filter(|(tab, _)| tab.part == line).count();
            let each = u32::try_from(tabs).unwrap_or(u32::MAX).saturating_add(cheeks);
            each.saturating_mul(self.tube_of(end).map_or(0, |tube| tube.quantity))
        };
        self.tube_ends.all.iter().map(of_end).fold(0, u32::saturating_add)
    }

    /// Whether the ears of a line are for its rod end: not if they are on both sides of a tube, or of
    /// the layers of a joint, unless a link names the line. `is_eye` says of the name of a hole whether it is
    /// that of the pin.
    pub(crate) fn takes_rod_end(&self, line: &Line, is_eye: &dyn Fn(&str) -> bool) -> bool {
        let is_it = |part: &String| *part == line.name;
        let mut cheeks = self.tube_ends.all.iter().filter_map(|end| end.cheeks.as_ref());
        let is_twice = |joint: &Arc<Joint>| {
            let holes = joint.stack.iter().map(|layer| &layer.what);
            let is_own = |what: &&What| match what {
                What::Hole { part, hole } => is_it(part) && is_eye(hole),
                What::Laminate(_) | What::Fill(_) => false,
            };
            holes.filter(is_own).count() > 1
        };
        line.held.is_some()
            || !(cheeks.any(|of| is_it(&of.part)) || self.joints.all.iter().any(is_twice))
    }

    /// Every bung of an end of a tube, with its tube.
    pub(crate) fn bungs(&self) -> Vec<(CopedTube, Arc<Row>)> {
        let of = |end: &'_ TubeEnd| Some((self.tube_of(end)?, end.inside.as_ref()?.bung.clone()?));
        self.tube_ends.all.iter().filter_map(of).collect()
    }

    /// What time and metal cost, where the shop says.
    pub fn rates(&self) -> Option<&Rates> {
        self.shop.as_ref()?.rates.as_ref()
    }

    /// A price as printed: in the currency of the shop, where it has one.
    pub(crate) fn money(&self, price: f64) -> String {
        let currency = self.rates().map_or("", |rates| rates.currency.as_str());
        num::money(price, currency)
    }

    /// The bar from which a tube of some outside and wall, mm, is cut.
    pub(crate) fn bar(&self, size: [f64; 2]) -> Bar {
        bar::of(&self.bars, size, self.units)
    }

    /// The coating of a line: its own, else that of its sheet, else that of the job.
    pub fn coating_of(&self, line: &Line) -> Coating {
        let sheet = &self.sheets[line.part_sheet.unwrap_or(line.sheet)];
        let usual = Coating::of(self.coating, self.limits.films);
        line.coating.or(sheet.coating).unwrap_or(usual)
    }

    /// The limits for a line: those of the job, with the oven and the longest piece of its own coating.
    pub(crate) fn limits_of(&self, line: &Line) -> Limits {
        let sheet = &self.sheets[line.part_sheet.unwrap_or(line.sheet)];
        match line.coating.or(sheet.coating) {
            Some(own) => {
                let oven = self.shop.as_ref().and_then(|shop| shop.oven);
                let oven = oven.filter(|_| !own.no_oven);
                Limits { oven, largest: own.largest, ..self.limits.clone() }
            }
            None => self.limits.clone(),
        }
    }

    /// Whether anything in it is coated.
    pub(crate) fn is_coated(&self) -> bool {
        self.coating > 0.0 || self.lines.iter().any(|line| self.coating_of(line).film > 0.0)
    }

    /// The row of a bolt.
    pub(crate) fn bolt(&self, name: &str) -> Option<Arc<Row>> {
        self.bolts.iter().find(|row| row.name() == name).cloned()
    }

    /// The row of the nut on a bolt.
    pub(crate) fn nut(&self, bolt: &str) -> Option<&Row> {
        self.nuts.iter().find(|row| row.text("bolt") == Some(bolt)).map(Arc::as_ref)
    }

    /// The gap kept on a sheet, mm.
    pub fn gap_on(&self, sheet: &Sheet) -> f64 {
        self.gap.unwrap_or_else(|| ProcessLimit::GAP.at(&self.process, sheet.thickness))
    }
}
