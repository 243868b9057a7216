//! What belongs to a focus.

use setwright_formulate::focus::belongs;
use setwright_model::Pattern;
use setwright_model::brief::Focus;

#[test]
fn a_focus_keeps_to_its_part_of_the_body() {
    assert!(belongs(Focus::Upper, Pattern::HorizontalPress) && !belongs(Focus::Upper, Pattern::Squat));
    assert!(belongs(Focus::Lower, Pattern::Hinge) && !belongs(Focus::Lower, Pattern::ElbowFlexion));
    assert!(belongs(Focus::Pull, Pattern::VerticalPull) && !belongs(Focus::Pull, Pattern::Dip));
    assert!(belongs(Focus::Legs, Pattern::CalfRaise) && !belongs(Focus::Legs, Pattern::TrunkFlexion));
    assert!(Pattern::ALL.iter().all(|p| belongs(Focus::WholeBody, *p)));
}
