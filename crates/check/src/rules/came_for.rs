//! What the client came for is trained directly, with sets enough, and in more than one visit (SW163). How early in a session is
//! judged in `order`, what the brief itself says of least and most in `wishes`.

use crate::client::PRESSES;
use crate::scene::{At, Findings, Item, Scene};
use crate::words::{count, number};
use setwright_model::pattern::{Region, Side};
use setwright_model::{Brief, Exercise, Muscle, Severity};

/// Direct sets of a cycle under which a priority is not seen in the sheet (common practice, no source (T)).
const SETS: u32 = 3;
/// So many muscles the client can have come for; of further ones the want is noted (judgement).
const FIRST: usize = 2;
/// Sessions of fewer minutes give what they hold (common practice, no source (T)).
const SHORT_MIN: f64 = 20.0;
/// Rounding of sets a week in a cycle that is not a week (numeric).
const ROUNDING: f64 = 0.95;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let Some(brief) = scene.brief.filter(|_| !scene.stages.is_empty()) else { return };
    let mut wanted: Vec<Muscle> = Muscle::ALL.into_iter().filter(|m| is_wanted(scene, *m)).collect();
    wanted.sort_by_key(|m| std::cmp::Reverse(scene.priority(*m)));
    for (place, muscle) in wanted.into_iter().enumerate() {
        enough(scene, brief, muscle, place < FIRST, out);
        as_much_as_now(scene, brief, muscle, out);
    }
    presses_beside_legs(scene, brief, out);
}

/// More sets of presses than for legs in a client who came for these: pointed out.
fn presses_beside_legs(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let short = scene.stages.iter().any(|s| scene.limit(s.rank).is_some_and(|m| m.get() < SHORT_MIN));
    if !LEGS.iter().any(|m| is_wanted(scene, *m)) || brief.sport.has_days() || short {
        return;
    }
    let wanted = |e: &Exercise| e.prime().is_some_and(|m| scene.is_priority(m));
    let sets = |of: &dyn Fn(&Exercise) -> bool| scene.stages.iter().map(|s| s.sets_of(of)).sum::<u32>();
    let (own, presses) = (sets(&wanted), sets(&|e| PRESSES.contains(&e.pattern) && !wanted(e)));
    if presses > own {
        let cause = format!("{presses} sets of presses beside {own} for what the client came for.");
        out.add(At::Programme, Severity::Note, "SW163", cause, "Give some of them to what they came for.");
    }
}

/// Legs, as far as somebody comes for them.
const LEGS: [Muscle; 3] = [Muscle::Quads, Muscle::Hamstrings, Muscle::Glutes];

/// A priority that can be trained on a focus that has room for it.
fn is_wanted(scene: &Scene<'_>, muscle: Muscle) -> bool {
    let roomy = |e: &Exercise| {
        let other = e.pattern.side() == Side::Other;
        other || scene.is_possible(e.pattern.side())
    };
    let may = |e: &Exercise| e.direct.contains(&muscle) && scene.is_allowed(e) && roomy(e);
    scene.is_priority(muscle) && scene.catalogue.iter().any(may)
}

fn direct(scene: &Scene<'_>, muscle: Muscle) -> (u32, u32) {
    let visits = scene.stages.iter().map(|s| s.sets_of(|e| e.direct.contains(&muscle)));
    visits.filter(|sets| *sets > 0).fold((0, 0), |(sets, visits), n| (sets + n, visits + 1))
}

/// Nothing, little, or all of it in one visit of several.
fn enough(scene: &Scene<'_>, brief: &Brief, muscle: Muscle, first: bool, out: &mut Findings) {
    let (sets, visits) = direct(scene, muscle);
    let short = scene.stages.iter().all(|s| scene.limit(s.rank).is_some_and(|m| m.get() < SHORT_MIN));
    let least = if scene.rules.has_one_set_each() { 1 } else { SETS };
    let name = muscle.name();
    if sets < least {
        // Legs near hard days of a sport have what these leave.
        let spared = brief.sport.has_days() && is_leg(scene, muscle);
        let mild = !first || (sets > 0 && (short || spared));
        let severity = if mild { Severity::Note } else { Severity::Warning };
        let have = if sets == 0 {
            "nothing trains them directly".to_owned()
        } else {
            format!("{} in the whole cycle is for them", count(sets, "set"))
        };
        let cause = format!("The client came for the {name}, and {have}.");
        let hint = format!("Give them {} or more, in two visits where there are two.", count(SETS, "set"));
        out.add(At::Muscle(muscle), severity, "SW163", cause, hint).by(f64::from(least - sets));
    } else if visits < 2 && scene.stages.len() > 1 && brief.style.focus.is_empty() {
        let cause = format!(
            "The client came for the {name}, and they are trained in one visit of {}.",
            scene.stages.len()
        );
        let hint = "Share the sets between two visits.";
        out.add(At::Muscle(muscle), Severity::Note, "SW163", cause, hint);
    }
}

fn is_leg(scene: &Scene<'_>, muscle: Muscle) -> bool {
    scene.catalogue.iter().any(|e| e.prime() == Some(muscle) && e.pattern.region() == Region::Lower)
}

