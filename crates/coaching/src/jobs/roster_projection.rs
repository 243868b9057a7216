//! Calculates the roster's lines behind the pages: a line takes a fit, and a thousand of them would keep a page waiting for
//! minutes. One thread calculates those who changed, whoever is looked at first; pages show at once what is known.
//!
//! Lines are kept in memory by client with the place of the last event that they know of; `roster_file` keeps them over
//! a restart.

use crate::belief_cache::BeliefCache;
use crate::change_events;
use crate::clock::Stopwatch;
use crate::insight::{self, RosterEntry};
use crate::jobs::plan_queue::JobQueue;
use crate::jobs::{refit, roster_file};
use crate::ledger::{UnitOfWork, of_store};
use crate::ledger_pool::LedgerPool;
use crate::locks::held;
use crate::roster_lines;
use setwright_gym::catalogue::builtin;
use setwright_model::ledger::ClientId;
use setwright_model::refusal::Refusal;
use setwright_store::{ClientState, Seq, Store, in_order};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::sync::{Arc, Condvar, Mutex, Weak};
use std::thread::JoinHandle;
use std::time::Duration;

/// Hours after which a line is calculated anew although nothing was logged, and after which the page says so (judgement).
pub const LINE_H: f64 = 0.5;
const OLD_H: f64 = 12.0;
/// Seconds that a client's log rests before the line is calculated anew: sets come in rows (judgement).
const REST_S: f64 = 30.0;
/// Seconds between two looks at what others wrote into the ledger, and between two writings of the lines (judgement).
const LOOK_S: f64 = 2.0;
const KEEP_S: f64 = 60.0;

/// How far a line is to be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Freshness {
    /// It is true.
    True,
    /// It is being calculated; what it says was true before.
    Older,
    /// It could not be calculated.
    Failed,
}

/// A line as it is known.
#[derive(Clone, Debug)]
pub struct KnownLine {
    /// What it says, if it was ever calculated.
    pub line: Option<RosterEntry>,
    /// How far to trust it.
    pub standing: Freshness,
}

/// A line with the last event that it knows of and the hour at which it was calculated; none when it could not be.
#[derive(Clone, Debug)]
pub struct KeptLine {
    /// The last event that it knows of.
    pub seq: Seq,
    /// The hour at which it was calculated.
    pub at_h: f64,
    /// What it says; none when it could not be calculated.
    pub line: Option<RosterEntry>,
}

/// Clients in the order of their names.
type Cards = Arc<[ClientState]>;

/// Cards with those of some clients read again; the same ones if nothing of them changed.
fn read_anew(uow: &mut UnitOfWork, cards: Cards, of: &[ClientId]) -> Result<Cards, Refusal> {
    let mut anew = Vec::with_capacity(of.len());
    for id in of {
        anew.push((*id, uow.store.client(*id).map_err(|e| of_store(&e))?));
    }
    if anew.iter().all(|(id, card)| cards.iter().find(|c| c.client == *id) == card.as_ref()) {
        return Ok(cards);
    }
    let others = cards.iter().filter(|c| !of.contains(&c.client)).cloned();
    let mut all: Vec<ClientState> = others.chain(anew.into_iter().filter_map(|(_, card)| card)).collect();
    in_order(&mut all);
    Ok(all.into())
}

/// What is known and what is to be done.
#[derive(Default)]
pub(super) struct Dashboard {
    /// The last event that was seen.
    pub seen: Seq,
    /// The last event that was there at the start.
    begun: Seq,
    /// The last event of a client; nothing for those of whom nothing arrived since the start.
    last: BTreeMap<ClientId, Seq>,
    /// The lines.
    pub lines: BTreeMap<ClientId, KeptLine>,
    /// All clients by name as of an event, once they were asked for.
    cards: Option<(Seq, Cards)>,
    /// Whoever is looked at.
    first: VecDeque<ClientId>,
    /// All others to be calculated, each not before this second.
    due: BTreeMap<ClientId, f64>,
    /// How many clients were forgotten when that was last looked at.
    forgotten: u64,
    /// Whether there are lines that are not in the file yet.
    pub unkept: bool,
    thread: Option<JoinHandle<()>>,
    ended: bool,
}

