//! `review`, `forecast`, `next`, `roster`: what the ledger tells, in plain columns.

use super::learn;
use super::with_ledger;
use crate::ledger_args::{AboutArgs, AdviceArgs, CareArgs, ForecastArgs};
use crate::reply::{Look, Reply};
use crate::show::{count, json, number};
use crate::text::{Columns, LEFT, RIGHT, wrapped};
use crate::{common, programme};
use setwright_coaching::insight::advice::{AdviceAnswer, AnsweredLine};
use setwright_coaching::insight::{self, BeliefStart, ForecastView, Known, LikelyRange, MuscleForecast};
use setwright_gym::catalogue::builtin;
use setwright_model::ledger::{AdviceReply, Moment};
use setwright_model::refusal::Refusals;
use setwright_model::{Kilograms, MassUnit};
use setwright_present::advice::{self, AdviceView};
use setwright_present::next::{self, NextView};
use setwright_present::review::{self, ReviewView};
use setwright_present::roster::{self, RosterView};
use setwright_science::screening::MayTrain;
use setwright_store::Opening;
use std::fmt::Write as _;
use std::path::Path;

const DAY_H: f64 = 24.0;

/// Runs `review`.
pub fn review(args: &AboutArgs, units: MassUnit, ledger: &Path) -> Result<Reply, Refusals> {
    let (view, talk) = about(args, ledger, |known| Ok(review::review(known, builtin())))?;
    Ok(Reply {
        data: if args.json { json(&view) } else { review_page(&view, units) },
        talk,
        ..Reply::default()
    })
}

/// Runs `advice`.
pub fn advice(args: &AdviceArgs, look: Look, ledger: &Path) -> Result<Reply, Refusals> {
    with_ledger(ledger, Opening::Existing, |uow| {
        let start = BeliefStart::of(args.from_roster);
        let known = insight::known(uow, &args.client, start, builtin()).map_err(|p| vec![p])?;
        let mut talk = common::common(&known);
        if let Some((key, reply)) = replied(args) {
            let days = (reply == AdviceReply::Later).then_some(args.days).flatten();
            let answer = AdviceAnswer { reply, days, reason: args.reason.clone() };
            let said =
                advice::answer(uow, &known, key, answer, look.units, builtin()).map_err(|p| vec![p])?;
            let word = match reply {
                AdviceReply::Accepted => "accepted",
                AdviceReply::Declined => "declined",
                AdviceReply::Later => "put off",
            };
            let _ = writeln!(talk, "Kept: {} {word}.", said.key);
        }
        let known = insight::answered_since(uow, known).map_err(|p| vec![p])?;
        let view = advice::view(&known, look.units, builtin());
        let data = if args.json { json(&view) } else { advice_page(&view) };
        Ok(Reply { data, talk, ..Reply::default() })
    })
}

/// Which piece of advice is answered, and how.
fn replied(args: &AdviceArgs) -> Option<(&str, AdviceReply)> {
    let replies = [
        (&args.accept, AdviceReply::Accepted),
        (&args.decline, AdviceReply::Declined),
        (&args.later, AdviceReply::Later),
    ];
    replies.into_iter().find_map(|(key, reply)| Some((key.as_deref()?, reply)))
}

fn answered_in_words(line: &AnsweredLine) -> String {
    let reason = line.reason.as_ref().map_or_else(String::new, |r| format!(" ({r})"));
    format!(
        "{} on {}{reason}, may come back on {}: {}.",
        line.word(),
        line.on.date(),
        line.again.date(),
        line.what
    )
}

