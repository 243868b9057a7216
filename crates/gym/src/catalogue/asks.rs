//! Holds what exercises ask of the client to their pattern, station and cost. Tests only.
//!
//! An ask that is missing lets an exercise through that the client's limit should have kept out, so each rule says who
//! must have it; who has it besides is the catalogue's judgement. An exception stands by name and with its reason, and
//! one that is no longer needed fails.

use super::builtin;
use setwright_model::exercise::{Ask, Exercise, LoadKind, Measure};
use setwright_model::pattern::Pattern as P;
use setwright_model::station::Station;

/// All of a kind ask something, but for those named.
struct Rule {
    ask: Ask,
    kind: &'static str,
    of_kind: fn(&Exercise) -> bool,
    /// Who does not ask it, and why.
    but: &'static [(&'static [&'static str], &'static str)],
}

const RULES: &[Rule] = &[
    Rule {
        ask: Ask::Overhead,
        kind: "presses up, pulls from above and pullovers",
        of_kind: |e| is(e, &[P::VerticalPress, P::VerticalPull, P::Pullover]),
        but: &[],
    },
    Rule {
        ask: Ask::AboveShoulder,
        kind: "whatever is overhead",
        of_kind: |e| e.asks.contains(&Ask::Overhead),
        but: &[],
    },
    Rule {
        ask: Ask::AboveShoulder,
        kind: "raises to the side and the front, upright rows and incline presses",
        of_kind: |e| is(e, &[P::LateralRaise, P::FrontRaise, P::UprightRow, P::InclinePress]),
        but: &[],
    },
    Rule {
        ask: Ask::ShoulderExtreme,
        kind: "dips and upright rows",
        of_kind: |e| is(e, &[P::Dip, P::UprightRow]),
        but: &[(&["machine_dip"], "the seat decides how far the elbows go back")],
    },
    Rule {
        ask: Ask::ShoulderExtreme,
        kind: "straight bars lowered to the chest, which take the elbows behind the body",
        of_kind: |e| {
            is(e, &[P::HorizontalPress, P::InclinePress])
                && (e.load == LoadKind::Bar || at(e, Station::SmithMachine))
        },
        but: &[(&["barbell_floor_press"], "the floor stops the elbows")],
    },
    Rule {
        ask: Ask::SpineBend,
        kind: "trunk flexion, side bends and back extensions",
        of_kind: |e| is(e, &[P::TrunkFlexion, P::SideBend, P::BackExtension]),
        but: &[(&["floor_back_raise", "swimmer", "back_extension_hold"], "the back is never bent forward")],
    },
    Rule { ask: Ask::Twist, kind: "trunk rotation", of_kind: |e| is(e, &[P::TrunkRotation]), but: &[] },
    Rule {
        ask: Ask::BreathHold,
        kind: "holds, carries, and what loads the spine heavily",
        of_kind: |e| e.measure == Measure::Seconds || is(e, &[P::Carry]) || e.is_spinal(),
        but: &[],
    },
    Rule {
        ask: Ask::BreathHold,
        kind: "what tires the whole body",
        of_kind: Exercise::is_taxing,
        but: &[(&["burpee"], "nothing is braced against: the breath runs on")],
    },
    Rule {
        ask: Ask::BreathHold,
        kind: "squats, leg presses and hinges on two legs with a bar or plates",
        of_kind: |e| {
            is(e, &[P::Squat, P::LegPress, P::Hinge])
                && matches!(e.load, LoadKind::Bar | LoadKind::Discs)
                && !e.unilateral
        },
        but: &[(
            &["landmine_squat", "landmine_romanian_deadlift"],
            "light: one end of the bar lies on the floor",
        )],
    },
    Rule {
        ask: Ask::Floor,
        kind: "what is done on the floor",
        of_kind: |e| at(e, Station::Floor),
        but: &[
            (
                &[
                    "bodyweight_squat",
                    "single_leg_squat",
                    "squat_jump",
                    "split_squat",
                    "chair_split_squat",
                    "reverse_lunge",
                    "forward_lunge",
                    "side_lunge",
                    "crossover_lunge",
                    "slider_reverse_lunge",
                    "leaning_squat",
                    "body_weight_single_leg_hinge",
                    "floor_calf_raise",
                    "slider_hip_adduction",
                    "supported_split_squat",
                    "countermovement_jump",
                    "broad_jump",
                    "pogo_jump",
                    "lateral_bound",
                    "split_jump",
                ],
                "done standing: the floor is all it needs",
            ),
            (
                &["wall_press_up", "wall_sit", "wall_slide", "tibialis_raise", "doorway_row"],
                "done at a wall or a door",
            ),
            (
                &[
                    "ball_slam",
                    "wall_ball",
                    "rotational_throw",
                    "chest_pass",
                    "overhead_throw",
                    "backward_throw",
                    "scoop_throw",
                ],
                "the ball is thrown standing",
            ),
            (&["skater_squat"], "the knee only touches"),
        ],
    },
    Rule {
        ask: Ask::Floor,
        kind: "what is done on the knees",
        of_kind: |e| e.asks.contains(&Ask::Kneeling),
        but: &[(&["skater_squat"], "the knee only touches")],
    },
    Rule {
        ask: Ask::Impact,
        kind: "jumps, throws, and lifts of the platform, which are caught",
        of_kind: |e| is(e, &[P::Jump, P::Throw]) || at(e, Station::Platform),
        but: &[],
    },
    Rule {
        ask: Ask::Balance,
        kind: "lunges and squats on one leg",
        of_kind: |e| is(e, &[P::Lunge, P::Squat]) && e.unilateral,
        but: &[
            (&["guided_bar_split_squat"], "the rails hold the bar and the client"),
            (&["supported_split_squat", "supported_step_up"], "a hand holds on"),
        ],
    },
    Rule {
        ask: Ask::Grip,
        kind: "holds, and what is hard on the grip",
        of_kind: |e| is(e, &[P::GripHold]) || e.is_grip_heavy(),
        but: &[],
    },
    Rule {
        ask: Ask::WristSupport,
        kind: "press-ups",
        of_kind: |e| e.id.as_str().ends_with("press_up"),
        but: &[(&["deficit_press_up"], "the hands hold dumbbells, so the wrists stay straight")],
    },
    Rule { ask: Ask::Hinge, kind: "hinges", of_kind: |e| is(e, &[P::Hinge]), but: &[] },
];

