//! The roster: a line for each client, the one who needs a decision first.

use super::app::App;
use super::fault::Fault;
use super::reckoner::{Known, Standing};
use super::{formats, layout};
use crate::files::Problem;
use crate::service::drawings;
use crate::service::insight::{self, RosterLine};
use crate::service::ledger::Desk;
use crate::service::openapi::{Roster, RosterClient};
use crate::words;
use axum::Router;
use axum::extract::State;
use axum::routing::get;
use maud::{Markup, PreEscaped, html};
use setwright_model::ledger::{ClientId, Date};
use setwright_paper::{Strip, StripRow};
use setwright_science::catalogue::builtin;
use setwright_store::ClientState;

/// Clients up to whom the page waits for every line, and each line has its small strip. With more, the page shows what is
/// known, in words alone, and what is missing is reckoned behind it.
pub const FEW: usize = 40;
/// Muscles of a small strip: those that take longest.
const MUSCLES_DRAWN: usize = 6;
/// Lines with their reasons; the others are names, so that the page stays light and anybody can be found.
const LINES_MOST: usize = 200;

pub fn routes() -> Router<App> {
    Router::new().route("/", get(show))
}

struct Shown {
    today: Date,
    lines: Vec<Line>,
    /// Those who stand behind the last line, by name.
    others: Vec<(ClientId, String)>,
    /// How many lines are being reckoned.
    open: usize,
}

struct Line {
    client: ClientId,
    name: String,
    known: Known,
    strip: Option<String>,
}

async fn show(State(app): State<App>) -> Result<Markup, Fault> {
    let shown = app
        .at_desk(|desk, app| {
            let mut lines = lines(desk, app, true)?;
            let open = lines.iter().filter(|l| l.known.standing == Standing::Older).count();
            let behind = lines.split_off(LINES_MOST.min(lines.len()));
            let mut others: Vec<_> = behind.into_iter().map(|l| (l.client, l.name)).collect();
            others.sort_by_cached_key(|(_, name)| name.to_lowercase());
            Ok(Shown { today: desk.wall.now().date(), lines, others, open })
        })
        .await?;
    Ok(layout::page("Roster", Some("/"), &page(&shown)))
}

/// Lines of all who train, whoever needs a decision first.
fn lines(desk: &mut Desk, app: &App, drawn: bool) -> Result<Vec<Line>, Problem> {
    let mut here = app.reckoner().clients(desk)?;
    here.retain(|c| !c.card.away);
    let few = here.len() <= FEW;
    let mut lines = if few { waited(desk, app, here, drawn)? } else { at_once(desk, app, here)? };
    // Stable, and the clients came by name.
    lines.sort_by_key(|line| std::cmp::Reverse(line.known.line.as_ref().map_or(0, |l| l.need)));
    Ok(lines)
}

/// The roster for other programs.
///
/// # Errors
/// A ledger that cannot be read.
pub fn for_programs(desk: &mut Desk, app: &App) -> Result<Roster, Problem> {
    let one = |line: Line| RosterClient {
        id: line.client,
        name: line.name,
        being_reckoned: line.known.standing == Standing::Older,
        line: line.known.line,
    };
    let clients = lines(desk, app, false)?.into_iter().map(one).collect();
    Ok(Roster { now: desk.wall.now(), clients })
}

/// Lines of a few clients, each true; with its strip if that is wanted.
fn waited(desk: &mut Desk, app: &App, here: Vec<ClientState>, drawn: bool) -> Result<Vec<Line>, Problem> {
    let mut lines = Vec::with_capacity(here.len());
    for (nth, state) in here.into_iter().enumerate() {
        let line = app.line(desk, state.clone())?;
        let (client, name) = (state.client, state.card.name.clone());
        let strip = if drawn { Some(strip(&*app.known(desk, state)?, nth)) } else { None };
        let known = Known { line: Some(line), standing: Standing::True };
        lines.push(Line { client, name, known, strip });
    }
    Ok(lines)
}

fn strip(known: &insight::Known, nth: usize) -> String {
    let mut strip = drawings::strip(known, formats::short_day, builtin());
    longest(&mut strip);
    setwright_paper::miniature(&strip, 132.0, &format!("m{nth}"))
}

/// Lines of many clients as they are known.
fn at_once(desk: &mut Desk, app: &App, here: Vec<ClientState>) -> Result<Vec<Line>, Problem> {
    let known = app.lines(desk, &here)?;
    let line = |(state, known): (ClientState, Known)| Line {
        client: state.client,
        name: state.card.name,
        known,
        strip: None,
    };
    Ok(here.into_iter().zip(known).map(line).collect())
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

fn item(line: &Line, today: Date) -> Markup {
    let older = line.known.standing == Standing::Older;
    html! {
        li {
            a href={ "/clients/" (line.client) } { (line.name) }
            span class="when" { @if let Some(known) = &line.known.line { (due(known, today)) } }
            span class="reason" {
                @match &line.known.line {
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
