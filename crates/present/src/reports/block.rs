//! The report at the end of a block, for the client to read: what was done, what grew, what recovers how fast, what is next.
//!
//! It tells what the log can tell, with the interval that holds nine cases in ten, and says where it cannot tell yet.

use super::{DRAWN, band, cautions, made, write};
use crate::next::{self, NextView};
use crate::review::{self, LiftReview, MuscleReview, ReviewView};
use crate::sheets::words::{Words, count, number};
use crate::sheets::{self, Print};
use crate::{dates, drawings};
use setwright_coaching::insight::Known;
use setwright_formats::words::capital;
use setwright_model::exercise::LoadKind;
use setwright_model::ledger::{Date, SetKind};
use setwright_model::refusal::Refusal;
use setwright_paper::pdf::{Piece, Table, TableColumn};
use setwright_science::screening::MayTrain;
use std::collections::BTreeMap;

/// Days under which the time since the programme was handed out is no block yet (judgement: two weeks).
const BLOCK_DAYS: i64 = 14;
/// Lifts that are told and drawn: the most often done.
const LIFTS_TOLD: usize = 10;
const LIFTS_DRAWN: usize = 4;
const DAY_H: f64 = 24.0;
/// Shares under which little, and from which most, of a muscle's recovery is the client's own (judgement).
const LITTLE_KNOWN: f64 = 0.2;
const MOST_KNOWN: f64 = 0.6;

/// Prints the report of a client. The block begins on the day that is given, or else with the programme in force.
pub fn block(known: &Known, since: Option<Date>, print: Print<'_>) -> Result<Vec<u8>, Refusal> {
    let name = &known.client.card.name;
    let from = since.or_else(|| begun(known));
    let review = review::review(known, print.catalogue);
    let mut pieces = done(known, from, print);
    pieces.extend(ran_longer(&review));
    pieces.extend(grew(known, &review, print));
    pieces.extend(recovers(known, &review, print));
    pieces.extend(what_is_next(known, print));
    pieces.extend(cautions(sheets::cautions(known.brief.as_ref())));
    let under = match from {
        Some(from) => format!("{} to {}", dates::long(from), made(print)),
        None => made(print),
    };
    write(format!("Your training: {name}"), under, pieces, print)
}

/// The day the block began: when the programme in force was handed out, if that is long enough ago; else the first session.
fn begun(known: &Known) -> Option<Date> {
    let handed_out = known.programme.as_ref().map(|p| p.at.date());
    let long_ago = handed_out.filter(|d| known.now.date().days() - d.days() >= BLOCK_DAYS);
    long_ago.or_else(|| known.sessions.first().map(|s| s.at.date()))
}

