//! The named constants of the science in one place, for people who ask what a number is and where it comes from.
//!
//! It holds no number of its own: every value is the constant it names. The planner and the check never look here.

use crate::strength::judge;
use crate::{
    acute, capability, clock, conditions, curve, present, progress, ramp, recovery, roadmap, rules,
    screening, strength, warmup,
};
use setwright_model::Muscle;

/// A named constant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConstantInfo {
    /// Its name, as in the code; the parts of a table have a name each.
    pub name: &'static str,
    /// Its value.
    pub value: f64,
    /// In what it is counted.
    pub unit: &'static str,
    /// What it is.
    pub what: &'static str,
    /// Why it is there.
    pub why: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// The constant of this name, whatever its case.
pub fn find(name: &str) -> Option<&'static ConstantInfo> {
    CONSTANTS.iter().find(|c| c.name.eq_ignore_ascii_case(name))
}

const JUDGEMENT: &str = "judgement";
const TRADE: &str = "common practice, no source (T)";
const FIT: &str = "fitted to the rest tables by `fit_acute` (arithmetic on them, D)";
const SOARES: &str = "Soares 2015, JSCR 29:2594 (A); arithmetic (D)";
const RATAMESS: &str = "Ratamess 2009, MSSE 41:687 (A)";
const HALPERIN: &str = "Halperin 2022, Sports Med 52:377 (A)";
const HANDBOOK: &str = "handbook (B)";

macro_rules! constants {
    ($($name:literal = $value:expr, $unit:literal; $what:literal; $why:literal; $source:expr;)*) => {
        /// All named constants, by module.
        pub const CONSTANTS: &[ConstantInfo] = &[$(ConstantInfo {
            name: $name, value: $value, unit: $unit, what: $what, why: $why, source: $source,
        },)*];
    };
}

