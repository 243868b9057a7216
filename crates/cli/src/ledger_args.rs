//! What can be typed to the commands that keep the ledger.

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, Subcommand, ValueEnum, ValueHint};
use setwright_model::ledger::{Date, Purpose};
use setwright_model::person::{BodyPart, BodySide};
use std::path::PathBuf;

/// Help of `client`.
pub const CLIENT_HELP: &str = "\
Examples:
  setwright client add Mara --brief mara.toml
  setwright client list
  setwright client show mara
  setwright client change mara --brief mara_spring.toml --reason \"two days from April\"

A client is meant by the name in any case, or by the beginning of it when no other begins so.";

/// Arguments of `client`.
#[derive(Debug, Args)]
pub struct ClientArgs {
    /// What to do.
    #[command(subcommand)]
    pub action: ClientAction,
}

/// What to do with clients.
#[derive(Debug, Subcommand)]
pub enum ClientAction {
    /// Add a client; the ledger is begun if there is none.
    Add(ClientAddArgs),
    /// Change the name, the brief, or whether the client still trains.
    Change(ClientChangeArgs),
    /// List all clients.
    List(CareArgs),
    /// Show one client: brief, programme, last sessions.
    Show(ClientShowArgs),
}

impl ClientAction {
    /// Whether the answer is for a program.
    pub const fn json(&self) -> bool {
        match self {
            Self::Add(args) => args.json,
            Self::Change(args) => args.json,
            Self::List(args) => args.json,
            Self::Show(args) => args.json,
        }
    }
}

/// Arguments of `client add`.
#[derive(Debug, Args)]
pub struct ClientAddArgs {
    /// What the client is called.
    pub name: String,
    /// The client's brief, a TOML file.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub brief: Option<PathBuf>,
    /// A sentence for people.
    #[arg(long, value_name = "TEXT", default_value = "")]
    pub about: String,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `client change`.
#[derive(Debug, Args)]
pub struct ClientChangeArgs {
    /// Which client.
    pub client: String,
    /// Another name.
    #[arg(long, value_name = "NAME")]
    pub name: Option<String>,
    /// Another sentence for people.
    #[arg(long, value_name = "TEXT")]
    pub about: Option<String>,
    /// Another brief, a TOML file.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub brief: Option<PathBuf>,
    /// The client trains no more.
    #[arg(long, conflicts_with = "back")]
    pub away: bool,
    /// The client trains again.
    #[arg(long)]
    pub back: bool,
    /// Why.
    #[arg(long, value_name = "TEXT")]
    pub reason: Option<String>,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `client show`.
#[derive(Debug, Args)]
pub struct ClientShowArgs {
    /// Which client.
    pub client: String,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Help of `log`.
pub const LOG_HELP: &str = "\
A line is an exercise, a load and sets. 8+2 is eight reps with two left in reserve; 8 alone leaves that open:

  setwright log mara \"bench press: 80 kg for 8+2 8+1 7+0\"
  setwright log mara \"squat: warm 60 kg for 5; 100 kg for 3 of 5+3\" \"pull-up: body+5 kg for 6+1 5+0\"
  setwright log mara \"sore: quads 4, chest 2\" \"weighs: 71.4 kg\" \"note: slept badly\"
  setwright log mara \"deload: 2026-11-16 to 2026-11-22\" \"ill: yesterday\"
  setwright log mara --day yesterday --at 18:05 \"plank: 45 40\"
  setwright log mara --file week.txt      lines from a file; day: 2026-11-25 18:05 begins a session
  setwright log mara --correct 1a2b3c4d \"bench press: 80 kg for 6+1\"

Sets of one day go into one session unless day: names an hour. docs/guide/logging.md says more; \
setwright undo takes back what was last written.";

/// Arguments of `log`.
#[derive(Debug, Args)]
pub struct LogArgs {
    /// Which client.
    pub client: String,
    /// What was done, one exercise each.
    pub lines: Vec<String>,
    /// Read lines from this file as well ("-" reads the standard input).
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub file: Option<PathBuf>,
    /// The day it was done: 2026-11-25, today, yesterday.
    #[arg(long, value_name = "DAY")]
    pub day: Option<String>,
    /// The time of day: 18:05.
    #[arg(long, value_name = "HH:MM")]
    pub at: Option<String>,
    /// Correct the set whose identifier ends so, instead of logging another.
    #[arg(long, value_name = "SET", conflicts_with_all = ["file", "day", "at"])]
    pub correct: Option<String>,
    /// Why it is corrected.
    #[arg(long, value_name = "TEXT", requires = "correct")]
    pub reason: Option<String>,
    /// The client says so, not the coach.
    #[arg(long)]
    pub by_client: bool,
    /// Show what was understood and write nothing.
    #[arg(long)]
    pub dry_run: bool,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Help of `import`.
pub const IMPORT_HELP: &str = "\
Reads a sheet saved as CSV, one set a row, with these columns in any order:

