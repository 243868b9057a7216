//! Session sheets: which sessions are printed, on which days, with which loads.

pub mod words;

use super::dates;
use super::drawings;
use super::view::{self, SessionView};
use crate::next;
use crate::pain;
use setwright_check::JudgedProgramme;
use setwright_coaching::insight::{self, Known, coming};
use setwright_coaching::{judge, screen};
use setwright_model::code::Code;
use setwright_model::ledger::Date;
use setwright_model::refusal::Refusal;
use setwright_model::{Brief, Catalogue, MassUnit, Programme, Session};
use setwright_paper::pdf::{About, NotWritten, Paper, SheetView, sheets};
use setwright_science::screening::{self, MayTrain};
use words::{Words, number};

/// Most sheets in one go (judgement: ten years of three sessions a week).
pub const SHEETS_MAX: usize = 2_000;

/// A programme to print, and who is to train by it.
#[derive(Clone, Copy)]
pub struct Subject<'a> {
    /// The programme with what was found of it.
    pub judged: &'a JudgedProgramme,
    /// The client's brief, if there is one, when the answers before training let the client train.
    pub may: MayTrain<Option<&'a Brief>>,
    /// What is to be said on everything that is made of it: what is left out for pain. Mostly empty.
    pub note: &'a str,
}

impl<'a> Subject<'a> {
    /// A programme for the client of a brief.
    ///
    /// # Errors
    /// A clinician's word comes first.
    pub fn of(judged: &'a JudgedProgramme, brief: Option<&'a Brief>) -> Result<Self, Refusal> {
        Ok(Self { judged, may: MayTrain::of(brief)?, note: "" })
    }

    /// The client's brief, if there is one.
    pub const fn brief(&self) -> Option<&'a Brief> {
        *self.may.whom()
    }
}

/// How it is printed.
#[derive(Clone, Copy)]
pub struct Print<'a> {
    /// Size of the paper.
    pub paper: Paper,
    /// In what loads are written.
    pub unit: MassUnit,
    /// The day it is made.
    pub today: Date,
    /// Exercises.
    pub catalogue: &'a Catalogue,
}

/// Which sessions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// One of the cycle, from 1.
    One(usize),
    /// All of the cycle.
    All,
    /// So many, one after the other: the first one's place in the cycle from 0, and its day where it has one.
    Following(usize, usize, Option<Date>),
}

/// A session with the day it is done.
struct Turn {
    index: usize,
    round: usize,
    date: Option<Date>,
}

/// Sheets of a programme.
///
/// # Errors
/// A session that is not there.
pub fn of_programme(subject: Subject<'_>, which: Which, print: Print<'_>) -> Result<Vec<u8>, Refusal> {
    let (judged, brief) = (subject.judged, subject.brief());
    let programme = judged.programme();
    let turns = turns(programme, which)?;
    let shown = view::programme(judged, brief, print.catalogue);
    let draft = brief.and_then(|b| screen::draft(&b.screening)).unwrap_or_default();
    let source = format!("{draft} Loads are those of the programme. {}", subject.note);
    let source = source.trim();
    let plain: Vec<SheetView> = programme
        .sessions
        .iter()
        .zip(&shown.sessions)
        .map(|(session, view)| sheet(session, view, &shown.client, brief, source, print))
        .collect();
    let one = |turn: &Turn| {
        let mut sheet = plain.get(turn.index)?.clone();
        let session = programme.sessions.get(turn.index)?;
        when(&mut sheet, session, programme, turn);
        Some(sheet)
    };
    let views: Vec<SheetView> = turns.iter().filter_map(one).collect();
    write(&views, &shown.client, print)
}

