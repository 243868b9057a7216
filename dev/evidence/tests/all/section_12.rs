//! Equipment and units.

use setwright_gym::catalogue::builtin;
use setwright_gym::loads::Loadable;
use setwright_model::Kilograms;
use setwright_model::brief::Equipment;
use setwright_model::units::KG_PER_LB;

/// Discs of powerlifting and weightlifting, the fine and the usual set (B); one pair of each.
const FINE: [f64; 10] = [25.0, 20.0, 15.0, 10.0, 5.0, 2.5, 2.0, 1.5, 1.0, 0.5];
const USUAL: [f64; 8] = [50.0, 25.0, 20.0, 15.0, 10.0, 5.0, 2.5, 1.25];

fn pairs(discs: &[f64]) -> Vec<(Kilograms, u32)> {
    discs.iter().map(|kg| (Kilograms(*kg), 1)).collect()
}

#[test]
fn a_pound_is_exact() {
    // 1 lb = 0.45359237 kg (exact by definition).
    assert_eq!(KG_PER_LB.to_bits(), 0.453_592_37_f64.to_bits());
    assert_eq!(Kilograms::from_lb(1.0), Kilograms(0.453_592_37));
    assert_eq!(Kilograms::from_lb(100.0), Kilograms(45.359_237));
    for pounds in [1.0, 2.5, 45.0, 135.0, 900.0] {
        assert!((Kilograms::from_lb(pounds).to_lb() - pounds).abs() < 1e-12);
    }
}

#[test]
fn the_smallest_jump_is_one_kilogram_with_the_fine_discs_and_two_and_a_half_with_the_usual() {
    // (B, D)
    for (discs, jump) in [(&FINE[..], 1.0), (&USUAL[..], 2.5)] {
        let bar = Loadable::bar(Kilograms(20.0), &pairs(discs)).unwrap();
        let loads: Vec<f64> = bar.all().map(Kilograms::get).collect();
        let least = loads.windows(2).map(|w| w[1] - w[0]).fold(f64::INFINITY, f64::min);
        assert!((least - jump).abs() < 1e-9, "{least}, not {jump}");
        for n in 0..60 {
            assert!(bar.is_loadable(Kilograms(20.0 + jump * f64::from(n))), "{n} jumps of {jump}");
        }
    }
}

#[test]
fn bars_of_twenty_and_fifteen_and_collars_are_weighed() {
    // Bars 20 and 15 kg, collars 2.5 kg each (B): a bar with collars is a bar of 25 or 20 kg.
    for bar_kg in [15.0, 20.0, 25.0] {
        let bar = Loadable::bar(Kilograms(bar_kg), &pairs(&USUAL)).unwrap();
        assert_eq!(bar.lightest(), Some(Kilograms(bar_kg)));
        assert_eq!(bar.round_down(Kilograms(bar_kg + 52.4)), Some(Kilograms(bar_kg + 50.0)));
    }
    let bench = builtin().get(&"bench_press".into()).unwrap();
    let usual = Loadable::of(&Equipment::default(), bench).unwrap();
    assert_eq!(usual.lightest(), Some(Kilograms(20.0)));
}

#[test]
fn every_exercise_of_the_catalogue_has_its_loads() {
    for exercise in builtin().iter() {
        let loadable = Loadable::of(&Equipment::default(), exercise).unwrap();
        let weighed = !matches!(
            exercise.load,
            setwright_model::exercise::LoadKind::Body | setwright_model::exercise::LoadKind::Band
        );
        assert_eq!(!loadable.is_none(), weighed, "{}", exercise.id);
        assert!(loadable.all().all(|load| loadable.is_loadable(load)), "{}", exercise.id);
    }
}
