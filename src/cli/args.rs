//! The arguments of the commands.

use crate::cli::replay::Replay;
use platewright::job::BendSigns;
use platewright::job::Only;
use platewright::job::OrderForm;
use platewright::write::Dialect;
use platewright::write::Version;
use std::path::PathBuf;

/// Of which files a schema is printed.
#[derive(Clone, Copy, clap::ValueEnum)]
pub(super) enum SchemaOf {
    /// Recipe files
    Recipe,
    /// Job files
    Job,
    /// The report of a job
    Report,
}

/// What is wanted of a job.
#[derive(clap::Args)]
pub(super) struct OnlyArgs {
    /// Only the parts, links and tubes with this name, N of each if N is given; `*` matches any
    /// characters. Repeat the option for further names
    #[arg(long, value_name = "NAME[=N]")]
    pub(super) only: Vec<Only>,
}

/// How the flats in order/ are drawn.
#[derive(clap::Args)]
pub(super) struct OrderArgs {
    /// Orders as DXF R12, and the flats also in r12/, for older software
    #[arg(long)]
    pub(super) r12: bool,
    /// In orders, repeat the first corner of each contour at its end
    #[arg(long)]
    repeat_first: bool,
    /// In orders, draw only the holes
    #[arg(long)]
    holes_only: bool,
    /// In orders, show bends as a line on BEND, as ticks on MARK, or not at all
    #[arg(long, value_name = "STYLE", default_value = "lines")]
    bends: BendsArg,
}

/// How bends are shown in orders.
#[derive(Clone, Copy, clap::ValueEnum)]
enum BendsArg {
    Lines,
    Ticks,
    None,
}

