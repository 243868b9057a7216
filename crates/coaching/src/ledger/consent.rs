//! What clients agreed to and took back, and how long what is said of them is kept. A rule proposes; it never forgets anybody by itself.

use super::{UnitOfWork, of_store};
use serde::Serialize;
use setwright_model::ledger::{ClientId, Consent, Date, Moment, Purpose, Retention, What};
use setwright_model::refusal::Refusal;
use setwright_store::{ClientState, Store};

/// Days of a month, for rules in months (numeric: the mean of a year).
const DAYS_PER_MONTH: f64 = 365.25 / 12.0;

/// What a client last said of a purpose.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ConsentView {
    /// Of what.
    pub purpose: Purpose,
    /// Whether they agreed; nothing when they were never asked.
    pub given: Option<bool>,
    /// When that was said.
    pub since: Option<Moment>,
    /// In which words they were asked.
    pub wording: String,
}

/// What a client said of each purpose.
///
/// # Errors
/// No such client.
pub fn list(uow: &mut UnitOfWork, wanted: &str) -> Result<Vec<ConsentView>, Refusal> {
    let client = uow.client(wanted)?.client;
    let said = uow.store.consents(client).map_err(|e| of_store(&e))?;
    let last = |purpose| {
        let found = said.iter().rev().find(|state| state.said.purpose == purpose);
        ConsentView {
            purpose,
            given: found.map(|state| state.said.given),
            since: found.map(|state| state.at),
            wording: found.map_or_else(String::new, |state| state.said.wording.clone()),
        }
    };
    Ok(Purpose::ALL.into_iter().map(last).collect())
}

/// Writes down that a client agreed to something, or took it back.
///
/// # Errors
/// No such client, or whoever asks is no coach.
pub fn say(uow: &mut UnitOfWork, wanted: &str, said: Consent) -> Result<Vec<ConsentView>, Refusal> {
    let client = uow.client(wanted)?.client;
    let event = uow.event(client, None, None, What::Consent(said));
    uow.write(vec![event])?;
    list(uow, &client.to_string())
}

/// Whether a client took back what they agreed to. Who was never asked took nothing back.
///
/// # Errors
/// A ledger that cannot be read.
pub fn is_withdrawn(uow: &mut UnitOfWork, client: ClientId, purpose: Purpose) -> Result<bool, Refusal> {
    let said = uow.store.consents(client).map_err(|e| of_store(&e))?;
    Ok(said.iter().rev().find(|state| state.said.purpose == purpose).is_some_and(|state| !state.said.given))
}

/// How long what is said of a client is kept.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RetentionView {
    /// Which client.
    pub id: ClientId,
    /// What the client is called.
    pub name: String,
    /// The rule; none when there is none.
    pub rule: Option<Retention>,
    /// The day of the last session; of the first card when there is none.
    pub last: String,
    /// The day from which on it is proposed to forget the client.
    pub due: Option<String>,
    /// Whether that day is past, and nothing holds it.
    pub is_due: bool,
}

/// Rules of all clients whom whoever asks may see, by name.
///
/// # Errors
/// A ledger that cannot be read.
pub fn rules(uow: &mut UnitOfWork) -> Result<Vec<RetentionView>, Refusal> {
    let clients = uow.clients()?;
    clients.iter().map(|client| rule(uow, client)).collect()
}

/// Sets a rule for a client.
///
/// # Errors
/// No such client, or whoever asks is no coach.
pub fn set_rule(
    uow: &mut UnitOfWork,
    wanted: &str,
    to: Retention,
    reason: Option<&str>,
) -> Result<RetentionView, Refusal> {
    let client = uow.client(wanted)?;
    let mut event = uow.event(client.client, None, None, What::Retention(to));
    event.reason = reason.map(str::to_owned);
    uow.write(vec![event])?;
    rule(uow, &client)
}

/// The rule of a client.
///
/// # Errors
/// A ledger that cannot be read.
pub fn rule(uow: &mut UnitOfWork, client: &ClientState) -> Result<RetentionView, Refusal> {
    let rule = uow.store.retention(client.client).map_err(|e| of_store(&e))?;
    let last = uow.store.sessions_back(client.client, 1).map_err(|e| of_store(&e))?;
    let last = last.first().map_or(client.added, |session| session.at).date();
    let due = rule.and_then(|rule| rule.months).map(|months| after(last, months));
    let is_held = rule.is_some_and(|rule| rule.hold);
    Ok(RetentionView {
        id: client.client,
        name: client.card.name.clone(),
        rule,
        last: last.to_string(),
        is_due: !is_held && due.is_some_and(|due| due <= uow.wall.now().date()),
        due: due.map(|due| due.to_string()),
    })
}

fn after(day: Date, months: u32) -> Date {
    day.plus((f64::from(months) * DAYS_PER_MONTH).round() as i64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::clients;
    use crate::machine::Machine;
    use setwright_store::SqliteStore;

    fn uow() -> UnitOfWork {
        let machine = Machine::stopped("2026-11-27T10:00:00+01:00".parse().unwrap(), 1);
        UnitOfWork::on(SqliteStore::in_memory().unwrap(), &machine)
    }

    #[test]
    fn the_last_word_counts_and_who_was_never_asked_took_nothing_back() {
        let mut uow = uow();
        let mara = clients::add(&mut uow, "Mara", "", None).unwrap().id;
        assert!(list(&mut uow, "mara").unwrap().iter().all(|view| view.given.is_none()));
        assert!(!is_withdrawn(&mut uow, mara, Purpose::Averages).unwrap());
        for given in [true, false] {
            let said =
                Consent { purpose: Purpose::Averages, given, wording: "May averages use your log?".into() };
            let view = say(&mut uow, "mara", said).unwrap();
            assert_eq!((view[2].given, view[0].given), (Some(given), None));
        }
        assert!(is_withdrawn(&mut uow, mara, Purpose::Averages).unwrap());
        crate::ledger::care::undo(&mut uow, Some("mara"), None, None).unwrap();
        assert!(!is_withdrawn(&mut uow, mara, Purpose::Averages).unwrap(), "it is undone like anything else");
    }

    #[test]
    fn a_rule_proposes_after_the_last_session_and_a_hold_stops_it() {
        let mut uow = uow();
        clients::add(&mut uow, "Mara", "", None).unwrap();
        let rule = |uow: &mut UnitOfWork, months, hold| {
            set_rule(uow, "mara", Retention { months, hold }, Some("asked")).unwrap()
        };
        let view = rule(&mut uow, Some(36), false);
        assert_eq!((view.due.as_deref(), view.is_due), (Some("2029-11-27"), false));
        assert!(rule(&mut uow, Some(0), false).is_due);
        assert!(!rule(&mut uow, Some(0), true).is_due);
        assert_eq!(rules(&mut uow).unwrap().len(), 1);
        assert_eq!(uow.clients().unwrap().len(), 1, "nobody is forgotten by a rule");
    }
}
