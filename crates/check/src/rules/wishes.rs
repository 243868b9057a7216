//! What each muscle is to get: least (SW104), most (SW105) and how often (SW106). Recovery is judged elsewhere.

use crate::rules::trunk_and_arms::misses_the_trunk;
use crate::scene::{At, Findings, Item, Scene};
use crate::words::{count, number};
use setwright_model::brief::{MuscleWish, Priority};
use setwright_model::exercise::Measure;
use setwright_model::pattern::Side;
use setwright_model::{Brief, Exercise, FractionalSets, Muscle, Severity};
use setwright_science::dose;
use setwright_science::rules::TRAINED_SETS;

/// Fractional sets a week by which a wish may be missed without a word (judgement: rounding only).
const TOLERANCE_SETS: f64 = 0.05;
/// Where nobody asks for more, one set of a movement reaches its helpers too (judgement).
const REACHED_SETS: f64 = 0.5;

/// The muscles whose want is mended; the others are trained in passing, and their want is noted.
const BIG: [Muscle; 6] =
    [Muscle::Chest, Muscle::Lats, Muscle::UpperBack, Muscle::Quads, Muscle::Glutes, Muscle::Hamstrings];

/// Fractional sets of a muscle over the cycle, scaled to a week.
pub(crate) fn weekly(scene: &Scene<'_>, muscle: Muscle) -> f64 {
    let total: f64 = scene.stages.iter().map(|s| s.dose(muscle)).sum();
    dose::per_week(FractionalSets(total), scene.programme.cycle_days).get()
}

/// Of these what is held for seconds or carried: no set towards a least, but for the forearms and what the coach has fixed
/// (common practice, no source (T)).
fn held(scene: &Scene<'_>, muscle: Muscle) -> f64 {
    let is_held = |e: &Exercise| e.measure != Measure::Reps && e.prime() != Some(Muscle::Forearms);
    let items = scene.items().map(|(_, i)| i);
    let items = items.filter(|i| is_held(i.exercise) && !scene.is_locked_anywhere(&i.exercise.id));
    let each = |i: &Item<'_>| {
        let share = i.exercise.contributions().find(|(m, _)| *m == muscle).map_or(0.0, |(_, c)| c);
        share * f64::from(i.sets())
    };
    let total: f64 = items.map(each).sum();
    dose::per_week(FractionalSets(total), scene.programme.cycle_days).get()
}

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let Some(brief) = scene.brief else { return };
    for (muscle, wish) in &brief.muscles {
        amount(scene, *muscle, wish, out);
        if let Some(wanted) = wish.sessions {
            let enough = if scene.is_first_weeks() { REACHED_SETS } else { TRAINED_SETS };
            often(scene, *muscle, (wanted, enough), Severity::Error, out);
        }
    }
    for muscle in Muscle::MAJOR {
        major(scene, brief, muscle, out);
    }
}

fn amount(scene: &Scene<'_>, muscle: Muscle, wish: &MuscleWish, out: &mut Findings) {
    let weekly = weekly(scene, muscle);
    let counted = weekly - held(scene, muscle);
    if let Some(least) = wish.least.filter(|l| counted < l.get() - TOLERANCE_SETS) {
        let cause = format!(
            "{} fractional sets a week; at least {} are asked.",
            number(counted),
            number(least.get())
        );
        let more = (least.get() - counted).ceil();
        out.error(At::Muscle(muscle), "SW104", cause, format!("Add {more} direct sets a week."))
            .by(least.get() - counted);
    }
    if let Some(most) = wish.most.filter(|m| weekly > m.get() + TOLERANCE_SETS) {
        let cause =
            format!("{} fractional sets a week; at most {} are allowed.", number(weekly), number(most.get()));
        let fewer = (weekly - most.get()).ceil();
        out.error(At::Muscle(muscle), "SW105", cause, format!("Drop {fewer} direct sets a week."))
            .by(weekly - most.get());
    }
}

/// Major muscles are reached as often as the rules want, unless they matter little or cannot be trained. Mended: once a
/// week is little, and no harm.
fn major(scene: &Scene<'_>, brief: &Brief, muscle: Muscle, out: &mut Findings) {
    let asked_already = brief.muscles.get(&muscle).is_some_and(|w| w.sessions.is_some());
    let matters = scene.priority(muscle) > Priority::Low && !brief.exclude.muscles.contains(&muscle);
    if asked_already || !matters || !scene.can_train(muscle) || is_named_elsewhere(scene, muscle) {
        return;
    }
    let wanted = scene.rules.major_sessions.min(brief.time.sessions);
    let severity = if BIG.contains(&muscle) { Severity::Warning } else { Severity::Note };
    often(scene, muscle, (wanted, REACHED_SETS), severity, out);
}

/// Whether the whole movement is missing that a muscle is trained by: `movements` says so, or `trunk_and_arms`.
fn is_named_elsewhere(scene: &Scene<'_>, muscle: Muscle) -> bool {
    let side = match muscle {
        Muscle::Quads => Side::Knee,
        Muscle::Hamstrings | Muscle::Glutes => Side::Hip,
        Muscle::Chest | Muscle::FrontDelts => Side::Push,
        Muscle::Lats | Muscle::UpperBack => Side::Pull,
        Muscle::Abs => return misses_the_trunk(scene),
        _ => return false,
    };
    scene.items().all(|(_, i)| i.exercise.pattern.side() != side && i.exercise.pattern.side() != Side::Whole)
}