/// Fewer direct sets than the client says they do now, who came for more.
fn as_much_as_now(scene: &Scene<'_>, brief: &Brief, muscle: Muscle, out: &mut Findings) {
    let Some(now) = brief.present.muscles.get(&muscle).filter(|_| !scene.is_returning()) else { return };
    let items = scene.items().map(|(_, i)| i).filter(|i| i.exercise.direct.contains(&muscle));
    let weekly = f64::from(items.map(Item::sets).sum::<u32>()) / scene.weeks();
    if weekly < now.get() * ROUNDING {
        let cause = format!(
            "{} direct sets a week for the {}, which have {} at present and are what the client came for.",
            number(weekly),
            muscle.name(),
            number(now.get())
        );
        out.add(At::Muscle(muscle), Severity::Note, "SW163", cause, "Begin with what is done now.");
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, NONE, NOTE, WARNING, curl, extension, press, row, sets, squat, straight};
    use setwright_model::brief::{Focus, MinutesPerSession, Priority, TrainingAge};
    use setwright_model::{FractionalSets, Minutes, Muscle};

    /// Two days of a press, a row and a squat, and so many sets of a curl.
    fn week(curls: [u32; 2]) -> Case {
        let day = |n: u32| {
            let more = (n > 0).then(|| straight(sets("curl", n)));
            ["press", "row", "squat"].map(|id| straight(sets(id, 3))).into_iter().chain(more)
        };
        let case = Case::new([press(), row(), squat(), curl(), extension()]);
        case.day(1, day(curls[0])).day(4, day(curls[1]))
    }

    fn wants(curls: [u32; 2], priority: Priority) -> Case {
        week(curls).wish(Muscle::Biceps, |w| w.priority = Some(priority))
    }

    #[test]
    fn who_came_for_legs_gets_no_more_presses_than_work_for_them() {
        let of = |presses: u32, muscle: Muscle| {
            let day = || [("press", presses), ("row", 3), ("squat", 3)].map(|(id, n)| straight(sets(id, n)));
            let case = Case::new([press(), row(), squat()]).day(1, day()).day(4, day());
            case.wish(muscle, |w| w.priority = Some(Priority::High)).said("SW163")
        };
        assert_eq!((of(4, Muscle::Quads), of(3, Muscle::Quads), of(4, Muscle::Lats)), (NOTE, NONE, NONE));
    }

    #[test]
    fn a_priority_has_direct_sets_enough() {
        let said = |curls, priority| wants(curls, priority).said("SW163");
        for priority in [Priority::High, Priority::Top] {
            assert_eq!(said([0, 0], priority), WARNING);
            assert_eq!(said([1, 1], priority), WARNING);
            assert_eq!(said([2, 1], priority), NONE);
            assert_eq!(said([3, 0], priority), NOTE, "one visit of two");
        }
        assert_eq!(said([0, 0], Priority::Normal), NONE);
    }

    #[test]
    fn what_cannot_be_trained_or_has_no_room_is_not_missed() {
        let top = || wants([0, 0], Priority::Top);
        assert_eq!(top().brief(|b| b.exclude.exercises = vec!["curl".into()]).said("SW163"), NONE);
        let push = top().brief(|b| b.style.focus = vec![Focus::Push, Focus::Legs]);
        assert_eq!(push.said("SW163"), NONE);
    }

    #[test]
    fn short_sessions_and_the_first_weeks_give_what_they_hold() {
        let minutes = |m: f64| {
            let case = wants([1, 1], Priority::Top);
            case.brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(m))).said("SW163")
        };
        assert_eq!((minutes(19.0), minutes(20.0)), (NOTE, WARNING));
        let first = wants([1, 1], Priority::Top).brief(|b| b.training_age = TrainingAge::FirstWeeks);
        assert_eq!(first.said("SW163"), NONE);
    }

    #[test]
    fn of_a_third_muscle_the_want_is_noted() {
        let three = [Muscle::Chest, Muscle::Lats, Muscle::Biceps].into_iter();
        let case = three.fold(week([0, 0]), |c, m| c.wish(m, |w| w.priority = Some(Priority::High)));
        assert_eq!(case.clone().said("SW163"), NOTE, "chest and back are trained");
        let top = case.wish(Muscle::Biceps, |w| w.priority = Some(Priority::Top));
        assert_eq!(top.said("SW163"), WARNING, "the top one is among the first two");
    }

    #[test]
    fn legs_near_a_sport_have_what_it_leaves() {
        let quads = |sport: bool| {
            let case = Case::new([press(), row(), squat()]).day(1, [straight(sets("squat", 2))]);
            let case = case.wish(Muscle::Quads, |w| w.priority = Some(Priority::High));
            case.brief(|b| b.sport.hard_days = if sport { vec![2] } else { Vec::new() }).said("SW163")
        };
        assert_eq!((quads(true), quads(false)), (NOTE, WARNING));
    }

    #[test]
    fn it_gets_no_less_than_now() {
        let now = |n: f64| {
            let case = wants([3, 3], Priority::High);
            case.brief(|b| b.present.muscles = [(Muscle::Biceps, FractionalSets(n))].into()).said("SW163")
        };
        assert_eq!((now(6.0), now(7.0)), (NONE, NOTE));
    }
}
