//! Suggestions in words: what, why, how sure, what it would change. Numbers and what they rest on come from `coaching`.

use serde::Serialize;
use setwright_coaching::insight::Known;
use setwright_coaching::insight::advice::{
    self, AdviceAnswer, AnsweredLine, Open, ProposedChange, Suggestion,
};
use setwright_coaching::ledger::UnitOfWork;
use setwright_estimate::Interval;
use setwright_estimate::advice::{Advice, AdviceBasis, Recommendation};
use setwright_formats::words::capital;
use setwright_model::ledger::Moment;
use setwright_model::refusal::Refusal;
use setwright_model::{Catalogue, FractionalSets, MassUnit, Share};

/// Advice for a client.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AdviceView {
    /// What the client is called.
    pub client: String,
    /// When it was asked.
    pub now: Moment,
    /// What there is to say, the surest first.
    pub advice: Vec<AdviceLine>,
    /// What was answered and is not said again for a while, the newest last.
    pub answered: Vec<AnsweredLine>,
}

impl AdviceView {
    /// What there is to say to a client, in words.
    pub fn of(client: &str, now: Moment, open: Open, unit: MassUnit, catalogue: &Catalogue) -> Self {
        let advice = open.suggestions.iter().map(|s| line(s, unit, catalogue)).collect();
        Self { client: client.to_owned(), now, advice, answered: open.answered }
    }
}

/// A piece of advice.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AdviceLine {
    /// By which it is answered.
    pub key: String,
    /// What to do.
    pub what: String,
    /// Why, with the numbers it rests on.
    pub why: String,
    /// Probability that it is worth more than leaving things as they are.
    pub probability: f64,
    /// What it would bring, in words.
    pub effect: String,
    /// What it would change.
    pub changes: Vec<Changed>,
    /// Where it is changed.
    pub place: FollowedIn,
}

/// Something as it is, and as it would be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Changed {
    /// What.
    pub what: String,
    /// As it is.
    pub now: String,
    /// As it would be.
    pub then: String,
}

/// Where a piece of advice is followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FollowedIn {
    /// In the programme.
    Programme,
    /// In the coming session.
    ComingSession,
    /// In the week to come.
    Week,
    /// Outside of the programme first.
    Client,
}

/// Advice for a client, without what was answered lately.
pub fn view(known: &Known, unit: MassUnit, catalogue: &Catalogue) -> AdviceView {
    let all = advice::advise(known, catalogue);
    let open = advice::open(known.now, &all, &known.answered);
    AdviceView::of(&known.client.card.name, known.now, open, unit, catalogue)
}

/// Keeps what the coach says to a piece of advice, in the words in which it was shown.
///
/// # Errors
/// No advice of that key, or a ledger that cannot be written.
pub fn answer(
    uow: &mut UnitOfWork,
    known: &Known,
    key: &str,
    given: AdviceAnswer,
    unit: MassUnit,
    catalogue: &Catalogue,
) -> Result<AdviceLine, Refusal> {
    let in_words = |found: &Suggestion| what(found, unit, catalogue);
    let found = advice::answer(uow, known, key, given, in_words, catalogue)?;
    Ok(line(&found, unit, catalogue))
}

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
pub fn line(suggestion: &Suggestion, unit: MassUnit, catalogue: &Catalogue) -> AdviceLine {
    let advice = &suggestion.advice;
    AdviceLine {
        key: suggestion.key.clone(),
        what: what(suggestion, unit, catalogue),
        why: why(&advice.evidence, unit),
        probability: advice.probability.get(),
        effect: effect(advice),
        changes: suggestion.changes.iter().map(|change| changed(change, unit)).collect(),
        place: place(&advice.what),
    }
}

