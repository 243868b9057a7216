//! The reader of a log as a coach types it: one exercise a line, "8+2" for eight reps with two left.
//!
//! ```text
//! day: 2026-11-25 18:05
//! back squat: warm 60 kg for 5; 100 kg for 5+3 5+3 5+2
//! pull-up: body+5 kg for 6+1, 5+1, 5+0
//! plank: 45 40
//! sore: quads 4, chest 2
//! deload: 2026-11-16 to 2026-11-22
//! ```

use super::cells::number;
use super::doc::printable;
use super::names;
use super::near::nearest;
use super::read::Source;
use setwright_model::code::Code;
use setwright_model::exercise::LoadKind;
use setwright_model::ledger::{Date, Load, SetDone, SetKind, Spell, SpellKind};
use setwright_model::limits::{
    BODY_MASS_KG, EFFORT_MAX, LOAD_KG_MAX, NOTE_CHARS_MAX, REPS_MAX, RIR_MAX, SETS_AUDIT_MAX, SORENESS_MAX,
    SPELL_DAYS_MAX,
};
use setwright_model::name::turns;
use setwright_model::refusal::{Position, Refusal, Refusals};
use setwright_model::{Catalogue, Exercise, MassUnit, Muscle};

/// What was written of one session or one moment.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Written {
    /// The day, when it was said.
    pub day: Option<Date>,
    /// The minute of the day, when it was said.
    pub minute: Option<u32>,
    /// Sets in their order.
    pub sets: Vec<SetDone>,
    /// Soreness by muscle, from 0 to 10.
    pub sore: Vec<(Muscle, u32)>,
    /// Body mass.
    pub mass: Option<Load>,
    /// How hard the session was, from 0 to 10.
    pub effort: Option<u32>,
    /// Notes.
    pub notes: Vec<String>,
    /// Days that were not as usual, with the first of them.
    pub spells: Vec<(Spell, Date)>,
}

/// What the lines do not say themselves.
#[derive(Clone, Copy, Debug)]
pub struct LineOptions {
    /// What bare loads are in.
    pub unit: MassUnit,
    /// The day that "today" means.
    pub today: Date,
}

/// Whether an exercise is logged with a load, without, or either way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Loading {
    /// With one.
    Always,
    /// With or without.
    Maybe,
    /// Without.
    Never,
}

/// How an exercise is logged.
pub const fn loading(exercise: &Exercise) -> Loading {
    match exercise.load {
        LoadKind::BodyPlus => Loading::Maybe,
        LoadKind::Body | LoadKind::Band => Loading::Never,
        LoadKind::Bar
        | LoadKind::DumbbellPair
        | LoadKind::Dumbbell
        | LoadKind::Kettlebell
        | LoadKind::KettlebellPair
        | LoadKind::Stack
        | LoadKind::Discs
        | LoadKind::Single
        | LoadKind::Assisted => Loading::Always,
    }
}

/// What is wrong with a piece of a line, and a hint.
type Unread = (String, String);
type Read<T> = Result<T, Unread>;

fn refuse<T>(what: impl Into<String>, hint: impl Into<String>) -> Read<T> {
    Err((what.into(), hint.into()))
}

const LINE: &str = "A line reads exercise: load for reps+left, such as bench press: 80 kg for 8+2 8+1.";
const WORDS: [&str; 7] = ["day", "sore", "weighs", "effort", "note", "deload", "ill"];

/// Reads the lines; one entry for each day that is named, the first for what comes before any.
pub fn parse(source: &Source, catalogue: &Catalogue, options: LineOptions) -> Result<Vec<Written>, Refusals> {
    let mut entries = vec![Written::default()];
    let mut problems = Vec::new();
    for (at, line) in source.text.lines().enumerate() {
        let bare = line.trim();
        if bare.is_empty() || bare.starts_with('#') {
            continue;
        }
        let read = read_line(bare, catalogue, options, &mut entries);
        if let Err(mut problem) = read {
            let column = problem.place.take().and_then(|p| p.column).unwrap_or(1);
            let indent = line.chars().count() - line.trim_start().chars().count();
            problems.push(problem.at(Position::at(source.name.as_str(), at + 1, column + indent)));
        }
    }
    entries.retain(|entry| *entry != Written { day: entry.day, minute: entry.minute, ..Written::default() });
    if entries.is_empty() && problems.is_empty() {
        let place = Position::file(source.name.as_str());
        problems.push(Refusal::new(Code::Empty, "Nothing was logged.", LINE).at(place));
    }
    if problems.is_empty() { Ok(entries) } else { Err(problems) }
}

