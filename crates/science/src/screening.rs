//! Questions before training: what the answers mean and what to do. Six rows after Riebe 2015 (MSSE 47:2473, the
//! table (B), the list of signs (M)), in our own words, and what lies outside them.
//!
//! It never diagnoses and never assumes an answer. Local codes and licensed practice come first.

mod gate;

pub use gate::{Answered, MayTrain, Withheld};

use setwright_model::brief::{Brief, Screening, TrainingAge};

/// How hard the client may train.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Intensity {
    /// Not at all for now.
    None,
    /// Light to moderate, and more as it goes well.
    LightToModerate,
    /// Moderate.
    Moderate,
    /// As hard as the goal asks.
    Any,
}

/// A question before training.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Question {
    /// Planned exercise lately.
    Active,
    /// A known disease.
    KnownDisease,
    /// A warning sign.
    Signs,
    /// Anything outside the rules.
    Other,
}

impl Question {
    /// All questions, in the order they are asked.
    pub const ALL: [Self; 4] = [Self::Active, Self::KnownDisease, Self::Signs, Self::Other];

    /// The name of the answer in a brief.
    pub const fn id(self) -> &'static str {
        match self {
            Self::Active => "active",
            Self::KnownDisease => "known_disease",
            Self::Signs => "signs",
            Self::Other => "other",
        }
    }

    /// The question as it is put to a client.
    pub const fn text(self) -> &'static str {
        match self {
            Self::Active => {
                "Over the last three months, have you exercised on purpose at least three days a week, half an hour \
                 or more at a time, hard enough to breathe faster?"
            }
            Self::KnownDisease => {
                "Has a doctor ever told you that you have a disease of the heart or blood vessels, diabetes or \
                 another disease of metabolism, or a disease of the kidneys?"
            }
            Self::Signs => "Have you noticed any of the warning signs on this list?",
            Self::Other => {
                "Is there anything else: pain, a pregnancy, an operation or injury not long ago, another illness or \
                 treatment?"
            }
        }
    }

    const fn answer(self, screening: &Screening) -> Option<bool> {
        match self {
            Self::Active => screening.active,
            Self::KnownDisease => screening.known_disease,
            Self::Signs => screening.signs,
            Self::Other => screening.other,
        }
    }
}

/// Signs that call for a clinician, whoever has them (after Riebe 2015, MSSE 47:2473; list from memory (M)).
pub const WARNING_SIGNS: [&str; 9] = [
    "pressure, tightness or pain in the chest, neck, jaw or an arm",
    "short of breath at rest or with little effort",
    "dizzy spells, or fainting",
    "short of breath when lying flat, or waking at night for lack of breath",
    "swollen ankles",
    "a heart that pounds, races or skips",
    "leg pain that comes with walking and goes with rest",
    "a heart murmur that a doctor has found",
    "tired or out of breath from everyday things, more than there is reason for",
];

/// Printed on every sheet (the wording is judgement).
pub const CAUTION: &str = "This is a training plan, not medical advice. Stop and see a clinician if you feel pain, \
    pressure in the chest, dizziness or unusual shortness of breath. Your clinician's word and local rules come \
    before this sheet.";

/// What the answers mean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Too little was answered to say; these questions are open.
    Unanswered(Vec<Question>),
    /// Not active, nothing known, no signs.
    StartGently,
    /// Not active, with a known disease or with signs; or signs while it is open whether active.
    ClearanceFirst,
    /// Active, nothing known, no signs.
    Continue,
    /// Active, a known disease, no signs.
    ModerateUntilCleared,
    /// Active, with signs.
    Stop,
    /// Something the six rows say nothing of.
    OutsideTheRules,
    /// One of those that ask for a clinician, and a clinician has agreed.
    Cleared,
}

impl Outcome {
    /// Whether the answers allow training.
    pub const fn may_train(&self) -> bool {
        !matches!(self.intensity(), Intensity::None)
    }

    /// Whether the answers forbid training for now. Open questions neither allow nor forbid it.
    pub const fn stops(&self) -> bool {
        matches!(self, Self::ClearanceFirst | Self::Stop | Self::OutsideTheRules)
    }

