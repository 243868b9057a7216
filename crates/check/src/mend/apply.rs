//! Carries an edit out on a copy of a programme and says it in a sentence. It judges nothing.

use super::edit::{Edit, Place};
use crate::client::Client;
use crate::rules::warm_up as warm;
use crate::scene::{Scene, rules_of};
use crate::words::{count, kg};
use setwright_model::brief::TrainingAge;
use setwright_model::limits::SETS_AUDIT_MAX;
use setwright_model::{
    Belief, Block, BlockKind, Brief, Catalogue, Exercise, ExerciseId, Kilograms, Prescription, Programme,
    Seconds, Session,
};
use setwright_science::prescribe::scheme;
use std::rc::Rc;

/// Rest after a round of a new alternating block, at least: about 30 s (common practice, no source (T)).
const ROUND_REST_S_MIN: f64 = 30.0;

/// What edits are made with.
pub(super) struct Bench<'a> {
    pub brief: Option<&'a Brief>,
    pub catalogue: &'a Catalogue,
    pub belief: &'a Belief,
    client: Rc<Client<'a>>,
}

impl<'a> Bench<'a> {
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
    pub fn apply(&self, programme: &Programme, edit: &Edit) -> Option<(Programme, String)> {
        let mut new = programme.clone();
        let mut sentence = match edit {
            Edit::Warm(place) | Edit::Rewarm(place) => self.warm(&mut new, *place)?,
            Edit::Load(place, load) => self.load(&mut new, *place, *load)?,
            Edit::Order(s, a, b) => self.order(new.sessions.get_mut(*s)?, (*s, *a, *b))?,
            Edit::Split(s, b) => self.split(new.sessions.get_mut(*s)?, *s, *b)?,
            Edit::Join(s, a, b) => self.join(new.sessions.get_mut(*s)?, (*s, *a, *b))?,
            Edit::DropSet(place) => self.sets(&mut new, *place, -1)?,
            Edit::AddSet(place) => self.sets(&mut new, *place, 1)?,
            Edit::Day(s, day) => move_day(&mut new, *s, *day)?,
            Edit::Swap(place, id) => self.swap(&mut new, *place, id)?,
            Edit::Add(s, id) => self.add(new.sessions.get_mut(*s)?, *s, id)?,
            Edit::Drop(place) => self.drop(&mut new, *place)?,
        };
        let touched = match edit {
            Edit::Swap(place, _) | Edit::Drop(place) => Some(place.session),
            Edit::Order(s, ..) | Edit::Add(s, _) => Some(*s),
            _ => None,
        };
        if let Some(names) = touched.map(|s| self.keep_warm(programme, &mut new, s)).filter(|n| !n.is_empty())
        {
            sentence = format!("{sentence} Warm up for {}.", names.join(", "));
        }
        Some((new, sentence))
    }

    fn name(&self, id: &ExerciseId) -> String {
        self.catalogue.get(id).map_or_else(|| id.to_string(), |e| e.name.clone())
    }

    fn warm(&self, new: &mut Programme, place: Place) -> Option<String> {
        let scene_of = new.clone();
        let scene = self.scene(&scene_of);
        let ramp = warm::proposed(&scene, place.session, place.block, place.lane)?;
        let p = prescription(new, place)?;
        let steps: Vec<String> = ramp
            .iter()
            .map(|s| {
                s.load_kg.map_or_else(|| s.reps.to_string(), |l| format!("{} x {}", s.reps, kg(l.get())))
            })
            .collect();
        p.ramp = ramp;
        let id = p.id.clone();
        let session = session_name(new.sessions.get(place.session)?, place.session);
        if steps.is_empty() {
            return Some(format!("Leave the warm-up sets of {} out in {session}.", self.name(&id)));
        }
        Some(format!("Warm up for {} in {session} with {} reps.", self.name(&id), steps.join(", ")))
    }

    fn load(&self, new: &mut Programme, place: Place, load: Kilograms) -> Option<String> {
        let p = prescription(new, place)?;
        let before = p.load_kg.replace(load)?;
        let is_warm = warm::is_light(p);
        let id = p.id.clone();
        let session = session_name(new.sessions.get(place.session)?, place.session);
        if !is_warm {
            self.warm(new, place)?;
        }
        let verb = if load < before { "Lower" } else { "Raise" };
        Some(format!(
            "{verb} {} in {session} from {} to {}.",
            self.name(&id),
            kg(before.get()),
            kg(load.get())
        ))
    }

    fn sets(&self, new: &mut Programme, place: Place, by: i32) -> Option<String> {
        let p = prescription(new, place)?;
        p.sets = p.sets.checked_add_signed(by).filter(|n| (1..=SETS_AUDIT_MAX).contains(n))?;
        let (id, left) = (p.id.clone(), p.sets);
        let session = session_name(new.sessions.get(place.session)?, place.session);
        let verb = if by < 0 { "Drop a set of" } else { "Add a set of" };
        let remain = if by < 0 && left == 1 {
            "remains"
        } else if by < 0 {
            "remain"
        } else {
            "then"
        };
        Some(format!("{verb} {} in {session}; {} {remain}.", self.name(&id), count(left, "set")))
    }

