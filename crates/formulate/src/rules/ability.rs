//! What this client can do: nothing whose lowest reps are out of reach, nothing that no longer asks anything of them.

use super::conditions::Conditions;
use super::{Client, Rule, movements};
use setwright_model::brief::{Goal, TrainingAge};
use setwright_model::exercise::{Exercise, LoadKind, Measure};
use setwright_model::pattern::Side;
use setwright_model::{ExerciseId, Kilograms, Muscle, Pattern, Share, Station};
use setwright_science::capability::{self, BodyAlone};
use setwright_science::chair_rises::weight_waits;
use setwright_science::conditions::fails_under;

/// Least chance of the lowest reps at which an exercise is given, and the same where the body is the load and something
/// easier for the movement stands in the room (judgement).
const LEAST_CHANCE: f64 = capability::CHANCE_LEAST;
const EVEN_CHANCE: f64 = 0.5;
/// The same where machines stand, which can be set to anybody (judgement).
const SURE_CHANCE: f64 = 0.7;
/// 1RM of a squat or pull, and of a press, as shares of body mass, beyond which what one hand holds is no work set for
/// the same movement (judgement).
const STRONG_LEGS: f64 = 1.25;
const STRONG_PRESS: f64 = 1.2;
/// The same of a squat or pull for what is held in two hands (judgement: two bells of 35 kg are half of such a deadlift).
const STRONG_FOR_TWO_BELLS: f64 = 1.6;
/// How much more is pulled from the floor than squatted (van den Hoek 2024 (A): 1.15 to 1.18).
const PULL_OVER_SQUAT: f64 = 1.2;
/// Body mass where the brief names none (judgement: only for whether a load is light).
const USUAL_MASS_KG: f64 = 75.0;

/// The rule.
pub struct Ability;

impl Rule for Ability {
    fn name(&self) -> &'static str {
        "ability"
    }

    fn is_odd(&self, e: &Exercise, c: &Client<'_>) -> bool {
        let own = c.is_told(e) || c.is_locked(e) || c.first_weeks();
        !own && e.pattern.is_compound() && leaves_far_more(e, c)
    }

    fn keeps_out(&self, e: &Exercise, c: &Client<'_>) -> Option<String> {
        if c.is_locked(e) {
            return None;
        }
        if let Some(muscle) = holds_for_a_least(e, c) {
            return Some(format!("a hold is no set of what is asked for the {muscle}"));
        }
        if c.is_told(e) {
            // What was done once is not yet a set.
            return (chance_of(e, c) < LEAST_CHANCE)
                .then(|| "the lowest reps are out of reach yet".to_owned());
        }
        let why = why_not(e, c)?;
        (!may_stand_in(e, c) || !is_alone(e, c)).then(|| why.to_owned())
    }
}

