//! What a client wants to be able to do, and which exercises train it: the movement itself, or a step towards it (common practice,
//! no source (T); that strength grows most in what is trained: Ratamess 2009, MSSE 41:687 (A)).

use setwright_model::brief::{Aim, Priority, Test, TestKind};
use setwright_model::exercise::{LoadKind, Measure};
use setwright_model::pattern::Region;
use setwright_model::{Brief, Catalogue, Exercise, Muscle, Pattern, Station};

/// Visits a week in which it is trained, where there are as many (common practice, no source (T)).
const VISITS_WEEKLY: f64 = 2.0;

/// What exercises are to train: the aims of the brief, and pull-ups of who can do some, came for the back, and told of none as a lift
/// (a told lift is in the programme anyhow).
pub fn trained(brief: &Brief, catalogue: &Catalogue) -> Vec<Aim> {
    let mut out: Vec<Aim> = brief.aims.iter().copied().filter(|aim| *aim != Aim::LessWeight).collect();
    let lifts = brief.lifts.iter().map(|lift| &lift.exercise);
    let mut told = lifts.chain(&brief.present.exercises).filter_map(|id| catalogue.get(id));
    let pulls = came_for_pull_ups(brief) && !told.any(|e| serves(Aim::PullUps, e));
    if pulls && !out.contains(&Aim::PullUps) {
        out.push(Aim::PullUps);
    }
    out
}

/// Pull-ups were counted, and the muscle that does them matters more than others.
fn came_for_pull_ups(brief: &Brief) -> bool {
    let some = |t: &Test| t.what == TestKind::PullUps && t.count > 0;
    let wish = brief.muscles.get(&Muscle::Lats).and_then(|w| w.priority);
    wish >= Some(Priority::High) && brief.tests.iter().any(some)
}

/// Visits of a cycle in which an aim is trained.
pub fn visits(brief: &Brief) -> u32 {
    let weeks = f64::from(brief.time.cycle_days) / 7.0;
    ((VISITS_WEEKLY * weeks).round() as u32).clamp(1, brief.time.sessions.max(1))
}

/// Whether an exercise is what was named, or a step towards it.
pub fn serves(aim: Aim, e: &Exercise) -> bool {
    let body = matches!(e.load, LoadKind::Body | LoadKind::BodyPlus);
    let one_leg = e.unilateral && e.pattern.is_compound() && e.pattern.region() == Region::Lower;
    match aim {
        Aim::Stairs => e.pattern == Pattern::Lunge && e.stations.contains(&Station::Step),
        Aim::Rising => e.pattern == Pattern::Squat && e.measure == Measure::Reps,
        Aim::Steady => e.pattern == Pattern::Lunge || one_leg && e.pattern != Pattern::LegPress,
        Aim::Carrying => e.pattern == Pattern::Carry,
        Aim::PullUps => {
            let helped = e.load == LoadKind::Assisted || e.stations.contains(&Station::PullUpBar);
            e.pattern == Pattern::VerticalPull && (body || helped)
        }
        Aim::PressUps => e.pattern == Pattern::HorizontalPress && body,
        Aim::Jumping => e.pattern == Pattern::Jump,
        Aim::LessWeight => false,
    }
}

/// Whether somebody stands on the legs in it, and bends and straightens them or steps.
pub fn is_on_the_feet(e: &Exercise) -> bool {
    matches!(e.pattern, Pattern::Squat | Pattern::Lunge | Pattern::Hinge) && e.measure == Measure::Reps
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_model::Minutes;
    use setwright_model::brief::{Goal, MuscleWish, Time, TrainingAge};

    fn brief(sessions: u32, cycle_days: u32) -> Brief {
        let time = Time { cycle_days, ..Time::weekly(sessions, Minutes(45.0)) };
        Brief::new("A", Goal::General, TrainingAge::Beginner, time)
    }

    fn nothing() -> Catalogue {
        Catalogue::new([])
    }

    #[test]
    fn an_aim_is_trained_twice_a_week_or_in_every_visit_there_is() {
        let of = |sessions, days| visits(&brief(sessions, days));
        assert_eq!((of(1, 7), of(2, 7), of(4, 7), of(5, 10), of(2, 14)), (1, 2, 2, 3, 2));
    }

    #[test]
    fn who_counted_pull_ups_and_came_for_the_back_wants_more_of_them() {
        let wants = |count: u32, priority: Priority| {
            let mut brief = brief(3, 7);
            brief.tests = vec![Test { what: TestKind::PullUps, count }];
            brief
                .muscles
                .insert(Muscle::Lats, MuscleWish { priority: Some(priority), ..MuscleWish::default() });
            trained(&brief, &nothing())
        };
        assert_eq!(wants(1, Priority::High), [Aim::PullUps]);
        assert!(wants(0, Priority::High).is_empty() && wants(1, Priority::Normal).is_empty());
    }

    #[test]
    fn no_exercise_is_for_less_weight() {
        let brief = Brief { aims: vec![Aim::LessWeight, Aim::Stairs], ..brief(2, 7) };
        assert_eq!(trained(&brief, &nothing()), [Aim::Stairs]);
    }
}