fn done(known: &Known, from: Option<Date>, print: Print<'_>) -> Vec<Piece> {
    let head = Piece::Section("What you did".to_owned());
    let since = |at: setwright_model::ledger::Moment| from.is_none_or(|from| at.date() >= from);
    let sessions: Vec<_> = known.sessions.iter().filter(|s| s.counts() && since(s.at)).collect();
    let work: Vec<_> = known.sets.iter().filter(|s| s.done.kind == SetKind::Work && since(s.at)).collect();
    if work.is_empty() {
        return vec![head, Piece::Text("Nothing is logged in these weeks yet.".to_owned())];
    }
    let days = from.map_or(0, |f| known.now.date().days() - f.days() + 1);
    let planned =
        known.programme.as_ref().filter(|p| from.is_some_and(|f| f >= p.at.date())).map(|p| {
            p.programme.sessions.len() as f64 * days as f64 / f64::from(p.programme.cycle_days.max(1))
        });
    let of = planned.map_or_else(String::new, |n| {
        format!(" The programme has about {} in this time.", count(n.round() as usize, "session"))
    });
    let weeks = (days as f64 / 7.0).max(0.1);
    let text = format!(
        "{} with {} in {} weeks, {} sessions a week.{of}",
        capital(&count(sessions.len(), "session")),
        count(work.len(), "work set"),
        number(weeks, 1),
        number(sessions.len() as f64 / weeks, 1)
    );
    let mut lifts: BTreeMap<&str, (usize, u64, Option<f64>)> = BTreeMap::new();
    for set in &work {
        let entry = lifts.entry(set.done.exercise.as_str()).or_default();
        entry.0 += 1;
        entry.1 += u64::from(set.done.reps);
        let heaviest = set.done.load.into_iter().map(|l| l.kg.get()).chain(entry.2);
        entry.2 = heaviest.max_by(f64::total_cmp);
    }
    let mut lifts: Vec<_> = lifts.into_iter().collect();
    lifts.sort_by(|a, b| b.1.0.cmp(&a.1.0).then(a.0.cmp(b.0)));
    let words = Words { unit: print.unit, catalogue: print.catalogue };
    let rows = lifts.iter().map(|(id, (sets, reps, most))| {
        let exercise = print.catalogue.get(&setwright_model::ExerciseId::from(*id));
        let load = most.filter(|kg| *kg > 0.0);
        vec![
            exercise.map_or_else(|| (*id).to_owned(), |e| e.name.clone()),
            sets.to_string(),
            reps.to_string(),
            load.map_or_else(String::new, |kg| words.weight(setwright_model::Kilograms(kg))),
        ]
    });
    let columns = vec![
        TableColumn::words("exercise"),
        TableColumn::numbers("work sets"),
        TableColumn::numbers("reps, seconds or metres"),
        TableColumn::numbers("heaviest load"),
    ];
    vec![head, Piece::Text(text), Piece::Table(Table { columns, rows: rows.collect() })]
}

fn ran_longer(review: &ReviewView) -> Vec<Piece> {
    if review.ran_longer.is_empty() {
        return Vec::new();
    }
    vec![Piece::List(review.ran_longer.clone()), Piece::Remark(review::RAN_LONGER.to_owned())]
}

fn grew(known: &Known, review: &ReviewView, print: Print<'_>) -> Vec<Piece> {
    let mut out = vec![Piece::Section("What grew".to_owned())];
    if review.lifts.is_empty() {
        out.push(Piece::Text(
            "No exercise has enough logged sets yet to tell how strong you are in it.".to_owned(),
        ));
        return out;
    }
    out.push(Piece::Text(format!(
        "All exercises together: {} % a week. In nine cases of ten the truth lies between the two numbers in brackets; \
         where they stand on both sides of nought, it is not yet sure whether you grew.",
        band(&review.growth_percent, 1)
    )));
    let words = Words { unit: print.unit, catalogue: print.catalogue };
    let row = |l: &LiftReview| {
        vec![
            l.name.clone(),
            l.sessions.to_string(),
            once(l, words),
            band(&l.growth_percent, 1),
            l.not_yet.join("; "),
        ]
    };
    let columns = vec![
        TableColumn::words("exercise"),
        TableColumn::numbers("sessions"),
        TableColumn::numbers("most you could lift once, rested"),
        TableColumn::numbers("% a week"),
        TableColumn::words("not sure yet, because"),
    ];
    let rows = review.lifts.iter().take(LIFTS_TOLD).map(row).collect();
    out.push(Piece::Table(Table { columns, rows }));
    let weighed = review.lifts.iter().filter(|l| !of_the_body(kind(l, words)));
    for (nth, lift) in weighed.take(LIFTS_DRAWN).enumerate() {
        if let Some(view) = drawings::strength_of(known, &lift.id, print.unit, print.catalogue) {
            out.push(Piece::Drawing(setwright_paper::strength(&view, 560.0, &format!("lift{nth}")), 0.8));
        }
    }
    out
}

fn kind(lift: &LiftReview, words: Words<'_>) -> LoadKind {
    words.catalogue.get(&lift.id).map_or(LoadKind::Body, |e| e.load)
}

/// Whether most of what is lifted is the client.
const fn of_the_body(kind: LoadKind) -> bool {
    matches!(kind, LoadKind::Body | LoadKind::BodyPlus | LoadKind::Assisted | LoadKind::Band)
}

