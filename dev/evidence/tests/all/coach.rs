//! What a coach would look for in the demo roster's programmes: acceptance tests of the planner as a whole.
//!
//! Each client is planned once with a seed and a count of moves, and judged by the check. What is common practice
//! has no source (T).

use setwright_check::{Report, audit, certify};
use setwright_gym::catalogue::builtin;
use setwright_model::brief::{MinutesPerSession, Priority};
use setwright_model::pattern::Side;
use setwright_model::{
    Block, BlockKind, Brief, Exercise, FractionalSets, Hours, Minutes, Muscle, Prescription, Programme,
    Seconds, Session, Status,
};
use setwright_optimise::{Budget, Objective, Solved, solve};
use setwright_science::{clock, dose, rules::Rules, strength};
use std::sync::LazyLock;

const MOVES: u64 = 400_000;
const SEED: u64 = 1;

const BEGINNER: &str = include_str!("../../../../data/demo/absolute_beginner.toml");
const BUSY: &str = include_str!("../../../../data/demo/busy_adult.toml");
const STUBBORN: &str = include_str!("../../../../data/demo/stubborn_muscle.toml");
const IMPOSSIBLE: &str = include_str!("../../../../data/demo/cannot_be_met.toml");
/// The clients that no other test plans.
const OTHERS: [&str; 4] = [
    include_str!("../../../../data/demo/home_dumbbells.toml"),
    include_str!("../../../../data/demo/returning_client.toml"),
    include_str!("../../../../data/demo/shift_worker.toml"),
    include_str!("../../../../data/demo/upper_lower.toml"),
];

/// A certified plan.
struct Planned {
    brief: Brief,
    outcome: Solved,
    programme: Programme,
    report: Report,
}

static FIRST_WEEKS: LazyLock<Planned> = LazyLock::new(|| plan(BEGINNER));
static BUSY_ADULT: LazyLock<Planned> = LazyLock::new(|| plan(BUSY));
static ADVANCED: LazyLock<Planned> = LazyLock::new(|| plan(STUBBORN));

fn read(text: &str) -> Brief {
    toml::from_str(text).unwrap()
}

fn solved(brief: &Brief) -> Solved {
    solved_by(brief, SEED)
}

fn solved_by(brief: &Brief, seed: u64) -> Solved {
    let belief = strength::belief(brief, builtin());
    let budget = Budget { moves: MOVES, seed, out_of_time: None };
    solve(brief, builtin(), &belief, Objective::Benefit, &budget, &mut |_| {})
}

/// Plans a brief; the check must certify what comes out.
fn plan(text: &str) -> Planned {
    plan_brief(read(text))
}

fn plan_brief(brief: Brief) -> Planned {
    plan_drawn(brief, SEED)
}

fn plan_drawn(brief: Brief, seed: u64) -> Planned {
    let outcome = solved_by(&brief, seed);
    let belief = strength::belief(&brief, builtin());
    let programme = outcome.programme.clone().unwrap();
    let report = audit(&programme, Some(&brief), builtin(), &belief);
    let certified = certify(programme, &brief, builtin(), &belief);
    assert!(certified.is_ok(), "{}: {:?}", brief.name, report.findings);
    let programme = certified.ok().unwrap().into_inner();
    Planned { brief, outcome, programme, report }
}

fn exercise(prescription: &Prescription) -> &'static Exercise {
    builtin().get(&prescription.id).unwrap()
}

fn minutes(session: &Session, brief: &Brief) -> f64 {
    clock::session(session, builtin(), brief.time.cold).unwrap().minutes().get()
}

#[test]
fn every_client_of_the_roster_gets_a_certified_programme_under_its_bound() {
    let others: Vec<Planned> = OTHERS.into_iter().map(plan).collect();
    for planned in others.iter().chain([&*FIRST_WEEKS, &*BUSY_ADULT, &*ADVANCED]) {
        let (value, bound) = (planned.outcome.value.unwrap(), planned.outcome.bound.unwrap());
        println!("{}: {value:.2} of {bound:.2} at most", planned.brief.name);
        assert!(0.0 < value && value <= bound + 1e-9, "{}: {value} {bound}", planned.brief.name);
        assert_eq!(planned.programme.sessions.len(), planned.brief.time.sessions as usize);
        let belief = strength::belief(&planned.brief, builtin());
        let report = audit(&planned.programme, Some(&planned.brief), builtin(), &belief);
        assert!(report.could_be_signed(), "{}: {:?}", planned.brief.name, report.findings);
    }
}

