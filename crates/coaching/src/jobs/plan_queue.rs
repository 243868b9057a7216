//! Work that takes longer than a page may: plans and curves in the making. Each runs on a thread of its own, one at a time
//! since each takes both cores, tells what it has found so far, and can be stopped. A page that is loaded again finds it as it
//! is. Work lives as long as the program: what is worth keeping is handed out into the ledger.

use super::turns::Turns;
use crate::clock::Stopwatch;
use crate::curve;
use crate::insight::{self, Known};
use crate::ledger::UnitOfWork;
use crate::ledger::current::Current;
use crate::ledger_pool::LedgerPool;
use crate::locks::held;
use crate::people::May;
use crate::plan::{self, Objective, Planned, Progress, Search};
use crate::publish;
use setwright_gym::catalogue::builtin;
use setwright_model::code::Code;
use setwright_model::ledger::{Actor, ClientId, EventId};
use setwright_model::refusal::Refusal;
use setwright_model::{Belief, Brief, Programme, Seconds, TradeOff};
use std::collections::BTreeSet;
use std::sync::atomic::{AtomicBool, AtomicU8, Ordering};
use std::sync::{Arc, Mutex};
use tokio::sync::watch;

/// Jobs that are remembered, and those that may wait at once (judgement).
const KEPT: usize = 48;
const WAITING_MOST: usize = 12;
/// Of these one person may have so many: others find room whatever one does (judgement).
const OWN_MOST: usize = 8;
/// Every how often it is asked whether whoever began a job may still come (judgement).
const PRESENT_S: f64 = 1.0;
/// Moves of a first plan, and its outer limit: a newcomer waits for it.
const FIRST_MOVES: u64 = 400_000;
const FIRST_S: f64 = 20.0;
/// Moves of a curve at the brief's own minutes.
const CURVE_MOVES: u64 = 600_000;
/// Where chance starts.
const SEED: u64 = 1;

/// What is to be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JobKind {
    /// A client's first programme, handed out as soon as it is certified.
    First,
    /// A programme that is looked at before it is handed out.
    Plan,
    /// Minutes against benefit.
    Curve,
}

/// What is to be made, and from what.
pub struct JobRequest {
    /// What.
    pub kind: JobKind,
    /// For whom.
    pub client: ClientId,
    /// What the client is called.
    pub name: String,
    /// What was current when it was asked for.
    pub from: Current,
    /// The brief, as it is planned for.
    pub brief: Brief,
    /// What is believed of the client; what the brief tells when absent.
    pub known: Option<Arc<Known>>,
    /// The programme that the new one is held against.
    pub before: Option<Programme>,
    /// What this is, in words: "around your locks".
    pub about: String,
}

/// What is known of a job in the making.
#[derive(Clone)]
pub enum JobState {
    /// Others come first.
    Waiting,
    /// It runs.
    Going(News),
    /// It is done, and not handed out.
    Planned(Arc<Planned>),
    /// Its programme is in force.
    HandedOut,
    /// The curve is done; whether it was cut short.
    Drawn(Arc<TradeOff>, bool),
    /// It went wrong.
    Failed(Arc<Refusal>),
}

/// What was found so far.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct News {
    /// Value of the best programme.
    pub value: Option<f64>,
    /// What nothing passes.
    pub bound: Option<f64>,
    /// Moves made.
    pub moves: u64,
    /// Points of the curve that are bounded.
    pub points: usize,
}

/// A plan or a curve in the making.
pub struct Job {
    /// Its name in addresses.
    pub id: EventId,
    /// What it was asked for.
    pub request: JobRequest,
    by: Actor,
    asked: AtomicU8,
    handing: Mutex<()>,
    state: watch::Sender<JobState>,
}

impl Job {
    /// What is known now.
    pub fn state(&self) -> JobState {
        self.state.borrow().clone()
    }

    /// Hears of every change.
    pub fn follow(&self) -> watch::Receiver<JobState> {
        self.state.subscribe()
    }

    /// Asks it to stop with what it has, or as soon as it has something; asked again, at once.
    pub fn stop(&self) {
        let _ = self.asked.fetch_update(Ordering::Relaxed, Ordering::Relaxed, |n| n.checked_add(1));
    }

