//! What can be typed: commands, options, and help that teaches.

use super::account_args::{ACCOUNT_HELP, AccountArgs};
use super::ledger_args::{
    ADVICE_HELP, AboutArgs, AdviceArgs, BACKUP_HELP, BackupArgs, CLIENT_HELP, CONSENT_HELP, CareArgs,
    ClientArgs, ConsentArgs, EXPORT_HELP, ExportArgs, FORECAST_HELP, FORGET_HELP, ForecastArgs, ForgetArgs,
    IMPORT_HELP, ImportArgs, LOG_HELP, LogArgs, PAIN_HELP, PUBLISH_HELP, PainArgs, PublishArgs, RESTORE_HELP,
    RETENTION_HELP, REVIEW_HELP, RestoreArgs, RetentionArgs, UNDO_HELP, UndoArgs,
};
use super::paper_args::{
    CALENDAR_HELP, CalendarArgs, DRAW_HELP, DrawArgs, REPORT_HELP, ReportArgs, SHEET_HELP, SheetArgs,
};
use crate::schemas::SchemaKind;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{ArgAction, Args, Parser, Subcommand, ValueEnum, ValueHint};
use clap_complete::Shell;
use setwright_model::brief::Place;
use setwright_model::limits::{ROADMAP_WEEKS_MAX, SETS_MAX};
use setwright_model::{MassUnit, Muscle, Pattern, Station};
use setwright_web::AddressHeader;
use std::path::PathBuf;

const EXAMPLES: &str = "\
Examples:
  setwright demo                               plan eight invented clients and print the roster
  setwright plan data/demo/busy_adult.toml     plan one client
  setwright curve data/demo/busy_adult.toml    what other minutes would bring the same client
  setwright roadmap data/demo/absolute_beginner.toml  how a beginner may grow over 16 weeks
  setwright audit old_sheet.csv                time, count and check a programme that exists
  setwright ramp \"bench press\" 80              the warm-up before 80 kg, with the discs to hang
  setwright log mara \"plank: 45 40\"       write down what was done
  setwright exercises row --muscle lats        look up the catalogue
  setwright explain SW007                      why a message says what it says

Exit codes: 0 done, 1 findings or no programme, 2 bad input or usage, 3 a mistake of the program,
4 busy (later it may be done), 5 the disk, the ledger or the machine is not as it must be.
Data goes to the standard output, talk to the standard error. NO_COLOR is respected.";

/// Writes, checks and times resistance-training programmes.
///
/// Setwright turns what a client brings (goal, time, equipment, limits, a few lifts: the brief) into a programme
/// for every session of a cycle, checked by rules that a good coach would insist on, with a statement of how
/// close to the best it is. It also checks programmes that exist.
#[derive(Debug, Parser)]
#[command(name = "setwright", version, after_long_help = EXAMPLES, max_term_width = 100)]
pub struct Cli {
    /// Show loads in kilograms or pounds (files keep kilograms).
    #[arg(long, global = true, value_enum, default_value = "kg")]
    pub units: Units,
    /// Keep the ledger in this file (else what the variable `SETWRIGHT_LEDGER` says, else where the platform keeps data).
    #[arg(long, global = true, value_name = "PATH", value_hint = ValueHint::FilePath)]
    pub ledger: Option<PathBuf>,
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The usual port (judgement: not one that is often taken).
pub const PORT: u16 = 8410;

/// What loads are shown and typed in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Units {
    /// Kilograms.
    #[default]
    Kg,
    /// Pounds.
    Lb,
}

