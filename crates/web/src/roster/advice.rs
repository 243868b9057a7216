//! Advice as letters: on the sheet of a client, and from everybody in one place. A letter says what, why, how sure and what
//! it would change; it is accepted, declined or put off, and changes nothing by itself.

use crate::app::{App, Visit};
use crate::http::routes::{COACH, Pages};
use crate::page::fault::Fault;
use crate::page::formats;
use crate::page::frame;
use crate::roster::FEW;
use axum::extract::{Form, Path};
use axum::response::Redirect;
use maud::{Markup, html};
use serde::Deserialize;
use setwright_coaching::insight::advice::{AdviceAnswer, AnsweredLine, LATER_DAYS};
use setwright_coaching::insight::{self};
use setwright_coaching::ledger::{UnitOfWork, of_store};
use setwright_gym::catalogue::builtin;
use setwright_model::code::Code;
use setwright_model::ledger::{AdviceReply, ClientId};
use setwright_model::refusal::Refusal;
use setwright_present::advice::{self, AdviceLine, AdviceView, FollowedIn, probability};
use setwright_store::Store;

/// Letters to a client that lie open.
const OPEN: usize = 3;
/// Letters on the page of all; a coach who has answered these finds the next.
const SUGGESTIONS_MAX: usize = 120;
/// Seconds for clients who were not calculated yet (judgement: longer, and a page is not waited for).
const CALCULATED_S_MAX: f64 = 1.5;
/// For how many days advice may be put off.
const DAYS: [(u32, &str); 4] = [(3, "3 days"), (LATER_DAYS, "a week"), (14, "two weeks"), (28, "four weeks")];

pub fn routes() -> Pages<App> {
    Pages::new().get(COACH, "/advice", inbox).post(COACH, "/clients/{id}/advice", answer)
}

/// Where an answer leads back to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Back {
    /// The sheet of the client.
    Client,
    /// The letters of all.
    All,
}

/// The letters to a client, on the client's sheet.
pub fn section(id: &str, view: &AdviceView) -> Markup {
    html! {
        section aria-labelledby="advice" {
            h2 id="advice" { "Advice" }
            @if view.advice.is_empty() { p { "Nothing to advise with a probability of 0.8 or more." } }
            (letters(id, view, Back::Client))
        }
    }
}

fn letters(id: &str, view: &AdviceView, back: Back) -> Markup {
    html! {
        @for line in view.advice.iter().take(OPEN) { (letter(id, line, back)) }
        @if view.advice.len() > OPEN {
            details {
                summary { (formats::count(view.advice.len() - OPEN, "more letter")) }
                @for line in view.advice.iter().skip(OPEN) { (letter(id, line, back)) }
            }
        }
        @if !view.answered.is_empty() {
            details class="answered" {
                summary { (view.answered.len()) " answered lately" }
                ul { @for line in &view.answered { li { (said(line)) } } }
            }
        }
    }
}

/// "Put off on Fri 27 Nov, comes back on Fri 4 Dec: Add sets for the chest (first the holidays)."
fn said(line: &AnsweredLine) -> String {
    let reason = line.reason.as_ref().map_or_else(String::new, |r| format!(" ({r})"));
    let back = match line.reply {
        AdviceReply::Later => format!(", comes back on {}", formats::day(line.again.date())),
        AdviceReply::Accepted | AdviceReply::Declined => String::new(),
    };
    format!("{} on {}{back}: {}{reason}.", line.word(), formats::day(line.on.date()), line.what)
}

fn letter(id: &str, line: &AdviceLine, back: Back) -> Markup {
    let sure = format!("Probability {}; brings {}.", probability(line.probability), line.effect);
    html! {
        article class="letter" {
            h3 { (line.what) "." }
            (frame::why(&sure, &line.why))
            @if !line.changes.is_empty() { div class="scroll" { table {
                thead { tr { th scope="col" { "What it would change" } th class="n" scope="col" { "Now" } th class="n" scope="col" { "Then" } } }
                tbody { @for change in &line.changes { tr {
                    td { (change.what) } td class="n" { (change.now) } td class="n" { (change.then) }
                } } }
            } } }
            p class="soft" { (place(id, line.place)) }
            form method="post" action={ "/clients/" (id) "/advice" } class="reply" {
                input type="hidden" name="key" value=(line.key);
                input type="hidden" name="back" value=(match back { Back::Client => "client", Back::All => "all" });
                label class="reason" { "Reason " input name="reason" maxlength="200" autocomplete="off"; }
                span class="answers" {
                    button name="reply" value="accepted" { "Accept" }
                    button name="reply" value="declined" { "Decline" }
                }
                span class="answers" {
                    button name="reply" value="later" { "Later" }
                    label { "in " select name="days" aria-label="Comes back in" {
                        @for (days, words) in DAYS { option value=(days) selected[days == LATER_DAYS] { (words) } }
                    } }
                }
            }
        }
    }
}

/// Where the advice is followed: an answer is kept and changes nothing.
fn place(id: &str, place: FollowedIn) -> Markup {
    let edit = html! { a href={ "/clients/" (id) "/edit" } { "edit the programme" } };
    html! {
        @match place {
            FollowedIn::Programme => { "To follow it, " (edit) " or " a href={ "/clients/" (id) "/plan" } { "plan the next block" } "." }
            FollowedIn::ComingSession => { "The floor page loads the coming session by the log already; to change the programme as well, " (edit) "." }
            FollowedIn::Week => { "To follow it, leave out half of the sets on the floor, or " (edit) "." }
            FollowedIn::Client => { "To follow it, talk with the client first." }
        }
    }
}

