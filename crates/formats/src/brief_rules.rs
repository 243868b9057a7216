//! What a brief must keep besides its form: limits of every number, and requirements that do not contradict
//! each other. It judges the brief alone; whether a programme can be found is the planner's question.

use super::bounds::Bounds;
use super::doc::printable;
use super::positions::Positions;
use crate::words::sentence;
use setwright_gym::room::Room;
use setwright_model::brief::{Brief, Lock, MinutesPerSession, Time};
use setwright_model::code::Code;
use setwright_model::exercise::Exercise;
use setwright_model::limits::{
    ABOUT_CHARS_MAX, AGE_YEARS, BAR_KG, BODY_MASS_KG, CYCLE_DAYS_MAX, CYCLE_DAYS_MIN, DISC_KG,
    DISC_PAIRS_MAX, HAND_WEIGHT_KG, HEIGHT_M, LIFT_REPS_MAX, LIST_MAX, LOAD_KG_MAX, NAME_CHARS_MAX,
    RECOVERY_H, RIR_MAX, SESSION_MINUTES_MAX, SESSION_MINUTES_MIN, SESSIONS_MAX, SETS_MAX, STACK_STEP_KG,
    TOLERANCE_MAX, WEEKLY_SETS_MAX,
};
use setwright_model::refusal::Refusals;
use setwright_model::{Catalogue, ExerciseId, Kilograms, Pounds};
use setwright_science::strength;
use std::collections::BTreeSet;

/// Everything the brief breaks.
pub fn check(brief: &Brief, catalogue: &Catalogue, places: &dyn Positions) -> Refusals {
    let mut bounds = Bounds::new(places);
    texts(brief, &mut bounds);
    lengths(brief, &mut bounds);
    time(&brief.time, &mut bounds);
    body(brief, &mut bounds);
    own_equipment(brief, &mut bounds);
    muscles(brief, &mut bounds);
    lifts(brief, catalogue, &mut bounds);
    locks(brief, catalogue, &mut bounds);
    style(brief, &mut bounds);
    bounds.problems
}

fn texts(brief: &Brief, bounds: &mut Bounds<'_>) {
    bounds.text(&["name".into()], "name", &brief.name, NAME_CHARS_MAX, false);
    if !brief.about.is_empty() {
        bounds.text(&["about".into()], "about", &brief.about, ABOUT_CHARS_MAX, true);
    }
}

fn lengths(brief: &Brief, bounds: &mut Bounds<'_>) {
    let lists = [
        ("lift", brief.lifts.len()),
        ("lock", brief.locks.len()),
        ("exclude", brief.exclude.exercises.len()),
        ("equipment", brief.equipment.dumbbells_kg.len().max(brief.equipment.kettlebells_kg.len())),
        ("equipment", brief.equipment.dumbbells_lb.len().max(brief.equipment.kettlebells_lb.len())),
        ("equipment", brief.equipment.disc_pairs.len().max(brief.equipment.disc_pairs_lb.len())),
    ];
    for (name, len) in lists {
        if len > LIST_MAX {
            bounds.refuse(
                &[name.into()],
                Code::TooMany,
                format!("There are {len} entries under \"{name}\"; at most {LIST_MAX} are read."),
                "Keep what matters for this client.",
            );
        }
    }
}

