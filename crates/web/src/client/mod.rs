//! A client's sheet: brief, coming session, advice, recovery, strength, what is not yet known, ledger.

mod brief;
mod forget;
mod log;
mod newcomer;
mod pain;
mod person;
mod print;
mod review;

use crate::app::{App, Visit};
use crate::http::routes::{COACH, Pages};
use crate::page::fault::{self, Fault};
use crate::page::formats;
use axum::extract::Path;
use maud::{Markup, PreEscaped, html};
use setwright_coaching::insight::{self, Known};
use setwright_coaching::ledger::clients::{self, ClientCounts, ClientSheet};
use setwright_gym::catalogue::builtin;
use setwright_model::code::Code;
use setwright_model::exercise::LoadKind;
use setwright_model::refusal::Refusal;
use setwright_model::{Kilograms, MassUnit};
use setwright_present::advice::{self, AdviceView};
use setwright_present::drawings;
use setwright_present::next::{self, NextView};
use setwright_present::pain::{self as pain_in_words, PainView};
use setwright_present::review::{LiftReview, ReviewView, review as reviewed};
use setwright_science::screening::MayTrain;

/// Lifts that are drawn: the most often done.
const LIFTS_DRAWN: usize = 4;

/// The sheet and everything that is reached from it.
pub fn routes() -> Pages<App> {
    Pages::new()
        .get(COACH, "/clients/{id}", show)
        .merge(newcomer::routes())
        .merge(brief::routes())
        .merge(forget::routes())
        .merge(log::routes())
        .merge(review::routes())
        .merge(print::routes())
        .merge(pain::routes())
}

struct Sheet {
    id: String,
    kept: ClientSheet,
    review: ReviewView,
    pain: PainView,
    next: Result<NextView, Refusal>,
    advice: AdviceView,
    unit: MassUnit,
    strip: String,
    lifts: Vec<String>,
    about: String,
}

async fn show(visit: Visit, Path(id): Path<String>) -> Result<Markup, Fault> {
    let sheet = visit
        .with_ledger(move |uow, visit| {
            let client = uow.client(&id)?;
            let known = visit.practice().known(uow, client)?;
            let counted = ClientCounts { sessions: known.sessions.len(), sets: known.sets.len() };
            let sheet = clients::sheet(uow, &known.client, counted)?;
            let advised = visit.practice().advised(uow, &known)?;
            let open = insight::advice::open(known.now, &advised, &known.answered);
            let name = &known.client.card.name;
            let letters = AdviceView::of(name, known.now, open, visit.unit(), builtin());
            Ok(of(id, sheet, &known, letters, visit.unit()))
        })
        .await?;
    Ok(visit.page(&sheet.kept.client.name, None, &page(&sheet)))
}

fn of(id: String, sheet: ClientSheet, known: &Known, advice: AdviceView, unit: MassUnit) -> Sheet {
    let review = reviewed(known, builtin());
    let strip =
        setwright_paper::strip(&drawings::strip(known, formats::short_day, builtin()), 900.0, "strip");
    let lifts =
        review.lifts.iter().filter(|l| review::is_loaded(l)).take(LIFTS_DRAWN).enumerate().filter_map(
            |(nth, lift)| {
                let view = drawings::strength_of(known, &lift.id, unit, builtin())?;
                Some(setwright_paper::strength(&view, 430.0, &format!("lift{nth}")))
            },
        );
    Sheet {
        lifts: lifts.collect(),
        pain: pain_in_words::view(known, builtin()),
        next: MayTrain::of(known).map_err(Refusal::from).and_then(|may| next::next(may, builtin())),
        about: sheet.client.about.clone(),
        advice,
        unit,
        id,
        kept: sheet,
        review,
        strip,
    }
}

fn page(s: &Sheet) -> Markup {
    html! {
        h1 { (s.kept.client.name) }
        (pain::first(&s.id, &s.pain))
        @if !s.about.is_empty() { p { (s.about) } }
        p class="ways" {
            a href={ "/clients/" (s.id) "/floor" } { "On the floor" }
            " · " a href={ "/clients/" (s.id) "/brief" } { "Brief" }
            " · " a href={ "/clients/" (s.id) "/programme" } { "Programme" }
            " · " a href={ "/clients/" (s.id) "/plan" } { "Plan the next block" }
            " · " a href={ "/clients/" (s.id) "/review" } { "Review" }
            " · " a href={ "/clients/" (s.id) "/log" } { "Log" }
        }
        @if let Some(withheld) = withheld(s) { div role="alert" { (fault::sentence(withheld)) } }
        (crate::roster::advice::section(&s.id, &s.advice))
        (coming(s))
        (review::ran_longer(&s.review))
        section aria-labelledby="recovery" {
            h2 id="recovery" { "Recovery" }
            p class="soft" { "A stem is a session's sets for the muscle, the wedge lasts until it is ready. Hollow stems are still to come. \
                              Broken purple is the population's value and not yet this client's." }
            div class="wide" { (PreEscaped(&s.strip)) }
            (not_known(s))
        }
        (strength(s))
        (print::buttons(&s.id))
        (pain::answered(&s.id, &s.pain))
        (ledger(s))
    }
}

/// Why nobody is shown a session, where a clinician's word comes first.
fn withheld(s: &Sheet) -> Option<&Refusal> {
    s.next.as_ref().err().filter(|refusal| refusal.code == Code::ClinicianFirst)
}

