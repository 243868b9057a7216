//! From the equipment of a brief to what can be loaded: reads discs, bars and lists, and fills in a usual gym
//! where the brief says nothing.
//!
//! It refuses what makes no sense with a sentence; it never guesses a weight that was typed wrongly.

use super::{Disc, Loadable, Mass, Rack, Unit};
use crate::equipment::stations;
use setwright_model::brief::Equipment;
use setwright_model::exercise::LoadKind;
use setwright_model::limits::LOAD_KG_MAX;
use setwright_model::{Exercise, Kilograms, MassUnit, Pounds, Station};
use std::collections::BTreeMap;

/// Heaviest load that is made, in kilograms (judgement).
pub(crate) const MOST_KG: f64 = LOAD_KG_MAX;
/// The same in grams (judgement).
pub(crate) const MOST_G: u32 = (MOST_KG * 1000.0) as u32;
/// Lightest and heaviest bar, disc, dumbbell or step that is taken as meant, in kilograms (judgement).
const PIECE_KG: (f64, f64) = (0.1, 120.0);
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
/// A bar, a curl bar, a trap bar and a safety squat bar in pounds, hundredths (common practice, no source (T); they vary).
const BARS_LB: [u32; 4] = [4_500, 2_000, 5_500, 6_500];
/// Plates of a rack in a gym in pounds, hundredths and pairs (common practice, no source (T)).
const GYM_PAIRS_LB: [(u32, u32); 6] = [(4_500, 5), (3_500, 1), (2_500, 2), (1_000, 2), (500, 2), (250, 2)];
/// Dumbbells of a gym in pounds: 5 to 100 by 5, hundredths (common practice, no source (T)).
const DUMBBELLS_LB: (u32, u32, u32) = (500, 10_000, 500);
/// Step of a stack in pounds, hundredths, where the exercise's own step is fine, usual or coarse (common practice, no
/// source (T)).
const STACK_STEPS_LB: [u32; 3] = [500, 1_000, 2_000];
/// Exercise's own steps up to which a stack in pounds is fine and usual, in kilograms (judgement).
const STACK_STEPS_KG: [f64; 2] = [2.5, 5.0];
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
/// Heaviest stack, in kilograms (judgement).
const STACK_MOST_KG: f64 = 200.0;
/// Most that a machine takes away from the body, in kilograms (judgement).
const ASSIST_MOST_KG: f64 = 100.0;

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
        LoadKind::Stack => Loadable::listed(steps(equipment, exercise, STACK_MOST_KG, false)?),
        LoadKind::Assisted => Loadable::listed(steps(equipment, exercise, ASSIST_MOST_KG, true)?),
        LoadKind::Body | LoadKind::Band => Loadable::none(),
    })
}

/// Whether what is told of the equipment is told in pounds: what is not told is then taken to be in pounds as well.
fn is_in_pounds(equipment: &Equipment) -> bool {
    let keys = || equipment.disc_pairs.keys().map(|key| key.trim().to_lowercase());
    let pairs = keys().any(|key| key.ends_with("lb"));
    equipment.bar_lb.is_some()
        || equipment.stack_step_lb.is_some()
        || !equipment.disc_pairs_lb.is_empty()
        || !equipment.dumbbells_lb.is_empty()
        || pairs
}

/// A bar with a disc on either end. The brief's bar is the straight one.
fn bar(equipment: &Equipment, exercise: &Exercise) -> Result<Loadable, String> {
    let [straight, curl, trap, safety] = if is_in_pounds(equipment) {
        BARS_LB.map(Mass::centi_pounds)
    } else {
        [BAR_G, CURL_BAR_G, TRAP_BAR_G, SAFETY_BAR_G].map(Mass::grams)
    };
    let base = if exercise.stations.contains(&Station::CurlBar) {
        curl
    } else if exercise.stations.contains(&Station::TrapBar) {
        trap
    } else if exercise.stations.contains(&Station::SafetyBar) {
        safety
    } else if let Some(lb) = equipment.bar_lb {
        mass_lb("bar", lb)?
    } else {
        equipment.bar_kg.map_or(Ok(straight), |kg| mass("bar", kg))?
    };
    let (unit, discs) = pairs(equipment)?;
    Ok(Loadable::hung(Rack { base, sides: 2, unit, discs }))
}

