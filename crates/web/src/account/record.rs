//! Who signed in and from where, who failed, what was changed of accounts, and who saw which client: for the owner alone.

use super::own::nobody;
use crate::app::{App, Visit};
use crate::http::routes::{OWNER, Pages};
use crate::page::fault::Fault;
use crate::page::formats;
use axum::extract::Query;
use maud::{Markup, html};
use serde::Deserialize;
use setwright_coaching::ledger::of_store;
use setwright_model::ledger::{ClientId, Moment};
use setwright_store::{Account, Entry, RecordFilter};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// Lines on a page (judgement).
const LINES: usize = 100;

pub fn routes() -> Pages<App> {
    Pages::new().get(OWNER, "/record", show)
}

#[derive(Clone, Default, Deserialize)]
#[serde(default)]
struct Asked {
    account: String,
    client: String,
    only: String,
    page: usize,
}

async fn show(visit: Visit, Query(asked): Query<Asked>) -> Result<Markup, Fault> {
    let (sign_in, _) = visit.signed().ok_or_else(nobody)?;
    let clients = visit.with_ledger(|uow, _| {
        let all = uow.clients()?;
        Ok(all.into_iter().map(|c| (c.client, c.card.name)).collect::<BTreeMap<ClientId, String>>())
    });
    let clients = clients.await?;
    let wanted = asked.clone();
    let found = sign_in.with_book(move |book| {
        let accounts = book.accounts.all().map_err(|e| of_store(&e))?;
        let filter = RecordFilter {
            account: accounts.iter().find(|account| account.name == wanted.account).map(|account| account.id),
            client: wanted.client.parse().ok(),
            without_views: wanted.only == "changes",
        };
        // One more than is shown says whether there is a next page.
        let skip = wanted.page.saturating_mul(LINES);
        let lines = book.accounts.recorded(&filter, skip, LINES + 1).map_err(|e| of_store(&e))?;
        Ok((accounts, lines))
    });
    let (accounts, lines) = found.await?;
    Ok(visit.page("Who came", Some("/account"), &record_page(&visit, &asked, &clients, &accounts, &lines)))
}

fn record_page(
    visit: &Visit,
    asked: &Asked,
    clients: &BTreeMap<ClientId, String>,
    accounts: &[Account],
    lines: &[Entry],
) -> Markup {
    let offset_min = visit.practice().wall().now().offset_min();
    html! {
        h1 { "Who came" }
        (filters(asked, clients, accounts))
        @if lines.is_empty() { p { "Nothing is written down here." } }
        @else {
            div class="scroll" role="region" aria-label="Who came" tabindex="0" {
                table {
                    thead { tr { th { "When" } th { "Account" } th { "What" } th { "Client" } th { "From" } } }
                    tbody { @for line in lines.iter().take(LINES) { (row(line, clients, offset_min)) } }
                }
            }
        }
        p {
            @if asked.page > 0 { a href=(address(asked, asked.page - 1)) { "Newer" } " " }
            @if lines.len() > LINES { a href=(address(asked, asked.page.saturating_add(1))) { "Older" } }
        }
        p class="soft" { "Kept for 400 days at most. The same page of a client seen again within the hour is one line. What is written of clients is in the \
                          ledger, each line with who wrote it." }
    }
}

fn row(line: &Entry, clients: &BTreeMap<ClientId, String>, offset_min: i32) -> Markup {
    let when = Moment::new(line.trace.at_ms, offset_min);
    let when = when.map(|at| format!("{} {}", formats::long_day(at.date()), at.clock())).unwrap_or_default();
    let client = line.client.map(|id| clients.get(&id).cloned().unwrap_or_else(|| id.short()));
    html! {
        tr {
            td class="when" { (when) }
            td { (line.account.as_deref().unwrap_or("–")) }
            td { (line.deed.said()) }
            td { (client.unwrap_or_default()) }
            td { @if line.trace.place.is_empty() { "this machine" } @else { (line.trace.place) } }
        }
    }
}

fn filters(asked: &Asked, clients: &BTreeMap<ClientId, String>, accounts: &[Account]) -> Markup {
    html! {
        form method="get" class="sheet" {
            label { span { "Account" } select name="account" {
                option value="" { "all" }
                @for account in accounts { option value=(account.name) selected[account.name == asked.account] { (account.name) } }
            } }
            label { span { "Client" } select name="client" {
                option value="" { "all" }
                @for (id, name) in clients { option value=(id) selected[id.to_string() == asked.client] { (name) } }
            } }
            label { span { "What" } select name="only" {
                option value="" { "all" }
                option value="changes" selected[asked.only == "changes"] { "without what was only seen" }
            } }
            button { "Show" }
        }
    }
}

fn address(asked: &Asked, page: usize) -> String {
    let escaped = asked.account.bytes().fold(String::new(), |mut out, byte| {
        let _ = write!(out, "%{byte:02X}");
        out
    });
    let client: Option<ClientId> = asked.client.parse().ok();
    let client = client.map(|id| id.to_string()).unwrap_or_default();
    let only = if asked.only == "changes" { "changes" } else { "" };
    format!("/record?account={escaped}&client={client}&only={only}&page={page}")
}
