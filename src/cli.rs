//! Flags and help, and the rim of the program: disk, terminal, exit codes.
//!
//! Standard output is data; findings and progress go to standard error.

mod against;
mod calibrate;
mod commands;
mod estimate;
mod files;
mod licences;
mod listing;
mod search;
mod shelf;
mod start;
mod summary;
mod terminal;

use clap::Parser;
use clap::Subcommand;
use platewright::job::BendSigns;
use platewright::job::OrderForm;
use platewright::write::Dialect;
use platewright::write::Version;
use std::path::PathBuf;
use std::process::ExitCode;

#[derive(Parser)]
#[command(
    name = "platewright",
    version,
    about = "Turns recipes of small plate parts into checked, nested cut files",
    after_help = "Example:\n  platewright make parts/jobs/vineyard-cart.toml\n  \
        platewright part tab bolt=M8 reach=\"30 mm\" --material S235 --thickness \"4 mm\"\n\n\
        Exit codes: 0 all written and placed, 1 a finding stopped it or pieces found no place,\n            2 wrong use or unreadable file."
)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Solve, check, nest and write everything a job asks for
    Make {
        /// The job file
        job: PathBuf,
        /// Where to write; made if missing [default: out/JOB]
        #[arg(short, long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// Leave out papers/ and templates/
        #[arg(long)]
        no_papers: bool,
        #[command(flatten)]
        order: OrderArgs,
        #[command(flatten)]
        search: SearchArgs,
    },
    /// Say how many sheets a job takes and what they cost, in a second; write nothing
    Estimate {
        /// The job file
        job: PathBuf,
    },
    /// Say what is wrong with a job; write nothing
    Check {
        /// The job file
        job: PathBuf,
        /// Hold DXF files that came back against the flats of the job
        #[arg(long, value_name = "FOLDER")]
        against: Option<PathBuf>,
        /// Where the order was written, with the sums of what was sent [default: out/JOB]
        #[arg(short, long, value_name = "DIR", requires = "against")]
        out: Option<PathBuf>,
    },
    /// Make the flat of one part
    Part(PartArgs),
    /// Make a strip to bend and measure, or turn its measures into a row of the shop file
    Calibrate(CalibrateArgs),
    /// List the recipes, or the inputs of one
    Recipes {
        /// A recipe, by name or as a file
        name: Option<String>,
        /// Draw the part it makes by its defaults, as SVG
        #[arg(long, value_name = "FILE", requires = "name")]
        picture: Option<PathBuf>,
    },
    /// Print a job file to start from, with every input of a recipe explained
    New {
        /// A recipe, by name or as a file
        recipe: String,
        /// Print the recipe itself, to make a family of one's own from it
        #[arg(long)]
        copy: bool,
    },
    /// Print the JSON Schema of recipe files, job files or reports
    Schema {
        /// Which
        of: SchemaOf,
    },
    /// List the tables of hardware and stock, or the rows of one
    Tables {
        /// A table
        name: Option<String>,
    },
    /// Say what a check looks for, why, and by which source
    Explain {
        /// A check, such as `hole-bend`
        check: Option<String>,
    },
    /// Print the licences of this program and of everything in it
    Licences,
}

#[derive(Clone, Copy, clap::ValueEnum)]
enum SchemaOf {
    /// Recipe files
    Recipe,
    /// Job files
    Job,
    /// The report of a job
    Report,
}

/// How the flats in order/ are drawn.
#[derive(clap::Args)]
struct OrderArgs {
    /// Orders as DXF R12, and the flats once more so in r12/, for old readers
    #[arg(long)]
    r12: bool,
    /// In orders, repeat the first corner of each contour at its end
    #[arg(long)]
    repeat_first: bool,
    /// In orders, draw the holes alone
    #[arg(long)]
    holes_only: bool,
    /// In orders, show bends as a line on BEND, as ticks on MARK, or not at all
    #[arg(long, value_name = "SIGN", default_value = "lines")]
    bends: BendsArg,
}

#[derive(Clone, Copy, clap::ValueEnum)]
enum BendsArg {
    Lines,
    Ticks,
    None,
}

impl OrderArgs {
    fn form(&self) -> OrderForm {
        let version = if self.r12 { Version::R12 } else { Version::R2000 };
        OrderForm {
            dialect: Dialect { version, repeat_first: self.repeat_first },
            bends: match self.bends {
                BendsArg::Lines => BendSigns::Lines,
                BendsArg::Ticks => BendSigns::Ticks,
                BendsArg::None => BendSigns::None,
            },
            holes_only: self.holes_only,
        }
    }
}

