//! What the client wants to be able to do, what a test says of where to begin, and what a match leaves for its eve.

use setwright_formulate::frame::{Frame, frames};
use setwright_formulate::problem::{Problem, compile};
use setwright_formulate::rules::{Client, plain_choice};
use setwright_gym::catalogue::builtin;
use setwright_model::brief::Aim;
use setwright_model::exercise::Exercise;
use setwright_model::pattern::Region;
use setwright_model::{Brief, Pattern};
use setwright_science::aims::is_on_the_feet;
use setwright_science::strength;

fn brief(age: &str, goal: &str, rest: &str) -> Brief {
    let text = format!(
        "name = \"A\"\ngoal = \"{goal}\"\ntraining_age = \"{age}\"\ntime = {{ sessions = 2, minutes = 45 }}\n\
         equipment = {{ place = \"full_gym\" }}\n{rest}"
    );
    toml::from_str(&text).unwrap()
}

fn problem(brief: &Brief) -> Problem {
    compile(brief, builtin(), &strength::belief(brief, builtin()), false)
}

/// Whether the planner looks at an exercise.
fn has(brief: &Brief, id: &str) -> bool {
    let belief = strength::belief(brief, builtin());
    let client = Client::new(brief, &belief, builtin());
    let fits = |e: &&Exercise| client.room.can_do(e) && client.keeps_out(e).is_none();
    let all: Vec<&Exercise> = builtin().iter().filter(fits).collect();
    plain_choice::short_list(all, &client).iter().any(|e| e.id.as_str() == id)
}

/// Least of a count, by session, in the first frame.
fn least_each(problem: &Problem, what: &str) -> Vec<i16> {
    let k = problem.quotas.counts.iter().position(|c| c.what == what);
    let frame: &Frame = &frames(problem)[0];
    k.map_or_else(Vec::new, |k| frame.least.iter().map(|least| least[k]).collect())
}

const OLD: &str = "body = { age = 82, sex = \"male\" }\ntest = [{ what = \"chair_rises\", count = 9 }]\n\
                   lift = [{ exercise = \"seated_leg_press\", load_kg = 60.0, reps = 10, rir = 3 }]";

#[test]
fn who_wants_to_climb_stairs_steps_in_every_visit_of_two() {
    let climbs = brief("beginner", "strength", &format!("{OLD}\naims = [\"stairs\"]"));
    assert_eq!(least_each(&problem(&climbs), "climbing stairs"), [1], "two visits alike");
    assert!(has(&climbs, "supported_step_up"), "with a hand on something");
    let step =
        |id: &str| builtin().get(&id.into()).is_some_and(|e| setwright_science::aims::serves(Aim::Stairs, e));
    assert!(step("supported_step_up") && !step("supported_split_squat"), "a split squat climbs nothing");
    let plain = brief("beginner", "strength", OLD);
    assert!(least_each(&problem(&plain), "climbing stairs").is_empty() && !has(&plain, "supported_step_up"));
}

#[test]
fn a_step_stands_beside_the_leg_press_and_not_in_its_place() {
    let counted = |rest: &str| {
        let problem = problem(&brief("beginner", "general", rest));
        let k = problem.quotas.counts.iter().position(|c| c.what == "a squat, lunge or leg press").unwrap();
        let place = problem.lifts.iter().position(|l| l.exercise.id.as_str() == "supported_step_up");
        place.map(|l| problem.tables.signs[l][k])
    };
    assert_eq!(counted("aims = [\"stairs\"]\nbody = { age = 70 }"), Some(0));
}

#[test]
fn an_aim_that_nothing_serves_asks_for_nothing() {
    let knees = brief("beginner", "general", "aims = [\"stairs\"]\nexclude = { patterns = [\"lunge\"] }");
    assert!(least_each(&problem(&knees), "climbing stairs").iter().all(|least| *least == i16::MIN));
}

#[test]
fn with_more_visits_an_aim_is_in_two_a_week() {
    let four = brief("intermediate", "general", "aims = [\"carrying\"]");
    let four = Brief { time: setwright_model::brief::Time { sessions: 4, ..four.time.clone() }, ..four };
    let problem = problem(&four);
    let k = problem.quotas.counts.iter().position(|c| c.what == "carrying things").unwrap();
    assert_eq!(problem.quotas.cycle_least[k], 2);
    let carry = problem.lifts.iter().position(|l| l.exercise.pattern == Pattern::Carry).expect("a carry");
    let halves = &frames(&problem)[0];
    assert!(halves.eligible.iter().all(|part| part[carry]), "in either half of the body");
}

#[test]
fn who_counted_a_pull_up_and_came_for_the_back_pulls_the_body_up_with_help() {
    let of = |count: u32, rest: &str| {
        let text = format!(
            "body = {{ age = 52, mass_kg = 90.0, sex = \"male\" }}\nmuscles = {{ lats = {{ priority = \"high\" }} }}\n\
             test = [{{ what = \"pull_ups\", count = {count} }}]\n{rest}"
        );
        least_each(&problem(&brief("intermediate", "general", &text)), "pull-ups")
    };
    assert_eq!(of(1, ""), [1, 1]);
    assert!(of(0, "").is_empty(), "nobody did one");
    let told = "lift = [{ exercise = \"pull_up\", load_kg = 0.0, reps = 8, rir = 1 }]";
    assert!(of(9, told).is_empty(), "what is told is there anyhow");
}

