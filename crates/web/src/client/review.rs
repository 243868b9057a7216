//! The end of a block: what was done, what grew, what recovers how fast, what is not known, what is next.

use crate::app::{App, Visit};
use crate::http::routes::{COACH, Pages};
use crate::page::fault::Fault;
use crate::page::formats;
use crate::page::frame;
use axum::extract::Path;
use maud::{Markup, PreEscaped, html};
use setwright_coaching::insight::{Known, LikelyRange};
use setwright_gym::catalogue::builtin;
use setwright_model::MassUnit;
use setwright_model::exercise::LoadKind;
use setwright_paper::Dose;
use setwright_present::advice::{self, AdviceLine};
use setwright_present::drawings;
use setwright_present::review::{self, LiftReview, MuscleReview, ReviewView};

/// Lifts that are drawn: the most often done.
const DRAWN: usize = 6;
/// Sessions of an exercise from which its growth is told (judgement).
const SESSIONS_TOLD: usize = 4;

/// Kilograms under which nothing that could be hung on the body is worth naming (judgement: the lightest plate).
const LEAST_ADDED_KG: f64 = 1.25;

pub fn routes() -> Pages<App> {
    Pages::new().get(COACH, "/clients/{id}/review", show)
}

/// Whether the strength of it is a load: of what is done with the body alone only reps tell.
pub fn is_loaded(lift: &LiftReview) -> bool {
    match builtin().get(&lift.id).map(|e| e.load) {
        Some(LoadKind::Body) => false,
        Some(LoadKind::BodyPlus) => lift.e1rm_kg.high >= LEAST_ADDED_KG,
        _ => true,
    }
}

async fn show(visit: Visit, Path(id): Path<String>) -> Result<Markup, Fault> {
    let (name, page) = visit
        .with_ledger(move |uow, visit| {
            let client = uow.client(&id)?;
            let known = visit.practice().known(uow, client)?;
            let next = advice::view(&known, visit.unit(), builtin());
            let review = review::review(&known, builtin());
            Ok((known.client.card.name.clone(), page(&known, &review, &next.advice, visit.unit())))
        })
        .await?;
    Ok(visit.page(&format!("Review of {name}"), None, &page))
}

fn page(known: &Known, review: &ReviewView, next: &[AdviceLine], unit: MassUnit) -> Markup {
    let id = known.client.client;
    html! {
        h1 { "Review of " a href={ "/clients/" (id) } { (known.client.card.name) } }
        @if review.sessions == 0 { p { "Nothing is logged yet, so there is nothing to look back on." } } @else {
            (done(known, review, unit))
            (ran_longer(review))
            (grew(known, review, unit))
            (recovered(review))
        }
        section aria-labelledby="next" {
            h2 id="next" { "What is next" }
            @if next.is_empty() { p { "Nothing to advise with a probability of 0.8 or more: the next block may go on as this one did." } }
            @for line in next { p { (line.what) ". " (frame::why(&format!("Probability {}.", advice::probability(line.probability)), &line.why)) } }
            p { a href={ "/clients/" (id) "/plan" } { "Plan the next block" } ", or answer the advice on " a href={ "/clients/" (id) "#advice" } { "the client's page" } "." }
        }
    }
}

fn done(known: &Known, review: &ReviewView, unit: MassUnit) -> Markup {
    let planned = review
        .planned_sessions
        .map_or_else(String::new, |n| format!(" where the programme in force has {}", formats::number(n, 0)));
    html! {
        section aria-labelledby="done" {
            h2 id="done" { "What was done" }
            p { (formats::count(review.sessions, "session")) " and " (formats::count(review.sets, "work set")) " over " (formats::number(review.weeks, 0)) " weeks; in the last \
                 four weeks " (formats::count(review.recent_sessions, "session")) (planned) "." }
            p class="soft" { "Sets a week of each muscle over the last four weeks; brackets are what the brief asks." }
            div class="narrow" { (PreEscaped(setwright_paper::doses("Sets a week by muscle, as done", &doses(known, review), 460.0, "done-doses"))) }
            @for slip in &review.slips {
                p class="clash" { (slip.name) " on " (formats::day(slip.at.date())) ", " (unit.load(slip.load_kg)) ", looks like " (slip.looks_like)
                    ". It counts for nothing until it is corrected." }
            }
        }
    }
}