#[derive(clap::Args)]
struct SearchArgs {
    /// Search no longer than this for a better nest
    #[arg(long, value_name = "SECONDS")]
    time: Option<f64>,
    /// Units of work for the search, one figure for all kinds of sheet or one for each;
    /// 0 keeps the first answer
    #[arg(long, value_name = "N", value_delimiter = ',')]
    units: Vec<u64>,
    /// End the search after so many of its stages, one figure or one for each kind of sheet:
    /// what a search that was cut short prints
    #[arg(long, value_name = "N", value_delimiter = ',', requires = "units")]
    stop: Vec<u64>,
    /// Another seed, another search; the same one gives the same sheets
    #[arg(long, value_name = "N", default_value_t = 0)]
    seed: u64,
}

#[derive(clap::Args)]
struct PartArgs {
    /// The recipe, by name or as a file
    recipe: String,
    /// Values of its inputs, such as `reach="30 mm"`
    #[arg(value_name = "NAME=VALUE")]
    values: Vec<String>,
    /// Row of the table `material`
    #[arg(long, default_value = "S235")]
    material: String,
    /// Thickness of the sheet
    #[arg(long, default_value = "4 mm")]
    thickness: String,
    /// Way of cutting, a row of the table `process`
    #[arg(long, default_value = "waterjet")]
    process: String,
    /// Film on every face
    #[arg(long, default_value = "0 mm")]
    coating: String,
    /// Units of the files: mm or in
    #[arg(long, default_value = "mm")]
    units: String,
    /// Name of the part [default: that of the recipe]
    #[arg(long)]
    name: Option<String>,
    /// Where to write; made if missing
    #[arg(short, long, value_name = "DIR", default_value = "out/parts")]
    out: PathBuf,
}

#[derive(clap::Args)]
struct CalibrateArgs {
    /// Row of the table `material`
    #[arg(long, default_value = "S235")]
    material: String,
    /// Thickness of the sheet
    #[arg(long, default_value = "4 mm")]
    thickness: String,
    /// Opening of the V
    #[arg(long)]
    v: String,
    /// Both legs of the bent strip, measured outside
    #[arg(long, num_args = 2, value_names = ["A", "B"], requires = "blank")]
    legs: Vec<String>,
    /// Length of the strip before bending, measured
    #[arg(long, requires = "legs")]
    blank: Option<String>,
    /// Inside radius, measured [default: 0.16 V]
    #[arg(long, requires = "legs")]
    radius: Option<String>,
    /// Shop file to add the row to
    #[arg(long, value_name = "FILE", requires = "legs")]
    into: Option<PathBuf>,
    /// Where to write the strip; made if missing
    #[arg(short, long, value_name = "DIR", default_value = "out/parts")]
    out: PathBuf,
}

/// How the program ends.
enum Ending {
    /// All done.
    Done,
    /// A finding stopped it.
    Stopped,
    /// Wrong use, or a file that cannot be read or written.
    Failed,
}

/// Runs the command line.
pub(crate) fn run() -> ExitCode {
    let result = match Cli::parse().command {
        Command::Make { job, out, no_papers, order, search } => {
            let papers = match no_papers {
                true => commands::Papers::LeftOut,
                false => commands::Papers::Made,
            };
            commands::make(&job, out, papers, &order, &search)
        }
        Command::Estimate { job } => estimate::estimate(&job),
        Command::Check { job, against: Some(folder), out } => {
            against::against(&job, &folder, out.as_deref())
        }
        Command::Check { job, against: None, .. } => commands::check(&job),
        Command::Part(args) => commands::part(&args),
        Command::Calibrate(args) => calibrate::calibrate(&args),
        Command::Recipes { name, picture } => listing::recipes(name.as_deref(), picture.as_deref()),
        Command::New { recipe, copy } => start::new(&recipe, copy),
        Command::Schema { of } => start::schema(of),
        Command::Tables { name } => listing::tables(name.as_deref()),
        Command::Explain { check } => listing::explain(check.as_deref()),
        Command::Licences => licences::licences(),
    };
    let ending = result.unwrap_or_else(|error| {
        terminal::say(&format!("error: {error:#}"));
        Ending::Failed
    });
    ExitCode::from(match ending {
        Ending::Done => 0,
        Ending::Stopped => 1,
        Ending::Failed => 2,
    })
}