/// Reads one line into the entries. A problem carries the column alone.
fn read_line(
    line: &str,
    catalogue: &Catalogue,
    options: LineOptions,
    entries: &mut Vec<Written>,
) -> Result<(), Refusal> {
    let Some((head, tail)) = line.split_once(':') else {
        return Err(Refusal::new(
            Code::LogLine,
            format!("\"{}\" has no colon after the exercise.", printable(line)),
            LINE,
        ));
    };
    let column = head.chars().count() + 2;
    let said = |(what, hint): Unread| {
        Refusal::new(Code::LogLine, what, hint).at(Position::at(String::new(), 1, column))
    };
    let tail = tail.trim();
    let word = head.trim().to_lowercase();
    if word == "day" {
        let (day, minute) = day(tail, options.today).map_err(said)?;
        entries.push(Written { day: Some(day), minute, ..Written::default() });
        return Ok(());
    }
    let Some(entry) = entries.last_mut() else { return Ok(()) };
    match word.as_str() {
        "sore" => entry.sore.extend(sore(tail).map_err(said)?),
        "weighs" => entry.mass = Some(mass(tail, options.unit).map_err(said)?),
        "effort" => entry.effort = Some(up_to(tail, EFFORT_MAX, "An effort").map_err(said)?),
        "note" => entry.notes.push(note(tail).map_err(said)?),
        "deload" => entry.spells.push(spell(SpellKind::Deload, tail, options.today).map_err(said)?),
        "ill" => entry.spells.push(spell(SpellKind::Illness, tail, options.today).map_err(said)?),
        _ => {
            let exercise = names::resolve(head.trim(), catalogue).map_err(|p| or_word(p, &word))?;
            entry.sets.extend(sets(tail, exercise, options.unit).map_err(said)?);
        }
    }
    Ok(())
}

/// The same refusal with a hint at a word that begins a line, when that is nearer.
fn or_word(problem: Refusal, word: &str) -> Refusal {
    match nearest(word, WORDS.into_iter()) {
        Some(near) => Refusal { hint: format!("{} Or \"{near}:\"?", problem.hint), ..problem },
        None => problem,
    }
}

const DAY: &str = "A day reads 2026-11-25, or 2026-11-25 18:05, today or yesterday.";

fn day(text: &str, today: Date) -> Read<(Date, Option<u32>)> {
    let mut words = text.split_whitespace();
    let date = date(words.next().unwrap_or_default(), today)?;
    if date > today.plus(1) {
        return refuse(format!("{date} has not come yet."), "What was done is logged afterwards.");
    }
    match (words.next(), words.next()) {
        (None, _) => Ok((date, None)),
        (Some(clock), None) => match minute_of_day(clock) {
            Some(minute) => Ok((date, Some(minute))),
            None => refuse(format!("\"{}\" is no time of day.", printable(clock)), DAY),
        },
        (Some(_), Some(more)) => {
            refuse(format!("\"{}\" is more than a day and a time.", printable(more)), DAY)
        }
    }
}

fn date(word: &str, today: Date) -> Read<Date> {
    match word.to_lowercase().as_str() {
        "today" => Ok(today),
        "yesterday" => Ok(today.plus(-1)),
        word => word.parse().or_else(|_| refuse(format!("\"{}\" is no day.", printable(word)), DAY)),
    }
}

