//! What can be typed to the commands that draw and print.

use clap::{Args, ValueEnum, ValueHint};
use setwright_model::ledger::Date;
use setwright_model::limits::ROADMAP_WEEKS_MAX;
use setwright_paper::pdf::Paper;
use setwright_present::calendar;
use std::path::PathBuf;

/// Help of `draw`.
pub const DRAW_HELP: &str = "\
Kinds, and what they are drawn from:
  lanes, doses      a programme (a file, judged by --brief if there is one), or a client's programme in force
  strip, strength   a client of the ledger
  curve, roadmap    a brief (a file), or a client's brief in force; both plan, which takes a while

Examples:
  setwright draw lanes mara_programme.toml --brief mara.toml --session 2 > session.svg
  setwright draw strip mara --out strip.svg
  setwright draw strength mara --exercise \"bench press\" --out bench.png
  setwright draw roadmap data/demo/absolute_beginner.toml --weeks 16 --png roadmap.png

Without --out or --png the drawing goes to the standard output as SVG. A file that ends in .png is an image of two \
pixels to a unit. Typefaces are carried along; nothing else is needed.";

/// Whom or what a paper is about.
#[derive(Debug, Args)]
pub struct WhomArgs {
    /// A client of the ledger, or a file: a programme (TOML or a sheet), or a brief where the kind asks for one.
    #[arg(value_name = "CLIENT|FILE", value_hint = ValueHint::FilePath)]
    pub whom: String,
    /// The client's brief, when a programme is given as a file.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub brief: Option<PathBuf>,
    /// Days until a sheet repeats (5 to 14); a week when neither this nor a brief says.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(5..=14))]
    pub cycle_days: Option<u32>,
}

/// What is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum DrawKind {
    /// A session on a time axis.
    Lanes,
    /// Muscles over days: doses, and when each is ready.
    Strip,
    /// Strength in an exercise over the log.
    Strength,
    /// Sets a week by muscle against the brief.
    Doses,
    /// Minutes against benefit.
    Curve,
    /// Sets, sessions and loads over the coming weeks.
    Roadmap,
}

/// Arguments of `draw`.
#[derive(Debug, Args)]
pub struct DrawArgs {
    /// What to draw.
    #[arg(value_enum)]
    pub kind: DrawKind,
    /// Of whom.
    #[command(flatten)]
    pub of: WhomArgs,
    /// Which session of the programme, from 1 (lanes).
    #[arg(long, default_value_t = 1, value_name = "N")]
    pub session: usize,
    /// Which exercise (strength); the one done most often when this is not given.
    #[arg(long, value_name = "NAME")]
    pub exercise: Option<String>,
    /// Weeks ahead (roadmap).
    #[arg(long, default_value_t = 16, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=i64::from(ROADMAP_WEEKS_MAX)))]
    pub weeks: u32,
    /// Width of the drawing.
    #[arg(long, default_value_t = 900, value_name = "UNITS", value_parser = clap::value_parser!(u32).range(320..=4000))]
    pub width: u32,
    /// Write to this file: an image where it ends in .png, else SVG.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<PathBuf>,
    /// Write an image to this file, whatever its name.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub png: Option<PathBuf>,
}

/// Help of `sheet`.
pub const SHEET_HELP: &str = "\
Examples:
  setwright sheet mara --out mara.pdf                          the coming session, with loads as the log tells today
  setwright sheet mara --sessions 12 --out mara.pdf            the coming twelve, dated, with the programme's loads
  setwright sheet mara_programme.toml --brief mara.toml --out mara.pdf    all sessions of a programme in a file
  setwright sheet old_sheet.csv --session 2 --paper letter --out two.pdf
  setwright sheet mara_programme.toml --sessions 200 --from 2026-12-01 --out year.pdf

Each session has its own page: what to lift and hang in large type, a field for every set to write load, reps and how \
many were left, and the caution. Type becomes smaller where a session has many blocks, but stays readable at arm's \
length; what then does not fit goes overleaf.";

