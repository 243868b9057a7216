//! What somebody may see and write.

use crate::refusals::of_store;
use setwright_model::code::Code;
use setwright_model::ledger::{ClientId, Event, What};
use setwright_model::refusal::Refusal;
use setwright_store::Store;
use std::collections::BTreeSet;
use std::fmt;
use std::sync::Arc;

/// Keeps a client who was just added among those of the coach who adds, before the client is written into the ledger.
pub type Adopt = Arc<dyn Fn(ClientId) -> Result<(), Refusal> + Send + Sync>;

/// Says whether whoever began something may still come: their account may have been shut since.
pub type Still = Arc<dyn Fn() -> Result<(), Refusal> + Send + Sync>;

/// What somebody may see and write.
#[derive(Clone)]
pub struct May {
    work: Work,
    scope: Scope,
    adopt: Option<Adopt>,
    still: Option<Still>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Work {
    /// Logs what was done.
    Log,
    /// Plans, advises, adds clients.
    Coach,
    /// Keeps the accounts as well.
    Own,
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Scope {
    Everybody,
    These(BTreeSet<ClientId>),
}

impl May {
    /// Whoever sits at the machine itself, and the owner.
    pub const fn everything() -> Self {
        Self { work: Work::Own, scope: Scope::Everybody, adopt: None, still: None }
    }

    /// A coach of all clients.
    pub const fn coach_all() -> Self {
        Self { work: Work::Coach, scope: Scope::Everybody, adopt: None, still: None }
    }

    /// A coach of these clients, and of those added from now on.
    pub fn coach_these(clients: BTreeSet<ClientId>, adopt: Adopt) -> Self {
        Self { work: Work::Coach, scope: Scope::These(clients), adopt: Some(adopt), still: None }
    }

    /// A client.
    pub fn client(client: ClientId) -> Self {
        Self { work: Work::Log, scope: Scope::These(BTreeSet::from([client])), adopt: None, still: None }
    }

    /// Nobody: sees nothing and writes nothing.
    pub const fn nothing() -> Self {
        Self { work: Work::Log, scope: Scope::These(BTreeSet::new()), adopt: None, still: None }
    }

    /// The same as long as this says so, which work that outlives a request asks again.
    #[must_use]
    pub fn as_long_as(self, still: Still) -> Self {
        Self { still: Some(still), ..self }
    }

    /// Whether whoever it is may still come.
    ///
    /// # Errors
    /// Their account was shut since.
    pub fn still(&self) -> Result<(), Refusal> {
        self.still.as_ref().map_or(Ok(()), |still| still())
    }

    /// Whether this client may be seen, and what is done logged.
    pub fn see(&self, client: ClientId) -> bool {
        match &self.scope {
            Scope::Everybody => true,
            Scope::These(clients) => clients.contains(&client),
        }
    }

    /// Whether a coach's work may be done: plans, briefs, advice, new clients.
    pub fn coach(&self) -> bool {
        self.work >= Work::Coach
    }

    /// Whether accounts may be kept.
    pub fn own(&self) -> bool {
        self.work == Work::Own
    }
}

impl fmt::Debug for May {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("May").field("work", &self.work).field("scope", &self.scope).finish_non_exhaustive()
    }
}

impl May {
    /// Lets only a coach go on: plans, briefs and curves are a coach's work, also before anything is written.
    ///
    /// # Errors
    /// Whoever it is only logs.
    pub fn coach_only(&self) -> Result<(), Refusal> {
        if self.coach() {
            return Ok(());
        }
        let what = "This is a coach's work.";
        Err(Refusal::new(Code::NotForThisRole, what, "Tell your coach what should change."))
    }

    /// Lets an event through that may be written.
    ///
    /// # Errors
    /// A client who is not theirs, as if there were none; or work of another role.
    pub fn admit(&mut self, store: &mut impl Store, event: &Event) -> Result<(), Refusal> {
        if !self.see(event.client) {
            self.adopt(store, event)?;
        }
        if self.coach() || is_log(&event.what) {
            return Ok(());
        }
        if let What::Voided(voided) = &event.what {
            let target = store.event(voided.event).map_err(|e| of_store(&e))?;
            // What is not there, or is another client's, is refused by the ledger, and alike.
            let own = target.filter(|target| target.client == event.client);
            if own.is_none_or(|target| is_log(&target.what)) {
                return Ok(());
            }
        }
        Err(Refusal::new(
            Code::NotForThisRole,
            "This is for a coach to write.",
            "Tell your coach what should change.",
        ))
    }