impl From<Units> for MassUnit {
    fn from(units: Units) -> Self {
        match units {
            Units::Kg => Self::Kg,
            Units::Lb => Self::Lb,
        }
    }
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Plan a programme for a brief.
    #[command(after_long_help = PLAN_HELP)]
    Plan(PlanArgs),
    /// What shorter and longer sessions would bring the same client.
    #[command(after_long_help = CURVE_HELP)]
    Curve(CurveArgs),
    /// How sets, sessions and loads may grow over weeks, as bands.
    #[command(after_long_help = ROADMAP_HELP)]
    Roadmap(RoadmapArgs),
    /// Check a programme: time it, count it, say what a coach would refuse, and mend it.
    #[command(after_long_help = AUDIT_HELP)]
    Audit(AuditArgs),
    /// Draw a session, recovery, strength, doses, a curve or a roadmap, as SVG or as an image.
    #[command(after_long_help = DRAW_HELP)]
    Draw(DrawArgs),
    /// Print session sheets to train from and write on, as PDF.
    #[command(after_long_help = SHEET_HELP)]
    Sheet(SheetArgs),
    /// Print the report of a block, a whole programme, or an audit, as PDF.
    #[command(after_long_help = REPORT_HELP)]
    Report(ReportArgs),
    /// The sessions of a programme as a calendar file (iCalendar).
    #[command(after_long_help = CALENDAR_HELP)]
    Calendar(CalendarArgs),
    /// Add, change, list and show clients.
    #[command(after_long_help = CLIENT_HELP)]
    Client(ClientArgs),
    /// Write down what was done: one set, a session, soreness, body mass.
    #[command(after_long_help = LOG_HELP)]
    Log(LogArgs),
    /// Read a log from CSV or JSON lines; shows what it understood, and writes with --yes.
    #[command(after_long_help = IMPORT_HELP)]
    Import(ImportArgs),
    /// Take sets out as CSV, or every event as JSON lines.
    #[command(after_long_help = EXPORT_HELP)]
    Export(ExportArgs),
    /// What the log tells of a client: strength, growth, recovery, what is not yet known.
    #[command(after_long_help = REVIEW_HELP)]
    Review(AboutArgs),
    /// What to change, how sure that is, what it would bring; accept or decline.
    #[command(after_long_help = ADVICE_HELP)]
    Advice(AdviceArgs),
    /// Which muscle of a client is ready when.
    #[command(after_long_help = FORECAST_HELP)]
    Forecast(ForecastArgs),
    /// The coming session of a client, with loads.
    Next(AboutArgs),
    /// What hurts a client: report it, see what is left out because of it, answer it.
    #[command(after_long_help = PAIN_HELP)]
    Pain(PainArgs),
    /// All clients, the one who needs a look most first.
    Roster(CareArgs),
    /// Hand out a programme that passes the check, and keep it in the ledger.
    #[command(after_long_help = PUBLISH_HELP)]
    Publish(PublishArgs),
    /// Undo what was last written in one go.
    #[command(after_long_help = UNDO_HELP)]
    Undo(UndoArgs),
    /// What a client agreed to, and took back.
    #[command(after_long_help = CONSENT_HELP)]
    Consent(ConsentArgs),
    /// How long what is said of a client is kept, and who is due.
    #[command(after_long_help = RETENTION_HELP)]
    Retention(RetentionArgs),
    /// Forget a client who asks for it; shows what that would be, and does it with --yes.
    #[command(after_long_help = FORGET_HELP)]
    Forget(ForgetArgs),
    /// Examine the ledger and change nothing.
    Doctor(CareArgs),
    /// Reckon what stands anew from the log.
    Rebuild(CareArgs),
    /// Copy the ledger, with a checksum beside the copy.
    #[command(after_long_help = BACKUP_HELP)]
    Backup(BackupArgs),
    /// Bring a backup back to a place where no ledger is.
    #[command(after_long_help = RESTORE_HELP)]
    Restore(RestoreArgs),
    /// The warm-up before a work load, with the discs to hang.
    #[command(after_long_help = RAMP_HELP)]
    Ramp(RampArgs),
    /// The questions before training: what the answers mean.
    #[command(after_long_help = SCREEN_HELP)]
    Screen(ScreenArgs),
    /// Look up exercises: by words, muscle, station, pattern, place, skill; best value for the minute first.
    #[command(after_long_help = EXERCISES_HELP)]
    Exercises(ExercisesArgs),
    /// The JSON Schema of a kind of file.
    Schema(SchemaArgs),
    /// Why a code or a constant is there, and where it comes from.
    Explain(ExplainArgs),
    /// Who may come over a network: add, list, shut, sign out.
    #[command(after_long_help = ACCOUNT_HELP)]
    Account(AccountArgs),
    /// Serve the workbench to a browser on this machine.
    #[command(after_long_help = SERVE_HELP)]
    Serve(ServeArgs),
    /// Plan the eight invented clients of the demo roster, and look at them in a browser.
    #[command(after_long_help = DEMO_HELP)]
    Demo(DemoArgs),
    /// A completion script for a shell.
    #[command(after_long_help = COMPLETIONS_HELP)]
    Completions(CompletionsArgs),
}

