//! Carries an edit out on a copy of a programme and says it in a sentence. It judges nothing.

use super::edit::MendStep;
use crate::client::Client;
use crate::rules::warm_up as warm;
use crate::scene::{Scene, rules_of};
use crate::words::count;
use setwright_model::brief::TrainingAge;
use setwright_model::change::{Change, Slot};
use setwright_model::{
    Belief, Block, BlockKind, Brief, Catalogue, Exercise, ExerciseId, Prescription, Programme, RampStep,
    Seconds, Sentence, Session,
};
use setwright_science::prescribe::scheme;
use std::rc::Rc;

/// Rest after a round of a new alternating block, at least: about 30 s (common practice, no source (T)).
const ROUND_REST_S_MIN: f64 = 30.0;

/// What edits are made with.
pub(super) struct MendContext<'a> {
    pub brief: Option<&'a Brief>,
    pub catalogue: &'a Catalogue,
    pub belief: &'a Belief,
    client: Rc<Client<'a>>,
}

impl<'a> MendContext<'a> {
    pub fn new(brief: Option<&'a Brief>, catalogue: &'a Catalogue, belief: &'a Belief) -> Self {
        let client = Rc::new(Client::of(brief, &rules_of(brief), catalogue, belief));
        Self { brief, catalogue, belief, client }
    }

