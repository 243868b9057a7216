//! From the equipment of a brief to what can be loaded: reads discs, bars and lists, and fills in a usual gym
//! where the brief says nothing.
//!
//! It refuses what makes no sense with a sentence; it never guesses a weight that was typed wrongly.

use crate::equipment::stations;
use crate::loads::{Disc, Loadable, Rack, grams, kilograms};
use setwright_model::brief::Equipment;
use setwright_model::exercise::LoadKind;
use setwright_model::limits::LOAD_KG_MAX;
use setwright_model::{Exercise, Kilograms, Station};
use std::collections::BTreeMap;

/// Heaviest load that is made, in grams (judgement).
pub(crate) const MOST_G: u32 = (LOAD_KG_MAX * 1000.0) as u32;
/// Lightest piece that is taken as meant, in grams (judgement).
const PIECE_MIN_G: u32 = 100;
/// Heaviest bar, disc, dumbbell or step that is taken as meant, in grams (judgement).
const PIECE_MAX_G: u32 = 120_000;
/// Most pairs of one disc that are read (judgement).
const PAIRS_MAX: u32 = 40;
/// Most kinds of discs that are read (judgement).
const KINDS_MAX: usize = 20;

/// A bar of 20 kg (men's competition bar; evidence table (B)).
const BAR_G: u32 = 20_000;
/// A curl bar (common practice, no source (T); they vary).
const CURL_BAR_G: u32 = 10_000;
/// A trap bar (common practice, no source (T); they vary).
const TRAP_BAR_G: u32 = 25_000;
/// A safety squat bar (common practice, no source (T); they vary from 25 to 35).
const SAFETY_BAR_G: u32 = 30_000;
/// Discs of a rack in a usual gym, grams and pairs (common practice, no source (T)).
const GYM_PAIRS: [(u32, u32); 7] =
    [(25_000, 2), (20_000, 4), (15_000, 1), (10_000, 2), (5_000, 2), (2_500, 2), (1_250, 1)];
/// Light dumbbells of a usual gym: 2 to 10 kg by 1 (common practice, no source (T)).
const DUMBBELLS_FINE_G: (u32, u32, u32) = (2_000, 10_000, 1_000);
/// Heavier dumbbells of a usual gym: by 2.5 to 50 kg (common practice, no source (T)).
const DUMBBELLS_COARSE_G: (u32, u32, u32) = (12_500, 50_000, 2_500);
/// Kettlebells of a usual gym: 4 to 32 kg by 4 (common practice, no source (T)).
const KETTLEBELLS_G: (u32, u32, u32) = (4_000, 32_000, 4_000);
/// Medicine balls: 1 to 10 kg by 1 (common practice, no source (T)).
const BALLS_G: (u32, u32, u32) = (1_000, 10_000, 1_000);
/// Sandbags: 10 to 60 by 10 kg (common practice, no source (T)).
const SANDBAGS_G: (u32, u32, u32) = (10_000, 60_000, 10_000);
/// Step of a stack when neither brief nor exercise names one (common practice, no source (T)).
const STACK_STEP_G: u32 = 5_000;
/// Heaviest stack (judgement).
const STACK_MOST_G: u32 = 200_000;
/// Most that a machine takes away from the body (judgement).
const ASSIST_MOST_G: u32 = 100_000;

pub(crate) fn loadable(equipment: &Equipment, exercise: &Exercise) -> Result<Loadable, String> {
    Ok(match exercise.load {
        LoadKind::Bar => bar(equipment, exercise)?,
        LoadKind::Discs => machine(equipment, exercise)?,
        LoadKind::BodyPlus => belt(equipment)?,
        LoadKind::Single => single(equipment, exercise)?,
        LoadKind::Dumbbell => Loadable::listed(dumbbells(equipment, false)?),
        LoadKind::DumbbellPair => Loadable::listed(dumbbells(equipment, true)?),
        LoadKind::Kettlebell => Loadable::listed(kettlebells(equipment, false)?),
        LoadKind::KettlebellPair => Loadable::listed(kettlebells(equipment, true)?),
        LoadKind::Stack => Loadable::listed(steps(equipment, exercise, STACK_MOST_G, false)?),
        LoadKind::Assisted => Loadable::listed(steps(equipment, exercise, ASSIST_MOST_G, true)?),
        LoadKind::Body | LoadKind::Band => Loadable::none(),
    })
}

