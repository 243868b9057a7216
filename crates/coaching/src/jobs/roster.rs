//! Reckons the roster's lines behind the pages: a line takes a fit, and a thousand of them would keep a page waiting for
//! minutes. One thread reckons those who changed, whoever is looked at first; pages show at once what is known.
//!
//! Lines are kept in memory by client with the place of the last event that they know of; `roster_file` keeps them over
//! a restart.

use crate::belief_cache::Beliefs;
use crate::clock::Stopwatch;
use crate::desks::Desks;
use crate::insight::{self, RosterEntry};
use crate::jobs::roster_file;
use crate::ledger::{Desk, of_store};
use crate::locks::held;
use setwright_model::ledger::ClientId;
use setwright_model::refusal::Refusal;
use setwright_science::catalogue::builtin;
use setwright_store::{ClientState, Seq, Store, in_order};
use std::collections::{BTreeMap, VecDeque};
use std::sync::{Arc, Condvar, Mutex, Weak};
use std::thread::JoinHandle;
use std::time::Duration;

/// Hours after which a line is reckoned anew although nothing was logged, and after which the page says so (judgement).
pub const LINE_H: f64 = 0.5;
const OLD_H: f64 = 12.0;
/// Seconds that a client's log rests before the line is reckoned anew: sets come in rows (judgement).
const REST_S: f64 = 30.0;
/// Seconds between two looks at what others wrote into the ledger, and between two writings of the lines (judgement).
const LOOK_S: f64 = 2.0;
const KEEP_S: f64 = 60.0;

/// How far a line is to be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It is true.
    True,
    /// It is being reckoned; what it says was true before.
    Older,
    /// It could not be reckoned.
    Failed,
}

/// A line as it is known.
#[derive(Clone, Debug)]
pub struct Known {
    /// What it says, if it was ever reckoned.
    pub line: Option<RosterEntry>,
    /// How far to trust it.
    pub standing: Standing,
}

/// A line with the last event that it knows of and the hour at which it was reckoned; none when it could not be.
#[derive(Clone, Debug)]
pub struct Kept {
    /// The last event that it knows of.
    pub seq: Seq,
    /// The hour at which it was reckoned.
    pub at_h: f64,
    /// What it says; none when it could not be reckoned.
    pub line: Option<RosterEntry>,
}

/// Clients in the order of their names.
type Cards = Arc<[ClientState]>;

