//! The answers before training (SW170). It never diagnoses, and never assumes an answer.

use crate::scene::{At, Findings, Scene};
use setwright_model::Severity;
use setwright_science::screening::{Intensity, notes, outcome};

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    let Some(brief) = scene.brief else { return };
    let outcome = outcome(&brief.screening);
    let (meaning, action) = (outcome.meaning(), outcome.action());
    if outcome.stops() {
        out.error(At::Client, "SW170", meaning, action);
    } else if !outcome.may_train() || outcome.intensity() == Intensity::Moderate {
        out.add(At::Client, Severity::Note, "SW170", meaning, action);
    }
    for note in notes(brief) {
        let hint = "Look at every default before it is used.";
        out.add(At::Client, Severity::Note, "SW170", note, hint);
    }
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, NOTE, press, sets, straight, tally};
    use setwright_model::brief::Screening;

    fn screened(change: impl FnOnce(&mut Screening)) -> (usize, usize, usize) {
        let case = Case::new([press()]).day(1, [straight(sets("press", 3))]);
        case.brief(|b| change(&mut b.screening)).said("SW170")
    }

    #[test]
    fn a_sign_stops_training_until_a_clinician_agrees() {
        assert_eq!(screened(|_| {}), NONE);
        assert_eq!(screened(|s| s.signs = Some(true)), ERROR);
        let cleared = |s: &mut Screening| {
            s.signs = Some(true);
            s.cleared = Some(true);
        };
        assert_eq!(screened(cleared), NONE);
    }

    #[test]
    fn what_the_rules_do_not_cover_stops_training_too() {
        assert_eq!(screened(|s| s.other = Some(true)), ERROR);
    }

    #[test]
    fn open_questions_are_noted_and_do_not_stop() {
        assert_eq!(screened(|s| *s = Screening::default()), NOTE);
    }

    #[test]
    fn a_known_disease_in_an_active_client_is_noted() {
        assert_eq!(screened(|s| s.known_disease = Some(true)), NOTE);
    }

    #[test]
    fn defaults_that_are_not_for_a_client_are_noted() {
        let aged = |age| {
            let case = Case::new([press()]).day(1, [straight(sets("press", 3))]);
            case.brief(|b| b.body.age = Some(age)).said("SW170")
        };
        assert_eq!(aged(18), NONE);
        assert_eq!(aged(17), NOTE);
    }

    #[test]
    fn without_a_brief_there_is_nobody_to_screen() {
        assert_eq!(tally(&Case::new([press()]).report_alone(), "SW170"), NONE);
    }
}