impl Dashboard {
    /// The last event of a client, or of all at the start.
    pub fn last_of(&self, client: ClientId) -> Seq {
        self.last.get(&client).copied().unwrap_or(self.begun)
    }

    /// The last event that was seen, the clients as they are known, and those of whom something was written since.
    fn cards(&self) -> (Seq, Option<Cards>, Vec<ClientId>) {
        let at = self.cards.as_ref().map_or(self.seen, |(at, _)| *at);
        let since = self.last.iter().filter(|(_, last)| **last > at).map(|(id, _)| *id);
        (self.seen, self.cards.as_ref().map(|(_, cards)| Arc::clone(cards)), since.collect())
    }

    /// Keeps nothing of anybody else.
    fn keep_only(&mut self, there: &BTreeSet<ClientId>) {
        self.cards = None;
        self.last.retain(|id, _| there.contains(id));
        self.lines.retain(|id, _| there.contains(id));
        self.due.retain(|id, _| there.contains(id));
        self.first.retain(|id| there.contains(id));
    }

    fn take(&mut self, now_s: f64) -> Option<ClientId> {
        let first = self.first.pop_front();
        let next = first.or_else(|| self.due.iter().find(|(_, from)| **from <= now_s).map(|(id, _)| *id));
        if let Some(client) = next {
            self.due.remove(&client);
        }
        next
    }
}

/// Lines, and the thread that calculates them.
pub struct Projector {
    /// What is known and what is to be done.
    pub(super) dashboard: Mutex<Dashboard>,
    wake: Condvar,
    watch: Stopwatch,
    pool: Weak<LedgerPool>,
    beliefs: Weak<BeliefCache>,
    queue: Weak<JobQueue>,
}

enum Job {
    Line(ClientId),
    Look,
    End,
}

