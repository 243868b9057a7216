//! The roster: a line for each client, the one who needs a decision first.

use super::app::App;
use super::fault::Fault;
use super::{formats, layout};
use crate::service::drawings;
use crate::service::insight::{RosterLine, sorted};
use axum::Router;
use axum::extract::State;
use axum::routing::get;
use maud::{Markup, PreEscaped, html};
use setwright_model::ledger::{ClientId, Date};
use setwright_paper::{Strip, StripRow};
use setwright_science::catalogue::builtin;

/// Clients up to whom each line has its small strip; with more, lines are words alone, so that the page stays light.
const STRIPS_MOST: usize = 40;
/// Muscles of a small strip: those that take longest.
const MUSCLES_DRAWN: usize = 6;
/// Lines on the page at once; typing finds the others.
const LINES_MOST: usize = 200;

pub fn routes() -> Router<App> {
    Router::new().route("/", get(show))
}

struct Shown {
    today: Date,
    lines: Vec<(ClientId, RosterLine, Option<String>)>,
    all: usize,
}

async fn show(State(app): State<App>) -> Result<Markup, Fault> {
    let shown = app
        .at_desk(|desk, app| {
            let clients = desk.clients()?;
            let today = desk.wall.now().date();
            let here: Vec<_> = clients.into_iter().filter(|c| !c.card.away).collect();
            let all = here.len();
            let mut lines = Vec::new();
            for client in &here {
                lines.push((client.clone(), app.line(desk, client.clone())?));
            }
            sorted(&mut lines, |(_, line)| line);
            lines.truncate(LINES_MOST);
            let mut drawn = Vec::new();
            for (nth, (client, line)) in lines.into_iter().enumerate() {
                let id = client.client;
                let strip = if all <= STRIPS_MOST {
                    let mut strip =
                        drawings::strip(&*app.known(desk, client)?, formats::short_day, builtin());
                    longest(&mut strip);
                    Some(setwright_paper::miniature(&strip, 132.0, &format!("m{nth}")))
                } else {
                    None
                };
                drawn.push((id, line, strip));
            }
            Ok(Shown { today, lines: drawn, all })
        })
        .await?;
    Ok(layout::page("Roster", Some("/"), &page(&shown)))
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
    html! {
        h1 { "Roster" }
        @if shown.all == 0 {
            p { "Nobody is in the ledger yet. " a href="/clients/new" { "Write down a new client" } ", which takes about three minutes." }
        } @else {
            p class="soft" { (formats::count(shown.all, "client")) ", " (formats::long_day(shown.today)) ". Whoever needs a decision stands first." }
            label class="filter" for="filter" { "Find " input id="filter" type="search" autocomplete="off" data-filters="roster"; }
            ol class="ledger" id="roster" {
                @for (id, line, strip) in &shown.lines {
                    li {
                        a href={ "/clients/" (id) } { (line.client) }
                        span class="when" { (due(line, shown.today)) }
                        span class="reason" { (reason(line)) }
                        @if let Some(strip) = strip { span class="mini" { (PreEscaped(strip)) } }
                    }
                }
            }
            @if shown.all > shown.lines.len() { p class="soft" { "The first " (shown.lines.len()) " are shown." } }
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
    let mut letters = text.chars();
    let first: String = letters.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    format!("{first}{}.", letters.as_str().trim_end_matches('.'))
}