/// A machine or bar end of which the discs alone count. One end of a bar takes both discs of a pair.
fn machine(equipment: &Equipment, exercise: &Exercise) -> Result<Loadable, String> {
    let (unit, discs) = pairs(equipment)?;
    let (sides, discs) =
        if exercise.stations.contains(&Station::Landmine) { (1, loose(&discs)) } else { (2, discs) };
    Ok(Loadable::hung(Rack { base: Mass { count: 0, unit }, sides, unit, discs }))
}

/// Discs on a belt; none where there are no discs.
fn belt(equipment: &Equipment) -> Result<Loadable, String> {
    let (unit, discs) = pairs(equipment)?;
    let discs = if has_discs(equipment) { loose(&discs) } else { Vec::new() };
    Ok(Loadable::hung(Rack { base: Mass { count: 0, unit }, sides: 1, unit, discs }))
}

fn single(equipment: &Equipment, exercise: &Exercise) -> Result<Loadable, String> {
    if exercise.stations.contains(&Station::MedicineBall) {
        return Ok(Loadable::listed(run(BALLS_G).map(Mass::grams)));
    }
    if exercise.stations.contains(&Station::Sandbag) {
        return Ok(Loadable::listed(run(SANDBAGS_G).map(Mass::grams)));
    }
    let (unit, discs) = pairs(equipment)?;
    let there = discs.iter().filter(|d| d.count > 0);
    Ok(Loadable::listed(there.map(|d| Mass { count: d.mass, unit })))
}

fn has_discs(equipment: &Equipment) -> bool {
    let told = !equipment.disc_pairs.is_empty() || !equipment.disc_pairs_lb.is_empty();
    told || stations(equipment).contains(&Station::Plate)
}

/// Both discs of every pair, for one place to hang them.
fn loose(pairs: &[Disc]) -> Vec<Disc> {
    pairs.iter().map(|d| Disc { count: d.count * 2, ..*d }).collect()
}

fn dumbbells(equipment: &Equipment, pair: bool) -> Result<Vec<Mass>, String> {
    let usual = || {
        if is_in_pounds(equipment) {
            return run(DUMBBELLS_LB).map(Mass::centi_pounds).collect();
        }
        run(DUMBBELLS_FINE_G).chain(run(DUMBBELLS_COARSE_G)).map(Mass::grams).collect()
    };
    bells("dumbbell", (&equipment.dumbbells_kg, &equipment.dumbbells_lb), pair, usual)
}

/// Kettlebells stand singly (common practice, no source (T)): a list counts bells, and a pair needs two of a kind.
pub(super) fn kettlebells(equipment: &Equipment, pair: bool) -> Result<Vec<Mass>, String> {
    let listed = counted("kettlebell", (&equipment.kettlebells_kg, &equipment.kettlebells_lb))?;
    let usual = || run(KETTLEBELLS_G).map(Mass::grams).collect();
    Ok(listed.map_or_else(usual, |counts| at_least(if pair { 2 } else { 1 }, counts)))
}

/// The weights of a list of dumbbells. Where a weight stands twice in it, the list counts single bells, and a pair needs two
/// of a kind; where none does, the list names weights, and there is a pair of each.
fn bells(
    what: &str,
    there: (&[Kilograms], &[Pounds]),
    pair: bool,
    usual: impl Fn() -> Vec<Mass>,
) -> Result<Vec<Mass>, String> {
    let Some(counts) = counted(what, there)? else { return Ok(usual()) };
    let least = if pair && counts.iter().any(|(_, n)| *n > 1) { 2 } else { 1 };
    Ok(at_least(least, counts))
}

fn at_least(least: u32, counts: Vec<(Mass, u32)>) -> Vec<Mass> {
    counts.into_iter().filter(|(_, n)| *n >= least).map(|(bell, _)| bell).collect()
}

