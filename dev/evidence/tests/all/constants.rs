//! Constants that once could be changed without any check noticing, each held through the public function that uses it.
//! `docs/models.md`, "What holds the constants", says which of them a source carries, which only common practice, and which nothing.

use crate::page;
use setwright_evidence::bench::{bench_press, block, exercise, leg_press};
use setwright_gym::catalogue;
use setwright_model::brief::{Brief, Goal, Time, TrainingAge};
use setwright_model::exercise::CurveFamily;
use setwright_model::{
    Catalogue, Exercise, FractionalSets, Hours, Minutes, Muscle, Pattern, Reps, Seconds, Session, Share,
};
use setwright_science::acute::{Aim, FatigueState, load_for};
use setwright_science::clock::{self, Activity};
use setwright_science::rules::Rules;
use setwright_science::{amounts, dose, recovery};

/// Strength lost after six sets at 75 % that end with so many in reserve, 4 min after the last.
fn lost_with(rir: f64) -> f64 {
    let bench = bench_press();
    let mut state = FatigueState::new();
    for _ in 0..6 {
        let aim = if rir > 0.0 { Aim::Target { reps: Reps(99.0), rir: Reps(rir) } } else { Aim::Failure };
        state.do_set(&bench, Share(0.75), aim);
        state.rest(Seconds(240.0));
    }
    1.0 - state.usable(&bench).get()
}

/// Refalo 2023, Sports Med Open 9:10 (A): bench press, 6 sets at 75 %, velocity 4 min later -25, -13 and -8 % with 0, 1 and 3
/// in reserve; as shares of what failure costs, so that no step from velocity to strength is needed. The rest between the sets
/// is not in the abstract (4 min here, judgement). A miss: stopping short spares less in the model.
#[test]
fn stopping_short_spares_less_than_published() {
    let failure = lost_with(0.0);
    assert!(lost_with(3.0) < lost_with(1.0) && lost_with(1.0) < failure);
    let share = |rir| lost_with(rir) / failure;
    page::misses(
        "Refalo 2023 (A): loss 4 min after sets with 1 in reserve, of that after failure",
        "0.49 to 0.55",
        &(0.49..=0.55),
        share(1.0),
        2,
    );
    page::misses(
        "Refalo 2023 (A): loss 4 min after sets with 3 in reserve, of that after failure",
        "0.29 to 0.35",
        &(0.29..=0.35),
        share(3.0),
        2,
    );
}

/// Repetitions of a bench press of 20 that are there straight after ten to failure of another lift.
fn left_of_twenty(first: &Exercise) -> f64 {
    let bench = bench_press();
    let mut state = FatigueState::new();
    state.do_set(first, load_for(first, Reps(10.0), Reps::ZERO), Aim::Failure);
    state.possible(&bench, load_for(&bench, Reps(20.0), Reps::ZERO)).get()
}

/// Common practice, no source (T): unrelated movements alternate freely, but not with a heavy squat, after which 20
/// repetitions can become 5. Held: the squat costs the partner at least twice what another big lift does ("twice" is
/// judgement). The 5 of 20 is a miss.
#[test]
fn a_squat_costs_its_partner_at_least_twice_what_another_big_lift_does() {
    let squat = catalogue::builtin().get(&"back_squat".into()).unwrap();
    let (after_squat, after_press) = (left_of_twenty(squat), left_of_twenty(&leg_press()));
    println!("of 20 reps: {after_squat:.1} after squats, {after_press:.1} after leg presses");
    assert!(20.0 - after_squat >= 2.0 * (20.0 - after_press), "{after_squat} {after_press}");
    page::misses(
        "common practice (T): of 20 reps straight after a heavy squat, a very strong lifter",
        "5",
        &(4.0..=6.0),
        after_squat,
        1,
    );
}

fn needed_h(muscle: Muscle, sets: f64, rir: f64) -> f64 {
    let tau = Hours(recovery::median_tau_h(muscle));
    recovery::needed_gap(FractionalSets(sets), rir, tau).get()
}

/// Morán-Navarro 2017, EJAP 117:2387 (A): 3 x 10 to failure slows recovery by up to 24 to 48 h, also against 6 x 5 of 10, which
/// are as many repetitions. González-Badillo 2016, Int J Sports Med 37:295 (A): the jump is back 6 h after 3 x 4 of 8. Both are
/// missed: the model's sets that stop short take too long to recover from.
#[test]
fn sets_that_stop_short_take_longer_to_recover_from_than_published() {
    for (muscle, name) in [(Muscle::Chest, "chest"), (Muscle::Quads, "quads")] {
        let added = needed_h(muscle, 3.0, 0.0) - needed_h(muscle, 6.0, 5.0);
        assert!(added > 0.0, "{name}");
        page::misses(
            &format!("Morán-Navarro 2017 (A): hours that 3 x 10 to failure add to 6 x 5 of 10, {name}"),
            "24 to 48",
            &(24.0..=48.0),
            added,
            0,
        );
    }
    let half = needed_h(Muscle::Quads, 3.0, 4.0);
    page::misses(
        "González-Badillo 2016 (A): hours until the legs are back after 3 x 4 of 8",
        "up to 6",
        &(0.0..=6.0),
        half,
        0,
    );
}