/// Common practice (T): a first workout is six movements for the whole body, one set each, in three pairs, twice a
/// week.
#[test]
fn a_beginners_first_workout_is_three_pairs_of_single_sets_for_the_whole_body() {
    let planned = &*FIRST_WEEKS;
    assert_eq!(planned.programme.sessions.len(), 2);
    assert_eq!(planned.programme.cycle_days, 7);
    for session in &planned.programme.sessions {
        assert_eq!(session.blocks.len(), 3, "day {}", session.day);
        assert!(session.blocks.iter().all(|b| b.kind == BlockKind::Alternating && b.exercises.len() == 2));
        assert!(session.prescriptions().all(|p| p.sets == 1));
    }
    let sides: Vec<Side> =
        planned.programme.sessions[0].prescriptions().map(|p| exercise(p).pattern.side()).collect();
    for side in [Side::Push, Side::Pull, Side::Knee, Side::Hip] {
        assert!(sides.contains(&side), "{side:?} is missing from {sides:?}");
    }
}

/// How many exercises of a programme are in the same session of another.
fn stay(before: &Programme, after: &Programme) -> usize {
    let there = |s: &Session, p: &Prescription| s.prescriptions().any(|q| q.id == p.id);
    let both = before.sessions.iter().zip(&after.sessions);
    both.map(|(was, is)| was.prescriptions().filter(|p| there(is, p)).count()).sum()
}

/// The busy adult's next block: five minutes less a session, after the programme before.
static NEXT_BLOCK: LazyLock<Planned> = LazyLock::new(|| {
    let mut brief = shorter(&BUSY_ADULT.brief);
    brief.style.before = Some(BUSY_ADULT.programme.clone());
    plan_brief(brief)
});

fn shorter(brief: &Brief) -> Brief {
    let mut brief = brief.clone();
    brief.time.minutes = MinutesPerSession::Same(Minutes(brief.time.minutes.of(0).get() - 5.0));
    brief
}

#[test]
fn the_next_programme_keeps_what_need_not_change() {
    let before = &BUSY_ADULT.programme;
    let all: usize = before.sessions.iter().map(|s| s.prescriptions().count()).sum();
    let fresh = stay(before, &plan_brief(shorter(&BUSY_ADULT.brief)).programme);
    let kept = stay(before, &NEXT_BLOCK.programme);
    println!("{kept} of {all} exercises stay; {fresh} when planned afresh");
    assert!(kept > fresh && 10 * kept >= 8 * all, "{kept} of {all}, {fresh} afresh");
    let days = |p: &Programme| p.sessions.iter().map(|s| s.day).collect::<Vec<_>>();
    assert_eq!(days(before), days(&NEXT_BLOCK.programme));
}

/// A minute more, or a twentieth more search, changes two exercises at most.
#[test]
fn little_more_time_or_search_changes_next_to_nothing() {
    let was = &BUSY_ADULT.programme;
    let mut brief = BUSY_ADULT.brief.clone();
    brief.time.minutes = MinutesPerSession::Same(Minutes(brief.time.minutes.of(0).get() + 1.0));
    let longer = solved(&brief);
    let belief = strength::belief(&BUSY_ADULT.brief, builtin());
    let budget = Budget { moves: MOVES + MOVES / 20, seed: SEED, out_of_time: None };
    let searched = solve(&BUSY_ADULT.brief, builtin(), &belief, Objective::Benefit, &budget, &mut |_| {});
    let all: usize = was.sessions.iter().map(|s| s.prescriptions().count()).sum();
    for now in [longer, searched] {
        let stays = stay(was, now.programme.as_ref().unwrap());
        assert!(all - stays <= 2, "{stays} of {all} stay");
    }
}