fn coming(s: &Sheet) -> Markup {
    html! {
        section aria-labelledby="next" {
            h2 id="next" { "Coming session" }
            @match &s.next {
                Err(_) if withheld(s).is_some() => { p { "None is shown: a clinician's word comes first." } }
                Err(_) => { p { "No programme is in force. " a href={ "/clients/" (s.id) "/plan" } { "Plan one" } "." } }
                Ok(next) => {
                    p { "Session " (next.session.number) ", " (next.session.focus) ", " (when(next)) ", "
                        (formats::number(next.session.minutes, 0)) " minutes." }
                    @for line in &next.left_out { p class="clash" { (line) } }
                    @for muscle in &next.not_ready {
                        p class="clash" { (muscle.name) " may not be ready: probability " (advice::probability(muscle.ready)) "." }
                    }
                    div class="scroll" { table {
                        thead { tr { th { "Exercise" } th class="n" { "Planned" } th class="n" { "Now" } th class="n" { "Likely right" } } }
                        tbody { @for load in &next.loads { tr {
                            td { (load.name) }
                            td class="n" { (load_of(load.planned_kg, s.unit)) }
                            td class="n" { (load_of(load.load_kg, s.unit)) }
                            td class="n" { @if let Some(b) = &load.likely_kg { (pair(b.low, b.high, s.unit)) " " (s.unit.symbol()) } }
                        } } }
                    } }
                }
            }
        }
    }
}

/// When it is done: when it is due, or today when that is past.
fn when(next: &NextView) -> String {
    if next.at == next.due {
        formats::moment(next.at)
    } else {
        format!("today (was due {})", formats::day(next.due.date()))
    }
}

fn load_of(load: Option<Kilograms>, unit: MassUnit) -> String {
    load.map_or_else(|| "by feel".to_owned(), |kg| unit.load(kg))
}

/// "60 to 65", whole, in the unit shown.
fn pair(low_kg: f64, high_kg: f64, unit: MassUnit) -> String {
    let whole = |kg: f64| formats::number(unit.number(Kilograms(kg)), 0);
    format!("{} to {}", whole(low_kg), whole(high_kg))
}

/// The estimated 1RM; of what is done with the body, what could be hung on it.
fn one_rm(lift: &LiftReview, unit: MassUnit) -> String {
    let b = &lift.e1rm_kg;
    let whole = |kg: f64| formats::number(unit.number(Kilograms(kg)), 0);
    let told = format!("{} ({})", whole(b.median), pair(b.low, b.high, unit));
    match builtin().get(&lift.id).map(|e| e.load) {
        _ if !review::is_loaded(lift) => "the body alone".to_owned(),
        Some(LoadKind::BodyPlus) => format!("body + {told}"),
        Some(LoadKind::Assisted) => {
            format!("body - {} ({})", whole(b.median.abs()), pair(b.high.abs(), b.low.abs(), unit))
        }
        _ => told,
    }
}

fn not_known(s: &Sheet) -> Markup {
    let mut by_reason: std::collections::BTreeMap<&str, Vec<&str>> = std::collections::BTreeMap::new();
    for muscle in &s.review.muscles {
        for why in &muscle.not_yet {
            by_reason.entry(why).or_default().push(muscle.name);
        }
    }
    html! {
        @for (why, muscles) in by_reason { p class="unknown" { "Not yet known, " (why) ": " (muscles.join(", ")) "." } }
    }
}

fn strength(s: &Sheet) -> Markup {
    html! {
        section aria-labelledby="strength" {
            h2 id="strength" { "Strength" }
            @if s.review.lifts.is_empty() { p { "Nothing is logged yet." } } @else {
                div class="drawings" { @for lift in &s.lifts { (PreEscaped(lift)) } }
                div class="scroll" { table {
                    thead { tr { th { "Exercise" } th class="n" { "1RM, " (s.unit.symbol()) } th class="n" { "% a week" } th class="n" { "Sessions" } } }
                    tbody { @for lift in &s.review.lifts { tr {
                        td { (lift.name) }
                        td class="n" { (one_rm(lift, s.unit)) }
                        td class="n" { (band(&lift.growth_percent, 2)) }
                        td class="n" { (lift.sessions) }
                    } } }
                } }
            }
        }
    }
}

fn band(b: &insight::LikelyRange, places: usize) -> String {
    let n = |v| formats::number(v, places);
    format!("{} ({} to {})", n(b.median), n(b.low), n(b.high))
}

fn ledger(s: &Sheet) -> Markup {
    html! {
        section aria-labelledby="ledger" {
            h2 id="ledger" { "Ledger" }
            p { (formats::count(s.kept.client.sessions, "session")) ", " (formats::count(s.kept.client.sets, "set")) "." }
            @for slip in &s.review.slips {
                p class="clash" { (slip.name) " on " (formats::day(slip.at.date())) ", " (s.unit.load(slip.load_kg)) ", looks like "
                    (slip.looks_like) ". It counts for nothing until it is corrected." }
            }
            (log::form(&s.id, ""))
            @if s.kept.client.sets > 0 {
                form method="post" action={ "/clients/" (s.id) "/undo" } { button { "Undo what was written last" } }
            }
            ul class="sessions" { @for session in &s.kept.sessions {
                li { a href={ "/clients/" (s.id) "/sessions/" (session.id) } { (formats::moment(session.at)) } ", " (formats::count(session.sets.len(), "set")) }
            } }
            @for note in &s.kept.notes { p class="soft" { (note) } }
        }
    }
}