impl Command {
    /// Whether the answer is for a program.
    pub const fn json(&self) -> bool {
        match self {
            Self::Plan(args) => args.json,
            Self::Client(args) => args.action.json(),
            Self::Account(args) => args.action.json(),
            Self::Log(args) => args.json,
            Self::Import(args) => args.json,
            Self::Export(args) => args.json,
            Self::Publish(args) => args.json,
            Self::Advice(args) => args.json,
            Self::Pain(args) => args.json,
            Self::Review(args) | Self::Next(args) => args.json,
            Self::Forecast(args) => args.about.json,
            Self::Undo(args) => args.json,
            Self::Forget(args) => args.json,
            Self::Consent(args) => args.json,
            Self::Retention(args) => args.json,
            Self::Doctor(args) | Self::Rebuild(args) | Self::Roster(args) => args.json,
            Self::Backup(args) => args.json,
            Self::Restore(args) => args.json,
            Self::Curve(args) => args.json,
            Self::Roadmap(args) => args.json,
            Self::Audit(args) => args.json,
            Self::Ramp(args) => args.json,
            Self::Screen(args) => args.json,
            Self::Exercises(args) => args.json,
            Self::Explain(args) => args.json,
            Self::Demo(args) => args.json,
            Self::Draw(_)
            | Self::Sheet(_)
            | Self::Report(_)
            | Self::Calendar(_)
            | Self::Schema(_)
            | Self::Completions(_)
            | Self::Serve(_) => false,
        }
    }
}

const PLAN_HELP: &str = "\
A brief is a small text file; docs/guide/first-brief.md shows how to write one in five minutes.

Examples:
  setwright plan data/demo/busy_adult.toml
  setwright plan mara.toml --out mara_programme.toml    keep the programme as a file to edit
  setwright plan mara.toml --after mara_programme.toml  the next block: keep what need not change
  setwright plan --from-ledger mara                     the same with what the log tells of the client
  setwright plan mara.toml --mode minutes               the fewest minutes for the doses of the brief
  setwright plan mara.toml --json                       for other programs

The last line says how good the programme is: its value in points, and the bound that nothing under the same \
rules passes. The same seed and moves give the same programme on any machine.";

/// How the search may work.
#[derive(Clone, Copy, Debug, Args)]
pub struct SearchArgs {
    /// What to reach for.
    #[arg(long, value_enum, default_value = "benefit")]
    pub mode: PlanMode,
    /// How long and from where.
    #[command(flatten)]
    pub effort: EffortArgs,
}

/// How long a search works and where it starts.
#[derive(Clone, Copy, Debug, Args)]
pub struct EffortArgs {
    /// Where chance starts; the same seed gives the same programme.
    #[arg(long, default_value_t = 1, value_name = "N")]
    pub seed: u64,
    /// Moves of the search; more may find a better programme.
    #[arg(long, default_value_t = setwright_coaching::plan::MOVES, value_name = "N", value_parser = clap::value_parser!(u64).range(1..=100_000_000))]
    pub moves: u64,
    /// Outer limit of time; when it ends the search, the answer may differ from machine to machine.
    #[arg(long, default_value_t = setwright_coaching::plan::SECONDS, value_name = "S", value_parser = seconds)]
    pub seconds: f64,
}

/// What to reach for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum PlanMode {
    /// The most benefit within the minutes.
    Benefit,
    /// The fewest minutes that give the least sets of the brief.
    Minutes,
}

fn seconds(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(s) if s.is_finite() && (0.1..=86_400.0).contains(&s) => Ok(s),
        _ => Err("a number of seconds from 0.1 to 86400".to_owned()),
    }
}