    fn order(&self, session: &mut Session, (s, a, b): (usize, usize, usize)) -> Option<String> {
        if a.max(b) >= session.blocks.len() || a == b {
            return None;
        }
        session.blocks.swap(a, b);
        let first = self.block_name(&session.blocks[a.min(b)]);
        let second = self.block_name(&session.blocks[a.max(b)]);
        Some(format!("In {}, do {first} before {second} (swap their blocks).", session_name(session, s)))
    }

    fn block_name(&self, block: &Block) -> String {
        let names: Vec<String> = block.exercises.iter().map(|p| self.name(&p.id)).collect();
        names.join(" with ")
    }

    fn split(&self, session: &mut Session, s: usize, b: usize) -> Option<String> {
        let block = session.blocks.get(b).filter(|x| x.exercises.len() > 1)?.clone();
        let straight: Vec<Block> =
            block.exercises.iter().map(|p| self.straight(p.clone(), block.rest_s)).collect();
        session.blocks.splice(b..=b, straight);
        let names = crate::words::list(&block.exercises.iter().map(|p| self.name(&p.id)).collect::<Vec<_>>());
        Some(format!("In {}, do {names} one after the other in straight blocks.", session_name(session, s)))
    }

    fn straight(&self, p: Prescription, otherwise: Seconds) -> Block {
        let rest_s = self.catalogue.get(&p.id).map_or(otherwise, |e| e.rest_s);
        Block { kind: BlockKind::Straight, rest_s, exercises: vec![p] }
    }

    fn join(&self, session: &mut Session, (s, a, b): (usize, usize, usize)) -> Option<String> {
        if a >= b || b >= session.blocks.len() {
            return None;
        }
        let second = session.blocks.remove(b);
        let first = &mut session.blocks[a];
        first.kind = BlockKind::Alternating;
        first.rest_s = Seconds((first.rest_s.min(second.rest_s).get() / 2.0).max(ROUND_REST_S_MIN));
        first.exercises.extend(second.exercises);
        let (names, rest_s) = (self.block_name(first), first.rest_s.get());
        Some(format!(
            "In {}, alternate {names}, with {rest_s} s of rest after a round.",
            session_name(session, s)
        ))
    }

    fn swap(&self, new: &mut Programme, place: Place, id: &ExerciseId) -> Option<String> {
        let exercise = self.catalogue.get(id)?;
        let fresh = self.fresh(exercise);
        let p = prescription(new, place)?;
        let old = std::mem::replace(p, Prescription { sets: p.sets, ..fresh });
        let session = session_name(new.sessions.get(place.session)?, place.session);
        Some(format!("Do {} instead of {} in {session}.", exercise.name, self.name(&old.id)))
    }

    /// An exercise as it would be prescribed, its load to be found on the day.
    fn fresh(&self, exercise: &Exercise) -> Prescription {
        let scheme = self.brief.map(|b| scheme(exercise, b.goal, b.training_age));
        let (reps, rir) = scheme.map_or((exercise.reps, 2), |s| (s.reps, s.rir));
        let first = self.brief.is_some_and(|b| b.training_age == TrainingAge::FirstWeeks);
        let sets = if first { 1 } else { 2 };
        Prescription { id: exercise.id.clone(), sets, reps, rir, load_kg: None, ramp: Vec::new() }
    }

    fn add(&self, session: &mut Session, s: usize, id: &ExerciseId) -> Option<String> {
        let exercise = self.catalogue.get(id)?;
        let p = self.fresh(exercise);
        let sets = count(p.sets, "set");
        session.blocks.push(self.straight(p, exercise.rest_s));
        Some(format!("Add {sets} of {} to {}.", exercise.name, session_name(session, s)))
    }

    fn drop(&self, new: &mut Programme, place: Place) -> Option<String> {
        let session = new.sessions.get_mut(place.session)?;
        if session.prescriptions().count() < 2 {
            return None;
        }
        let block = session.blocks.get_mut(place.block)?;
        if place.lane >= block.exercises.len() {
            return None;
        }
        let out = block.exercises.remove(place.lane);
        match &block.exercises[..] {
            [] => drop(session.blocks.remove(place.block)),
            [last] => *block = self.straight(last.clone(), block.rest_s),
            _ => {}
        }
        Some(format!("Take {} out of {}.", self.name(&out.id), session_name(session, place.session)))
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
            if let Some(p) = prescription(new, Place { session, block, lane }) {
                p.ramp = ramp;
                names.push(self.name(&id));
            }
        }
        names
    }
}

fn move_day(new: &mut Programme, s: usize, day: u32) -> Option<String> {
    let session = new.sessions.get_mut(s)?;
    let sentence = format!("Move {} to day {day}.", session_name(session, s));
    session.day = day;
    new.sessions.sort_by_key(|s| s.day);
    Some(sentence)
}

fn prescription(programme: &mut Programme, place: Place) -> Option<&mut Prescription> {
    let block = programme.sessions.get_mut(place.session)?.blocks.get_mut(place.block)?;
    block.exercises.get_mut(place.lane)
}

fn session_name(session: &Session, s: usize) -> String {
    format!("session {} (day {})", s + 1, session.day)
}
