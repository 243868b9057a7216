//! What is asked about the person on the page of a new client: each question as a coach asks it, with what the answer changes.

use crate::page::fields::{choice, line, number};
use crate::page::frame::{said, yes_no};
use maud::{Markup, html};
use setwright_formats::form::BriefForm;
use setwright_model::Muscle;
use setwright_model::brief::{Aim, Condition, Hurts, Tick};

/// The questions about the person, folded until somebody asks them: all of them may stay open.
pub(super) fn questions(given: &BriefForm) -> Markup {
    html! {
        details {
            summary { "About the person: each answer changes the programme, and each may stay open" }
            fieldset {
                legend { "What they came for" }
                (ticks(given, "aims", "To be able to do, or to be better at:", words(Aim::ALL, Aim::id, Aim::name)))
                p class="soft" { "What is named is trained itself, or a step towards it, twice a week." }
                (ticks(given, "came_for", "Muscles that matter more than the others:", words(&Muscle::ALL, Muscle::id, Muscle::name)))
            }
            (health(given))
            (tried(given))
            (life(given))
        }
    }
}

fn health(given: &BriefForm) -> Markup {
    html! {
        fieldset {
            legend { "Conditions and pain" }
            (ticks(given, "conditions", "Named by a doctor, midwife or physiotherapist, never guessed:", words(Condition::ALL, Condition::id, Condition::name)))
            (ticks(given, "hurts", "Which of these hurt:", words(Hurts::ALL, Hurts::id, Hurts::name)))
            p class="soft" { "Movements like these are left out. The clinician's word comes before anything that is made of these; pain is a yes to the last question before training." }
        }
    }
}

fn tried(given: &BriefForm) -> Markup {
    html! {
        fieldset {
            legend { "Tried and counted" }
            @for tick in Tick::ALL {
                (yes_no(&format!("Can do: {}", tick.name()), &format!("tried.{}", tick.id()), given.said_of("tried", tick.id()).and_then(said)))
            }
            p class="soft" { "What was not tried stays open. What cannot be done is not given." }
            (number("press_ups", "Press-ups", &given.press_ups, "in one go"))
            (number("pull_ups", "Pull-ups", &given.pull_ups, "in one go"))
            (number("plank", "Plank", &given.plank, "seconds"))
            (number("chair_rises", "Rises from a chair", &given.chair_rises, "in half a minute"))
        }
    }
}

fn life(given: &BriefForm) -> Markup {
    html! {
        fieldset {
            legend { "Body and week" }
            (choice("sex", "Sex, for what can be expected of who lifted nothing yet", &given.sex, &[("", "not said"), ("female", "female"), ("male", "male")]))
            (number("height_cm", "Height", &given.height_cm, "cm"))
            (number("present_sessions", "Trains now", &given.present_sessions, "times a week; 0 for who has stopped"))
            (number("present_sets", "With", &given.present_sets, "work sets a week: the programme starts near them"))
            (line("sport", "A sport beside the training", &given.sport, false))
            (line("hard_days", "Days of the cycle on which it is hard (2, 4): sessions keep off them", &given.hard_days, false))
            (line("match_days", "Days of a match or a race: legs and back are fresh for them", &given.match_days, false))
            (yes_no("Is nobody there to take the bar?", "alone", said(&given.alone)))
            (yes_no("Within an hour of getting up? The back is spared then", "early", said(&given.early)))
        }
    }
}

/// Identifiers and plain words of all of a kind.
fn words<T: Copy>(
    all: &[T],
    id: fn(T) -> &'static str,
    name: fn(T) -> &'static str,
) -> Vec<(&'static str, &'static str)> {
    all.iter().map(|one| (id(*one), name(*one))).collect()
}

/// Boxes to tick.
fn ticks(given: &BriefForm, list: &str, label: &str, all: Vec<(&str, &str)>) -> Markup {
    html! {
        div class="question ticks" role="group" aria-label=(label) {
            p { (label) }
            @for (id, name) in all {
                label { input type="checkbox" name={ (list) "." (id) } value="yes" checked[given.said_of(list, id) == Some("yes")]; " " (name) }
            }
        }
    }
}