/// Why an exercise that was neither told nor fixed is not given where something else is there.
fn why_not(e: &Exercise, c: &Client<'_>) -> Option<&'static str> {
    // What was counted in a test needs no more showing.
    let shown = is_plain_bar(e, c) || c.capability.is_tested(e);
    let taught = e.skill > c.rules.skill || (c.is_new() || c.is_older()) && e.skill >= 2 && !shown;
    Some(if taught {
        "it takes coaching first"
    } else if e.is_taxing() && !has_shown_a_bar(c) {
        "nothing told shows a heavy squat or pull"
    } else if fails_under(e) && !c.is_proven() && !has_shown(e, c) && !jumps_for_an_aim(e, c) {
        "nothing told or tested shows it, and it fails under the client"
    } else if is_few_for_the_new(e, c) {
        "few of them were counted, and an easier form comes first"
    } else if weight_waits(e, c.brief) {
        "rising from a chair comes without a weight first"
    } else if !is_likely(e, c) {
        "the lowest reps are likely out of reach"
    } else if e.measure == Measure::Reps && c.limits.reps_least > e.reps[1] {
        "it is done for fewer reps than are asked here"
    } else if lacks_its_belt(e, c) {
        "the body alone is too light, and nothing tells what to add"
    } else if is_too_light(e, c) || is_toy(e, c) {
        "the heaviest load there is asks too little"
    } else {
        return None;
    })
}

/// Press-ups that a beginner can do before they are trained as such (common practice, no source (T): the hands raised for more reps are
/// learnt better than triples near the limit).
const ENOUGH_PRESS_UPS: u32 = 8;

/// Whether a beginner was counted at so few press-ups that an easier form, where there is one, serves better.
fn is_few_for_the_new(e: &Exercise, c: &Client<'_>) -> bool {
    let few = || c.capability.chance(e, ENOUGH_PRESS_UPS, 0).is_some_and(|chance| chance.get() < EVEN_CHANCE);
    let press_up = e.pattern == Pattern::HorizontalPress && is_body(e);
    c.is_new() && press_up && c.capability.is_tested(e) && has_easier(e, c) && few()
}

/// A jump that takes no teaching, for who wants to jump better, is not old and carries no ailment.
fn jumps_for_an_aim(e: &Exercise, c: &Client<'_>) -> bool {
    let able = !c.is_older() && !c.is_returning() && !c.is_heavy_for_height() && c.care.causes().is_empty();
    e.pattern == Pattern::Jump && able && super::aims::is_reason(e, c)
}

/// Whether it may be given where nothing else serves its need: it can be taught, be done and be put down.
fn may_stand_in(e: &Exercise, c: &Client<'_>) -> bool {
    let within = e.measure != Measure::Reps || chance_of(e, c) >= LEAST_CHANCE;
    e.skill <= c.rules.skill && within && !e.is_taxing() && !fails_under(e)
}

/// The muscle with a least that a hold would count for in name only: it grows by sets of reps (common practice, no source
/// (T)). A grip is trained by holding.
fn holds_for_a_least(e: &Exercise, c: &Client<'_>) -> Option<Muscle> {
    let least = |m: &Muscle| c.brief.muscles.get(m).and_then(|w| w.least).is_some_and(|l| l.get() > 0.0);
    let held = e.measure != Measure::Reps && *e.direct.first()? != Muscle::Forearms;
    e.contributions().map(|(m, _)| m).find(|m| held && least(m))
}

/// A bar lift that a beginner is taught in a gym with a rack: kept out all the same for those who are new and old.
fn is_plain_bar(e: &Exercise, c: &Client<'_>) -> bool {
    let beginner = c.brief.training_age == TrainingAge::Beginner && !c.is_older();
    let plain = e.load == LoadKind::Bar && e.systemic <= 2 && has_neighbour(e, c);
    beginner && (plain || c.is_main(e))
}

/// Whether the client told of a lift of the same movement, or of a squat with a bar for a hinge with one.
fn has_neighbour(e: &Exercise, c: &Client<'_>) -> bool {
    let squats = |t: &Exercise| t.pattern == Pattern::Squat && t.load == LoadKind::Bar;
    c.shown().any(|t| t.pattern == e.pattern || e.pattern == Pattern::Hinge && squats(t))
}

/// Whether something told shows a bar squat or a pull from the floor.
fn has_shown_a_bar(c: &Client<'_>) -> bool {
    let strength = c.brief.goal == Goal::Strength && !c.first_weeks();
    strength
        || c.shown().any(|t| t.load == LoadKind::Bar && matches!(t.pattern, Pattern::Squat | Pattern::Hinge))
}

/// Whether the client has told of a lift of the pattern with the same kind of load.
fn has_shown(e: &Exercise, c: &Client<'_>) -> bool {
    c.shown().any(|t| t.pattern == e.pattern && is_body(t) == is_body(e) && fails_under(t))
}

fn is_loaded(e: &Exercise) -> bool {
    !is_body(e) && !matches!(e.load, LoadKind::Band | LoadKind::Assisted)
}

fn is_body(e: &Exercise) -> bool {
    matches!(e.load, LoadKind::Body | LoadKind::BodyPlus)
}

/// Whether the lowest reps are likely enough at the lightest load that can be made.
fn is_likely(e: &Exercise, c: &Client<'_>) -> bool {
    if e.measure != Measure::Reps {
        return true;
    }
    let chance = chance_of(e, c);
    if chance < LEAST_CHANCE {
        return false;
    }
    let shown = e.harder.iter().any(|h| c.shown().any(|t| t.id == *h));
    let bare = !c.room.has(Station::Dumbbells) && !c.has_bars();
    let skilled = is_body(e) && e.skill >= 2 && c.brief.training_age != TrainingAge::Advanced;
    let excused = shown || c.capability.is_tested(e) || bare && e.pattern.is_compound() || hangs(e, c);
    if skilled && !excused {
        return false;
    }
    // In a bare room what is easier than a row is hardly one; presses and legs have their easy form.
    let most = matches!(e.pattern.side(), Side::Push | Side::Knee | Side::Hip);
    let easier = if bare { most && has_easier(e, c) } else { !e.easier.is_empty() };
    // A single joint is not done in triples because its lightest load is heavy: another one waits for the client.
    let small = !e.pattern.is_compound() && is_loaded(e);
    let machines = c.has_machines() && e.pattern.is_compound();
    let even = is_body(e) && (easier || machines) && !shown || small;
    let named = super::aims::is_reason(e, c);
    let asked = if is_body(e) && machines && !named { SURE_CHANCE } else { EVEN_CHANCE };
    !even || chance >= asked
}

/// Whether nothing else in the room serves the same need of a programme: then what is hard or light for the client is better
/// than a programme without (common practice, no source (T)).
fn is_alone(e: &Exercise, c: &Client<'_>) -> bool {
    let need = movements::broad_need(e.pattern);
    let same = |x: &&Exercise| x.id != e.id && movements::broad_need(x.pattern) == need;
    let fits = |x: &&Exercise| c.room.can_do(x) && Conditions.keeps_out(x, c).is_none();
    let given = |x: &Exercise| c.is_told(x) && chance_of(x, c) >= LEAST_CHANCE || why_not(x, c).is_none();
    need.is_some() && !c.exercises().filter(same).filter(fits).any(given)
}

/// Whether something easier for the movement can be done in the room and may be.
fn has_easier(e: &Exercise, c: &Client<'_>) -> bool {
    let easier = e.easier.iter().filter_map(|id| c.exercise(id));
    easier.filter(|x| c.care.bar(x).is_none()).any(|x| c.room.can_do(x))
}

/// Whether something harder for the movement can be done in the room, may be, and is within reach.
fn has_harder(e: &Exercise, c: &Client<'_>) -> bool {
    let harder = e.harder.iter().filter_map(|id| c.exercise(id));
    let fits = |x: &&Exercise| c.care.bar(x).is_none() && c.room.can_do(x);
    harder.filter(fits).any(|x| x.skill <= c.rules.skill && is_likely(x, c))
}

/// The chance of the lowest reps at the lightest load that can be made; sure where nothing can be said.
fn chance_of(e: &Exercise, c: &Client<'_>) -> f64 {
    let scheme = c.scheme(e);
    c.capability.chance(e, scheme.reps[0], scheme.rir).map_or(1.0, Share::get)
}

/// A pull-up for somebody who has told of one.
fn hangs(e: &Exercise, c: &Client<'_>) -> bool {
    e.pattern == Pattern::VerticalPull && c.shown().any(|t| t.pattern == Pattern::VerticalPull && is_body(t))
}

/// Whether the body alone is too light and what is to be added is not known: bodyweight never stands where a belt is
/// needed.
fn lacks_its_belt(e: &Exercise, c: &Client<'_>) -> bool {
    let scheme = c.scheme(e);
    e.load == LoadKind::BodyPlus
        && c.has_bars()
        && !c.belief.one_rm.contains_key(&e.id)
        && c.capability.body_alone(e, scheme.reps, scheme.rir) == Some(BodyAlone::NeedsLoad)
}

/// Whether the heaviest that can be made leaves far more reps than are wanted, where bars are at hand or a harder form of it
/// can be done. Older clients get up from a chair whatever norms say of their legs.
fn is_too_light(e: &Exercise, c: &Client<'_>) -> bool {
    (c.has_bars() || has_harder(e, c)) && leaves_far_more(e, c)
}

/// Whether the heaviest that can be made leaves far more reps than are wanted.
fn leaves_far_more(e: &Exercise, c: &Client<'_>) -> bool {
    let scheme = c.scheme(e);
    !c.is_older()
        && e.load != LoadKind::Assisted
        && e.measure == Measure::Reps
        && c.capability.is_too_light(e, scheme.reps[1], scheme.rir)
}

/// What a client of a strong bar lift finds light though no anchor says so.
fn is_toy(e: &Exercise, c: &Client<'_>) -> bool {
    let mass = c.brief.body.mass_kg.map_or(USUAL_MASS_KG, Kilograms::get);
    let best =
        |id: &str| c.belief.one_rm.get(&ExerciseId::from(id)).map_or(0.0_f64, |b| b.one_rm.get() / mass);
    c.has_bars()
        && match e.pattern {
            Pattern::Squat | Pattern::Hinge if !e.unilateral => {
                let legs = f64::max(best("back_squat"), best("deadlift") / PULL_OVER_SQUAT);
                Client::is_hand_held(e) && legs > STRONG_LEGS || is_pair(e) && legs > STRONG_FOR_TWO_BELLS
            }
            Pattern::HorizontalPress | Pattern::InclinePress => {
                Client::is_hand_held(e) && best("bench_press") > STRONG_PRESS
            }
            _ => false,
        }
}

const fn is_pair(e: &Exercise) -> bool {
    matches!(e.load, LoadKind::DumbbellPair | LoadKind::KettlebellPair)
}
