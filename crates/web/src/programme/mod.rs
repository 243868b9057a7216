//! A programme: the cycle as a row of days, each session as lanes, doses against the brief, what was found, why it is so.

pub mod compare;
pub mod making;

use crate::app::{App, Visit};
use crate::http::routes::{CLIENT, Pages};
use crate::page::fault::{self, Fault};
use crate::page::formats;
use crate::page::frame;
use axum::extract::Path;
use maud::{Markup, PreEscaped, html};
use setwright_check::JudgedProgramme;
use setwright_coaching::insight::Known;
use setwright_coaching::{judge, screen};
use setwright_gym::catalogue::builtin;
use setwright_model::answer::gap;
use setwright_model::code::Code;
use setwright_model::ledger::Provenance;
use setwright_model::refusal::Refusal;
use setwright_model::{Finding, MassUnit, Severity, Share, Status};
use setwright_present::drawings;
use setwright_present::loads::load_with_plates;
use setwright_present::view::{self, LineView, ProgrammeView};
use setwright_science::screening::MayTrain;

pub fn routes() -> Pages<App> {
    Pages::new().get(CLIENT, "/clients/{id}/programme", show)
}

async fn show(visit: Visit, Path(id): Path<String>) -> Result<Markup, Fault> {
    let page = visit
        .with_ledger(move |uow, visit| {
            let client = uow.client(&id)?;
            let known = visit.practice().known(uow, client)?;
            let state = known.programme.as_ref().ok_or_else(|| none_in_force(&known))?;
            // A coach looks at it to change it; whoever trains by it passes the gate.
            let withheld = MayTrain::of(&*known).err().map(Refusal::from);
            if let Some(withheld) = withheld.as_ref().filter(|_| !uow.may.coach()) {
                return Err(withheld.clone());
            }
            let judged = judge::in_force(&known, builtin()).ok_or_else(|| none_in_force(&known))?;
            let view = view::programme(&judged, known.brief.as_ref(), builtin());
            let draft = known.brief.as_ref().and_then(|brief| screen::draft(&brief.screening));
            let since = format!("In force since {}.", formats::long_day(state.at.date()));
            let standing = standing(&state.provenance);
            Ok(visit.page(
                &format!("Programme of {}", known.client.card.name),
                None,
                &html! {
                    h1 { "Programme of " a href={ "/clients/" (id) } { (known.client.card.name) } }
                    @if let Some(withheld) = &withheld { div role="alert" { (fault::sentence(withheld)) } }
                    @if let Some(draft) = draft.as_ref().filter(|_| uow.may.coach()) { (draft_note(draft, &id)) }
                    p class="soft" { (since) }
                    @if let Some(standing) = &standing {
                        (frame::why(standing, "Points are what the check's model of benefit gives for sets, recovery and fit to the brief; the bound is proven \
                             (docs/models.md)."))
                    }
                    p class="ways" {
                        @if uow.may.coach() {
                            a href={ "/clients/" (id) "/edit" } { "Edit" }
                            " · " a href={ "/clients/" (id) "/plan" } { "Plan the next block" }
                            " · "
                        }
                        a href={ "/clients/" (id) "/programme.pdf" } { "Print" }
                    }
                    (whole(&judged, &view, visit.unit()))
                },
            ))
        })
        .await?;
    Ok(page)
}

/// That the questions before training are open, with the way to them.
pub fn draft_note(draft: &str, client: &str) -> Markup {
    html! {
        p role="alert" class="clash" {
            (draft) " " a href={ "/clients/" (client) "/brief#screening" } { "Ask them now" } "."
        }
    }
}

/// There is nothing to show.
pub fn none_in_force(known: &Known) -> Refusal {
    let what = format!("{} has no programme in force.", known.client.card.name);
    Refusal::new(Code::NothingInForce, what, "Plan one from the client's page.")
}

/// Sessions, doses and findings of a programme.
pub fn whole(judged: &JudgedProgramme, view: &ProgrammeView, unit: MassUnit) -> Markup {
    html! {
        (drawn(judged, view, unit))
        (found(&judged.report().findings, unit))
    }
}

