//! Pain on a client's page: first of all what nobody has answered, with the answers, and further down what was said to earlier
//! reports. It never says what a pain is.

use crate::app::{App, Visit};
use crate::http::routes::{COACH, Pages};
use crate::page::fault::Fault;
use crate::page::formats;
use axum::extract::{Form, Path};
use axum::response::Redirect;
use maud::{Markup, html};
use serde::Deserialize;
use setwright_coaching::ledger::pain;
use setwright_model::code::Code;
use setwright_model::ledger::PainReply;
use setwright_model::refusal::Refusal;
use setwright_present::pain::{PainLine, PainView};

pub fn routes() -> Pages<App> {
    Pages::new().post(COACH, "/clients/{id}/pain/{report}", answer)
}

/// What nobody has answered, and where a clinician is to be seen; nothing when there is neither.
pub fn first(id: &str, view: &PainView) -> Markup {
    html! {
        @if !(view.open.is_empty() && view.clinician.is_empty()) {
            section role="alert" aria-labelledby="pain" {
                h2 id="pain" { "Something hurts" }
                @for line in &view.clinician { p class="clash" { strong { (line) } } }
                @for line in &view.open { (open(id, line)) }
            }
        }
    }
}

fn open(id: &str, line: &PainLine) -> Markup {
    html! {
        (reported(line))
        @if !line.out.is_empty() {
            p { "Out of the coming sessions until you answer: " (line.out.join(", ")) "." }
        }
        (answers(id, line, "Leave it out", "Train it again"))
    }
}

/// What was answered, each with who said so; the last word can be another one.
pub fn answered(id: &str, view: &PainView) -> Markup {
    html! {
        @if !view.answered.is_empty() {
            section aria-labelledby="pain-answered" {
                h2 id="pain-answered" { "Pain reported before" }
                @for line in &view.answered {
                    (reported(line))
                    @if let Some(said) = &line.answer { p { (said) } }
                    details { summary { "Answer again" } (answers(id, line, "Leave it out", "Train it again")) }
                }
            }
        }
    }
}

fn reported(line: &PainLine) -> Markup {
    html! {
        p {
            (formats::moment(line.at)) ": " strong { (line.what) } "."
            @if !line.words.is_empty() { " \u{201c}" (line.words) "\u{201d}" }
        }
    }
}

fn answers(id: &str, line: &PainLine, out: &str, again: &str) -> Markup {
    html! {
        form method="post" action={ "/clients/" (id) "/pain/" (line.id) } {
            label { "Why " input name="reason" maxlength="500" autocomplete="off"; }
            " " button name="reply" value="leave_out" { (out) }
            " " button name="reply" value="train_again" { (again) }
        }
    }
}

#[derive(Deserialize)]
struct Answer {
    #[serde(default)]
    reason: String,
    #[serde(default)]
    reply: String,
}

async fn answer(
    visit: Visit,
    Path((id, report)): Path<(String, String)>,
    Form(given): Form<Answer>,
) -> Result<Redirect, Fault> {
    let to = format!("/clients/{id}");
    visit
        .with_ledger(move |uow, _| {
            // Whether there is such a client is for whoever may see them to hear, and comes first.
            uow.client(&id)?;
            let reply = reply(&given.reply)?;
            let reason = Some(given.reason.trim().to_owned()).filter(|reason| !reason.is_empty());
            pain::answer(uow, &id, &report, reply, reason).map(|_| ())
        })
        .await?;
    Ok(Redirect::to(&to))
}

fn reply(said: &str) -> Result<PainReply, Refusal> {
    match said {
        "leave_out" => Ok(PainReply::LeaveOut),
        "train_again" => Ok(PainReply::TrainAgain),
        _ => {
            let what = "It was not said whether the movement stays out.";
            Err(Refusal::new(Code::Usage, what, "Use one of the two buttons."))
        }
    }
}
