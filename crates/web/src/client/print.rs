//! What is printed or put into calendars from a client's page: PDF and iCalendar, made when it is asked for.

use crate::app::{App, Visit};
use crate::http::routes::{CLIENT, COACH, Pages};
use crate::page::fault::Fault;
use axum::extract::{Path, Query};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use serde::Deserialize;
use setwright_coaching::insight::Known;
use setwright_coaching::judge;
use setwright_formats::doc::printable;
use setwright_gym::catalogue::builtin;
use setwright_model::MassUnit;
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use setwright_paper::pdf::Paper;
use setwright_present::calendar::{self, TrainingTimes};
use setwright_present::pain;
use setwright_present::reports;
use setwright_present::sheets::{self, Print, SHEETS_MAX, Subject};
use setwright_science::screening::MayTrain;
use std::sync::Arc;

pub fn routes() -> Pages<App> {
    Pages::new()
        .get(COACH, "/clients/{id}/sheet.pdf", sheet)
        .get(CLIENT, "/clients/{id}/programme.pdf", programme)
        .get(COACH, "/clients/{id}/report.pdf", report)
        .get(CLIENT, "/clients/{id}/calendar.ics", ics)
}

/// Buttons that print: paper is chosen once, a button a document.
pub fn buttons(id: &str) -> Markup {
    let to = |what: &str| format!("/clients/{id}/{what}");
    html! {
        section aria-labelledby="paper" {
            h2 id="paper" { "On paper and in calendars" }
            form method="get" action=(to("sheet.pdf")) {
                label { "Paper " select name="paper" { option value="a4" { "A4" } option value="letter" { "US Letter" } } }
                " " button { "Session sheet" }
                " " button formaction=(to("programme.pdf")) { "Whole programme" }
                " " button formaction=(to("report.pdf")) { "Report of the block" }
            }
            form method="get" action=(to("calendar.ics")) {
                label { "Sessions begin at " input type="time" name="at" value="18:00" required; }
                " " label { "for " input type="number" name="weeks" value=(calendar::WEEKS) min="1" max=(calendar::WEEKS_MAX) required; " weeks" }
                " " button { "Calendar file" }
            }
        }
    }
}

/// What can be asked of a document.
#[derive(Deserialize)]
struct Asked {
    #[serde(default)]
    paper: Option<String>,
    #[serde(default)]
    sessions: Option<usize>,
    #[serde(default)]
    at: Option<String>,
    #[serde(default)]
    weeks: Option<u32>,
    #[serde(default)]
    zone: Option<String>,
}

impl Asked {
    fn print(&self, known: &Known, unit: MassUnit) -> Result<Print<'static>, Refusal> {
        let paper = match self.paper.as_deref() {
            None | Some("" | "a4") => Paper::A4,
            Some("letter") => Paper::Letter,
            Some(other) => {
                return Err(not_understood(&format!("There is no paper \"{}\".", printable(other))));
            }
        };
        Ok(Print { paper, unit, today: known.now.date(), catalogue: builtin() })
    }
}

fn not_understood(what: &str) -> Refusal {
    Refusal::new(Code::Usage, what, "Use the buttons on the client's page.")
}

/// What is made of a client.
async fn made<T: Send + 'static>(
    visit: Visit,
    id: String,
    make: impl FnOnce(&Known, MassUnit) -> Result<T, Refusal> + Send + 'static,
) -> Result<(T, String), Fault> {
    visit
        .with_ledger(move |uow, visit| {
            let client = uow.client(&id)?;
            let name = file_name(&client.card.name);
            let known: Arc<Known> = visit.practice().known(uow, client)?;
            Ok((make(&known, visit.unit())?, name))
        })
        .await
}

async fn sheet(visit: Visit, Path(id): Path<String>, Query(asked): Query<Asked>) -> Result<Response, Fault> {
    let (bytes, name) = made(visit, id, move |known, unit| {
        let print = asked.print(known, unit)?;
        match asked.sessions {
            None => sheets::of_coming(MayTrain::of(known)?, print),
            Some(many) if (1..=SHEETS_MAX).contains(&many) => {
                sheets::following(MayTrain::of(known)?, many, None, print)
            }
            Some(_) => Err(not_understood(&format!("From 1 to {SHEETS_MAX} sheets can be printed at once."))),
        }
    })
    .await?;
    Ok(pdf(bytes, &format!("{name}-sheet.pdf")))
}

async fn programme(
    visit: Visit,
    Path(id): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Response, Fault> {
    let (bytes, name) = made(visit, id, move |known, unit| {
        let may = MayTrain::of(known)?;
        let judged = judge::to_train(may, builtin()).ok_or_else(|| sheets::no_programme(known))?;
        let note = pain::left_out_of_all(known, builtin());
        let subject = Subject { judged: &judged, may: may.part(sheets::brief_of), note: &note };
        reports::programme(subject, asked.print(known, unit)?)
    })
    .await?;
    Ok(pdf(bytes, &format!("{name}-programme.pdf")))
}

async fn report(visit: Visit, Path(id): Path<String>, Query(asked): Query<Asked>) -> Result<Response, Fault> {
    let (bytes, name) =
        made(visit, id, move |known, unit| reports::block(known, None, asked.print(known, unit)?)).await?;
    Ok(pdf(bytes, &format!("{name}-report.pdf")))
}

async fn ics(visit: Visit, Path(id): Path<String>, Query(asked): Query<Asked>) -> Result<Response, Fault> {
    let wall = visit.practice().wall().clone();
    let (text, name) = made(visit, id, move |known, unit| {
        let at = asked.at.as_deref().unwrap_or("18:00");
        let at_s = calendar::hour(at)
            .ok_or_else(|| not_understood(&format!("\"{}\" is no hour such as 18:00.", printable(at))))?;
        let weeks = asked.weeks.unwrap_or(calendar::WEEKS).clamp(1, calendar::WEEKS_MAX);
        let zone = calendar::zone(asked.zone.as_deref().filter(|z| !z.is_empty()), &wall)?;
        calendar::of_client(
            MayTrain::of(known)?,
            TrainingTimes { from: None, at_s, weeks, zone, now: known.now },
            asked.print(known, unit)?,
        )
    })
    .await?;
    let shown = format!("attachment; filename=\"{name}.ics\"");
    let head = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8".to_owned()),
        (header::CONTENT_DISPOSITION, shown),
    ];
    Ok((head, text).into_response())
}

fn pdf(bytes: Vec<u8>, name: &str) -> Response {
    let shown = format!("inline; filename=\"{name}\"");
    let head = [(header::CONTENT_TYPE, "application/pdf".to_owned()), (header::CONTENT_DISPOSITION, shown)];
    (head, bytes).into_response()
}

/// A client's name as the name of a file anywhere: letters and digits of ASCII.
fn file_name(name: &str) -> String {
    let plain: String =
        name.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).collect();
    let short = plain.trim_matches('-');
    if short.is_empty() { "client".to_owned() } else { short.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_named_after_the_client_and_safely() {
        assert_eq!(file_name("Mara Öztürk/../\"x"), "mara--zt-rk-----x");
        assert_eq!(file_name("李"), "client");
    }
}
