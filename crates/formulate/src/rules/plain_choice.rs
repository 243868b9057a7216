//! Plain choices: what most coaches reach for comes before what needs a reason, and of many that do the same a few are
//! looked at.

use super::{Client, Count, Rule, Unit};
use setwright_model::brief::{Goal, Hurts, Tick, TrainingAge};
use setwright_model::exercise::{Ask, Exercise, LoadKind, Measure, Standing};
use setwright_model::pattern::{Region, Side};
use setwright_model::{Pattern, Station};
use setwright_science::aims::is_on_the_feet;
use setwright_science::conditions::{Cause, MovementKind};
use std::collections::BTreeMap;

/// Exercises of a movement that are looked at in the first weeks, by a beginner, and by anybody else, and how many more
/// where it trains what the client came for (judgement: a coach thinks of a handful, and of fewer for who is new).
const SHORT_LIST: [usize; 3] = [3, 4, 6];
const LONGER: usize = 3;
/// Visits a week up to which single joints of the upper body wait in the first weeks, and a beginner trains the whole body
/// (judgement).
const FEW_VISITS: f64 = 3.0;
/// Minutes of a cycle from which who knows a bar also hinges with one (judgement).
const BAR_HINGE_MIN: f64 = 80.0;
/// What a place further down the short list costs a session, in points: ties go to the plainer (judgement; less than
/// any difference in benefit that a coach would act on).
const PLACE_PRICE: f64 = 0.004;

/// The rule.
pub struct PlainChoice;

impl Rule for PlainChoice {
    fn name(&self) -> &'static str {
        "plain_choice"
    }

    fn is_odd(&self, e: &Exercise, c: &Client<'_>) -> bool {
        if c.is_told(e) || c.is_main(e) || c.is_locked(e) || super::aims::is_reason(e, c) {
            return false;
        }
        standing(e, c) == Standing::Special
            || is_small_and_rare(e, c)
            || is_one_handed(e, c)
            || stands_in_for_a_bench(e, c)
            || is_free_where_machines_stand(e, c)
            || is_lying_under_a_sore_shoulder(e, c)
            || is_small_in_the_first_weeks(e, c)
            || is_of_the_body_where_weights_stand(e, c)
            || is_a_bell_where_bars_are_known(e, c)
            || is_a_bell_to_hinge_with_in_a_gym(e, c)
            || is_unsteady_for_who_knows_machines(e, c)
            || is_held_by_a_spared_hand(e, c)
            || is_easy_where_machines_stand(e, c)
            || is_a_band_where_weights_stand(e, c)
            || is_hung_from_furniture(e, c)
            || is_free_for_who_needs_support(e, c)
            || is_face_down_for_who_cannot_get_there(e, c)
            || is_held_where_a_calf_machine_stands(e, c)
            || is_on_the_floor_in_a_gym(e, c)
            || is_no_staple_in_the_first_weeks(e, c)
            || lacks_its_reason(e, c)
    }

    fn share(&self, e: &Exercise, c: &Client<'_>) -> f64 {
        let standing = match standing(e, c) {
            _ if c.is_told(e) => 1.0,
            // Whatever else presses or rows is plainer where a bench stands.
            _ if stands_in_for_a_bench(e, c) => 0.4,
            Standing::Staple => 1.0,
            Standing::Usual => 0.8,
            Standing::Special => 0.5,
        };
        standing * by_load(e, c) * many_direct(e) * if c.first_weeks() { plainness(e) } else { 1.0 }
    }

    fn counts(&self, c: &Client<'_>) -> Vec<Count> {
        // A beginner's two or three whole-body sessions hold the told squat first.
        let split = !c.is_new() || f64::from(c.brief.time.sessions) / c.weeks() > FEW_VISITS;
        let roomy = split && c.cycle_minutes() >= BAR_HINGE_MIN && c.brief.goal != Goal::Strength;
        if !roomy || !c.knows_a_bar() || !c.may_hinge_with_a_bar() {
            return Vec::new();
        }
        let of_bar =
            |e: &Exercise, _: &Client<'_>| i16::from(e.pattern == Pattern::Hinge && e.load == LoadKind::Bar);
        let hinge = Count::new("plain_choice", "a hinge with a bar", Unit::Exercise, of_bar);
        vec![Count { cycle_least: Some(1), weight: 2, ..hinge }]
    }

    fn price(&self, e: &Exercise, _mode: crate::modes::Mode, c: &Client<'_>) -> f64 {
        let order = order(e, c);
        PLACE_PRICE * f64::from(order.1) + PLACE_PRICE / 100.0 * f64::from(order.2.min(100))
    }
}