/// Sessions and doses of a programme.
pub fn drawn(judged: &JudgedProgramme, view: &ProgrammeView, unit: MassUnit) -> Markup {
    html! {
        ol class="days" aria-label="Days of the cycle" {
            @for day in 1..=view.cycle_days {
                @let session = view.sessions.iter().find(|s| s.day == day);
                li class=[session.is_some().then_some("trains")] {
                    span class="soft" { (day) }
                    @if let Some(s) = session { a href={ "#session-" (s.number) } { @if s.focus.is_empty() { "session " (s.number) } @else { (s.focus) } } } @else { span class="soft" { "rest" } }
                }
            }
        }
        div class="sided" {
            div {
                @for (session, shown) in judged.programme().sessions.iter().zip(&view.sessions) {
                    section aria-labelledby={ "session-" (shown.number) } {
                        h2 id={ "session-" (shown.number) } { "Session " (shown.number) ", day " (shown.day) @if !shown.focus.is_empty() { ", " (shown.focus) } }
                        (frame::why(&long(shown), &minutes_why(shown)))
                        div class="wide desk" { (PreEscaped(setwright_paper::lanes(&drawings::lanes(session, shown, unit, builtin()), 900.0, &format!("d{}", shown.number)))) }
                        div class="wide phone" { (PreEscaped(setwright_paper::lanes(&drawings::lanes(session, shown, unit, builtin()), 360.0, &format!("p{}", shown.number)))) }
                        (lines(shown, unit))
                    }
                }
            }
            (doses(view))
        }
    }
}

/// Sets a week against the brief, at the side where there is room.
pub fn doses(view: &ProgrammeView) -> Markup {
    html! {
        section class="side" aria-labelledby="doses" {
            h2 id="doses" { "Sets a week" }
            p class="soft" { "Fractional sets: a muscle that helps counts half. Brackets are what the brief asks." }
            div class="narrow" { (PreEscaped(setwright_paper::doses("Sets a week by muscle", &drawings::doses(view), 340.0, "doses"))) }
        }
    }
}

/// How good a programme was found to be when it was handed out, in words.
fn standing(provenance: &Provenance) -> Option<String> {
    let (value, bound) = (provenance.value?, provenance.bound?);
    let n = |v| formats::number(v, 1);
    let gap = 100.0 * gap(Some(value), Some(bound)).unwrap_or(Share::ZERO).get();
    Some(match provenance.status? {
        Status::Optimal => {
            format!("Found {} points, and it is proven that nothing under the rules was better.", n(value))
        }
        _ => format!(
            "Found {} points; nothing under the rules passes {} (gap {gap:.1} %).",
            n(value),
            n(bound)
        ),
    })
}

fn long(s: &view::SessionView) -> String {
    let limit =
        s.limit_minutes.map_or_else(String::new, |limit| format!(" of {}", formats::number(limit, 0)));
    format!("{}{limit} minutes, {} sets.", formats::number(s.minutes, 0), s.sets)
}

fn minutes_why(s: &view::SessionView) -> String {
    format!(
        "{} of work and warm-up, {} of rest, {} of making ready and walking, by the session clock: reps times cadence, both sides where \
         there are two, the rest of each block.",
        formats::number(s.work_minutes, 1),
        formats::number(s.rest_minutes, 1),
        formats::number(s.moving_minutes, 1)
    )
}

fn lines(session: &view::SessionView, unit: MassUnit) -> Markup {
    html! {
        details {
            summary { "Loads and warm-up" }
            div class="scroll" { table {
                thead { tr { th { "" } th { "Exercise" } th class="n" { "Sets" } th { "Load" } th class="n" { "In reserve" } th { "Warm-up" } } }
                tbody { @for line in session.blocks.iter().flat_map(|b| &b.lines) { tr {
                    td { (line.label) } td { (line.name) } td class="n" { (drawings::sets(line)) }
                    td { (load_with_plates(&line.load, unit)) } td class="n" { (line.rir) } td { (ramp(line, unit)) }
                } } }
            } }
        }
    }
}

fn ramp(line: &LineView, unit: MassUnit) -> String {
    let step = |s: &view::StepView| match s.load.kg {
        Some(_) => format!("{} x {}", s.reps, load_with_plates(&s.load, unit)),
        None => format!("{} easy", s.reps),
    };
    line.ramp.iter().map(step).collect::<Vec<_>>().join(", ")
}

/// What the check says, in sentences.
pub fn found(findings: &[Finding], unit: MassUnit) -> Markup {
    html! {
        section aria-labelledby="findings" {
            h2 id="findings" { "To look at" }
            @if findings.is_empty() { p { "Nothing stands against it." } }
            @for f in findings {
                (finding(f, severity_word(f.severity), true, unit))
            }
        }
    }
}

/// The word before a finding, and nothing before a note.
pub fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "Error. ",
        Severity::Warning => "Warning. ",
        Severity::Note => "",
    }
}

/// One finding behind a word; with what it is about, where it does not hang on it.
pub fn finding(f: &Finding, word: &str, with_subject: bool, unit: MassUnit) -> Markup {
    let class = match f.severity {
        Severity::Error => "clash",
        Severity::Warning => "warns",
        Severity::Note => "soft",
    };
    html! {
        p class=(class) {
            strong { (word) } @if with_subject { (f.subject) ": " }
            (f.cause.shown_in(unit)) " " (f.hint.shown_in(unit)) " " a class="soft" href={ "/help?topic=" (f.code) } { (f.code) }
        }
    }
}
