//! The tables of rest between sets, and what the fatigue model says of each of their numbers.
//!
//! In every study the load is the one that gives the published first set; that set is therefore not counted.

use crate::bench;
use setwright_gym::catalogue;
use setwright_model::{Catalogue, Exercise, Reps, Seconds, Session};
use setwright_science::acute::{self, Aim, Constants, FatigueState};

/// A published number and the model's, both in repetitions of one set.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Which study.
    pub study: &'static str,
    /// Which number of it.
    pub what: String,
    /// As published.
    pub published_reps: f64,
    /// As the model says.
    pub predicted_reps: f64,
}

impl Row {
    /// How far the model is off.
    pub fn error_reps(&self) -> f64 {
        self.predicted_reps - self.published_reps
    }
}

/// Knee extension at 80 %, 3 sets to failure, Rev Bras Med Esporte 2007 13(5) (A): minutes and repetitions.
pub const KNEE_EXTENSION: [(f64, [f64; 3]); 2] = [(3.0, [9.4, 7.0, 6.4]), (1.0, [10.8, 5.6, 4.8])];
/// Kraemer 1997, bench and leg press, 3 x 10RM, trained (M): minutes and repetitions.
pub const KRAEMER: [(f64, [f64; 3]); 2] = [(3.0, [10.0, 10.0, 10.0]), (1.0, [10.0, 8.0, 7.0])];
/// Name of the study that gives totals only.
pub const WILLARDSON_NAME: &str = "Willardson & Burkett 2005";
/// Willardson & Burkett 2005, JSCR 19:23, bench, 4 sets of 8RM (B): minutes and total against one minute.
pub const WILLARDSON: [(f64, f64); 2] = [(2.0, 1.26), (5.0, 1.50)];
/// Andersen 2022, Front Psychol 13:912368, 8 exercises x 3 sets (A): repetitions of pairs against straight sets,
/// which gave 4.2 % more.
pub const ANDERSEN_PAIRS: f64 = 1.0 / 1.042;

/// Sets to failure with the load of a fresh client's `first` reps.
pub fn sets_to_failure(
    c: Constants,
    exercise: &Exercise,
    first: f64,
    sets: usize,
    rest: Seconds,
) -> Vec<f64> {
    let load = acute::load_for(exercise, Reps(first), Reps::ZERO);
    let mut state = FatigueState::with(c);
    (0..sets)
        .map(|set| {
            if set > 0 {
                state.rest(rest);
            }
            state.do_set(exercise, load, Aim::Failure).get()
        })
        .collect()
}

/// Every number of the rest tables that a model of repetitions can answer.
pub fn rows(c: Constants) -> Vec<Row> {
    let mut rows = Vec::new();
    table(&mut rows, c, "knee extension 2007", &bench::knee_extension(), &KNEE_EXTENSION);
    table(&mut rows, c, "Kraemer 1997, bench", &bench::bench_press(), &KRAEMER);
    table(&mut rows, c, "Kraemer 1997, leg press", &bench::leg_press(), &KRAEMER);
    willardson(&mut rows, c);
    rows
}

fn table(
    rows: &mut Vec<Row>,
    c: Constants,
    study: &'static str,
    exercise: &Exercise,
    published: &[(f64, [f64; 3])],
) {
    for (minutes, reps) in published {
        let predicted = sets_to_failure(c, exercise, reps[0], 3, Seconds(minutes * 60.0));
        for set in 1..3 {
            rows.push(Row {
                study,
                what: format!("{minutes} min, set {}", set + 1),
                published_reps: reps[set],
                predicted_reps: predicted[set],
            });
        }
    }
}

/// Total repetitions of four sets of the 8RM bench press.
pub fn willardson_total(c: Constants, minutes: f64) -> f64 {
    sets_to_failure(c, &bench::bench_press(), 8.0, 4, Seconds(minutes * 60.0)).iter().sum()
}

fn willardson(rows: &mut Vec<Row>, c: Constants) {
    let one = willardson_total(c, 1.0);
    for (minutes, ratio) in WILLARDSON {
        rows.push(Row {
            study: WILLARDSON_NAME,
            what: format!("{minutes} min, mean of 4 sets"),
            published_reps: ratio * one / 4.0,
            predicted_reps: willardson_total(c, minutes) / 4.0,
        });
    }
}

/// The names of the studies in rows, in order.
pub fn studies(rows: &[Row]) -> Vec<&'static str> {
    let mut names: Vec<&'static str> = rows.iter().map(|r| r.study).collect();
    names.dedup();
    names
}

/// Mean absolute error of the rows of one study.
pub fn error_of_study(rows: &[Row], study: &str) -> f64 {
    let of: Vec<Row> = rows.iter().filter(|r| r.study == study).cloned().collect();
    mean_absolute_error(&of)
}

/// Mean absolute error of rows.
pub fn mean_absolute_error(rows: &[Row]) -> f64 {
    rows.iter().map(|r| r.error_reps().abs()).sum::<f64>() / rows.len().max(1) as f64
}

/// Eight exercises for the whole body, in an order in which neighbours train different muscles. The paper's own
/// list is not in our table: these are usual ones from the catalogue (judgement).
pub fn eight() -> Vec<Exercise> {
    const IDS: [&str; 8] = [
        "leg_press",
        "seated_cable_row",
        "bench_press",
        "lying_leg_curl",
        "leg_extension",
        "lat_pulldown",
        "seated_dumbbell_press",
        "barbell_curl",
    ];
    let all = catalogue::builtin();
    IDS.iter().filter_map(|id| all.get(&(*id).into()).cloned()).collect()
}

/// The eight exercises, 3 sets of 10RM, 120 s of rest after each set or round: straight and in pairs.
pub fn straight_and_paired() -> (Session, Session, Catalogue) {
    let eight = eight();
    let refs: Vec<&Exercise> = eight.iter().collect();
    let straight = bench::session(&refs, 1, 3, 10, Seconds(120.0));
    let paired = bench::session(&refs, 2, 3, 10, Seconds(120.0));
    (straight, paired, Catalogue::new(eight))
}

/// Repetitions in pairs as a share of those in straight sets; NaN when an exercise is not in the catalogue.
pub fn pairs_against_straight(c: Constants) -> f64 {
    let (straight, paired, catalogue) = straight_and_paired();
    let total = |session: &Session| {
        acute::simulate_from(FatigueState::with(c), session, &catalogue)
            .map_or(f64::NAN, |t| t.total_reps().get())
    };
    total(&paired) / total(&straight)
}