impl Projector {
    /// Begins with a ledger as it is, and with the lines that an earlier run left. It keeps neither the ledger nor beliefs alive.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn on(
        pool: &Arc<LedgerPool>,
        beliefs: &Arc<BeliefCache>,
        queue: &Arc<JobQueue>,
    ) -> Result<Self, Refusal> {
        let mut dashboard = Dashboard::default();
        pool.run_as_program(|uow| {
            if let Some((seen, lines)) = roster_file::read(uow, pool.build())? {
                (dashboard.seen, dashboard.lines) = (seen, lines);
            } else {
                dashboard.seen = uow.store.link(None).map_err(|e| of_store(&e))?.map_or(0, |(seq, _)| seq);
            }
            dashboard.begun = dashboard.seen;
            dashboard.forgotten = uow.store.forgotten().map_err(|e| of_store(&e))?;
            Ok(())
        })?;
        Ok(Self {
            dashboard: Mutex::new(dashboard),
            wake: Condvar::new(),
            watch: pool.wall().stopwatch(),
            pool: Arc::downgrade(pool),
            beliefs: Arc::downgrade(beliefs),
            queue: Arc::downgrade(queue),
        })
    }

    /// Learns of what arrived since the last look.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn follow(&self, uow: &mut UnitOfWork) -> Result<(), Refusal> {
        self.forget(uow)?;
        let seen = held(&self.dashboard).seen;
        let changed = change_events::clients_since(uow, seen)?;
        if changed.is_empty() {
            return Ok(());
        }
        let from = self.watch.elapsed().get() + REST_S;
        let mut dashboard = held(&self.dashboard);
        for (client, seq) in changed {
            dashboard.seen = dashboard.seen.max(seq);
            let last = dashboard.last.entry(client).or_default();
            if seq > *last {
                *last = seq;
                dashboard.due.insert(client, from);
            }
        }
        Ok(())
    }

    /// Lets go of whoever was forgotten since the last look, by this program or another one.
    fn forget(&self, uow: &mut UnitOfWork) -> Result<(), Refusal> {
        let forgotten = uow.store.forgotten().map_err(|e| of_store(&e))?;
        if held(&self.dashboard).forgotten == forgotten {
            return Ok(());
        }
        let there = uow.store.clients().map_err(|e| of_store(&e))?.iter().map(|c| c.client).collect();
        if let Some(beliefs) = self.beliefs.upgrade() {
            beliefs.keep_only(&there);
        }
        if let Some(queue) = self.queue.upgrade() {
            queue.keep_only(&there);
        }
        if let Some(pool) = self.pool.upgrade() {
            // With the connections go the keys that they have read; this one lets go of them below.
            pool.close();
        }
        // On a full disk there is no room to write the file anew; it is tried again when the ledger rests.
        let _ = uow.store.checkpoint();
        // What was being written of the lines at that moment may have come after whoever forgot had cleared them.
        roster_lines::clear(uow.store.path()).map_err(|e| of_store(&e))?;
        let mut dashboard = held(&self.dashboard);
        dashboard.keep_only(&there);
        dashboard.unkept = true;
        dashboard.forgotten = forgotten;
        Ok(())
    }

    /// The clients whom whoever asks may see, by name. The ledger is asked for those alone of whom something was written
    /// since the last time.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn clients(&self, uow: &mut UnitOfWork) -> Result<Vec<ClientState>, Refusal> {
        self.follow(uow)?;
        let (seen, cards, since) = held(&self.dashboard).cards();
        let cards = match cards {
            None => uow.store.clients().map_err(|e| of_store(&e))?.into(),
            Some(cards) => read_anew(uow, cards, &since)?,
        };
        held(&self.dashboard).cards = Some((seen, Arc::clone(&cards)));
        Ok(cards.iter().filter(|c| uow.may.see(c.client)).cloned().collect())
    }

    /// The last event of a client.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn last_of(&self, uow: &mut UnitOfWork, client: ClientId) -> Result<Seq, Refusal> {
        self.follow(uow)?;
        Ok(held(&self.dashboard).last_of(client))
    }

    /// The line of a client, if it is true now.
    pub fn line(&self, client: ClientId, last: Seq, now_h: f64) -> Option<RosterEntry> {
        let dashboard = held(&self.dashboard);
        let kept = dashboard.lines.get(&client).filter(|k| k.seq == last && (now_h - k.at_h).abs() < LINE_H);
        kept.and_then(|k| k.line.clone())
    }

    /// Keeps a line.
    pub fn keep(&self, client: ClientId, kept: KeptLine) {
        let mut dashboard = held(&self.dashboard);
        dashboard.lines.insert(client, kept);
        dashboard.unkept = true;
    }

    /// Lines as they are known, in the order of the clients; what is not true is put down to be calculated.
    fn known(&self, clients: &[ClientState], now_h: f64) -> Vec<KnownLine> {
        let mut dashboard = held(&self.dashboard);
        let mut known = Vec::with_capacity(clients.len());
        for client in clients {
            let (id, last) = (client.client, dashboard.last_of(client.client));
            let (one, again) = match dashboard.lines.get(&id) {
                None => (KnownLine { line: None, standing: Freshness::Older }, true),
                Some(kept) => {
                    let age_h = (now_h - kept.at_h).abs();
                    let standing = match kept.line {
                        _ if kept.seq != last || age_h >= OLD_H => Freshness::Older,
                        None => Freshness::Failed,
                        Some(_) => Freshness::True,
                    };
                    (
                        KnownLine { line: kept.line.clone(), standing },
                        standing == Freshness::Older || age_h >= LINE_H,
                    )
                }
            };
            if again {
                dashboard.due.entry(id).or_insert(0.0);
            }
            known.push(one);
        }
        known
    }

    /// Puts a client whose page is looked at before all others, unless the line is true, or there is one and the log does not
    /// rest yet.
    pub fn looked_at(&self, client: ClientId, last: Seq) {
        let mut dashboard = held(&self.dashboard);
        let waits = |kept: &KeptLine| {
            kept.seq == last || dashboard.due.get(&client).is_some_and(|from| *from > self.now_s())
        };
        let is_well = dashboard.lines.get(&client).is_some_and(waits);
        if dashboard.thread.is_some() && !is_well && !dashboard.first.contains(&client) {
            dashboard.first.push_back(client);
            drop(dashboard);
            self.wake.notify_one();
        }
    }

    fn next(&self) -> Job {
        let mut dashboard = held(&self.dashboard);
        if !dashboard.ended
            && dashboard.first.is_empty()
            && !dashboard.due.values().any(|from| *from <= self.now_s())
        {
            let wait = self.wake.wait_timeout(dashboard, Duration::from_secs_f64(LOOK_S));
            dashboard = wait.map_or_else(|poisoned| poisoned.into_inner().0, |(dashboard, _)| dashboard);
        }
        if dashboard.ended {
            return Job::End;
        }
        dashboard.take(self.now_s()).map_or(Job::Look, Job::Line)
    }

    fn now_s(&self) -> f64 {
        self.watch.elapsed().get()
    }

    /// Tells the thread to end, and hands it over to be waited for.
    pub fn end(&self) -> Option<JoinHandle<()>> {
        let mut dashboard = held(&self.dashboard);
        dashboard.ended = true;
        let thread = dashboard.thread.take();
        drop(dashboard);
        self.wake.notify_all();
        thread
    }
}