    /// A client whom a coach adds becomes theirs; anybody else who is not theirs is not there.
    fn adopt(&mut self, store: &mut impl Store, event: &Event) -> Result<(), Refusal> {
        let nobody = || {
            let what = "There is no such client in the ledger.";
            Refusal::new(Code::NoSuchClient, what, "Ask with a client of yours.")
        };
        let Some(keep) = self.adopt.clone().filter(|_| matches!(event.what, What::Client(_))) else {
            return Err(nobody());
        };
        let there = store.clients().map_err(|e| of_store(&e))?;
        if there.iter().any(|c| c.client == event.client) {
            return Err(nobody());
        }
        keep(event.client)?;
        if let Scope::These(clients) = &mut self.scope {
            clients.insert(event.client);
        }
        Ok(())
    }
}

/// What clients write of themselves. The answers before training are not among them: they decide whether there is a
/// programme at all, and a coach takes them.
const fn is_log(what: &What) -> bool {
    matches!(
        what,
        What::SessionStarted(_)
            | What::SessionFinished(_)
            | What::SessionResumed(_)
            | What::Set(_)
            | What::SetCorrected(_)
            | What::Soreness(_)
            | What::BodyMass(_)
            | What::Note(_)
            | What::Spell(_)
            | What::Pain(_)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::{UnitOfWork, clients};
    use crate::machine::Machine;
    use setwright_model::ledger::{Actor, BriefSet, ClientCard, EventId, Note, Voided};
    use setwright_store::SqliteStore;
    use std::sync::Mutex;

    fn uow() -> (UnitOfWork, ClientId, ClientId) {
        let machine = Machine::stopped("2026-11-27T10:00:00+01:00".parse().unwrap(), 1);
        let mut uow = UnitOfWork::on(SqliteStore::in_memory().unwrap(), &machine);
        let ida = clients::add(&mut uow, "Ida", "", None).unwrap().id;
        let bo = clients::add(&mut uow, "Bo", "", None).unwrap().id;
        (uow, ida, bo)
    }

    fn note(uow: &UnitOfWork, client: ClientId) -> Event {
        uow.event(client, None, None, What::Note(Note { about: None, text: "slept badly".to_owned() }))
    }

    #[test]
    fn other_clients_are_not_there_whatever_they_are_asked_by() {
        let (mut uow, ida, bo) = uow();
        uow.may = May::client(ida);
        let hidden = uow.client("Bo").unwrap_err();
        let missing = uow.client("Nobody").unwrap_err();
        assert_eq!(hidden.what.replace("Bo", ""), missing.what.replace("Nobody", ""));
        assert_eq!(hidden.hint, missing.hint);
        assert_eq!(uow.client(&bo.to_string()).unwrap_err().code, Code::NoSuchClient);
        assert_eq!(uow.client("ida").unwrap().client, ida);
        assert_eq!(clients::list(&mut uow).unwrap().len(), 1);
    }

    #[test]
    fn clients_log_their_own_and_nothing_else() {
        let (mut uow, ida, bo) = uow();
        let card =
            uow.store.events(setwright_store::EventFilter { client: Some(ida) }, 0, 1).unwrap()[0].event.id;
        uow.may = May::client(ida);
        uow.actor = Actor::named(setwright_model::ledger::Role::Client, String::new());
        let own = note(&uow, ida);
        let own_id = own.id;
        uow.write(vec![own]).unwrap();
        let other = note(&uow, bo);
        assert_eq!(uow.write(vec![other]).unwrap_err().code, Code::NoSuchClient);
        let void =
            |uow: &UnitOfWork, event: EventId| uow.event(ida, None, None, What::Voided(Voided { event }));
        let of_coach = void(&uow, card);
        assert_eq!(uow.write(vec![of_coach]).unwrap_err().code, Code::NotForThisRole);
        let of_own = void(&uow, own_id);
        uow.write(vec![of_own]).unwrap();
        let renamed = ClientCard { name: "Queen".to_owned(), about: String::new(), away: false };
        let renamed = uow.event(ida, None, None, What::Client(renamed));
        assert_eq!(uow.write(vec![renamed]).unwrap_err().code, Code::NotForThisRole);
    }

    #[test]
    fn a_coach_gains_whom_they_add_and_nobody_else() {
        let (mut uow, ida, bo) = uow();
        let kept: Arc<Mutex<Vec<ClientId>>> = Arc::default();
        let keeps = Arc::clone(&kept);
        uow.may = May::coach_these(
            BTreeSet::from([ida]),
            Arc::new(move |client| {
                keeps.lock().unwrap().push(client);
                Ok(())
            }),
        );
        let brief = setwright_model::Brief {
            name: "New".to_owned(),
            ..crate::demo::roster(None).unwrap()[0].clone()
        };
        let new = clients::add(&mut uow, "New", "", Some(brief)).unwrap().id;
        assert_eq!(*kept.lock().unwrap(), [new]);
        assert!(uow.may.see(new) && !uow.may.see(bo));
        let stolen = ClientCard { name: "Bo".to_owned(), about: String::new(), away: true };
        let stolen = uow.event(bo, None, None, What::Client(stolen));
        assert_eq!(uow.write(vec![stolen]).unwrap_err().code, Code::NoSuchClient);
        let brief = crate::demo::roster(None).unwrap()[0].clone();
        let foreign = uow.event(bo, None, None, What::Brief(Box::new(BriefSet { brief })));
        assert_eq!(uow.write(vec![foreign]).unwrap_err().code, Code::NoSuchClient);
        assert_eq!(kept.lock().unwrap().len(), 1);
    }

    #[test]
    fn nobody_sees_nobody() {
        let (mut uow, ida, _) = uow();
        uow.may = May::nothing();
        assert!(uow.clients().unwrap().is_empty());
        let own = note(&uow, ida);
        assert!(uow.write(vec![own]).is_err());
    }
}