fn advice_page(view: &AdviceView) -> String {
    let mut out = format!(
        "{}: {}\n",
        view.client,
        match view.advice.len() {
            0 => "nothing to advise with a probability of 0.8 or more.".to_owned(),
            n => count(n, "piece") + " of advice",
        }
    );
    for line in &view.advice {
        out.push('\n');
        out.push_str(&wrapped(&format!("{}.", line.what), 2, 4));
        let sure = advice::probability(line.probability);
        out.push_str(&wrapped(&format!("Probability {sure}; brings {}. {}", line.effect, line.why), 4, 4));
        for change in &line.changes {
            out.push_str(&wrapped(&format!("{}: {} -> {}", change.what, change.now, change.then), 4, 6));
        }
        out.push_str(&wrapped(
            &format!("Answer: --accept {0}, --decline {0} or --later {0}", line.key),
            4,
            4,
        ));
    }
    if !view.answered.is_empty() {
        out.push_str("\nAnswered lately\n");
        view.answered.iter().for_each(|line| out.push_str(&wrapped(&answered_in_words(line), 2, 4)));
    }
    out
}

/// Runs `forecast`.
pub fn forecast(args: &ForecastArgs, ledger: &Path) -> Result<Reply, Refusals> {
    let ((mut view, learn), talk) = about(&args.about, ledger, |known| {
        let view = insight::forecast(known, builtin());
        let learn = args.learn.then(|| insight::learn(known, args.within, builtin())).transpose();
        Ok((view, learn.map_err(|p| vec![p])?))
    })?;
    view.learn = learn;
    let data = if args.about.json { json(&view) } else { forecast_page(&view) };
    Ok(Reply { data, talk, ..Reply::default() })
}

/// Runs `next`.
pub fn next(args: &AboutArgs, look: Look, ledger: &Path) -> Result<Reply, Refusals> {
    let (view, talk) = about(args, ledger, |known| {
        let may = MayTrain::of(known).map_err(|withheld| vec![withheld.into()])?;
        next::next(may, builtin()).map_err(|p| vec![p])
    })?;
    Ok(Reply { data: if args.json { json(&view) } else { next_page(&view, look) }, talk, ..Reply::default() })
}

/// Runs `roster`.
pub fn roster(args: CareArgs, look: Look, ledger: &Path) -> Result<Reply, Refusals> {
    let found =
        with_ledger(ledger, Opening::Existing, |uow| insight::roster(uow, builtin()).map_err(|p| vec![p]))?;
    let view = roster::view(&found, look.units, builtin());
    let talk = format!("{}.\n", count(view.lines.len(), "client"));
    let data = if args.json { json(&view) } else { roster_page(&view) };
    Ok(Reply { data, talk: if args.json { String::new() } else { talk }, ..Reply::default() })
}

/// What is asked about a client, and what is to be said of where it comes from.
fn about<T>(
    args: &AboutArgs,
    ledger: &Path,
    of: impl FnOnce(&Known) -> Result<T, Refusals>,
) -> Result<(T, String), Refusals> {
    with_ledger(ledger, Opening::Existing, |uow| {
        let start = BeliefStart::of(args.from_roster);
        let known = insight::known(uow, &args.client, start, builtin()).map_err(|p| vec![p])?;
        Ok((of(&known)?, common::common(&known)))
    })
}

/// A band: the middle, and between what nine cases in ten lie.
fn band(band: &LikelyRange, places: usize) -> String {
    let n = |v: f64| number(v, places);
    format!("{} ({} to {})", n(band.median), n(band.low), n(band.high))
}

