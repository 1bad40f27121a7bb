//! What a job says for the title strips of its drawings.

use crate::diag::Finding;
use crate::document::Fields;

/// Classes of general tolerance for linear and angular dimensions of ISO 2768-1 (from memory).
const CLASSES: [&str; 4] = ["f", "m", "c", "v"];

/// What stands in the title strip of every drawing of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Titled {
    /// The issue, in the shop's own words.
    pub issue: Option<String>,
    /// A date, as the job writes it.
    pub date: Option<String>,
    /// Class of general tolerance of ISO 2768-1.
    pub tolerance: String,
}

impl Titled {
    pub(super) fn read(fields: &Fields) -> Self {
        let own = |name: &str| fields.get(name).and_then(|_| fields.text(name)).map(str::to_owned);
        Self { issue: own("issue"), date: own("date"), tolerance: tolerance(fields) }
    }
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