#[test]
fn jumps_are_for_who_wants_to_jump_and_may() {
    let jumps = |rest: &str| {
        let brief = brief("intermediate", "general", rest);
        builtin().iter().any(|e| e.pattern == Pattern::Jump && has(&brief, e.id.as_str()))
    };
    assert!(jumps("aims = [\"jumping\"]\nbody = { age = 24 }"));
    assert!(!jumps("body = { age = 24 }"));
    assert!(!jumps("aims = [\"jumping\"]\nbody = { age = 70 }"));
    assert!(!jumps("aims = [\"jumping\"]\nconditions = [\"knee_arthritis\"]"));
}

#[test]
fn from_sixty_five_on_not_all_of_a_visit_is_seated() {
    let old = problem(&brief("beginner", "strength", OLD));
    assert_eq!(least_each(&old, "something on the feet"), [1], "two visits alike");
    assert!(old.lifts.iter().any(|l| is_on_the_feet(&l.exercise)), "rising from a chair, beside machines");
    let young = problem(&brief("beginner", "strength", "body = { age = 40 }"));
    assert!(least_each(&young, "something on the feet").is_empty());
}

#[test]
fn a_weight_is_held_once_fifteen_rises_were_counted() {
    let of = |count: u32| {
        let text = format!(
            "hurts = [\"kneeling\", \"stairs\", \"up_from_the_floor\"]\nbody = {{ age = 40, mass_kg = 112.0, height_m = 1.66 }}\n\
             test = [{{ what = \"chair_rises\", count = {count} }}]"
        );
        has(&brief("first_weeks", "general", &text), "goblet_box_squat")
    };
    assert_eq!((of(14), of(15)), (false, true));
}

#[test]
fn a_beginner_counted_at_few_press_ups_has_the_hands_raised() {
    let of = |age: &str, count: u32| {
        let text = format!(
            "body = {{ age = 20, mass_kg = 66.0 }}\ntest = [{{ what = \"press_ups\", count = {count} }}]"
        );
        let bare = brief(age, "general", &text);
        let bare = Brief { equipment: toml::from_str("place = \"bare\"").unwrap(), ..bare };
        has(&bare, "press_up")
    };
    assert_eq!((of("beginner", 6), of("beginner", 12), of("intermediate", 6)), (false, true, true));
}

#[test]
fn a_troubled_back_pulls_once_and_has_its_trunk_worked_in_every_visit() {
    let told = "lift = [{ exercise = \"trap_bar_deadlift\", load_kg = 90.0, reps = 6, rir = 2 }]";
    let of = |conditions: &str| {
        let problem =
            problem(&brief("intermediate", "strength", &format!("{told}\nconditions = [{conditions}]")));
        let pulls =
            problem.quotas.counts.iter().position(|c| c.what == "heavy pulls from the floor").unwrap();
        (problem.quotas.cycle_most[pulls], least_each(&problem, "the trunk in each session"))
    };
    assert_eq!(of("\"low_back_pain\""), (1, vec![1, 1]));
    assert_eq!(of(""), (2, Vec::new()));
}

#[test]
fn the_eve_of_a_match_has_nothing_for_the_legs_where_another_day_holds_it() {
    let legs = |days: [u32; 2]| {
        let text = "sport = { name = \"rugby\", match_days = [6] }\nbody = { age = 25 }";
        let mut brief = brief("advanced", "strength", text);
        brief.time.days = days.to_vec();
        let problem = problem(&brief);
        let frame = &frames(&problem)[0];
        let any = |part: usize| {
            let here = |l: usize| {
                frame.eligible[part][l] && problem.lifts[l].exercise.pattern.region() == Region::Lower
            };
            (0..problem.lifts.len()).any(here)
        };
        [any(0), any(1)]
    };
    assert_eq!(legs([2, 5]), [true, false]);
    assert_eq!(legs([2, 4]), [true, true]);
}

#[test]
fn who_came_for_the_back_may_pull_from_above_in_two_ways_in_a_visit() {
    let of =
        |wish: &str| problem(&brief("intermediate", "size", wish)).variants[Pattern::VerticalPull as usize];
    assert_eq!((of("muscles = { lats = { priority = \"high\" } }"), of("")), (2, 1));
}

#[test]
fn who_came_for_legs_gets_no_more_presses_than_work_for_them() {
    let asked = |wish: &str| {
        let counts = problem(&brief("intermediate", "size", wish)).quotas.counts;
        counts.iter().any(|c| c.what == "no more presses than for what matters most")
    };
    assert!(
        asked("muscles = { quads = { priority = \"high\" } }")
            && !asked("muscles = { chest = { priority = \"high\" } }")
    );
}