/// A single joint for a new or older client that is not a staple.
fn is_small_and_rare(e: &Exercise, c: &Client<'_>) -> bool {
    let trunk = e.pattern.region() == Region::Trunk;
    !e.pattern.is_compound()
        && !c.is_seasoned()
        && e.standing != Standing::Staple
        && !trunk
        && e.pattern != Pattern::KneeFlexion
        && !c.is_wanted(e)
        && !c.is_asked_for(e)
}

/// A trained client where there are bars squats and hinges with more than one bell, and a new one does not lunge with
/// nothing in the hands.
fn is_one_handed(e: &Exercise, c: &Client<'_>) -> bool {
    let one_bell =
        matches!(e.load, LoadKind::Dumbbell | LoadKind::Kettlebell | LoadKind::Single) && !e.unilateral;
    // Who already does it with a bar is past one bell, however new.
    let past = || c.shown().any(|t| t.pattern == e.pattern && t.load == LoadKind::Bar);
    let light_legs =
        one_bell && matches!(e.pattern, Pattern::Squat | Pattern::Hinge) && (c.is_seasoned() || past());
    let bare_lunge = e.unilateral && e.load == LoadKind::Body && e.pattern == Pattern::Lunge && !c.is_older();
    c.has_bars() && (light_legs || bare_lunge)
}

/// Presses and rows off a chair are for homes: where there is a bench one sits on it (common practice, no source (T)).
fn stands_in_for_a_bench(e: &Exercise, c: &Client<'_>) -> bool {
    c.has_bench() && e.stations.contains(&Station::Chair) && e.pattern.region() == Region::Upper
}

/// Where benches and machines stand nobody lies down on the floor to press (common practice, no source (T)).
fn is_on_the_floor_in_a_gym(e: &Exercise, c: &Client<'_>) -> bool {
    let presses = e.pattern == Pattern::HorizontalPress && e.load != LoadKind::Body;
    presses && e.stations.contains(&Station::Floor) && c.has_machines() && !c.limits.pulls_lead
}

/// In the first weeks one presses, pulls and bends the hip where most begin, if that stands there: no landmine, no two cables, no
/// pad across the hips (common practice, no source (T)).
fn is_no_staple_in_the_first_weeks(e: &Exercise, c: &Client<'_>) -> bool {
    let upper = e.pattern.region() == Region::Upper && e.standing != Standing::Staple;
    let hip = e.pattern == Pattern::HipExtension && e.load != LoadKind::Body;
    c.first_weeks() && c.has_machines() && e.pattern.is_compound() && (upper || hip)
}

/// In the first weeks the legs learn in machines where machines stand, before they balance, and whoever is new and told of
/// nothing for the legs does not begin with lunges there (common practice, no source (T)).
fn is_free_where_machines_stand(e: &Exercise, c: &Client<'_>) -> bool {
    let held = matches!(e.load, LoadKind::Dumbbell | LoadKind::DumbbellPair | LoadKind::Kettlebell);
    let bare = e.load == LoadKind::Body && !c.is_older();
    let lunge = e.pattern == Pattern::Lunge;
    let free = lunge || e.pattern == Pattern::Squat && (held || bare);
    let legs = |t: &Exercise| t.pattern.region() == Region::Lower && t.pattern.is_compound();
    let new_to_legs = || c.is_new() && !c.shown().any(legs);
    c.has_machines() && (free && c.first_weeks() || lunge && new_to_legs())
}

/// Who squats or pulls with a bar hinges with one: a deadlift with bells is for homes, and for those who cannot yet (common
/// practice, no source (T)).
fn is_a_bell_where_bars_are_known(e: &Exercise, c: &Client<'_>) -> bool {
    is_bell_hinge(e) && c.has_bars() && c.knows_a_bar() && c.may_hinge_with_a_bar()
}

