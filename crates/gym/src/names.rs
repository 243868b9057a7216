//! Names of exercises as people say and type them: exact in any spelling first, else the nearest.
//!
//! Only compares words. Must not decide that a near name is meant: that is for whoever asks to confirm.

use setwright_model::exercise::{Catalogue, Exercise};

/// Names under this likeness are not worth offering. Judgement.
const LEAST_LIKENESS: f64 = 0.45;

/// Exercises that may be meant by these words, best first, with a likeness from 0 to 1.
///
/// When the words are a name (or identifier) of an exercise, save for case, hyphens, plurals and the usual
/// abbreviations, that exercise alone is returned with likeness 1. Otherwise the nearest, all below 1.
pub fn find<'a>(catalogue: &'a Catalogue, words: &str) -> Vec<(&'a Exercise, f64)> {
    let wanted = key(words);
    if wanted.is_empty() {
        return Vec::new();
    }
    let exact: Vec<_> = catalogue.iter().filter(|e| is_called(e, &wanted)).map(|e| (e, 1.0)).collect();
    if !exact.is_empty() {
        return exact;
    }
    let mut near: Vec<_> = catalogue
        .iter()
        .map(|exercise| (exercise, likeness_to(exercise, &wanted)))
        .filter(|(_, likeness)| *likeness >= LEAST_LIKENESS)
        .collect();
    near.sort_by(|(a, x), (b, y)| y.total_cmp(x).then_with(|| a.id.cmp(&b.id)));
    near
}

/// All names of an exercise: its identifier, its name, and the other spoken ones.
pub fn spoken(exercise: &Exercise) -> impl Iterator<Item = &str> {
    [exercise.id.as_str(), exercise.name.as_str()].into_iter().chain(exercise.also.iter().map(String::as_str))
}

/// What is left of a name when case, punctuation, spaces, plurals and abbreviations are taken away: two names
/// with the same key are the same name.
pub fn key(name: &str) -> String {
    let lower = name.to_lowercase();
    lower.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).map(plain_word).collect()
}

/// The word written out, in the singular.
fn plain_word(word: &str) -> String {
    match word {
        "db" | "dbs" => "dumbbell".to_owned(),
        "bb" => "barbell".to_owned(),
        "kb" | "kbs" => "kettlebell".to_owned(),
        "bw" => "bodyweight".to_owned(),
        "rdl" | "rdls" => "romaniandeadlift".to_owned(),
        "ohp" => "overheadpress".to_owned(),
        "inc" => "incline".to_owned(),
        "ext" | "extn" => "extension".to_owned(),
        "1" | "sl" | "sa" | "single" => "one".to_owned(),
        _ => singular(word),
    }
}

fn singular(word: &str) -> String {
    let cut = |ending: &str, by: &str| word.strip_suffix(ending).map(|stem| format!("{stem}{by}"));
    if let Some(stem) = cut("sses", "ss").or_else(|| cut("shes", "sh")).or_else(|| cut("ches", "ch")) {
        return stem;
    }
    if let Some(stem) = cut("lies", "ly").or_else(|| cut("lyes", "ly")).or_else(|| cut("lye", "ly")) {
        return stem;
    }
    match word.strip_suffix('s') {
        Some(stem) if stem.len() > 1 && !stem.ends_with('s') => stem.to_owned(),
        _ => word.to_owned(),
    }
}

fn is_called(exercise: &Exercise, wanted: &str) -> bool {
    spoken(exercise).any(|name| key(name) == wanted)
}

/// Likeness to the nearest of an exercise's names; below 1, which is kept for exact names (numeric).
fn likeness_to(exercise: &Exercise, wanted: &str) -> f64 {
    spoken(exercise).map(|name| likeness(&key(name), wanted)).fold(0.0, f64::max).min(0.99)
}

