//! The questions before training as a form: on the page of a brief, and on that of a plan that waits for the answers.

use super::frame;
use maud::{Markup, html};
use setwright_model::brief::Screening;
use setwright_model::ledger::{ClientId, EventId};
use setwright_science::screening::{Question, WARNING_SIGNS};

/// The form of the questions before training; what is being planned, where the answers lead back to it.
pub fn questions(client: ClientId, said: &Screening, plan: Option<EventId>) -> Markup {
    let questions = [
        (Question::Active, "active", said.active),
        (Question::KnownDisease, "known_disease", said.known_disease),
        (Question::Signs, "signs", said.signs),
        (Question::Other, "other", said.other),
    ];
    html! {
        form method="post" action={ "/clients/" (client) "/screening" } {
            @if let Some(plan) = plan { input type="hidden" name="plan" value=(plan); }
            @for (question, field, said) in questions { (frame::yes_no(question.text(), field, said)) }
            details { summary { "The signs" } ul { @for sign in WARNING_SIGNS { li { (sign) } } } }
            (frame::yes_no("Has a clinician agreed to this training, knowing of it?", "cleared", said.cleared))
            button { "Keep these answers" }
        }
    }
}
