//! The ways to do an exercise.

use setwright_formulate::modes::*;
use setwright_model::BlockKind;

#[test]
fn the_ranges_name_the_kinds_and_a_second_follows_its_first() {
    for (range, kind) in [
        (STRAIGHT, BlockKind::Straight),
        (ALTERNATING, BlockKind::Alternating),
        (SAME_FIRST, BlockKind::SameMuscle),
    ] {
        assert!(range.clone().all(|m| MODES[usize::from(m)].kind == kind && !MODES[usize::from(m)].second));
    }
    for first in SAME_FIRST {
        let (one, two) = (MODES[usize::from(first)], MODES[usize::from(first + SAME_SECOND)]);
        assert!(two.second && (one.kind, one.rest_s) == (two.kind, two.rest_s));
    }
    assert_eq!(STRAIGHT.len() + ALTERNATING.len() + 2 * SAME_FIRST.len(), MODES.len());
}