/// A hinge on both legs with bells.
fn is_bell_hinge(e: &Exercise) -> bool {
    e.pattern == Pattern::Hinge && is_held(e) && !e.unilateral
}

/// In a gym with machines nobody begins with bells from the floor by feel: a Romanian deadlift, a thrust or a curl of the
/// legs has a path and steps (common practice, no source (T)).
fn is_a_bell_to_hinge_with_in_a_gym(e: &Exercise, c: &Client<'_>) -> bool {
    let pair = matches!(e.load, LoadKind::DumbbellPair | LoadKind::KettlebellPair);
    is_bell_hinge(e) && !(pair && e.standing == Standing::Staple) && c.has_machines()
}

/// A press or squat in which hardly half of the body is moved stands beside no machine for who is past the first steps
/// (common practice, no source (T)); from 65 years on rising from a chair is trained beside any.
fn is_easy_where_machines_stand(e: &Exercise, c: &Client<'_>) -> bool {
    if c.is_older() && is_on_the_feet(e) {
        return false;
    }
    let past = c.knows_only_machines() || !c.is_new();
    let body = matches!(e.load, LoadKind::Body | LoadKind::BodyPlus);
    body && is_easy(e) && past && c.has_machines()
}

/// Who knows machines, spares the back or comes back, goes on in machines where they stand, before balancing or standing under bells; and
/// two bells on the shoulders come after the leg press for everybody (common practice, no source (T)).
fn is_unsteady_for_who_knows_machines(e: &Exercise, c: &Client<'_>) -> bool {
    let held = is_held(e);
    let on_shoulders = held && e.pattern == Pattern::Squat && e.asks.contains(&Ask::SpineLoad);
    if !c.has_machines() || c.is_wanted(e) || !held {
        return false;
    }
    let unsteady = matches!(e.pattern, Pattern::Lunge | Pattern::Squat)
        || e.pattern == Pattern::VerticalPress && !e.stations.contains(&Station::Bench);
    on_shoulders || unsteady && (c.knows_only_machines() || c.is_returning() || c.spares(Ask::SpineLoad))
}

/// Loaded with bells.
const fn is_held(e: &Exercise) -> bool {
    matches!(
        e.load,
        LoadKind::Dumbbell | LoadKind::DumbbellPair | LoadKind::Kettlebell | LoadKind::KettlebellPair
    )
}

/// A band stands in for weights that are not there: where bars and bells are, compounds are done with them (common practice,
/// no source (T)).
fn is_a_band_where_weights_stand(e: &Exercise, c: &Client<'_>) -> bool {
    let has = |station| c.room.has(station);
    let pull = e.pattern.side() == Side::Pull;
    e.load == LoadKind::Band
        && e.pattern.is_compound()
        && (c.has_bars() && has(Station::Dumbbells) || pull && has(Station::Cable))
}

/// A row under a table or in a doorway is for rooms with nothing else to row: no bell, no bar, no cable, no rings (common
/// practice, no source (T)).
fn is_hung_from_furniture(e: &Exercise, c: &Client<'_>) -> bool {
    let furniture = |x: &Exercise| {
        x.load == LoadKind::Body && x.stations.iter().all(|s| matches!(s, Station::Chair | Station::Floor))
    };
    let row = e.pattern == Pattern::HorizontalRow;
    let better = |x: &&Exercise| {
        x.pattern == e.pattern
            && x.load != LoadKind::Band
            && standing(x, c) != Standing::Special
            && !furniture(x)
    };
    let there = |x: &Exercise| c.room.can_do(x) && c.keeps_out(x).is_none();
    row && furniture(e) && c.exercises().filter(better).any(there)
}

/// Who is new and comes with a condition, or far too heavy, begins seated or guided: no hinge where machines
/// stand, nothing that folds the trunk under a heavy body or that one climbs into under a pad, no lunges in the months after a birth (common practice, no source (T)).
fn is_free_for_who_needs_support(e: &Exercise, c: &Client<'_>) -> bool {
    if !c.is_new() || c.is_wanted(e) {
        return false;
    }
    let heavy = c.is_heavy_for_height();
    let unsteady = heavy || !c.brief.conditions.is_empty();
    let nothing_free = || !c.shown().any(|t| is_held(t) && t.pattern.is_compound());
    let first = c.first_weeks() || heavy && nothing_free();
    let free = is_held(e) && e.pattern.is_compound() && first;
    unsteady && (e.pattern == Pattern::Hinge || free) && c.has_machines()
        || heavy && first && c.has_machines() && e.pattern == Pattern::HipExtension
        || heavy && e.pattern == Pattern::TrunkFlexion
        || c.spares_the_pelvic_floor() && e.pattern == Pattern::Lunge
}

