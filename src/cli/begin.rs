//! What a new job begins with: its settings and a sheet.

use crate::cli::book::Book;
use crate::cli::shelf;
use crate::cli::terminal;
use platewright::num;
use std::path::Path;

/// The sheet of a job to start from: one that the book of its folder has, which says what there is of it;
/// without a book one of a usual size.
fn sheet_for(folder: &Path) -> SheetFor {
    let shop = folder.join(shelf::SHOP);
    let file = shelf::book_of(&shop);
    let entries = Book::open(&file).and_then(|book| book.map(|book| book.entries()).transpose());
    let entries = entries.unwrap_or_else(|error| {
        terminal::say(&format!("note: {error:#}"));
        None
    });
    let entries = entries.unwrap_or_default();
    match entries.iter().find(|entry| !entry.remnant).or(entries.first()) {
        None => SheetFor {
            shop: "",
            material: "S235".to_owned(),
            thickness: "4 mm".to_owned(),
            stock: "stock     = [ { size = [\"1000 mm\", \"500 mm\"] } ]    # along the grain, across it\n"
                .to_owned(),
        },
        Some(entry) => {
            let [length, width] = entry.corners.size().map(|mm| num::text(mm, 3));
            SheetFor {
                shop: match shop.exists() {
                    true => "shop    = \"shop.toml\"    # its book says which sheets there are\n",
                    false => "",
                },
                material: entry.material.clone(),
                thickness: format!("{} mm", num::text(entry.thickness, 3)),
                stock: format!(
                    "# On the sheets in the stock book; to name others:\n\
                     # stock   = [ {{ size = [\"{length} mm\", \"{width} mm\"] }} ]\n"
                ),
            }
        }
    }
}

/// What is written of the shop and of the sheet.
struct SheetFor {
    shop: &'static str,
    material: String,
    thickness: String,
    stock: String,
}

/// A job without a part, as the page begins one in a folder.
#[cfg(feature = "page")]
pub(super) fn empty_job(folder: &Path) -> String {
    head(folder).0
}

/// The beginning of a job in a folder, as far as its sheet, and the name of that.
pub(super) fn head(folder: &Path) -> (String, String) {
    let SheetFor { shop, material, thickness, stock } = sheet_for(folder);
    let sheet = format!("{material} {thickness}");
    let blank = " ".repeat(4usize.saturating_sub(material.chars().count()));
    let text = format!(
        "units   = \"mm\"          # of drawings and printed lengths: mm or in\n\
         process = \"waterjet\"    # a row of the `process` table\n\
         coating = \"0 mm\"        # coating thickness on every face\n{shop}\n\
         [[sheet]]\n\
         name      = \"{sheet}\"\n\
         material  = \"{material}\"{blank}      # a row of the `material` table\n\
         thickness = \"{thickness}\"      # or a gauge: \"11 ga\"\n\
         {stock}"
    );
    (text, sheet)
}
