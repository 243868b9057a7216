//! The coming session with loads for how strong the client is believed to be that day, tired as he or she will be.

use super::{Known, LikelyRange, coming, history, hours, later};
use serde::Serialize;
use setwright_check::JudgedProgramme;
use setwright_gym::loads::Loadable;
use setwright_model::belief::{Basis, StrengthBelief};
use setwright_model::code::Code;
use setwright_model::ledger::Moment;
use setwright_model::refusal::Refusal;
use setwright_model::{
    Belief, Brief, Catalogue, Exercise, Hours, Kilograms, Muscle, Prescription, Programme, Session, Share,
};
use setwright_science::curve::Curve;
use setwright_science::prescribe::Scheme;
use setwright_science::screening::MayTrain;
use setwright_science::warmup::roles;
use setwright_science::{dose, ramp, strength};

/// The coming session.
#[derive(Clone, Debug)]
pub struct NextSession {
    /// When it is due by the programme.
    pub due: Moment,
    /// The hour that loads and readiness are calculated for: when it is due, or now if that is past.
    pub at: Moment,
    /// Its place in the programme, from 0.
    pub index: usize,
    /// The session with its loads, as the only one of its programme, and what the check says of it.
    pub programme: JudgedProgramme,
    /// What is known of each load.
    pub loads: Vec<LoadNote>,
    /// Muscles that may not be ready, the least ready first.
    pub not_ready: Vec<NotReady>,
    /// The session as the programme has it, with what is out for pain.
    pub published: Session,
}

/// What is known of a load.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LoadNote {
    /// Exercise.
    pub name: String,
    /// Load of the programme, as the exercise counts it.
    pub planned_kg: Option<Kilograms>,
    /// Load now.
    pub load_kg: Option<Kilograms>,
    /// Loads between which the right one lies in nine cases of ten, where the log tells it.
    pub likely_kg: Option<LikelyRange>,
}

/// A muscle that may not be ready.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NotReady {
    /// Plain name.
    pub name: &'static str,
    /// Probability that it is ready then.
    pub ready: f64,
    /// Fractional sets that the session asks of it.
    pub sets: f64,
}

/// A muscle is named as perhaps not ready from this dose on, and below this probability (judgement).
const NAMED_SETS: f64 = 1.0;
const NAMED_BELOW: f64 = 0.5;

/// The coming session of a client.
///
/// # Errors
/// No programme, or no brief.
pub fn next(may: MayTrain<&Known>, catalogue: &Catalogue) -> Result<NextSession, Refusal> {
    let known = *may.whom();
    let nothing = |what: &str, hint: &str| {
        let name = &known.client.card.name;
        Refusal::new(Code::NothingInForce, format!("{name} has no {what}."), hint)
    };
    let hint = "setwright plan BRIEF --publish CLIENT plans one and hands it out.";
    let (Some(state), Some(coming)) = (&known.programme, coming(known)) else {
        return Err(nothing("programme in force", hint));
    };
    let Some(brief) = &known.brief else {
        return Err(nothing("brief", "setwright client change CLIENT --brief FILE gives one."));
    };
    let at = if coming.due.unix_ms() < known.now.unix_ms() { known.now } else { coming.due };
    let published = state.programme.sessions.get(coming.index).cloned().unwrap_or_else(|| Session {
        day: coming.day,
        focus: String::new(),
        blocks: Vec::new(),
    });
    let planned = known.pains.without(&published);
    let (belief, likely) = tired_belief(known, &planned, at, catalogue);
    let session = loaded(&planned, brief, known.body_mass, &belief, catalogue);
    let loads = notes(&planned, &session, likely, catalogue);
    let not_ready = not_ready(known, &session, at, catalogue);
    let programme = Programme { sessions: vec![session], ..state.programme.clone() };
    let programme = JudgedProgramme::of(programme, Some(brief), catalogue, &belief);
    Ok(NextSession { due: coming.due, at, index: coming.index, programme, loads, not_ready, published })
}

