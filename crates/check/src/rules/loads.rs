//! Whether loads can be made with what there is (SW142), lifted by the client (SW143), and are supported by anything that
//! was told (SW144). The shape of a ramp is judged in `warm_up`.

use crate::sane::REPS_MAX;
use crate::scene::{At, Findings, Item, Scene, Stage};
use crate::words::number;
use setwright_gym::loads::Loadable;
use setwright_model::belief::Basis;
use setwright_model::exercise::{LoadKind, Measure};
use setwright_model::{Exercise, Kilograms, Reps, Sentence, Severity};
use setwright_science::curve::{Curve, load_for};
use setwright_science::prescribe::Scheme;
use setwright_science::strength::{Support, supported, total};

/// A load may be above what the belief allows by this share (judgement).
const ABOVE_SHARE: f64 = 0.1;
/// A load that only norms speak of is supported when this share of such clients could lift it (judgement: one in ten).
const SUPPORTED: f64 = 0.1;

pub(crate) fn check(scene: &Scene<'_>, out: &mut Findings) {
    for stage in &scene.stages {
        for item in &stage.items {
            let at = At::Exercise(stage.rank, item.block, item.lane);
            if scene.brief.is_some() {
                can_be_made(scene, at, item, out);
            }
            if !unsupported(scene, stage, at, item, out) {
                too_strong(scene, at, item, out);
            }
        }
    }
}

fn can_be_made(scene: &Scene<'_>, at: At, item: &Item<'_>, out: &mut Findings) {
    let p = item.prescription;
    let steps = p.ramp.iter().filter_map(|s| s.load_kg).map(|l| ("warm-up load", l));
    let all: Vec<_> = p.load_kg.map(|l| ("load", l)).into_iter().chain(steps).collect();
    if all.is_empty() {
        return;
    }
    let loadable = match scene.loadable(item.exercise) {
        Ok(loadable) => loadable,
        Err(cause) => {
            out.error(at, "SW142", format!("{cause}."), "Correct the equipment of the brief.");
            return;
        }
    };
    for (what, load) in all.into_iter().filter(|(_, l)| l.get().is_finite()) {
        if loadable.is_none() {
            weightless(at, load, out);
        } else if !loadable.is_loadable(load) {
            let cause = Sentence::from(format!("A {what} of ")).load(load);
            let cause = cause.text(" cannot be made with what there is.");
            out.error(at, "SW142", cause, nearest(&loadable, load));
        }
    }
}

fn weightless(at: At, load: Kilograms, out: &mut Findings) {
    if load.get() > 0.0 {
        let cause = Sentence::default().load(load);
        let cause = cause.text(" are written, and this exercise has no load to weigh.");
        out.add(at, Severity::Warning, "SW142", cause, "Leave the load out, or choose a loaded exercise.");
    }
}

fn nearest(loadable: &Loadable, load: Kilograms) -> Sentence {
    let either = Sentence::from("Load ");
    match (loadable.round_down(load), loadable.round_up(load)) {
        (Some(low), Some(high)) => either.load(low).text(" or ").load(high).text("."),
        (Some(only), None) | (None, Some(only)) => either.load(only).text("."),
        (None, None) => "Leave the load out.".into(),
    }
}

/// Total load that leaves the reps in reserve by what is believed.
fn allowed(scene: &Scene<'_>, item: &Item<'_>) -> Option<(Kilograms, Basis)> {
    let strength = scene.belief.one_rm.get(&item.exercise.id)?;
    if item.exercise.measure != Measure::Reps {
        return None;
    }
    let (reps, rir) = (Reps(item.prescription.mid_reps()), Reps(f64::from(item.prescription.rir)));
    let load = load_for(strength.one_rm, reps, rir, Curve::of(item.exercise.curve));
    Some((load, strength.basis))
}

/// A load that nobody can make is said to a tenth of a kilogram.
fn in_tenths(load: Kilograms) -> Kilograms {
    Kilograms((10.0 * load.get()).round() / 10.0)
}

fn body_mass(scene: &Scene<'_>) -> Option<Kilograms> {
    scene.brief.and_then(|b| b.body.mass_kg)
}

