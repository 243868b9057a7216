//! Work that takes longer than a page may: plans and curves in the making. Each runs on a thread of its own, one at a time
//! since each takes both cores, tells what it has found so far, and can be stopped. A page that is loaded again finds it as it
//! is. Work lives as long as the program: what is worth keeping is handed out into the ledger.

use crate::clock::Stopwatch;
use crate::curve;
use crate::desks::Desks;
use crate::insight::{self, Known};
use crate::ledger::{Desk, publish};
use crate::locks::held;
use crate::people::May;
use crate::plan::{self, Mode, Planned, Progress, Search};
use setwright_model::code::Code;
use setwright_model::ledger::{Actor, ClientId, EventId};
use setwright_model::refusal::Refusal;
use setwright_model::{Belief, Brief, Programme, Seconds, TradeOff};
use setwright_science::catalogue::builtin;
use std::sync::atomic::{AtomicBool, AtomicU8, Ordering};
use std::sync::{Arc, Mutex};
use tokio::sync::watch;

/// Works that are remembered, and those that may wait at once (judgement).
const KEPT: usize = 48;
const WAITING_MOST: usize = 12;
/// Moves of a first plan, and its outer limit: a newcomer waits for it.
const FIRST_MOVES: u64 = 400_000;
const FIRST_S: f64 = 20.0;
/// Moves of a curve at the brief's own minutes.
const CURVE_MOVES: u64 = 600_000;
/// Where chance starts.
const SEED: u64 = 1;

/// What is to be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A client's first programme, handed out as soon as it is certified.
    First,
    /// A programme that is looked at before it is handed out.
    Plan,
    /// Minutes against benefit.
    Curve,
}

/// What is to be made, and from what.
pub struct Order {
    /// What.
    pub kind: Kind,
    /// For whom.
    pub client: ClientId,
    /// What the client is called.
    pub name: String,
    /// The brief, as it is planned for.
    pub brief: Brief,
    /// What is believed of the client; what the brief tells when absent.
    pub known: Option<Arc<Known>>,
    /// The programme that the new one is held against.
    pub before: Option<Programme>,
    /// What this is, in words: "around your locks".
    pub about: String,
}

/// What is known of a work in the making.
#[derive(Clone)]
pub enum State {
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

/// Work in the making.
pub struct Work {
    /// Its name in addresses.
    pub id: EventId,
    /// What it was asked for.
    pub order: Order,
    asked: AtomicU8,
    handing: Mutex<()>,
    state: watch::Sender<State>,
}

impl Work {
    /// What is known now.
    pub fn state(&self) -> State {
        self.state.borrow().clone()
    }

    /// Hears of every change.
    pub fn follow(&self) -> watch::Receiver<State> {
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
        matches!(*self.state.borrow(), State::Waiting | State::Going(_))
    }

    fn tell(&self, state: State) {
        self.state.send_replace(state);
    }

    fn belief(&self) -> Option<Belief> {
        self.order.known.as_ref().map(|k| k.belief.clone())
    }
}

/// All works.
#[derive(Default)]
pub struct Bench {
    works: Mutex<Vec<Arc<Work>>>,
    turn: Mutex<()>,
}

impl Bench {
    /// A client's work of this name.
    ///
    /// # Errors
    /// There is none.
    pub fn find(&self, client: ClientId, id: &str) -> Result<Arc<Work>, Refusal> {
        let works = held(&self.works);
        let found = works.iter().find(|w| w.order.client == client && w.id.to_string() == id);
        found.cloned().ok_or_else(|| {
            Refusal::new(
                Code::NoSuchWork,
                "This plan is no longer there.",
                "The program was started anew, or it is long ago. Ask for it once more from the client's page; nothing in force has changed.",
            )
        })
    }