/// Nobody who is far too heavy, cannot get down to the floor or whose knees hurt climbs face down onto a bench (common practice, no
/// source (T)).
fn is_face_down_for_who_cannot_get_there(e: &Exercise, c: &Client<'_>) -> bool {
    let floor = c.brief.cannot.contains(&Tick::FloorAndUp);
    let knees = c.brief.hurts.contains(&Hurts::Kneeling);
    let bench = e.pattern == Pattern::BackExtension && e.load != LoadKind::Stack;
    (c.is_heavy_for_height() || floor || knees) && (e.asks.contains(&Ask::LyingProne) || bench)
}

/// Where machines stand calves are not raised with bells, which the hands give up before them (common practice, no source (T)).
fn is_held_where_a_calf_machine_stands(e: &Exercise, c: &Client<'_>) -> bool {
    e.pattern == Pattern::CalfRaise && is_held(e) && c.has_machines() && !c.is_new()
}

/// A hand that is spared holds no bells where machines stand (common practice, no source (T)).
fn is_held_by_a_spared_hand(e: &Exercise, c: &Client<'_>) -> bool {
    let spared = c
        .care
        .causes()
        .iter()
        .any(|cause| matches!(cause, Cause::SparedGrip | Cause::Hurts(Hurts::Gripping)));
    is_held(e) && spared && c.has_machines()
}

/// A shoulder that is spared presses in a machine, where one stands, and not with bells over somebody who lies down; one that
/// is spared overhead and at its end does not raise bells to the side unless that is what it came for (common practice, no
/// source (T)).
fn is_lying_under_a_sore_shoulder(e: &Exercise, c: &Client<'_>) -> bool {
    let spared = c.limits.pulls_lead || c.spares(Ask::Overhead) || c.spares(Ask::ShoulderExtreme);
    let raised = c.spares(Ask::Overhead)
        && c.spares(Ask::ShoulderExtreme)
        && matches!(e.pattern, Pattern::LateralRaise | Pattern::FrontRaise)
        && !c.is_wanted(e);
    raised || spared && c.has_machines() && MovementKind::FreeWeightLying.fits(e)
}

/// The few movements of the first weeks are presses, pulls and legs; a single joint of the upper body waits (common practice,
/// no source (T)).
fn is_small_in_the_first_weeks(e: &Exercise, c: &Client<'_>) -> bool {
    // With many visits something small is all that is left to vary.
    let few = f64::from(c.brief.time.sessions) / c.weeks() <= FEW_VISITS;
    let waits = few && e.pattern.region() == Region::Upper;
    let wanted = c.is_wanted(e) || c.is_asked_for(e) || super::spared_shoulder::wants_rear(c);
    c.first_weeks() && !e.pattern.is_compound() && waits && !wanted
}

/// Nobody presses the body overhead where there is something to press.
fn is_of_the_body_where_weights_stand(e: &Exercise, c: &Client<'_>) -> bool {
    let weights = c.has_bars() || c.room.has(Station::Dumbbells);
    e.pattern == Pattern::VerticalPress && e.load == LoadKind::Body && weights
}

/// How plain a choice an exercise is for this client: what is special for others is usual for whom the whole movement is
/// spared, in the same station (common practice, no source (T): the stop of the sledge is set higher).
fn standing(e: &Exercise, c: &Client<'_>) -> Standing {
    let whole = |x: &Exercise| {
        x.pattern == e.pattern && x.stations == e.stations && x.asks.iter().any(|ask| c.spares(*ask))
    };
    let spared =
        e.standing == Standing::Special && e.harder.iter().filter_map(|id| c.exercise(id)).any(whole);
    let step = e.standing == Standing::Special && super::aims::is_reason(e, c);
    if spared || step { Standing::Usual } else { e.standing }
}