#[test]
fn each_change_since_the_programme_before_is_told() {
    let reasons = &NEXT_BLOCK.outcome.reasons;
    let (before, after) = (&BUSY_ADULT.programme, &NEXT_BLOCK.programme);
    let all: usize = before.sessions.iter().map(|s| s.prescriptions().count()).sum();
    let kept = stay(before, after);
    let head = format!("Since the programme before: {kept} of {all} exercises stay in their sessions.");
    assert!(reasons.contains(&head), "{reasons:#?}");
    let left =
        reasons.iter().filter(|r| r.contains("; to keep it would cost") || r.contains("that keeps it"));
    assert_eq!(left.count(), all - kept, "{reasons:#?}");
}

#[test]
fn a_busy_adults_blocks_alternate_and_every_session_fits_its_minutes() {
    let planned = &*BUSY_ADULT;
    let blocks: Vec<&Block> = planned.programme.sessions.iter().flat_map(|s| &s.blocks).collect();
    let alternating = blocks.iter().filter(|b| b.kind == BlockKind::Alternating).count();
    println!("{alternating} of {} blocks alternate", blocks.len());
    assert!(10 * alternating >= 9 * blocks.len(), "{alternating} of {}", blocks.len());
    for block in blocks.iter().filter(|b| b.kind == BlockKind::Alternating) {
        let [a, b] = [&block.exercises[0], &block.exercises[1]].map(exercise);
        let shared = Muscle::ALL.into_iter().find(|m| a.contribution(*m) >= 0.5 && b.contribution(*m) >= 0.5);
        assert_eq!(shared, None, "{} beside {}", a.name, b.name);
    }
    for (index, session) in planned.programme.sessions.iter().enumerate() {
        let given_min = planned.brief.time.minutes.of(index).get();
        let taken_min = minutes(session, &planned.brief);
        println!("day {}: {taken_min:.1} of {given_min:.0} min", session.day);
        assert!(taken_min <= given_min + 1e-9, "day {}: {taken_min}", session.day);
    }
}

#[test]
fn a_busy_adult_trains_every_major_muscle_twice_a_week_or_more() {
    let sessions = &BUSY_ADULT.programme.sessions;
    for muscle in Muscle::MAJOR {
        let dosed = |s: &&Session| dose::of_session(s, builtin())[muscle.index()].get() >= 1.0;
        let count = sessions.iter().filter(dosed).count();
        assert!(count >= 2, "{muscle}: {count} sessions");
    }
}

/// Rest after a straight set.
type StraightRest = fn(&Exercise, &Block) -> Seconds;

/// The rest of the study that the session clock is held to (Schoenfeld 2019, MSSE 51:94 (A, B)).
fn ninety_seconds(_: &Exercise, _: &Block) -> Seconds {
    Seconds(90.0)
}

/// Usual rests between straight sets: two minutes for a compound, one and a half for one joint (common practice (T)).
fn usual_rest(exercise: &Exercise, _: &Block) -> Seconds {
    Seconds(if exercise.pattern.is_compound() { 120.0 } else { 90.0 })
}

/// The rest that each exercise really has in its pair: the partner's set, the walk and the rest of the round.
fn as_in_the_pair(exercise: &Exercise, block: &Block) -> Seconds {
    let walk_s = block.exercises.iter().map(|p| self::exercise(p).changeover_s.get()).sum::<f64>() / 2.0;
    let partner = block.exercises.iter().find(|p| p.id != exercise.id).unwrap();
    let partner_s = self::exercise(partner).work(partner.mid_reps()).get();
    Seconds(block.rest_s.get() + walk_s + partner_s)
}

/// The same sets, ramps and order, each exercise of a pair in a block of its own.
fn done_straight(session: &Session, rest: StraightRest) -> Session {
    let alone = |block: &Block| -> Vec<Block> {
        if block.kind == BlockKind::Straight {
            return vec![block.clone()];
        }
        let of = |p: &Prescription| Block {
            kind: BlockKind::Straight,
            rest_s: rest(exercise(p), block),
            exercises: vec![p.clone()],
        };
        block.exercises.iter().map(of).collect()
    };
    Session { blocks: session.blocks.iter().flat_map(alone).collect(), ..session.clone() }
}