/// Sessions that ran much longer than planned, where there are any.
pub fn ran_longer(review: &ReviewView) -> Markup {
    html! {
        @if !review.ran_longer.is_empty() {
            section aria-labelledby="longer" {
                h2 id="longer" { "Ran longer than planned" }
                @for line in &review.ran_longer { p class="warns" { (line) } }
                p class="soft" { (review::RAN_LONGER) }
            }
        }
    }
}

fn doses(known: &Known, review: &ReviewView) -> Vec<Dose> {
    let wish = |m: &MuscleReview| known.brief.as_ref().and_then(|b| b.muscles.get(&m.muscle));
    let one = |m: &MuscleReview| Dose {
        name: m.name.to_owned(),
        sets: m.sets_per_week,
        least: wish(m).and_then(|w| w.least).map(setwright_model::FractionalSets::get),
        most: wish(m).and_then(|w| w.most).map(setwright_model::FractionalSets::get),
    };
    review.muscles.iter().map(one).collect()
}

fn grew(known: &Known, review: &ReviewView, unit: MassUnit) -> Markup {
    let drawn =
        review.lifts.iter().filter(|l| is_loaded(l)).take(DRAWN).enumerate().filter_map(|(nth, lift)| {
            let view = drawings::strength_of(known, &lift.id, unit, builtin())?;
            Some(setwright_paper::strength(&view, 430.0, &format!("grew{nth}")))
        });
    let told: Vec<&LiftReview> = review.lifts.iter().filter(|l| l.sessions >= SESSIONS_TOLD).collect();
    html! {
        section aria-labelledby="grew" {
            h2 id="grew" { "What grew" }
            p { (whole(review)) }
            div class="drawings" { @for drawing in drawn { (PreEscaped(drawing)) } }
            @if told.is_empty() { p { "No exercise was done often enough to tell its growth." } }
            ul { @for lift in told { li { (growth(lift)) } } }
        }
    }
}

fn whole(review: &ReviewView) -> String {
    let g = &review.growth_percent;
    let said = format!(
        "All lifts together: {} % a week, between {} and {} in nine cases of ten",
        formats::number(g.median, 2),
        formats::number(g.low, 2),
        formats::number(g.high, 2)
    );
    match review.stall_not_yet.first() {
        Some(why) => format!("{said}. Whether the client stands still cannot be told yet: {why}."),
        None => format!(
            "{said}; the client stands still with a probability of {}.",
            advice::probability(review.stall)
        ),
    }
}

/// "Bench press: grew, 0.5 % a week (0.3 to 0.7), over 24 sessions".
fn growth(lift: &LiftReview) -> String {
    let g = &lift.growth_percent;
    let word = match g {
        LikelyRange { low, .. } if *low > 0.0 => "grew",
        LikelyRange { high, .. } if *high < 0.0 => "fell",
        _ => "may have grown or not",
    };
    format!(
        "{}: {word}, {} % a week ({} to {}), over {}.",
        lift.name,
        formats::number(g.median, 2),
        formats::number(g.low, 2),
        formats::number(g.high, 2),
        formats::count(lift.sessions, "session")
    )
}

fn recovered(review: &ReviewView) -> Markup {
    html! {
        section aria-labelledby="recovered" {
            h2 id="recovered" { "What recovers how fast" }
            p class="soft" { "Hours until a muscle is ready after four sets with two left, with the interval that holds nine cases in ten." }
            div class="scroll" { table {
                thead { tr { th scope="col" { "Muscle" } th class="n" scope="col" { "Ready after, h" } th class="n" scope="col" { "Anybody, h" } th scope="col" { "How well it is known" } } }
                tbody { @for m in &review.muscles { tr {
                    td { (m.name) }
                    td class="n" { (formats::number(m.ready_h.median, 0)) " (" (formats::number(m.ready_h.low, 0)) " to " (formats::number(m.ready_h.high, 0)) ")" }
                    td class="n" { (formats::number(m.population_h, 0)) }
                    td class=[(!m.not_yet.is_empty()).then_some("unknown")] { (known_how(m)) }
                } } }
            } }
        }
    }
}

fn known_how(m: &MuscleReview) -> String {
    match m.not_yet.first() {
        Some(why) => (*why).to_owned(),
        None => format!("the log has settled {} % of the doubt", formats::number(100.0 * m.learned, 0)),
    }
}
