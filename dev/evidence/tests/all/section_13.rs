//! Muscle size (Handsfield 2014, J Biomech 47:631 (B)).

use setwright_model::Kilograms;
use setwright_science::size::{leg_volume, muscle_volume};

/// At 1.75 m and 75 kg: V = 7453.75, gluteus maximus 891.4 (D).
#[test]
fn a_leg_of_175_cm_and_75_kg_has_the_check_values() {
    assert!((leg_volume(1.75, Kilograms(75.0)).0 - 7453.75).abs() < 1e-9);
    let glute = muscle_volume("gluteus maximus", 1.75, Kilograms(75.0)).unwrap().0;
    assert!((glute - 891.4).abs() < 0.05, "{glute}");
}