/// Common practice, no source (T): chest, quads, glutes and back are slowest; side deltoids, biceps, triceps, forearms and
/// calves are ready sooner. After the same session, each of the first needs longer than each of the second.
#[test]
fn big_muscles_need_longer_than_small_ones() {
    let slow =
        [Muscle::Chest, Muscle::Quads, Muscle::Glutes, Muscle::Lats, Muscle::UpperBack, Muscle::LowerBack];
    let quick = [Muscle::SideDelts, Muscle::Biceps, Muscle::Triceps, Muscle::Forearms, Muscle::Calves];
    for big in slow {
        for small in quick {
            let (long, short) = (needed_h(big, 4.0, 1.0), needed_h(small, 4.0, 1.0));
            assert!(long > short, "{big} {long:.1} h, {small} {short:.1} h");
        }
    }
}

/// Remmert 2025, per-session volume (B: a reader's summary of the preprint): no further growth is to be seen beyond about 11
/// fractional sets in a session. So the best session has no more than eleven, and "about" is read as one set fewer at most. Held for the
/// benefit that the planner reckons with, at the targets of who trains for size, from beginners on, in one visit a week.
#[test]
fn the_best_single_session_has_about_eleven_sets() {
    for age in [TrainingAge::Intermediate, TrainingAge::Advanced] {
        let brief = Brief::new("somebody", Goal::Size, age, Time::weekly(1, Minutes(60.0)));
        let target = amounts::weekly_target(&brief, Muscle::Chest).get();
        let net = |n: u32| {
            let sets = f64::from(n);
            amounts::benefit(sets / target) - dose::strain_price(FractionalSets(sets))
        };
        let best = (1..=25).max_by(|a, b| net(*a).total_cmp(&net(*b))).unwrap();
        println!("{age:?}: {best} sets of a target of {target}");
        assert!((10..=11).contains(&best), "{age:?}: {best} of {target}");
    }
}

/// Strain of the second of two equal chest sessions, so many hours apart, and the ceiling of such a client.
fn strain_again(age: TrainingAge, sets: f64, gap_h: f64) -> (f64, f64) {
    let brief = Brief::new("somebody", Goal::Size, age, Time::weekly(3, Minutes(60.0)));
    let tau = recovery::tau_priors(&brief)[Muscle::Chest.index()];
    let doses = [FractionalSets(sets); 2];
    let debts = dose::debts(&doses, &[Hours(0.0), Hours(gap_h)], Hours(168.0), tau);
    (dose::strain(doses[1], debts[1]).get(), Rules::of(&brief).strain.get())
}

/// At least 48 h between sessions of a muscle (position stand (B)), which is lower at 24 h and back at 48 (McLester 2003, JSCR
/// 17:259 (A)). Eight hard sets are those of Ferreira 2017, JSCR 31:71 (A); six and ten, a quarter less and more for a beginner
/// and an advanced client, are judgement.
#[test]
fn two_hard_sessions_of_a_muscle_fit_two_days_apart_and_not_one() {
    for (age, sets) in
        [(TrainingAge::Beginner, 6.0), (TrainingAge::Intermediate, 8.0), (TrainingAge::Advanced, 10.0)]
    {
        let (next_day, most) = strain_again(age, sets, 24.0);
        let (day_after, _) = strain_again(age, sets, 48.0);
        println!("{age:?}: {next_day:.1} after 24 h, {day_after:.1} after 48 h, at most {most}");
        assert!(next_day > most, "{age:?}: {next_day}");
        assert!(day_after <= most, "{age:?}: {day_after}");
    }
    // What the ceiling alone lets through: eight hard sets on two days running, for the advanced.
    let (strain, most) = strain_again(TrainingAge::Advanced, 8.0, 24.0);
    assert!(strain <= most, "no miss any more: say so in docs/models.md");
    let what = "position stand (B): eight hard sets on two days running, advanced, strain";
    page::tells(what, &format!("more than {most:.0}"), &format!("{strain:.2}"));
}

/// Pelland 2025, Sports Med (A), and every trial that counts weekly sets count a set as one, whether it is the first of its
/// exercise or the fifth (Schoenfeld 2019, MSSE 51:94 (A): 1, 3 or 5 sets of each). Held to the nearest set.
#[test]
fn a_set_counts_as_a_set_up_to_the_fifth() {
    for sets in 1..=5 {
        let worth = dose::worth(sets);
        assert!((worth - f64::from(sets)).abs() < 0.5, "{sets} sets count as {worth}");
    }
}

/// Common practice, no source (T): a minute or two to go to another lift, however long its own sets rest. Rest of 2 to 3 min
/// is for sets of the same lift (Ratamess 2009, MSSE 41:687 (A): 2-3 min multi-joint, 1-2 min single-joint).
#[test]
fn going_to_another_lift_takes_a_minute_or_two_however_long_its_sets_rest() {
    let lift = |id, muscle| exercise(id, Pattern::HorizontalRow, CurveFamily::Upper, &[muscle], 1);
    let lifts = [lift("a", Muscle::Chest), lift("b", Muscle::Lats)];
    for rest_s in [120.0, 180.0, 300.0] {
        let blocks = lifts.iter().map(|l| block(&[l], 3, 5, Seconds(rest_s))).collect();
        let session = Session { day: 1, focus: String::new(), blocks };
        let timeline = clock::session(&session, &Catalogue::new(lifts.to_vec()), false).unwrap();
        let sets: Vec<_> =
            timeline.events.iter().filter(|e| matches!(e.activity, Activity::Work(_))).collect();
        let change_s = (sets[3].start - sets[2].start - sets[2].length).get();
        assert!((60.0..=120.0).contains(&change_s), "{rest_s} s rest: {change_s} s");
        assert!((sets[1].start - sets[0].start - sets[0].length).get() >= rest_s);
    }
}
