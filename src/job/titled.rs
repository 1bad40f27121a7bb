//! The texts of a job for the title blocks of its drawings.

use crate::diag::Finding;
use crate::document::Fields;
use crate::document::Item;
use crate::quantity::Units;

/// Classes of general tolerance for linear and angular dimensions of ISO 2768-1 (from memory).
const CLASSES: [&str; 4] = ["f", "m", "c", "v"];

/// The key that selects one of the two methods of projection of ISO 5456-2.
const PROJECTIONS: [&str; 2] = ["first", "third"];

/// The names in the title block, `[drawing]` of a job. Those left out are empty.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Names {
    /// The owner of the drawing.
    pub owner: String,
    /// The text before the name of the part in the number of its drawing.
    pub number: String,
    /// Who made it.
    pub drawn: String,
    /// Who checked it.
    pub checked: String,
    /// Who approved it.
    pub approved: String,
}

/// The contents of the title block of every drawing of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Titled {
    /// The names.
    pub names: Names,
    /// Whether it has the sign of third-angle projection, and not that of first-angle.
    pub third_angle: bool,
    /// The issue, in the shop's own words.
    pub issue: Option<String>,
    /// A date, as the job writes it.
    pub date: Option<String>,
    /// Class of general tolerance of ISO 2768-1.
    pub tolerance: String,
}

impl Titled {
    pub(super) fn read(fields: &Fields, units: Units) -> Self {
        let (names, third_angle) =
            fields.get("drawing").map_or_else(Default::default, |item| drawing(item, fields));
        let own = |name: &str| fields.get(name).and_then(|_| fields.text(name)).map(str::to_owned);
        Self {
            names,
            // Customary on either side of the ocean.
            third_angle: third_angle.unwrap_or(units == Units::Inch),
            issue: own("issue"),
            date: own("date"),
            tolerance: tolerance(fields),
        }
    }
}

/// The names of `[drawing]`, and whether it sets third-angle projection.
fn drawing(item: &Item, fields: &Fields) -> (Names, Option<bool>) {
    let Some(own) = Fields::of(item, fields.findings()) else { return Default::default() };
    let text = |name: &str| own.get(name).and_then(|_| own.text(name)).unwrap_or_default();
    let [owner, number, drawn, checked, approved] =
        ["owner", "number", "drawn", "checked", "approved"].map(|name| text(name).to_owned());
    let third = own.get("projection").and_then(|item| {
        let third = item.text().and_then(|word| PROJECTIONS.iter().position(|p| *p == word));
        if third.is_none() {
            let finding = Finding::stop("unknown-word", "`projection` is `first` or `third`");
            fields.add(finding.at(item.span, "").help("write `projection = \"first\"`"));
        }
        third.map(|third| third == 1)
    });
    own.finish();
    (Names { owner, number, drawn, checked, approved }, third)
}

fn tolerance(fields: &Fields) -> String {
    let usual = || CLASSES[1].to_owned();
    let Some(item) = fields.get("tolerance") else { return usual() };
    match item.text().filter(|text| CLASSES.contains(text)) {
        Some(class) => class.to_owned(),
        None => {
            let finding = Finding::stop("unknown-word", "`tolerance` is `f`, `m`, `c` or `v`");
            fields.add(finding.at(item.span, "").help("write `tolerance = \"m\"`"));
            usual()
        }
    }
}