fn too_strong(scene: &Scene<'_>, at: At, item: &Item<'_>, out: &mut Findings) {
    let Some(load) = item.prescription.load_kg else { return };
    let Some(lifted) = total(item.exercise, load, body_mass(scene)) else { return };
    let Some((allowed, basis)) = allowed(scene, item) else { return };
    let share = lifted.get() / allowed.get() - 1.0;
    if share <= ABOVE_SHARE {
        return;
    }
    let judged = basis == Basis::Judged;
    let (severity, from) = if judged {
        (Severity::Note, "judged from another lift")
    } else {
        (Severity::Warning, "by what was lifted")
    };
    let what = if item.exercise.body_share.get() > 0.0 { " with the body" } else { "" };
    let above = number((100.0 * share).round());
    let (reps, rir) = (number(item.prescription.mid_reps()), item.prescription.rir);
    let cause = Sentence::default().load(lifted).text(format!("{what} are {above} % above the "));
    let cause = cause.load(in_tenths(allowed));
    let cause = cause.text(format!(" that {reps} reps with {rir} in reserve allow, {from}."));
    out.add(at, severity, "SW143", cause, "Lower the load, or the reps.").by(share);
}

/// Whether a load is judged from other lifts, or from norms alone, and hardly anybody like this client could lift it.
/// Where a told lift leads to the exercise it is refused; where only norms do, it is mended.
fn unsupported(scene: &Scene<'_>, stage: &Stage<'_>, at: At, item: &Item<'_>, out: &mut Findings) -> bool {
    let p = item.prescription;
    let (Some(load), Some(brief)) = (p.load_kg.filter(|l| l.get() > 0.0 && l.get().is_finite()), scene.brief)
    else {
        return false;
    };
    if item.exercise.measure != Measure::Reps {
        return false;
    }
    let reps = p.reps.map(|r| r.min(REPS_MAX));
    let scheme = Scheme { reps, rir: p.rir.min(REPS_MAX) };
    let (severity, upper) = match supported(item.exercise, load, scheme, brief, scene.belief) {
        Support::Above { upper } => (Severity::Error, Some(upper)),
        Support::Norms { chance } if chance.get() < SUPPORTED => (Severity::Warning, None),
        _ => return false,
    };
    let severity = scene.unless_fixed(stage.rank, &p.id, severity);
    let (reps, rir) = (number(p.mid_reps()), p.rir);
    let cause = Sentence::from("Nothing supports ").load(load);
    let cause = cause.text(format!(" for {reps} reps with {rir} in reserve: "));
    let cause = match upper {
        None => cause.text("by age, body mass and training age fewer than one in ten could."),
        Some(most) => {
            let cause = cause.text("by the lifts that were told ").load(in_tenths(most));
            cause.text(" are the most.")
        }
    };
    out.add(at, severity, "SW144", cause, "Start lighter, or by feel, and tell the lift once it is known.");
    true
}

/// A lighter load that can be made and lifted, when there is one that differs.
pub(crate) fn remedy(scene: &Scene<'_>, item: &Item<'_>) -> Option<Kilograms> {
    let load = item.prescription.load_kg?;
    let loadable = scene.loadable(item.exercise).ok()?;
    let most = allowed(scene, item).and_then(|(total, _)| outside(scene, item.exercise, total));
    let target = if item.exercise.load == LoadKind::Assisted {
        loadable.round_up(most.map_or(load, |m| load.max(m)))
    } else {
        loadable.round_down(most.map_or(load, |m| load.min(m)))
    };
    target.filter(|t| *t != load)
}

/// The load on top of the body that makes a total.
fn outside(scene: &Scene<'_>, exercise: &Exercise, all: Kilograms) -> Option<Kilograms> {
    let body = total(exercise, Kilograms::ZERO, body_mass(scene))?;
    Some(if exercise.load == LoadKind::Assisted { body - all } else { all - body })
}

#[cfg(test)]
mod tests {
    use crate::kit::{Case, ERROR, NONE, NOTE, WARNING, loaded, press, sets, straight, tally, with};
    use setwright_model::belief::{Basis, StrengthBelief};
    use setwright_model::exercise::LoadKind;
    use setwright_model::{Kilograms, Prescription, Share};

    fn with_load(kind: LoadKind, p: Prescription) -> Case {
        Case::new([with(press(), |e| e.load = kind)]).day(1, [straight(p)])
    }

    fn bench(load_kg: f64, ramp: &[(u32, f64)]) -> Case {
        with_load(LoadKind::Bar, loaded("press", load_kg, ramp))
            .brief(|b| b.equipment.disc_pairs = [("20".to_owned(), 2), ("2.5".to_owned(), 1)].into())
    }

    #[test]
    fn loads_are_made_of_the_bar_and_its_discs() {
        assert_eq!(bench(100.0, &[]).said("SW142"), NONE, "20 + 2 x 40");
        assert_eq!(bench(105.0, &[]).said("SW142"), NONE);
        assert_eq!(bench(102.5, &[]).said("SW142"), ERROR);
        assert_eq!(bench(110.0, &[]).said("SW142"), ERROR, "no more discs");
        assert_eq!(bench(100.0, &[(8, 60.0)]).said("SW142"), NONE);
        assert_eq!(bench(100.0, &[(8, 61.0)]).said("SW142"), ERROR, "a warm-up step");
    }

