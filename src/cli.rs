//! Flags and help; the only room that uses disk, terminal and exit codes.
//!
//! Standard output is data; findings and progress are written to standard error.

mod against;
mod archive;
mod args;
mod as_built;
mod begin;
mod book;
mod book_list;
mod calibrate;
mod changes;
mod clock;
mod commands;
mod cut;
mod day;
mod drafting;
mod drawing;
mod ending;
mod estimate;
mod files;
mod input;
mod interrupt;
mod job_text;
mod licences;
mod listing;
mod outline;
mod pack;
#[cfg(feature = "page")]
mod page;
mod past;
mod replay;
mod search;
mod sent;
mod shelf;
mod start;
mod stock;
mod summary;
mod terminal;
mod typed;
mod unpack;
mod watch;

use crate::cli::args::CalibrateArgs;
use crate::cli::args::OnlyArgs;
use crate::cli::args::OrderArgs;
use crate::cli::args::PartArgs;
use crate::cli::args::SchemaOf;
use crate::cli::args::SearchArgs;
use crate::cli::cut::CutArgs;
use crate::cli::ending::Ending;
use crate::cli::interrupt::GivenUp;
use crate::cli::stock::StockArgs;
use clap::Parser;
use clap::Subcommand;
use std::path::PathBuf;
use std::process::ExitCode;

#[derive(Parser)]
#[command(
    name = "platewright",
    version,
    about = "Turns recipes for small plate parts into checked, nested cut files",
    after_help = "Example:\n  platewright make parts/jobs/vineyard-cart.toml\n  \
        platewright part tab bolt=M8 reach=\"30 mm\" --material S235 --thickness \"4 mm\"\n\n\
        Exit codes: 0 all written and placed, 1 a finding stopped it or pieces could not be placed,\n            2 usage error or unreadable file,\n            130 interrupted: nothing was written.\n\n\
        Ctrl-C ends the search and writes its best layout, leaving out drawings not begun half a second\n\
        later. A second leaves out all drawings not yet made; a third writes nothing and leaves the\n\
        folder as it was."
)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Calculate, check and nest a job, and write all its files
    Make {
        /// The job file, or an archive that `pack` wrote
        job: PathBuf,
        /// Output folder, created if missing [default: out/JOB, or out/JOB-only with --only]
        #[arg(short, long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// Leave out drawings, templates and sheet pictures
        #[arg(long)]
        no_drawings: bool,
        /// The issue of the drawings, in place of the job's own
        #[arg(long, value_name = "TEXT")]
        issue: Option<String>,
        /// Make it again whenever it, or a file it uses, is saved; keeps the first layout unless --time
        /// or --effort is given. Ctrl-C ends it
        #[arg(long)]
        watch: bool,
        /// Write the files of an archive even if this version makes them differently
        #[arg(long = "accept-changes", conflicts_with = "watch")]
        accept: bool,
        #[command(flatten)]
        only: OnlyArgs,
        #[command(flatten)]
        order: OrderArgs,
        #[command(flatten)]
        search: SearchArgs,
    },
    /// Estimate how many sheets a job takes and what they cost; write nothing
    Estimate {
        /// The job file
        job: PathBuf,
        #[command(flatten)]
        only: OnlyArgs,
    },
    /// Check a job; write nothing
    Check {
        /// The job file
        job: PathBuf,
        /// Compare returned DXF files with the flats of the job
        #[arg(long, value_name = "FOLDER", conflicts_with = "only")]
        against: Option<PathBuf>,
        /// Folder of the order, with the checksums of what was sent [default: out/JOB]
        #[arg(short, long, value_name = "DIR", requires = "against")]
        out: Option<PathBuf>,
        /// Check it again whenever it, or a file it uses, is saved. Ctrl-C ends it
        #[arg(long, conflicts_with = "against")]
        watch: bool,
        #[command(flatten)]
        only: OnlyArgs,
    },
    /// Show what has changed in each part since it was last made or sent; write nothing
    Changes {
        /// The job file
        job: PathBuf,
        /// Compare with an order already sent, by its number or recipient, or with a job made in a
        /// folder [default: what was made last in out/JOB]
        #[arg(long, value_name = "NAME|FOLDER")]
        since: Option<String>,
        /// Folder in which the job was made last [default: out/JOB]
        #[arg(short, long, value_name = "DIR")]
        out: Option<PathBuf>,
        #[command(flatten)]
        search: SearchArgs,
    },
    /// Record the latest order as sent, in JOB.sent.toml beside the job
    Sent {
        /// The job file
        job: PathBuf,
        /// The recipient
        #[arg(long, value_name = "RECIPIENT")]
        to: String,
        /// The date, as YEAR-MONTH-DAY [default: today in UTC]
        #[arg(long, value_name = "DATE")]
        date: Option<String>,
        /// Folder in which the order was made [default: out/JOB]
        #[arg(short, long, value_name = "DIR")]
        out: Option<PathBuf>,
    },
    /// Book the sheets used by the last `make` out of the stock book, and remnants into it
    Cut(CutArgs),
    /// List the sheets and remnants in the shop; add, take out, export, import, draw
    Stock(StockArgs),
    /// List what was cut, sent and measured, as recorded in the stock book
    Book {
        /// The shop file; its book is beside it, with the same name and the extension .db
        #[arg(long, value_name = "FILE", default_value = shelf::SHOP)]
        shop: PathBuf,
    },
    /// Pack a job with everything it needs into one archive, for `make` to make it again
    Pack {
        /// The job file
        job: PathBuf,
        /// The archive [default: JOB.zip]
        #[arg(short, long, value_name = "FILE")]
        out: Option<PathBuf>,
        /// Folder in which the job was made last, for the issue letters [default: out/JOB]
        #[arg(long, value_name = "DIR")]
        made_in: Option<PathBuf>,
    },
    /// Find out why finished parts deviate from the drawing; write nothing
    AsBuilt {
        /// The job file, with `[[as_built]]`
        job: PathBuf,
    },
    /// Draw one part of a job, without nesting
    Drawing {
        /// The job file
        job: PathBuf,
        /// The part, by name
        part: String,
        /// Output file: a PDF, or a picture if it ends in .svg [default: PART.pdf]
        #[arg(short, long, value_name = "FILE")]
        out: Option<PathBuf>,
        /// The issue of the drawing, in place of the job's own
        #[arg(long, value_name = "TEXT")]
        issue: Option<String>,
    },
    /// Show a job on a page in the browser, to be changed, nested and made there
    #[cfg(feature = "page")]
    Page(page::PageArgs),
    /// Make the flat of one part
    Part(PartArgs),
    /// Make a test strip to bend, or calculate a row of the shop file from measured strips
    Calibrate(CalibrateArgs),
    /// List the recipes, or the inputs of one
    Recipes {
        /// A recipe, by name or as a file
        name: Option<String>,
        /// Draw the part with default values, as SVG
        #[arg(long, value_name = "FILE", requires = "name")]
        picture: Option<PathBuf>,
    },
    /// Show what an outline file (DXF or SVG) contains, and print a recipe to start from
    Outline(outline::OutlineArgs),
    /// Print a job file or a shop file to start from, with every line explained
    New {
        /// A recipe, by name or as a file; or `job` for a job with one tab, `shop` for a shop file
        recipe: String,
        /// Print the recipe itself, as a start for your own
        #[arg(long)]
        copy: bool,
    },
    /// Print the JSON Schema of recipe files, job files or reports
    Schema {
        /// What the schema describes
        of: SchemaOf,
    },
    /// List the tables of hardware and stock, or the rows of one
    Tables {
        /// A table
        name: Option<String>,
        /// Print a row to fill in for a table of your own, with what each column means
        #[arg(long, requires = "name")]
        add: bool,
    },
    /// Explain what a check looks for, why, and its source
    Explain {
        /// A check, such as `hole-bend`
        check: Option<String>,
    },
    /// Print the licences of this program and of everything in it
    Licences,
}

