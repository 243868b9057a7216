//! Taking the ledger out: sets as they stand as CSV for spreadsheets, every event as JSON lines for other programs.

use super::{UnitOfWork, of_store};
use setwright_formats::spreadsheet::cell_of;
use setwright_model::code::Code;
use setwright_model::ledger::{ClientId, SetKind};
use setwright_model::refusal::Refusal;
use setwright_store::{ClientState, EventFilter, SetState, Store};
use std::io::{self, Write};

/// The header of the CSV, which import understands.
pub const HEADER: [&str; 12] =
    ["id", "date", "time", "offset", "client", "session", "exercise", "kind", "load", "unit", "reps", "rir"];

/// What was taken out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Exported {
    /// Rows or lines.
    pub count: u64,
}

/// How many events are read at once.
const PAGE: usize = 2_000;

pub(super) fn not_written(error: &io::Error) -> Refusal {
    Refusal::new(
        Code::NotWritable,
        format!("The export could not be written: {error}."),
        "Check the disk and its rights.",
    )
}

/// Sets as they now stand, one a row, by client and time.
pub fn csv(
    uow: &mut UnitOfWork,
    client: Option<&ClientState>,
    to: &mut dyn Write,
) -> Result<Exported, Refusal> {
    let clients = match client {
        Some(client) => vec![client.clone()],
        None => uow.clients()?,
    };
    let mut writer = csv::Writer::from_writer(to);
    let broken = |e: csv::Error| not_written(&io::Error::other(e));
    writer.write_record(HEADER).map_err(broken)?;
    let mut count = 0;
    for client in clients {
        for set in uow.store.sets(client.client).map_err(|e| of_store(&e))? {
            writer.write_record(row(&client.card.name, &set)).map_err(broken)?;
            count += 1;
        }
    }
    writer.flush().map_err(|e| not_written(&e))?;
    Ok(Exported { count })
}

fn row(client: &str, set: &SetState) -> [String; 12] {
    let moment = set.at.to_string();
    let (date, rest) = moment.split_once('T').unwrap_or((&moment, ""));
    let cut = rest.rfind(['+', '-']).unwrap_or(rest.len());
    let (time, offset) = rest.split_at_checked(cut).unwrap_or((rest, ""));
    let done = &set.done;
    let kind = match done.kind {
        SetKind::Work => "work",
        SetKind::WarmUp => "warm-up",
    };
    [
        set.id.to_string(),
        date.to_owned(),
        time.to_owned(),
        offset.to_owned(),
        cell_of(client).into_owned(),
        set.session.to_string(),
        cell_of(done.exercise.as_str()).into_owned(),
        kind.to_owned(),
        done.load.map(|l| l.value.to_string()).unwrap_or_default(),
        done.load.map(|l| l.unit.symbol().to_owned()).unwrap_or_default(),
        done.reps.to_string(),
        done.rir.map(|r| r.to_string()).unwrap_or_default(),
    ]
}

/// Every event, one a line, in the order of arrival.
pub fn json_lines(
    uow: &mut UnitOfWork,
    client: Option<ClientId>,
    to: &mut dyn Write,
) -> Result<Exported, Refusal> {
    let (mut after, mut count) = (0, 0);
    loop {
        let page = uow.store.events(EventFilter { client }, after, PAGE).map_err(|e| of_store(&e))?;
        let Some(last) = page.last() else { break };
        after = last.seq;
        for kept in page.iter().filter(|kept| uow.may.see(kept.event.client)) {
            serde_json::to_writer(&mut *to, &kept.event).map_err(|e| not_written(&e.into()))?;
            to.write_all(b"\n").map_err(|e| not_written(&e))?;
            count += 1;
        }
    }
    to.flush().map_err(|e| not_written(&e))?;
    Ok(Exported { count })
}
