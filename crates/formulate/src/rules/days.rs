//! Days: sessions of the whole body are as far apart as they can be, or, where they would meet on neighbouring days,
//! become two halves.

use super::{Client, Rule};
use setwright_model::Brief;
use setwright_model::brief::{Focus, TrainingAge};

/// The rule. It is kept by which frames there are.
pub struct Days;

impl Rule for Days {
    fn name(&self) -> &'static str {
        "days"
    }
}

/// Least gap between sessions of a cycle, in days, round its end.
pub fn least_gap(days: &[u32], cycle_days: u32) -> u32 {
    let next = |i: usize| days.get(i + 1).copied().unwrap_or(days[0] + cycle_days);
    (0..days.len()).map(|i| next(i) - days[i]).min().unwrap_or(cycle_days)
}

/// Least gap between one session and the next of the same focus, in days, round the end of the cycle: two days for the legs,
/// or for the whole body, lie as far apart as the days let them.
pub fn least_alike_gap(days: &[u32], focus: &[Focus], cycle_days: u32) -> u32 {
    let alike = |of: &Focus| -> Vec<u32> {
        days.iter().zip(focus).filter(|(_, f)| *f == of).map(|(day, _)| *day).collect()
    };
    focus.iter().map(|of| least_gap(&alike(of), cycle_days)).min().unwrap_or(cycle_days)
}

/// Sessions from which a beginner's whole body becomes two halves too; with fewer there is too little of each (judgement).
const BEGINNER_HALVES: u32 = 4;

/// Whether the client's days force the whole body on neighbouring days, so that two halves serve better.
pub fn becomes_halves(widest: u32, c: &Client<'_>) -> bool {
    let least = match c.brief.training_age {
        TrainingAge::FirstWeeks => return false,
        TrainingAge::Beginner => BEGINNER_HALVES,
        TrainingAge::Intermediate | TrainingAge::Advanced => 2,
    };
    widest <= 1 && c.brief.time.sessions >= least
}

/// Gap in days that sessions keep even where a nearer day would be further from the sport (judgement).
const APART: u32 = 2;

/// Every set of days that the brief leaves open; of those that are apart, those that keep off the hard days of a sport and the days
/// before them, and of these off the days after.
pub fn all_day_sets(brief: &Brief) -> Vec<Vec<u32>> {
    let mut sets = open_day_sets(brief);
    if !brief.sport.has_days() {
        return sets;
    }
    let gap = |days: &Vec<u32>| least_gap(days, brief.time.cycle_days).min(APART);
    let widest = sets.iter().map(gap).max().unwrap_or(0);
    sets.retain(|days| gap(days) >= widest);
    let hard = |days: &Vec<u32>| super::sport_days::burden(brief, days);
    let fewest = sets.iter().map(hard).min().unwrap_or(0);
    sets.retain(|days| hard(days) <= fewest);
    let after = |days: &Vec<u32>| super::sport_days::days_after(brief, days);
    let fewest = sets.iter().map(after).min().unwrap_or(0);
    sets.retain(|days| after(days) <= fewest);
    sets
}

fn open_day_sets(brief: &Brief) -> Vec<Vec<u32>> {
    let time = &brief.time;
    let k = time.sessions as usize;
    let named = if time.days.is_empty() { &time.possible_days } else { &time.days };
    let mut from: Vec<u32> = if named.is_empty() { (1..=time.cycle_days).collect() } else { named.clone() };
    from.sort_unstable();
    from.dedup();
    combinations(&from, k)
}

/// All ways to choose so many days.
pub fn combinations(from: &[u32], k: usize) -> Vec<Vec<u32>> {
    let mut out = Vec::new();
    let mut chosen = Vec::with_capacity(k);
    choose(from, k, &mut chosen, &mut out);
    out
}

fn choose(from: &[u32], k: usize, chosen: &mut Vec<u32>, out: &mut Vec<Vec<u32>>) {
    if chosen.len() == k {
        out.push(chosen.clone());
        return;
    }
    for (i, &day) in from.iter().enumerate() {
        chosen.push(day);
        choose(&from[i + 1..], k, chosen, out);
        chosen.pop();
    }
}