    /// Whether it was asked to stop.
    pub fn is_asked(&self) -> bool {
        self.asked.load(Ordering::Relaxed) > 0
    }

    fn is_to_stop(&self, has_something: bool) -> bool {
        self.asked.load(Ordering::Relaxed) > u8::from(!has_something)
    }

    /// Whether it still waits or runs.
    pub fn is_open(&self) -> bool {
        matches!(*self.state.borrow(), JobState::Waiting | JobState::Going(_))
    }

    fn tell(&self, state: JobState) {
        self.state.send_replace(state);
    }

    fn belief(&self) -> Option<Belief> {
        self.request.known.as_ref().map(|k| k.belief.clone())
    }
}

/// All jobs.
#[derive(Default)]
pub struct JobQueue {
    jobs: Mutex<Vec<Arc<Job>>>,
    /// Room that is kept for these, whose jobs are not there yet. Taken after `jobs` where both are.
    kept: Mutex<Vec<Actor>>,
    turns: Turns,
}

/// Room for a job that is kept for somebody until it is begun: what belongs to it can be written before, and is not when there is none.
pub struct Reservation {
    queue: Arc<JobQueue>,
    by: Actor,
}

impl Drop for Reservation {
    fn drop(&mut self) {
        let mut kept = held(&self.queue.kept);
        if let Some(at) = kept.iter().position(|by| *by == self.by) {
            kept.swap_remove(at);
        }
    }
}

impl JobQueue {
    /// A client's job of this name.
    ///
    /// # Errors
    /// There is none.
    pub fn find(&self, client: ClientId, id: &str) -> Result<Arc<Job>, Refusal> {
        let jobs = held(&self.jobs);
        let found = jobs.iter().find(|w| w.request.client == client && w.id.to_string() == id);
        found.cloned().ok_or_else(|| {
            Refusal::new(
                Code::NoSuchWork,
                "This plan is no longer there.",
                "The program was started anew, or it is long ago. Ask for it once more from the client's page; nothing in force has changed.",
            )
        })
    }

    /// Keeps no job of anybody else; what runs is stopped.
    pub fn keep_only(&self, there: &BTreeSet<ClientId>) {
        held(&self.jobs).retain(|job| {
            let stays = there.contains(&job.request.client);
            if !stays {
                // Once for what it has, once more for at once.
                job.stop();
                job.stop();
            }
            stays
        });
    }

    /// Keeps room for a job of whoever asks.
    ///
    /// # Errors
    /// Too much is in the making already, of theirs or of all.
    pub fn room(self: &Arc<Self>, uow: &UnitOfWork) -> Result<Reservation, Refusal> {
        let (jobs, mut kept) = (held(&self.jobs), held(&self.kept));
        let by = &uow.actor;
        let open = jobs.iter().filter(|w| w.is_open()).map(|w| &w.by).chain(kept.iter());
        let (open, own) = open.fold((0, 0), |(all, own), other| (all + 1, own + usize::from(other == by)));
        let refused =
            |what: String| Err(Refusal::new(Code::NoSuchWork, what, "Wait for one of them, or stop one."));
        if own >= OWN_MOST {
            return refused(format!(
                "{own} plans of yours are in the making already, and this one was not begun."
            ));
        }
        if open >= WAITING_MOST {
            return refused(format!("{open} plans are in the making already, and this one was not begun."));
        }
        kept.push(by.clone());
        Ok(Reservation { queue: Arc::clone(self), by: by.clone() })
    }

    /// Puts a job into the room that was kept for it.
    fn add(&self, job: &Arc<Job>, room: Reservation) {
        let mut jobs = held(&self.jobs);
        if jobs.len() >= KEPT
            && let Some(old) = jobs.iter().position(|w| !w.is_open())
        {
            jobs.remove(old);
        }
        jobs.push(Arc::clone(job));
        drop(room);
    }
}

impl JobQueue {
    /// Begins a job for whoever asks, on a thread of its own.
    ///
    /// # Errors
    /// Too much is in the making already.
    pub fn begin(
        self: &Arc<Self>,
        pool: &Arc<LedgerPool>,
        uow: &UnitOfWork,
        request: JobRequest,
    ) -> Result<Arc<Job>, Refusal> {
        let room = self.room(uow)?;
        self.begin_in(room, pool, uow, request)
    }