impl Projector {
    /// Lines of these clients as they are known, at once; what is not true is calculated from now on.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn lines(
        self: &Arc<Self>,
        uow: &mut UnitOfWork,
        clients: &[ClientState],
    ) -> Result<Vec<KnownLine>, Refusal> {
        self.follow(uow)?;
        let known = self.known(clients, insight::hours(uow.wall.now()).get());
        self.wake_thread();
        Ok(known)
    }

    /// Sets the thread to work, if it is not there yet.
    fn wake_thread(self: &Arc<Self>) {
        let mut dashboard = held(&self.dashboard);
        if dashboard.ended {
            return;
        }
        if dashboard.thread.is_none() {
            let mine = Arc::clone(self);
            let thread = std::thread::Builder::new().name("projector".to_owned());
            // Without a thread the lines stay as they are, and each client's page still answers.
            dashboard.thread = thread.spawn(move || run(&mine)).ok();
        }
        drop(dashboard);
        self.wake.notify_one();
    }

    /// Ends the thread, if there is one, and keeps the lines for the next start.
    pub fn close(&self) {
        if let (Some(thread), Some(pool)) = (self.end(), self.pool.upgrade()) {
            let _ = thread.join();
            let _ = pool.run_as_program(|uow| roster_file::write(uow, self, pool.build()));
        }
    }

    /// Puts everybody down whose line is not known, and sets to work: so begins a server.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn project_all(self: &Arc<Self>, uow: &mut UnitOfWork) -> Result<(), Refusal> {
        let here: Vec<_> = self.clients(uow)?.into_iter().filter(|c| !c.card.away).collect();
        self.lines(uow, &here).map(|_| ())
    }

    /// Calculates one line.
    fn project_line(
        &self,
        uow: &mut UnitOfWork,
        beliefs: &BeliefCache,
        client: ClientId,
    ) -> Result<(), Refusal> {
        let last = self.last_of(uow, client)?;
        let at_h = insight::hours(uow.wall.now()).get();
        let Some(state) = uow.store.client(client).map_err(|e| of_store(&e))? else { return Ok(()) };
        let line =
            refit::known_behind(beliefs, uow, state, last).map(|known| insight::line(&known, builtin()));
        self.keep(client, KeptLine { seq: last, at_h, line: line.ok() });
        Ok(())
    }
}

fn run(projector: &Projector) {
    let mut kept_s = projector.now_s();
    loop {
        let job = projector.next();
        // Whoever waits for work keeps no ledger open.
        let (Some(pool), Some(beliefs)) = (projector.pool.upgrade(), projector.beliefs.upgrade()) else {
            return;
        };
        // What cannot be read now is tried again when it is next looked at.
        let _ = match job {
            Job::End => return,
            Job::Line(client) => pool.run_as_program(|uow| projector.project_line(uow, &beliefs, client)),
            Job::Look => pool.run_as_program(|uow| projector.follow(uow)),
        };
        if held(&projector.dashboard).unkept && projector.now_s() - kept_s > KEEP_S {
            let _ = pool.run_as_program(|uow| roster_file::write(uow, projector, pool.build()));
            kept_s = projector.now_s();
        }
    }
}
