//! What a roadmap says in words: what each step asks, when to wait, what the minutes and days do not allow, and how the
//! bands are to be read.

use super::{Planned, RoadmapRequest, is_held_back};
use setwright_model::brief::TrainingAge;
use setwright_model::{Brief, Roadmap, RoadmapStep};
use setwright_science::roadmap::Step;

/// The sentences of a roadmap.
pub fn reasons(brief: &Brief, ask: RoadmapRequest, found: &Roadmap, ahead: &[Step]) -> Vec<String> {
    let mut out = Vec::new();
    for (index, step) in found.steps.iter().enumerate() {
        out.push(asked(found, index, step));
        out.extend(too_short(step));
    }
    if found.steps.is_empty() {
        return out;
    }
    out.extend(ahead.iter().filter(|s| is_held_back(s)).map(|s| held_back(brief, s)).take(1));
    if found.steps.len() > 1 {
        out.push(
            "Take a step when two sessions running were at the goal. Otherwise stay where you are and look again \
             after the next session; a week in which under half of the sessions were done does not count."
                .to_owned(),
        );
    }
    out.push(loads(found));
    out.extend(lighter(found));
    out.extend(not_known(brief, ask, found));
    out.push(format!(
        "Ninety of a hundred simulated clients lie within a band. They are drawn from what is believed of anyone like \
         {}; they are not {} until the ledger has weeks to go by.",
        brief.name, brief.name
    ));
    out
}

fn asked(found: &Roadmap, index: usize, step: &RoadmapStep) -> String {
    let when = if index == 0 { "Now".to_owned() } else { format!("From week {}", step.week) };
    let from =
        step.programme.sessions.iter().flat_map(setwright_model::Session::prescriptions).map(|p| p.sets);
    let (low, high) = from.fold((u32::MAX, 0), |(low, high), sets| (low.min(sets), high.max(sets)));
    let reached = match (index, reached(found, index)) {
        (0, _) => String::new(),
        (_, Some(week)) => format!(" Half of the simulated clients are there in week {week}."),
        (_, None) => " Within these weeks fewer than half of the simulated clients are there.".to_owned(),
    };
    format!(
        "{when}: {} of each movement, {} a session, {} in {} days, {} min.{reached}",
        sets_in_words(low, high),
        range(&step.sets, "set"),
        count(step.sessions, "session"),
        found.cycle_days,
        minutes(step),
    )
}

/// The week in which half of the clients have reached a step.
fn reached(found: &Roadmap, index: usize) -> Option<u32> {
    found.weeks.iter().find(|w| w.step >= index).map(|w| w.week)
}

fn too_short(step: &RoadmapStep) -> Option<String> {
    let [least, most] = step.sets_of_a_session?;
    let has = step.sets.iter().min()?;
    match step.minutes_needed {
        Some(needed) => Some(format!(
            "The brief's minutes hold {has} of the {least} to {most} sets that are meant from week {}: about {} min a \
             session would hold them.",
            step.week,
            needed.get()
        )),
        None if step.sets_out_of_reach => Some(format!(
            "From week {} on {least} to {most} sets are meant and {has} were found; longer sessions did not help: the \
             equipment, the exclusions or the wishes of the brief decide.",
            step.week
        )),
        None => None,
    }
}

fn held_back(brief: &Brief, step: &Step) -> String {
    format!(
        "From week {} on common practice would have {} in {} days; the brief has days for {}, so they stay. Add \
         possible_days to the brief to take them.",
        step.from_week.ceil() as u32 + 1,
        count(step.wanted, "session"),
        brief.time.cycle_days,
        step.sessions
    )
}

fn loads(found: &Roadmap) -> String {
    let first = found.steps.first().and_then(|s| s.programme.sessions.first());
    let example = first.and_then(|s| s.prescriptions().next()).map(|p| {
        format!(" (for {}-{} reps the goal is {})", p.reps[0], p.reps[1], whole_or_half(p.mid_reps()))
    });
    format!(
        "Add load when the last set went two reps over the goal, the middle of its reps{}, on two sessions running: 2 to \
         10 % more, as far as it can be made. Take 5 % off when it went two under twice.",
        example.unwrap_or_default()
    )
}

fn whole_or_half(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

fn lighter(found: &Roadmap) -> Option<String> {
    let most = found.weeks.iter().max_by(|a, b| a.lighter.get().total_cmp(&b.lighter.get()))?;
    let share = 100.0 * most.lighter.get();
    let how_many = if share < 1.0 {
        "hardly any simulated client needs one".to_owned()
    } else {
        format!("at most {share:.0} of a hundred simulated clients are in one (week {})", most.week)
    };
    Some(format!(
        "A lighter week with half of the sets is called for when most lifts went two reps under the goal on two \
         sessions running, once the first four weeks have shown the loads; {how_many}."
    ))
}

fn not_known(brief: &Brief, ask: RoadmapRequest, found: &Roadmap) -> Vec<String> {
    let mut out = Vec::new();
    let trained = matches!(ask.standing.age, TrainingAge::Intermediate | TrainingAge::Advanced);
    if trained && ask.standing.tolerated.is_none() {
        out.push(
            "How many sets of a movement were tolerated is not said, so it begins with the fewest; --tolerated says it."
                .to_owned(),
        );
    }
    if found.lifts.iter().any(|l| !l.in_kilograms) {
        out.push(format!(
            "Loads in % are shares of the first load, which {} finds on the day by the reps in reserve: no lift of the \
             brief tells them.",
            brief.name
        ));
    }
    out
}

/// Why a step has no programme.
pub fn conflict(step: &Step, planned: &Planned) -> Vec<String> {
    let mut out = vec![format!(
        "For the step from week {} ({}) no programme was found that keeps every rule.",
        step.from_week.ceil() as u32 + 1,
        sets_in_words(step.sets_of_a_movement.0, step.sets_of_a_movement.1)
    )];
    out.extend(planned.answer.conflict.iter().cloned());
    out
}

fn sets_in_words(low: u32, high: u32) -> String {
    match (low, high) {
        (1, 1) => "one set".to_owned(),
        (low, high) if low == high => format!("{low} sets"),
        (low, high) => format!("{low} to {high} sets"),
    }
}

fn range(values: &[u32], thing: &str) -> String {
    let (low, high) = (values.iter().min().copied().unwrap_or(0), values.iter().max().copied().unwrap_or(0));
    if low == high { count(low, thing) } else { format!("{low} to {high} {thing}s") }
}

fn minutes(step: &RoadmapStep) -> String {
    let of = |f: fn(f64, f64) -> f64, from: f64| step.minutes.iter().map(|m| m.get()).fold(from, f).round();
    let (low, high) = (of(f64::min, f64::MAX), of(f64::max, 0.0));
    if low >= high { format!("{high}") } else { format!("{low} to {high}") }
}

fn count(many: u32, thing: &str) -> String {
    if many == 1 { format!("1 {thing}") } else { format!("{many} {thing}s") }
}