/// Arguments of `plan`.
#[derive(Debug, Args)]
pub struct PlanArgs {
    /// The client's brief, a TOML file ("-" reads the standard input).
    #[arg(value_hint = ValueHint::FilePath, required_unless_present = "from_ledger")]
    pub brief: Option<PathBuf>,
    /// Plan with what the log tells of this client, after the programme in force; the brief is the one in force
    /// unless a file is given.
    #[arg(long, value_name = "CLIENT")]
    pub from_ledger: Option<String>,
    /// With --from-ledger: start from what the other clients have in common, not from the population.
    #[arg(long, requires = "from_ledger")]
    pub from_roster: bool,
    /// The programme that this one follows, as TOML or a sheet: what need not change is kept, and what changes is
    /// told with its reason.
    #[arg(long, value_name = "PROGRAMME", value_hint = ValueHint::FilePath)]
    pub after: Option<PathBuf>,
    /// How the search may work.
    #[command(flatten)]
    pub search: SearchArgs,
    /// Write the programme to this file as well, as TOML that audit reads and a coach can edit.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<PathBuf>,
    /// Hand the programme out to this client: keep it and the brief in the ledger.
    #[arg(long, value_name = "CLIENT")]
    pub publish: Option<String>,
    /// Print one JSON object (setwright schema answer shows its form).
    #[arg(long)]
    pub json: bool,
}

const CURVE_HELP: &str = "\
Plans the same brief with shorter and longer sessions (all of them by the same minutes) and shows what each step \
costs or brings. For one programme and the reasons behind it there is setwright plan.

Examples:
  setwright curve data/demo/busy_adult.toml
  setwright curve mara.toml --moves 5000000     search longer at every point
  setwright curve mara.toml --json              for other programs; setwright schema curve shows its form

The point at the brief's own minutes is searched as plan begins with the same seed and moves; each other point \
begins from its neighbours and gets half of the moves. Exit code 1 when the brief's own minutes hold no programme.";

/// Arguments of `curve`.
#[derive(Debug, Args)]
pub struct CurveArgs {
    /// The client's brief, a TOML file ("-" reads the standard input).
    #[arg(value_hint = ValueHint::FilePath)]
    pub brief: PathBuf,
    /// How long and from where.
    #[command(flatten)]
    pub effort: EffortArgs,
    /// Print one JSON object (setwright schema curve shows its form).
    #[arg(long)]
    pub json: bool,
}

const ROADMAP_HELP: &str = "\
A beginner's steps are those of common practice: one set of each of six movements twice a week, then two, then 20 to \
25 sets a session, then a third and a fourth day as far as the brief has days. Others get one set more of each \
movement in every block of four weeks. Each step is planned after the one before and passes the check; how soon it is \
reached, and with what loads, is simulated and shown as a band.

Examples:
  setwright roadmap data/demo/absolute_beginner.toml
  setwright roadmap mara.toml --weeks 60              as far as the third and the fourth day
  setwright roadmap mara.toml --trained 10            ten weeks of training are behind
  setwright roadmap mara.toml --tolerated 3           three sets of a movement were tolerated
  setwright roadmap mara.toml --json                  for other programs; setwright schema roadmap shows its form

The same seed and moves give the same roadmap on any machine. Exit code 1 when a step has no programme.";

/// Arguments of `roadmap`.
#[derive(Debug, Args)]
pub struct RoadmapArgs {
    /// The client's brief, a TOML file ("-" reads the standard input).
    #[arg(value_hint = ValueHint::FilePath, required_unless_present = "from_ledger")]
    pub brief: Option<PathBuf>,
    /// Begin with the strength that the log tells of this client; the brief is the one in force unless a file is given.
    #[arg(long, value_name = "CLIENT")]
    pub from_ledger: Option<String>,
    /// With --from-ledger: start from what the other clients have in common, not from the population.
    #[arg(long, requires = "from_ledger")]
    pub from_roster: bool,
    /// Weeks ahead.
    #[arg(long, default_value_t = 16, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=i64::from(ROADMAP_WEEKS_MAX)))]
    pub weeks: u32,
    /// Weeks of steady training behind; else what the training age of the brief says.
    #[arg(long, value_name = "WEEKS", value_parser = trained)]
    pub trained: Option<f64>,
    /// Sets of a movement that were tolerated lately, for who is no beginner.
    #[arg(long, value_name = "SETS", value_parser = clap::value_parser!(u32).range(1..=i64::from(SETS_MAX)))]
    pub tolerated: Option<u32>,
    /// Where chance starts; the same seed gives the same roadmap.
    #[arg(long, default_value_t = 1, value_name = "N")]
    pub seed: u64,
    /// Moves of the search for each programme.
    #[arg(long, default_value_t = setwright_coaching::roadmap::MOVES, value_name = "N", value_parser = clap::value_parser!(u64).range(1..=100_000_000))]
    pub moves: u64,
    /// Outer limit of time for all programmes; when it ends a search, the answer may differ from machine to machine.
    #[arg(long, default_value_t = setwright_coaching::plan::SECONDS, value_name = "S", value_parser = seconds)]
    pub seconds: f64,
    /// Print one JSON object (setwright schema roadmap shows its form).
    #[arg(long)]
    pub json: bool,
}