    /// How hard the client may train; not at all while questions are open.
    pub const fn intensity(&self) -> Intensity {
        match self {
            Self::Unanswered(_) | Self::ClearanceFirst | Self::Stop | Self::OutsideTheRules => {
                Intensity::None
            }
            Self::StartGently => Intensity::LightToModerate,
            Self::ModerateUntilCleared => Intensity::Moderate,
            Self::Continue | Self::Cleared => Intensity::Any,
        }
    }

    /// What it means, in a plain sentence.
    pub fn meaning(&self) -> String {
        match self {
            Self::Unanswered(open) => {
                let names: Vec<&str> = open.iter().map(|q| q.id()).collect();
                format!("Not all questions before training are answered: {}.", names.join(", "))
            }
            Self::StartGently => {
                "New to regular exercise, with no known disease and no warning sign: nothing in the answers asks for \
                 a clinician first."
                    .to_owned()
            }
            Self::ClearanceFirst => {
                "New to regular exercise, or it is not known, and there is a known disease or a warning sign.".to_owned()
            }
            Self::Continue => "Used to exercise, with no known disease and no warning sign.".to_owned(),
            Self::ModerateUntilCleared => {
                "Used to exercise, with a known disease but no warning sign.".to_owned()
            }
            Self::Stop => "Used to exercise, and there is a warning sign now.".to_owned(),
            Self::OutsideTheRules => {
                "There is pain, a pregnancy, a recent operation or something else that these rules do not cover."
                    .to_owned()
            }
            Self::Cleared => "A clinician has agreed to this training.".to_owned(),
        }
    }

    /// What to do, in a plain sentence.
    pub const fn action(&self) -> &'static str {
        match self {
            Self::Unanswered(_) => "Ask them before the first session; until then this is a draft.",
            Self::StartGently => "Start light to moderate and add a little at a time.",
            Self::ClearanceFirst => "See a clinician before the first session.",
            Self::Continue => "Carry on, and go harder only step by step.",
            Self::ModerateUntilCleared => {
                "Stay at moderate effort; before hard training a clinician should have agreed within the last twelve \
                 months."
            }
            Self::Stop => "Stop training and see a clinician before the next session.",
            Self::OutsideTheRules => "Do not start or go on by this plan: see a clinician first.",
            Self::Cleared => "Train within what the clinician has said, and ask again when anything changes.",
        }
    }
}

/// What the answers mean. An open question counts only when its answer could change the outcome: a warning sign
/// stops whoever has it. `cleared` left open means that no clinician has been heard.
pub fn outcome(screening: &Screening) -> Outcome {
    let possible = completions(screening);
    let Some((first, others)) = possible.split_first() else { return Outcome::Unanswered(open(screening)) };
    let settled = if others.iter().all(|o| o == first) {
        first.clone()
    } else if possible.iter().all(Outcome::stops) {
        Outcome::ClearanceFirst
    } else {
        return Outcome::Unanswered(open(screening));
    };
    let asks_clinician = settled.stops() || settled == Outcome::ModerateUntilCleared;
    if asks_clinician && screening.cleared == Some(true) { Outcome::Cleared } else { settled }
}

/// The questions that were not answered.
pub fn open(screening: &Screening) -> Vec<Question> {
    Question::ALL.into_iter().filter(|q| q.answer(screening).is_none()).collect()
}

fn completions(screening: &Screening) -> Vec<Outcome> {
    let ways = |q: Question| q.answer(screening).map_or_else(|| vec![false, true], |a| vec![a]);
    let mut outcomes = Vec::new();
    for active in ways(Question::Active) {
        for disease in ways(Question::KnownDisease) {
            for signs in ways(Question::Signs) {
                for other in ways(Question::Other) {
                    outcomes.push(if other { Outcome::OutsideTheRules } else { row(active, disease, signs) });
                }
            }
        }
    }
    outcomes
}

const fn row(active: bool, known_disease: bool, signs: bool) -> Outcome {
    match (active, known_disease, signs) {
        (false, false, false) => Outcome::StartGently,
        (false, _, _) => Outcome::ClearanceFirst,
        (true, _, true) => Outcome::Stop,
        (true, true, false) => Outcome::ModerateUntilCleared,
        (true, false, false) => Outcome::Continue,
    }
}