fn review_page(view: &ReviewView, units: MassUnit) -> String {
    let mut out = format!(
        "{}: {}, {} in {} weeks\n",
        view.client,
        count(view.sessions, "session"),
        count(view.sets, "set"),
        number(view.weeks, 0)
    );
    let of = view.planned_sessions.map_or_else(String::new, |n| format!(" of {}", number(n, 0)));
    let _ = writeln!(out, "Last four weeks: {}{of}\n", count(view.recent_sessions, "session"));
    if view.sessions == 0 {
        out.push_str("Nothing is logged yet: all that is known is the brief and the population.\n");
        return out;
    }
    out.push_str("Strength: estimated 1RM rested, and growth a week (nine cases in ten)\n");
    let mut columns = Columns::new(&[LEFT, RIGHT, RIGHT, RIGHT]);
    columns.row(["exercise", units.symbol(), "% a week", "sessions"]);
    for lift in &view.lifts {
        columns.row([
            lift.name.clone(),
            band(&lift.e1rm_kg.map(|kg| units.number(Kilograms(kg))), 1),
            band(&lift.growth_percent, 2),
            lift.sessions.to_string(),
        ]);
    }
    out.push_str(&columns.lines(2));
    out.push_str(&unknown(view.lifts.iter().map(|l| (l.name.as_str(), &l.not_yet))));
    out.push_str("\nRecovery: days until ready after four sets with two reps in reserve\n");
    let mut columns = Columns::new(&[LEFT, RIGHT, RIGHT, RIGHT, RIGHT]);
    columns.row(["muscle", "sets a week", "days", "population", "learned"]);
    for m in &view.muscles {
        let days = LikelyRange {
            low: m.ready_h.low / DAY_H,
            median: m.ready_h.median / DAY_H,
            high: m.ready_h.high / DAY_H,
        };
        columns.row([
            m.name.to_owned(),
            number(m.sets_per_week, 1),
            band(&days, 1),
            number(m.population_h / DAY_H, 1),
            format!("{} %", number(100.0 * m.learned, 0)),
        ]);
    }
    out.push_str(&columns.lines(2));
    out.push_str(&unknown(view.muscles.iter().map(|m| (m.name, &m.not_yet))));
    out.push('\n');
    out.push_str(&wrapped(&stall_line(view), 0, 0));
    to_look_at(view, units, &mut out);
    out
}

/// Sets that look mistyped, and sessions that ran much longer than planned.
fn to_look_at(view: &ReviewView, units: MassUnit, out: &mut String) {
    for slip in &view.slips {
        let line = format!(
            "Look at {}, {}: {} looks like {}. It counts for nothing until setwright log --correct says how it was.",
            slip.at.date(),
            slip.name,
            units.load(slip.load_kg),
            slip.looks_like
        );
        out.push_str(&wrapped(&line, 0, 2));
    }
    for line in &view.ran_longer {
        out.push_str(&wrapped(line, 0, 2));
    }
    if !view.ran_longer.is_empty() {
        out.push_str(&wrapped(review::RAN_LONGER, 0, 2));
    }
}

fn stall_line(view: &ReviewView) -> String {
    let growth = band(&view.growth_percent, 2);
    if let Some(why) = view.stall_not_yet.first() {
        return format!("Whether the client as a whole has stalled: {why}. Growth {growth} % a week.");
    }
    format!(
        "The client as a whole stands still with probability {}; growth {growth} % a week.",
        number(view.stall, 2)
    )
}

/// What is not yet known, each reason once with what it concerns.
fn unknown<'a>(list: impl Iterator<Item = (&'a str, &'a Vec<&'static str>)>) -> String {
    let mut by_reason: Vec<(&str, Vec<&str>)> = Vec::new();
    for (name, reasons) in list {
        for reason in reasons {
            match by_reason.iter_mut().find(|(known, _)| known == reason) {
                Some((_, names)) => names.push(name),
                None => by_reason.push((*reason, vec![name])),
            }
        }
    }
    let line = |(reason, names): (&str, Vec<&str>)| {
        wrapped(&format!("Not yet known, {reason}: {}.", names.join(", ")), 2, 4)
    };
    by_reason.into_iter().map(line).collect()
}

fn day_and_hour(at: Moment) -> String {
    format!("{} {}", at.date(), at.clock())
}