/// Of two measures the higher: letters changed (good for slips of the finger) and pairs of letters shared
/// (good for words in another order or left out; a little less, so that a slip wins a tie: judgement).
fn likeness(a: &str, b: &str) -> f64 {
    let letters = strsim::normalized_damerau_levenshtein(a, b);
    letters.max(0.95 * strsim::sorensen_dice(a, b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;

    fn best(words: &str) -> (&'static str, f64) {
        let found = find(builtin(), words);
        let (exercise, likeness) = found.first().expect("something is near");
        (exercise.id.as_str(), *likeness)
    }

    fn check_exact(words: &str, id: &str) {
        let found = find(builtin(), words);
        let ids: Vec<&str> = found.iter().map(|(e, _)| e.id.as_str()).collect();
        assert_eq!(ids, [id], "for \"{words}\"");
        assert!(found.iter().all(|(_, likeness)| *likeness >= 1.0), "\"{words}\" is a name");
    }

    fn check_near(words: &str, id: &str) {
        let (found, likeness) = best(words);
        assert_eq!(found, id, "for \"{words}\"");
        assert!(likeness < 1.0, "\"{words}\" is not a name");
    }

    #[test]
    fn a_known_name_is_found_in_any_spelling() {
        check_exact("bench_press", "bench_press");
        check_exact("Bench Press", "bench_press");
        check_exact("BENCH-PRESS", "bench_press");
        check_exact("bench presses", "bench_press");
        check_exact("  benchpress ", "bench_press");
        check_exact("BB bench", "bench_press");
        check_exact("flat bench", "bench_press");
        check_exact("squats", "back_squat");
        check_exact("Lat Pull-Down", "lat_pulldown");
        check_exact("lat pulldowns", "lat_pulldown");
        check_exact("pull ups", "pull_up");
        check_exact("Chin-Ups", "chin_up");
        check_exact("pushups", "press_up");
        check_exact("RDL", "romanian_deadlift");
        check_exact("DB RDLs", "dumbbell_romanian_deadlift");
        check_exact("OHP", "overhead_press");
        check_exact("DB curls", "dumbbell_curl");
        check_exact("single-arm DB row", "dumbbell_row");
        check_exact("1-arm dumbbell row", "dumbbell_row");
        check_exact("one arm dumbbell row", "dumbbell_row");
        check_exact("DB flyes", "dumbbell_fly");
        check_exact("dumbbell flies", "dumbbell_fly");
        check_exact("tricep pushdowns", "triceps_pushdown");
        check_exact("Bulgarian Split Squats", "bulgarian_split_squat");
        check_exact("Clean, Squat, Press", "clean_squat_press");
    }

    #[test]
    fn a_slip_of_the_finger_finds_the_nearest() {
        check_near("benchpres", "bench_press");
        check_near("bnech press", "bench_press");
        check_near("lat pul down", "lat_pulldown");
        check_near("romanain deadlift", "romanian_deadlift");
        check_near("overhed press", "overhead_press");
        check_near("leg extention", "leg_extension");
        check_near("bulgarian splt squat", "bulgarian_split_squat");
        check_near("seated row cable", "seated_cable_row");
    }

    #[test]
    fn the_nearest_come_first_and_never_as_certain() {
        let found = find(builtin(), "dumbell press incline");
        assert!(found.len() > 3);
        assert!(found.windows(2).all(|pair| pair[0].1 >= pair[1].1));
        assert!(found.iter().all(|(_, likeness)| *likeness < 1.0));
        assert_eq!(found[0].0.id.as_str(), "incline_dumbbell_press");
    }

    #[test]
    fn nonsense_and_nothing_find_nothing() {
        assert!(find(builtin(), "").is_empty());
        assert!(find(builtin(), " -_- ").is_empty());
        assert!(find(builtin(), "xyzzyqwv").is_empty());
        assert!(find(&Catalogue::default(), "squat").is_empty());
    }

    #[test]
    fn words_in_other_scripts_are_harmless() {
        assert!(find(builtin(), "приседания").is_empty());
        assert!(find(builtin(), "ß\u{0301}s").iter().all(|(_, likeness)| *likeness < 1.0));
    }

    #[test]
    fn the_plain_name_of_every_exercise_finds_it_alone() {
        for exercise in builtin().iter() {
            check_exact(&exercise.name, exercise.id.as_str());
        }
    }
}