/// What alternates in a session, and nothing else.
fn pairs_of(session: &Session) -> Session {
    let pairs = session.blocks.iter().filter(|b| b.exercises.len() > 1).cloned();
    Session { blocks: pairs.collect(), ..session.clone() }
}

fn times_longer(planned: &Planned, rest: StraightRest, part: impl Fn(&Session) -> Session) -> f64 {
    let sum = |of: &dyn Fn(&Session) -> Session| -> f64 {
        planned.programme.sessions.iter().map(|s| minutes(&of(&part(s)), &planned.brief)).sum()
    };
    sum(&|s| done_straight(s, rest)) / sum(&Clone::clone)
}

/// Andersen 2022, Front Psychol 13:912368 (A): straight sets took 1.66 times the pairs, in sessions that had nothing else; so what
/// stands alone here is in neither. With 90 s between straight sets the band of 1.5 to 1.8 holds; with longer rests straight sets take
/// longer still, and `docs/quality.md` says so, as it does of whole sessions.
#[test]
fn a_busy_adults_sets_done_straight_take_half_as_long_again_or_more() {
    // Of plans, not of one draw of the search: the mean of five.
    let drawn: Vec<Planned> = (1..=5).map(|seed| plan_drawn(read(BUSY), seed)).collect();
    let mean = |rest: StraightRest| {
        drawn.iter().map(|p| times_longer(p, rest, pairs_of)).sum::<f64>() / drawn.len() as f64
    };
    let whole = |p: &Planned| times_longer(p, ninety_seconds, Session::clone);
    println!("whole sessions, each with 90 s: {:.2?}", drawn.iter().map(whole).collect::<Vec<_>>());
    let (ninety, usual, equal) = (mean(ninety_seconds), mean(usual_rest), mean(as_in_the_pair));
    println!("straight with 90 s {ninety:.2} times");
    println!("straight with usual rests {usual:.2} times, with the rests of the pairs {equal:.2} times");
    assert!((1.5..=1.8).contains(&ninety), "{ninety}");
    assert!(usual >= 1.5 && equal >= 1.5, "{usual} {equal}");
}

#[test]
fn it_is_said_once_of_each_exercise_how_it_gets_harder() {
    for planned in [&*FIRST_WEEKS, &*BUSY_ADULT, &*ADVANCED] {
        let begins = ["More load", "Reps first", "Less help", "Longer or farther"];
        let said = || planned.outcome.reasons.iter().filter(|r| begins.iter().any(|b| r.starts_with(b)));
        let told: Vec<&str> =
            said().filter_map(|r| r.rsplit(": ").next()).flat_map(|names| names.split([',', '.'])).collect();
        for p in planned.programme.sessions.iter().flat_map(Session::prescriptions) {
            let name = &exercise(p).name;
            let times = told.iter().flat_map(|part| part.split(" and ")).filter(|n| n.trim() == name).count();
            assert_eq!(times, 1, "{}: {name} in {told:?}", planned.brief.name);
        }
    }
}

#[test]
fn an_advanced_lifters_taxing_lifts_stand_alone_and_only_the_priority_muscle_is_paired_with_itself() {
    let planned = &*ADVANCED;
    let tops: Vec<Muscle> = planned
        .brief
        .muscles
        .iter()
        .filter(|(_, w)| w.priority.is_some_and(|p| p >= Priority::High))
        .map(|(m, _)| *m)
        .collect();
    assert_eq!(tops, [Muscle::SideDelts]);
    // One block a session at most has two exercises of one muscle, and somewhere there is one.
    let same = |s: &Session| s.blocks.iter().filter(|b| b.kind == BlockKind::SameMuscle).count();
    let each: Vec<usize> = planned.programme.sessions.iter().map(same).collect();
    assert!(each.iter().sum::<usize>() >= 1 && each.iter().all(|n| *n <= 1), "{each:?}");
    for block in planned.programme.sessions.iter().flat_map(|s| &s.blocks).filter(|b| b.exercises.len() > 1) {
        let pair: Vec<&Exercise> = block.exercises.iter().map(exercise).collect();
        assert!(pair.iter().all(|e| e.systemic < 3), "{} beside {}", pair[0].name, pair[1].name);
        // A single joint for the muscle, and at once a compound that the same muscle then ends.
        if block.kind == BlockKind::SameMuscle {
            let (first, second) = (pair[0], pair[1]);
            assert!(
                first.prime() == Some(Muscle::SideDelts) && !first.pattern.is_compound(),
                "{}",
                first.name
            );
            let ends = second.pattern.is_compound() && second.contribution(Muscle::SideDelts) >= 0.5;
            assert!(ends, "{}", second.name);
        }
    }
}