/// A bar with a disc on either end. The brief's bar is the straight one.
fn bar(equipment: &Equipment, exercise: &Exercise) -> Result<Loadable, String> {
    let base_g = if exercise.stations.contains(&Station::CurlBar) {
        CURL_BAR_G
    } else if exercise.stations.contains(&Station::TrapBar) {
        TRAP_BAR_G
    } else if exercise.stations.contains(&Station::SafetyBar) {
        SAFETY_BAR_G
    } else {
        equipment.bar_kg.map_or(Ok(BAR_G), |kg| mass_g("bar", kg))?
    };
    Ok(Loadable::hung(Rack { base_g, sides: 2, discs: pairs(equipment)? }))
}

/// A machine or bar end of which the discs alone count. One end of a bar takes both discs of a pair.
fn machine(equipment: &Equipment, exercise: &Exercise) -> Result<Loadable, String> {
    let discs = pairs(equipment)?;
    Ok(Loadable::hung(if exercise.stations.contains(&Station::Landmine) {
        Rack { base_g: 0, sides: 1, discs: loose(&discs) }
    } else {
        Rack { base_g: 0, sides: 2, discs }
    }))
}

/// Discs on a belt; none where there are no discs.
fn belt(equipment: &Equipment) -> Result<Loadable, String> {
    let discs = if has_discs(equipment) { loose(&pairs(equipment)?) } else { Vec::new() };
    Ok(Loadable::hung(Rack { base_g: 0, sides: 1, discs }))
}

fn single(equipment: &Equipment, exercise: &Exercise) -> Result<Loadable, String> {
    if exercise.stations.contains(&Station::MedicineBall) {
        return Ok(Loadable::listed(run(BALLS_G).collect()));
    }
    if exercise.stations.contains(&Station::Sandbag) {
        return Ok(Loadable::listed(run(SANDBAGS_G).collect()));
    }
    let discs = pairs(equipment)?;
    Ok(Loadable::listed(discs.iter().filter(|d| d.count > 0).map(|d| d.mass_g).collect()))
}

fn has_discs(equipment: &Equipment) -> bool {
    !equipment.disc_pairs.is_empty() || stations(equipment).contains(&Station::Plate)
}

/// Both discs of every pair, for one place to hang them.
fn loose(pairs: &[Disc]) -> Vec<Disc> {
    pairs.iter().map(|d| Disc { count: d.count * 2, ..*d }).collect()
}

fn dumbbells(equipment: &Equipment, pair: bool) -> Result<Vec<u32>, String> {
    let usual = || run(DUMBBELLS_FINE_G).chain(run(DUMBBELLS_COARSE_G)).collect();
    bells("dumbbell", &equipment.dumbbells_kg, pair, usual)
}

fn kettlebells(equipment: &Equipment, pair: bool) -> Result<Vec<u32>, String> {
    bells("kettlebell", &equipment.kettlebells_kg, pair, || run(KETTLEBELLS_G).collect())
}

/// The weights of a list. Where a weight stands twice in it, the list counts single bells, and a pair needs
/// two of a kind; where none does, the list names weights, and there is a pair of each.
fn bells(
    what: &str,
    there: &[Kilograms],
    pair: bool,
    usual: impl Fn() -> Vec<u32>,
) -> Result<Vec<u32>, String> {
    if there.is_empty() {
        return Ok(usual());
    }
    let mut counts: BTreeMap<u32, u32> = BTreeMap::new();
    for kg in there {
        *counts.entry(mass_g(what, *kg)?).or_default() += 1;
    }
    let least = if pair && counts.values().any(|n| *n > 1) { 2 } else { 1 };
    Ok(counts.into_iter().filter(|(_, n)| *n >= least).map(|(g, _)| g).collect())
}

/// Pins of a stack. What is taken away from the body may be nothing.
fn steps(
    equipment: &Equipment,
    exercise: &Exercise,
    most_g: u32,
    from_zero: bool,
) -> Result<Vec<u32>, String> {
    let step_g = match equipment.stack_step_kg {
        Some(kg) => mass_g("stack step", kg)?,
        None if exercise.step_kg.get() > 0.0 => mass_g("stack step", exercise.step_kg)?,
        None => STACK_STEP_G,
    };
    Ok((u32::from(!from_zero)..=most_g / step_g).map(|n| n * step_g).collect())
}

fn run((from, to, step): (u32, u32, u32)) -> impl Iterator<Item = u32> {
    (from..=to).step_by(step as usize)
}

/// The discs of a brief, or those of a usual gym.
fn pairs(equipment: &Equipment) -> Result<Vec<Disc>, String> {
    if equipment.disc_pairs.is_empty() {
        let gym = GYM_PAIRS.iter().map(|&(mass_g, count)| Disc { mass_g, count });
        return Ok(gym.collect());
    }
    let read: Result<Vec<(Kilograms, u32)>, String> =
        equipment.disc_pairs.iter().map(|(key, count)| Ok((disc_kg(key)?, *count))).collect();
    pairs_of(&read?)
}