fn time(time: &Time, bounds: &mut Bounds<'_>) {
    let cycle = bounds.count(
        &["time".into(), "cycle_days".into()],
        "days of the cycle",
        time.cycle_days,
        (CYCLE_DAYS_MIN, CYCLE_DAYS_MAX),
    );
    let sessions =
        bounds.count(&["time".into(), "sessions".into()], "sessions", time.sessions, (1, SESSIONS_MAX));
    minutes(time, bounds);
    if !(cycle && sessions) {
        return;
    }
    if time.sessions > time.cycle_days {
        bounds.refuse(
            &["time".into(), "sessions".into()],
            Code::TimeDoesNotFit,
            format!("{} sessions do not fit into a cycle of {} days.", time.sessions, time.cycle_days),
            "There is at most one session a day: fewer sessions, or a longer cycle.",
        );
    }
    days(time, "days", &time.days, bounds);
    days(time, "possible_days", &time.possible_days, bounds);
    match (time.days.len(), time.possible_days.len()) {
        (0, 0) => {}
        (0, possible) if possible < time.sessions as usize => bounds.refuse(
            &["time".into(), "possible_days".into()],
            Code::TimeDoesNotFit,
            format!("{} sessions are wanted and only {possible} days are possible.", time.sessions),
            "Name more days, or ask for fewer sessions.",
        ),
        (0, _) => {}
        (fixed, 0) if fixed != time.sessions as usize => bounds.refuse(
            &["time".into(), "days".into()],
            Code::TimeDoesNotFit,
            format!("{fixed} days are fixed for {} sessions.", time.sessions),
            "Fix one day for each session, or name the days that could do as possible_days.",
        ),
        (_, 0) => {}
        _ => bounds.refuse(
            &["time".into(), "possible_days".into()],
            Code::TimeDoesNotFit,
            "Both days and possible_days are given.".to_owned(),
            "Keep days when they are fixed, possible_days when the planner may choose.",
        ),
    }
}

fn minutes(time: &Time, bounds: &mut Bounds<'_>) {
    let limits = (SESSION_MINUTES_MIN, SESSION_MINUTES_MAX);
    match &time.minutes {
        MinutesPerSession::Same(m) => {
            bounds.number(&["time".into(), "minutes".into()], "minutes of a session", m.get(), limits);
        }
        MinutesPerSession::Each(list) => {
            for (i, m) in list.iter().enumerate().take(LIST_MAX) {
                bounds.number(
                    &["time".into(), "minutes".into(), i.into()],
                    "minutes of a session",
                    m.get(),
                    limits,
                );
            }
            if list.len() != time.sessions as usize {
                bounds.refuse(
                    &["time".into(), "minutes".into()],
                    Code::TimeDoesNotFit,
                    format!("There are {} numbers of minutes for {} sessions.", list.len(), time.sessions),
                    "Give one number for all sessions, or one for each.",
                );
            }
        }
    }
}

fn days(time: &Time, field: &'static str, days: &[u32], bounds: &mut Bounds<'_>) {
    let mut before = 0;
    for (i, &day) in days.iter().enumerate().take(LIST_MAX) {
        let path = ["time".into(), field.into(), i.into()];
        if day == 0 || day > time.cycle_days {
            bounds.refuse(
                &path,
                Code::TimeDoesNotFit,
                format!("Day {day} is not in a cycle of {} days.", time.cycle_days),
                &format!("Days count from 1 to {}.", time.cycle_days),
            );
        } else if days[..i].contains(&day) {
            bounds.refuse(
                &path,
                Code::TimeDoesNotFit,
                format!("Day {day} is named twice."),
                "There is at most one session a day.",
            );
        } else if day < before {
            bounds.refuse(
                &path,
                Code::TimeDoesNotFit,
                format!("Day {day} comes after day {before}."),
                "Name the days in order, so that minutes and locks mean the same session.",
            );
        }
        before = before.max(day);
    }
}

fn body(brief: &Brief, bounds: &mut Bounds<'_>) {
    if let Some(age) = brief.body.age {
        bounds.count(&["body".into(), "age".into()], "years of age", age, AGE_YEARS);
    }
    if let Some(mass) = brief.body.mass_kg {
        bounds.number(&["body".into(), "mass_kg".into()], "kg of body mass", mass.get(), BODY_MASS_KG);
    }
    if let Some(height_m) = brief.body.height_m {
        bounds.number(&["body".into(), "height_m".into()], "metres of height", height_m, HEIGHT_M);
    }
}

