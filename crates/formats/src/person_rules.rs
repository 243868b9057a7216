//! What a brief must keep where it speaks of the person: numbers within their limits, and nothing that cannot be true
//! at the same time. Whether somebody may train is not decided here.

use super::bounds::Bounds;
use super::positions::{PathStep, Positions};
use setwright_model::brief::{Brief, TestKind, Tick};
use setwright_model::code::Code;
use setwright_model::limits::{
    LIST_MAX, NAME_CHARS_MAX, PRESENT_SESSIONS_MAX, PRESENT_SETS_MAX, TEST_COUNT_MAX, WEEKLY_SETS_MAX,
};
use setwright_model::refusal::Refusals;
use setwright_science::conditions;

/// Everything the brief breaks.
pub fn check(brief: &Brief, places: &dyn Positions) -> Refusals {
    let mut bounds = Bounds::new(places);
    if !brief.gym.is_empty() {
        bounds.text(&["gym".into()], "name of the gym", &brief.gym, NAME_CHARS_MAX, false);
    }
    lengths(brief, &mut bounds);
    named_twice(brief, &mut bounds);
    answers(brief, &mut bounds);
    ticks(brief, &mut bounds);
    tests(brief, &mut bounds);
    present(brief, &mut bounds);
    sport(brief, &mut bounds);
    bounds.problems
}

fn lengths(brief: &Brief, bounds: &mut Bounds<'_>) {
    let lists = [("test", brief.tests.len()), ("present", brief.present.exercises.len())];
    for (name, len) in lists {
        if len > LIST_MAX {
            bounds.refuse(
                &[name.into()],
                Code::TooMany,
                format!("There are {len} entries under \"{name}\"; at most {LIST_MAX} are read."),
                "Keep what matters for this client.",
            );
        }
    }
}

/// A word that stands twice in a list is mostly meant to be another one.
fn named_twice(brief: &Brief, bounds: &mut Bounds<'_>) {
    let lists = [
        ("conditions", brief.conditions.iter().map(|c| c.id()).collect::<Vec<_>>()),
        ("aims", brief.aims.iter().map(|a| a.id()).collect()),
        ("hurts", brief.hurts.iter().map(|h| h.id()).collect()),
        ("can", brief.can.iter().map(|t| t.id()).collect()),
        ("cannot", brief.cannot.iter().map(|t| t.id()).collect()),
    ];
    for (field, words) in lists {
        for (i, word) in words.iter().enumerate().take(LIST_MAX) {
            if words[..i].contains(word) {
                bounds.refuse(
                    &[field.into(), i.into()],
                    Code::BriefContradicts,
                    format!("\"{word}\" stands twice under \"{field}\"."),
                    "Name it once.",
                );
            }
        }
    }
}

/// Conditions against the answers before training.
fn answers(brief: &Brief, bounds: &mut Bounds<'_>) {
    for (question, condition) in conditions::contradicted(brief) {
        bounds.refuse(
            &["screening".into(), question.id().into()],
            Code::BriefContradicts,
            format!("The brief names {}, and the answer to \"{}\" is no.", condition.name(), question.id()),
            &format!(
                "Ask again. With this condition the answer is {} = true, and a clinician comes first.",
                question.id()
            ),
        );
    }
}

/// What is both possible and impossible.
fn ticks(brief: &Brief, bounds: &mut Bounds<'_>) {
    for (i, tick) in brief.cannot.iter().enumerate().take(LIST_MAX) {
        let clash = brief.can.iter().find(|can| *can == tick || (**can, *tick) == (Tick::PullUp, Tick::Hang));
        if let Some(can) = clash {
            bounds.refuse(
                &["cannot".into(), i.into()],
                Code::BriefContradicts,
                format!("\"{}\" is under \"can\", and \"{}\" under \"cannot\".", can.id(), tick.id()),
                "Keep one of the two; what was not tried is under neither.",
            );
        }
    }
}