struct Inbox {
    from: Vec<(ClientId, AdviceView)>,
    unread: Vec<(ClientId, String)>,
    more: usize,
}

async fn inbox(visit: Visit) -> Result<Markup, Fault> {
    let inbox = visit.with_ledger(gathered).await?;
    Ok(visit.page("Advice", Some("/advice"), &all(&inbox)))
}

/// The letters of all clients: of those who were calculated, and of as many more as the time allows.
fn gathered(uow: &mut UnitOfWork, visit: &Visit) -> Result<Inbox, Refusal> {
    uow.may.coach_only()?;
    let now = uow.wall.now();
    let mut here = visit.practice().clients(uow)?;
    here.retain(|c| !c.card.away);
    let (mut lines, mut unread) = (Vec::new(), Vec::new());
    if here.len() <= FEW {
        for client in here {
            lines.push((client.client, visit.practice().line(uow, client)?));
        }
    } else {
        let (watch, known) = (uow.wall.stopwatch(), visit.practice().lines(uow, &here)?);
        for (client, known) in here.into_iter().zip(known) {
            let (id, name) = (client.client, client.card.name.clone());
            match known.line.filter(|l| l.advice.is_some()) {
                Some(line) => lines.push((id, line)),
                None if watch.elapsed().get() < CALCULATED_S_MAX => {
                    lines.push((id, insight::line(&*visit.practice().known(uow, client)?, builtin())));
                }
                None => unread.push((id, name)),
            }
        }
    }
    lines.sort_by_key(|(_, line)| std::cmp::Reverse(line.need));
    let (mut from, mut letters, mut more) = (Vec::new(), 0, 0);
    for (id, line) in lines {
        let Some(advice) = line.advice.filter(|a| !a.is_empty()) else { continue };
        let answered = uow.store.advice(id).map_err(|e| of_store(&e))?;
        let open = insight::advice::open(now, &advice, &answered);
        let view = AdviceView::of(&line.client, now, open, visit.unit(), builtin());
        if letters + view.advice.len() > SUGGESTIONS_MAX {
            more += view.advice.len();
        } else if !view.advice.is_empty() || !view.answered.is_empty() {
            letters += view.advice.len();
            from.push((id, view));
        }
    }
    Ok(Inbox { from, unread, more })
}

fn all(inbox: &Inbox) -> Markup {
    let letters: usize = inbox.from.iter().map(|(_, v)| v.advice.len()).sum();
    let writers = inbox.from.iter().filter(|(_, v)| !v.advice.is_empty()).count();
    html! {
        h1 { "Advice" }
        @if letters == 0 { p { "No letter waits for an answer: nothing is to be advised with a probability of 0.8 or more." } }
        @else { p class="soft" { (formats::count(letters, "letter")) " about " (formats::count(writers, "client"))
            ". An answer is kept with its reason, and changes nothing by itself." } }
        @for (id, view) in &inbox.from {
            section {
                h2 { a href={ "/clients/" (id) "#advice" } { (view.client) } }
                @if view.advice.is_empty() { p class="soft" { "All is answered." } }
                (letters_of(*id, view))
            }
        }
        @if inbox.more > 0 { p { (formats::count(inbox.more, "more letter")) " come up when these are answered." } }
        @if !inbox.unread.is_empty() {
            section {
                h2 { "Not looked at yet" }
                p { "Their logs were not reckoned yet. Load this page again, or open one of them: "
                    @for (nth, (id, name)) in inbox.unread.iter().take(SUGGESTIONS_MAX).enumerate() {
                        @if nth > 0 { ", " } a href={ "/clients/" (id) } { (name) }
                    }
                    @if inbox.unread.len() > SUGGESTIONS_MAX { " and " (inbox.unread.len() - SUGGESTIONS_MAX) " more" } "." }
            }
        }
    }
}

fn letters_of(id: ClientId, view: &AdviceView) -> Markup {
    letters(&id.to_string(), view, Back::All)
}

#[derive(Deserialize)]
struct Given {
    key: String,
    reply: String,
    #[serde(default)]
    reason: String,
    days: Option<String>,
    back: Option<Back>,
}

impl Given {
    fn answer(&self) -> Result<AdviceAnswer, Refusal> {
        let reply = match self.reply.as_str() {
            "accepted" => AdviceReply::Accepted,
            "declined" => AdviceReply::Declined,
            "later" => AdviceReply::Later,
            _ => return Err(unread("The answer is neither yes nor no nor later.")),
        };
        let days = match self.days.as_deref().filter(|_| reply == AdviceReply::Later) {
            Some(text) => Some(text.trim().parse().map_err(|_| unread("The days are not a number."))?),
            None => None,
        };
        let reason = Some(self.reason.trim().to_owned()).filter(|r| !r.is_empty());
        Ok(AdviceAnswer { reply, days, reason })
    }
}

fn unread(what: &str) -> Refusal {
    Refusal::new(Code::RequestRefused, what, "Go back and use the buttons of the letter.")
}

async fn answer(visit: Visit, Path(id): Path<String>, Form(given): Form<Given>) -> Result<Redirect, Fault> {
    let to = match given.back {
        Some(Back::All) => "/advice".to_owned(),
        Some(Back::Client) | None => format!("/clients/{id}#advice"),
    };
    visit
        .with_ledger(move |uow, visit| {
            uow.may.coach_only()?;
            let client = uow.client(&id)?;
            let known = visit.practice().known(uow, client)?;
            advice::answer(uow, &known, &given.key, given.answer()?, visit.unit(), builtin()).map(|_| ())
        })
        .await?;
    Ok(Redirect::to(&to))
}
