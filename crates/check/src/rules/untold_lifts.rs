//! A compound that nobody has told of is not loaded for sets near the limit, nor for triples (SW148): the first sessions find
//! out what it takes. What stands by feel finds its own load, and is only pointed out.

use crate::scene::{At, Findings, Item, Scene, Stage};
use setwright_model::Severity;
use setwright_model::exercise::Measure;

/// Reps in reserve at least, and fewest reps, of a compound that was not told (common practice, no source (T)).
const RIR: u32 = 2;
const REPS: u32 = 5;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    // Who told of nothing was not asked: the loads of such a sheet are judged by norms.
    if scene.brief.is_none_or(|b| b.lifts.is_empty()) {
        return;
    }
    for (stage, item) in scene.items() {
        near_the_limit(scene, stage, item, out);
    }
}

fn near_the_limit(scene: &Scene<'_>, stage: &Stage<'_>, item: &Item<'_>, out: &mut Findings) {
    let (e, p) = (item.exercise, item.prescription);
    let near = p.rir < RIR || p.reps[0] < REPS;
    if !near || !e.pattern.is_compound() || e.measure != Measure::Reps || scene.is_own(&e.id) {
        return;
    }
    let severity = if p.load_kg.is_some() { Severity::Warning } else { Severity::Note };
    let cause = if p.rir < RIR {
        format!("{} was not told, and its sets end {} short of the limit.", e.name, p.rir)
    } else {
        format!("{} was not told, and its sets have {} reps.", e.name, p.reps[0])
    };
    let hint =
        format!("Begin with {REPS} reps or more, {RIR} in reserve, and a load that the first sets find.");
    out.add(At::Exercise(stage.rank, item.block, item.lane), severity, "SW148", cause, hint);
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, NONE, NOTE, WARNING, curl, loaded, press, row, straight, with};
    use setwright_model::Prescription;
    use setwright_model::exercise::Measure;

    fn said(id: &str, load: Option<f64>, reps: u32, rir: u32) -> (usize, usize, usize) {
        let p = Prescription { reps: [reps, reps + 2], rir, ..loaded(id, load.unwrap_or(1.0), &[]) };
        let p = Prescription { load_kg: p.load_kg.filter(|_| load.is_some()), ..p };
        Case::new([press(), row(), curl()]).told("row", 60.0, 8).day(1, [straight(p)]).said("SW148")
    }

    #[test]
    fn what_was_not_told_is_loaded_neither_near_the_limit_nor_for_triples() {
        assert_eq!((said("press", Some(60.0), 5, 2), said("press", Some(60.0), 5, 1)), (NONE, WARNING));
        assert_eq!(said("press", Some(60.0), 4, 2), WARNING);
        assert_eq!(said("press", None, 5, 1), NOTE, "the first set finds the load");
        assert_eq!(said("row", Some(60.0), 3, 1), NONE, "it was told");
        assert_eq!(said("curl", Some(20.0), 8, 1), NONE, "one joint");
    }

    #[test]
    fn who_told_of_nothing_was_not_asked_and_a_hold_has_no_reps() {
        let hard = || [straight(Prescription { rir: 1, ..loaded("press", 60.0, &[]) })];
        assert_eq!(Case::new([press(), row()]).day(1, hard()).said("SW148"), NONE);
        let held = |measure| {
            let press = with(press(), |e| e.measure = measure);
            Case::new([press, row()]).told("row", 60.0, 8).day(1, hard()).said("SW148")
        };
        assert_eq!((held(Measure::Reps), held(Measure::Seconds)), (WARNING, NONE));
    }
}
