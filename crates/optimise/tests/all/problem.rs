//! A brief, put in the form that the planner works on.

use setwright_formulate::problem::compile;
use setwright_gym::catalogue::builtin;
use setwright_model::Brief;
use setwright_optimise::{Budget, Objective, solve};
use setwright_science::strength;

#[test]
fn a_cold_start_is_taken_from_every_session_whatever_is_done_in_it() {
    let of = |cold: bool| {
        let text = format!(
            "name = \"A\"\ngoal = \"general\"\ntraining_age = \"beginner\"\ntime = {{ sessions = 2, minutes = 20, cold = {cold} }}"
        );
        let brief: Brief = toml::from_str(&text).unwrap();
        compile(&brief, builtin(), &strength::belief(&brief, builtin()), false)
    };
    assert_eq!((of(false).minutes_units, of(true).minutes_units), (vec![240], vec![180]));
    assert_eq!(of(false).start_units, of(true).start_units);
}

#[test]
fn every_condition_leaves_the_first_weeks_something_to_do() {
    for condition in ["heart", "high_blood_pressure", "lung", "diabetes", "pregnancy"] {
        let text = format!(
            "name = \"A\"\ngoal = \"general\"\ntraining_age = \"first_weeks\"\nconditions = [\"{condition}\"]\n\
             time = {{ sessions = 2, minutes = 45 }}\nequipment = {{ place = \"full_gym\" }}\nbody = {{ age = 61 }}"
        );
        let brief: Brief = toml::from_str(&text).unwrap();
        let budget = Budget { moves: 60_000, seed: 1, out_of_time: None };
        let belief = strength::belief(&brief, builtin());
        let found = solve(&brief, builtin(), &belief, Objective::Benefit, &budget, &mut |_| {});
        assert!(found.programme.is_some(), "{condition}: {:?}", found.conflict);
    }
}
