//! How much a session holds for its minutes (SW108), and whether it is far beyond that (SW118); the same of the first cycle
//! beside the present week. Amounts are mended and never refused: another coach may have a reason.

use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::{count, number};
use setwright_model::Severity;
use setwright_science::amounts;

/// Sets above the most that are rounding (judgement: one in twenty).
const ROUNDING: f64 = 1.05;
/// Times the most from which a session is another session (judgement: nearly a third more).
pub(crate) const FAR: f64 = 1.3;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        sets(scene, stage, out);
        exercises(scene, stage, out);
    }
    if !out.iter().any(|f| matches!(f.at, At::Session(_)) && ["SW108", "SW118"].contains(&f.code)) {
        beside_the_present_week(scene, out);
    }
}

/// All sets of the first cycle against those of the week as it is now, where no session was found too full already.
fn beside_the_present_week(scene: &Scene<'_>, out: &mut Findings) {
    let Some((brief, most)) = scene.brief.and_then(|b| Some((b, amounts::cycle_sets(b)?))) else { return };
    let have: u32 = scene.items().map(|(_, i)| i.sets()).sum();
    if f64::from(have) <= f64::from(most) * ROUNDING {
        return;
    }
    let code = if f64::from(have) > f64::from(most) * FAR { "SW118" } else { "SW108" };
    let cause = format!(
        "{} in a cycle for somebody who does {} a week at present; {most} are a step.",
        count(have, "set"),
        brief.present.sets.unwrap_or_default()
    );
    let hint = "Begin nearer to what is done now, and add from cycle to cycle.";
    out.add(At::Programme, Severity::Warning, code, cause, hint).by(f64::from(have) - f64::from(most));
}

fn sets(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let (Some(brief), Some(minutes)) = (scene.brief, scene.limit(stage.rank)) else { return };
    let most = f64::from(amounts::session_sets(brief, minutes));
    let have = stage.items.iter().map(Item::sets).sum::<u32>();
    if f64::from(have) <= most * ROUNDING {
        return;
    }
    let code = if f64::from(have) > most * FAR { "SW118" } else { "SW108" };
    let cause = format!(
        "{} in {} minutes; a coach writes {most} at most for this client.",
        count(have, "set"),
        number(minutes.get())
    );
    let hint = "Drop the sets that add least, or give the session more minutes.";
    out.add(At::Session(stage.rank), Severity::Warning, code, cause, hint).by(f64::from(have) - most);
}

fn exercises(scene: &Scene<'_>, stage: &Stage<'_>, out: &mut Findings) {
    let Some(minutes) = scene.limit(stage.rank) else { return };
    let most = amounts::session_exercises(minutes);
    let have = stage.items.len() as u32;
    // An exercise of one set takes half the time of setting up, warming up and two sets.
    let halves: u32 = stage.items.iter().map(|i| i.sets().min(2)).sum();
    if halves > 2 * most {
        let cause = format!(
            "{} in {} minutes; {most} can be set up and done well.",
            count(have, "exercise"),
            number(minutes.get())
        );
        let hint = "Take out the exercises that add least, and give their sets to the others.";
        out.add(At::Session(stage.rank), Severity::Warning, "SW108", cause, hint)
            .by(f64::from(have.saturating_sub(most)));
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, NONE, WARNING, exercise, sets, straight, tally};
    use setwright_model::brief::{MinutesPerSession, TrainingAge};
    use setwright_model::{FractionalSets, Minutes, Muscle, Pattern};

    /// So many exercises of so many sets each, in an hour or other minutes.
    fn case(exercises: usize, n: u32, minutes: f64) -> Case {
        let all: Vec<_> = (0..exercises)
            .map(|i| exercise(&format!("e{i}"), Pattern::ALL[i], &[Muscle::Calves], &[]))
            .collect();
        let blocks: Vec<_> = all.iter().map(|e| straight(sets(e.id.as_str(), n))).collect();
        let case =
            Case::new(all).day(1, blocks).wish(Muscle::Calves, |w| w.most = Some(FractionalSets(100.0)));
        case.brief(|b| b.time.minutes = MinutesPerSession::Same(Minutes(minutes)))
    }

    #[test]
    fn an_hour_holds_twenty_nine_sets_of_an_intermediate_and_one_is_rounding() {
        assert_eq!(case(10, 3, 60.0).said("SW108"), NONE, "30 sets against 29: rounding");
        assert_eq!(case(8, 4, 60.0).said("SW108"), WARNING, "32");
        assert_eq!(case(9, 4, 60.0).said("SW118"), NONE, "36 is not 1.3 times as many");
        assert_eq!(case(10, 4, 60.0).said("SW118"), WARNING, "40 is");
        assert_eq!(case(10, 4, 60.0).said("SW108"), NONE, "said once");
    }

    #[test]
    fn older_and_newer_clients_are_given_less() {
        let older = case(8, 3, 60.0).brief(|b| b.body.age = Some(70));
        assert_eq!(older.said("SW108"), NONE, "24 against 23");
        assert_eq!(case(9, 3, 60.0).brief(|b| b.body.age = Some(70)).said("SW108"), WARNING);
        let new = |n| case(n, 3, 60.0).brief(|b| b.training_age = TrainingAge::Beginner).said("SW108");
        assert_eq!((new(9), new(10)), (NONE, WARNING), "27 against 26, then 30");
    }

    #[test]
    fn every_six_minutes_hold_an_exercise() {
        assert_eq!(case(10, 2, 60.0).said("SW108"), NONE);
        assert_eq!(case(11, 2, 60.0).said("SW108"), WARNING);
        assert_eq!(case(6, 2, 20.0).said("SW108"), NONE, "three pairs always fit");
        assert_eq!(case(12, 1, 36.0).said("SW108"), NONE, "single sets take half the time");
        assert_eq!(case(13, 1, 36.0).said("SW108"), WARNING);
    }

    #[test]
    fn the_first_cycle_is_near_the_present_week() {
        let told = |n: u32, now: u32| {
            let all: Vec<_> =
                (0..5).map(|i| exercise(&format!("e{i}"), Pattern::ALL[i], &[Muscle::Calves], &[])).collect();
            let blocks = || all.iter().map(|e| straight(sets(e.id.as_str(), n))).collect::<Vec<_>>();
            let case = Case::new(all.clone()).day(1, blocks()).day(3, blocks()).day(5, blocks());
            case.wish(Muscle::Calves, |w| w.most = Some(FractionalSets(100.0)))
                .brief(|b| b.present.sets = Some(now))
        };
        assert_eq!(told(3, 36).said("SW108"), NONE, "45 sets against 44: rounding");
        assert_eq!(told(3, 30).said("SW108"), WARNING, "45 against 38");
        assert_eq!(told(4, 38).said("SW118"), WARNING, "60 against 46");
        assert_eq!(told(3, 0).said("SW108"), NONE, "a return is judged by its sets");
    }

    #[test]
    fn from_sixty_five_on_a_session_holds_twenty_four_sets() {
        let older = |n: usize| case(n, 3, 120.0).brief(|b| b.body.age = Some(65)).said("SW108");
        assert_eq!((older(8), older(9)), (NONE, WARNING), "24 and 27, whatever the minutes");
    }

    #[test]
    fn without_a_brief_nobody_knows_the_minutes() {
        assert_eq!(tally(&case(13, 4, 60.0).report_alone(), "SW108"), NONE);
    }
}
