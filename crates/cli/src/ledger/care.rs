//! `undo`, `doctor`, `rebuild`, `backup`, `restore`.

use super::with_ledger;
use crate::ledger_args::{BackupArgs, CareArgs, RestoreArgs, UndoArgs};
use crate::reply::{FINDINGS, Reply};
use crate::show::{count, json};
use crate::text::wrapped;
use serde::Serialize;
use setwright_coaching::ledger::care::{self, HealthView};
use setwright_coaching::ledger::of_store;
use setwright_model::refusal::Refusals;
use setwright_store::{Opening, SqliteStore, Store};
use std::fmt::Write as _;
use std::path::Path;

/// How many undone entries are named.
const NAMED: usize = 12;

/// Runs `undo`.
pub fn undo(args: &UndoArgs, ledger: &Path) -> Result<Reply, Refusals> {
    let undone = with_ledger(ledger, Opening::Existing, |uow| {
        care::undo(uow, args.client.as_deref(), args.event.as_deref(), args.reason.as_deref())
            .map_err(|p| vec![p])
    })?;
    if args.json {
        return Ok(Reply::data(json(&undone)));
    }
    let mut data = String::new();
    for event in undone.events.iter().take(NAMED) {
        data.push_str(&wrapped(&event.said, 2, 4));
    }
    if undone.events.len() > NAMED {
        let _ = writeln!(data, "  and {} more", undone.events.len() - NAMED);
    }
    let many = match undone.events.len() {
        1 => "1 entry stands".to_owned(),
        n => format!("{n} entries stand"),
    };
    let talk = format!("{many} no more; the ledger still holds what was written.\n");
    Ok(Reply { data, talk, ..Reply::default() })
}

/// Runs `doctor`.
pub fn doctor(args: CareArgs, ledger: &Path) -> Result<Reply, Refusals> {
    let health = with_ledger(ledger, Opening::Reading, |uow| care::doctor(uow).map_err(|p| vec![p]))?;
    let code = if health.faults.is_empty() { crate::reply::DONE } else { FINDINGS };
    let data = if args.json { json(&health) } else { page(&health) };
    Ok(Reply { data, code, ..Reply::default() })
}

fn page(health: &HealthView) -> String {
    let mut out = format!(
        "{}: schema {}, {}, {} standing{}\n",
        health.ledger,
        health.schema,
        count(health.events as usize, "event"),
        health.standing,
        accounts_too(health.accounts)
    );
    for fault in &health.faults {
        out.push_str(&wrapped(fault, 2, 4));
    }
    let last = if health.faults.is_empty() {
        "Well: the file is whole, every checksum holds, and what stands is what the log gives."
    } else {
        "Not well. Keep the file as it is; what stands can be reckoned anew by setwright rebuild, what the log lost \
         comes back only from a backup."
    };
    out.push_str(&wrapped(last, 0, 0));
    out
}

/// The accounts beside a ledger, as the end of a list; nothing where there are none.
fn accounts_too(accounts: Option<u64>) -> String {
    accounts.map_or_else(String::new, |n| format!(", {}", count(n as usize, "account")))
}

#[derive(Serialize)]
struct RebuiltView {
    events: u64,
    standing: u64,
    fingerprint: String,
    changed: bool,
}

/// Runs `rebuild`.
pub fn rebuild(args: CareArgs, ledger: &Path) -> Result<Reply, Refusals> {
    let view = with_ledger(ledger, Opening::Existing, |uow| {
        let before = uow.store.fingerprint();
        let rebuilt = uow.store.rebuild().map_err(|e| vec![of_store(&e)])?;
        let changed = before.is_ok_and(|before| before != rebuilt.fingerprint);
        let fingerprint = rebuilt.fingerprint.to_string();
        Ok(RebuiltView { events: rebuilt.events, standing: rebuilt.standing, fingerprint, changed })
    })?;
    if args.json {
        return Ok(Reply::data(json(&view)));
    }
    let same =
        if view.changed { "It was not the same before." } else { "It is the same as before, to the byte." };
    let events = count(view.events as usize, "event");
    Ok(Reply::data(format!("{} standing, reckoned from {events}. {same}\n", view.standing)))
}

#[derive(Serialize)]
struct BackupView {
    backup: String,
    checksum: String,
    sha256: String,
    bytes: u64,
    events: u64,
    accounts: Option<u64>,
    lost: u64,
}

/// Runs `backup`.
pub fn backup(args: &BackupArgs, ledger: &Path) -> Result<Reply, Refusals> {
    let view = with_ledger(ledger, Opening::Reading, |uow| {
        let made = care::backup(uow, &args.to).map_err(|p| vec![p])?;
        Ok(BackupView {
            backup: made.path.display().to_string(),
            checksum: made.checksum_path.display().to_string(),
            sha256: made.sha256.to_string(),
            bytes: made.bytes,
            events: made.events,
            accounts: made.accounts,
            lost: made.lost,
        })
    })?;
    let code = if view.lost == 0 { crate::reply::DONE } else { FINDINGS };
    if args.json {
        return Ok(Reply { data: json(&view), code, ..Reply::default() });
    }
    let events = count(view.events as usize, "event");
    let talk = format!(
        "Wrote {} ({events}{}, {} bytes), examined, and its checksum to {}.\n{}",
        view.backup,
        accounts_too(view.accounts),
        view.bytes,
        view.checksum,
        lacking(view.lost)
    );
    Ok(Reply { talk, code, ..Reply::default() })
}

/// What a copy lacks of what was acknowledged, as a line; nothing when it lacks nothing.
pub fn lacking(lost: u64) -> String {
    match lost {
        0 => String::new(),
        n => format!(
            "The ledger lacks {} that it acknowledged, and so does this.\n",
            count(n as usize, "event")
        ),
    }
}

#[derive(Serialize)]
struct RestoredView {
    ledger: String,
    events: u64,
    fingerprint: String,
    accounts: Option<u64>,
    had_checksum: bool,
}

/// Runs `restore`.
pub fn restore(args: &RestoreArgs, ledger: &Path) -> Result<Reply, Refusals> {
    let restored = SqliteStore::restore(&args.backup, ledger).map_err(|e| vec![of_store(&e)])?;
    let view = RestoredView {
        ledger: restored.path.display().to_string(),
        events: restored.health.events,
        fingerprint: restored.health.fingerprint.to_string(),
        accounts: restored.health.accounts,
        had_checksum: restored.had_checksum,
    };
    if args.json {
        return Ok(Reply::data(json(&view)));
    }
    let events = count(view.events as usize, "event");
    let held = if view.had_checksum { "its checksum held" } else { "there was no checksum beside it" };
    let also = accounts_too(view.accounts);
    let signed_out = if view.accounts.is_some() { " Everybody signs in anew." } else { "" };
    let talk = format!(
        "Restored {events}{also} to {}; {held}, and the examination found nothing.{signed_out}\n",
        view.ledger
    );
    Ok(Reply { talk, ..Reply::default() })
}