/// Strain of each muscle in each session, summed here and not taken from the planner.
fn strains(planned: &Planned) -> Vec<(Muscle, u32, f64)> {
    let sessions = &planned.programme.sessions;
    let belief = strength::belief(&planned.brief, builtin());
    let starts: Vec<Hours> = sessions.iter().map(|s| Hours(24.0 * f64::from(s.day))).collect();
    let cycle = Hours(24.0 * f64::from(planned.programme.cycle_days));
    let mut out = Vec::new();
    for muscle in Muscle::ALL {
        let doses: Vec<FractionalSets> =
            sessions.iter().map(|s| dose::of_session(s, builtin())[muscle.index()]).collect();
        let debts = dose::debts(&doses, &starts, cycle, belief.tau[muscle.index()]);
        for ((session, dose), debt) in sessions.iter().zip(doses).zip(debts) {
            out.push((muscle, session.day, dose::strain(dose, debt).get()));
        }
    }
    out
}

#[test]
fn an_advanced_lifters_sessions_are_spaced_by_recovery_and_not_by_the_week() {
    let planned = &*ADVANCED;
    assert_eq!(planned.programme.cycle_days, 9);
    let ceiling = Rules::of(&planned.brief).strain.get();
    for (muscle, day, strain) in strains(planned) {
        assert!(strain <= ceiling + 1e-6, "{muscle} on day {day}: {strain} of {ceiling}");
    }
    let of = |code: &str| planned.report.findings.iter().filter(|f| f.code == code).collect::<Vec<_>>();
    println!("trained a little early: {:#?}", of("SW103"));
    assert!(of("SW102").is_empty(), "{:?}", of("SW102"));
    let asked = planned.brief.muscles[&Muscle::SideDelts].least.unwrap();
    let got = planned.report.muscles.iter().find(|m| m.id == Muscle::SideDelts).unwrap();
    println!(
        "side deltoids {:?} of {asked:?}, gap {:?}, needed {:?}",
        got.sets_per_week, got.shortest_gap_h, got.needed_gap_h
    );
    assert!(got.sets_per_week >= asked);
}

static CANNOT_BE_MET: LazyLock<Solved> = LazyLock::new(|| solved(&read(IMPOSSIBLE)));

/// The wishes that clash, as the answer lists them.
fn named(outcome: &Solved) -> Vec<&str> {
    outcome.conflict.iter().filter_map(|l| l.strip_prefix("- ")).collect()
}

/// Leopold's brief with the named wishes and no others.
fn only(wishes: &[&str]) -> Brief {
    let mut brief = read(IMPOSSIBLE);
    let wished = |words: &str| wishes.iter().any(|w| w.contains(words));
    brief.locks.retain(|l| wished(&format!("the lock on {},", builtin().get(&l.exercise).unwrap().name)));
    for (muscle, wish) in &mut brief.muscles {
        if !wished(&format!("sets a week for {muscle}")) {
            wish.least = None;
        }
    }
    if !wished("every major muscle") {
        for muscle in Muscle::MAJOR {
            brief.muscles.entry(muscle).or_default().sessions.get_or_insert(0);
        }
    }
    if !wished("the minutes") {
        brief.time.minutes = MinutesPerSession::Same(Minutes(180.0));
    }
    if !wished("sessions on day") {
        brief.time.days = Vec::new();
    }
    brief
}

#[test]
fn a_brief_that_cannot_be_met_is_proven_so_and_names_a_lock_that_clashes() {
    let outcome = &*CANNOT_BE_MET;
    println!("{:#?}", outcome.conflict);
    assert_eq!(outcome.status, Status::Infeasible);
    assert_eq!(outcome.programme, None);
    assert!(named(outcome).iter().any(|w| w.starts_with("the lock on ")), "{:?}", outcome.conflict);
}