fn trained(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(weeks) if weeks.is_finite() && (0.0..=5_000.0).contains(&weeks) => Ok(weeks),
        _ => Err("a number of weeks from 0 to 5000".to_owned()),
    }
}

const AUDIT_HELP: &str = "\
Reads a programme in TOML (as plan --out writes it) or a sheet saved as CSV with these columns in any order:

  day, block, exercise, sets, reps, RIR, load, rest
  1,   A1,    bench press, 3, 8-12, 2, 60 kg, 90 s

Rows with the same letter are one block: A1 and A2 alternate. docs/guide/spreadsheet.md says more. Without a \
brief only what needs none is judged. Exit code 1 when there is a warning or an error.

Examples:
  setwright audit old_sheet.csv
  setwright audit old_sheet.csv --brief mara.toml
  setwright audit old_sheet.csv --mend mended.toml      keep the mended programme";

/// Arguments of `audit`.
#[derive(Debug, Args)]
pub struct AuditArgs {
    /// The programme: TOML, or a sheet saved as CSV ("-" reads the standard input).
    #[arg(value_hint = ValueHint::FilePath)]
    pub programme: PathBuf,
    /// The client's brief, to judge the programme by.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub brief: Option<PathBuf>,
    /// Days until a sheet repeats (5 to 14); a week when neither this nor a brief says.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(5..=14))]
    pub cycle_days: Option<u32>,
    /// Write the mended programme to this file, as TOML.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub mend: Option<PathBuf>,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

const RAMP_HELP: &str = "\
Examples:
  setwright ramp \"bench press\" 80                       three steps, with the discs for each side
  setwright ramp \"back squat\" 225 --units lb
  setwright ramp \"overhead press\" 40 --after \"bench press\"   what is warm already needs less

The work sets are 8 reps with 2 in reserve unless --reps and --rir say otherwise. Discs and bar are those of a \
usual gym unless --brief brings the client's own.";

/// Arguments of `ramp`.
#[derive(Debug, Args)]
pub struct RampArgs {
    /// The exercise by name.
    pub exercise: String,
    /// The work load: a number, or one with its unit (60, "60 kg", "135 lb").
    pub load: String,
    /// Reps of the work sets.
    #[arg(long, default_value_t = 8, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=60))]
    pub reps: u32,
    /// Reps in reserve of the work sets.
    #[arg(long, default_value_t = 2, value_name = "N", value_parser = clap::value_parser!(u32).range(0..=10))]
    pub rir: u32,
    /// Exercises done before in the same session (may be given more than once).
    #[arg(long, value_name = "EXERCISE", action = ArgAction::Append)]
    pub after: Vec<String>,
    /// The client's brief, for the bar, the discs and the dumbbells there are.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub brief: Option<PathBuf>,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

const SCREEN_HELP: &str = "\
On a terminal the questions that are left open are asked. Elsewhere all four must be answered:

