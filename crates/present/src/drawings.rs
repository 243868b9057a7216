//! Views of the drawings, filled from programmes and beliefs. Everything that is drawn was reckoned by others.

use super::figures;
use super::view::{BlockView, LineView, ProgrammeView, SessionView};
use setwright_coaching::curve::each;
use setwright_coaching::insight::{Known, hours};
use setwright_model::ledger::{Date, EventId, SetKind};
use setwright_model::{
    Band, Catalogue, ExerciseId, FractionalSets, Hours, Kilograms, MassUnit, Muscle, Reps, Roadmap,
    RoadmapLift, RoadmapWeek, Session, TradeOff,
};
use setwright_paper::{
    Bar, BarKind, BlockBand, CurvePoint, CurveView, Dose, Lane, Lanes, Logged, RoadmapPanel, RoadmapView,
    Stem, StrengthView, Strip, StripRow,
};
use setwright_science::clock::Activity;
use setwright_science::curve::{self, Curve};
use setwright_science::dose::{self, Doses};
use setwright_science::{recovery, strength};
use setwright_store::SetState;
use std::collections::BTreeMap;

const DAY_H: f64 = 24.0;
/// Days of the strip: past and coming.
const BEFORE: i64 = 9;
const AHEAD: i64 = 6;
/// Reps in reserve up to which a set counts as near failure (judgement).
const NEAR_FAILURE: u32 = 1;

/// The lanes of a session.
pub fn lanes(session: &Session, view: &SessionView, unit: MassUnit, catalogue: &Catalogue) -> Lanes {
    let timeline = &view.timeline;
    let blocks = session.blocks.iter().zip(&view.blocks).enumerate().map(|(b, (block, shown))| BlockBand {
        label: letter_of(shown),
        lanes: block
            .exercises
            .iter()
            .zip(&shown.lines)
            .enumerate()
            .map(|(l, (prescription, line))| {
                let share = catalogue.get(&prescription.id).map(|e| {
                    let to_failure = Reps(prescription.mid_reps() + f64::from(prescription.rir));
                    Curve::of(e.curve).share(to_failure).get()
                });
                let events = timeline.events.iter().filter(|e| e.block == b && e.lane == l);
                let bars = events.map(|e| Bar {
                    from_s: e.start.get(),
                    length_s: e.length.get(),
                    kind: kind(e.activity, share, prescription.rir),
                });
                Lane {
                    id: line.id.clone(),
                    name: line.name.clone(),
                    what: what(line, unit),
                    bars: bars.collect(),
                }
            })
            .collect(),
    });
    Lanes {
        title: match view.focus.as_str() {
            "" => format!("Session {}, day {}", view.number, view.day),
            focus => format!("Session {}, day {}, {focus}", view.number, view.day),
        },
        limit_s: view.limit_minutes.map(|m| 60.0 * m),
        end_s: timeline.total.get(),
        blocks: blocks.collect(),
    }
}

const fn kind(activity: Activity, share: Option<f64>, rir: u32) -> BarKind {
    match activity {
        Activity::Work(_) => BarKind::Work { share, near_failure: rir <= NEAR_FAILURE },
        Activity::Ramp(_) => BarKind::Ramp,
        Activity::SetUp | Activity::ColdStart => BarKind::SetUp,
        Activity::Walk => BarKind::Walk,
        Activity::Rest => BarKind::Rest,
    }
}

fn letter_of(block: &BlockView) -> String {
    let label = block.lines.first().map_or("", |l| l.label.as_str());
    label.trim_end_matches(|c: char| c.is_ascii_digit()).to_owned()
}

/// "3 x 8-12 a side, 60 kg".
pub fn what(line: &LineView, unit: MassUnit) -> String {
    let load = line.load.kg.map_or_else(String::new, |kg| format!(", {}", unit.load(kg)));
    format!("{}{load}", sets(line))
}

/// "3 x 8-12 a side".
pub fn sets(line: &LineView) -> String {
    let counted = if line.counted_in.is_empty() { String::new() } else { format!(" {}", line.counted_in) };
    let side = if line.each_side { " a side" } else { "" };
    format!("{} x {}{counted}{side}", line.sets, figures::range(line.reps))
}

/// Doses of a programme against its brief.
pub fn doses(view: &ProgrammeView) -> Vec<Dose> {
    let trained = view.muscles.iter().filter(|m| m.sets_per_week > 0.0 || m.least.is_some());
    let one = |m: &super::view::MuscleView| Dose {
        name: m.name.to_owned(),
        sets: m.sets_per_week,
        least: m.least,
        most: m.most,
    };
    trained.map(one).collect()
}

