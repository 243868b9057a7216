//! The roster: a line for each client, the one who needs a decision first.

pub mod advice;

use crate::app::{App, Visit};
use crate::http::routes::{COACH, Pages};
use crate::page::fault::Fault;
use crate::page::formats;
use maud::{Markup, PreEscaped, html};
use setwright_coaching::insight::{self, RosterEntry};
use setwright_coaching::jobs::roster_projection::{Freshness, KnownLine};
use setwright_coaching::ledger::UnitOfWork;
use setwright_formats::words;
use setwright_gym::catalogue::builtin;
use setwright_model::MassUnit;
use setwright_model::ledger::{ClientId, Date};
use setwright_model::refusal::Refusal;
use setwright_paper::{Strip, StripRow};
use setwright_present::drawings;
use setwright_present::roster::{self as words_of, RosterLine};
use setwright_store::ClientState;

/// Clients up to whom the page waits for every line, and each line has its small strip. With more, the page shows what is
/// known, in words alone, and what is missing is calculated behind it.
pub const FEW: usize = 40;
/// Muscles of a small strip: those that take longest.
const MUSCLES_DRAWN: usize = 6;
/// Lines with their reasons; the others are names, so that the page stays light and anybody can be found.
const LINES_MOST: usize = 200;

pub fn routes() -> Pages<App> {
    Pages::new().get(COACH, "/", show)
}

struct Shown {
    today: Date,
    lines: Vec<RosterRow>,
    /// Those who stand behind the last line, by name.
    others: Vec<(ClientId, String)>,
    /// How many lines are being calculated.
    open: usize,
}

/// A client's line in words.
pub struct RosterRow {
    /// Which client.
    pub client: ClientId,
    /// What the client is called.
    pub name: String,
    /// What the line says; nothing until it was calculated.
    pub known: Option<RosterLine>,
    /// How far it is to be trusted.
    pub standing: Freshness,
    strip: Option<String>,
}

async fn show(visit: Visit) -> Result<Markup, Fault> {
    let shown = visit
        .with_ledger(|uow, visit| {
            let mut lines = lines(uow, visit, visit.unit(), true)?;
            let open = lines.iter().filter(|l| l.standing == Freshness::Older).count();
            let behind = lines.split_off(LINES_MOST.min(lines.len()));
            let mut others: Vec<_> = behind.into_iter().map(|l| (l.client, l.name)).collect();
            others.sort_by_cached_key(|(_, name)| name.to_lowercase());
            Ok(Shown { today: uow.wall.now().date(), lines, others, open })
        })
        .await?;
    Ok(visit.page("Roster", Some("/"), &page(&shown)))
}

/// Lines of all who train, whoever needs a decision first.
///
/// # Errors
/// A ledger that cannot be read.
pub fn lines(
    uow: &mut UnitOfWork,
    visit: &Visit,
    unit: MassUnit,
    drawn: bool,
) -> Result<Vec<RosterRow>, Refusal> {
    let mut here = visit.practice().clients(uow)?;
    here.retain(|c| !c.card.away);
    let few = here.len() <= FEW;
    let known = if few { waited(uow, visit, here, drawn)? } else { at_once(uow, visit, here)? };
    let in_words = |entry: RosterEntry| words_of::line(&entry, unit, builtin());
    let line = |one: One| RosterRow {
        client: one.state.client,
        name: one.state.card.name,
        known: one.known.line.map(in_words),
        standing: one.known.standing,
        strip: one.strip,
    };
    let mut lines: Vec<RosterRow> = known.into_iter().map(line).collect();
    // Stable, and the clients came by name.
    lines.sort_by_key(|line| std::cmp::Reverse(line.known.as_ref().map_or(0, |l| l.need)));
    Ok(lines)
}

/// What is known of a client.
struct One {
    state: ClientState,
    known: KnownLine,
    strip: Option<String>,
}

