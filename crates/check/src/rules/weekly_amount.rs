//! Weekly sets of a muscle beyond what a coach gives (SW109), and far beyond (SW118). What the brief itself says of most
//! and least is judged in `wishes`.

use crate::rules::wishes::weekly;
use crate::scene::{At, Findings, Scene};
use crate::words::{list, number};
use setwright_model::{Brief, Muscle, Severity};
use setwright_science::amounts;

/// Sets above the most that nobody asks about (judgement: one in ten).
const ROUNDING: f64 = 1.1;
/// Times the most from which it is another programme (judgement).
const FAR: f64 = 1.4;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let Some(brief) = scene.brief else { return };
    let over: Vec<(Muscle, f64, f64)> =
        Muscle::ALL.into_iter().filter_map(|m| over(scene, brief, m)).collect();
    let far = |(_, have, most): &&(Muscle, f64, f64)| *have > most * FAR;
    say(over.iter().filter(|o| !far(o)), "SW109", out);
    say(over.iter().filter(far), "SW118", out);
}

/// What a muscle gets and what it is given at most, when that is more than rounding.
fn over(scene: &Scene<'_>, brief: &Brief, muscle: Muscle) -> Option<(Muscle, f64, f64)> {
    if brief.muscles.get(&muscle).is_some_and(|w| w.most.is_some()) {
        return None;
    }
    let (have, most) = (weekly(scene, muscle), amounts::weekly_most(brief, muscle).get());
    (have > most * ROUNDING).then_some((muscle, have, most))
}

fn say<'o>(over: impl Iterator<Item = &'o (Muscle, f64, f64)>, code: &'static str, out: &mut Findings) {
    let over: Vec<_> = over.collect();
    if over.is_empty() {
        return;
    }
    let one = |(m, have, most): &&(Muscle, f64, f64)| {
        format!("{} {} (at most {})", m.name(), number(*have), number(*most))
    };
    let names: Vec<String> = over.iter().map(one).collect();
    let cause = format!("Fractional sets a week beyond what this client is given: {}.", list(&names));
    let excess: f64 = over.iter().map(|(_, have, most)| have - most).sum();
    let hint = "Drop sets there; what is saved can go to a muscle that has few, or be left out.";
    out.add(At::Programme, Severity::Warning, code, cause, hint).by(excess);
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, NONE, WARNING, press, sets, straight};
    use setwright_model::brief::{Priority, TrainingAge};
    use setwright_model::{FractionalSets, Muscle};

    /// Chest work on three days.
    fn chest(n: [u32; 3]) -> Case {
        let days = [1, 3, 5].into_iter().zip(n);
        days.fold(Case::new([press()]), |c, (day, n)| c.day(day, [straight(sets("press", n))]))
    }

    #[test]
    fn an_intermediates_muscle_is_given_sixteen_sets_a_week_and_a_tenth() {
        assert_eq!(chest([6, 6, 5]).said("SW109"), NONE);
        assert_eq!(chest([6, 6, 6]).said("SW109"), WARNING);
        assert_eq!(chest([8, 7, 7]).said("SW118"), NONE, "22 of 16");
        assert_eq!(chest([8, 8, 7]).said("SW118"), WARNING, "23 of 16");
        assert_eq!(chest([8, 8, 7]).said("SW109"), NONE);
    }

    #[test]
    fn new_and_older_clients_have_a_lower_ceiling_and_a_priority_a_higher_one() {
        let beginner = |n| chest(n).brief(|b| b.training_age = TrainingAge::Beginner).said("SW109");
        assert_eq!((beginner([5, 4, 4]), beginner([5, 5, 4])), (NONE, WARNING));
        let older = |n| chest(n).brief(|b| b.body.age = Some(65)).said("SW109");
        assert_eq!((older([5, 5, 4]), older([5, 5, 5])), (NONE, WARNING));
        let top = chest([8, 8, 7]).wish(Muscle::Chest, |w| w.priority = Some(Priority::Top));
        assert_eq!((top.said("SW109"), top.said("SW118")), (NONE, NONE));
    }

    #[test]
    fn the_briefs_own_most_is_judged_elsewhere_and_its_least_fits() {
        let own = chest([8, 8, 7]).wish(Muscle::Chest, |w| w.most = Some(FractionalSets(30.0)));
        assert_eq!(own.said("SW118"), NONE);
        let least = chest([8, 8, 7]).wish(Muscle::Chest, |w| w.least = Some(FractionalSets(22.0)));
        assert_eq!((least.said("SW109"), least.said("SW118")), (NONE, NONE));
    }
}
