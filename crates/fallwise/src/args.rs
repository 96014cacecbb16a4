//! What can be typed.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};
use codes::Code;

/// Said at the end of the help, and in the man page.
const AFTER: &str = "\
Exit status: 0 nothing fails, 1 something fails, 2 the document can't be used.

Beside NAME.ron, if they are there: NAME.bench.ron (what the bought fittings measure), NAME.local.ron (what your town \
changes), NAME.shop.ron (prices with their units, like \"3 in wye\": \"9.50 each\" or \"3 in pipe\": \"2.10 per ft\"; sticks, \
saw, spare, carry) and NAME.field.ron, the field book: what was measured in the ground.

JSON (check --json), inches, z up from finished floor, x and y from the form's origin, null where nothing is known: \
format, layout, hash, code, verdict (fails, ask, nothing found), unread; drains (id, feasible, start_invert, exit_invert, \
receiver_invert, spare, short, controls, chain, mends); runs (id, drain, sizes, length, grade_in_per_ft, invert_up, \
invert_down, dfu, cover_min); stubs (id, fixture, size, x, y, top, landing, off); findings (rule, verdict, members, at, \
measured, limit, unit, says, source, read); to_tell (item, what); before_cover (as findings); amended (rule, of, value, \
published, said_by). unread counts the figures behind these answers that nobody read in a published code. With --code all, \
codes (IRC, IPC, UPC: verdict, findings, unread) stands in place of code, verdict and findings, and differences (rule, \
members, verdicts) and questions (rule, members, says, sides: code, verdict, sections) follow.

What is said here is what the published codes say as far as they were read. Your local code, your inspector and licensed \
people have the last word.";

/// See the drain before the slab hides it.
#[derive(Parser, Debug)]
#[command(name = "fallwise", version, about, after_help = AFTER, max_term_width = 100)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Subcommand, Debug)]
pub enum Command {
    /// Write the demo house into a folder, check it and draw it
    Demo {
        /// The folder; made when it is not there
        #[arg(value_name = "DIR")]
        folder: PathBuf,
    },
    /// Write a small commented layout to start from
    New {
        /// The new file; a file that is there already is left alone
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
    /// Check a layout: can it fall, does every stub land, what does the pipe hit
    Check {
        /// The layout
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// The code to design and judge by; all: designed by the layout's own, judged by three
        #[arg(long, value_name = "CODE")]
        code: Option<Judge>,
        /// Print JSON
        #[arg(long)]
        json: bool,
    },
    /// List what to buy, what to saw and what to glue in which order
    Parts {
        /// The layout
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// Print one table of what to buy and what to saw
        #[arg(long, conflicts_with = "json")]
        csv: bool,
        /// Print JSON
        #[arg(long)]
        json: bool,
        /// The shop sheet with prices, in place of NAME.shop.ron
        #[arg(long, value_name = "FILE")]
        prices: Option<PathBuf>,
        /// An earlier layout: what to buy or return since
        #[arg(long, value_name = "OLD")]
        since: Option<PathBuf>,
    },
    /// Open the 3D window on a layout; it follows the file as it changes
    View {
        /// The layout
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// A scanned or photographed plan (PNG or JPEG) to lay on the slab, square from above
        #[arg(long, value_name = "PICTURE")]
        plan: Option<PathBuf>,
        /// For tests: a file that tells where everything is on screen, each time the picture comes to rest
        #[arg(long, value_name = "JSON", hide = true)]
        probe: Option<PathBuf>,
        /// For tests: a folder for a picture of the window each time it comes to rest
        #[arg(long, value_name = "DIR", hide = true)]
        pictures: Option<PathBuf>,
    },
    /// Draw the same view without a window
    Picture {
        /// The layout
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// The picture to write
        #[arg(short, long, value_name = "PNG", required_unless_present_any = ["walk", "tour", "speeds"])]
        output: Option<PathBuf>,
        /// Write the glue-up walk into a folder: a numbered picture a piece, upright, for a phone
        #[arg(long, value_name = "DIR")]
        walk: Option<PathBuf>,
        /// For developers: a picture of every feature of the window, into a folder
        #[arg(long, value_name = "DIR", hide = true)]
        tour: Option<PathBuf>,
        /// For developers: how fast the window is on this machine
        #[arg(long, hide = true)]
        speeds: bool,
    },
    /// Write the packet: every page for permit desk, shop, trench and record, as one PDF
    Packet {
        /// The layout
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// The PDF to write
        #[arg(short, long, value_name = "PDF")]
        output: PathBuf,
        /// The paper
        #[arg(long, value_name = "PAPER", default_value = "letter")]
        paper: PaperSize,
        /// Larger type
        #[arg(long)]
        large: bool,
    },
    /// Write each page by itself
    Sheets {
        /// The layout
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// The folder to write into; made when it is not there
        #[arg(short, long, value_name = "DIR")]
        output: PathBuf,
        /// As what
        #[arg(long = "as", value_name = "FORM", default_value = "pdf")]
        form: Form,
        /// The paper
        #[arg(long, value_name = "PAPER", default_value = "letter")]
        paper: PaperSize,
        /// Larger type
        #[arg(long)]
        large: bool,
    },
    /// Take readings at the trench, answer each, and tell what all of them say
    Field {
        /// The layout; the readings stand in NAME.field.ron beside it
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// Ask nothing: print what the readings say together
        #[arg(long)]
        judge: bool,
        /// Print JSON, measured beside planned
        #[arg(long)]
        json: bool,
        /// Ask only for what is due at this stage
        #[arg(long, value_name = "STAGE")]
        stage: Option<AtStage>,
        /// Who measures
        #[arg(long, value_name = "NAME")]
        who: Option<String>,
        /// When, like "2026-06-03 08:10"; else the clock's, in universal time
        #[arg(long, value_name = "TIME", value_parser = a_time)]
        when: Option<String>,
        /// Write the layout as it stands to a new file
        #[arg(long, value_name = "OUT")]
        as_built: Option<PathBuf>,
    },
    /// Tell what a new layout changes: pages, assemblies, pieces, what to cut, buy and return
    Changes {
        /// The layout it was built by
        #[arg(value_name = "OLD")]
        old: PathBuf,
        /// The new layout
        #[arg(value_name = "NEW")]
        new: PathBuf,
        /// Tell which of the two a page comes from, by the stamp printed on it
        #[arg(long, value_name = "STAMP")]
        page: Option<String>,
        /// The shop sheet with prices, in place of the one beside NEW or OLD
        #[arg(long, value_name = "FILE")]
        prices: Option<PathBuf>,
    },
    /// Print what a shell needs to complete these commands
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Print this help as a man page
    Manual,
}

/// Sizes of paper.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum PaperSize {
    /// 8 1/2 by 11 in
    Letter,
    /// 17 by 11 in
    Tabloid,
    /// 210 by 297 mm
    A4,
    /// 420 by 297 mm
    A3,
}

/// What a page is written as.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum Form {
    /// For printing
    Pdf,
    /// For a browser or a drawing program
    Svg,
    /// For a phone
    Png,
}