  date, time, client, exercise, kind, load, unit, reps, rir, sets, note

date, exercise and reps must be there. Or JSON lines, as setwright export --format jsonl writes them. First it \
shows what it understood; with --yes it writes all of it, or nothing when something is wrong. Importing the same \
file again changes nothing. docs/guide/importing.md says more.

Examples:
  setwright import old_log.csv --client mara            what was understood
  setwright import old_log.csv --client mara --yes      write it
  setwright import old_log.csv --dates month-first      when 03/04/2026 is the fourth of March";

/// Which of day and month comes first in dates with strokes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Dates {
    /// 25/11/2026.
    DayFirst,
    /// 11/25/2026.
    MonthFirst,
}

/// Arguments of `import`.
#[derive(Debug, Args)]
pub struct ImportArgs {
    /// The log: CSV or JSON lines ("-" reads the standard input).
    #[arg(value_hint = ValueHint::FilePath)]
    pub file: PathBuf,
    /// Whose log it is, when the file has no column for it; added if not in the ledger.
    #[arg(long, value_name = "NAME")]
    pub client: Option<String>,
    /// How dates with strokes are read, when the file leaves that open.
    #[arg(long, value_enum)]
    pub dates: Option<Dates>,
    /// Write what was understood.
    #[arg(long)]
    pub yes: bool,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Help of `advice`.
pub const ADVICE_HELP: &str = "\
Examples:
  setwright advice mara
  setwright advice mara --accept chest-sessions
  setwright advice mara --decline bench_press-load --reason \"shoulder is grumbling\"
  setwright advice mara --later quads-sets --days 14

Nothing is said below a probability of 0.8. What was answered is not said again for four weeks;
what was put off comes back after the days that were named, or a week.";

/// Arguments of `advice`.
#[derive(Debug, Args)]
pub struct AdviceArgs {
    /// Which client.
    pub client: String,
    /// Accept this piece of advice.
    #[arg(long, value_name = "KEY")]
    pub accept: Option<String>,
    /// Decline this piece of advice.
    #[arg(long, value_name = "KEY", conflicts_with = "accept")]
    pub decline: Option<String>,
    /// Put this piece of advice off.
    #[arg(long, value_name = "KEY", conflicts_with_all = ["accept", "decline"])]
    pub later: Option<String>,
    /// For how many days, 7 when absent.
    #[arg(long, value_name = "N", requires = "later", value_parser = clap::value_parser!(u32).range(1..=90))]
    pub days: Option<u32>,
    /// Why.
    #[arg(long, value_name = "TEXT")]
    pub reason: Option<String>,
    /// Start from what the other clients of the ledger have in common, not from the population.
    #[arg(long)]
    pub from_roster: bool,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Help of `pain`.
pub const PAIN_HELP: &str = "\
Examples:
  setwright pain mara                                      what was reported and what was answered
  setwright pain mara --report knee --side left --exercise \"back squat\" --words sharp
  setwright pain mara --leave-out 1f2e3d4c                 the movement and what is near it stay out
  setwright pain mara --train-again 1f2e3d4c --reason \"painless at the empty bar\"

Until somebody answers, the movement and what is near it are out of the coming sessions. Who answered is kept. \
This is no diagnosis: pain that stays, or comes back three times in four weeks, is for a clinician.";

/// Arguments of `pain`.
#[derive(Debug, Args)]
pub struct PainArgs {
    /// Which client.
    pub client: String,
    /// Report that this place hurts.
    #[arg(long, value_name = "PLACE", value_parser = body_part())]
    pub report: Option<BodyPart>,
    /// On which side.
    #[arg(long, value_name = "SIDE", requires = "report", value_parser = body_side())]
    pub side: Option<BodySide>,
    /// The exercise at which it was felt.
    #[arg(long, value_name = "NAME", requires = "report")]
    pub exercise: Option<String>,
    /// How it feels.
    #[arg(long, value_name = "TEXT", requires = "report")]
    pub words: Option<String>,
    /// Answer this report: the movement and what is near it stay out.
    #[arg(long, value_name = "REPORT", conflicts_with = "report")]
    pub leave_out: Option<String>,
    /// Answer this report: the movement is trained again.
    #[arg(long, value_name = "REPORT", conflicts_with_all = ["report", "leave_out"])]
    pub train_again: Option<String>,
    /// Why.
    #[arg(long, value_name = "TEXT")]
    pub reason: Option<String>,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Reads a part of the body by its identifier.
fn body_part() -> impl TypedValueParser<Value = BodyPart> {
    PossibleValuesParser::new(BodyPart::ALL.iter().map(|part| part.id()))
        .map(|id| BodyPart::ALL.iter().copied().find(|part| part.id() == id).unwrap_or(BodyPart::NotSure))
}

/// Reads a side of the body by its identifier.
fn body_side() -> impl TypedValueParser<Value = BodySide> {
    PossibleValuesParser::new(BodySide::ALL.iter().map(|side| side.id()))
        .map(|id| BodySide::ALL.iter().copied().find(|side| side.id() == id).unwrap_or(BodySide::Both))
}

/// Help of `review`.
pub const REVIEW_HELP: &str = "\
Examples:
  setwright review mara
  setwright forecast mara       which muscle is ready when
  setwright next mara           the coming session with loads
  setwright roster              all clients, who needs a look first

Every number comes with the interval that holds nine cases in ten. What the log cannot tell yet is marked: it is \
the population's value, or it was never seen.";

/// A client to be told about.
#[derive(Debug, Args)]
pub struct AboutArgs {
    /// Which client.
    pub client: String,
    /// Start from what the other clients of the ledger have in common, not from the population.
    #[arg(long)]
    pub from_roster: bool,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Help of `forecast`.
pub const FORECAST_HELP: &str = "\
Examples:
  setwright forecast mara
  setwright forecast mara --learn              other days that would teach more of how fast she recovers
  setwright forecast mara --learn --within 2

--learn offers days and moves nothing. It never offers a day on which a muscle that is trained hard is expected to \
lack more than 6 % of its strength.";

/// Arguments of `forecast`.
#[derive(Debug, Args)]
pub struct ForecastArgs {
    /// Which client.
    #[command(flatten)]
    pub about: AboutArgs,
    /// Say which days of the coming sessions would teach most of how fast the client recovers.
    #[arg(long)]
    pub learn: bool,
    /// Days by which a session may move for that.
    #[arg(long, default_value_t = 1, value_name = "DAYS", requires = "learn", value_parser = clap::value_parser!(u32).range(1..=3))]
    pub within: u32,
}

/// Help of `export`.
pub const EXPORT_HELP: &str = "\
Examples:
  setwright export --out sets.csv                     sets as they stand, one a row, all clients
  setwright export --client mara --out mara.csv
  setwright export --format jsonl --out ledger.jsonl   every event, in the order of arrival
  setwright export --everything mara --out mara.json   all that is kept of Mara, for her: events, accounts, who saw her

Both forms are read again by setwright import, and importing what is there already changes nothing. \
docs/guide/logging.md describes them.";

/// A form of export.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Sets as they stand, for spreadsheets.
    Csv,
    /// Every event, one JSON object a line.
    Jsonl,
}

/// Arguments of `export`.
#[derive(Debug, Args)]
pub struct ExportArgs {
    /// Only this client.
    #[arg(long, value_name = "CLIENT")]
    pub client: Option<String>,
    /// All that is kept of this client, for them, as one JSON object: every event, their accounts, and who saw them.
    #[arg(long, value_name = "CLIENT", conflicts_with_all = ["client", "format"])]
    pub everything: Option<String>,
    /// In which form.
    #[arg(long, value_enum, default_value = "csv")]
    pub format: Format,
    /// Write to this file instead of the standard output.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<PathBuf>,
    /// Say what was written as a JSON object (needs --out).
    #[arg(long, requires = "out")]
    pub json: bool,
}

/// Help of `publish`.
pub const PUBLISH_HELP: &str = "\
Examples:
  setwright plan mara.toml --publish mara          plan and hand out in one go
  setwright publish mara mara_programme.toml       one that was edited by hand

The programme is checked for the client's brief first; what a coach would refuse to sign is not published.";

/// Arguments of `publish`.
#[derive(Debug, Args)]
pub struct PublishArgs {
    /// Which client.
    pub client: String,
    /// The programme, a TOML file as plan --out writes it.
    #[arg(value_hint = ValueHint::FilePath)]
    pub programme: PathBuf,
    /// A brief to judge it by, which then is the client's; else the one in the ledger.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub brief: Option<PathBuf>,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Help of `undo`.
pub const UNDO_HELP: &str = "\
Examples:
  setwright undo                 what was last written, whoever it concerns
  setwright undo mara            what was last written of Mara; again for what came before
  setwright undo --event ID --reason \"was the other bar\"

Nothing is taken out of the ledger: an entry that voids the other is added, and both stay.";

/// Arguments of `undo`.
#[derive(Debug, Args)]
pub struct UndoArgs {
    /// Which client.
    pub client: Option<String>,
    /// Undo this event alone, by its whole identifier.
    #[arg(long, value_name = "ID", conflicts_with = "client")]
    pub event: Option<String>,
    /// Why.
    #[arg(long, value_name = "TEXT")]
    pub reason: Option<String>,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Help of `forget`.
pub const FORGET_HELP: &str = "\
Examples:
  setwright forget \"Mara Lind\"             what would be forgotten, and where else something of her is
  setwright forget \"Mara Lind\" --yes       do it: it cannot be undone

The key is destroyed under which everything that is said of the client is sealed, so that nobody can read it any more; what is \
chained stays whole. Copies made before still hold it until they are deleted. docs/guide/forgetting.md says more.";

/// Arguments of `forget`.
#[derive(Debug, Args)]
pub struct ForgetArgs {
    /// Which client: with --yes the whole name, or the eight digits of `client list`.
    pub client: String,
    /// Do it.
    #[arg(long)]
    pub yes: bool,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Help of `consent`.
pub const CONSENT_HELP: &str = "\
Examples:
  setwright consent mara
  setwright consent mara --give averages --wording \"May averages over your log help others start?\"
  setwright consent mara --withdraw averages

Purposes: health-answers, sharing, averages. Who took averages back is left out of --from-roster.";

/// Arguments of `consent`.
#[derive(Debug, Args)]
pub struct ConsentArgs {
    /// Which client.
    pub client: String,
    /// The client agreed to this.
    #[arg(long, value_name = "PURPOSE", value_parser = purpose())]
    pub give: Option<Purpose>,
    /// The client took this back.
    #[arg(long, value_name = "PURPOSE", value_parser = purpose(), conflicts_with = "give")]
    pub withdraw: Option<Purpose>,
    /// In which words the client was asked.
    #[arg(long, value_name = "TEXT", default_value = "")]
    pub wording: String,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Reads a purpose by its identifier.
fn purpose() -> impl TypedValueParser<Value = Purpose> {
    PossibleValuesParser::new(Purpose::ALL.map(Purpose::id))
        .map(|id| Purpose::ALL.into_iter().find(|purpose| purpose.id() == id).unwrap_or(Purpose::Sharing))
}

/// Help of `retention`.
pub const RETENTION_HELP: &str = "\
Examples:
  setwright retention                                            all clients, and who is due
  setwright retention mara --months 36                           propose to forget her three years after the last session
  setwright retention mara --hold --reason \"claim is open\"      not before this is released
  setwright retention mara --release

A rule proposes and forgets nobody: setwright forget does.";

/// Arguments of `retention`.
#[derive(Debug, Args)]
pub struct RetentionArgs {
    /// Which client; all when absent.
    pub client: Option<String>,
    /// Months after the last session.
    #[arg(long, value_name = "N", requires = "client", value_parser = clap::value_parser!(u32).range(0..=1_200))]
    pub months: Option<u32>,
    /// Keep it all the same.
    #[arg(long, requires = "client", conflicts_with = "release")]
    pub hold: bool,
    /// Hold it no more.
    #[arg(long, requires = "client")]
    pub release: bool,
    /// Why.
    #[arg(long, value_name = "TEXT", requires = "client")]
    pub reason: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Help of `backup`.
pub const BACKUP_HELP: &str = "\
Examples:
  setwright backup ledger-2026-11-25.sqlite3
  sha256sum --check ledger-2026-11-25.sqlite3.sha256

The copy is whole even while the ledger is written to, and was examined. The accounts beside the ledger are copied \
beside it. Nothing is written over.";

/// Arguments of `backup`.
#[derive(Debug, Args)]
pub struct BackupArgs {
    /// Where to.
    #[arg(value_hint = ValueHint::FilePath)]
    pub to: PathBuf,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Help of `restore`.
pub const RESTORE_HELP: &str = "\
Examples:
  setwright restore ledger-2026-11-25.sqlite3 --ledger new.sqlite3

The backup and the accounts beside it are copied, held against their checksums and examined before they get their \
names. A ledger that is there is \
never written over: move it away first.";

/// Arguments of `restore`.
#[derive(Debug, Args)]
pub struct RestoreArgs {
    /// The backup.
    #[arg(value_hint = ValueHint::FilePath)]
    pub backup: PathBuf,
    /// Print one JSON object.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of commands that need none.
#[derive(Clone, Copy, Debug, Args)]
pub struct CareArgs {
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// The day that an option names.
pub fn day(text: &str, today: Date) -> Option<Date> {
    match text.trim().to_lowercase().as_str() {
        "today" => Some(today),
        "yesterday" => Some(today.plus(-1)),
        other => other.parse().ok(),
    }
}
