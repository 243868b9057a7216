//! Which days the sessions are on, and how many there are (SW107). Recovery is judged elsewhere.

use crate::scene::{At, Findings, Scene};
use crate::words::{count, list};
use setwright_model::Brief;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    in_cycle(scene, out);
    one_a_day(scene, out);
    if let Some(brief) = scene.brief {
        asked(scene, brief, out);
    }
}

fn in_cycle(scene: &Scene<'_>, out: &mut Findings) {
    let cycle = scene.programme.cycle_days;
    for stage in &scene.stages {
        let day = stage.session.day;
        if day == 0 || day > cycle {
            let cause = format!("Day {day} is outside the cycle of {}.", count(cycle, "day"));
            out.error(At::Session(stage.rank), "SW107", cause, format!("Choose a day from 1 to {cycle}."));
        }
    }
}

fn one_a_day(scene: &Scene<'_>, out: &mut Findings) {
    for pair in scene.stages.windows(2) {
        let day = pair[1].session.day;
        if pair[0].session.day == day {
            let cause = format!("Day {day} already has a session.");
            out.error(At::Session(pair[1].rank), "SW107", cause, "Move one of the two to a free day.");
        }
    }
}

fn asked(scene: &Scene<'_>, brief: &Brief, out: &mut Findings) {
    let (have, want) = (scene.stages.len() as u32, brief.time.sessions);
    if have != want {
        let cause = format!("It has {} and the brief asks for {want}.", count(have, "session"));
        let hint =
            if have < want { "Add the missing sessions." } else { "Take sessions out, or ask for more." };
        out.error(At::Programme, "SW107", cause, hint);
    }
    let (cycle, asked) = (scene.programme.cycle_days, brief.time.cycle_days);
    if cycle != asked {
        let cause = format!("It repeats every {} and the brief says {asked}.", count(cycle, "day"));
        out.error(At::Programme, "SW107", cause, format!("Set the cycle to {asked} days."));
    }
    let (days, which) = match (&brief.time.days, &brief.time.possible_days) {
        (fixed, _) if !fixed.is_empty() => (fixed, "fixed"),
        (_, possible) => (possible, "possible"),
    };
    for stage in scene.stages.iter().filter(|s| !days.is_empty() && !days.contains(&s.session.day)) {
        let cause = format!("Day {} is not among the {which} days.", stage.session.day);
        let names: Vec<String> = days.iter().map(u32::to_string).collect();
        out.error(At::Session(stage.rank), "SW107", cause, format!("Move it to day {}.", list_or(&names)));
    }
}

fn list_or(names: &[String]) -> String {
    list(names).replace(" and ", " or ")
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, press, sets, straight, tally};

    fn on(days: &[u32]) -> Case {
        days.iter().fold(Case::new([press()]), |case, day| case.day(*day, [straight(sets("press", 3))]))
    }

    #[test]
    fn days_are_inside_the_cycle() {
        assert_eq!(on(&[1, 7]).said("SW107"), NONE);
        assert_eq!(on(&[1, 8]).said("SW107"), ERROR);
        assert_eq!(on(&[0, 7]).said("SW107"), ERROR);
    }

    #[test]
    fn a_day_holds_one_session() {
        assert_eq!(on(&[3, 3]).said("SW107"), ERROR);
        assert_eq!(on(&[3, 4]).said("SW107"), NONE);
    }

    #[test]
    fn there_are_as_many_sessions_as_asked() {
        let asks = |sessions| on(&[1, 4]).brief(|b| b.time.sessions = sessions).said("SW107");
        assert_eq!(asks(2), NONE);
        assert_eq!(asks(1), ERROR);
        assert_eq!(asks(3), ERROR);
    }

    #[test]
    fn the_cycle_is_as_long_as_asked() {
        assert_eq!(on(&[1]).brief(|b| b.time.cycle_days = 7).said("SW107"), NONE);
        assert_eq!(on(&[1]).brief(|b| b.time.cycle_days = 9).said("SW107"), ERROR);
    }

    #[test]
    fn fixed_and_possible_days_are_kept() {
        let fixed = |days: Vec<u32>| on(&[2, 5]).brief(|b| b.time.days = days).said("SW107");
        assert_eq!(fixed(vec![2, 5]), NONE);
        assert_eq!(fixed(vec![2, 6]), ERROR);
        let possible = |days: Vec<u32>| on(&[2, 5]).brief(|b| b.time.possible_days = days).said("SW107");
        assert_eq!(possible(vec![1, 2, 3, 5]), NONE);
        assert_eq!(possible(vec![1, 2, 3, 4]), ERROR);
    }

    #[test]
    fn without_a_brief_only_the_cycle_counts() {
        assert_eq!(tally(&on(&[2, 5]).brief(|b| b.time.sessions = 4).report_alone(), "SW107"), NONE);
        assert_eq!(tally(&on(&[2, 9]).report_alone(), "SW107"), ERROR);
    }
}