/// Runs the command line.
pub(crate) fn run() -> ExitCode {
    let result = match Cli::parse().command {
        Command::Make { job, out, no_drawings, issue, watch, accept, only, order, search } => {
            let drawings = match no_drawings {
                true => commands::Drawings::LeftOut,
                false => commands::Drawings::Made,
            };
            let wanted = commands::Wishes { drawings, issue, order, search, accept };
            match watch {
                true => commands::make_watched((&job, &only.only), out, wanted),
                false => commands::make((&job, &only.only), out, &wanted),
            }
        }
        Command::Estimate { job, only } => estimate::estimate(&job, &only.only),
        Command::Check { job, against: Some(folder), out, .. } => {
            against::against(&job, &folder, out.as_deref())
        }
        Command::Check { job, watch: true, only, .. } => commands::check_watched(&job, &only.only),
        Command::Check { job, only, .. } => commands::check(&job, &only.only),
        Command::Changes { job, since, out, search } => {
            changes::changes(&job, since.as_deref(), out, &search)
        }
        Command::Pack { job, out, made_in } => pack::pack(&job, out, made_in),
        Command::Sent { job, to, date, out } => sent::sent(&job, &to, date, out),
        Command::Cut(args) => cut::cut(&args),
        Command::Stock(args) => stock::stock(&args),
        Command::Book { shop } => book_list::list(&shop),
        Command::AsBuilt { job } => as_built::as_built(&job),
        Command::Drawing { job, part, out, issue } => drawing::drawing(&job, &part, out, issue),
        #[cfg(feature = "page")]
        Command::Page(args) => page::page(&args),
        Command::Part(args) => commands::part(&args),
        Command::Calibrate(args) => calibrate::calibrate(&args),
        Command::Recipes { name, picture } => listing::recipes(name.as_deref(), picture.as_deref()),
        Command::Outline(args) => outline::outline(&args),
        Command::New { recipe, copy } => start::new(&recipe, copy),
        Command::Schema { of } => start::schema(of),
        Command::Tables { name, add } => listing::tables(name.as_deref(), add),
        Command::Explain { check } => listing::explain(check.as_deref()),
        Command::Licences => licences::licences(),
    };
    let ending = result.unwrap_or_else(|error| match error.downcast_ref::<GivenUp>() {
        Some(given_up) => {
            terminal::say(&given_up.to_string());
            Ending::Interrupted
        }
        None => {
            terminal::say(&format!("error: {error:#}"));
            Ending::Failed
        }
    });
    ExitCode::from(match ending {
        Ending::Done => 0,
        Ending::Stopped => 1,
        Ending::Failed => 2,
        Ending::Interrupted => interrupt::INTERRUPTED,
    })
}
