//! Which days and foci are tried: for what matters most to the client, and for a sport beside the training.

use setwright_formulate::frame::frames;
use setwright_formulate::problem::{Problem, compile};
use setwright_gym::catalogue::builtin;
use setwright_model::Brief;
use setwright_model::brief::Focus;
use setwright_science::strength;

fn problem(time: &str, rest: &str) -> Problem {
    let text = format!(
        "name = \"A\"\ngoal = \"size\"\ntraining_age = \"intermediate\"\ntime = {{ {time} }}\nequipment = {{ place = \"full_gym\" }}\n{rest}"
    );
    let brief: Brief = toml::from_str(&text).unwrap();
    compile(&brief, builtin(), &strength::belief(&brief, builtin()), false)
}

fn days_of(problem: &Problem) -> Vec<Vec<u32>> {
    let mut days: Vec<Vec<u32>> = frames(problem).into_iter().map(|f| f.days).collect();
    days.sort_unstable();
    days.dedup();
    days
}

#[test]
fn of_five_halves_the_one_more_is_for_what_matters_most() {
    let count = |rest: &str, focus: Focus| -> Vec<usize> {
        let problem = problem("sessions = 5, minutes = 45", rest);
        let mut found: Vec<usize> =
            frames(&problem).iter().map(|f| f.focus.iter().filter(|of| **of == focus).count()).collect();
        found.sort_unstable();
        found.dedup();
        found
    };
    assert_eq!(count("", Focus::Lower), [2, 3], "both are tried where nothing matters more");
    assert_eq!(count("muscles = { glutes = { priority = \"top\" } }", Focus::Lower), [3]);
    assert_eq!(count("muscles = { lats = { priority = \"high\" } }", Focus::Upper), [3]);
}

#[test]
fn sessions_keep_off_the_hard_days_of_a_sport_and_the_days_before() {
    let on = |possible: &str, sport: &str| {
        days_of(&problem(&format!("sessions = 2, minutes = 60, possible_days = {possible}"), sport))
    };
    let sport = "sport = { hard_days = [3, 6] }";
    assert_eq!(on("[1, 2, 4, 5]", sport), [[1, 4]]);
    assert_eq!(on("[2, 5]", sport), [[2, 5]], "where no other day is possible, it is one of those");
    assert!(on("[1, 2, 4, 5]", "").len() > 1, "without a sport other days are as good");
}

#[test]
fn near_a_hard_day_legs_get_half_of_their_sets_and_nothing_new_that_tires() {
    let lift = "lift = [{ exercise = \"back_squat\", load_kg = 100.0, reps = 5, rir = 2 }]";
    let problem =
        |sport: &str| problem("sessions = 2, minutes = 60, days = [2, 4]", &format!("{sport}\n{lift}"));
    let most = |problem: &Problem, id: &str, session: usize| -> usize {
        let lift = problem.lifts.iter().position(|l| l.exercise.id.as_str() == id).unwrap();
        let here = |sets: &u8| {
            (0..5).any(|mode| {
                let choice = problem.choice(lift, mode, *sets);
                choice.allowed && choice.sessions >> session & 1 == 1
            })
        };
        (1..=5).filter(here).max().unwrap_or(0).into()
    };
    let (free, near) = (problem(""), problem("sport = { hard_days = [3] }"));
    let of = |problem: &Problem, id: &str| (most(problem, id, 0), most(problem, id, 1));
    assert_eq!(of(&free, "leg_press"), (4, 4));
    assert_eq!(of(&near, "leg_press"), (2, 4));
    assert_eq!(of(&near, "back_squat"), (3, 4), "what the client does anyhow is kept");
    assert_eq!(of(&near, "romanian_deadlift").0, 0);
    assert_eq!(of(&near, "bench_press"), of(&free, "bench_press"));
}

#[test]
fn two_days_for_the_legs_lie_as_far_apart_as_the_days_let_them() {
    let problem = problem("sessions = 4, minutes = 60", "");
    assert!(frames(&problem).iter().any(|f| f.focus[0] == Focus::Upper));
    for frame in frames(&problem) {
        let days = |of: Focus| -> Vec<u32> {
            frame.days.iter().zip(&frame.focus).filter(|(_, f)| **f == of).map(|(d, _)| *d).collect()
        };
        for focus in [Focus::Upper, Focus::Lower] {
            let of = days(focus);
            let gap = (of[1] - of[0]).min(7 - (of[1] - of[0]));
            assert_eq!(gap, 3, "{:?} {:?}", frame.days, frame.focus);
        }
    }
}

#[test]
fn what_matters_most_rests_a_day_between_sessions_of_its_own_and_of_others() {
    let wish = |more: &str| format!("muscles = {{ calves = {{ priority = \"top\", least = 10.0{more} }} }}");
    let reached = |days: &str, wish: &str| -> Vec<bool> {
        let problem = problem(&format!("sessions = 4, minutes = 60, days = {days}"), wish);
        let raise =
            problem.lifts.iter().position(|l| l.exercise.id.as_str() == "standing_calf_machine_raise");
        let frame =
            frames(&problem).into_iter().find(|f| f.focus[0] == Focus::Upper).expect("halves in turn");
        (0..4).map(|session| frame.eligible[session][raise.expect("it is there")]).collect()
    };
    assert_eq!(
        reached("[1, 2, 4, 5]", &wish("")),
        [false, true, false, true],
        "the day before, the day between"
    );
    assert_eq!(reached("[1, 3, 5, 7]", &wish("")), [false, true, true, true], "the last touches the first");
    assert_eq!(reached("[1, 2, 4, 5]", &wish(", sessions = 4")), [true; 4], "four were asked");
}
