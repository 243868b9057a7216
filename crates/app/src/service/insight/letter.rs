//! A piece of advice as a letter: what, why, how sure, what it would change.

use super::Known;
use super::advice::{AdviceLine, Changed, Place};
use crate::units;
use crate::words::capital;
use setwright_estimate::Interval;
use setwright_estimate::advice::{Advice, Doing, Evidence, What};
use setwright_model::{Catalogue, ExerciseId, FractionalSets, Kilograms, Muscle, Share};
use setwright_science::strength;

/// A probability as it is said: never certain, never impossible.
pub fn probability(p: f64) -> String {
    const ENDS: [f64; 2] = [0.01, 0.99];
    match p {
        p if p > ENDS[1] => "over 0.99".to_owned(),
        p if p < ENDS[0] => "under 0.01".to_owned(),
        p => format!("{p:.2}").trim_end_matches('0').to_owned(),
    }
}

fn percent(share: Share) -> f64 {
    (1000.0 * share.get()).round() / 10.0
}

fn band(of: &Interval<Share>) -> String {
    format!("{} % ({} to {})", percent(of.median), percent(of.low), percent(of.high))
}

/// A piece of advice in words.
pub fn line(known: &Known, doing: &Doing, advice: &Advice, catalogue: &Catalogue) -> AdviceLine {
    let (key, what, effect) = match &advice.what {
        What::Sessions { muscle, from, to } => {
            let word = if to > from { "more often" } else { "less often" };
            (
                format!("{}-sessions", muscle.id()),
                format!("Train the {muscle} {word}: {to} times a week instead of {from}, with the same weekly sets"),
                format!("{} % more of what the muscle gains", percent(advice.effect)),
            )
        }
        What::Sets { muscle, from, to } => {
            let word = if to > from { "Add sets for" } else { "Drop sets for" };
            (
                format!("{}-sets", muscle.id()),
                format!("{word} the {muscle}: about {:.0} a week instead of {:.0}", to.get(), from.get()),
                format!("{} % more of what the muscle gains", percent(advice.effect)),
            )
        }
        What::Load { exercise, from, to } => {
            let name = catalogue.get(exercise).map_or(exercise.as_str(), |e| e.name.as_str());
            let load = |of: Kilograms| units::load(outside(known, exercise, of, catalogue));
            (
                format!("{exercise}-load"),
                format!("{}: {} instead of {} in the coming session", capital(name), load(*to), load(*from)),
                format!("{} % of the load", percent(advice.effect)),
            )
        }
        What::Deload => (
            "easy-week".to_owned(),
            "Make the coming week an easy one: half the sets at the same loads, far from failure".to_owned(),
            format!("up to {} % of strength is waiting under fatigue", percent(advice.effect)),
        ),
        What::Stalled => (
            "stalled".to_owned(),
            "The client, not one exercise, has stalled: look at sleep, food and stress first, then change sets, \
             spacing or exercises"
                .to_owned(),
            format!("growth is {} % a week", percent(advice.effect)),
        ),
    };
    AdviceLine {
        key,
        what,
        why: why(&advice.evidence),
        probability: advice.probability.get(),
        effect,
        changes: changes(known, doing, advice, catalogue),
        place: place(&advice.what),
    }
}

/// A load as the exercise counts it.
fn outside(known: &Known, exercise: &ExerciseId, total: Kilograms, catalogue: &Catalogue) -> Kilograms {
    let body = catalogue
        .get(exercise)
        .and_then(|e| strength::total(e, Kilograms::ZERO, known.body_mass))
        .unwrap_or(Kilograms::ZERO);
    Kilograms((total.get() - body.get()).abs())
}

const fn place(what: &What) -> Place {
    match what {
        What::Sessions { .. } | What::Sets { .. } => Place::Programme,
        What::Load { .. } => Place::ComingSession,
        What::Deload => Place::Week,
        What::Stalled => Place::Client,
    }
}