/// Arguments of `sheet`.
#[derive(Debug, Args)]
pub struct SheetArgs {
    /// Of whom.
    #[command(flatten)]
    pub of: WhomArgs,
    /// This session of the cycle alone, from 1.
    #[arg(long, value_name = "N", conflicts_with_all = ["all", "sessions"])]
    pub session: Option<usize>,
    /// All sessions of the cycle, to date by hand.
    #[arg(long, conflicts_with = "sessions")]
    pub all: bool,
    /// So many sessions in order, the cycle over and over.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=setwright_present::sheets::SHEETS_MAX as i64))]
    pub sessions: Option<u32>,
    /// The day of the first of them; for a client, the day the coming session is due unless this is given.
    #[arg(long, value_name = "DATE", requires = "sessions")]
    pub from: Option<Date>,
    /// How it is printed.
    #[command(flatten)]
    pub print: PrintArgs,
}

/// Paper, and where to put it.
#[derive(Debug, Args)]
pub struct PrintArgs {
    /// Size of the paper.
    #[arg(long, value_enum, default_value = "a4")]
    pub paper: PaperSize,
    /// Write the PDF to this file.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: PathBuf,
}

/// A size of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PaperSize {
    /// 210 by 297 mm.
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

impl From<PaperSize> for Paper {
    fn from(size: PaperSize) -> Self {
        match size {
            PaperSize::A4 => Self::A4,
            PaperSize::Letter => Self::Letter,
        }
    }
}

/// Help of `report`.
pub const REPORT_HELP: &str = "\
Kinds, and what they are made of:
  block       a client of the ledger: what was done, what grew, what recovers how fast, what is next, for the client to read
  programme   a programme (a file, judged by --brief if there is one), or a client's programme in force: the cycle, each
              session, doses against the brief, what was found
  audit       a programme in a file: what was understood, minutes, findings, the smallest change that helps

Examples:
  setwright report block mara --out mara_november.pdf
  setwright report block mara --since 2026-10-01 --paper letter --out mara.pdf
  setwright report programme mara_programme.toml --brief mara.toml --out programme.pdf
  setwright report audit old_sheet.csv --brief mara.toml --out audit.pdf

The caution stands in every report.";

/// What a report is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ReportKind {
    /// A block of training, for the client.
    Block,
    /// A whole programme.
    Programme,
    /// The audit of a programme in a file.
    Audit,
}

/// Arguments of `report`.
#[derive(Debug, Args)]
pub struct ReportArgs {
    /// What it is about.
    #[arg(value_enum)]
    pub kind: ReportKind,
    /// Of whom.
    #[command(flatten)]
    pub of: WhomArgs,
    /// First day of the block (block); when the programme in force was handed out, unless that is under two weeks ago.
    #[arg(long, value_name = "DATE")]
    pub since: Option<Date>,
    /// How it is printed.
    #[command(flatten)]
    pub print: PrintArgs,
}

/// Help of `calendar`.
pub const CALENDAR_HELP: &str = "\
Examples:
  setwright calendar mara --at 18:00 --zone Europe/Zurich > mara.ics
  setwright calendar mara --weeks 26 --out mara.ics
  setwright calendar mara_programme.toml --brief mara.toml --from 2026-12-01 --at 06:30 --out mara.ics

An entry a session, repeated every so many days as the cycle has, at the same hour of the clock in summer and winter. \
Import a later file for the same client again, and the entries change; none is added. What was answered before training is not in it, \
but the caution is.";

/// Arguments of `calendar`.
#[derive(Debug, Args)]
pub struct CalendarArgs {
    /// Of whom.
    #[command(flatten)]
    pub of: WhomArgs,
    /// The day of the first session; for a client, the day the coming session is due unless this is given.
    #[arg(long, value_name = "DATE")]
    pub from: Option<Date>,
    /// The hour at which sessions begin.
    #[arg(long, value_name = "HH:MM", default_value = "18:00", value_parser = hour)]
    pub at: u32,
    /// Whose clock: a name of the tz database (else this machine's).
    #[arg(long, value_name = "ZONE")]
    pub zone: Option<String>,
    /// Weeks.
    #[arg(long, value_name = "N", default_value_t = calendar::WEEKS, value_parser = clap::value_parser!(u32).range(1..=i64::from(calendar::WEEKS_MAX)))]
    pub weeks: u32,
    /// Write to this file, not to the standard output.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<PathBuf>,
}

fn hour(text: &str) -> Result<u32, String> {
    calendar::hour(text).ok_or_else(|| "an hour such as 18:00".to_owned())
}