/// Days that were not as usual: the first, and the last if there are more. They may lie ahead: a deload is planned.
fn spell(kind: SpellKind, text: &str, today: Date) -> Read<(Spell, Date)> {
    const HINT: &str = "It reads deload: 2026-11-16 to 2026-11-22, or ill: yesterday.";
    let (first, last) = match text.split_whitespace().collect::<Vec<_>>().as_slice() {
        [first] => (date(first, today)?, date(first, today)?),
        [first, "to", last] => (date(first, today)?, date(last, today)?),
        _ => return refuse(format!("\"{}\" are no days.", printable(text)), HINT),
    };
    let days = last.days() - first.days() + 1;
    match u32::try_from(days) {
        Ok(days) if (1..=SPELL_DAYS_MAX).contains(&days) => Ok((Spell { kind, days }, first)),
        _ if days < 1 => refuse(format!("{last} is before {first}."), HINT),
        _ => refuse(format!("{days} days."), format!("At most {SPELL_DAYS_MAX} at once.")),
    }
}

/// Minutes of "18:05".
pub fn minute_of_day(text: &str) -> Option<u32> {
    let (hours, minutes) = text.split_once(':')?;
    let digits = |t: &str| (t.len() <= 2 && t.bytes().all(|b| b.is_ascii_digit())).then(|| t.parse().ok())?;
    let (hours, minutes): (u32, u32) = (digits(hours)?, digits(minutes)?);
    (hours < 24 && minutes < 60).then_some(hours * 60 + minutes)
}

fn sore(text: &str) -> Read<Vec<(Muscle, u32)>> {
    const HINT: &str = "It reads sore: quads 4, lower back 2; from 0 (nothing) to 10.";
    let one = |piece: &str| {
        let Some((muscle, level)) = piece.trim().rsplit_once(char::is_whitespace) else {
            return refuse(format!("\"{}\" is no muscle with a number.", printable(piece.trim())), HINT);
        };
        Ok((muscle_named(muscle)?, up_to(level, SORENESS_MAX, "Soreness")?))
    };
    let found: Vec<(Muscle, u32)> = text.split(',').map(one).collect::<Read<_>>()?;
    if found.is_empty() { refuse("No muscle is named.", HINT) } else { Ok(found) }
}

/// The muscle of this name or identifier.
fn muscle_named(words: &str) -> Read<Muscle> {
    let plain = words.trim().to_lowercase();
    let called = |m: &Muscle| m.name() == plain || m.id() == plain.replace([' ', '-'], "_");
    if let Some(muscle) = Muscle::ALL.into_iter().find(called) {
        return Ok(muscle);
    }
    let hint = match nearest(&plain, Muscle::ALL.iter().map(|m| m.name())) {
        Some(near) => format!("Did you mean \"{near}\"?"),
        None => format!("Muscles are {}.", Muscle::ALL.map(Muscle::name).join(", ")),
    };
    refuse(format!("There is no muscle \"{}\".", printable(&plain)), hint)
}

fn mass(text: &str, unit: MassUnit) -> Read<Load> {
    let load = load(text, unit)?;
    let (low, high) = BODY_MASS_KG;
    if !(low..=high).contains(&load.kg.get()) {
        return refuse(
            format!("\"{}\" cannot be meant.", printable(text)),
            "Nobody weighs less than 25 or more than 300 kg.",
        );
    }
    Ok(load)
}

fn note(text: &str) -> Read<String> {
    let unfit = |c: char| turns(c) || c.is_control();
    let fits = !text.is_empty() && text.chars().count() <= NOTE_CHARS_MAX && !text.chars().any(unfit);
    if fits { Ok(text.to_owned()) } else { refuse("The note cannot be kept.", "Up to 2,000 plain letters.") }
}

fn up_to(text: &str, most: u32, what: &str) -> Read<u32> {
    match text.trim().parse() {
        Ok(level) if level <= most => Ok(level),
        _ => refuse(
            format!("\"{}\" was not understood.", printable(text.trim())),
            format!("{what} is a whole number from 0 to {most}."),
        ),
    }
}

/// Sets of one exercise: groups with one load each, apart by semicolons.
fn sets(text: &str, exercise: &Exercise, unit: MassUnit) -> Read<Vec<SetDone>> {
    let mut done = Vec::new();
    for group in text.split(';').map(str::trim).filter(|g| !g.is_empty()) {
        done.extend(group_of_sets(group, exercise, unit)?);
    }
    match done.len() {
        0 => refuse("There is no set.", LINE),
        n if n <= SETS_AUDIT_MAX as usize => Ok(done),
        n => refuse(format!("{n} sets of one exercise."), format!("At most {SETS_AUDIT_MAX} are read.")),
    }
}