/// In so many sessions with so much of it.
fn often(
    scene: &Scene<'_>,
    muscle: Muscle,
    (wanted, enough): (u32, f64),
    severity: Severity,
    out: &mut Findings,
) {
    let have = scene.stages.iter().filter(|s| s.dose(muscle) >= enough).count() as u32;
    if have < wanted {
        let cause = format!(
            "Trained in {} of the cycle with at least {} fractional sets; {wanted} are asked.",
            count(have, "session"),
            number(enough)
        );
        let hint = format!("Add an exercise for the {} to another session.", muscle.name());
        out.add(At::Muscle(muscle), severity, "SW106", cause, hint).by(f64::from(wanted - have));
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, WARNING, press, sets, straight};
    use setwright_model::brief::{Focus, Priority, TrainingAge};
    use setwright_model::{FractionalSets, Muscle};

    /// Chest 6, triceps 3 a week in two sessions.
    fn case() -> Case {
        let three = || [straight(sets("press", 3))];
        Case::new([press()]).day(1, three()).day(4, three())
    }

    #[test]
    fn least_and_most_are_kept_to_the_rounding() {
        let least = |sets| case().wish(Muscle::Chest, |w| w.least = Some(FractionalSets(sets))).said("SW104");
        assert_eq!(least(6.0), NONE);
        assert_eq!(least(6.04), NONE);
        assert_eq!(least(6.06), ERROR);
        let most = |sets| case().wish(Muscle::Chest, |w| w.most = Some(FractionalSets(sets))).said("SW105");
        assert_eq!(most(6.0), NONE);
        assert_eq!(most(5.96), NONE);
        assert_eq!(most(5.94), ERROR);
    }

    #[test]
    fn doses_are_scaled_to_a_week_and_indirect_sets_count_half() {
        let wish = |muscle, sets| {
            let mut case = case().wish(muscle, |w| w.least = Some(FractionalSets(sets)));
            case.programme.cycle_days = 14;
            case.said("SW104")
        };
        assert_eq!(wish(Muscle::Chest, 3.0), NONE);
        assert_eq!(wish(Muscle::Chest, 3.1), ERROR);
        assert_eq!(wish(Muscle::Triceps, 1.5), NONE);
        assert_eq!(wish(Muscle::Triceps, 1.6), ERROR);
    }

    #[test]
    fn sessions_asked_for_a_muscle_are_counted_when_they_train_it() {
        let asks = |muscle, n| case().wish(muscle, |w| w.sessions = Some(n)).said("SW106");
        assert_eq!(asks(Muscle::Triceps, 2), NONE, "three half sets are 1.5");
        assert_eq!(asks(Muscle::Triceps, 3), ERROR);
        assert_eq!(asks(Muscle::Calves, 1), ERROR, "asked, and nothing trains it");
    }

    #[test]
    fn a_dose_just_under_one_set_does_not_count() {
        let thin = |n| {
            let blocks = [straight(sets("press", n))];
            Case::new([press()]).day(1, blocks).wish(Muscle::Triceps, |w| w.sessions = Some(1)).said("SW106")
        };
        assert_eq!(thin(2), NONE);
        assert_eq!(thin(1), ERROR);
    }

    #[test]
    fn major_muscles_are_reached_twice_when_they_can_be() {
        let once = Case::new([press()]).day(1, [straight(sets("press", 3))]).day(4, []);
        assert_eq!(once.said("SW106"), WARNING, "only the chest has an exercise of its own");
        assert_eq!(case().said("SW106"), NONE);
        let with_focus = once.clone().brief(|b| b.style.focus = vec![Focus::Push, Focus::Lower]);
        assert_eq!(with_focus.said("SW106"), WARNING);
        let low = once.clone().wish(Muscle::Chest, |w| w.priority = Some(Priority::Low));
        assert_eq!(low.said("SW106"), NONE);
        let excluded = once.brief(|b| b.exclude.muscles = vec![Muscle::Chest]);
        assert_eq!(excluded.said("SW106"), NONE);
    }

    #[test]
    fn in_the_first_weeks_half_a_set_reaches_a_muscle() {
        let case = |age| {
            let one = || [straight(sets("press", 1))];
            let case = Case::new([press()]).day(1, one()).day(4, one()).brief(|b| b.training_age = age);
            case.wish(Muscle::Triceps, |w| w.sessions = Some(2)).said("SW106")
        };
        assert_eq!(case(TrainingAge::FirstWeeks), NONE);
        assert_eq!(case(TrainingAge::Intermediate), ERROR);
    }

    #[test]
    fn without_a_brief_nothing_is_wished() {
        let report = case().report_alone();
        assert!(report.findings.iter().all(|f| !["SW104", "SW105", "SW106"].contains(&f.code)));
    }
}