fn tests(brief: &Brief, bounds: &mut Bounds<'_>) {
    for (i, test) in brief.tests.iter().enumerate().take(LIST_MAX) {
        let at = ["test".into(), i.into(), "count".into()];
        let of = if test.what == TestKind::Plank { "seconds of a plank" } else { "reps of a test" };
        bounds.count(&at, of, test.count, (0, TEST_COUNT_MAX));
        let Some(tick) = conditions::tick_of(test.what) else { continue };
        let (list, name) = if test.count == 0 { (&brief.can, "can") } else { (&brief.cannot, "cannot") };
        if list.contains(&tick) {
            bounds.refuse(
                &at,
                Code::BriefContradicts,
                format!("The test counts {}, and \"{}\" is under \"{name}\".", test.count, tick.id()),
                "Keep what was seen last.",
            );
        }
    }
}

fn present(brief: &Brief, bounds: &mut Bounds<'_>) {
    let week = &brief.present;
    let at = |field: &'static str| ["present".into(), field.into()];
    if let Some(sessions) = week.sessions {
        bounds.count(&at("sessions"), "sessions a week", sessions, (0, PRESENT_SESSIONS_MAX));
    }
    if let Some(sets) = week.sets {
        bounds.count(&at("sets"), "work sets a week", sets, (0, PRESENT_SETS_MAX));
    }
    for (muscle, sets) in &week.muscles {
        let path = ["present".into(), "muscles".into(), muscle.id().into()];
        bounds.number(&path, "sets a week of a muscle", sets.get(), (0.0, WEEKLY_SETS_MAX));
    }
    let trains = week.sets.is_some_and(|sets| sets > 0)
        || !week.exercises.is_empty()
        || week.muscles.values().any(|sets| sets.get() > 0.0);
    if week.sessions == Some(0) && trains {
        bounds.refuse(
            &at("sessions"),
            Code::BriefContradicts,
            "There are 0 sessions in the present week, and sets or exercises in it.".to_owned(),
            "For somebody who has stopped keep sessions = 0 alone; what was lifted before goes under [[lift]].",
        );
    }
}

fn sport(brief: &Brief, bounds: &mut Bounds<'_>) {
    let sport = &brief.sport;
    if !sport.name.is_empty() {
        bounds.text(
            &["sport".into(), "name".into()],
            "name of the sport",
            &sport.name,
            NAME_CHARS_MAX,
            false,
        );
    }
    for (field, days) in [("hard_days", &sport.hard_days), ("match_days", &sport.match_days)] {
        for (i, &day) in days.iter().enumerate().take(LIST_MAX) {
            let path = ["sport".into(), field.into(), i.into()];
            sport_day(&path, day, &days[..i], brief.time.cycle_days, bounds);
        }
    }
}