    #[test]
    fn the_hint_names_the_loads_on_either_side() {
        let report = bench(102.5, &[]).report();
        let finding = report.findings.iter().find(|f| f.code == "SW142").expect("cannot be made");
        assert_eq!(finding.hint, "Load 100 kg or 105 kg.");
    }

    #[test]
    fn equipment_that_makes_no_sense_is_not_certified() {
        let case = bench(100.0, &[]).brief(|b| b.equipment.bar_kg = Some(Kilograms(-20.0)));
        assert_eq!(case.said("SW142"), ERROR);
    }

    #[test]
    fn what_has_no_load_to_weigh_has_none_written() {
        assert_eq!(with_load(LoadKind::Body, loaded("press", 0.0, &[])).said("SW142"), NONE);
        assert_eq!(with_load(LoadKind::Body, loaded("press", 10.0, &[])).said("SW142"), WARNING);
    }

    #[test]
    fn without_a_brief_nobody_knows_the_discs() {
        assert_eq!(tally(&bench(102.5, &[]).report_alone(), "SW142"), NONE);
    }

    /// A client who can lift 100 kg once, as lifted or as judged.
    fn strong(basis: Basis, p: Prescription, kind: LoadKind) -> Case {
        let mut case = with_load(kind, p);
        let sd = Share(if basis == Basis::Lifted { 0.05 } else { 0.2 });
        let belief = StrengthBelief { one_rm: Kilograms(100.0), basis, sd };
        case.belief.one_rm.insert("press".into(), belief);
        case
    }

    /// What 100 kg at one rep allow for 10 reps with 2 in reserve.
    fn allowed() -> f64 {
        use setwright_model::Reps;
        use setwright_science::curve::{Curve, load_for};
        let curve = Curve::of(press().curve);
        load_for(Kilograms(100.0), Reps(10.0), Reps(2.0), curve).get()
    }

    #[test]
    fn a_load_is_not_far_above_the_clients_strength() {
        let said = |load, basis| strong(basis, loaded("press", load, &[]), LoadKind::Bar).said("SW143");
        assert_eq!(said(1.09 * allowed(), Basis::Lifted), NONE);
        assert_eq!(said(1.11 * allowed(), Basis::Lifted), WARNING);
        assert_eq!(said(1.11 * allowed(), Basis::Judged), NOTE, "a guess from another lift only notes");
        let unknown = with_load(LoadKind::Bar, loaded("press", 500.0, &[]));
        assert_eq!(unknown.said("SW143"), NONE, "nothing is believed");
    }

    #[test]
    fn the_body_counts_where_it_is_lifted() {
        let said = |mass: Option<f64>, load| {
            let mut case = strong(Basis::Lifted, loaded("press", load, &[]), LoadKind::BodyPlus);
            case.exercises[0].body_share = Share(1.0);
            case.brief(|b| b.body.mass_kg = mass.map(Kilograms)).said("SW143")
        };
        let added = 1.1 * allowed() - 70.0;
        assert_eq!(said(Some(70.0), added - 0.5), NONE);
        assert_eq!(said(Some(70.0), added + 0.5), WARNING);
        assert_eq!(said(None, added + 50.0), NONE, "the body mass is not known");
    }

    #[test]
    fn a_load_to_be_found_on_the_day_is_judged_by_nobody() {
        let case = strong(Basis::Lifted, sets("press", 3), LoadKind::Bar);
        assert_eq!((case.said("SW142"), case.said("SW143")), (NONE, NONE));
    }

    #[test]
    fn a_judged_load_that_hardly_anybody_could_lift_is_refused() {
        let said = |load| strong(Basis::Judged, loaded("press", load, &[]), LoadKind::Bar);
        assert_eq!(said(1.0 * allowed()).said("SW144"), NONE);
        assert_eq!(said(1.5 * allowed()).said("SW144"), ERROR);
        assert_eq!(said(1.5 * allowed()).said("SW143"), NONE, "said once");
        assert_eq!(said(1.5 * allowed()).lock("press", |_| {}).said("SW144"), WARNING);
        let lifted = strong(Basis::Lifted, loaded("press", 1.5 * allowed(), &[]), LoadKind::Bar);
        assert_eq!(lifted.said("SW144"), NONE, "what was lifted is judged by SW143");
        assert_eq!(tally(&said(1.5 * allowed()).report_alone(), "SW144"), NONE);
    }
}