/// Every weight of a list with how often it is in it; none where nothing is listed.
fn counted(
    what: &str,
    (there_kg, there_lb): (&[Kilograms], &[Pounds]),
) -> Result<Option<Vec<(Mass, u32)>>, String> {
    if there_kg.is_empty() && there_lb.is_empty() {
        return Ok(None);
    }
    let in_kg = there_kg.iter().map(|kg| mass(what, *kg));
    let in_lb = there_lb.iter().map(|lb| mass_lb(what, *lb));
    let mut counts: Vec<(Mass, u32)> = Vec::new();
    for bell in in_kg.chain(in_lb) {
        let bell = bell?;
        match counts.iter_mut().find(|(other, _)| *other == bell) {
            Some((_, count)) => *count += 1,
            None => counts.push((bell, 1)),
        }
    }
    Ok(Some(counts))
}

/// Pins of a stack. What is taken away from the body may be nothing.
fn steps(
    equipment: &Equipment,
    exercise: &Exercise,
    most_kg: f64,
    from_zero: bool,
) -> Result<Vec<Mass>, String> {
    let own_kg = exercise.step_kg.get();
    let step = match (equipment.stack_step_lb, equipment.stack_step_kg) {
        (Some(lb), _) => mass_lb("stack step", lb)?,
        (None, Some(kg)) => mass("stack step", kg)?,
        (None, None) if is_in_pounds(equipment) => Mass::centi_pounds(stack_step_lb(own_kg)),
        (None, None) if own_kg > 0.0 => mass("stack step", exercise.step_kg)?,
        (None, None) => Mass::grams(STACK_STEP_G),
    };
    let most = step.unit.count(most_kg).unwrap_or(0);
    Ok((u32::from(!from_zero)..=most / step.count).map(|n| Mass { count: n * step.count, ..step }).collect())
}

/// The step of a stack in pounds that is as fine as the exercise's own.
fn stack_step_lb(own_kg: f64) -> u32 {
    let [fine, usual, coarse] = STACK_STEPS_LB;
    let is_set = own_kg > 0.0;
    match STACK_STEPS_KG {
        [most, _] if is_set && own_kg <= most => fine,
        [_, most] if !is_set || own_kg <= most => usual,
        _ => coarse,
    }
}

fn run((from, to, step): (u32, u32, u32)) -> impl Iterator<Item = u32> {
    (from..=to).step_by(step as usize)
}

/// The discs of a brief, or those of a usual gym, and what they are counted in.
fn pairs(equipment: &Equipment) -> Result<(Unit, Vec<Disc>), String> {
    if equipment.disc_pairs.is_empty() && equipment.disc_pairs_lb.is_empty() {
        let (unit, gym): (Unit, &[(u32, u32)]) = if is_in_pounds(equipment) {
            (Unit::CentiPound, &GYM_PAIRS_LB)
        } else {
            (Unit::Gram, &GYM_PAIRS)
        };
        return Ok((
            unit,
            gym.iter().map(|&(mass, count)| Disc { mass, count, marked: unit.written() }).collect(),
        ));
    }
    let in_kg = equipment.disc_pairs.iter().map(|(key, count)| Ok((disc(key, false)?, *count)));
    let in_lb = equipment.disc_pairs_lb.iter().map(|(key, count)| Ok((disc(key, true)?, *count)));
    let read: Result<Vec<(Mass, u32)>, String> = in_kg.chain(in_lb).collect();
    pairs_of(&read?)
}

/// Discs in kilograms.
pub(crate) fn in_grams(pairs: &[(Kilograms, u32)]) -> Result<Vec<(Mass, u32)>, String> {
    pairs.iter().map(|(kg, count)| Ok((mass("disc", *kg)?, *count))).collect()
}

/// Kinds of discs, heaviest first, and what they are counted in; the same mass given twice is added up. Where some are in
/// kilograms and some in pounds, all are counted in grams: half a gram of a disc is lost.
pub(crate) fn pairs_of(pairs: &[(Mass, u32)]) -> Result<(Unit, Vec<Disc>), String> {
    let in_pounds = !pairs.is_empty() && pairs.iter().all(|(mass, _)| mass.unit == Unit::CentiPound);
    let unit = if in_pounds { Unit::CentiPound } else { Unit::Gram };
    let mut counts: BTreeMap<u32, (u32, MassUnit)> = BTreeMap::new();
    for (mass, count) in pairs {
        let of_it = unit.count(mass.kg()).unwrap_or(0).max(1);
        let (sum, _) = counts.entry(of_it).or_insert((0, mass.unit.written()));
        *sum = sum.saturating_add(*count);
        if *sum > PAIRS_MAX {
            return Err(format!("{sum} pairs of {} discs; at most {PAIRS_MAX} pairs are read", mass.kg()));
        }
    }
    if counts.len() > KINDS_MAX {
        return Err(format!("{} kinds of discs; at most {KINDS_MAX} are read", counts.len()));
    }
    Ok((unit, counts.into_iter().rev().map(|(mass, (count, marked))| Disc { mass, count, marked }).collect()))
}