/// Cards with those of some clients read again; the same ones if nothing of them changed.
fn read_anew(desk: &mut Desk, cards: Cards, of: &[ClientId]) -> Result<Cards, Refusal> {
    let mut anew = Vec::with_capacity(of.len());
    for id in of {
        anew.push((*id, desk.store.client(*id).map_err(|e| of_store(&e))?));
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
pub(super) struct Board {
    /// The last event that was seen.
    pub seen: Seq,
    /// The last event that was there at the start.
    begun: Seq,
    /// The last event of a client; nothing for those of whom nothing arrived since the start.
    last: BTreeMap<ClientId, Seq>,
    /// The lines.
    pub lines: BTreeMap<ClientId, Kept>,
    /// All clients by name as of an event, once they were asked for.
    cards: Option<(Seq, Cards)>,
    /// Whoever is looked at.
    first: VecDeque<ClientId>,
    /// All others to be reckoned, each not before this second.
    due: BTreeMap<ClientId, f64>,
    /// Whether there are lines that are not in the file yet.
    pub unkept: bool,
    thread: Option<JoinHandle<()>>,
    ended: bool,
}

impl Board {
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

    fn take(&mut self, now_s: f64) -> Option<ClientId> {
        let first = self.first.pop_front();
        let next = first.or_else(|| self.due.iter().find(|(_, from)| **from <= now_s).map(|(id, _)| *id));
        if let Some(client) = next {
            self.due.remove(&client);
        }
        next
    }
}

/// Lines, and the thread that reckons them.
pub struct Reckoner {
    /// What is known and what is to be done.
    pub(super) board: Mutex<Board>,
    wake: Condvar,
    watch: Stopwatch,
    desks: Weak<Desks>,
    beliefs: Weak<Beliefs>,
}

enum Job {
    Line(ClientId),
    Look,
    End,
}

impl Reckoner {
    /// Begins with a ledger as it is, and with the lines that an earlier run left. It keeps neither desks nor beliefs alive.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn on(desks: &Arc<Desks>, beliefs: &Arc<Beliefs>) -> Result<Self, Refusal> {
        let mut board = Board::default();
        desks.in_passing(|desk| {
            if let Some((seen, lines)) = roster_file::read(desk, desks.build())? {
                (board.seen, board.lines) = (seen, lines);
            } else {
                board.seen = desk.store.link(None).map_err(|e| of_store(&e))?.map_or(0, |(seq, _)| seq);
            }
            board.begun = board.seen;
            Ok(())
        })?;
        Ok(Self {
            board: Mutex::new(board),
            wake: Condvar::new(),
            watch: desks.wall().stopwatch(),
            desks: Arc::downgrade(desks),
            beliefs: Arc::downgrade(beliefs),
        })
    }

    /// Learns of what arrived since the last look.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn follow(&self, desk: &mut Desk) -> Result<(), Refusal> {
        let seen = held(&self.board).seen;
        let changed = desk.store.changed(seen).map_err(|e| of_store(&e))?;
        if changed.is_empty() {
            return Ok(());
        }
        let from = self.watch.elapsed().get() + REST_S;
        let mut board = held(&self.board);
        for (client, seq) in changed {
            board.seen = board.seen.max(seq);
            let last = board.last.entry(client).or_default();
            if seq > *last {
                *last = seq;
                board.due.insert(client, from);
            }
        }
        Ok(())
    }

    /// The clients whom whoever sits at a desk may see, by name. The ledger is asked for those alone of whom something was written
    /// since the last time.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn clients(&self, desk: &mut Desk) -> Result<Vec<ClientState>, Refusal> {
        self.follow(desk)?;
        let (seen, cards, since) = held(&self.board).cards();
        let cards = match cards {
            None => desk.store.clients().map_err(|e| of_store(&e))?.into(),
            Some(cards) => read_anew(desk, cards, &since)?,
        };
        held(&self.board).cards = Some((seen, Arc::clone(&cards)));
        Ok(cards.iter().filter(|c| desk.may.see(c.client)).cloned().collect())
    }

    /// The last event of a client.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn last_of(&self, desk: &mut Desk, client: ClientId) -> Result<Seq, Refusal> {
        self.follow(desk)?;
        Ok(held(&self.board).last_of(client))
    }

    /// The line of a client, if it is true now.
    pub fn line(&self, client: ClientId, last: Seq, now_h: f64) -> Option<RosterEntry> {
        let board = held(&self.board);
        let kept = board.lines.get(&client).filter(|k| k.seq == last && (now_h - k.at_h).abs() < LINE_H);
        kept.and_then(|k| k.line.clone())
    }

    /// Keeps a line.
    pub fn keep(&self, client: ClientId, kept: Kept) {
        let mut board = held(&self.board);
        board.lines.insert(client, kept);
        board.unkept = true;
    }

    /// Lines as they are known, in the order of the clients; what is not true is put down to be reckoned.
    fn known(&self, clients: &[ClientState], now_h: f64) -> Vec<Known> {
        let mut board = held(&self.board);
        let mut known = Vec::with_capacity(clients.len());
        for client in clients {
            let (id, last) = (client.client, board.last_of(client.client));
            let (one, again) = match board.lines.get(&id) {
                None => (Known { line: None, standing: Standing::Older }, true),
                Some(kept) => {
                    let age_h = (now_h - kept.at_h).abs();
                    let standing = match kept.line {
                        _ if kept.seq != last || age_h >= OLD_H => Standing::Older,
                        None => Standing::Failed,
                        Some(_) => Standing::True,
                    };
                    (
                        Known { line: kept.line.clone(), standing },
                        standing == Standing::Older || age_h >= LINE_H,
                    )
                }
            };
            if again {
                board.due.entry(id).or_insert(0.0);
            }
            known.push(one);
        }
        known
    }

    /// Puts a client whose page is looked at before all others, unless the line is true, or there is one and the log does not
    /// rest yet.
    pub fn looked_at(&self, client: ClientId, last: Seq) {
        let mut board = held(&self.board);
        let waits =
            |kept: &Kept| kept.seq == last || board.due.get(&client).is_some_and(|from| *from > self.now_s());
        let is_well = board.lines.get(&client).is_some_and(waits);
        if board.thread.is_some() && !is_well && !board.first.contains(&client) {
            board.first.push_back(client);
            drop(board);
            self.wake.notify_one();
        }
    }

    fn next(&self) -> Job {
        let mut board = held(&self.board);
        if !board.ended && board.first.is_empty() && !board.due.values().any(|from| *from <= self.now_s()) {
            let wait = self.wake.wait_timeout(board, Duration::from_secs_f64(LOOK_S));
            board = wait.map_or_else(|poisoned| poisoned.into_inner().0, |(board, _)| board);
        }
        if board.ended {
            return Job::End;
        }
        board.take(self.now_s()).map_or(Job::Look, Job::Line)
    }

    fn now_s(&self) -> f64 {
        self.watch.elapsed().get()
    }

    /// Tells the thread to end, and hands it over to be waited for.
    pub fn end(&self) -> Option<JoinHandle<()>> {
        let mut board = held(&self.board);
        board.ended = true;
        let thread = board.thread.take();
        drop(board);
        self.wake.notify_all();
        thread
    }
}