fn own_equipment(brief: &Brief, bounds: &mut Bounds<'_>) {
    let equipment = &brief.equipment;
    one_mass(("bar_kg", "bar_lb"), "of the bar", (equipment.bar_kg, equipment.bar_lb), BAR_KG, bounds);
    let step = (equipment.stack_step_kg, equipment.stack_step_lb);
    one_mass(("stack_step_kg", "stack_step_lb"), "of a stack's step", step, STACK_STEP_KG, bounds);
    for (field, list) in [("disc_pairs", &equipment.disc_pairs), ("disc_pairs_lb", &equipment.disc_pairs_lb)]
    {
        for (disc, pairs) in list.iter().take(LIST_MAX) {
            discs(field, disc, *pairs, bounds);
        }
    }
    hand_weights("dumbbells_kg", equipment.dumbbells_kg.iter().map(|kg| kg.get()), bounds);
    hand_weights("dumbbells_lb", equipment.dumbbells_lb.iter().map(|lb| lb.get()), bounds);
    hand_weights("kettlebells_kg", equipment.kettlebells_kg.iter().map(|kg| kg.get()), bounds);
    hand_weights("kettlebells_lb", equipment.kettlebells_lb.iter().map(|lb| lb.get()), bounds);
    for station in equipment.also.iter().filter(|s| equipment.without.contains(s)) {
        bounds.refuse(
            &["equipment".into(), "without".into()],
            Code::EquipmentContradicts,
            format!("The {} is named under both \"also\" and \"without\".", station.name()),
            "Keep it in one of the two.",
        );
    }
}

/// Limits in kilograms as limits in pounds, to a tenth and no wider.
fn in_pounds((low_kg, high_kg): (f64, f64)) -> (f64, f64) {
    let tenths = |kg: f64| Kilograms(kg).to_lb() * 10.0;
    (tenths(low_kg).ceil() / 10.0, tenths(high_kg).floor() / 10.0)
}

/// What is there once, in kilograms or in pounds.
fn one_mass(
    (field_kg, field_lb): (&'static str, &'static str),
    of: &str,
    (kg, lb): (Option<Kilograms>, Option<Pounds>),
    limits_kg: (f64, f64),
    bounds: &mut Bounds<'_>,
) {
    if let Some(kg) = kg {
        bounds.number(&["equipment".into(), field_kg.into()], &format!("kg {of}"), kg.get(), limits_kg);
    }
    let Some(lb) = lb else { return };
    let path = ["equipment".into(), field_lb.into()];
    bounds.number(&path, &format!("lb {of}"), lb.get(), in_pounds(limits_kg));
    if kg.is_some() {
        bounds.refuse(
            &path,
            Code::EquipmentContradicts,
            format!("Both {field_kg} and {field_lb} are given."),
            "Keep the one that stands on it.",
        );
    }
}

/// A kind of disc, named by its weight: "20", "2.5", "45 lb"; a bare number is in the unit of its list.
fn discs(field: &'static str, disc: &str, pairs: u32, bounds: &mut Bounds<'_>) {
    let path = ["equipment".into(), field.into(), disc.into()];
    let name = disc.trim();
    let (number, unit) = match (name.strip_suffix("kg"), name.strip_suffix("lb")) {
        (Some(kg), _) => (kg, "kg"),
        (_, Some(lb)) => (lb, "lb"),
        _ => (name, if field == "disc_pairs" { "kg" } else { "lb" }),
    };
    let limits = if unit == "kg" { DISC_KG } else { in_pounds(DISC_KG) };
    match number.trim().replace(',', ".").parse::<f64>() {
        Ok(mass) => {
            bounds.number(&path, &format!("{unit} of a disc"), mass, limits);
        }
        Err(_) => bounds.refuse(
            &path,
            Code::EquipmentContradicts,
            format!("\"{}\" is not the weight of a disc.", printable(disc)),
            "Write the weight in quotes, then the number of pairs: \"2.5\" = 2, or \"45 lb\" = 2.",
        ),
    }
    if pairs == 0 {
        bounds.refuse(
            &path,
            Code::EquipmentContradicts,
            format!("There are 0 pairs of {} {unit} discs.", printable(number.trim())),
            "Leave out the discs that are not there.",
        );
    } else {
        bounds.count(&path, "pairs of a disc", pairs, (1, DISC_PAIRS_MAX));
    }
}