fn group_of_sets(group: &str, exercise: &Exercise, unit: MassUnit) -> Read<Vec<SetDone>> {
    let (kind, group) = match group.strip_prefix("warm ").or(group.strip_prefix("Warm ")) {
        Some(rest) => (SetKind::WarmUp, rest.trim()),
        None => (SetKind::Work, group),
    };
    let (load, sets) = match split_for(group) {
        Some((load, sets)) => (body_or_load(load, exercise, unit)?, sets),
        None => (no_load(exercise)?, group),
    };
    let set = |(reps, rir)| SetDone { exercise: exercise.id.clone(), kind, load, reps, rir, rest_s: None };
    Ok(reps(sets)?.into_iter().map(set).collect())
}

/// The load before " for " and the sets behind it.
fn split_for(group: &str) -> Option<(&str, &str)> {
    let lower = group.to_ascii_lowercase();
    let at = lower.find(" for ")?;
    let (load, rest) = group.split_at_checked(at)?;
    Some((load.trim(), rest.get(5..)?.trim()))
}

fn no_load(exercise: &Exercise) -> Read<Option<Load>> {
    match loading(exercise) {
        Loading::Always => refuse(
            format!("The load of the {} is missing.", exercise.name),
            format!("Say it before the reps: {}: 40 kg for 8+2.", exercise.name),
        ),
        Loading::Maybe | Loading::Never => Ok(None),
    }
}

fn body_or_load(text: &str, exercise: &Exercise, unit: MassUnit) -> Read<Option<Load>> {
    let lower = text.to_lowercase();
    let added = match lower.strip_prefix("body") {
        Some(rest) if rest.trim().is_empty() => return no_load(exercise),
        Some(rest) => match rest.trim().strip_prefix('+') {
            Some(added) => added.trim().to_owned(),
            None => {
                return refuse(
                    format!("\"{}\" was not understood as a load.", printable(text)),
                    "With the body it reads body, or body+10 kg; help by a machine is an exercise of its own.",
                );
            }
        },
        None => lower.clone(),
    };
    if loading(exercise) == Loading::Never {
        return refuse(
            format!("The {} is logged without a load.", exercise.name),
            format!("Leave it out: {}: 8+2 8+1. A weighted one is another exercise.", exercise.name),
        );
    }
    if lower.starts_with("body") && loading(exercise) == Loading::Always {
        return refuse(
            format!("The {} is not loaded by the body.", exercise.name),
            format!("Say the load: {}: 40 kg for 8+2.", exercise.name),
        );
    }
    load(&added, unit).map(Some)
}

/// A number with or without its unit.
pub fn load(text: &str, unit: MassUnit) -> Read<Load> {
    const HINT: &str = "A load reads 80, 80 kg, 82.5 kg or 135 lb.";
    let lower = text.trim().to_lowercase();
    let cut = lower.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ','))).unwrap_or(lower.len());
    let (value, said) = lower.split_at(cut);
    let unit = match said.trim() {
        "" => unit,
        "kg" | "kgs" | "kilos" => MassUnit::Kg,
        "lb" | "lbs" | "pounds" => MassUnit::Lb,
        _ => return refuse(format!("\"{}\" was not understood as a load.", printable(text)), HINT),
    };
    let value = number(value).filter(|_| !in_thousands(value));
    let Some(value) = value else {
        return refuse(format!("\"{}\" was not understood as a load.", printable(text)), HINT);
    };
    let load = Load::new(value, unit);
    if load.kg.get() > LOAD_KG_MAX {
        return refuse(
            format!("{} cannot be meant.", printable(text)),
            format!("A load is at most {LOAD_KG_MAX} kg."),
        );
    }
    Ok(load)
}

/// Whether a comma stands where thousands are marked ("1,000"), which would be read as one.
pub fn in_thousands(text: &str) -> bool {
    text.split_once(',').is_some_and(|(_, after)| after.len() == 3)
}

