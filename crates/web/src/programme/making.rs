//! Plans and curves in the making, as pages: what was found so far as it comes, a stop, and what came of it, beside what is in
//! force until somebody hands it out.

use crate::app::{App, Visit};
use crate::http::routes::{COACH, Pages};
use crate::page::fault::{self, Fault};
use crate::page::formats;
use crate::page::screening::questions;
use crate::programme;
use crate::programme::compare;
use axum::extract::{Form, Path};
use axum::http::header;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Redirect, Response};
use futures_util::stream;
use maud::{Markup, PreEscaped, html};
use serde::{Deserialize, Serialize};
use setwright_check::{Certified, JudgedProgramme};
use setwright_coaching::belief;
use setwright_coaching::insight::Known;
use setwright_coaching::jobs::plan_queue::{Job, JobKind, JobRequest, JobState, News};
use setwright_coaching::ledger::current;
use setwright_coaching::plan::{self, Planned, Stop};
use setwright_coaching::screen;
use setwright_gym::catalogue::builtin;
use setwright_model::answer::gap;
use setwright_model::brief::{MinutesPerSession, Screening};
use setwright_model::code::Code;
use setwright_model::limits::{SESSION_MINUTES_MAX, SESSION_MINUTES_MIN};
use setwright_model::refusal::Refusal;
use setwright_model::{Brief, MassUnit, Minutes, Programme, Share, TradeOff};
use setwright_present::compare::compare as side_by_side;
use setwright_present::{drawings, standing, view};
use setwright_science::screening::MayTrain;
use std::convert::Infallible;
use std::sync::Arc;
use tokio::sync::watch;

pub fn routes() -> Pages<App> {
    Pages::new()
        .get(COACH, "/clients/{id}/plan", ask)
        .post(COACH, "/clients/{id}/plan", plan_next)
        .get(COACH, "/clients/{id}/making/{work}", show)
        .get(COACH, "/clients/{id}/making/{work}/news", news)
        .post(COACH, "/clients/{id}/making/{work}/stop", stop)
        .post(COACH, "/clients/{id}/making/{work}/hand-out", hand_out)
}

/// Where a job is looked at.
pub fn path(job: &Job) -> String {
    format!("/clients/{}/making/{}", job.request.client, job.id)
}

/// What is asked for: a plan, with what differs from the brief; or the curve.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Asked {
    what: String,
    minutes: String,
    change: String,
}

async fn ask(visit: Visit, Path(id): Path<String>) -> Result<Markup, Fault> {
    let (name, alternates, minutes, draft) = {
        let id = id.clone();
        visit
            .with_ledger(move |uow, visit| {
                let client = uow.client(&id)?;
                let known = visit.practice().known(uow, client)?;
                let brief = known.brief_to_plan(None)?;
                let minutes = match &brief.time.minutes {
                    MinutesPerSession::Same(m) => formats::number(m.get(), 0),
                    MinutesPerSession::Each(_) => String::new(),
                };
                let draft = screen::draft(&brief.screening);
                Ok((known.client.card.name.clone(), brief.style.alternate, minutes, draft))
            })
            .await?
    };
    let other =
        if alternates { "Every set straight, nothing alternating" } else { "With alternating blocks" };
    Ok(visit.page(
        &format!("Plan for {name}"),
        None,
        &html! {
            h1 { "Plan for " a href={ "/clients/" (id) } { (name) } }
            @if let Some(draft) = &draft { (programme::draft_note(draft, &id)) }
            p { "The next block is planned with what the log tells of strength and recovery, after the programme in force: what need not \
                 change stays. It is checked by a second part of the program, and you see it beside the one in force before it is handed out." }
            form method="post" class="sheet" {
                label { span { "Minutes a session" } span { input class="n" name="minutes" value=(minutes) inputmode="decimal" size="6" autocomplete="off"; " left empty: as in the brief" } }
                button name="what" value="plan" { "Plan the next block" }
            }
            h2 { "Other ways" }
            form method="post" {
                button name="what" value="other" { (other) }
                p class="soft" { "The same brief the other way round, beside the programme in force: what alternating is worth for this client." }
                button name="what" value="curve" { "Minutes against benefit" }
                p class="soft" { "What shorter and longer sessions would bring: a curve whose points can be planned." }
            }
        },
    ))
}