/// What to do.
pub fn what(suggestion: &Suggestion, unit: MassUnit, catalogue: &Catalogue) -> String {
    match &suggestion.advice.what {
        Recommendation::Sessions { muscle, from, to } => {
            let word = if to > from { "more often" } else { "less often" };
            format!("Train the {muscle} {word}: {to} times a week instead of {from}, with the same weekly sets")
        }
        Recommendation::Sets { muscle, from, to } => {
            let word = if to > from { "Add sets for" } else { "Drop sets for" };
            format!("{word} the {muscle}: about {:.0} a week instead of {:.0}", to.get(), from.get())
        }
        Recommendation::Load { exercise, from, to } => {
            let name = catalogue.get(exercise).map_or(exercise.as_str(), |e| e.name.as_str());
            let [now, then] = suggestion.loads.unwrap_or([*from, *to]).map(|kg| unit.load(kg));
            format!("{}: {then} instead of {now} in the coming session", capital(name))
        }
        Recommendation::Deload => {
            "Make the coming week an easy one: half the sets at the same loads, far from failure".to_owned()
        }
        Recommendation::Stalled => {
            "The client, not one exercise, has stalled: look at sleep, food and stress first, then change sets, \
             spacing or exercises"
                .to_owned()
        }
    }
}

/// What it would bring.
fn effect(advice: &Advice) -> String {
    let percent = percent(advice.effect);
    match &advice.what {
        Recommendation::Sessions { .. } | Recommendation::Sets { .. } => {
            format!("{percent} % more of what the muscle gains")
        }
        Recommendation::Load { .. } => format!("{percent} % of the load"),
        Recommendation::Deload => format!("up to {percent} % of strength is waiting under fatigue"),
        Recommendation::Stalled => format!("growth is {percent} % a week"),
    }
}

const fn place(what: &Recommendation) -> FollowedIn {
    match what {
        Recommendation::Sessions { .. } | Recommendation::Sets { .. } => FollowedIn::Programme,
        Recommendation::Load { .. } => FollowedIn::ComingSession,
        Recommendation::Deload => FollowedIn::Week,
        Recommendation::Stalled => FollowedIn::Client,
    }
}

fn changed(change: &ProposedChange, unit: MassUnit) -> Changed {
    let words = |what: &str, [now, then]: [String; 2]| Changed { what: what.to_owned(), now, then };
    match change {
        ProposedChange::Sessions(both) => words("Sessions a week", both.map(|n| n.to_string())),
        ProposedChange::SetsInEach(both) => words("Sets in each, about", both.map(rounded)),
        ProposedChange::SetsAWeek(both) => words("Sets a week, about", both.map(rounded)),
        ProposedChange::Lacking(both) => {
            words("Strength lacking when its next session begins", both.each_ref().map(band))
        }
        ProposedChange::Load(both) => words("Load", both.map(|kg| unit.load(kg))),
        ProposedChange::SetsOfTheCycle(now, then) => {
            words("Sets of the cycle", [now.to_string(), format!("about {}", rounded(*then))])
        }
    }
}

/// To halves.
fn rounded(sets: FractionalSets) -> String {
    let halves = (2.0 * sets.get()).round() / 2.0;
    format!("{halves}")
}

fn why(evidence: &AdviceBasis, unit: MassUnit) -> String {
    match evidence {
        AdviceBasis::Missing { now, then } => format!(
            "At the start of its sessions it lacks {} of its strength; then it would lack {}.",
            band(now),
            band(then)
        ),
        AdviceBasis::RightLoad(right) => format!(
            "By the log, all that moves should weigh {:.1} {} ({:.1} to {:.1}) for the reps and reserve asked.",
            unit.number(right.median),
            unit.symbol(),
            unit.number(right.low),
            unit.number(right.high)
        ),
        AdviceBasis::Growth { per_week, tired, of } if *of > 0 => format!(
            "Growth {} a week; {tired} of {of} trained muscles will not be ready for the coming session.",
            band(per_week)
        ),
        AdviceBasis::Growth { per_week, .. } => format!("Growth {} a week.", band(per_week)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_model::Kilograms;

    #[test]
    fn the_load_that_would_be_right_is_said_in_the_unit_shown() {
        let right = Interval { low: Kilograms(58.0), median: Kilograms(60.0), high: Kilograms(62.0) };
        let said = |unit| why(&AdviceBasis::RightLoad(right), unit);
        let kilograms = said(MassUnit::Kg);
        assert!(kilograms.contains("60.0 kg (58.0 to 62.0)"), "{kilograms}");
        let pounds = said(MassUnit::Lb);
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