/// The sheet of a client's coming session, with loads for how strong the log says that he or she will be that day.
///
/// # Errors
/// No programme or no brief in force.
pub fn of_coming(may: MayTrain<&Known>, print: Print<'_>) -> Result<Vec<u8>, Refusal> {
    let next = next::next(may, print.catalogue)?;
    let known = *may.whom();
    let (Some(state), Some(brief), Some(coming)) = (&known.programme, &known.brief, coming(known)) else {
        return Err(no_programme(known));
    };
    let Some(published) = state.programme.sessions.get(coming.index) else { return Err(no_programme(known)) };
    let planned = known.pains.without(published);
    let (belief, _) = insight::tired_belief(known, &planned, next.at, print.catalogue);
    let session = insight::loaded(&planned, brief, known.body_mass, &belief, print.catalogue);
    let source =
        format!("Loads are as the log told on {}. {}", dates::long(print.today), next.left_out.join(" "));
    let source = source.trim_end();
    let mut view = sheet(&session, &next.session, &known.client.card.name, Some(brief), source, print);
    let turn = Turn { index: coming.index, round: 0, date: Some(next.at.date()) };
    when(&mut view, &session, &state.programme, &turn);
    write(&[view], &known.client.card.name, print)
}

/// Sheets of a client's coming sessions, dated from the day the first is due, or from a given one.
///
/// # Errors
/// No programme in force.
pub fn following(
    may: MayTrain<&Known>,
    many: usize,
    from: Option<Date>,
    print: Print<'_>,
) -> Result<Vec<u8>, Refusal> {
    let known = *may.whom();
    let judged = judge::to_train(may, print.catalogue).ok_or_else(|| no_programme(known))?;
    let (index, due) = due(known);
    let note = pain::left_out_of_all(known, print.catalogue);
    let subject = Subject { judged: &judged, may: may.part(brief_of), note: &note };
    of_programme(subject, Which::Following(index, many, from.or(Some(due))), print)
}

/// The brief in force of a client.
pub const fn brief_of(known: &Known) -> Option<&Brief> {
    known.brief.as_ref()
}

/// The place in the cycle of the coming session, and its day: today when it was due before.
pub fn due(known: &Known) -> (usize, Date) {
    let today = known.now.date();
    coming(known).map_or((0, today), |c| (c.index, c.due.date().max(today)))
}

/// The client has no programme in force.
pub fn no_programme(known: &Known) -> Refusal {
    let what = format!("{} has no programme in force.", known.client.card.name);
    Refusal::new(
        Code::NothingInForce,
        what,
        "setwright plan BRIEF --publish CLIENT hands one out, or plan one from the client's page.",
    )
}

/// The place of each sheet in the cycle, and its day.
fn turns(programme: &Programme, which: Which) -> Result<Vec<Turn>, Refusal> {
    let count = programme.sessions.len();
    let alone = |index: usize| Turn { index, round: 0, date: None };
    match which {
        Which::One(number) if (1..=count).contains(&number) => Ok(vec![alone(number - 1)]),
        Which::All => Ok((0..count).map(alone).collect()),
        Which::Following(first, many, from) if count > 0 => Ok(in_turn(programme, first, many, from)),
        Which::One(number) => {
            let what = format!("There is no session {number}: the programme has {count}.");
            Err(Refusal::new(Code::Usage, what, "Sessions count from 1."))
        }
        Which::Following(..) => {
            Err(Refusal::new(Code::Usage, "The programme has no session.", "Add one, and print again."))
        }
    }
}

fn in_turn(programme: &Programme, first: usize, many: usize, from: Option<Date>) -> Vec<Turn> {
    let count = programme.sessions.len().max(1);
    let first_day = programme.sessions.get(first).map_or(1, |s| i64::from(s.day));
    (first..first + many.min(SHEETS_MAX))
        .filter_map(|k| {
            let (round, index) = (k / count, k % count);
            let day = i64::from(programme.sessions.get(index)?.day);
            let later = round as i64 * i64::from(programme.cycle_days) + day - first_day;
            Some(Turn { index, round, date: from.map(|date| date.plus(later)) })
        })
        .collect()
}

fn when(sheet: &mut SheetView, session: &Session, programme: &Programme, turn: &Turn) {
    let round = if turn.round == 0 { String::new() } else { format!(", round {}", turn.round + 1) };
    sheet.undated = turn.date.is_none();
    sheet.when = match turn.date {
        Some(date) => dates::full(date),
        None => format!("Day {} of {}{round}", session.day, programme.cycle_days),
    };
}