/// Movements that are for a muscle that matters, or for a kind of client.
fn lacks_its_reason(e: &Exercise, c: &Client<'_>) -> bool {
    let wish = c.is_wanted(e) || c.is_asked_for(e);
    let goal = c.brief.goal;
    match e.pattern {
        Pattern::RearFly => !wish && !c.is_seasoned() && !super::spared_shoulder::wants_rear(c),
        Pattern::ChestFly | Pattern::Pullover => !(wish || c.is_seasoned() && goal == Goal::Size),
        Pattern::FrontRaise
        | Pattern::Shrug
        | Pattern::HipAbduction
        | Pattern::HipAdduction
        | Pattern::Wrist
        | Pattern::GripHold
        | Pattern::SideBend => !wish,
        Pattern::UprightRow => true,
        // No set for any muscle that is counted: for a sport, a joint or speed, which a coach locks.
        p if !p.has_dose() => true,
        // Dips take the shoulder to its end: for trained clients who want size or strength; with help never there.
        Pattern::Dip => {
            !c.is_proven() || goal == Goal::General || matches!(e.load, LoadKind::Assisted | LoadKind::Body)
        }
        Pattern::WholeBody => goal != Goal::General || !c.is_seasoned(),
        // Something is carried for everyday life or for the grip, not to fill a round.
        Pattern::Carry => {
            !wish && (goal != Goal::General || c.care.causes().iter().any(|c| *c != Cause::Older))
        }
        _ => false,
    }
}

/// Light loads that cannot be made heavier serve a trained lifter less, and strength is trained with bars (judgement).
fn by_load(e: &Exercise, c: &Client<'_>) -> f64 {
    let trained = !c.is_new();
    let trunk = e.pattern.region() == Region::Trunk;
    let strength = c.brief.goal == Goal::Strength;
    let whole = if e.pattern == Pattern::WholeBody { 0.45 } else { 1.0 };
    let carried = if e.pattern == Pattern::Carry && c.brief.goal != Goal::General { 0.85 } else { 1.0 };
    let legs = matches!(e.pattern, Pattern::Squat | Pattern::Lunge);
    let load = match e.load {
        LoadKind::Band if trained || strength => 0.75,
        // What cannot be made heavier gives way to what can, where that stands there.
        LoadKind::Body if c.has_machines() && legs && !c.is_older() => 0.6,
        // Who already presses with the legs in a machine does not go back to sitting down and getting up.
        LoadKind::Body
            if legs && c.is_older() && !c.is_new() && c.has_machines() && c.knows_only_machines() =>
        {
            0.6
        }
        LoadKind::Body if c.is_older() => 1.0,
        LoadKind::Body if c.brief.training_age != TrainingAge::FirstWeeks && is_easy(e) => 0.4,
        LoadKind::Body | LoadKind::BodyPlus if trained && e.pattern == Pattern::Lunge => 0.7,
        LoadKind::Body if trained && !trunk => 0.7,
        // What lies on the floor and moves an arm and a leg is for learning, where something to load stands.
        LoadKind::Body if c.is_seasoned() && lies_down(e) && c.has_machines() => 0.7,
        LoadKind::Body if trained && e.pattern == Pattern::TrunkBrace && e.skill == 1 => 0.85,
        LoadKind::Kettlebell if trained && e.pattern.is_compound() => 0.85,
        LoadKind::Single if trained && !trunk => 0.85,
        LoadKind::Band | LoadKind::Kettlebell | LoadKind::KettlebellPair if !strength => 0.95,
        LoadKind::Bar => 1.0,
        _ if strength && e.pattern.is_compound() => 0.9,
        _ => 1.0,
    };
    load * whole * carried
}

/// Trunk work on the floor without a load.
fn lies_down(e: &Exercise) -> bool {
    e.pattern.region() == Region::Trunk && e.measure == Measure::Reps && e.stations.contains(&Station::Floor)
}