    /// The same in room that was kept.
    ///
    /// # Errors
    /// The machine gives no more threads.
    pub fn begin_in(
        self: &Arc<Self>,
        room: Reservation,
        pool: &Arc<LedgerPool>,
        uow: &UnitOfWork,
        request: JobRequest,
    ) -> Result<Arc<Job>, Refusal> {
        let id = uow.batch();
        let (state, _) = watch::channel(JobState::Waiting);
        let by = uow.actor.clone();
        let job =
            Arc::new(Job { id, request, by, asked: AtomicU8::new(0), handing: Mutex::default(), state });
        self.add(&job, room);
        let hand = Hand { may: uow.may.clone(), actor: uow.actor.clone() };
        let (queue, pool, mine) = (Arc::clone(self), Arc::clone(pool), Arc::clone(&job));
        let run = move || {
            let _fallen = Fallen(Arc::clone(&mine));
            let done = {
                let _turn = queue.turns.take(&mine.by);
                make(&pool, &mine, hand)
            };
            mine.tell(done.unwrap_or_else(|problem| JobState::Failed(Arc::new(problem))));
        };
        let thread = std::thread::Builder::new().name("plans".to_owned());
        if thread.spawn(run).is_err() {
            let what = "This machine gives no more threads.";
            let refusal = Refusal::new(Code::Internal, what, "Try again in a moment.");
            // It must not hold its place for ever.
            job.tell(JobState::Failed(Arc::new(refusal.clone())));
            return Err(refusal);
        }
        Ok(job)
    }
}

/// Whoever asked: what is handed out is written in their name.
struct Hand {
    may: May,
    actor: Actor,
}

/// Says that a job fell, if it ends without having said anything.
struct Fallen(Arc<Job>);

impl Drop for Fallen {
    fn drop(&mut self) {
        if self.0.is_open() {
            let what = "A mistake of the program ended this plan.";
            let problem =
                Refusal::new(Code::Internal, what, "Nothing in force has changed. Ask for it once more.");
            self.0.tell(JobState::Failed(Arc::new(problem)));
        }
    }
}

/// Asks every second whether whoever began a job may still come.
struct Presence<'a> {
    may: &'a May,
    watch: &'a Stopwatch,
    next: Mutex<Seconds>,
    gone: AtomicBool,
}

impl<'a> Presence<'a> {
    fn of(may: &'a May, watch: &'a Stopwatch) -> Self {
        Self { may, watch, next: Mutex::new(Seconds::ZERO), gone: AtomicBool::new(false) }
    }

    fn is_gone(&self) -> bool {
        let now = self.watch.elapsed();
        let mut next = held(&self.next);
        if now >= *next && !self.gone.load(Ordering::Relaxed) {
            *next = Seconds(now.get() + PRESENT_S);
            self.gone.store(self.may.still().is_err(), Ordering::Relaxed);
        }
        self.gone.load(Ordering::Relaxed)
    }
}

fn make(pool: &LedgerPool, job: &Job, hand: Hand) -> Result<JobState, Refusal> {
    hand.may.still()?;
    job.tell(JobState::Going(News::default()));
    let watch = &pool.wall().stopwatch();
    let presence = Presence::of(&hand.may, watch);
    match job.request.kind {
        JobKind::Curve => {
            let drawn = drawn(job, &presence)?;
            hand.may.still().map(|()| drawn)
        }
        JobKind::Plan => {
            let planned = planned(job, &presence)?;
            hand.may.still().map(|()| JobState::Planned(Arc::new(planned)))
        }
        JobKind::First => {
            let planned = Arc::new(planned(job, &presence)?);
            hand.may.still()?;
            if planned.programme.is_none() {
                return Ok(JobState::Planned(planned));
            }
            let handed = pool.run_as(hand.may, hand.actor, |uow| {
                let client = uow.client(&job.request.client.to_string())?;
                let known = insight::known_of(uow, client, builtin())?;
                hand_out(uow, job, &known, &planned)
            });
            match handed {
                Ok(()) => Ok(JobState::HandedOut),
                // It waits as a draft until the questions before training are answered.
                Err(refusal) if refusal.code == Code::NotScreened => Ok(JobState::Planned(planned)),
                Err(refusal) => Err(refusal),
            }
        }
    }
}