async fn plan_next(
    visit: Visit,
    Path(id): Path<String>,
    Form(asked): Form<Asked>,
) -> Result<Redirect, Fault> {
    let to = visit.with_ledger(move |uow, visit| {
        uow.may.coach_only()?;
        let client = uow.client(&id)?;
        let known = visit.practice().known(uow, client)?;
        let request = request(&known, &asked)?;
        Ok(path(&*visit.practice().begin(uow, request)?))
    });
    Ok(Redirect::to(&to.await?))
}

fn request(known: &Arc<Known>, asked: &Asked) -> Result<JobRequest, Refusal> {
    let mut brief = known.brief_to_plan(None)?;
    let before = known.programme.as_ref().map(|p| p.programme.clone());
    let mut request = JobRequest {
        kind: JobKind::Plan,
        client: known.client.client,
        name: known.client.card.name.clone(),
        known: Some(Arc::clone(known)),
        from: known.current,
        before: before.clone(),
        about: "the next block".to_owned(),
        brief: brief.clone(),
    };
    match asked.what.as_str() {
        "curve" => {
            request.kind = JobKind::Curve;
            "minutes against benefit".clone_into(&mut request.about);
            request.before = None;
            return Ok(request);
        }
        "other" => {
            brief.style.alternate = !brief.style.alternate;
            let about = if brief.style.alternate { "with alternating blocks" } else { "every set straight" };
            about.clone_into(&mut request.about);
        }
        _ => {
            if let Some(minutes) = wanted(asked, &brief)? {
                request.about = format!("the next block, {minutes}");
            }
            brief = with_minutes(brief, asked)?;
            brief.style.before = before;
        }
    }
    request.brief = brief;
    Ok(request)
}

fn number(text: &str) -> Result<Option<f64>, Refusal> {
    let plain = text.trim().replace(',', ".");
    if plain.is_empty() {
        return Ok(None);
    }
    plain.parse().ok().filter(|v: &f64| v.is_finite()).map(Some).ok_or_else(|| {
        Refusal::new(
            Code::CannotEdit,
            format!("\"{}\" is no number of minutes.", setwright_formats::doc::printable(text)),
            format!("Write one from {SESSION_MINUTES_MIN} to {SESSION_MINUTES_MAX}, or leave it empty."),
        )
    })
}

/// What differs from the brief's minutes, in words.
fn wanted(asked: &Asked, brief: &Brief) -> Result<Option<String>, Refusal> {
    if let Some(change) = number(&asked.change)?.filter(|c| *c != 0.0) {
        let word = if change < 0.0 { "shorter" } else { "longer" };
        return Ok(Some(format!("sessions {} minutes {word}", formats::number(change.abs(), 0))));
    }
    let own = |m: f64| matches!(brief.time.minutes, MinutesPerSession::Same(Minutes(own)) if (own - m).abs() < 1e-9);
    Ok(number(&asked.minutes)?
        .filter(|m| !own(*m))
        .map(|m| format!("{} minutes a session", formats::number(m, 0))))
}

fn with_minutes(mut brief: Brief, asked: &Asked) -> Result<Brief, Refusal> {
    if let Some(minutes) = number(&asked.minutes)? {
        brief.time.minutes = MinutesPerSession::Same(Minutes(minutes));
    }
    if let Some(change) = number(&asked.change)? {
        brief.time.minutes = match brief.time.minutes {
            MinutesPerSession::Same(m) => MinutesPerSession::Same(Minutes(m.get() + change)),
            MinutesPerSession::Each(each) => {
                MinutesPerSession::Each(each.into_iter().map(|m| Minutes(m.get() + change)).collect())
            }
        };
    }
    let within = |m: &Minutes| (SESSION_MINUTES_MIN..=SESSION_MINUTES_MAX).contains(&m.get());
    let fits = match &brief.time.minutes {
        MinutesPerSession::Same(m) => within(m),
        MinutesPerSession::Each(each) => each.iter().all(within),
    };
    if fits {
        return Ok(brief);
    }
    Err(Refusal::new(
        Code::CannotEdit,
        "A session is not as short or as long as that.",
        format!("Write {SESSION_MINUTES_MIN} to {SESSION_MINUTES_MAX} minutes."),
    ))
}

