//! The audit of a pasted or uploaded sheet: on the left as it came, on the right what was understood, line by line; what is
//! found hangs on the line it concerns; the smallest mend that was found stands beside it.

use crate::app::{App, Visit};
use crate::http::routes::{COACH, Pages};
use crate::page::fault::{self, Fault};
use crate::page::formats;
use crate::programme;
use crate::programme::compare;
use axum::extract::Form;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use serde::Deserialize;
use setwright_check::Mend;
use setwright_coaching::judge;
use setwright_coaching::ledger::{UnitOfWork, current};
use setwright_formats::either;
use setwright_formats::{programme as toml, read};
use setwright_gym::catalogue::builtin;
use setwright_model::code::Code;
use setwright_model::refusal::{Refusal, Refusals};
use setwright_model::{Brief, Finding, MassUnit, Severity};
use setwright_present::annotated::{self, AnnotatedLine, AnnotatedSheet, Taken};
use setwright_present::audit::{self, AuditView, MendView};
use setwright_present::compare::compare as beside;
use setwright_present::drawings;
use setwright_present::loads;

const EXAMPLE: &str = "day,block,exercise,sets,reps,RIR,load,rest\n1,A,back squat,3,5-8,2,80 kg,3 min\n1,B1,bench press,3,8-12,2,60 kg,90 s\n\
                       1,B2,barbell row,3,8-12,2,55 kg,90 s\n4,A,deadlift,2,5,2,100 kg,3 min\n4,B,lat pulldown,3,10-12,1,50 kg,2 min\n";

pub fn routes() -> Pages<App> {
    Pages::new().get(COACH, "/audit", blank).post(COACH, "/audit", read_and_judge)
}

#[derive(Clone, Default, Deserialize)]
struct Given {
    sheet: String,
    #[serde(default)]
    unit: String,
    #[serde(default)]
    days: String,
    #[serde(default)]
    client: String,
}

struct Judged {
    found: judge::Judged,
    view: AuditView,
    annotated: AnnotatedSheet,
    /// Whose brief it was held against.
    client: Option<String>,
    brief: Option<Brief>,
}

async fn blank(visit: Visit) -> Markup {
    let given =
        Given { sheet: EXAMPLE.to_owned(), unit: visit.unit().symbol().to_owned(), ..Given::default() };
    page(&visit, &given, &html! {}, false)
}

async fn read_and_judge(visit: Visit, Form(given): Form<Given>) -> Result<Response, Fault> {
    let sent = given.clone();
    let done = visit.with_ledger(move |uow, _| Ok(judged(uow, &sent))).await?;
    Ok(match done {
        Ok(judged) => page(&visit, &given, &result(&judged, visit.unit()), true).into_response(),
        Err(problems) => {
            let status = fault::status_of(&problems);
            let annotated = annotated::refused(&given.sheet, problems);
            (status, page(&visit, &given, &unread(&annotated, visit.unit()), true)).into_response()
        }
    })
}

fn judged(uow: &mut UnitOfWork, given: &Given) -> Result<Judged, Refusals> {
    let one = |p: Refusal| vec![p];
    let source = read::text("the sheet", given.sheet.as_bytes()).map_err(one)?;
    let days = match given.days.trim() {
        "" => None,
        text => Some(text.parse().map_err(|_| one(not_days(text)))?),
    };
    let (client, brief) = brief_of(uow, &given.client).map_err(one)?;
    let unit = MassUnit::of(&given.unit).unwrap_or_default();
    let days = days.or(brief.as_ref().map(|b| b.time.cycle_days));
    let read = either::read(&source, builtin(), days, unit)?;
    let found = judge::judge(&read.programme, brief.as_ref(), builtin());
    let view = audit::view("the sheet", &read, &found, brief.as_ref(), builtin());
    let annotated = annotated::judged(&given.sheet, &read, &view);
    Ok(Judged { found, view, annotated, client, brief })
}

fn not_days(text: &str) -> Refusal {
    let what = format!("\"{}\" is not a number of days.", setwright_formats::doc::printable(text));
    Refusal::new(
        Code::Usage,
        what,
        "Write how many days it takes until the programme repeats, or leave it open.",
    )
}

/// The brief of the client of this name; none when nobody is named.
fn brief_of(uow: &mut UnitOfWork, wanted: &str) -> Result<(Option<String>, Option<Brief>), Refusal> {
    if wanted.trim().is_empty() {
        return Ok((None, None));
    }
    let client = uow.client(wanted)?;
    let brief = current::brief_in_force(uow, client.client)?;
    if brief.is_none() {
        let what = format!("{} has no brief yet.", client.card.name);
        return Err(Refusal::new(
            Code::NothingInForce,
            what,
            "Leave the client open, or write the brief first.",
        ));
    }
    Ok((Some(client.card.name), brief))
}

fn page(visit: &Visit, given: &Given, result: &Markup, is_judged: bool) -> Markup {
    visit.page(
        "Audit",
        Some("/audit"),
        &html! {
            h1 { "Audit" }
            p { "Paste a programme, or choose a file: a sheet with a line for each exercise, or TOML. It is timed, counted and judged; nothing is kept." }
            @if is_judged {
                details class="again" { summary { "Change the sheet" } (form(given)) }
            } @else { (form(given)) }
            (result)
        },
    )
}