impl Form {
    /// How its file names end.
    #[cfg(feature = "packet")]
    pub(crate) fn ending(self) -> &'static str {
        match self {
            Self::Pdf => "pdf",
            Self::Svg => "svg",
            Self::Png => "png",
        }
    }
}

/// How far the work is.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
#[value(rename_all = "snake_case")]
pub enum AtStage {
    /// Strings and corners set
    Strings,
    /// The sleeve poured in the wall
    Sleeve,
    /// Trench dug and bedded
    Dug,
    /// Fitted dry and marked
    DryFit,
    /// Glued
    Glued,
    /// Backfilled and tamped
    Backfilled,
    /// The morning of the pour
    Pour,
}

impl AtStage {
    pub(crate) fn stage(self) -> field::Stage {
        match self {
            Self::Strings => field::Stage::Strings,
            Self::Sleeve => field::Stage::Sleeve,
            Self::Dug => field::Stage::Dug,
            Self::DryFit => field::Stage::DryFit,
            Self::Glued => field::Stage::Glued,
            Self::Backfilled => field::Stage::Backfilled,
            Self::Pour => field::Stage::Pour,
        }
    }
}

/// How a list is printed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Format {
    /// To read.
    Text,
    /// A table.
    Csv,
    /// For other programs.
    Json,
}

impl Format {
    pub(crate) fn of(csv: bool, json: bool) -> Self {
        match (csv, json) {
            (_, true) => Self::Json,
            (true, false) => Self::Csv,
            (false, false) => Self::Text,
        }
    }
}

fn a_time(text: &str) -> Result<String, String> {
    match field::When::parse(text) {
        Some(when) => Ok(when.to_string()),
        None => Err("write it like 2026-06-03 08:10 or 2026-06-03".into()),
    }
}

/// By which code.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub enum Judge {
    /// International Residential Code
    Irc,
    /// International Plumbing Code
    Ipc,
    /// Uniform Plumbing Code
    Upc,
    /// All three
    All,
}

impl Judge {
    /// The one code meant; `None` for all.
    pub(crate) fn one(self) -> Option<Code> {
        match self {
            Self::Irc => Some(Code::Irc),
            Self::Ipc => Some(Code::Ipc),
            Self::Upc => Some(Code::Upc),
            Self::All => None,
        }
    }

    pub(crate) fn all(self) -> bool {
        self == Self::All
    }
}