async fn found(visit: &Visit, id: String, job: String) -> Result<Arc<Job>, Fault> {
    visit
        .with_ledger(move |uow, visit| {
            uow.may.coach_only()?;
            let client = uow.client(&id)?;
            visit.practice().job(client.client, &job)
        })
        .await
}

async fn stop(visit: Visit, Path((id, job)): Path<(String, String)>) -> Result<Redirect, Fault> {
    let job = found(&visit, id, job).await?;
    job.stop();
    Ok(Redirect::to(&path(&job)))
}

async fn hand_out(visit: Visit, Path((id, job)): Path<(String, String)>) -> Result<Redirect, Fault> {
    let job = found(&visit, id, job).await?;
    let to = format!("/clients/{}/programme", job.request.client);
    visit
        .with_ledger(move |uow, visit| {
            let client = uow.client(&job.request.client.to_string())?;
            let known = visit.practice().known(uow, client)?;
            job.hand_out(uow, &known)
        })
        .await?;
    Ok(Redirect::to(&to))
}

/// What a page hears of a job.
#[derive(Serialize)]
struct Told {
    /// Whether there is more to come.
    open: bool,
    /// What is known, in a sentence.
    line: String,
    /// How much of what is possible was found, from 0 to 1.
    share: Option<f64>,
}

fn told(state: &JobState) -> Told {
    let open = matches!(state, JobState::Waiting | JobState::Going(_));
    let share = match state {
        JobState::Going(News { value: Some(value), bound: Some(bound), .. }) if *bound > 0.0 => {
            Some((value / bound).clamp(0.0, 1.0))
        }
        _ => None,
    };
    Told { open, line: line(state), share }
}

fn line(state: &JobState) -> String {
    match state {
        JobState::Waiting => "Another plan is in the making; this one comes next.".to_owned(),
        JobState::Going(News { points, .. }) if *points > 0 => {
            format!("{} of the curve so far.", formats::count(*points, "point"))
        }
        JobState::Going(News { value: None, .. }) => {
            "Looking for a programme that keeps every rule.".to_owned()
        }
        JobState::Going(News { value: Some(value), bound: None, moves, .. }) => format!(
            "Found {} points so far, after {} changes tried.",
            formats::number(*value, 1),
            thousands(*moves)
        ),
        JobState::Going(News { value: Some(value), bound: Some(bound), .. }) => format!(
            "Found {} points; nothing under these rules passes {} so far (gap {} %).",
            formats::number(*value, 1),
            formats::number(*bound, 1),
            formats::number(100.0 * gap(Some(*value), Some(*bound)).unwrap_or(Share::ZERO).get(), 1)
        ),
        _ => "Done.".to_owned(),
    }
}

/// "1 200 000", with thin spaces as a page writes large counts.
fn thousands(count: u64) -> String {
    let digits = count.to_string();
    let many = digits.len();
    let mut out = String::new();
    for (nth, digit) in digits.chars().enumerate() {
        if nth > 0 && (many - nth).is_multiple_of(3) {
            out.push('\u{202f}');
        }
        out.push(digit);
    }
    out
}

async fn news(visit: Visit, Path((id, job)): Path<(String, String)>) -> Result<Response, Fault> {
    let job = found(&visit, id, job).await?;
    let follow = job.follow();
    let stream = stream::unfold((follow, true), next);
    let sse = Sse::new(stream).keep_alive(KeepAlive::default());
    // Who stands between must not hold the news back.
    Ok((
        [(header::CACHE_CONTROL, "no-store"), (header::HeaderName::from_static("x-accel-buffering"), "no")],
        sse,
    )
        .into_response())
}

type Follow = (watch::Receiver<JobState>, bool);

/// The next piece of news: at once what is known, then whatever changes, at most a few times a second; after the last the
/// stream ends.
async fn next((mut follow, first): Follow) -> Option<(Result<Event, Infallible>, Follow)> {
    if !first {
        if !told(&follow.borrow().clone()).open {
            return None;
        }
        follow.changed().await.ok()?;
        tokio::time::sleep(std::time::Duration::from_millis(NEWS_MS)).await;
    }
    let told = told(&follow.borrow_and_update().clone());
    let event = Event::default().json_data(&told).unwrap_or_default();
    Some((Ok(event), (follow, false)))
}