/// The recovery strip of a client: the last days and the coming ones, muscles that were or will be trained.
pub fn strip(known: &Known, label: impl Fn(Date) -> String, catalogue: &Catalogue) -> Strip {
    let today = known.now.date();
    let first = today.plus(-BEFORE);
    let zero_h = hours(known.now).get() - day_share(known) * DAY_H - BEFORE as f64 * DAY_H;
    let days = (0..BEFORE + AHEAD).map(|d| label(first.plus(d))).collect();
    let place = |at: Hours| (at.get() - zero_h) / DAY_H;
    let done = done_doses(known, catalogue);
    let planned = planned_doses(known, catalogue);
    let rows = Muscle::ALL.into_iter().filter_map(|muscle| {
        let m = muscle.index();
        let stem = |at: &Hours, doses: &Doses, planned: bool| {
            let sets = doses.get(m).copied().unwrap_or(FractionalSets(0.0));
            let at_day = place(*at);
            let shown = sets.get() >= SHOWN_SETS && (0.0..(BEFORE + AHEAD) as f64).contains(&at_day);
            shown.then(|| Stem {
                at: at_day,
                sets: sets.get(),
                planned,
                ready: Some(ready(known, muscle, sets, *at, &place)),
            })
        };
        let past = done.iter().filter_map(|(at, doses)| stem(at, doses, false));
        let coming = planned.iter().filter_map(|(at, doses)| stem(at, doses, true));
        let stems: Vec<Stem> = past.chain(coming).collect();
        let usual = (FractionalSets(recovery::USUAL_SETS), Reps(recovery::USUAL_RIR));
        (!stems.is_empty()).then(|| StripRow {
            name: muscle.name().to_owned(),
            stems,
            of_population: known.posterior.is_of_population(muscle, usual.0, usual.1),
        })
    });
    let rows = rows.collect();
    let title = format!("Recovery of {}", known.client.card.name);
    Strip { title, days, now: BEFORE as f64 + day_share(known), rows }
}

/// Fractional sets under which a stem is left out.
const SHOWN_SETS: f64 = 0.75;

/// How much of today is over.
fn day_share(known: &Known) -> f64 {
    let minute = known.now.unix_ms() / 60_000 + i64::from(known.now.offset_min());
    minute.rem_euclid(24 * 60) as f64 / (24.0 * 60.0)
}

fn ready(
    known: &Known,
    muscle: Muscle,
    sets: FractionalSets,
    at: Hours,
    place: &impl Fn(Hours) -> f64,
) -> [f64; 3] {
    let after = known.posterior.ready(muscle, sets, Reps(recovery::USUAL_RIR));
    [after.low, after.median, after.high].map(|h| place(at + h))
}

fn done_doses(known: &Known, catalogue: &Catalogue) -> Vec<(Hours, Doses)> {
    let recent =
        known.sessions.iter().filter(|s| known.now.hours_since(s.at).get() < (BEFORE + 1) as f64 * DAY_H);
    recent
        .map(|session| {
            let mut doses = [FractionalSets(0.0); Muscle::COUNT];
            let own = known.sets.iter().filter(|s| s.session == session.id && s.done.kind == SetKind::Work);
            for exercise in own.filter_map(|s| catalogue.get(&s.done.exercise)) {
                for (muscle, share) in exercise.contributions() {
                    doses[muscle.index()] += FractionalSets(share);
                }
            }
            (hours(session.at), doses)
        })
        .collect()
}

fn planned_doses(known: &Known, catalogue: &Catalogue) -> Vec<(Hours, Doses)> {
    let Some((programme, next)) =
        setwright_coaching::insight::to_train(known).zip(setwright_coaching::insight::coming(known))
    else {
        return Vec::new();
    };
    let due = hours(next.due).get().max(hours(known.now).get());
    let count = programme.sessions.len();
    let cycle = programme.cycle_days.max(1);
    let ahead = (0..count).filter_map(|k| {
        let session = programme.sessions.get((next.index + k) % count)?;
        let days = (session.day + cycle - next.day) % cycle;
        Some((Hours(due + DAY_H * f64::from(days)), dose::of_session(session, catalogue)))
    });
    ahead.collect()
}