/// Lines of a few clients, each true; with its strip if that is wanted.
fn waited(
    uow: &mut UnitOfWork,
    visit: &Visit,
    here: Vec<ClientState>,
    drawn: bool,
) -> Result<Vec<One>, Refusal> {
    let mut lines = Vec::with_capacity(here.len());
    for (nth, state) in here.into_iter().enumerate() {
        let line = visit.practice().line(uow, state.clone())?;
        let believed = if drawn { Some(visit.practice().known(uow, state.clone())?) } else { None };
        let strip = believed.map(|known| strip(&known, nth));
        let known = KnownLine { line: Some(line), standing: Freshness::True };
        lines.push(One { state, known, strip });
    }
    Ok(lines)
}

fn strip(known: &insight::Known, nth: usize) -> String {
    let mut strip = drawings::strip(known, formats::short_day, builtin());
    longest(&mut strip);
    setwright_paper::miniature(&strip, 132.0, &format!("m{nth}"))
}

/// Lines of many clients as they are known.
fn at_once(uow: &mut UnitOfWork, visit: &Visit, here: Vec<ClientState>) -> Result<Vec<One>, Refusal> {
    let known = visit.practice().lines(uow, &here)?;
    let one = |(state, known)| One { state, known, strip: None };
    Ok(here.into_iter().zip(known).map(one).collect())
}

/// Leaves the muscles that take longest to be ready, in their order on the body.
fn longest(strip: &mut Strip) {
    let ready = |row: &StripRow| {
        let done = row.stems.iter().filter(|s| !s.planned);
        done.filter_map(|s| s.ready).map(|r| r[1]).fold(f64::NEG_INFINITY, f64::max)
    };
    let mut all: Vec<f64> = strip.rows.iter().map(ready).collect();
    all.sort_by(|a, b| b.total_cmp(a));
    let least = all.get(MUSCLES_DRAWN - 1).copied().unwrap_or(f64::NEG_INFINITY);
    strip.rows.retain(|row| ready(row) >= least);
    strip.rows.truncate(MUSCLES_DRAWN);
}

fn page(shown: &Shown) -> Markup {
    let all = shown.lines.len() + shown.others.len();
    html! {
        h1 { "Roster" }
        @if all == 0 {
            p { "Nobody is in the ledger yet. " a href="/clients/new" { "Write down a new client" } ", which takes about three minutes." }
        } @else {
            p class="soft" { (formats::count(all, "client")) ", " (formats::long_day(shown.today)) ". Whoever needs a decision stands first." }
            div id="open" { @if shown.open > 0 { (being_reckoned(shown.open)) } }
            label class="filter" for="filter" { "Find " input id="filter" type="search" autocomplete="off" data-filters="roster others"; }
            ol class="ledger" id="roster" { @for line in &shown.lines { (item(line, shown.today)) } }
            @if !shown.others.is_empty() {
                h2 { "Everybody else, by name" }
                ul class="names" id="others" {
                    @for (client, name) in &shown.others { li { a href={ "/clients/" (client) } { (name) } } }
                }
            }
        }
    }
}

/// Says how many lines are still to come; a script loads the lists again, and a press does the same.
fn being_reckoned(open: usize) -> Markup {
    html! {
        p class="soft" data-again="roster others open" {
            (formats::count(open, "line")) " being reckoned. " a href="/" { "Load again" }
        }
    }
}

fn item(line: &RosterRow, today: Date) -> Markup {
    let older = line.standing == Freshness::Older;
    html! {
        li {
            a href={ "/clients/" (line.client) } { (line.name) }
            span class="when" { @if let Some(known) = &line.known { (due(known, today)) } }
            span class="reason" {
                @match &line.known {
                    Some(known) => { (reason(known)) @if older { " " small class="unknown" { "Being reckoned anew." } } }
                    None if older => { small class="unknown" { "Being reckoned." } }
                    None => { small class="unknown" { "Could not be reckoned; the client's page says why." } }
                }
            }
            @if let Some(strip) = &line.strip { span class="mini" { (PreEscaped(strip)) } }
        }
    }
}

fn due(line: &RosterLine, today: Date) -> String {
    line.due.map_or_else(|| "no session planned".to_owned(), |due| formats::near(due.date(), today))
}

/// The weightiest reasons, as a sentence.
fn reason(line: &RosterLine) -> String {
    if line.why.is_empty() {
        return "Nothing to decide.".to_owned();
    }
    let text = line.why.iter().take(2).cloned().collect::<Vec<_>>().join("; ");
    words::sentence(&text)
}