/// Least time between two pieces of news: no eye reads faster (judgement).
const NEWS_MS: u64 = 150;

async fn show(visit: Visit, Path((id, job)): Path<(String, String)>) -> Result<Response, Fault> {
    let job = found(&visit, id, job).await?;
    let programme = format!("/clients/{}/programme", job.request.client);
    let content = match job.state() {
        state @ (JobState::Waiting | JobState::Going(_)) => in_the_making(&job, &state),
        JobState::Planned(planned) => {
            let client = job.request.client;
            let answers = visit.with_ledger(move |uow, _| current::answers(uow, client)).await?;
            planned_page(&job, &planned, &answers.screening, visit.unit())
        }
        JobState::HandedOut if job.request.kind == JobKind::First => {
            return Ok(Redirect::to(&programme).into_response());
        }
        JobState::HandedOut => html! {
            p { "It is handed out and in force. " a href=(programme) { "See the programme" } "." }
        },
        JobState::Drawn(found, short) => drawn_page(&job, &found, short),
        JobState::Failed(problem) => html! {
            (fault::sentence(&problem))
            p { a href={ "/clients/" (job.request.client) "/plan" } { "Ask for it once more" } "." }
        },
    };
    let title = format!("Plan for {}: {}", job.request.name, job.request.about);
    let head = html! {
        h1 { "For " a href={ "/clients/" (job.request.client) } { (job.request.name) } ": " (job.request.about) }
    };
    Ok(visit.page(&title, None, &html! { (head) (content) }).into_response())
}

fn in_the_making(job: &Job, state: &JobState) -> Markup {
    let here = path(job);
    let told = told(state);
    html! {
        noscript { p { a href=(here) { "Look again" } "." } }
        section data-news={ (here) "/news" } aria-label="In the making" {
            p id="news-line" role="status" { (told.line) }
            meter id="news-share" min="0" max="1" value=[told.share] aria-label="Found, as a share of what is not ruled out" hidden[told.share.is_none()] {}
            p class="soft" { "The page may be left and loaded again; the work goes on." }
        }
        form method="post" action={ (here) "/stop" } {
            @if job.is_asked() {
                p { "It stops as soon as there is something to take." }
                button { "Stop at once" }
            } @else { button { "Stop with what was found" } }
        }
    }
}

fn planned_page(job: &Job, planned: &Planned, answers: &Screening, unit: MassUnit) -> Markup {
    let request = &job.request;
    // The answers before training are those that hold now, not those that were planned with.
    let brief = Brief { screening: answers.clone(), ..request.brief.clone() };
    html! {
        @if planned.programme.is_some() { (before_publishing(job, &brief)) }
        p { (standing::status_line(planned)) }
        @if planned.programme.is_none() {
            @if planned.stop != Stop::Asked {
                h2 { "What clashes" }
                @for line in &planned.answer.conflict { p { (line) } }
            }
            p { a href={ "/clients/" (request.client) "/plan" } { "Ask for it once more" } "." }
        }
        @for line in &plan::cautions(&brief) { p class="soft" { (line) } }
        @if let Some(programme) = &planned.programme {
            @let judged = &judged_now(request, &brief, programme);
            (hand_out_button(job, &brief))
            @if let Some(before) = &request.before { (beside(request, before, judged, unit)) }
            section aria-labelledby="why" {
                h2 id="why" { "Why" }
                @for line in &planned.answer.reasons { p { (line.shown_in(unit)) } }
            }
            (programme::whole(judged, &view::programme(judged, Some(&brief), builtin()), unit))
            (hand_out_button(job, &brief))
        }
    }
}