fn sport_day(path: &[PathStep<'_>], day: u32, before: &[u32], cycle_days: u32, bounds: &mut Bounds<'_>) {
    let (cause, hint) = if day == 0 || day > cycle_days {
        let hint = format!("Days count from 1 to {cycle_days}, as under [time].");
        (format!("Day {day} is not in a cycle of {cycle_days} days."), hint)
    } else if before.contains(&day) {
        (format!("Day {day} is named twice."), "Name each such day once.".to_owned())
    } else {
        return;
    };
    bounds.refuse(path, Code::TimeDoesNotFit, cause, &hint);
}

#[cfg(test)]
mod tests {
    use super::super::brief::{parse, write};
    use super::super::read::Source;
    use setwright_gym::catalogue::builtin;
    use setwright_model::brief::{Brief, Condition, Hurts, Sex, Tick};

    const HEAD: &str = "name = \"A\"\ngoal = \"size\"\ntraining_age = \"beginner\"\n";
    const TIME: &str = "[time]\nsessions = 2\nminutes = 60\n";

    fn read(top: &str, tables: &str) -> Result<Brief, Vec<(String, String)>> {
        let source = Source { name: "a.toml".to_owned(), text: format!("{HEAD}{top}\n{TIME}{tables}\n") };
        parse(&source, builtin())
            .map_err(|problems| problems.into_iter().map(|p| (p.to_string(), p.hint)).collect())
    }

    /// Expects one refusal whose text and hint hold these.
    #[track_caller]
    fn refused(top: &str, tables: &str, what: &str, hint: &str) {
        let problems = read(top, tables).unwrap_err();
        assert_eq!(problems.len(), 1, "{problems:?}");
        assert!(problems[0].0.contains(what), "{problems:?}");
        assert!(problems[0].1.contains(hint), "{problems:?}");
    }

    const FULL: (&str, &str) = (
        "conditions = [\"low_back_pain\", \"hypertension\"]\nhurts = [\"kneeling\"]\ncan = [\"hang\"]\ncannot = \
         [\"pull_up\"]\nalone = false\ngym = \"The Yard\"",
        "early = true\n[present]\nsessions = 2\nsets = 20\nexercises = [\"bench press\"]\n[present.muscles]\nchest = 6\n\
         [sport]\nname = \"football\"\nhard_days = [3, 6]\n[body]\nsex = \"female\"\n[[test]]\nwhat = \"press_ups\"\ncount = 4",
    );

    #[test]
    fn everything_said_of_the_person_is_read_and_written_back() {
        let brief = read(FULL.0, FULL.1).unwrap();
        assert_eq!(brief.conditions, [Condition::LowBackPain, Condition::HighBloodPressure]);
        assert_eq!((&brief.hurts[..], &brief.can[..]), (&[Hurts::Kneeling][..], &[Tick::Hang][..]));
        assert_eq!((brief.alone, brief.gym.as_str(), brief.time.early), (Some(false), "The Yard", true));
        assert_eq!(brief.present.exercises, ["bench_press".into()]);
        assert_eq!((brief.body.sex, brief.tests[0].count), (Some(Sex::Female), 4));
        let text = write(&brief);
        let again = parse(&Source { name: "again".to_owned(), text: text.clone() }, builtin());
        assert_eq!(again.as_ref(), Ok(&brief), "{text}");
        assert!(text.contains("conditions = [") && text.contains("alone = false"), "{text}");
    }

    #[test]
    fn what_was_not_said_is_not_written() {
        let text = write(&read("", "").unwrap());
        for field in ["conditions", "hurts", "can", "alone", "gym", "present", "sport", "early", "test"] {
            let is_field = |l: &str| l.starts_with(field) || l.trim_start_matches('[').starts_with(field);
            assert!(!text.lines().any(is_field), "{field}: {text}");
        }
    }

    #[test]
    fn a_stopped_week_is_kept_as_it_was_said() {
        let brief = read("", "[present]\nsessions = 0").unwrap();
        assert!(write(&brief).contains("sessions = 0"));
        assert_eq!(brief.present.sessions, Some(0));
    }

    #[test]
    fn a_misspelt_word_gets_its_nearest_neighbour() {
        refused("conditions = [\"britle_bones\"]", "", "a.toml:4:15: SW010", "\"brittle_bones\"");
        refused("hurts = [\"stair\"]", "", "\"stair\"", "\"stairs\"");
        refused("can = [\"full_pressup\"]", "", "\"full_pressup\"", "\"full_press_up\"");
        refused("", "[present]\nexercises = [\"bench pres\"]", "SW011", "\"bench press\"");
        refused("conditoins = [\"heart\"]", "", "SW007", "\"conditions\"");
    }

    #[test]
    fn answers_that_deny_a_condition_are_refused_and_open_ones_are_not() {
        let heart = "conditions = [\"heart\"]";
        refused(heart, "[screening]\nknown_disease = false", "a.toml:9:17: SW092", "known_disease = true");
        refused("conditions = [\"pregnancy\"]", "[screening]\nother = false", "pregnancy", "other = true");
        assert!(read(heart, "[screening]\nknown_disease = true").is_ok());
        assert!(read(heart, "").is_ok());
        assert!(read("conditions = [\"high_blood_pressure\"]", "[screening]\nknown_disease = false").is_ok());
    }

    #[test]
    fn what_is_both_possible_and_not_is_refused() {
        refused("can = [\"hang\"]\ncannot = [\"hang\"]", "", "SW092", "Keep one");
        refused("can = [\"pull_up\"]\ncannot = [\"hang\"]", "", "\"pull_up\" is under \"can\"", "Keep one");
        assert!(read("can = [\"hang\"]\ncannot = [\"pull_up\"]", "").is_ok());
        let none = "[[test]]\nwhat = \"pull_ups\"\ncount = 0";
        refused("can = [\"pull_up\"]", none, "The test counts 0", "seen last");
        assert!(read("cannot = [\"pull_up\"]", none).is_ok());
        refused("hurts = [\"stairs\", \"stairs\"]", "", "stands twice", "once");
    }

    #[test]
    fn numbers_of_the_present_week_and_of_tests_have_limits_on_both_sides() {
        assert!(read("", "[present]\nsessions = 14\nsets = 400").is_ok());
        refused("", "[present]\nsessions = 15", "15 sessions a week", "between 0 and 14");
        refused("", "[present]\nsets = 401", "401 work sets", "400");
        refused("", "[present.muscles]\nchest = 61", "61 sets a week", "60");
        refused("", "[present]\nsessions = 0\nsets = 12", "0 sessions", "stopped");
        assert!(read("", "[[test]]\nwhat = \"plank\"\ncount = 900").is_ok());
        refused("", "[[test]]\nwhat = \"plank\"\ncount = 901", "901 seconds of a plank", "900");
    }

    #[test]
    fn lifts_and_equipment_are_read_in_pounds_and_written_so_that_they_stay() {
        let lift = "[[lift]]\nexercise = \"bench press\"\nload_lb = 135\nreps = 5";
        let gym = "[equipment]\nbar_lb = 45\ndumbbells_lb = [10, 12.5]\nstack_step_lb = 10\n\
                   [equipment.disc_pairs_lb]\n\"45\" = 2\n[equipment.disc_pairs]\n\"10\" = 1\n\"2.5 lb\" = 1";
        let brief = read("", &format!("{gym}\n{lift}")).unwrap();
        assert_eq!(brief.lifts[0].load_kg, setwright_model::Kilograms::from_lb(135.0));
        let text = write(&brief);
        let again = parse(&Source { name: "again".to_owned(), text: text.clone() }, builtin());
        assert_eq!(again.as_ref(), Ok(&brief), "{text}");
    }

    #[test]
    fn pounds_have_their_limits_and_one_load_has_one_unit() {
        let equipment = |line: &str| format!("[equipment]\n{line}");
        assert!(read("", &equipment("bar_lb = 88.1")).is_ok());
        refused("", &equipment("bar_lb = 88.2"), "88.2 lb of the bar", "88.1");
        refused("", &equipment("bar_lb = 45\nbar_kg = 20"), "Both bar_kg and bar_lb", "stands on it");
        refused("", &equipment("dumbbells_lb = [300]"), "300 lb of one weight", "264.5");
        refused("", "[equipment.disc_pairs_lb]\n\"120\" = 1", "120 lb of a disc", "110.2");
        refused("", "[equipment.disc_pairs]\n\"45 lb\" = 0", "0 pairs of 45 lb discs", "not there");
        refused("", "[equipment.disc_pairs]\n\"big\" = 1", "not the weight of a disc", "45 lb");
        let lift = |load: &str| format!("[[lift]]\nexercise = \"bench press\"\nreps = 5\n{load}");
        refused("", &lift("load_kg = 60\nload_lb = 135"), "load_kg and load_lb", "one of the two");
        refused("", &lift(""), "SW008: The field \"load_kg\" is missing", "load_kg = 60");
        refused("", &lift("load_lbs = 135"), "SW007", "\"load_lb\"");
    }

    #[test]
    fn hard_days_are_days_of_the_cycle() {
        assert!(read("", "[sport]\nhard_days = [1, 7]").is_ok());
        refused("", "[sport]\nhard_days = [8]", "Day 8 is not in a cycle of 7 days", "1 to 7");
        refused("", "[sport]\nhard_days = [2, 2]", "named twice", "once");
        assert!(read("", "[sport]\nhard_days = [2]\nmatch_days = [7]").is_ok());
        refused("", "[sport]\nmatch_days = [0]", "Day 0 is not in a cycle of 7 days", "1 to 7");
        refused("gym = \"\\u0007\"", "", "SW018", "plain letters");
    }
}