fn forecast_page(view: &ForecastView) -> String {
    let Some(last) = view.last else {
        return format!("{}: nothing is logged yet, so every muscle is taken to be ready.\n", view.client);
    };
    let mut out = format!("{}: last session {}", view.client, day_and_hour(last));
    if let Some(due) = view.due {
        let _ = write!(out, ", next one reckoned for {}", day_and_hour(due));
    }
    out.push_str("\n\n");
    let mut columns = Columns::new(&[LEFT, RIGHT, LEFT, RIGHT, RIGHT, LEFT]);
    columns.row(["muscle", "lacks %", "ready", "days", "when due", "the week"]);
    for m in &view.muscles {
        let days = LikelyRange {
            low: m.ready_in_h.low.max(0.0) / DAY_H,
            median: m.ready_in_h.median.max(0.0) / DAY_H,
            high: m.ready_in_h.high.max(0.0) / DAY_H,
        };
        let ready = if m.ready_in_h.median <= 0.0 { "now".to_owned() } else { m.ready_at.date().to_string() };
        let due = m.ready_when_due.filter(|_| m.asked_sets > 0.0).map_or_else(String::new, |p| number(p, 2));
        columns.row([
            m.name.to_owned(),
            number(m.missing_percent.median, 1),
            ready,
            band(&days, 1),
            due,
            strip(m),
        ]);
    }
    out.push_str(&columns.lines(2));
    out.push_str(&unknown(view.muscles.iter().map(|m| (m.name, &m.not_yet))));
    out.push_str(
        "\nWhen due: probability of being ready at the next session, where it asks something of the muscle.\n\
         The week, half a day a sign from now on: # not ready, + hardly, - rather, . ready.\n",
    );
    out.push_str(&view.learn.as_ref().map_or_else(String::new, learn::page));
    out
}

/// The coming week: how likely the muscle is ready, half a day a sign.
fn strip(muscle: &MuscleForecast) -> String {
    let sign = |p: &f64| match *p {
        p if p < 0.1 => '#',
        p if p < 0.5 => '+',
        p if p < 0.9 => '-',
        _ => '.',
    };
    muscle.week.iter().map(sign).collect()
}

fn next_page(view: &NextView, look: Look) -> String {
    let late = if view.at.unix_ms() > view.due.unix_ms() {
        format!(" (was due {})", view.due.date())
    } else {
        String::new()
    };
    let mut out = format!("{}: {}{late}\n\n", view.client, day_and_hour(view.at));
    out.push_str(&programme::one_session(&view.session, look.units));
    out.push('\n');
    let mut columns = Columns::new(&[LEFT, RIGHT, RIGHT, RIGHT]);
    columns.row(["load", "planned", "now", "nine in ten"]);
    let shown = |kg: Option<Kilograms>| kg.map_or_else(|| "by feel".to_owned(), |kg| look.units.load(kg));
    for note in view.loads.iter().filter(|n| n.load_kg.is_some()) {
        let likely = note.likely_kg.as_ref().map_or_else(
            || "not logged yet".to_owned(),
            |b| format!("{} to {}", look.units.load(Kilograms(b.low)), look.units.load(Kilograms(b.high))),
        );
        columns.row([note.name.clone(), shown(note.planned_kg), shown(note.load_kg), likely]);
    }
    out.push_str(&columns.lines(0));
    view.left_out.iter().for_each(|line| out.push_str(&wrapped(line, 0, 2)));
    for m in &view.not_ready {
        let line = format!(
            "{} may not be ready: probability {}, and the session asks {} sets of it.",
            m.name,
            number(m.ready, 2),
            number(m.sets, 1)
        );
        out.push_str(&wrapped(&line, 0, 2));
    }
    out.push('\n');
    out.push_str(&wrapped(setwright_science::screening::CAUTION, 0, 0));
    out
}

fn roster_page(view: &RosterView) -> String {
    let mut columns = Columns::new(&[LEFT, LEFT, LEFT, LEFT]);
    columns.row(["client", "next", "ready", "why"]);
    for line in &view.lines {
        let day = |at: Option<Moment>| at.map(|m| m.date().to_string()).unwrap_or_default();
        let why = if line.why.is_empty() { "nothing to decide".to_owned() } else { line.why.join("; ") };
        columns.row([line.client.clone(), day(line.due), day(line.ready), why]);
    }
    columns.lines(0)
}