  setwright screen --active no --known-disease no --signs no --other no

Nothing is diagnosed: the outcome says whether training may start, and how hard. Exit code 1 when it may not. \
A brief keeps the answers under [screening].";

/// Arguments of `screen`.
#[derive(Clone, Debug, Args)]
pub struct ScreenArgs {
    /// Planned exercise on three days a week for the last three months?
    #[arg(long, value_name = "yes|no", value_parser = yes_no())]
    pub active: Option<bool>,
    /// A known disease of heart, vessels, metabolism or kidneys?
    #[arg(long, value_name = "yes|no", value_parser = yes_no())]
    pub known_disease: Option<bool>,
    /// Any of the warning signs (the questions list them)?
    #[arg(long, value_name = "yes|no", value_parser = yes_no())]
    pub signs: Option<bool>,
    /// Pain, a pregnancy, a recent operation or injury, another illness?
    #[arg(long, value_name = "yes|no", value_parser = yes_no())]
    pub other: Option<bool>,
    /// Has a clinician cleared the client for this training?
    #[arg(long, value_name = "yes|no", value_parser = yes_no())]
    pub cleared: Option<bool>,
    /// Keep the answers in the ledger as this client's; plans from the ledger go by them.
    #[arg(long, value_name = "CLIENT")]
    pub client: Option<String>,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

fn yes_no() -> impl TypedValueParser<Value = bool> {
    PossibleValuesParser::new(["yes", "no"]).map(|s| s == "yes")
}

const EXERCISES_HELP: &str = "\
Examples:
  setwright exercises press                            by words of a name
  setwright exercises --muscle lats --place garage     what can be done there
  setwright exercises --pattern hinge --skill 2        nothing that takes months to learn

The second column is the value of a minute: fractional sets of all muscles together (1 direct, 0.5 or 0.25 \
indirect) in three straight sets with the usual reps and rest, divided by the minutes they take, set-up \
included. An exercise that trains much in little time comes first; it says nothing of what a client needs.";

/// Arguments of `exercises`.
#[derive(Debug, Args)]
pub struct ExercisesArgs {
    /// Words of a name, pattern, muscle or station.
    pub words: Vec<String>,
    /// Trains this muscle directly (may be given more than once).
    #[arg(long, value_name = "MUSCLE", hide_possible_values = true, value_parser = muscle())]
    pub muscle: Vec<Muscle>,
    /// Uses this station (may be given more than once).
    #[arg(long, value_name = "STATION", hide_possible_values = true, value_parser = station())]
    pub station: Vec<Station>,
    /// Is of this movement pattern (more than one: any of them).
    #[arg(long, value_name = "PATTERN", hide_possible_values = true, value_parser = pattern())]
    pub pattern: Vec<Pattern>,
    /// Can be done in such a place.
    #[arg(long, value_enum)]
    pub place: Option<PlaceArg>,
    /// Highest skill: 1 anyone, 2 some coaching, 3 months of it.
    #[arg(long, value_name = "1-3", value_parser = clap::value_parser!(u8).range(1..=3))]
    pub skill: Option<u8>,
    /// Sort by name instead of value for the minute.
    #[arg(long)]
    pub by_name: bool,
    /// Show at most so many.
    #[arg(long, value_name = "N")]
    pub limit: Option<usize>,
    /// Print a JSON list with all that is known of each.
    #[arg(long)]
    pub json: bool,
}

/// A parser of identifiers that offers the near ones when a word is misspelt.
fn one_of<T: Clone + Send + Sync + 'static>(all: Vec<(&'static str, T)>) -> impl TypedValueParser<Value = T> {
    let ids: Vec<&'static str> = all.iter().map(|(id, _)| *id).collect();
    PossibleValuesParser::new(ids).try_map(move |word| {
        let found = all.iter().find(|(id, _)| *id == word).map(|(_, value)| value.clone());
        found.ok_or_else(|| format!("no such word: {word}"))
    })
}

fn muscle() -> impl TypedValueParser<Value = Muscle> {
    one_of(Muscle::ALL.into_iter().map(|m| (m.id(), m)).collect())
}

fn station() -> impl TypedValueParser<Value = Station> {
    one_of(Station::ALL.iter().map(|s| (s.id(), *s)).collect())
}

fn pattern() -> impl TypedValueParser<Value = Pattern> {
    one_of(Pattern::ALL.iter().map(|p| (p.id(), *p)).collect())
}

/// A ready-made list of stations.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
#[value(rename_all = "snake_case")]
pub enum PlaceArg {
    /// The floor, a chair and a step.
    Bare,
    /// Home with dumbbells and bands.
    HomeDumbbells,
    /// Rack, bar, bench, dumbbells, pull-up bar.
    Garage,
    /// Everything.
    FullGym,
}

impl From<PlaceArg> for Place {
    fn from(place: PlaceArg) -> Self {
        match place {
            PlaceArg::Bare => Self::Bare,
            PlaceArg::HomeDumbbells => Self::HomeDumbbells,
            PlaceArg::Garage => Self::Garage,
            PlaceArg::FullGym => Self::FullGym,
        }
    }
}

/// Arguments of `schema`.
#[derive(Clone, Copy, Debug, Args)]
pub struct SchemaArgs {
    /// Which kind of file.
    #[arg(value_enum)]
    pub kind: SchemaKind,
}

/// Arguments of `explain`.
#[derive(Debug, Args)]
pub struct ExplainArgs {
    /// A code such as SW007, or the name of a constant; all are listed when it is left out.
    pub topic: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

const SERVE_HELP: &str = "\
Examples:
  setwright serve                     the ledger, on port 8410
  setwright serve --port 0            on any port that is free; the address is printed
  setwright serve --listen 0.0.0.0:8410 --cert gym.pem --key gym.key   to a network, for those who have an account

Without --listen the pages answer on this machine alone, and nobody signs in. docs/guide/network.md says how to open \
them to a network. Ctrl-C ends it; what was answered is kept.";

/// Arguments of `serve`.
#[derive(Clone, Debug, Args)]
pub struct ServeArgs {
    /// The port; 0 for any that is free.
    #[arg(long, value_name = "N", default_value_t = PORT)]
    pub port: u16,
    /// Do not open a browser.
    #[arg(long)]
    pub no_open: bool,
    /// Listen here, on a network: needs a certificate and an account.
    #[arg(long, value_name = "ADDRESS:PORT", conflicts_with = "port")]
    pub listen: Option<std::net::SocketAddr>,
    /// The certificate with its chain, as PEM.
    #[arg(long, value_name = "FILE", requires = "listen", value_hint = ValueHint::FilePath)]
    pub cert: Option<PathBuf>,
    /// The certificate's private key, as PEM.
    #[arg(long, value_name = "FILE", requires = "listen", value_hint = ValueHint::FilePath)]
    pub key: Option<PathBuf>,
    /// A proxy in front of this, which says whom it asks for; nobody else's word is taken for that.
    #[arg(long, value_name = "ADDRESS", requires = "listen")]
    pub proxy: Vec<std::net::IpAddr>,
    /// The header in which the proxy says so.
    #[arg(long, value_name = "HEADER", requires = "proxy", value_enum, default_value_t)]
    pub address_in: AddressIn,
}

/// A header in which a proxy says whom it asks for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum AddressIn {
    /// As most proxies write it.
    #[default]
    XForwardedFor,
    /// As RFC 7239 has it.
    Forwarded,
}

impl From<AddressIn> for AddressHeader {
    fn from(header: AddressIn) -> Self {
        match header {
            AddressIn::XForwardedFor => Self::XForwardedFor,
            AddressIn::Forwarded => Self::Forwarded,
        }
    }
}

const DEMO_HELP: &str = "\
Examples:
  setwright demo             print the roster with its programmes, then serve it with six months of invented logs
  setwright demo --print     print and stop
  setwright demo --client Bram --print

The logs are made up by the program, in a ledger in a temporary folder that is gone afterwards.";

/// Arguments of `demo`.
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// Plan only this client (by name).
    #[arg(long, value_name = "NAME")]
    pub client: Option<String>,
    /// How the search may work.
    #[command(flatten)]
    pub search: SearchArgs,
    /// Print a JSON list, one answer for each client, and stop.
    #[arg(long)]
    pub json: bool,
    /// Print and stop.
    #[arg(long)]
    pub print: bool,
    /// The port; 0 for any that is free.
    #[arg(long, value_name = "N", default_value_t = PORT)]
    pub port: u16,
    /// Do not open a browser.
    #[arg(long)]
    pub no_open: bool,
}

const COMPLETIONS_HELP: &str = "\
Examples:
  setwright completions bash > ~/.local/share/bash-completion/completions/setwright
  setwright completions zsh > ~/.zfunc/_setwright
  setwright completions fish > ~/.config/fish/completions/setwright.fish";

/// Arguments of `completions`.
#[derive(Clone, Copy, Debug, Args)]
pub struct CompletionsArgs {
    /// Which shell.
    #[arg(value_enum)]
    pub shell: Shell,
}
