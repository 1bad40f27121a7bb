//! `platewright stock`: what the shop has, in the book beside its shop file.

mod add;
mod list;

pub(super) use add::AddArgs;

use crate::cli::book::Book;
use crate::cli::ending::Ending;
use crate::cli::files::Replaced;
use crate::cli::input;
use crate::cli::shelf;
use crate::cli::shelf::shown;
use crate::cli::terminal;
use crate::cli::typed;
use anyhow::Context;
use anyhow::bail;
use clap::Subcommand;
use platewright::book::Entry;
use platewright::book::read;
use platewright::book::written;
use platewright::diag::Sources;
use platewright::quantity::Units;
use platewright::write;
use platewright::write::Drawing;
use platewright::write::Layer;
use platewright::write::Stroke;
use std::path::Path;
use std::path::PathBuf;

/// No list is longer than this, in bytes. Our choice.
const LARGEST: u64 = 16 << 20;

/// Height of the words in the picture of a remnant, and how far they are below it, mm. Our choice.
const LETTERS: f64 = 8.0;

/// What is asked of `stock`.
#[derive(clap::Args)]
pub(super) struct StockArgs {
    #[command(subcommand)]
    what: Option<StockCommand>,
    /// The shop file; its book is beside it, with the same name and the extension .db
    #[arg(long, value_name = "FILE", default_value = shelf::SHOP, global = true)]
    shop: PathBuf,
}

#[derive(Subcommand)]
enum StockCommand {
    /// Add sheets of one size, or a remnant; starts the book if there is none
    Add(AddArgs),
    /// Take sheets out: sold, spoilt or used elsewhere
    Take {
        /// The number of the entry
        number: i64,
        /// How many [default: all that are left]
        #[arg(long, value_name = "N")]
        quantity: Option<u32>,
    },
    /// Set the unit price of an entry; until then a remnant carries its share of the sheet's price
    Price {
        /// The number of the entry
        number: i64,
        /// The price, in the currency of the shop file; or `none` where it is not known
        #[arg(value_parser = price_or_none)]
        price: Worth,
    },
    /// Print what the shop has as CSV, for a spreadsheet
    Export {
        /// Where to write [default: standard output]
        #[arg(short, long, value_name = "FILE")]
        out: Option<PathBuf>,
    },
    /// Read a list as `export` writes it: entries whose number is in the book are
    /// replaced, all others are added
    Import {
        /// The list, a CSV file
        list: PathBuf,
    },
    /// Draw a sheet or remnant, as SVG
    Draw {
        /// The number of the entry
        number: i64,
        /// Where to write [default: standard output]
        #[arg(short, long, value_name = "FILE")]
        out: Option<PathBuf>,
    },
}

/// A price, or none.
#[derive(Clone, Copy, Debug)]
struct Worth(Option<f64>);

fn price_or_none(text: &str) -> Result<Worth, String> {
    match text.trim() {
        "none" => Ok(Worth(None)),
        text => typed::price(text).map(|price| Worth(Some(price))),
    }
}

/// The currency of a shop file; none where there is no such file, or it says none.
///
/// # Errors
/// When it cannot be read.
pub(super) fn currency(shop: &Path) -> anyhow::Result<String> {
    add::currency(shop, &typed::tables(Some(shop))?)
}

/// `platewright stock`.
pub(super) fn stock(args: &StockArgs) -> anyhow::Result<Ending> {
    let path = shelf::book_of(&args.shop);
    match &args.what {
        None => terminal::data(&list::text(&path, &Book::open_there(&path)?.entries()?)),
        Some(StockCommand::Add(add)) => {
            let entry = add.entry(&args.shop)?;
            let entry = Book::open_or_begin(&path)?.add(&entry)?;
            terminal::data(&format!("in the book {}: {}\n", shown(&path), list::line(&entry)));
        }
        Some(StockCommand::Take { number, quantity }) => {
            let entry = Book::open_there(&path)?.take(*number, *quantity)?;
            terminal::data(&format!("in the book {}: {}\n", shown(&path), list::line(&entry)));
        }
        Some(StockCommand::Price { number, price: Worth(price) }) => {
            let currency = match price {
                Some(_) => currency(&args.shop)?,
                None => String::new(),
            };
            let entry = Book::open_there(&path)?.price(*number, (*price, &currency))?;
            let worth = list::price(&entry).unwrap_or_else(|| "price not known".to_owned());
            let line = list::line(&entry);
            terminal::data(&format!("in the book {}: {line}, {worth}\n", shown(&path)));
        }
        Some(StockCommand::Export { out }) => {
            let text = written(&Book::open_there(&path)?.entries()?);
            put(out.as_deref(), &text)?;
        }
        Some(StockCommand::Import { list }) => return import(&args.shop, &path, list),
        Some(StockCommand::Draw { number, out }) => {
            let entry = Book::open_there(&path)?.entry(*number)?;
            put(out.as_deref(), &picture(&entry))?;
        }
    }
    Ok(Ending::Done)
}

/// A text to a file, or to standard output.
fn put(out: Option<&Path>, text: &str) -> anyhow::Result<()> {
    match out {
        None => terminal::data(text),
        Some(file) => Replaced::open_or_new(file)?.with(text.as_bytes())?,
    }
    Ok(())
}

fn import(shop: &Path, path: &Path, list: &Path) -> anyhow::Result<Ending> {
    let text = input::text(list, LARGEST, "list")?;
    let mut sources = Sources::default();
    let source = sources.add(shown(list), &text);
    let mut entries = match read(source, &text) {
        Ok(entries) => entries,
        Err(findings) => {
            terminal::findings(&findings, &sources);
            terminal::say("nothing was written");
            return Ok(Ending::Stopped);
        }
    };
    let tables = typed::tables(Some(shop))?;
    let unknown = entries.iter().find(|e| tables.row("material", &e.material).is_none());
    if let Some(entry) = unknown {
        let words = typed::unknown_material(&entry.material, &tables);
        bail!("{}: {words}; nothing was written", shown(list));
    }
    for entry in &mut entries {
        // By the name of its row: what is on hand is found by that.
        entry.material = typed::material(&entry.material, &tables)?.name().to_owned();
    }
    let mut book = Book::open_or_begin(path)?;
    let [changed, added] = book.import(&entries).context("nothing was written")?;
    terminal::data(&format!("in the book {}: {changed} changed, {added} added\n", shown(path)));
    Ok(Ending::Done)
}

/// The outline at true size, with its number and size below.
fn picture(entry: &Entry) -> String {
    let title = format!("{}: {}, {}", entry.called(), entry.kind(), entry.size());
    let mut drawing = Drawing::new(&title, Units::Millimetre);
    drawing.cut(entry.corners.region());
    let at = platewright::geom::Point::new(0.0, -2.0 * LETTERS);
    drawing.draw(Layer::Note, Stroke::Text { at, height: LETTERS, text: title });
    write::svg(&drawing)
}