/// Reps and reps left of each set: "8+2, 8+1", "3 of 8+2", "45 s".
fn reps(text: &str) -> Read<Vec<(u32, Option<u32>)>> {
    const HINT: &str = "Sets read 8+2 8+1 7: reps, and what was left. Three alike read 3 of 8+2.";
    let not_understood =
        |word: &str| refuse(format!("\"{}\" was not understood as reps.", printable(word)), HINT);
    let plain = joined(text);
    let mut done = Vec::new();
    let mut times = None;
    let mut words = plain.split([' ', '\t']).filter(|w| !w.is_empty()).peekable();
    while let Some(word) = words.next() {
        let word = word.trim_end_matches(',');
        if words.peek() == Some(&"of") {
            words.next();
            times = Some(match word.parse::<usize>() {
                Ok(n) if times.is_none() && (1..=SETS_AUDIT_MAX as usize).contains(&n) => n,
                _ => return not_understood(word),
            });
            continue;
        }
        let is_counted_in = !done.is_empty() && times.is_none();
        if is_counted_in && matches!(word, "s" | "sec" | "m" | "reps" | "rep" | "left") {
            continue;
        }
        let Some(set) = one_set(word) else { return not_understood(word) };
        done.extend(std::iter::repeat_n(set, times.take().unwrap_or(1)));
    }
    if times.is_some() { not_understood(text) } else { Ok(done) }
}

/// The text without blanks around a plus.
fn joined(text: &str) -> String {
    let mut plain = text.to_lowercase();
    for (from, to) in [(" +", "+"), ("+ ", "+")] {
        while plain.contains(from) {
            plain = plain.replace(from, to);
        }
    }
    plain
}