/// The belief of the day, with the strength that each exercise of the session is expected to show, and the band of
/// its load.
pub fn tired_belief(
    known: &Known,
    session: &Session,
    at: Moment,
    catalogue: &Catalogue,
) -> (Belief, Vec<Option<LikelyRange>>) {
    let planned = history::planned(session);
    let mut belief = known.belief.clone();
    let forecasts = known.posterior.forecast(hours(at), &planned, catalogue);
    let bands = forecasts.iter().zip(&planned).map(|(forecast, planned)| {
        let (forecast, exercise) = (forecast.as_ref()?, catalogue.get(&planned.exercise)?);
        let share = Curve::of(exercise.curve).share(planned.reps + planned.rir).get();
        let one_rm = Kilograms(forecast.load.median.get() / share);
        let sd = Share((forecast.load.high.get() / forecast.load.low.get().max(1e-9) - 1.0).max(0.0) / 4.0);
        belief.one_rm.insert(planned.exercise.clone(), StrengthBelief { one_rm, basis: Basis::Lifted, sd });
        let body = strength::total(exercise, Kilograms::ZERO, known.body_mass)?.get();
        // A load that the body alone passes is none that can be hung on.
        (forecast.load.low.get() >= body)
            .then(|| LikelyRange::of(&forecast.load, |kg: Kilograms| kg.get() - body))
    });
    let bands = bands.collect();
    (belief, bands)
}

/// The session with loads and ramps for this belief.
pub fn loaded(
    session: &Session,
    brief: &Brief,
    mass: Option<Kilograms>,
    belief: &Belief,
    catalogue: &Catalogue,
) -> Session {
    weighed(session, brief, mass, belief, catalogue, |_| true)
}

/// The same, where only the exercises that are meant `anew` get the load that is believed now; ramps follow the order.
pub fn weighed(
    session: &Session,
    brief: &Brief,
    mass: Option<Kilograms>,
    belief: &Belief,
    catalogue: &Catalogue,
    anew: impl Fn(&Prescription) -> bool,
) -> Session {
    let mut out = session.clone();
    let exercises: Vec<&Exercise> = session.prescriptions().filter_map(|p| catalogue.get(&p.id)).collect();
    let mut roles = roles(&exercises).into_iter();
    let light = brief.training_age.is_first_weeks();
    for prescription in out.blocks.iter_mut().flat_map(|b| &mut b.exercises) {
        let Some(exercise) = catalogue.get(&prescription.id) else { continue };
        let Some(role) = roles.next() else { continue };
        let loadable = Loadable::of_client(brief, exercise).unwrap_or_else(|_| Loadable::none());
        if anew(prescription) {
            let scheme = Scheme { reps: prescription.reps, rir: prescription.rir };
            let load = strength::work_load(exercise, scheme, belief, &loadable, mass);
            prescription.load_kg = load.or(prescription.load_kg);
        }
        let (reps, rir, curve) = (prescription.mid_reps(), prescription.rir, Curve::of(exercise.curve));
        prescription.ramp =
            ramp::ramp(exercise, role, reps, rir, prescription.load_kg, &loadable, curve, light);
    }
    out
}

fn notes(
    planned: &Session,
    loaded: &Session,
    likely: Vec<Option<LikelyRange>>,
    catalogue: &Catalogue,
) -> Vec<LoadNote> {
    let both = planned.prescriptions().zip(loaded.prescriptions()).zip(likely);
    both.map(|((was, is), likely_kg)| LoadNote {
        name: catalogue.get(&is.id).map_or_else(|| is.id.to_string(), |e| e.name.clone()),
        planned_kg: was.load_kg,
        load_kg: is.load_kg,
        likely_kg,
    })
    .collect()
}

/// Muscles of a session that may not be ready then, the least ready first.
pub fn not_ready(known: &Known, session: &Session, at: Moment, catalogue: &Catalogue) -> Vec<NotReady> {
    let doses = dose::of_session(session, catalogue);
    let asked = Muscle::ALL.into_iter().filter(|m| doses[m.index()].get() >= NAMED_SETS);
    let mut out: Vec<NotReady> = asked
        .map(|m| NotReady {
            name: m.name(),
            ready: known.posterior.ready_probability(m, hours(at)).get(),
            sets: doses[m.index()].get(),
        })
        .filter(|m| m.ready < NAMED_BELOW)
        .collect();
    out.sort_by(|a, b| a.ready.total_cmp(&b.ready));
    out
}

/// The first whole day on which every muscle of the coming session is ready as likely as not, from its due hour on.
pub fn ready_day(known: &Known, session: &Session, from: Moment, catalogue: &Catalogue) -> Moment {
    const DAYS_AHEAD: u32 = 14;
    let days = (0..DAYS_AHEAD).map(|d| later(from, Hours(24.0 * f64::from(d))));
    let mut ready = days.filter(|at| not_ready(known, session, *at, catalogue).is_empty());
    ready.next().unwrap_or(from)
}