    pub fn scene<'p>(&self, programme: &'p Programme) -> Scene<'p>
    where
        'a: 'p,
    {
        Scene::with(programme, self.brief, self.catalogue, self.belief, Rc::clone(&self.client))
    }

    /// The programme after the edit, and what was done; none when it cannot be done.
    pub fn apply(&self, programme: &Programme, edit: &MendStep) -> Option<(Programme, Sentence)> {
        let mut new = programme.apply(&self.change(programme, edit)?).ok()?;
        if let MendStep::Load(slot, _) = edit
            && !warm::is_light(new.at(*slot)?)
        {
            new = new.apply(&self.warmed(&new, *slot)?).ok()?;
        }
        let mut sentence = self.sentence(programme, &new, edit)?;
        let touched = match edit {
            MendStep::Swap(slot, _) | MendStep::Drop(slot) => Some(slot.session),
            MendStep::Order(s, ..) | MendStep::Add(s, _) => Some(*s),
            _ => None,
        };
        if let Some(names) = touched.map(|s| self.keep_warm(programme, &mut new, s)).filter(|n| !n.is_empty())
        {
            sentence = sentence.text(format!(" Warm up for {}.", names.join(", ")));
        }
        Some((new, sentence))
    }

    /// The edit as a change of the programme, with what comes new prescribed.
    fn change(&self, programme: &Programme, edit: &MendStep) -> Option<Change> {
        let block = |s: usize, b: usize| programme.sessions.get(s)?.blocks.get(b);
        let sets =
            |slot: &Slot, by| Some(Change::Sets(*slot, programme.at(*slot)?.sets.checked_add_signed(by)?));
        Some(match edit {
            MendStep::Warm(slot) | MendStep::Rewarm(slot) => self.warmed(programme, *slot)?,
            MendStep::Load(slot, load) => {
                programme.at(*slot)?.load_kg?;
                Change::Load(*slot, *load)
            }
            MendStep::Order(s, a, b) => Change::Exchange(*s, [*a, *b]),
            MendStep::Split(s, b) => {
                let block = block(*s, *b)?;
                let rests = block.exercises.iter().map(|p| self.rest(&p.id, block.rest_s));
                Change::Part([*s, *b], rests.collect())
            }
            MendStep::Join(s, a, b) => {
                let shorter = block(*s, *a)?.rest_s.min(block(*s, *b)?.rest_s);
                let rest_s = Seconds((shorter.get() / 2.0).max(ROUND_REST_S_MIN));
                Change::Join(*s, [*a, *b], BlockKind::Alternating, rest_s)
            }
            MendStep::DropSet(slot) => sets(slot, -1)?,
            MendStep::AddSet(slot) => sets(slot, 1)?,
            MendStep::Day(s, day) => Change::Day(*s, *day),
            MendStep::Swap(slot, id) => {
                let fresh = self.fresh(self.catalogue.get(id)?);
                Change::Swap(*slot, Prescription { sets: programme.at(*slot)?.sets, ..fresh })
            }
            MendStep::Add(s, id) => {
                let exercise = self.catalogue.get(id)?;
                Change::Add(*s, Block::straight(self.fresh(exercise), exercise.rest_s))
            }
            MendStep::Drop(slot) => {
                let block = block(slot.session, slot.block)?;
                let left = block.exercises.iter().enumerate().find(|(lane, _)| *lane != slot.lane);
                Change::Remove(*slot, left.map_or(block.rest_s, |(_, p)| self.rest(&p.id, block.rest_s)))
            }
        })
    }

    /// The warm-up that an exercise should have.
    fn warmed(&self, programme: &Programme, slot: Slot) -> Option<Change> {
        let ramp = warm::proposed(&self.scene(programme), slot.session, slot.block, slot.lane)?;
        Some(Change::Ramp(slot, ramp))
    }

    /// Rest after a set of an exercise that stands alone.
    fn rest(&self, id: &ExerciseId, otherwise: Seconds) -> Seconds {
        self.catalogue.get(id).map_or(otherwise, |e| e.rest_s)
    }

    fn name(&self, id: &ExerciseId) -> String {
        self.catalogue.get(id).map_or_else(|| id.to_string(), |e| e.name.clone())
    }

    fn block_name(&self, block: &Block) -> String {
        let names: Vec<String> = block.exercises.iter().map(|p| self.name(&p.id)).collect();
        names.join(" with ")
    }

    /// What was done, in a sentence.
    fn sentence(&self, old: &Programme, new: &Programme, edit: &MendStep) -> Option<Sentence> {
        let session = |s: usize| Some(session_name(old.sessions.get(s)?, s));
        let of = |slot: &Slot| Some((old.at(*slot)?, self.name(&old.at(*slot)?.id), session(slot.session)?));
        let block = |s: usize, b: usize| old.sessions.get(s)?.blocks.get(b);
        let words = match edit {
            MendStep::Warm(slot) | MendStep::Rewarm(slot) => {
                let ((_, name, session), ramp) = (of(slot)?, &new.at(*slot)?.ramp);
                if ramp.is_empty() {
                    return Some(format!("Leave the warm-up sets of {name} out in {session}.").into());
                }
                return Some(steps(format!("Warm up for {name} in {session} with ").into(), ramp));
            }
            MendStep::Load(slot, load) => {
                let (p, name, session) = of(slot)?;
                let before = p.load_kg?;
                let verb = if *load < before { "Lower" } else { "Raise" };
                let said = Sentence::from(format!("{verb} {name} in {session} from ")).load(before);
                return Some(said.text(" to ").load(*load).text("."));
            }
            MendStep::Order(s, a, b) => {
                let (first, second) = (block(*s, *a.max(b))?, block(*s, *a.min(b))?);
                let (first, second) = (self.block_name(first), self.block_name(second));
                format!("In {}, do {first} before {second} (swap their blocks).", session(*s)?)
            }
            MendStep::Split(s, b) => {
                let names: Vec<String> = block(*s, *b)?.exercises.iter().map(|p| self.name(&p.id)).collect();
                let names = crate::words::list(&names);
                format!("In {}, do {names} one after the other in straight blocks.", session(*s)?)
            }
            MendStep::Join(s, a, _) => {
                let joined = new.sessions.get(*s)?.blocks.get(*a)?;
                let (names, rest_s) = (self.block_name(joined), joined.rest_s.get());
                format!("In {}, alternate {names}, with {rest_s} s of rest after a round.", session(*s)?)
            }
            MendStep::DropSet(slot) | MendStep::AddSet(slot) => {
                let ((p, name, session), left) = (of(slot)?, new.at(*slot)?.sets);
                let (verb, remain) = match (left < p.sets, left) {
                    (true, 1) => ("Drop", "remains"),
                    (true, _) => ("Drop", "remain"),
                    (false, _) => ("Add", "then"),
                };
                format!("{verb} a set of {name} in {session}; {} {remain}.", count(left, "set"))
            }
            MendStep::Day(s, day) => format!("Move {} to day {day}.", session(*s)?),
            MendStep::Swap(slot, id) => {
                let (_, name, session) = of(slot)?;
                format!("Do {} instead of {name} in {session}.", self.name(id))
            }
            MendStep::Add(s, id) => {
                let sets = count(new.sessions.get(*s)?.prescriptions().last()?.sets, "set");
                format!("Add {sets} of {} to {}.", self.name(id), session(*s)?)
            }
            MendStep::Drop(slot) => {
                let (_, name, session) = of(slot)?;
                format!("Take {name} out of {session}.")
            }
        };
        Some(words.into())
    }

    /// An exercise as it would be prescribed, its load to be found on the day.
    fn fresh(&self, exercise: &Exercise) -> Prescription {
        let scheme = self.brief.map(|b| scheme(exercise, b.goal, b.training_age));
        let (reps, rir) = scheme.map_or((exercise.reps, 2), |s| (s.reps, s.rir));
        let first = self.brief.is_some_and(|b| b.training_age == TrainingAge::FirstWeeks);
        let sets = if first { 1 } else { 2 };
        Prescription { id: exercise.id.clone(), sets, reps, rir, load_kg: None, ramp: Vec::new() }
    }

    /// Adds the warm-up that an edit has made necessary, and names the exercises.
    fn keep_warm(&self, before: &Programme, new: &mut Programme, session: usize) -> Vec<String> {
        let missing_before = warm::unwarmed(&self.scene(before), session);
        let copy = new.clone();
        let scene = self.scene(&copy);
        let mut names = Vec::new();
        for (block, lane, id) in warm::unwarmed(&scene, session) {
            if missing_before.iter().any(|(_, _, old)| *old == id) {
                continue;
            }
            let Some(ramp) = warm::proposed(&scene, session, block, lane) else { continue };
            if let Ok(warmed) = new.apply(&Change::Ramp(Slot { session, block, lane }, ramp)) {
                *new = warmed;
                names.push(self.name(&id));
            }
        }
        names
    }
}

/// Steps of a warm-up behind other words: "5 x 40 kg, 3 x 60 kg reps."
fn steps(before: Sentence, ramp: &[RampStep]) -> Sentence {
    let said = |(so_far, between): (Sentence, &'static str), s: &RampStep| {
        let so_far = so_far.text(format!("{between}{}", s.reps));
        let step = match s.load_kg {
            Some(load) => so_far.text(" x ").load(load),
            None => so_far,
        };
        (step, ", ")
    };
    ramp.iter().fold((before, ""), said).0.text(" reps.")
}

fn session_name(session: &Session, s: usize) -> String {
    format!("session {} (day {})", s + 1, session.day)
}