fn one_set(word: &str) -> Option<(u32, Option<u32>)> {
    let digits =
        |t: &str| (!t.is_empty() && t.bytes().all(|b| b.is_ascii_digit())).then(|| t.parse::<u32>().ok())?;
    let (reps, left) = match word.split_once('+') {
        Some((reps, left)) => (reps, Some(digits(left)?)),
        None => (word, None),
    };
    let reps = digits(reps.trim_end_matches(['s', 'm']))?;
    (reps <= REPS_MAX && left.is_none_or(|l| l <= RIR_MAX)).then_some((reps, left))
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_gym::catalogue::builtin;

    fn read(text: &str) -> Result<Vec<Written>, String> {
        let source = Source { name: "log".to_owned(), text: text.to_owned() };
        let options = LineOptions { unit: MassUnit::Kg, today: "2026-11-25".parse().unwrap() };
        parse(&source, builtin(), options).map_err(|p| format!("{} {}", p[0], p[0].hint))
    }

    /// Each set as "exercise load reps left", apart by semicolons.
    fn sets(line: &str) -> String {
        let shown = |s: &SetDone| {
            let load = s.load.map_or("body".to_owned(), |l| format!("{}{}", l.value, l.unit.symbol()));
            let left = s.rir.map_or("?".to_owned(), |r| r.to_string());
            let warm = if s.kind == SetKind::WarmUp { "warm " } else { "" };
            format!("{warm}{} {load} {} {left}", s.exercise, s.reps)
        };
        match read(line) {
            Ok(entries) => entries[0].sets.iter().map(shown).collect::<Vec<_>>().join("; "),
            Err(refusal) => refusal,
        }
    }

    #[test]
    fn a_line_is_an_exercise_a_load_and_reps_with_what_was_left() {
        for (line, want) in [
            ("bench press: 80 kg for 8+2", "bench_press 80kg 8 2"),
            (
                "Bench Press: 80 for 8+2, 8 + 1 7",
                "bench_press 80kg 8 2; bench_press 80kg 8 1; bench_press 80kg 7 ?",
            ),
            ("bench press: 82,5kg for 2 of 8+2", "bench_press 82.5kg 8 2; bench_press 82.5kg 8 2"),
            ("bench press: 135 lb for 5; 145 lb for 3+0", "bench_press 135lb 5 ?; bench_press 145lb 3 0"),
            ("squats: warm 60 kg for 5; 100 kg for 5+3", "warm back_squat 60kg 5 ?; back_squat 100kg 5 3"),
            ("pull-up: 8+1 7", "pull_up body 8 1; pull_up body 7 ?"),
            ("pull-up: body for 8", "pull_up body 8 ?"),
            ("pull-up: body + 10 kg for 5+1", "pull_up 10kg 5 1"),
            ("plank: 45 s, 40s", "plank body 45 ?; plank body 40 ?"),
            ("bench press: 100 kg for 0", "bench_press 100kg 0 ?"),
        ] {
            assert_eq!(sets(line), want, "{line}");
        }
    }

    #[test]
    fn a_line_that_is_not_understood_says_where_and_how_it_reads() {
        for (line, holds) in [
            ("bench press 80 kg 8", "SW051"),
            ("bench pres: 80 kg for 8", "Did you mean \"bench press\""),
            ("bench press: 8+2", "The load of the bench press is missing"),
            ("bench press: body for 8", "is missing"),
            ("bench press: body+5 kg for 8", "is not loaded by the body"),
            ("pull-up: body-20 kg for 8", "body+10 kg"),
            ("plank: 10 kg for 45", "without a load"),
            ("bench press: 80 stone for 8", "was not understood as a load"),
            ("bench press: 1,000 for 8", "was not understood as a load"),
            ("bench press: 700 kg for 8", "at most 600 kg"),
            ("bench press: 80 kg for eight", "\"eight\" was not understood as reps"),
            ("bench press: 80 kg for 8,8", "was not understood as reps"),
            ("bench press: 80 kg for 8+11", "was not understood as reps"),
            ("bench press: 80 kg for 3 of", "was not understood as reps"),
            ("bench press: 80 kg for 31 of 8", "was not understood as reps"),
            ("bench press: 80 kg for 16 of 8; 70 kg for 15 of 8", "31 sets"),
            ("bench press: 80 kg for", "is missing"),
            ("bench press:", "There is no set"),
            ("sore: quads", "no muscle with a number"),
            ("sore: quats 4", "Did you mean \"quads\""),
            ("sore: quads 11", "from 0 to 10"),
            ("ill: last week", "are no days"),
            ("ill: 2026-11-20 to 2026-11-19", "2026-11-19 is before 2026-11-20"),
            ("deload: 2026-11-20 to 2027-11-19", "At most 180"),
            ("delode: today", "Or \"deload:\""),
            ("weighs: 20 kg", "cannot be meant"),
            ("day: 25.11.2026", "is no day"),
            ("day: 2026-12-25", "has not come yet"),
            ("day: 2026-11-25 25:00", "is no time of day"),
            ("efort: 7", "effort"),
            ("# nothing", "Nothing was logged"),
        ] {
            let said = sets(line);
            assert!(said.contains(holds), "{line}: {said}");
        }
        assert!(sets("\n  bench press: 80 kg for x").starts_with("log:2:15: SW051"));
    }

    #[test]
    fn days_begin_entries_and_other_words_go_into_them() {
        let entries = read(
            "sore: quads 4, lower back 2\nday: yesterday 18:05\nsquat: 100 kg for 5\nnote: slept: badly\n\
             effort: 7\nday: 2026-11-25\nweighs: 154 lb\nday: today\n",
        )
        .unwrap();
        assert_eq!(entries.len(), 3, "a day with nothing under it is nothing");
        assert_eq!(entries[0].sore, [(Muscle::Quads, 4), (Muscle::LowerBack, 2)]);
        assert_eq!((entries[1].minute, entries[1].effort), (Some(1_085), Some(7)));
        assert_eq!(entries[1].day.unwrap().to_string(), "2026-11-24");
        assert_eq!(entries[1].notes, ["slept: badly"]);
        assert_eq!(entries[2].mass, Some(Load::new(154.0, MassUnit::Lb)));
    }

    #[test]
    fn no_exercise_is_called_like_a_word_that_begins_a_line() {
        for word in WORDS {
            assert!(names::resolve(word, builtin()).is_err(), "{word}");
        }
    }
}