fn hand_weights(field: &'static str, list: impl Iterator<Item = f64>, bounds: &mut Bounds<'_>) {
    let (unit, limits) =
        if field.ends_with("_lb") { ("lb", in_pounds(HAND_WEIGHT_KG)) } else { ("kg", HAND_WEIGHT_KG) };
    for (i, mass) in list.enumerate().take(LIST_MAX) {
        let path = ["equipment".into(), field.into(), i.into()];
        bounds.number(&path, &format!("{unit} of one weight"), mass, limits);
    }
}

fn muscles(brief: &Brief, bounds: &mut Bounds<'_>) {
    for (muscle, wish) in &brief.muscles {
        let at = |field: &'static str| ["muscles".into(), muscle.id().into(), field.into()];
        let mut dose = |field: &'static str, sets: Option<setwright_model::FractionalSets>| match sets {
            Some(sets) => bounds.number(&at(field), "sets a week", sets.get(), (0.0, WEEKLY_SETS_MAX)),
            None => true,
        };
        let both = dose("least", wish.least) && dose("most", wish.most);
        if let (true, Some(least), Some(most)) = (both, wish.least, wish.most)
            && least > most
        {
            bounds.refuse(
                &at("least"),
                Code::LeastAboveMost,
                format!(
                    "The {} get at least {} and at most {} sets a week.",
                    muscle.name(),
                    least.get(),
                    most.get()
                ),
                "Lower the least, or raise the most.",
            );
        }
        if let Some(sessions) = wish.sessions {
            bounds.count(
                &at("sessions"),
                "sessions for a muscle",
                sessions,
                (0, brief.time.sessions.min(SESSIONS_MAX)),
            );
        }
        if let Some(hours) = wish.recovery_h {
            bounds.number(&at("recovery_h"), "hours of recovery", hours, RECOVERY_H);
        }
    }
}

fn lifts(brief: &Brief, catalogue: &Catalogue, bounds: &mut Bounds<'_>) {
    for (i, lift) in brief.lifts.iter().enumerate().take(LIST_MAX) {
        let at = |field: &'static str| ["lift".into(), i.into(), field.into()];
        let reps = bounds.count(&at("reps"), "reps of a lift", lift.reps, (1, LIFT_REPS_MAX));
        let rir = bounds.count(&at("rir"), "reps in reserve", lift.rir, (0, RIR_MAX));
        let doubt = catalogue
            .get(&lift.exercise)
            .filter(|_| reps && rir && lift.load_kg.get().is_finite() && lift.load_kg.get() >= 0.0)
            .and_then(|exercise| strength::implausible(lift, exercise, brief.body.mass_kg));
        match doubt {
            Some(doubt) => question(&at("load_kg"), &doubt, bounds),
            None => {
                bounds.number(&at("load_kg"), "kg of a lift", lift.load_kg.get(), (0.0, LOAD_KG_MAX));
            }
        }
    }
}

/// Puts the doubt about a lift to the coach. It reads "what; what to do".
fn question(path: super::doc::Path<'_>, doubt: &str, bounds: &mut Bounds<'_>) {
    let (what, hint) = doubt.split_once("; ").unwrap_or((doubt, "check the load, the reps and the unit"));
    bounds.refuse(path, Code::ImplausibleLoad, sentence(what), &sentence(hint));
}