impl Reckoner {
    /// Lines of these clients as they are known, at once; what is not true is reckoned from now on.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn lines(self: &Arc<Self>, desk: &mut Desk, clients: &[ClientState]) -> Result<Vec<Known>, Refusal> {
        self.follow(desk)?;
        let known = self.known(clients, insight::hours(desk.wall.now()).get());
        self.reckon();
        Ok(known)
    }

    /// Sets the thread to work, if it is not there yet.
    fn reckon(self: &Arc<Self>) {
        let mut board = held(&self.board);
        if board.ended {
            return;
        }
        if board.thread.is_none() {
            let mine = Arc::clone(self);
            let thread = std::thread::Builder::new().name("reckoner".to_owned());
            // Without a thread the lines stay as they are, and each client's page still answers.
            board.thread = thread.spawn(move || run(&mine)).ok();
        }
        drop(board);
        self.wake.notify_one();
    }

    /// Ends the thread, if there is one, and keeps the lines for the next start.
    pub fn close(&self) {
        if let (Some(thread), Some(desks)) = (self.end(), self.desks.upgrade()) {
            let _ = thread.join();
            let _ = desks.in_passing(|desk| roster_file::write(desk, self, desks.build()));
        }
    }

    /// Puts everybody down whose line is not known, and sets to work: so begins a server.
    ///
    /// # Errors
    /// A ledger that cannot be read.
    pub fn reckon_all(self: &Arc<Self>, desk: &mut Desk) -> Result<(), Refusal> {
        let here: Vec<_> = self.clients(desk)?.into_iter().filter(|c| !c.card.away).collect();
        self.lines(desk, &here).map(|_| ())
    }

    /// Reckons one line.
    fn reckon_line(&self, desk: &mut Desk, beliefs: &Beliefs, client: ClientId) -> Result<(), Refusal> {
        let last = self.last_of(desk, client)?;
        let at_h = insight::hours(desk.wall.now()).get();
        let Some(state) = desk.store.client(client).map_err(|e| of_store(&e))? else { return Ok(()) };
        let line = beliefs.known_behind(desk, state, last).map(|known| insight::line(&known, builtin()));
        self.keep(client, Kept { seq: last, at_h, line: line.ok() });
        Ok(())
    }
}

fn run(reckoner: &Reckoner) {
    let mut kept_s = reckoner.now_s();
    loop {
        let job = reckoner.next();
        // Whoever waits for work keeps no ledger open.
        let (Some(desks), Some(beliefs)) = (reckoner.desks.upgrade(), reckoner.beliefs.upgrade()) else {
            return;
        };
        // What cannot be read now is tried again when it is next looked at.
        let _ = match job {
            Job::End => return,
            Job::Line(client) => desks.in_passing(|desk| reckoner.reckon_line(desk, &beliefs, client)),
            Job::Look => desks.in_passing(|desk| reckoner.follow(desk)),
        };
        if held(&reckoner.board).unkept && reckoner.now_s() - kept_s > KEEP_S {
            let _ = desks.in_passing(|desk| roster_file::write(desk, reckoner, desks.build()));
            kept_s = reckoner.now_s();
        }
    }
}
