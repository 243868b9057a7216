//! The questions before training: which are open, and what the answers mean. The rules are science's.

use super::ledger::{UnitOfWork, current};
use serde::Serialize;
use setwright_model::brief::Screening;
use setwright_model::refusal::Refusal;
use setwright_science::screening::{self, Intensity, Outcome, Question};

/// What the answers mean, as it is shown.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ScreenView {
    /// A stable word for the outcome.
    pub outcome: &'static str,
    /// Whether training may start.
    pub may_train: bool,
    /// How hard: `none`, `light_to_moderate`, `moderate` or `any`.
    pub intensity: &'static str,
    /// What it means.
    pub meaning: String,
    /// What to do.
    pub action: &'static str,
    /// What stands on every sheet.
    pub caution: &'static str,
}

/// What the answers mean.
pub fn view(screening: &Screening) -> ScreenView {
    let outcome = screening::outcome(screening);
    ScreenView {
        outcome: word(&outcome),
        may_train: outcome.may_train(),
        intensity: intensity(outcome.intensity()),
        meaning: outcome.meaning(),
        action: outcome.action(),
        caution: screening::CAUTION,
    }
}

/// Keeps the answers as those of the client of this name, and says who that is.
pub fn keep(uow: &mut UnitOfWork, wanted: &str, screening: &Screening) -> Result<String, Refusal> {
    let client = uow.client(wanted)?;
    uow.write(vec![current::answering(uow, client.client, screening, None)])?;
    Ok(client.card.name)
}

/// The questions that are open and could still change the outcome.
pub fn open(screening: &Screening) -> Vec<Question> {
    match screening::outcome(screening) {
        Outcome::Unanswered(open) => open,
        _ => Vec::new(),
    }
}

/// What stands over whatever is planned while questions are open; nothing once the answers are settled.
pub fn draft(screening: &Screening) -> Option<String> {
    let open = open(screening).len();
    let many = if open == 1 { "one question before training is" } else { "questions before training are" };
    (open > 0).then(|| format!("This is a draft: {many} not answered. Ask before it is published."))
}

/// Records an answer.
pub fn answer(screening: &mut Screening, question: Question, yes: bool) {
    let field = match question {
        Question::Active => &mut screening.active,
        Question::KnownDisease => &mut screening.known_disease,
        Question::Signs => &mut screening.signs,
        Question::Other => &mut screening.other,
    };
    *field = Some(yes);
}

const fn word(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::Unanswered(_) => "unanswered",
        Outcome::StartGently => "start_gently",
        Outcome::ClearanceFirst => "clearance_first",
        Outcome::Continue => "continue",
        Outcome::ModerateUntilCleared => "moderate_until_cleared",
        Outcome::Stop => "stop",
        Outcome::OutsideTheRules => "outside_the_rules",
        Outcome::Cleared => "cleared",
    }
}

const fn intensity(intensity: Intensity) -> &'static str {
    match intensity {
        Intensity::None => "none",
        Intensity::LightToModerate => "light_to_moderate",
        Intensity::Moderate => "moderate",
        Intensity::Any => "any",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_close_the_questions_they_belong_to() {
        let mut screening = Screening::default();
        assert_eq!(open(&screening).len(), 4);
        assert!(draft(&screening).unwrap().contains("draft: questions before training are not answered"));
        for question in Question::ALL {
            answer(&mut screening, question, false);
        }
        assert!(open(&screening).is_empty());
        assert_eq!(draft(&screening), None);
        assert_eq!(view(&screening).outcome, "start_gently");
        answer(&mut screening, Question::Signs, true);
        assert!(!view(&screening).may_train);
    }
}