fn sheet(
    session: &Session,
    view: &SessionView,
    client: &str,
    brief: Option<&Brief>,
    source: &str,
    print: Print<'_>,
) -> SheetView {
    let words = Words { unit: print.unit, catalogue: print.catalogue };
    let cold = brief.is_some_and(|b| b.time.cold);
    let focus = if view.focus.is_empty() { String::new() } else { format!(", {}", view.focus) };
    SheetView {
        client: if client.is_empty() { "Training".to_owned() } else { client.to_owned() },
        title: format!("Session {}{focus}", view.number),
        when: String::new(),
        undated: true,
        length: length(view),
        lanes: drawings::lanes(session, view, print.unit, print.catalogue),
        blocks: view.blocks.iter().map(|block| words.block(block)).collect(),
        remarks: remarks(view, cold, source),
        cautions: cautions(brief),
    }
}

/// "52 of 60 minutes, 18 sets".
pub fn length(view: &SessionView) -> String {
    let limit = view.limit_minutes.map_or_else(String::new, |limit| format!(" of {}", number(limit, 0)));
    format!("{}{limit} minutes, {}", number(view.minutes, 0), words::count(view.sets as usize, "set"))
}

fn remarks(view: &SessionView, cold: bool, source: &str) -> Vec<String> {
    let lines = || view.blocks.iter().flat_map(|b| &b.lines);
    let by_feel = lines().any(|l| words::is_by_feel(&l.load));
    let mut out = vec![source.to_owned()];
    if cold {
        out.push("Begin with five brisk minutes.".to_owned());
    }
    if by_feel {
        out.push("By feel: a load that leaves what is asked; write it down.".to_owned());
    }
    out.push("Left: how many more you could do.".to_owned());
    out
}

/// What comes before any training. What the client answered is nobody else's business, so a sheet that hangs in a gym
/// says what to do, and not why.
pub fn cautions(brief: Option<&Brief>) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(brief) = brief {
        let outcome = screening::outcome(&brief.screening);
        out.push(match &outcome {
            screening::Outcome::Unanswered(_) => {
                "The questions before training are not all answered: ask them before the first session."
                    .to_owned()
            }
            outcome => outcome.action().to_owned(),
        });
        out.extend(screening::notes(brief).into_iter().map(str::to_owned));
    }
    out.push(screening::CAUTION.to_owned());
    out
}

fn write(views: &[SheetView], client: &str, print: Print<'_>) -> Result<Vec<u8>, Refusal> {
    let about = About {
        title: if client.is_empty() {
            "Session sheets".to_owned()
        } else {
            format!("Session sheets: {client}")
        },
        subject: format!("{} to train from and write on", words::count(views.len(), "session")),
        date: Some(print.today.civil()),
    };
    sheets(views, &about, print.paper).map_err(|e| not_written(&e))
}

/// A document that could not be written.
pub fn not_written(error: &NotWritten) -> Refusal {
    let what = format!("The document could not be written: {error}.");
    Refusal::new(Code::NotPrinted, what, "This is a mistake of the program: report it with what was asked.")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn nine_days() -> Programme {
        let session = |day| Session { day, focus: String::new(), blocks: Vec::new() };
        Programme { client: String::new(), cycle_days: 9, sessions: vec![session(2), session(5), session(8)] }
    }

    #[test]
    fn following_sessions_keep_the_days_of_the_cycle() {
        let from: Date = "2026-12-01".parse().unwrap();
        let days = |first, many| -> Vec<String> {
            let turns = in_turn(&nine_days(), first, many, Some(from));
            turns.iter().map(|t| format!("{} {}", t.index + 1, t.date.unwrap())).collect()
        };
        assert_eq!(days(0, 4), ["1 2026-12-01", "2 2026-12-04", "3 2026-12-07", "1 2026-12-10"]);
        assert_eq!(days(2, 3), ["3 2026-12-01", "1 2026-12-04", "2 2026-12-07"]);
    }

    #[test]
    fn a_session_that_is_not_there_is_refused() {
        assert!(turns(&nine_days(), Which::One(0)).is_err() && turns(&nine_days(), Which::One(4)).is_err());
        assert_eq!(turns(&nine_days(), Which::One(3)).unwrap().len(), 1);
        let many = Which::Following(0, SHEETS_MAX + 1, None);
        assert_eq!(turns(&nine_days(), many).unwrap().len(), SHEETS_MAX);
    }
}