    fn add(&self, work: &Arc<Work>) -> Result<(), Refusal> {
        let mut works = held(&self.works);
        let open = works.iter().filter(|w| w.is_open()).count();
        if open >= WAITING_MOST {
            return Err(Refusal::new(
                Code::NoSuchWork,
                format!("{open} plans are in the making already, and this one was not begun."),
                "Wait for one of them, or stop one.",
            ));
        }
        if works.len() >= KEPT
            && let Some(old) = works.iter().position(|w| !w.is_open())
        {
            works.remove(old);
        }
        works.push(Arc::clone(work));
        Ok(())
    }
}

impl Bench {
    /// Begins work for whoever sits at the desk, on a thread of its own.
    ///
    /// # Errors
    /// Too much is in the making already.
    pub fn begin(
        self: &Arc<Self>,
        desks: &Arc<Desks>,
        desk: &Desk,
        order: Order,
    ) -> Result<Arc<Work>, Refusal> {
        let id = desk.batch();
        let (state, _) = watch::channel(State::Waiting);
        let work = Arc::new(Work { id, order, asked: AtomicU8::new(0), handing: Mutex::default(), state });
        self.add(&work)?;
        let hand = Hand { may: desk.may.clone(), actor: desk.actor.clone() };
        let (bench, desks, mine) = (Arc::clone(self), Arc::clone(desks), Arc::clone(&work));
        let run = move || {
            let _fallen = Fallen(Arc::clone(&mine));
            let done = {
                let _turn = held(&bench.turn);
                make(&desks, &mine, hand)
            };
            mine.tell(done.unwrap_or_else(|problem| State::Failed(Arc::new(problem))));
        };
        let thread = std::thread::Builder::new().name("bench".to_owned());
        thread.spawn(run).map_err(|_| {
            Refusal::new(Code::Internal, "This machine gives no more threads.", "Try again in a moment.")
        })?;
        Ok(work)
    }
}

/// Whoever asked: what is handed out is written in their name.
struct Hand {
    may: May,
    actor: Actor,
}

/// Says that a work fell, if it ends without having said anything.
struct Fallen(Arc<Work>);

impl Drop for Fallen {
    fn drop(&mut self) {
        if self.0.is_open() {
            let what = "A mistake of the program ended this plan.";
            let problem =
                Refusal::new(Code::Internal, what, "Nothing in force has changed. Ask for it once more.");
            self.0.tell(State::Failed(Arc::new(problem)));
        }
    }
}

fn make(desks: &Desks, work: &Work, hand: Hand) -> Result<State, Refusal> {
    work.tell(State::Going(News::default()));
    let watch = &desks.wall().stopwatch();
    match work.order.kind {
        Kind::Curve => drawn(work, watch),
        Kind::Plan => planned(work, watch).map(|p| State::Planned(Arc::new(p))),
        Kind::First => {
            let planned = Arc::new(planned(work, watch)?);
            if planned.programme.is_none() {
                return Ok(State::Planned(planned));
            }
            desks.in_hand(hand.may, hand.actor, |desk| hand_out(desk, work, &planned))?;
            Ok(State::HandedOut)
        }
    }
}

fn planned(work: &Work, watch: &Stopwatch) -> Result<Planned, Refusal> {
    let order = &work.order;
    let (moves, limit_s) = match order.kind {
        Kind::First => (FIRST_MOVES, FIRST_S),
        _ => (plan::MOVES, plan::SECONDS),
    };
    let search = Search { mode: Mode::Benefit, seed: SEED, moves, limit: Seconds(limit_s) };
    let found = AtomicBool::new(false);
    let mut news = |p: Progress| {
        found.fetch_or(p.value.is_some(), Ordering::Relaxed);
        work.tell(State::Going(News { value: p.value, bound: p.bound, moves: p.moves, points: 0 }));
    };
    let asked = || work.is_to_stop(found.load(Ordering::Relaxed));
    let belief = work.belief();
    let mut planned = plan::plan_until(&order.brief, belief, builtin(), (search, watch), &asked, &mut news)?;
    if let (Some(known), Some(programme)) = (&order.known, &planned.programme) {
        planned.answer.reasons.extend(insight::load_changes(known, programme.get(), builtin()));
    }
    Ok(planned)
}

fn drawn(work: &Work, watch: &Stopwatch) -> Result<State, Refusal> {
    let search = curve::Search { seed: SEED, moves: CURVE_MOVES, limit: Seconds(plan::SECONDS) };
    let mut told = |points| work.tell(State::Going(News { points, ..News::default() }));
    let asked = || work.is_asked();
    let (found, short) = curve::trade_off_until(
        &work.order.brief,
        work.belief(),
        builtin(),
        (search, watch),
        &asked,
        &mut told,
    )?;
    Ok(State::Drawn(Arc::new(found), short))
}

/// Writes what was planned into the ledger: it is in force from now on.
///
/// # Errors
/// Nothing was planned, or the ledger refuses.
pub fn hand_out(desk: &mut Desk, work: &Work, planned: &Planned) -> Result<(), Refusal> {
    let mut brief = work.order.brief.clone();
    brief.style.before = None;
    publish::planned(desk, &work.order.client.to_string(), &brief, planned).map(|_| ())
}

impl Work {
    /// Hands out what was planned, once.
    ///
    /// # Errors
    /// It is not done, or the ledger refuses.
    pub fn hand_out(&self, desk: &mut Desk) -> Result<(), Refusal> {
        let _one_at_a_time = held(&self.handing);
        match self.state() {
            State::Planned(planned) => {
                hand_out(desk, self, &planned)?;
                self.tell(State::HandedOut);
                Ok(())
            }
            State::HandedOut => Ok(()),
            _ => Err(Refusal::new(
                Code::NotPublished,
                "There is no programme to hand out yet.",
                "Wait until it is made, or stop it to take what was found.",
            )),
        }
    }
}