/// Age under which the defaults are not meant for a client (judgement: the usual age of majority).
pub const ADULT_YEARS: u32 = 18;
/// Age from which a beginner is asked after frailty (judgement).
pub const ASK_FRAILTY_YEARS: u32 = 70;

/// Notes for clients that the defaults are not for.
pub fn notes(brief: &Brief) -> Vec<&'static str> {
    let mut notes = Vec::new();
    let Some(age) = brief.body.age else { return notes };
    if age < ADULT_YEARS {
        notes.push(
            "Under 18: the defaults are made for adults. Loads, sets and progress need someone qualified to coach \
             the young, and a parent's consent.",
        );
    }
    let new = matches!(brief.training_age, TrainingAge::FirstWeeks | TrainingAge::Beginner);
    if age >= ASK_FRAILTY_YEARS && new {
        notes.push(
            "Frail clients (falls, unsteady on the feet, weight lost without wanting to): the defaults are not for \
             them. Ask, and let a clinician or physiotherapist set the start.",
        );
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answers(
        active: Option<bool>,
        disease: Option<bool>,
        signs: Option<bool>,
        other: Option<bool>,
    ) -> Screening {
        Screening { active, known_disease: disease, signs, other, cleared: None }
    }

    const YES: Option<bool> = Some(true);
    const NO: Option<bool> = Some(false);

    #[test]
    fn nothing_answered_is_neither_allowed_nor_forbidden() {
        let blank = outcome(&Screening::default());
        assert_eq!(blank, Outcome::Unanswered(Question::ALL.to_vec()));
        assert!(!blank.may_train() && !blank.stops());
        assert!(blank.meaning().contains("active, known_disease, signs, other"));
    }

    #[test]
    fn one_open_question_is_named_when_it_matters() {
        assert_eq!(outcome(&answers(NO, NO, None, NO)), Outcome::Unanswered(vec![Question::Signs]));
        assert_eq!(outcome(&answers(YES, NO, NO, None)), Outcome::Unanswered(vec![Question::Other]));
    }

    #[test]
    fn a_sign_stops_a_client_whatever_is_left_open() {
        assert_eq!(outcome(&answers(YES, None, YES, NO)), Outcome::Stop);
        assert_eq!(outcome(&answers(None, None, YES, None)), Outcome::ClearanceFirst);
        assert!(outcome(&answers(None, None, YES, None)).stops());
    }

    #[test]
    fn what_the_rows_do_not_cover_stops_even_the_fittest() {
        assert_eq!(outcome(&answers(YES, NO, NO, YES)), Outcome::OutsideTheRules);
        assert_eq!(outcome(&answers(None, None, None, YES)), Outcome::OutsideTheRules);
    }

    #[test]
    fn a_clinicians_word_opens_what_asked_for_it_but_answers_nothing() {
        let cleared = |s: Screening| outcome(&Screening { cleared: YES, ..s });
        assert_eq!(cleared(answers(NO, YES, NO, NO)), Outcome::Cleared);
        assert_eq!(cleared(answers(YES, NO, NO, YES)), Outcome::Cleared);
        assert_eq!(cleared(answers(NO, NO, NO, NO)), Outcome::StartGently);
        assert!(matches!(cleared(Screening::default()), Outcome::Unanswered(_)));
        let refused = Screening { cleared: NO, ..answers(NO, YES, NO, NO) };
        assert_eq!(outcome(&refused), Outcome::ClearanceFirst);
    }

    #[test]
    fn every_outcome_says_what_it_means_and_what_to_do() {
        let all = [
            Outcome::Unanswered(vec![Question::Signs]),
            Outcome::StartGently,
            Outcome::ClearanceFirst,
            Outcome::Continue,
            Outcome::ModerateUntilCleared,
            Outcome::Stop,
            Outcome::OutsideTheRules,
            Outcome::Cleared,
        ];
        for outcome in all {
            assert!(outcome.meaning().ends_with('.') && outcome.action().ends_with('.'), "{outcome:?}");
            if outcome.stops() {
                assert!(outcome.action().contains("clinician") && !outcome.may_train(), "{outcome:?}");
            }
        }
    }
}