/// What keeps a programme from being published, at the top: open questions, which are asked here, or a clinician's word.
fn before_publishing(job: &Job, brief: &Brief) -> Markup {
    let client = job.request.client;
    html! {
        @if let Some(draft) = screen::draft(&brief.screening) {
            section aria-labelledby="draft" {
                h2 id="draft" { "Before training" }
                p role="alert" class="clash" { (draft) }
                (questions(client, &brief.screening, Some(job.id)))
            }
        }
        @if let Err(withheld) = MayTrain::of(brief) {
            div role="alert" { (fault::sentence(&Refusal::from(withheld))) }
            p { a href={ "/clients/" (client) "/brief#screening" } { "Record a clinician's word" } "." }
        }
    }
}

/// Publishes what was planned; not there while something keeps it from that.
fn hand_out_button(job: &Job, brief: &Brief) -> Markup {
    let may = MayTrain::of(brief).is_ok() && screen::draft(&brief.screening).is_none();
    html! {
        @if may { form method="post" action={ (path(job)) "/hand-out" } { button { "Hand out" } } }
    }
}

/// The programme as the check judges it with the answers before training that hold now.
fn judged_now(request: &JobRequest, brief: &Brief, certified: &Certified) -> JudgedProgramme {
    if brief.screening == request.brief.screening {
        return certified.judged().clone();
    }
    let believed = request.known.as_ref().map(|known| known.belief.clone());
    let believed = believed.unwrap_or_else(|| belief::of(brief, builtin()));
    JudgedProgramme::of(certified.get().clone(), Some(brief), builtin(), &believed)
}

/// The new programme beside the one it takes the place of, both judged by the brief that was planned for.
fn beside(request: &JobRequest, before: &Programme, after: &JudgedProgramme, unit: MassUnit) -> Markup {
    let Some(known) = &request.known else { return html! {} };
    let before = JudgedProgramme::of(before.clone(), Some(&request.brief), builtin(), &known.belief);
    let compared = side_by_side(&before, after, Some(&request.brief), unit, builtin());
    html! {
        section aria-labelledby="beside" {
            h2 id="beside" { "Beside the one before" }
            (compare::sessions(&compared, ["Before", "New"]))
            (compare::doses(&compared))
            (compare::findings(&compared, unit))
        }
    }
}

fn drawn_page(job: &Job, found: &TradeOff, short: bool) -> Markup {
    let wide = setwright_paper::curve(&drawings::curve(&job.request.name, found), 760.0, "curve");
    let narrow = setwright_paper::curve(&drawings::curve(&job.request.name, found), 350.0, "curvep");
    html! {
        @if short { p class="warns" { "It was stopped before its end: more may be possible than is drawn." } }
        @for line in &found.conflict { p { (line) } }
        div class="wide desk" { (PreEscaped(wide)) }
        div class="wide phone" { (PreEscaped(narrow)) }
        @for line in &found.reasons { p { (line) } }
        h2 { "Plan a point" }
        p class="soft" { "Press a point of the drawing, or one of these: it is planned thoroughly and stands beside the programme in force before \
             anything is handed out." }
        form method="post" action={ "/clients/" (job.request.client) "/plan" } class="points" data-points="yes" {
            input type="hidden" name="what" value="plan";
            @for point in &found.points {
                button name="change" value=(point.change_min.get()) disabled[point.value.is_none()] { (point_name(point)) }
            }
        }
    }
}

fn point_name(point: &setwright_model::TradeOffPoint) -> String {
    let value = point
        .value
        .map_or_else(|| "no programme".to_owned(), |v| format!("{} points", formats::number(v, 1)));
    match setwright_coaching::curve::each(point) {
        Some(m) => format!("{} min: {value}", formats::number(m.get(), 0)),
        None => format!("{:+} min: {value}", point.change_min.get()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn news_never_claims_more_than_is_known() {
        let going = |value, bound| JobState::Going(News { value, bound, moves: 1_200_000, points: 0 });
        assert!(line(&going(None, None)).starts_with("Looking"));
        assert_eq!(
            line(&going(Some(17.62), None)),
            "Found 17.6 points so far, after 1\u{202f}200\u{202f}000 changes tried."
        );
        assert!(line(&going(Some(17.0), Some(20.0))).contains("passes 20 so far (gap 15 %)"));
        assert_eq!(told(&going(Some(17.0), Some(20.0))).share, Some(0.85));
        assert!(!told(&JobState::HandedOut).open);
    }
}