fn planned(job: &Job, presence: &Presence<'_>) -> Result<Planned, Refusal> {
    let request = &job.request;
    let (moves, limit_s) = match request.kind {
        JobKind::First => (FIRST_MOVES, FIRST_S),
        _ => (plan::MOVES, plan::SECONDS),
    };
    let search = Search { mode: Objective::Benefit, seed: SEED, moves, limit: Seconds(limit_s) };
    let found = AtomicBool::new(false);
    let mut news = |p: Progress| {
        found.fetch_or(p.value.is_some(), Ordering::Relaxed);
        job.tell(JobState::Going(News { value: p.value, bound: p.bound, moves: p.moves, points: 0 }));
    };
    let asked = || job.is_to_stop(found.load(Ordering::Relaxed)) || presence.is_gone();
    let belief = job.belief();
    let mut planned =
        plan::plan_until(&request.brief, belief, builtin(), (search, presence.watch), &asked, &mut news)?;
    if let (Some(known), Some(programme)) = (&request.known, &planned.programme) {
        planned.answer.reasons.extend(insight::load_changes(known, programme.get(), builtin()));
    }
    Ok(planned)
}

fn drawn(job: &Job, presence: &Presence<'_>) -> Result<JobState, Refusal> {
    let search = curve::CurveSearch { seed: SEED, moves: CURVE_MOVES, limit: Seconds(plan::SECONDS) };
    let mut told = |points| job.tell(JobState::Going(News { points, ..News::default() }));
    let asked = || job.is_asked() || presence.is_gone();
    let (found, short) = curve::trade_off_until(
        &job.request.brief,
        job.belief(),
        builtin(),
        (search, presence.watch),
        &asked,
        &mut told,
    )?;
    Ok(JobState::Drawn(Arc::new(found), short))
}

/// Writes what was planned into the ledger: it is in force from now on.
///
/// # Errors
/// Nothing was planned, something newer is current, or the ledger refuses.
fn hand_out(uow: &mut UnitOfWork, job: &Job, known: &Known, planned: &Planned) -> Result<(), Refusal> {
    let request = &job.request;
    publish::planned(uow, known, &request.from, (&request.brief, planned), builtin()).map(|_| ())
}

impl Job {
    /// Hands out what was planned, once, with what is known of the client now.
    ///
    /// # Errors
    /// It is not done, something newer is current, or the ledger refuses.
    pub fn hand_out(&self, uow: &mut UnitOfWork, known: &Known) -> Result<(), Refusal> {
        let _one_at_a_time = held(&self.handing);
        match self.state() {
            JobState::Planned(planned) => {
                hand_out(uow, self, known, &planned)?;
                self.tell(JobState::HandedOut);
                Ok(())
            }
            JobState::HandedOut => Ok(()),
            _ => Err(Refusal::new(
                Code::NotPublished,
                "There is no programme to hand out yet.",
                "Wait until it is made, or stop it to take what was found.",
            )),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::Machine;
    use setwright_store::SqliteStore;

    #[test]
    fn one_person_does_not_take_all_the_room() {
        let machine = Machine::stopped("2026-11-27T10:00:00+01:00".parse().unwrap(), 1);
        let mut uow = UnitOfWork::on(SqliteStore::in_memory().unwrap(), &machine);
        let queue: Arc<JobQueue> = Arc::default();
        let mut rooms: Vec<Reservation> = (0..OWN_MOST).map(|_| queue.room(&uow).unwrap()).collect();
        let own = queue.room(&uow).err().unwrap();
        assert!(own.what.contains("of yours"), "{own:?}");
        uow.actor.name = "Ben".to_owned();
        rooms.extend((OWN_MOST..WAITING_MOST).map(|_| queue.room(&uow).unwrap()));
        assert!(queue.room(&uow).is_err());
        rooms.pop();
        assert!(queue.room(&uow).is_ok(), "what was kept and not used is free again");
    }
}