fn locks(brief: &Brief, catalogue: &Catalogue, bounds: &mut Bounds<'_>) {
    let there = Room::of(&brief.equipment);
    for (i, lock) in brief.locks.iter().enumerate().take(LIST_MAX) {
        let at = |field: &'static str| ["lock".into(), i.into(), field.into()];
        if let Some(session) = lock.session {
            bounds.count(
                &at("session"),
                "as the number of a session",
                session,
                (1, brief.time.sessions.min(SESSIONS_MAX)),
            );
        }
        if let Some(sets) = lock.sets {
            bounds.count(&at("sets"), "sets of an exercise", sets, (1, SETS_MAX));
        }
        if lock.with.as_ref() == Some(&lock.exercise) {
            bounds.refuse(
                &at("with"),
                Code::LocksContradict,
                format!("{} is locked to alternate with itself.", lock.exercise),
                "Name another exercise, or leave \"with\" out for a straight block.",
            );
        }
        for (id, field) in [(Some(&lock.exercise), "exercise"), (lock.with.as_ref(), "with")] {
            let Some(exercise) = id.and_then(|id| catalogue.get(id)) else { continue };
            if let Some(missing) = there.missing_for(exercise).first() {
                bounds.refuse(
                    &at(field),
                    Code::LocksContradict,
                    format!("The {} is locked, and there is no {missing}.", exercise.name),
                    "Drop the lock, or name under equipment what is there.",
                );
            }
            if let Some(reason) = excluded(brief, exercise) {
                bounds.refuse(
                    &at(field),
                    Code::LocksContradict,
                    format!("The {} is locked, and {reason}.", exercise.name),
                    "Drop the lock, or the exclusion.",
                );
            }
        }
        clash_with_earlier(brief, i, lock, bounds);
    }
    too_many_locks(brief, bounds);
}

/// Why the brief excludes an exercise, when it does.
fn excluded(brief: &Brief, exercise: &Exercise) -> Option<String> {
    let exclude = &brief.exclude;
    if exclude.exercises.contains(&exercise.id) {
        return Some("the brief excludes it".to_owned());
    }
    if exclude.patterns.contains(&exercise.pattern) {
        return Some(format!("the brief excludes its pattern ({})", exercise.pattern.name()));
    }
    if let Some(ask) = exercise.asks.iter().find(|a| exclude.asks.contains(a)) {
        return Some(format!("the brief excludes what it asks ({})", ask.id()));
    }
    let muscle = exercise.direct.iter().find(|m| exclude.muscles.contains(m))?;
    Some(format!("the brief excludes direct work for the {}", muscle.name()))
}

fn clash_with_earlier(brief: &Brief, i: usize, lock: &Lock, bounds: &mut Bounds<'_>) {
    let earlier = brief.locks[..i]
        .iter()
        .find(|e| e.exercise == lock.exercise && e.session.is_some() && e.session == lock.session);
    if let (Some(earlier), Some(session)) = (earlier, lock.session) {
        let what = match (earlier.sets, lock.sets) {
            (Some(a), Some(b)) if a != b => format!("with {a} sets and with {b} sets"),
            _ => "twice".to_owned(),
        };
        bounds.refuse(
            &["lock".into(), i.into(), "exercise".into()],
            Code::LocksContradict,
            format!("{} is locked to session {session} {what}.", lock.exercise),
            "An exercise is used once in a session: keep one of the two locks.",
        );
    }
}

fn too_many_locks(brief: &Brief, bounds: &mut Bounds<'_>) {
    let exercises: BTreeSet<&ExerciseId> = brief.locks.iter().map(|l| &l.exercise).collect();
    for id in exercises {
        let count = brief.locks.iter().filter(|l| &l.exercise == id).count();
        if count > brief.time.sessions as usize {
            bounds.refuse(
                &["lock".into(), 0.into()],
                Code::LocksContradict,
                format!("{id} is locked {count} times, and there are {} sessions.", brief.time.sessions),
                "An exercise is used once in a session: keep at most one lock for each session.",
            );
        }
    }
}

fn style(brief: &Brief, bounds: &mut Bounds<'_>) {
    let focus = brief.style.focus.len();
    if focus != 0 && focus != brief.time.sessions as usize {
        bounds.refuse(
            &["style".into(), "focus".into()],
            Code::TimeDoesNotFit,
            format!("There are {focus} focuses for {} sessions.", brief.time.sessions),
            "Give one for each session in order, or none.",
        );
    }
    if let Some(tolerance) = brief.style.tolerance {
        bounds.number(
            &["style".into(), "tolerance".into()],
            "as the tolerance",
            tolerance.get(),
            (0.0, TOLERANCE_MAX),
        );
    }
}