impl OrderArgs {
    pub(super) fn form(&self) -> OrderForm {
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
pub(super) struct SearchArgs {
    /// Search no longer than this for a better layout; drawings not begun within half a second
    /// of that limit (counted as at least 1 s) are left out
    #[arg(long, value_name = "SECONDS")]
    pub(super) time: Option<f64>,
    /// Effort allowed for the search, one figure for all kinds of sheet or one for each; 0 keeps
    /// the first layout
    #[arg(long, value_name = "N", value_delimiter = ',')]
    pub(super) effort: Vec<u64>,
    /// Repeat a search that was interrupted, by the text it printed
    #[arg(long, value_name = "TEXT", conflicts_with_all = ["time", "effort", "seed"])]
    pub(super) replay: Option<Replay>,
    /// Seed of the search; the same seed gives the same sheets
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub(super) seed: u64,
}

impl SearchArgs {
    /// Keeps the first layout, unless a time to search is given.
    pub(super) fn first_layout_unless_said(&mut self) {
        if !self.says_how_long() {
            self.effort = vec![0];
        }
    }

    /// Whether the search is the usual one.
    pub(super) fn is_usual(&self) -> bool {
        !self.says_how_long() && self.seed == 0
    }

    fn says_how_long(&self) -> bool {
        self.time.is_some() || self.replay.is_some() || !self.effort.is_empty()
    }
}

#[derive(clap::Args)]
pub(super) struct PartArgs {
    /// The recipe, by name or as a file
    pub(super) recipe: String,
    /// Values of its inputs, such as `reach="30 mm"`
    #[arg(value_name = "NAME=VALUE")]
    pub(super) values: Vec<String>,
    /// Row of the `material` table
    #[arg(long, default_value = "S235")]
    pub(super) material: String,
    /// Thickness of the sheet
    #[arg(long, default_value = "4 mm")]
    pub(super) thickness: String,
    /// Cutting process, a row of the `process` table
    #[arg(long, default_value = "waterjet")]
    pub(super) process: String,
    /// Coating thickness on every face
    #[arg(long, default_value = "0 mm")]
    pub(super) coating: String,
    /// Units of the files: mm or in
    #[arg(long, default_value = "mm")]
    pub(super) units: String,
    /// Name of the part [default: that of the recipe]
    #[arg(long)]
    pub(super) name: Option<String>,
    /// Output folder, created if missing
    #[arg(short, long, value_name = "DIR", default_value = "out/parts")]
    pub(super) out: PathBuf,
}

#[derive(clap::Args)]
pub(super) struct CalibrateArgs {
    /// Row of the `material` table
    #[arg(long, default_value = "S235")]
    pub(super) material: String,
    /// Thickness of the sheet; for bent strips, as measured [default: --nominal, else "4 mm"]
    #[arg(long)]
    pub(super) thickness: Option<String>,
    /// Nominal thickness, as jobs give it, for the row [default: --thickness]
    #[arg(long)]
    pub(super) nominal: Option<String>,
    /// Opening of the V
    #[arg(long)]
    pub(super) v: String,
    /// A bent strip: both legs outside, to the mould line; its length before bending; its bend
    /// angle, measured from flat. Repeat the option for each strip
    #[arg(long, num_args = 4, value_names = ["A", "B", "BLANK", "ANGLE"], action = clap::ArgAction::Append)]
    pub(super) strip: Vec<String>,
    /// Both legs of a strip bent to 90°, measured outside
    #[arg(long, num_args = 2, value_names = ["A", "B"], requires = "blank")]
    pub(super) legs: Vec<String>,
    /// Length of the strip before bending, measured
    #[arg(long, requires = "legs")]
    pub(super) blank: Option<String>,
    /// Inside radius, measured [default: 0.16 V]
    #[arg(long)]
    pub(super) radius: Option<String>,
    /// Bend angle under load, before the strips were released, for the springback
    #[arg(long, value_name = "ANGLE")]
    pub(super) under_load: Option<String>,
    /// Show the effect of the row on the parts of a job
    #[arg(long, value_name = "JOB")]
    pub(super) job: Option<PathBuf>,
    /// Shop file to add the row to
    #[arg(long, value_name = "FILE")]
    pub(super) into: Option<PathBuf>,
    /// Print a worksheet: how to cut, mark, bend and measure strips, with room for the readings
    #[arg(long, conflicts_with_all = ["strip", "legs", "radius", "under_load", "job", "into"])]
    pub(super) worksheet: bool,
    /// Output folder for the strip, created if missing
    #[arg(short, long, value_name = "DIR", default_value = "out/parts")]
    pub(super) out: PathBuf,
}

impl CalibrateArgs {
    /// The thickness as jobs give it.
    pub(super) fn of_jobs(&self) -> &str {
        let given = self.nominal.as_ref().or(self.thickness.as_ref());
        given.map_or(USUAL_THICKNESS, String::as_str)
    }
}

/// The thickness of strips where none is given.
const USUAL_THICKNESS: &str = "4 mm";

#[cfg(test)]
mod tests {
    use super::*;
    use clap::Parser;

    #[derive(Parser)]
    struct Calibrate {
        #[command(flatten)]
        args: CalibrateArgs,
    }

    /// What was measured would be left out without a word.
    #[test]
    fn the_sheet_to_write_upon_takes_nothing_that_was_measured() {
        let read = |more: &[&str]| {
            let all = ["calibrate", "--v", "24 mm", "--worksheet"].iter().chain(more);
            Calibrate::try_parse_from(all).map(|read| read.args.worksheet)
        };
        assert!(read(&["--nominal", "4 mm"]).expect("it is a sheet"));
        for measured in [
            &["--strip", "104 mm", "104 mm", "200 mm", "90 deg"][..],
            &["--legs", "104 mm", "104 mm", "--blank", "200 mm"],
            &["--radius", "4 mm"],
            &["--under-load", "91 deg"],
            &["--job", "cart.toml"],
            &["--into", "shop.toml"],
        ] {
            let error = read(measured).expect_err("it says more than a sheet does");
            assert!(error.to_string().contains("cannot be used with"), "{measured:?}: {error}");
        }
    }
}