/// Kinds of discs, heaviest first; the same mass given twice is added up.
pub(crate) fn pairs_of(pairs: &[(Kilograms, u32)]) -> Result<Vec<Disc>, String> {
    let mut counts: BTreeMap<u32, u32> = BTreeMap::new();
    for (kg, count) in pairs {
        let sum = counts.entry(mass_g("disc", *kg)?).or_default();
        *sum = sum.saturating_add(*count);
        if *sum > PAIRS_MAX {
            return Err(format!("{sum} pairs of {} discs; at most {PAIRS_MAX} pairs are read", kg.get()));
        }
    }
    if counts.len() > KINDS_MAX {
        return Err(format!("{} kinds of discs; at most {KINDS_MAX} are read", counts.len()));
    }
    Ok(counts.into_iter().rev().map(|(mass_g, count)| Disc { mass_g, count }).collect())
}

/// A disc's name in a brief: "20", "2.5", "2,5", "2.5 kg", "45 lb".
fn disc_kg(key: &str) -> Result<Kilograms, String> {
    let text = key.trim().to_lowercase().replace(',', ".");
    let (number, pounds) = match (text.strip_suffix("kg"), text.strip_suffix("lb")) {
        (Some(number), _) => (number, false),
        (None, Some(number)) => (number, true),
        (None, None) => (text.as_str(), false),
    };
    let value: f64 = number
        .trim()
        .parse()
        .map_err(|_| format!("disc \"{key}\" is not a weight; write it as \"20\" or \"2.5\""))?;
    Ok(if pounds { Kilograms::from_lb(value) } else { Kilograms(value) })
}