/// The most that could be lifted once: beside the body where the body is most of it.
fn once(lift: &LiftReview, words: Words<'_>) -> String {
    let kg = |v: f64| words.weight(setwright_model::Kilograms(v.round().max(0.0)));
    let e = &lift.e1rm_kg;
    match kind(lift, words) {
        LoadKind::Body | LoadKind::Band | LoadKind::Assisted => "the body".to_owned(),
        LoadKind::BodyPlus => format!("body + {} ({} to {})", kg(e.median), kg(e.low), kg(e.high)),
        _ => format!("{} ({} to {})", kg(e.median), kg(e.low), kg(e.high)),
    }
}

fn recovers(known: &Known, review: &ReviewView, print: Print<'_>) -> Vec<Piece> {
    if review.muscles.is_empty() {
        return Vec::new();
    }
    let row = |m: &MuscleReview| {
        let days = |h: f64| number(h / DAY_H, 1);
        let r = &m.ready_h;
        let own = match m.learned {
            l if l < LITTLE_KNOWN => "little yet",
            l if l < MOST_KNOWN => "some",
            _ => "most of it",
        };
        vec![
            m.name.to_owned(),
            format!("{:.1}", m.sets_per_week),
            format!("{} ({} to {})", days(r.median), days(r.low), days(r.high)),
            days(m.population_h),
            own.to_owned(),
        ]
    };
    let columns = vec![
        TableColumn::words("muscle"),
        TableColumn::numbers("sets a week"),
        TableColumn::numbers("days until ready"),
        TableColumn::numbers("most people"),
        TableColumn::words("known of you"),
    ];
    let strip =
        setwright_paper::strip(&drawings::strip(known, dates::short, print.catalogue), DRAWN, "strip");
    vec![
        Piece::Section("What recovers how fast".to_owned()),
        Piece::Text(
            "Days until a muscle is ready again after four hard sets. The last column says how much of it your own log \
             has told; the rest is what is known of people in general. Sets a week are those of the last four weeks."
                .to_owned(),
        ),
        Piece::Table(Table { columns, rows: review.muscles.iter().map(row).collect() }),
        Piece::Remark(
            "Below: a stem is a session's sets for the muscle, the wedge after it lasts until the muscle is ready. Hollow \
             stems are still to come. Broken purple is not yet known of you."
                .to_owned(),
        ),
        Piece::Drawing(strip, 1.0),
    ]
}

fn what_is_next(known: &Known, print: Print<'_>) -> Vec<Piece> {
    let mut out = vec![Piece::Section("What is next".to_owned())];
    let Ok(may) = MayTrain::of(known) else {
        out.push(Piece::Caution("Before the next session, see a clinician.".to_owned()));
        return out;
    };
    match next::next(may, print.catalogue) {
        Err(_) => out.push(Piece::Text("The next programme is still to be handed out.".to_owned())),
        Ok(next) => out.extend(coming(&next, print)),
    }
    out
}

fn coming(next: &NextView, print: Print<'_>) -> Vec<Piece> {
    let words = Words { unit: print.unit, catalogue: print.catalogue };
    let focus =
        if next.session.focus.is_empty() { String::new() } else { format!(", {}", next.session.focus) };
    let text = format!(
        "Session {}{focus}, on {}: {} minutes.",
        next.session.number,
        dates::full(next.at.date()),
        number(next.session.minutes, 0)
    );
    let lines = next.session.blocks.iter().flat_map(|b| &b.lines).zip(&next.loads);
    let rows = lines.map(|(line, load)| {
        let before = load.planned_kg.map_or_else(String::new, |kg| words.weight(kg));
        vec![line.name.clone(), crate::sheets::words::sets_by_reps(line), words.load(&line.load), before]
    });
    let columns = vec![
        TableColumn::words("exercise"),
        TableColumn::numbers("sets"),
        TableColumn::numbers("load that day"),
        TableColumn::numbers("as planned before"),
    ];
    vec![Piece::Text(text), Piece::Table(Table { columns, rows: rows.collect() })]
}