/// A compound in which less than half of the body is moved, or a plain squat with nothing in the hands: once the first
/// weeks are over it is no work set any more (judgement).
fn is_easy(e: &Exercise) -> bool {
    let share = e.body_share.get();
    let both_legs = e.pattern == Pattern::Squat && !e.unilateral && e.skill == 1;
    e.pattern.is_compound() && e.step_kg.get() <= 0.0 && (share < 0.5 || both_legs)
}

/// In the first weeks a client meets one plain movement at a time (judgement): anything that has to be taught, is not a
/// staple, or moves the whole body at once waits.
fn plainness(e: &Exercise) -> f64 {
    let taught = if e.skill > 1 { 0.8 } else { 1.0 };
    let rare = if e.standing == Standing::Staple { 1.0 } else { 0.7 };
    let many = if matches!(e.pattern, Pattern::WholeBody | Pattern::Carry) { 0.3 } else { 1.0 };
    taught * rare * many
}

/// One muscle ends a set; of several direct ones the others get less than a whole set (judgement).
fn many_direct(e: &Exercise) -> f64 {
    match e.direct.len() {
        0 | 1 => 1.0,
        2 => 0.9,
        _ => 0.7,
    }
}

/// The order in which exercises of a movement come to mind: what the client does, then what is plain, quick to set up
/// and learnt soon.
fn order(e: &Exercise, c: &Client<'_>) -> (bool, u32, u32, u8) {
    let rank = match standing(e, c) {
        _ if c.is_told(e) || c.is_locked(e) => 0,
        _ if super::aims::is_reason(e, c) => 1,
        Standing::Staple => 1,
        Standing::Usual => 2,
        Standing::Special => 3,
    };
    (!c.is_told(e), rank, e.setup_s.get() as u32, e.skill)
}

/// Of the exercises of each movement those that are looked at. What is told, locked or was done before always is; of the
/// others the first few of the coach's mind, one at least in each way of loading that a room may leave free.
pub fn short_list<'a>(all: Vec<&'a Exercise>, c: &Client<'_>) -> Vec<&'a Exercise> {
    let before = |e: &Exercise| {
        c.brief
            .style
            .before
            .as_ref()
            .is_some_and(|p| p.sessions.iter().any(|s| s.prescriptions().any(|x| x.id == e.id)))
    };
    let odd = |e: &Exercise| super::RULES.iter().any(|r| r.is_odd(e, c));
    let fixed = |e: &Exercise| c.is_told(e) || c.is_main(e) || c.is_locked(e) || before(e);
    let mut by_pattern: BTreeMap<(Pattern, bool), Vec<&Exercise>> = BTreeMap::new();
    for e in &all {
        let plain = fixed(e) || !odd(e);
        by_pattern.entry((e.pattern, plain)).or_default().push(e);
    }
    let short = match c.brief.training_age {
        TrainingAge::FirstWeeks => SHORT_LIST[0],
        TrainingAge::Beginner => SHORT_LIST[1],
        TrainingAge::Intermediate | TrainingAge::Advanced => SHORT_LIST[2],
    };
    let lacks_plain = |pattern: Pattern, need: fn(Pattern) -> Option<super::movements::Need>| {
        need(pattern).is_some_and(|n| !by_pattern.keys().any(|(p, ok)| *ok && need(*p) == Some(n)))
    };
    // And where the coach asks a least of a muscle for which there is nothing else.
    let is_all_there_is = |e: &Exercise| {
        c.is_asked_for(e) && !all.iter().any(|x| x.prime() == e.prime() && (fixed(x) || !odd(x)))
    };
    let mut kept: Vec<&Exercise> = Vec::new();
    for ((pattern, plain), mut list) in by_pattern.clone() {
        // What needs a reason stands in only where a movement that every programme has would otherwise be missing.
        let alone = lacks_plain(pattern, super::movements::serves)
            || lacks_plain(pattern, super::movements::last_need);
        list.retain(|e| plain || alone || is_all_there_is(e));
        list.sort_by_key(|e| (!fixed(e), order(e, c), e.id.clone()));
        let wanted = list.iter().any(|e| c.is_wanted(e));
        let most = short + if wanted { LONGER } else { 0 };
        let own = list.iter().filter(|e| fixed(e)).count();
        kept.extend(list.into_iter().take(most.max(own)));
    }
    all.into_iter().filter(|e| kept.iter().any(|k| k.id == e.id)).collect()
}