/// Whole grams of a piece of equipment.
pub(crate) fn mass_g(what: &str, mass: Kilograms) -> Result<u32, String> {
    grams(mass).filter(|g| (PIECE_MIN_G..=PIECE_MAX_G).contains(g)).ok_or_else(|| {
        let (least, most) = (kilograms(PIECE_MIN_G).get(), kilograms(PIECE_MAX_G).get());
        format!("a {what} of {} kg is taken for a slip; it is between {least} and {most} kg", mass.get())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::exercise;
    use setwright_model::brief::Place;

    fn of(equipment: &Equipment, load: LoadKind) -> Result<Loadable, String> {
        Loadable::of(equipment, &Exercise { load, ..exercise("lift") })
    }

    fn with_discs(pairs: &[(&str, u32)]) -> Equipment {
        Equipment {
            disc_pairs: pairs.iter().map(|(k, n)| ((*k).to_owned(), *n)).collect(),
            ..Equipment::default()
        }
    }

    #[test]
    fn a_usual_gym_loads_a_bar_in_steps_of_two_and_a_half() {
        let bar = of(&Equipment::default(), LoadKind::Bar).unwrap();
        assert_eq!(bar.lightest(), Some(Kilograms(20.0)));
        for n in 0..100 {
            assert!(bar.is_loadable(Kilograms(20.0 + 2.5 * f64::from(n))), "{n}");
        }
        assert!(!bar.is_loadable(Kilograms(21.0)));
    }

    #[test]
    fn the_names_of_discs_are_read_as_people_write_them() {
        let bar = of(&with_discs(&[("20", 1), ("2,5 kg", 1), (" 1.25 ", 2)]), LoadKind::Bar).unwrap();
        let all: Vec<f64> = bar.all().map(Kilograms::get).collect();
        assert_eq!(all[..5], [20.0, 22.5, 25.0, 27.5, 30.0]);
        assert_eq!(bar.heaviest(), Some(Kilograms(70.0)));
        let pounds = of(&with_discs(&[("45 lb", 1)]), LoadKind::Bar).unwrap();
        assert_eq!(pounds.heaviest(), Some(Kilograms(60.824)));
    }

    #[test]
    fn a_disc_that_is_no_weight_is_refused_with_its_name() {
        for key in ["big", "", "-5", "0", "NaN", "inf", "1e9"] {
            let refusal = of(&with_discs(&[(key, 1)]), LoadKind::Bar).unwrap_err();
            assert!(refusal.contains("disc"), "{key}: {refusal}");
        }
    }

    #[test]
    fn forty_pairs_are_read_and_no_more() {
        assert!(of(&with_discs(&[("20", 40)]), LoadKind::Bar).is_ok());
        assert!(of(&with_discs(&[("20", 41)]), LoadKind::Bar).is_err());
        assert!(of(&with_discs(&[("20", 40), ("20.0", 1)]), LoadKind::Bar).is_err());
    }

    #[test]
    fn no_discs_anywhere_leave_the_empty_bar() {
        let bar = of(&with_discs(&[("20", 0), ("10", 0)]), LoadKind::Bar).unwrap();
        assert_eq!(bar.all().collect::<Vec<_>>(), vec![Kilograms(20.0)]);
    }

    #[test]
    fn the_bar_is_the_one_the_exercise_uses() {
        let equipment = Equipment { bar_kg: Some(Kilograms(15.0)), ..Equipment::default() };
        let lightest = |stations: Vec<Station>| {
            let lift = Exercise { load: LoadKind::Bar, stations, ..exercise("lift") };
            Loadable::of(&equipment, &lift).unwrap().lightest()
        };
        assert_eq!(lightest(vec![Station::Rack]), Some(Kilograms(15.0)));
        assert_eq!(lightest(vec![Station::CurlBar]), Some(Kilograms(10.0)));
        assert_eq!(lightest(vec![Station::TrapBar]), Some(Kilograms(25.0)));
        assert_eq!(lightest(vec![Station::Rack, Station::SafetyBar]), Some(Kilograms(30.0)));
    }

    #[test]
    fn a_belt_takes_single_discs_and_nothing_at_all() {
        let belt = of(&with_discs(&[("5", 1), ("1.25", 1)]), LoadKind::BodyPlus).unwrap();
        let all: Vec<f64> = belt.all().map(Kilograms::get).collect();
        assert_eq!(all, [0.0, 1.25, 2.5, 5.0, 6.25, 7.5, 10.0, 11.25, 12.5]);
        let bare = Equipment { place: Place::Bare, ..Equipment::default() };
        assert_eq!(of(&bare, LoadKind::BodyPlus).unwrap().heaviest(), Some(Kilograms(0.0)));
    }

    #[test]
    fn a_pair_needs_two_of_a_kind_when_single_bells_are_listed() {
        let listed = |kg: &[f64]| Equipment {
            dumbbells_kg: kg.iter().copied().map(Kilograms).collect(),
            ..Equipment::default()
        };
        let loads = |equipment: &Equipment, load| -> Vec<f64> {
            of(equipment, load).unwrap().all().map(Kilograms::get).collect()
        };
        let singles = listed(&[5.0, 5.0, 8.0, 12.0, 12.0]);
        assert_eq!(loads(&singles, LoadKind::DumbbellPair), [5.0, 12.0]);
        assert_eq!(loads(&singles, LoadKind::Dumbbell), [5.0, 8.0, 12.0]);
        assert_eq!(loads(&listed(&[5.0, 8.0]), LoadKind::DumbbellPair), [5.0, 8.0]);
    }

    #[test]
    fn the_step_of_a_stack_is_the_briefs_then_the_exercises_then_five() {
        let lightest = |brief: Option<f64>, own: f64| {
            let equipment = Equipment { stack_step_kg: brief.map(Kilograms), ..Equipment::default() };
            let lift = Exercise { load: LoadKind::Stack, step_kg: Kilograms(own), ..exercise("lift") };
            Loadable::of(&equipment, &lift).unwrap().lightest()
        };
        assert_eq!(lightest(Some(7.5), 2.5), Some(Kilograms(7.5)));
        assert_eq!(lightest(None, 2.5), Some(Kilograms(2.5)));
        assert_eq!(lightest(None, 0.0), Some(Kilograms(5.0)));
    }

    #[test]
    fn help_on_a_machine_may_be_nothing() {
        let assisted = of(&Equipment::default(), LoadKind::Assisted).unwrap();
        assert_eq!(assisted.lightest(), Some(Kilograms(0.0)));
        assert_eq!(assisted.heaviest(), Some(Kilograms(100.0)));
    }

    #[test]
    fn bodies_and_bands_are_not_weighed() {
        assert!(of(&Equipment::default(), LoadKind::Body).unwrap().is_none());
        assert!(of(&Equipment::default(), LoadKind::Band).unwrap().is_none());
    }

    #[test]
    fn a_weight_beyond_reason_is_a_slip() {
        let bar = |kg| Equipment { bar_kg: Some(Kilograms(kg)), ..Equipment::default() };
        assert!(of(&bar(120.0), LoadKind::Bar).is_ok());
        assert!(of(&bar(120.1), LoadKind::Bar).is_err());
        assert!(of(&bar(0.1), LoadKind::Bar).is_ok());
        assert!(of(&bar(0.0), LoadKind::Bar).is_err());
        assert!(of(&bar(f64::NAN), LoadKind::Bar).is_err());
    }
}