/// A disc's name in a brief: "20", "2.5", "2,5", "2.5 kg", "45 lb"; a bare number is in the unit of its list.
fn disc(key: &str, in_pounds: bool) -> Result<Mass, String> {
    let text = key.trim().to_lowercase().replace(',', ".");
    let (number, pounds) = match (text.strip_suffix("kg"), text.strip_suffix("lb")) {
        (Some(number), _) => (number, false),
        (None, Some(number)) => (number, true),
        (None, None) => (text.as_str(), in_pounds),
    };
    let value: f64 = number
        .trim()
        .parse()
        .map_err(|_| format!("disc \"{key}\" is not a weight; write it as \"20\" or \"2.5\""))?;
    if pounds { mass_lb("disc", Pounds(value)) } else { mass("disc", Kilograms(value)) }
}

/// Whole grams of a piece of equipment.
pub(crate) fn mass(what: &str, mass: Kilograms) -> Result<Mass, String> {
    let (least, most) = PIECE_KG;
    let whole = Unit::Gram.count(mass.get()).map(Mass::grams);
    whole.filter(|m| (least..=most).contains(&m.kg())).ok_or_else(|| {
        format!("a {what} of {} kg is taken for a slip; it is between {least} and {most} kg", mass.get())
    })
}

/// Whole hundredths of a pound of a piece of equipment.
fn mass_lb(what: &str, mass: Pounds) -> Result<Mass, String> {
    let (least, most) = PIECE_KG;
    let whole = Unit::CentiPound.count(mass.to_kg().get()).map(Mass::centi_pounds);
    whole.filter(|m| (least..=most).contains(&m.kg())).ok_or_else(|| {
        format!("a {what} of {} lb is taken for a slip; it is between {least} and {most} kg", mass.get())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;
    use crate::discs::Plate;
    use setwright_model::brief::Place;

    fn lift() -> Exercise {
        builtin().get(&"bench_press".into()).unwrap().clone()
    }

    fn of(equipment: &Equipment, load: LoadKind) -> Result<Loadable, String> {
        Loadable::of(equipment, &Exercise { load, ..lift() })
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
        assert_eq!(pounds.heaviest(), Some(Kilograms::from_lb(135.0)));
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
            let lift = Exercise { load: LoadKind::Bar, stations, ..lift() };
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
            let lift = Exercise { load: LoadKind::Stack, step_kg: Kilograms(own), ..lift() };
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

    fn plate_lb(lb: f64) -> Plate {
        Plate { mass: Kilograms::from_lb(lb), marked: MassUnit::Lb }
    }

    fn in_pounds() -> Equipment {
        Equipment {
            bar_lb: Some(Pounds(45.0)),
            disc_pairs_lb: [("45", 4), ("25", 1), ("10", 2), ("5", 1), ("2.5", 1)]
                .map(|(k, n)| (k.to_owned(), n))
                .into(),
            dumbbells_lb: [5.0, 7.5, 10.0, 10.0].map(Pounds).to_vec(),
            stack_step_lb: Some(Pounds(12.5)),
            ..Equipment::default()
        }
    }

    #[test]
    fn pounds_are_made_exactly() {
        let bar = of(&in_pounds(), LoadKind::Bar).unwrap();
        for lb in [45.0, 50.0, 95.0, 135.0, 225.0, 315.0, 405.0] {
            let load = Kilograms::from_lb(lb);
            assert!(bar.is_loadable(load), "{lb}");
            assert_eq!(bar.round_down(load), Some(load), "{lb}");
            assert_eq!(bar.nearest(load + Kilograms(0.3)), Some(load), "{lb}");
        }
        assert!(!bar.is_loadable(Kilograms(60.0)) && !bar.is_loadable(Kilograms::from_lb(46.0)));
        let discs = bar.discs_for(Kilograms::from_lb(315.0)).unwrap();
        assert_eq!(discs, [45.0; 3].map(plate_lb));
        let plan = bar.ramp_discs(&[95.0, 135.0, 185.0].map(Kilograms::from_lb)).unwrap();
        assert_eq!(plan[2].stack, [45.0, 25.0].map(plate_lb));
        assert!(plan.iter().all(|step| step.stack.len() <= 2), "{plan:?}");
    }

    #[test]
    fn bells_and_stacks_are_read_in_pounds() {
        let lb = |load| -> Vec<f64> {
            let all: Vec<f64> = of(&in_pounds(), load).unwrap().all().map(Kilograms::to_lb).collect();
            all.iter().map(|lb| (lb * 1e6).round() / 1e6).collect()
        };
        assert_eq!(lb(LoadKind::Dumbbell), [5.0, 7.5, 10.0]);
        assert_eq!(lb(LoadKind::DumbbellPair), [10.0]);
        assert_eq!(lb(LoadKind::Stack)[..3], [12.5, 25.0, 37.5]);
        assert_eq!(lb(LoadKind::Assisted)[..2], [0.0, 12.5]);
        assert_eq!(lb(LoadKind::BodyPlus)[..4], [0.0, 2.5, 5.0, 7.5]);
    }

    #[test]
    fn what_is_not_told_of_a_gym_in_pounds_is_in_pounds() {
        let gym = Equipment { bar_lb: Some(Pounds(45.0)), ..Equipment::default() };
        let is_in_fives = |loadable: &Loadable| {
            loadable.all().all(|kg| ((kg.to_lb() / 5.0).round() * 5.0 - kg.to_lb()).abs() < 1e-6)
        };
        for load in [LoadKind::Bar, LoadKind::DumbbellPair, LoadKind::Stack] {
            assert!(is_in_fives(&of(&gym, load).unwrap()), "{load:?}");
        }
        let usual = Equipment::default();
        assert!(!is_in_fives(&of(&usual, LoadKind::DumbbellPair).unwrap()));
        assert!(
            of(&gym, LoadKind::Kettlebell).unwrap().is_loadable(Kilograms(16.0)),
            "bells are in kilograms"
        );
    }

    #[test]
    fn a_bar_in_kilograms_takes_plates_in_pounds() {
        let mixed = Equipment {
            bar_kg: Some(Kilograms(20.0)),
            disc_pairs_lb: [("45".to_owned(), 2)].into(),
            ..Equipment::default()
        };
        let bar = of(&mixed, LoadKind::Bar).unwrap();
        let loads: Vec<Kilograms> = bar.all().collect();
        assert_eq!(loads, [0.0, 90.0, 180.0].map(|lb| Kilograms(20.0) + Kilograms::from_lb(lb)));
        assert_eq!(bar.discs_for(loads[2]).map(|d| d.len()), Some(2));
        let discs = with_discs(&[("45 lb", 1), ("20", 1)]);
        let both = of(&discs, LoadKind::Bar).unwrap();
        let hung = both.discs_for(both.heaviest().unwrap()).unwrap();
        assert_eq!(
            hung.iter().map(|p| (p.number(), p.marked)).collect::<Vec<_>>(),
            [(45.0, MassUnit::Lb), (20.0, MassUnit::Kg)]
        );
        let heaviest =
            of(&Equipment { bar_kg: Some(Kilograms(20.0)), ..discs }, LoadKind::Bar).unwrap().heaviest();
        assert!((heaviest.unwrap().get() - 60.0 - Kilograms::from_lb(90.0).get()).abs() < 0.002);
    }

    #[test]
    fn a_slip_in_pounds_is_refused_with_its_value() {
        let bar = |lb| of(&Equipment { bar_lb: Some(Pounds(lb)), ..Equipment::default() }, LoadKind::Bar);
        assert!(bar(264.0).is_ok());
        assert!(bar(265.0).unwrap_err().contains("265 lb"));
        assert!(bar(f64::NAN).is_err() && bar(0.0).is_err());
    }
}