/// Strength in an exercise over the log.
pub fn strength_of(
    known: &Known,
    id: &ExerciseId,
    unit: MassUnit,
    catalogue: &Catalogue,
) -> Option<StrengthView> {
    let exercise = catalogue.get(id)?;
    let told = known.posterior.strength(id)?;
    let body = strength::total(exercise, Kilograms::ZERO, known.body_mass).map_or(0.0, Kilograms::get);
    let own = |total: Kilograms| unit.number(Kilograms(total.get() - body));
    let done: Vec<&SetState> = known.sets.iter().filter(|s| s.done.exercise == *id).collect();
    let first = done.first()?.at;
    let told_by = |set: &SetState| {
        let load = set.done.load.map_or(Kilograms::ZERO, |l| l.kg);
        let total = strength::total(exercise, load, known.body_mass)?;
        let (reps, rir) = (Reps(f64::from(set.done.reps)), Reps(f64::from(set.done.rir?)));
        (set.done.kind == SetKind::Work && reps.get() >= 1.0)
            .then(|| own(curve::one_rm(total, reps, rir, Curve::of(exercise.curve))))
    };
    let mut best: BTreeMap<EventId, f64> = BTreeMap::new();
    for (set, e1rm) in done.iter().filter_map(|set| Some((set, told_by(set)?))) {
        let so_far = best.entry(set.session).or_insert(e1rm);
        *so_far = so_far.max(e1rm);
    }
    let logged = known.sessions.iter().filter_map(|session| {
        let e1rm = best.get(&session.id).copied().filter(|e1rm| e1rm.is_finite())?;
        Some(Logged { day: session.at.hours_since(first).get() / DAY_H, e1rm })
    });
    let now = [told.one_rm.low, told.one_rm.median, told.one_rm.high].map(own);
    let last = known.sessions.last()?.at;
    Some(StrengthView {
        name: exercise.name.clone(),
        unit: unit.symbol().to_owned(),
        logged: logged.collect(),
        now,
        now_day: last.hours_since(first).get() / DAY_H,
        ends: [first.date().to_string(), last.date().to_string()],
    })
}

/// The exercise that most sessions had, the first by name where several did.
pub fn most_done(known: &Known) -> Option<ExerciseId> {
    let sessions = known.history.sessions_by_exercise();
    let mut all: Vec<(usize, &ExerciseId)> =
        known.posterior.exercises().map(|id| (sessions.get(id).copied().unwrap_or(0), id)).collect();
    all.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(b.1)));
    all.first().map(|(_, id)| (*id).clone())
}

/// Minutes against benefit.
pub fn curve(client: &str, found: &TradeOff) -> CurveView {
    let same = found.points.iter().all(|p| each(p).is_some());
    let point = |p: &setwright_model::TradeOffPoint| CurvePoint {
        minutes: each(p).filter(|_| same).unwrap_or(p.change_min).get(),
        value: p.value,
        bound: p.bound,
        ruled_out: p.ruled_out,
    };
    let minutes = if same { "minutes a session" } else { "minutes more in each session" };
    CurveView {
        title: format!("Minutes against benefit for {client}"),
        minutes: minutes.to_owned(),
        points: found.points.iter().map(point).collect(),
        own: found.own,
    }
}

/// Lifts of a roadmap that are drawn beside sets and sessions.
const LIFTS_DRAWN: usize = 2;

/// What a lift of a roadmap is shown in: a share of its first load where no load was told.
pub const fn roadmap_unit(lift: &RoadmapLift, unit: MassUnit) -> &'static str {
    if lift.in_kilograms { unit.symbol() } else { "% of the first load" }
}

/// A load of a roadmap as [`roadmap_unit`] says.
pub fn roadmap_load(band: Band, lift: &RoadmapLift, unit: MassUnit) -> Band {
    let one = |v: f64| if lift.in_kilograms { unit.number(Kilograms(v)) } else { 100.0 * v };
    Band { low: one(band.low), median: one(band.median), high: one(band.high) }
}

/// What is to be expected over weeks.
pub fn roadmap(client: &str, found: &Roadmap, unit: MassUnit) -> RoadmapView {
    let plain = |b: Band| [b.low, b.median, b.high];
    let panel = |name: &str, of: &dyn Fn(&RoadmapWeek) -> Option<Band>| RoadmapPanel {
        name: name.to_owned(),
        bands: found.weeks.iter().map(|w| of(w).map(plain)).collect(),
    };
    let mut panels = vec![
        panel("sets a session", &|w| Some(w.sets)),
        panel(&format!("sessions in {} days", found.cycle_days), &|w| Some(w.sessions)),
    ];
    for (nth, lift) in found.lifts.iter().enumerate().take(LIFTS_DRAWN) {
        let shown = |b| roadmap_load(b, lift, unit);
        let name = format!("{}, {}", lift.name, roadmap_unit(lift, unit));
        panels.push(panel(&name, &|w| w.lifts.get(nth)?.load.map(shown)));
    }
    let begins = |pair: &[RoadmapWeek]| match pair {
        [before, after] if after.step > before.step => Some(after.week as usize),
        _ => None,
    };
    RoadmapView {
        title: format!("Roadmap for {client}"),
        weeks: found.weeks.len(),
        steps: found.weeks.windows(2).filter_map(begins).collect(),
        panels,
    }
}
