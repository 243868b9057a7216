//! A programme: the cycle as a row of days, each session as lanes, doses against the brief, what was found, why it is so.

use super::app::App;
use super::fault::{self, Fault};
use super::{formats, layout};
use crate::clock::Stopwatch;
use crate::files::Problem;
use crate::files::problem;
use crate::service::drawings;
use crate::service::insight;
use crate::service::ledger::publish;
use crate::service::plan::{self, Mode, Planned, Search};
use crate::service::view::{self, LineView, ProgrammeView};
use axum::Router;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use maud::{Markup, PreEscaped, html};
use setwright_model::{Brief, Finding, Programme, Seconds, Severity};
use setwright_science::catalogue::builtin;

/// Moves of a plan from a page, and its outer limit.
const MOVES: u64 = 400_000;
const SECONDS: f64 = 20.0;

pub fn routes() -> Router<App> {
    Router::new()
        .route("/clients/{id}/programme", get(show))
        .route("/clients/{id}/plan", get(ask).post(plan_next))
}

async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, Fault> {
    let page = app
        .at_desk(move |desk, app| {
            let client = desk.client(&id)?;
            let known = app.known(desk, client)?;
            let Some(state) = &known.programme else {
                let what = format!("{} has no programme in force.", known.client.card.name);
                return Err(Problem::new(
                    problem::NOTHING_IN_FORCE,
                    what,
                    "Plan one from the client's page.",
                ));
            };
            let report =
                setwright_check::audit(&state.programme, known.brief.as_ref(), builtin(), &known.belief);
            let view = view::programme(&state.programme, known.brief.as_ref(), builtin(), &report);
            let since = format!("In force since {}.", formats::long_day(state.at.date()));
            let findings: Vec<Finding> = report.findings.clone();
            Ok(layout::page(
                &format!("Programme of {}", known.client.card.name),
                None,
                &html! {
                    h1 { "Programme of " a href={ "/clients/" (id) } { (known.client.card.name) } }
                    p class="soft" { (since) }
                    (whole(&state.programme, &view, known.brief.as_ref(), &findings))
                },
            ))
        })
        .await?;
    Ok(page)
}