/// The answer says that without any one of the wishes a programme exists. Each is dropped, and the programme
/// certified.
#[test]
fn the_wishes_that_clash_have_a_programme_without_any_one_of_them() {
    let wishes = named(&CANNOT_BE_MET);
    assert!(wishes.len() >= 2, "{wishes:?}");
    assert_eq!(solved(&only(&wishes)).programme, None);
    for dropped in &wishes {
        let kept: Vec<&str> = wishes.iter().copied().filter(|w| w != dropped).collect();
        certified(&only(&kept), &format!("without {dropped}"));
    }
}

fn certified(brief: &Brief, what: &str) -> Report {
    let programme = solved(brief).programme;
    assert!(programme.is_some(), "{what}: no programme");
    let programme = programme.unwrap();
    let belief = strength::belief(brief, builtin());
    let report = audit(&programme, Some(brief), builtin(), &belief);
    assert!(certify(programme, brief, builtin(), &belief).is_ok(), "{what}: not certified");
    report
}

/// In twenty minutes a day Leopold's wishes clash as well, but there is a way out, and each one that is told is
/// followed to a certified programme.
#[test]
fn every_way_out_leads_to_a_programme() {
    let mut brief = read(IMPOSSIBLE);
    brief.time.minutes = MinutesPerSession::Same(Minutes(20.0));
    let outcome = solved(&brief);
    println!("{:#?}", outcome.conflict);
    assert_eq!(outcome.status, Status::Infeasible);
    let ways: Vec<&str> = outcome.conflict.iter().filter_map(|l| l.strip_prefix("Way out: ")).collect();
    assert!(!ways.is_empty());
    for way in ways {
        let report = certified(&followed(&brief, way), way);
        assert!(report.could_be_signed(), "{way}: {:?}", report.findings);
    }
}

/// The brief, changed as a way out says, one step after the other.
fn followed(brief: &Brief, way: &str) -> Brief {
    way.split(", and ").fold(brief.clone(), after_step)
}

fn after_step(mut brief: Brief, step: &str) -> Brief {
    if step.starts_with("drop the lock") {
        let before = brief.locks.len();
        brief.locks.retain(|l| !step.contains(&format!("on {},", builtin().get(&l.exercise).unwrap().name)));
        assert_eq!(brief.locks.len() + 1, before, "{step}");
    } else if let Some((more, _)) = step.split_once(" more minutes a session") {
        let now_min = brief.time.minutes.of(0).get();
        brief.time.minutes = MinutesPerSession::Same(Minutes(now_min + more.parse::<f64>().unwrap()));
    } else if let Some((sessions, _)) = step.split_once(" sessions instead of") {
        brief.time.sessions = sessions.parse().unwrap();
        brief.time.days = Vec::new();
    } else {
        assert!(step.contains("let the planner choose the days"), "this test cannot follow: {step}");
        brief.time.days = Vec::new();
    }
    brief
}

#[test]
fn the_same_seed_writes_the_same_programme() {
    let again = solved(&BUSY_ADULT.brief);
    assert_eq!(again, BUSY_ADULT.outcome);
}

#[test]
fn the_fewest_minutes_hold_the_asked_doses_and_leave_no_session_empty() {
    let brief = read(BUSY);
    let belief = strength::belief(&brief, builtin());
    let budget = Budget { moves: MOVES, seed: SEED, out_of_time: None };
    let outcome = solve(&brief, builtin(), &belief, Objective::Minutes, &budget, &mut |_| {});
    let (value, bound) = (outcome.value.unwrap(), outcome.bound.unwrap());
    println!("{value:.1} min, not under {bound:.1}");
    assert!(bound <= value + 1e-9, "{value} {bound}");
    let programme = outcome.programme.unwrap();
    let taken_min: f64 = programme.sessions.iter().map(|s| minutes(s, &brief)).sum();
    assert!(taken_min <= value + 1e-6, "the clock says {taken_min}, the planner {value}");
    assert!(certify(programme, &brief, builtin(), &belief).is_ok());
}