constants! {
    "DEBT_WEIGHT" = rules::DEBT_WEIGHT, "sets per set"; "weight of what is left from earlier sessions against a new dose";
        "two hard sessions of a muscle a day apart must not fit, three moderate ones a week must"; JUDGEMENT;
    "FREE_STRAIN_SETS" = rules::FREE_STRAIN_SETS, "fractional sets"; "strain of a muscle in a session that costs nothing";
        "dose in a session flattens only beyond some sets"; JUDGEMENT;
    "STRAIN_PRICE" = rules::STRAIN_PRICE, "points per set squared"; "curvature of the price of strain";
        "near eleven fractional sets in a session a further one brings next to nothing"; "from memory (m)";
    "TRAINED_SETS" = rules::TRAINED_SETS, "fractional sets"; "dose from which a muscle counts as trained in a session";
        "passing work is no session for a muscle"; JUDGEMENT;
    "HOUR_GENERAL" = rules::HOUR_GENERAL, "times"; "how much dearer an hour is where general fitness is the goal";
        "a client of ordinary ambitions came for the most in the least time"; JUDGEMENT;
    "SHORT_SESSION_MIN" = rules::SHORT_SESSION_MIN, "minutes"; "length of a session below which not every major muscle is asked";
        "a short session holds about four movements"; JUDGEMENT;
    "SPINE_GAP_H" = rules::SPINE_GAP_H, "hours"; "sessions that start closer than this are neighbours for the spine";
        "no heavy load on the spine on neighbouring days"; JUDGEMENT;
    "COMPETING_CONTRIBUTION" = rules::COMPETING_CONTRIBUTION, "share"; "part in both exercises from which a muscle makes them compete";
        "a block alternates what does not compete"; JUDGEMENT;
    "BALANCE_SHARE" = rules::BALANCE_SHARE, "share"; "least share of the greater side that the lesser side of a balance gets";
        "push and pull, knee and hip stay in proportion"; JUDGEMENT;
    "BALANCE_SLACK_SETS" = rules::BALANCE_SLACK_SETS, "sets"; "sets by which the sides of a balance may always differ";
        "small programmes cannot be even"; JUDGEMENT;
    "VARIANTS_FOR_PRIORITY" = rules::VARIANTS_FOR_PRIORITY as f64, "exercises"; "exercises of one pattern that a priority muscle may have in a session";
        "one main variant is the rule"; JUDGEMENT;
    "SET_WORTH_FIRST" = rules::SET_WORTH[0], "sets"; "worth of the first set of an exercise in a session";
        "further sets of one exercise are worth less"; JUDGEMENT;
    "SET_WORTH_FOURTH" = rules::SET_WORTH[3], "sets"; "worth of the fourth set of an exercise in a session";
        "further sets of one exercise are worth less"; JUDGEMENT;
    "SET_WORTH_FIFTH" = rules::SET_WORTH[4], "sets"; "worth of the fifth set of an exercise in a session";
        "further sets of one exercise are worth less"; JUDGEMENT;
    "EXERCISE_PRICE" = rules::EXERCISE_PRICE, "points"; "price of one more exercise in a session";
        "an exercise must earn its place"; JUDGEMENT;
    "KEPT_WORTH" = rules::KEPT_WORTH, "points"; "worth of an exercise kept in its session from the programme before";
        "a change must bring more than three exercises cost"; JUDGEMENT;
    "HOUR_PRICE" = rules::HOUR_PRICE, "points per hour"; "price of the client's time";
        "time is not spent for nothing"; JUDGEMENT;
    "OLDER_YEARS" = conditions::OLDER_YEARS as f64, "years"; "age from which the rules for older adults apply";
        "what is supported comes first, and reps stay in reserve"; "Fragala 2019, J Strength Cond Res 33:2019 (B)";
    "BAND_YEARS_MAX" = conditions::BAND_YEARS_MAX as f64, "years"; "age from which nobody climbs into a band under a bar";
        "a slip there is a fall"; JUDGEMENT;
    "BAND_KG_MAX" = conditions::BAND_KG_MAX, "kilograms"; "body mass above which nobody climbs into a band under a bar";
        "bands give too little help where it is needed"; JUDGEMENT;
    "GROWTH" = present::GROWTH, "factor"; "sets a week of the first cycle against those of the present week";
        "a start near what is done now"; "Scarpelli 2022, J Strength Cond Res 36:1153 (A)";
    "ADDED_SETS" = present::ADDED_SETS, "sets a week"; "sets that may always be added to a muscle of the present week";
        "a fifth of nothing is nothing"; JUDGEMENT;
    "ADDED_SETS_IN_ALL" = present::ADDED_SETS_IN_ALL, "sets a week"; "sets that may always be added to the present week";
        "one short session"; JUDGEMENT;
    "BESIDE" = present::BESIDE, "factor"; "fractional sets of a muscle for each that was told of it, where others train it in passing";
        "a coach counts the sets for the muscle alone"; JUDGEMENT;
    "LEGS_SHARE" = present::LEGS_SHARE, "share"; "leg sets of a session near a hard day of the sport";
        "legs are fresh when the sport is hard"; JUDGEMENT;
    "RAMP_REST_STRAIGHT_S" = clock::RAMP_REST_STRAIGHT_S, "seconds"; "rest after a warm-up step of a straight block";
        "one to two minutes between steps"; TRADE;
    "RAMP_REST_SHARED_S" = clock::RAMP_REST_SHARED_S, "seconds"; "rest after a warm-up step in a block of two";
        "the other exercise fills part of the pause"; JUDGEMENT;
    "CHANGE_OF_BLOCK_MAX_S" = clock::CHANGE_OF_BLOCK_MAX_S, "seconds"; "longest wait when going to another block";
        "the next block works other muscles"; JUDGEMENT;
    "COLD_START_S" = clock::COLD_START_S, "seconds"; "brisk movement for a cold client or room";
        "until just sweating"; TRADE;
    "HEAVY_REPS_MAX" = warmup::HEAVY_REPS_MAX, "repetitions"; "sets of at most so many get the ramp for heavy sets, or an easy set on a warm muscle";
        "heavy sets want a rehearsal and not a dozen repetitions"; JUDGEMENT;
    "BIG_KG" = warmup::BIG_KG, "kilograms"; "work load from which a lift on a bar or a machine has a warm-up step of its own on warm muscles";
        "about twice the empty bar"; TRADE;
    "LIGHT_BELL_KG" = warmup::LIGHT_BELL_KG, "kilograms"; "load in the hands up to which one easy set is warm-up enough";
        "two or three sets before a light bell are for show"; TRADE;
    "STRONG_KG" = ramp::STRONG_KG, "kilograms"; "work load from which a ramp starts lighter and has fewer repetitions";
        "the steps are themselves heavy"; JUDGEMENT;
    "TOY_KG" = ramp::TOY_KG, "kilograms"; "work load up to which one easy set is warm-up enough";
        "nobody ramps up to a light dumbbell"; JUDGEMENT;
    "LOADED_KG" = ramp::LOADED_KG, "kilograms"; "work load from which a step without a load stands where nothing lighter can be made";
        "the first lift wants one rehearsal"; JUDGEMENT;
    "STEP_SHARE_MAX" = ramp::STEP_SHARE_MAX, "share"; "heaviest warm-up step against the work load";
        "a step must not be a work set"; TRADE;
    "REPS_MAX" = curve::REPS_MAX, "repetitions"; "most repetitions the load-rep curve promises";
        "far beyond what any table holds"; JUDGEMENT;
    "PERSON_LEAST" = curve::PERSON.0, "factor"; "least person factor of the load-rep curve";
        "people differ much at a given share"; "judgement; Nuzzo 2024, Sports Med 54:303 (A) for the spread";
    "PERSON_MOST" = curve::PERSON.1, "factor"; "largest person factor of the load-rep curve";
        "people differ much at a given share"; "judgement; Nuzzo 2024, Sports Med 54:303 (A) for the spread";
    "CHANCE_USUAL" = capability::CHANCE_USUAL, "share"; "chance of its reps from which an exercise is given as a matter of course";
        "three in ten who fail are too many"; JUDGEMENT;
    "CHANCE_LEAST" = capability::CHANCE_LEAST, "share"; "chance of its lowest reps under which an exercise is not given";
        "eight times in ten it would fail"; JUDGEMENT;
    "CHANCE_SURE" = capability::CHANCE_SURE, "share"; "of such clients who could do the reps with a bell that is written without a told lift";
        "the lower end of what norms say"; JUDGEMENT;
    "LIGHT_REPS" = capability::LIGHT_REPS, "repetitions"; "repetitions above the scheme that the heaviest load leaves when it is too light";
        "nothing near failure is left to ask for"; JUDGEMENT;
    "SHARP_REPS_MAX" = strength::SHARP_REPS_MAX, "repetitions"; "longest set that tells a 1RM well";
        "long sets tell endurance"; "Reynolds 2006, JSCR 20:584 (A): not over 10; two more by judgement";
    "REPS_ERROR" = strength::REPS_ERROR, "repetitions"; "repetitions by which a reported set may mislead";
        "people misjudge what they have left"; HALPERIN;
    "REPS_ERROR_PER_REP" = strength::REPS_ERROR_PER_REP, "repetitions per repetition"; "further error for each repetition of a set";
        "people misjudge long sets more"; HALPERIN;
    "DAY_SD" = strength::DAY_SD, "share"; "spread of a 1RM from day to day";
        "no two days are alike"; JUDGEMENT;
    "FIRST_LOAD_SDS" = strength::FIRST_LOAD_SDS, "spreads"; "spreads under the middle at which a judged first load stands";
        "nine in ten can lift more"; "exact by definition of the lower tenth";
    "FIRST_LOAD_GUIDED_SDS" = strength::FIRST_LOAD_GUIDED_SDS, "spreads"; "the same in a machine, and of pulls and single joints off the spine";
        "what is too heavy there is let go, so three in four could lift more"; JUDGEMENT;
    "FIRST_LOAD_LEAST_SHARE" = strength::FIRST_LOAD_LEAST_SHARE, "share"; "of what is likely, under which a first load is found by feel";
        "where the steps of the weights leave less, a number is no help"; JUDGEMENT;
    "FIRST_LOAD_LAST_SHARE" = strength::FIRST_LOAD_LAST_SHARE, "share"; "the same where the next load is too near to what is likely";
        "of bells with nothing between, the last that is light enough"; JUDGEMENT;
    "BARE_CHANCE" = strength::BARE_CHANCE, "share"; "chance from which legs without a load are given the most reps there are";
        "more likely than not"; JUDGEMENT;
    "TOLD_UNDER" = strength::TOLD_UNDER, "share"; "how much under the work load of a told lift a load is too light";
        "two reps: a client who lifts the bell does not get the one below it"; HALPERIN;
    "TOLD_ABOVE" = strength::TOLD_ABOVE, "share"; "how much above it the nearest load may be where the steps are wide";
        "the lowest reps can still be done with it"; JUDGEMENT;
    "FIRST_LOAD_LEAST_SDS" = strength::FIRST_LOAD_LEAST_SDS, "spreads"; "spreads under the middle that a judged first load keeps when it is rounded up";
        "wide steps of loads would halve it"; JUDGEMENT;
    "JUDGED_SD_MAX" = strength::JUDGED_SD_MAX, "logarithm"; "spread beyond which a load is left to be found by feel";
        "a guess that may be off by a third is none"; JUDGEMENT;
    "FEWER_REPS_LEAST" = strength::FEWER_REPS_LEAST, "repetitions"; "fewest repetitions of a set with the lightest load there is";
        "two or three with a first bell are a test, not a set"; JUDGEMENT;
    "ANGLE_SD" = judge::ANGLE_SD, "logarithm"; "spread of what a lift tells of another angle with the same tool";
        "the nearest neighbours"; JUDGEMENT;
    "TOOL_SD" = judge::TOOL_SD, "logarithm"; "spread of what a lift tells of the movement with another tool";
        "balance and grip differ"; JUDGEMENT;
    "PRESS_PULL_SD" = judge::PRESS_PULL_SD, "logarithm"; "spread of what a press ahead tells of a pull of the arms";
        "who is strong in one is mostly strong in the other"; "Baker 2004, J Strength Cond Res 18:594 (A): 9 % in those who train both; twice that is judgement";
    "ARMS_SD" = judge::ARMS_SD, "logarithm"; "spread of what a press ahead tells of a press overhead, a curl or an extension of the elbow";
        "the bench press tells most of them"; "Wong 2013, J Sports Sci Med 12:38 (A): 0.10 to 0.16 (D); more is judgement";
    "PULLS_SD" = judge::PULLS_SD, "logarithm"; "spread of what a row tells of a pull from above";
        "the same muscles pull"; JUDGEMENT;
    "MOVEMENT_SD" = judge::MOVEMENT_SD, "logarithm"; "spread of what a lift tells of another movement";
        "build and habit differ"; JUDGEMENT;
    "MACHINE_SD" = judge::MACHINE_SD, "logarithm"; "further spread where a machine is one of the two";
        "levers and friction differ from maker to maker"; JUDGEMENT;
    "ANCHORS_MAX" = judge::ANCHORS_MAX as f64, "steps"; "most anchors that are followed from an exercise";
        "each adds doubt"; JUDGEMENT;
    "SLOW_SHARE_UPPER" = acute::CONSTANTS.slow_share_upper, "share"; "part of a set's loss that clears slowly, presses and pulls";
        "what is left after a minute or more of rest"; FIT;
    "SLOW_SHARE_LOWER" = acute::CONSTANTS.slow_share_lower, "share"; "part of a set's loss that clears slowly, leg and hip lifts";
        "what is left after a minute or more of rest"; FIT;
    "SLOW_SHARE_SMALL" = acute::CONSTANTS.slow_share_small, "share"; "part of a set's loss that clears slowly, single-joint lifts";
        "what is left after a minute or more of rest"; FIT;
    "FAST_TAU_S" = acute::CONSTANTS.fast_tau_s, "seconds"; "time constant of the fast part of local fatigue";
        "how soon short rest helps"; FIT;
    "SLOW_TAU_S" = acute::CONSTANTS.slow_tau_s, "seconds"; "time constant of the slow part of local fatigue";
        "how long further rest helps"; FIT;
    "SYSTEMIC_PER_SET" = acute::CONSTANTS.systemic_per_set, "share"; "strength everywhere that a set of ten of a big lift costs";
        "pairs of unrelated lifts still lose some repetitions"; FIT;
    "SYSTEMIC_TAU_S" = acute::CONSTANTS.systemic_tau_s, "seconds"; "time constant of whole-body fatigue in a session";
        "breath and pulse settle in a few minutes"; JUDGEMENT;
    "CLOSENESS_POWER" = acute::CONSTANTS.closeness_power, "power"; "how far sets short of failure spare the muscle";
        "the last repetitions cost most"; JUDGEMENT;
    "SYSTEMIC_WEIGHT_0" = acute::SYSTEMIC_WEIGHT[0], "factor"; "systemic cost of an exercise rated 0 against a big lift";
        "small lifts hardly tire the body"; JUDGEMENT;
    "SYSTEMIC_WEIGHT_1" = acute::SYSTEMIC_WEIGHT[1], "factor"; "systemic cost of an exercise rated 1 against a big lift";
        "middling lifts tire the body some"; JUDGEMENT;
    "SYSTEMIC_WEIGHT_2" = acute::SYSTEMIC_WEIGHT[2], "factor"; "systemic cost of an exercise rated 2, the measure of the others";
        "what the fit was made with"; JUDGEMENT;
    "SYSTEMIC_WEIGHT_3" = acute::SYSTEMIC_WEIGHT[3], "factor"; "systemic cost of an exercise rated 3 against a big lift";
        "little can be done right after a heavy squat"; "judgement after common practice, no source (T)";
    "SECONDS_PER_EQUAL_REP" = acute::SECONDS_PER_EQUAL_REP, "seconds"; "time of a hold or carry that counts as one repetition";
        "holds and carries tire too"; JUDGEMENT;
    "WORTH_MIN" = acute::WORTH_MIN, "share"; "least worth of a set done tired";
        "it is still a set"; JUDGEMENT;
    "DROP_PER_SET" = recovery::DROP_PER_SET, "share"; "strength that one fractional set to failure takes for days";
        "how deep a session goes"; SOARES;
    "DROP_POWER" = recovery::DROP_POWER, "power"; "how the drop grows with sets";
        "twice the sets, less than twice the drop"; SOARES;
    "RESERVE_SCALE_REPS" = recovery::RESERVE_SCALE_REPS, "repetitions"; "repetitions in reserve that divide the drop by e";
        "going to failure costs a day or two"; "Moran-Navarro 2017, EJAP 117:2387 (A); arithmetic (D)";
    "READY_DROP" = recovery::READY_DROP, "share"; "missing strength at which a muscle is ready";
        "about what differs from day to day anyway"; JUDGEMENT;
    "TAU_BICEPS_H" = recovery::median_tau_h(Muscle::Biceps), "hours"; "median time constant of recovery of the biceps";
        "the one muscle with a published curve"; SOARES;
    "TAU_CHEST_H" = recovery::median_tau_h(Muscle::Chest), "hours"; "median time constant of recovery of the chest";
        "back by 72 h after 8 x 10RM"; "Ferreira 2017, JSCR 31:71 (A); arithmetic (D)";
    "TAU_QUADS_H" = recovery::median_tau_h(Muscle::Quads), "hours"; "median time constant of recovery of the quads";
        "the trade says slowest, a study says quicker"; "judgement between (T) and Raastad & Hallen 2000, EJAP 82:206 (m)";
    "PERSON_LOG_SD" = recovery::PERSON_LOG_SD, "log"; "spread of recovery between persons";
        "the log must be able to move the start"; JUDGEMENT;
    "MUSCLE_LOG_SD" = recovery::MUSCLE_LOG_SD, "log"; "spread of recovery between the muscles of one person";
        "the log must be able to move the start"; JUDGEMENT;
    "AGE_GROWTH_PER_YEAR" = recovery::AGE_GROWTH_PER_YEAR, "share per year"; "slowing of recovery with age";
        "older lifters are slower"; "judgement; McLester 2003, JSCR 17:259 (A) for the direction";
    "AGE_FROM_YEARS" = recovery::AGE_FROM_YEARS, "years"; "age from which recovery is reckoned to slow";
        "older lifters are slower"; JUDGEMENT;
    "USUAL_SETS" = recovery::USUAL_SETS, "fractional sets"; "usual session of a muscle that a coach's `recovery_h` speaks of";
        "a wish in hours needs a dose"; JUDGEMENT;
    "USUAL_RIR" = recovery::USUAL_RIR, "repetitions"; "repetitions in reserve of a usual session";
        "a wish in hours needs a dose"; JUDGEMENT;
    "TAU_LEAST_H" = recovery::TAU_H.0, "hours"; "shortest time constant that is taken as meant";
        "slips of the pen"; JUDGEMENT;
    "TAU_MOST_H" = recovery::TAU_H.1, "hours"; "longest time constant that is taken as meant";
        "slips of the pen"; JUDGEMENT;
    "RISE_LEAST" = progress::RISE.0, "share"; "smallest rise of a load";
        "one or two repetitions over the target"; RATAMESS;
    "RISE_MOST" = progress::RISE.1, "share"; "largest rise of a load";
        "one or two repetitions over the target"; RATAMESS;
    "RISE_PER_REP" = progress::RISE_PER_REP, "share per repetition"; "rise of a load for each repetition over the target";
        "about what a repetition is worth near ten"; JUDGEMENT;
    "OVER_REPS" = progress::OVER_REPS, "repetitions"; "repetitions over the goal in the last set that call for more load";
        "two sessions running must agree"; HANDBOOK;
    "SESSIONS_RUNNING" = progress::SESSIONS_RUNNING as f64, "sessions"; "sessions running that must agree before a load changes";
        "one good day is no trend"; HANDBOOK;
    "FALL" = progress::FALL, "share"; "fall of a load that was missed twice running";
        "a load must be liftable"; JUDGEMENT;
    "AT_GOAL" = roadmap::AT_GOAL, "repetitions"; "repetitions over the goal that still count as at the goal";
        "half a repetition is no miss"; JUDGEMENT;
    "BLOCK_WEEKS" = roadmap::BLOCK_WEEKS, "weeks"; "weeks of one number of sets before a trained client is asked for more";
        "what is tolerated shows over some weeks"; JUDGEMENT;
    "LIGHTER" = roadmap::LIGHTER, "share"; "share of its sets that a lighter week keeps";
        "fatigue must fall, the lifts must stay"; JUDGEMENT;
    "INTERMEDIATE_FROM_WEEK" = roadmap::INTERMEDIATE_FROM_WEEK, "weeks"; "week of training from which the rules are an intermediate's";
        "about six months of steady training"; RATAMESS;
    "GAIN" = roadmap::GAIN, "natural logarithm"; "growth of strength over a training life: GAIN ln(1 + weeks / GAIN_WEEKS)";
        "two fifths in half a year, a fifth in the next year and a half"; "Ratamess 2009, MSSE 41:687 (M)";
    "GAIN_WEEKS" = roadmap::GAIN_WEEKS, "weeks"; "weeks after which the growth of strength has slowed to a half";
        "chosen with GAIN by the same rows"; "Ratamess 2009, MSSE 41:687 (M)";
    "ADULT_YEARS" = screening::ADULT_YEARS as f64, "years"; "age under which the defaults are not meant for a client";
        "they are made for adults"; JUDGEMENT;
    "ASK_FRAILTY_YEARS" = screening::ASK_FRAILTY_YEARS as f64, "years"; "age from which a beginner is asked after frailty";
        "the defaults are not for the frail"; JUDGEMENT;
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;
    use std::fs;
    use std::path::{Path, PathBuf};

    /// Names of the code that are registered in parts, and the parts.
    const IN_PARTS: [(&str, &[&str]); 5] = [
        (
            "SET_WORTH",
            &["SET_WORTH_FIRST", "SET_WORTH_FIRST", "SET_WORTH_FIRST", "SET_WORTH_FOURTH", "SET_WORTH_FIFTH"],
        ),
        (
            "SYSTEMIC_WEIGHT",
            &["SYSTEMIC_WEIGHT_0", "SYSTEMIC_WEIGHT_1", "SYSTEMIC_WEIGHT_2", "SYSTEMIC_WEIGHT_3"],
        ),
        ("TAU_H", &["TAU_LEAST_H", "TAU_MOST_H"]),
        ("RISE", &["RISE_LEAST", "RISE_MOST"]),
        ("PERSON", &["PERSON_LEAST", "PERSON_MOST"]),
    ];

    fn sources(folder: &Path) -> Vec<PathBuf> {
        let entries = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
        let (folders, files): (Vec<_>, Vec<_>) = entries.partition(|p| p.is_dir());
        let rust = files.into_iter().filter(|p| p.extension().is_some_and(|e| e == "rs"));
        rust.chain(folders.iter().flat_map(|f| sources(f))).collect()
    }

    /// Public constants of numbers as the text of the crate has them.
    fn written() -> BTreeMap<String, Vec<f64>> {
        let mut found = BTreeMap::new();
        for file in sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src")) {
            for line in fs::read_to_string(file).unwrap().lines() {
                let Some((name, value)) = line.strip_prefix("pub const ").and_then(|l| l.split_once(" = "))
                else {
                    continue;
                };
                let (name, _) = name.split_once(':').unwrap();
                let numbers = value.trim_end_matches(';').trim_matches(['(', ')', '[', ']']).split(", ");
                if let Ok(numbers) = numbers.map(str::parse).collect() {
                    found.insert(name.to_owned(), numbers);
                }
            }
        }
        found
    }

    fn check(name: &str, value: f64) {
        let entry = find(name).unwrap_or_else(|| panic!("`{name}` is not registered: add it to this file"));
        assert!(
            (entry.value - value).abs() < 1e-12,
            "{name}: {} is registered, {value} is written",
            entry.value
        );
    }

    #[test]
    fn every_public_number_of_the_science_is_registered_with_the_value_it_has() {
        let written = written();
        assert!(written.len() > 35, "the text was not understood: {written:?}");
        for (name, values) in written {
            match IN_PARTS.iter().find(|(whole, _)| *whole == name) {
                Some((_, parts)) => {
                    assert_eq!(parts.len(), values.len(), "{name}");
                    parts.iter().zip(values).for_each(|(part, value)| check(part, value));
                }
                None => check(&name, values[0]),
            }
        }
    }

    #[test]
    fn every_constant_has_one_name_and_says_all_about_itself() {
        let mut names: Vec<&str> = CONSTANTS.iter().map(|c| c.name).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), CONSTANTS.len());
        assert!(CONSTANTS.len() >= 30);
        for c in CONSTANTS {
            assert!(![c.unit, c.what, c.why, c.source].contains(&""), "{}", c.name);
            assert!(c.value.is_finite(), "{}", c.name);
        }
    }

    #[test]
    fn a_constant_is_found_whatever_the_case() {
        assert_eq!(find("debt_weight").map(|c| c.value), Some(rules::DEBT_WEIGHT));
        assert_eq!(find("no_such_number"), None);
    }
}