/// What following it would change.
fn changes(known: &Known, doing: &Doing, advice: &Advice, catalogue: &Catalogue) -> Vec<Changed> {
    let changed = |what: &str, now: String, then: String| Changed { what: what.to_owned(), now, then };
    match &advice.what {
        What::Sessions { muscle, from, to } => {
            let weekly = weekly(doing, *muscle);
            let each = |sessions: u32| rounded(weekly.get() / f64::from(sessions.max(1)));
            let mut all = vec![
                changed("Sessions a week", from.to_string(), to.to_string()),
                changed("Sets in each, about", each(*from), each(*to)),
            ];
            all.extend(missing(&advice.evidence));
            all
        }
        What::Sets { from, to, .. } => {
            let mut all = vec![changed("Sets a week, about", rounded(from.get()), rounded(to.get()))];
            all.extend(missing(&advice.evidence));
            all
        }
        What::Load { exercise, from, to } => {
            let load = |of: Kilograms| units::load(outside(known, exercise, of, catalogue));
            vec![changed("Load", load(*from), load(*to))]
        }
        What::Deload => {
            let sets = known.programme.as_ref().map_or(0, |p| {
                p.programme
                    .sessions
                    .iter()
                    .flat_map(setwright_model::Session::prescriptions)
                    .map(|p| p.sets)
                    .sum()
            });
            let half = f64::from(sets) / 2.0;
            vec![changed("Sets of the cycle", sets.to_string(), format!("about {}", rounded(half)))]
        }
        What::Stalled => Vec::new(),
    }
}

fn weekly(doing: &Doing, muscle: Muscle) -> FractionalSets {
    doing.muscles.iter().find(|m| m.muscle == muscle).map_or(FractionalSets(0.0), |m| m.weekly)
}

/// To halves.
fn rounded(sets: f64) -> String {
    let halves = (2.0 * sets).round() / 2.0;
    format!("{halves}")
}

fn missing(evidence: &Evidence) -> Option<Changed> {
    let Evidence::Missing { now, then } = evidence else { return None };
    let what = "Strength lacking when its next session begins".to_owned();
    Some(Changed { what, now: band(now), then: band(then) })
}

fn why(evidence: &Evidence) -> String {
    match evidence {
        Evidence::Missing { now, then } => format!(
            "At the start of its sessions it lacks {} of its strength; then it would lack {}.",
            band(now),
            band(then)
        ),
        Evidence::RightLoad(right) => format!(
            "By the log, all that moves should weigh {:.1} {} ({:.1} to {:.1}) for the reps and reserve asked.",
            units::number(right.median),
            units::shown().symbol(),
            units::number(right.low),
            units::number(right.high)
        ),
        Evidence::Growth { per_week, tired, of } if *of > 0 => format!(
            "Growth {} a week; {tired} of {of} trained muscles will not be ready for the coming session.",
            band(per_week)
        ),
        Evidence::Growth { per_week, .. } => format!("Growth {} a week.", band(per_week)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_model::ledger::MassUnit;

    #[test]
    fn the_load_that_would_be_right_is_said_in_the_unit_shown() {
        let right = Interval { low: Kilograms(58.0), median: Kilograms(60.0), high: Kilograms(62.0) };
        let said = || why(&Evidence::RightLoad(right));
        assert!(said().contains("60.0 kg (58.0 to 62.0)"), "{}", said());
        let pounds = units::within(MassUnit::Lb, said);
        assert!(pounds.contains("132.3 lb (127.9 to 136.7)"), "{pounds}");
    }

    #[test]
    fn nothing_is_said_to_be_certain() {
        let said = [1.0, 0.991, 0.99, 0.905, 0.5, 0.01, 0.001, 0.0].map(probability);
        assert_eq!(
            said,
            ["over 0.99", "over 0.99", "0.99", "0.91", "0.5", "0.01", "under 0.01", "under 0.01"]
        );
    }
}