fn form(given: &Given) -> Markup {
    let unit = MassUnit::of(&given.unit).unwrap_or_default();
    html! {
        form method="post" class="stack" {
            label for="sheet" { "The sheet" }
            textarea id="sheet" name="sheet" rows="10" spellcheck="false" required { (given.sheet) }
            p class="file" hidden { label for="file" { "From a file " } input id="file" type="file" accept=".csv,.tsv,.txt,.toml,text/*" data-reads="sheet";
                span role="status" class="soft" {} }
            div class="options" {
                label { "Bare loads are in " select name="unit" {
                    option value="kg" selected[unit == MassUnit::Kg] { "kilograms" } option value="lb" selected[unit == MassUnit::Lb] { "pounds" }
                } }
                label { "It repeats after " input name="days" value=(given.days) inputmode="numeric" size="3" autocomplete="off"; " days (may stay open)" }
                label { "For the client " input name="client" value=(given.client) size="14" autocomplete="off"; " (may stay open)" }
            }
            button { "Judge it" }
        }
    }
}

/// The lines of a sheet that could not be read.
fn unread(annotated: &AnnotatedSheet, unit: MassUnit) -> Markup {
    let wrong = annotated.lines.iter().filter(|l| !l.problems.is_empty()).count();
    html! {
        div role="alert" {
            p { strong { "The sheet could not be read." } @if wrong > 0 { " What is wrong stands beside " (formats::count(wrong, "line")) "." } }
            @for p in &annotated.problems { (fault::sentence(p)) }
        }
        (lines(annotated, unit))
    }
}

fn result(judged: &Judged, unit: MassUnit) -> Markup {
    let (view, annotated) = (&judged.view, &judged.annotated);
    let errors = audit::count(view, Severity::Error);
    let warnings = audit::count(view, Severity::Warning);
    html! {
        h2 id="understood" { "What was understood" }
        p { (formats::count(view.programme.sessions.len(), "session")) " in " (formats::count(view.programme.cycle_days as usize, "day")) ": "
            (formats::count(errors, "error")) " and " (formats::count(warnings, "warning")) ". "
            @if view.fit { "A coach could sign it." } @else { "A coach would not sign it as it stands." }
            @if let Some(client) = &judged.client { " Held against the brief of " (client) "." } }
        @for note in &view.notes { p class="soft" { (note) } }
        (lines(annotated, unit))
        @if !annotated.findings.is_empty() {
            section aria-labelledby="whole" {
                h2 id="whole" { "To look at" }
                @for finding in &annotated.findings { (said(finding, true, unit)) }
            }
        }
        @if let (Some(mend), Some(found)) = (&view.mend, &judged.found.mend) { (mended(judged, mend, found, unit)) }
        (programme::drawn(&judged.found.programme, &view.programme, unit))
    }
}

/// The sheet as it came and what was understood, line by line.
fn lines(annotated: &AnnotatedSheet, unit: MassUnit) -> Markup {
    html! {
        div class="annotated" {
            p class="head soft" aria-hidden="true" { span {} span { "As it came" } span { "As it was understood" } }
            ol { @for line in &annotated.lines { (annotated_line(line, unit)) } }
        }
    }
}

fn annotated_line(line: &AnnotatedLine, unit: MassUnit) -> Markup {
    html! {
        li value=(line.number) {
            span class="nth" aria-hidden="true" { (line.number) }
            code { (line.text) }
            div {
                @for taken in &line.taken { p { (in_words(taken, unit)) }
                    @if !taken.assumed.is_empty() { p class="soft" { "Assumed: " (taken.assumed.join(", ")) "." } } }
                @for problem in &line.problems {
                    p class="clash" { strong { (problem.what) } " " (problem.hint) " " a class="soft" href={ "/help?topic=" (problem.code) } { (problem.code) } }
                }
                @for finding in &line.findings { (said(finding, false, unit)) }
            }
        }
    }
}

/// "Day 1, B1 in turn: bench press, 3 x 8-12, 2 in reserve, 60 kg, rest 90 s".
fn in_words(taken: &Taken, unit: MassUnit) -> Markup {
    let line = &taken.line;
    let load =
        line.load.kg.map_or_else(String::new, |_| format!(", {}", loads::load_with_plates(&line.load, unit)));
    let rest = formats::number(taken.rest_s, 0);
    html! {
        "Day " (taken.day) ", " (line.label) ": " strong { (line.name) } ", " (drawings::sets(line)) ", " (line.rir) " in reserve" (load)
        ", rest " (rest) " s."
    }
}

fn said(finding: &Finding, with_subject: bool, unit: MassUnit) -> Markup {
    programme::finding(finding, programme::severity_word(finding.severity), with_subject, unit)
}

/// The smallest change that was found, and the two programmes beside each other.
fn mended(judged: &Judged, mend: &MendView, found: &Mend, unit: MassUnit) -> Markup {
    let brief = judged.brief.as_ref();
    let compared = beside(&judged.found.programme, &found.programme, brief, unit, builtin());
    let note = ["Mended.".to_owned()];
    html! {
        section aria-labelledby="mend" {
            h2 id="mend" { "Smallest mend that was found" }
            ol { @for step in &mend.steps { li { (step.shown_in(unit)) } } }
            p { @if mend.fit_after { "After it nothing stands against the programme." } @else { "After it something still stands against the programme." } }
            details {
                summary { "Before and after" }
                (compare::sessions(&compared, ["As it came", "Mended"]))
                (compare::findings(&compared, unit))
            }
            details {
                summary { "The mended programme as a file" }
                textarea readonly rows="14" spellcheck="false" aria-label="The mended programme" { (toml::write(&mend.programme, &note)) }
            }
        }
    }
}
