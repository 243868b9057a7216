//! Screening before training, row by row (Riebe 2015, MSSE 47:2473; table (B)).

use setwright_model::brief::Screening;
use setwright_science::screening::{Intensity, Outcome, WARNING_SIGNS, outcome};

fn of(active: bool, disease: bool, signs: bool) -> Outcome {
    outcome(&Screening {
        active: Some(active),
        known_disease: Some(disease),
        signs: Some(signs),
        other: Some(false),
        cleared: None,
    })
}

#[test]
fn row_1_inactive_and_well_starts_gently_without_clearance() {
    assert_eq!(of(false, false, false).intensity(), Intensity::LightToModerate);
}

#[test]
fn row_2_inactive_with_a_known_disease_is_cleared_first() {
    assert_eq!(of(false, true, false), Outcome::ClearanceFirst);
}

#[test]
fn row_3_inactive_with_signs_is_cleared_first_whatever_is_known() {
    assert_eq!(
        [of(false, false, true), of(false, true, true)],
        [Outcome::ClearanceFirst, Outcome::ClearanceFirst]
    );
}

#[test]
fn row_4_active_and_well_continues() {
    assert_eq!(of(true, false, false).intensity(), Intensity::Any);
}

#[test]
fn row_5_active_with_a_known_disease_stays_moderate_until_cleared() {
    let outcome = of(true, true, false);
    assert_eq!(outcome.intensity(), Intensity::Moderate);
    assert!(outcome.action().contains("twelve"));
}

#[test]
fn row_6_active_with_signs_stops() {
    for disease in [false, true] {
        assert_eq!(of(true, disease, true), Outcome::Stop);
    }
}

/// The list of signs (M) has nine entries.
#[test]
fn every_sign_is_asked_after() {
    assert_eq!(WARNING_SIGNS.len(), 9);
}