/// Sessions, doses and findings of a programme.
pub fn whole(
    programme: &Programme,
    view: &ProgrammeView,
    brief: Option<&Brief>,
    findings: &[Finding],
) -> Markup {
    let cold = brief.is_some_and(|b| b.time.cold);
    html! {
        ol class="days" aria-label="Days of the cycle" {
            @for day in 1..=view.cycle_days {
                @let session = view.sessions.iter().find(|s| s.day == day);
                li class=[session.is_some().then_some("trains")] {
                    span class="soft" { (day) }
                    @if let Some(s) = session { a href={ "#session-" (s.number) } { (s.focus) } } @else { span class="soft" { "rest" } }
                }
            }
        }
        @for (session, shown) in programme.sessions.iter().zip(&view.sessions) {
            section aria-labelledby={ "session-" (shown.number) } {
                h2 id={ "session-" (shown.number) } { "Session " (shown.number) ", day " (shown.day) ", " (shown.focus) }
                (layout::why(&long(shown), &minutes_why(shown)))
                div class="wide desk" { (PreEscaped(setwright_paper::lanes(&drawings::lanes(session, shown, cold, builtin()), 900.0, &format!("d{}", shown.number)))) }
                div class="wide phone" { (PreEscaped(setwright_paper::lanes(&drawings::lanes(session, shown, cold, builtin()), 360.0, &format!("p{}", shown.number)))) }
                (lines(shown))
            }
        }
        section aria-labelledby="doses" {
            h2 id="doses" { "Sets a week" }
            p class="soft" { "Fractional sets: a muscle that helps counts half. Brackets are what the brief asks." }
            div class="narrow" { (PreEscaped(setwright_paper::doses("Sets a week by muscle", &drawings::doses(view), 460.0, "doses"))) }
        }
        (found(findings))
    }
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

fn lines(session: &view::SessionView) -> Markup {
    html! {
        details {
            summary { "Loads and warm-up" }
            div class="scroll" { table {
                thead { tr { th { "" } th { "Exercise" } th class="n" { "Sets" } th { "Load" } th class="n" { "In reserve" } th { "Warm-up" } } }
                tbody { @for line in session.blocks.iter().flat_map(|b| &b.lines) { tr {
                    td { (line.label) } td { (line.name) } td class="n" { (sets(line)) }
                    td { (load(&line.load)) } td class="n" { (line.rir) } td { (ramp(line)) }
                } } }
            } }
        }
    }
}

fn sets(line: &LineView) -> String {
    let [low, high] = line.reps;
    let reps = if low == high { low.to_string() } else { format!("{low}-{high}") };
    let side = if line.each_side { " a side" } else { "" };
    format!(
        "{} x {reps}{}{side}",
        line.sets,
        if line.counted_in.is_empty() { String::new() } else { format!(" {}", line.counted_in) }
    )
}

fn load(load: &view::LoadView) -> String {
    let Some(kg) = load.kg else { return "by feel".to_owned() };
    let discs = load.discs.as_ref().filter(|d| !d.is_empty()).map_or_else(String::new, |discs| {
        format!(" [{}]", discs.iter().map(|d| formats::number(d.get(), 2)).collect::<Vec<_>>().join(" "))
    });
    format!("{} kg{discs}", formats::number(kg.get(), 2))
}

fn ramp(line: &LineView) -> String {
    let step = |s: &view::StepView| match s.load.kg {
        Some(_) => format!("{} x {}", s.reps, load(&s.load)),
        None => format!("{} easy", s.reps),
    };
    line.ramp.iter().map(step).collect::<Vec<_>>().join(", ")
}

/// What the check says, in sentences.
pub fn found(findings: &[Finding]) -> Markup {
    html! {
        section aria-labelledby="findings" {
            h2 id="findings" { "To look at" }
            @if findings.is_empty() { p { "Nothing stands against it." } }
            @for f in findings {
                p class=(match f.severity { Severity::Error => "clash", Severity::Warning => "warns", Severity::Note => "soft" }) {
                    strong { (match f.severity { Severity::Error => "Error. ", Severity::Warning => "Warning. ", Severity::Note => "" }) }
                    (f.subject) ": " (f.cause) " " (f.hint) " " a class="soft" href={ "/help?topic=" (f.code) } { (f.code) }
                }
            }
        }
    }
}

async fn ask(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, Fault> {
    let name = {
        let id = id.clone();
        app.at_desk(move |desk, _| desk.client(&id).map(|c| c.card.name)).await?
    };
    Ok(layout::page(
        &format!("Plan for {name}"),
        None,
        &html! {
            h1 { "Plan for " (name) }
            p { "The next block is planned with what the log tells of strength and recovery, after the programme in force: what need not \
                 change stays. It is checked by a second part of the program before it is handed out." }
            form method="post" { button { "Plan and hand out" } }
        },
    ))
}

async fn plan_next(State(app): State<App>, Path(id): Path<String>) -> Result<Response, Fault> {
    let to = format!("/clients/{id}/programme");
    let refused = app
        .at_desk(move |desk, app| {
            let client = desk.client(&id)?;
            let known = app.known(desk, client)?;
            let Some(mut brief) = known.brief.clone() else {
                let what = format!("{} has no brief.", known.client.card.name);
                return Err(Problem::new(
                    problem::NOTHING_IN_FORCE,
                    what,
                    "setwright client change NAME --brief FILE gives one.",
                ));
            };
            brief.body.mass_kg = known.body_mass.or(brief.body.mass_kg);
            brief.style.before = known.programme.as_ref().map(|p| p.programme.clone());
            let mut planned = solve(&brief, Some(known.belief.clone()))?;
            if let Some(programme) = &planned.programme {
                planned.answer.reasons.extend(insight::load_changes(&known, programme.get(), builtin()));
            }
            brief.style.before = None;
            hand_out(desk, &id, &brief, &planned)
        })
        .await?;
    Ok(match refused {
        None => Redirect::to(&to).into_response(),
        Some(page) => page.into_response(),
    })
}

/// Plans as a page does.
pub fn solve(brief: &Brief, belief: Option<setwright_model::Belief>) -> Result<Planned, Problem> {
    let search = Search { mode: Mode::Benefit, seed: 1, moves: MOVES, limit: Seconds(SECONDS) };
    plan::plan(brief, belief, builtin(), search, Stopwatch::start(), &mut |_| {})
}

/// Publishes what was planned, or says what clashes.
pub fn hand_out(
    desk: &mut crate::service::ledger::Desk,
    wanted: &str,
    brief: &Brief,
    planned: &Planned,
) -> Result<Option<Markup>, Problem> {
    if planned.programme.is_some() {
        publish::planned(desk, wanted, brief, planned)?;
        return Ok(None);
    }
    let problem = Problem::new(
        problem::NOT_PUBLISHED,
        "No programme keeps every wish of this brief.",
        "Loosen one of them, and plan again.",
    );
    Ok(Some(layout::page(
        "What clashes",
        None,
        &html! {
            h1 { "What clashes" }
            (fault::sentence(&problem))
            @for line in &planned.answer.conflict { p { (line) } }
            @for line in &planned.answer.cautions { p class="clash" { (line) } }
            p { a href={ "/clients/" (wanted) } { "Back to " (brief.name) } }
        },
    )))
}