fn is(exercise: &Exercise, patterns: &[P]) -> bool {
    patterns.contains(&exercise.pattern)
}

fn at(exercise: &Exercise, station: Station) -> bool {
    exercise.stations.contains(&station)
}

#[test]
fn each_kind_asks_what_it_must_and_exceptions_are_needed() {
    let mut said = Vec::new();
    for rule in RULES {
        let named: Vec<&str> = rule.but.iter().flat_map(|(ids, _)| ids.iter().copied()).collect();
        let mut used = Vec::new();
        for exercise in builtin().iter().filter(|e| (rule.of_kind)(e) && !e.asks.contains(&rule.ask)) {
            if named.contains(&exercise.id.as_str()) {
                used.push(exercise.id.as_str());
            } else {
                said.push(format!("{} does not ask {} ({})", exercise.id, rule.ask.id(), rule.kind));
            }
        }
        let idle = named.iter().filter(|id| !used.contains(id));
        said.extend(idle.map(|id| format!("{id} is no exception to {} ({})", rule.ask.id(), rule.kind)));
    }
    assert!(said.is_empty(), "{}", said.join("\n"));
}

#[test]
fn every_exception_has_a_reason() {
    for (ids, reason) in RULES.iter().flat_map(|rule| rule.but) {
        assert!(!ids.is_empty() && reason.len() > 10, "{ids:?}: {reason}");
    }
}

/// Common practice, no source (T).
#[test]
fn well_known_exercises_ask_what_a_coach_would_say() {
    let check = |id: &str, yes: &[Ask], no: &[Ask]| {
        let exercise = builtin().get(&id.into()).unwrap_or_else(|| panic!("no exercise {id}"));
        assert!(yes.iter().all(|a| exercise.asks.contains(a)), "{id} asks {:?}", exercise.asks);
        assert!(!no.iter().any(|a| exercise.asks.contains(a)), "{id} asks {:?}", exercise.asks);
    };
    check("crunch", &[Ask::SpineBend, Ask::Floor], &[Ask::Twist, Ask::BreathHold]);
    check("bicycle_crunch", &[Ask::SpineBend, Ask::Twist, Ask::Floor], &[]);
    check("good_morning", &[Ask::SpineBend, Ask::Hinge, Ask::SpineLoad], &[]);
    check("romanian_deadlift", &[Ask::Hinge], &[Ask::SpineBend, Ask::Floor]);
    check("cable_chop", &[Ask::Twist], &[Ask::Floor, Ask::SpineBend]);
    check("anti_rotation_press", &[], &[Ask::Twist, Ask::SpineBend, Ask::Floor]);
    check("dumbbell_lateral_raise", &[Ask::AboveShoulder], &[Ask::Overhead]);
    check("landmine_press", &[Ask::AboveShoulder, Ask::Overhead], &[]);
    check("machine_chest_press", &[], &[Ask::AboveShoulder, Ask::BreathHold, Ask::Floor]);
    check("seated_cable_row", &[], &[Ask::AboveShoulder, Ask::SpineBend, Ask::BreathHold]);
    check("plank", &[Ask::BreathHold, Ask::Floor], &[Ask::SpineBend]);
    check("wall_sit", &[Ask::BreathHold], &[Ask::Floor]);
    check("leg_press", &[Ask::BreathHold], &[Ask::SpineLoad]);
    check("seated_leg_press", &[], &[Ask::BreathHold, Ask::Floor]);
    check("goblet_squat", &[], &[Ask::BreathHold, Ask::Floor]);
    check("farmer_carry", &[Ask::BreathHold, Ask::Grip], &[Ask::Twist]);
    check("wall_press_up", &[Ask::WristSupport], &[Ask::Floor]);
    check("turkish_get_up", &[Ask::Floor, Ask::Overhead, Ask::Twist], &[]);
    check("kettlebell_swing", &[Ask::Impact, Ask::Hinge], &[]);
    check("bench_press", &[Ask::ShoulderExtreme], &[Ask::Floor, Ask::AboveShoulder]);
    check("dumbbell_floor_press", &[Ask::Floor], &[Ask::ShoulderExtreme]);
}
