//! The warm-up before one work load, with the discs to hang.

use super::view::{self, LoadView};
use serde::{Serialize, Serializer};
use setwright_gym::discs::Plate;
use setwright_gym::loads::Loadable;
use setwright_model::brief::Equipment;
use setwright_model::code::Code;
use setwright_model::refusal::Refusal;
use setwright_model::{Exercise, Kilograms, MassUnit, Reps};
use setwright_science::curve::{self, Curve};
use setwright_science::ramp;
use setwright_science::warmup::{self, WarmUpRole};

/// What is asked.
#[derive(Clone, Debug)]
pub struct Request<'a> {
    /// Before which exercise.
    pub exercise: &'a Exercise,
    /// Work load.
    pub load: Kilograms,
    /// Reps of the work sets.
    pub reps: u32,
    /// Reps in reserve.
    pub rir: u32,
    /// What was done before in the same session.
    pub after: Vec<&'a Exercise>,
    /// Bar, discs, dumbbells.
    pub equipment: &'a Equipment,
    /// What a refusal says its loads in.
    pub unit: MassUnit,
}

/// A warm-up as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RampView {
    /// Identifier.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// `session_lead`, `family_lead` or `follower`.
    pub role: &'static str,
    /// Reps of the work sets.
    pub reps: u32,
    /// Reps in reserve.
    pub rir: u32,
    /// Estimated 1RM.
    pub one_rm_kg: Kilograms,
    /// Steps in order.
    pub steps: Vec<RampStepView>,
    /// The work load.
    pub work: RampStepView,
    /// Whether the discs hang on two sides.
    pub two_sides: bool,
    /// The load that was asked for, when it cannot be loaded and the next below was taken.
    pub asked_kg: Option<Kilograms>,
    /// What else is worth knowing.
    pub notes: Vec<String>,
}

/// A step as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RampStepView {
    /// Reps.
    pub reps: u32,
    /// Load and discs.
    pub load: LoadView,
    /// Share of the work load.
    pub share: f64,
    /// Discs to take off each side first, outermost first; in kilograms for programs.
    #[serde(serialize_with = "kilograms")]
    pub off: Vec<Plate>,
    /// Discs to put on each side then; in kilograms for programs.
    #[serde(serialize_with = "kilograms")]
    pub on: Vec<Plate>,
}

fn kilograms<S: Serializer>(discs: &[Plate], to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(discs.iter().map(|p| p.mass))
}

/// The warm-up.
pub fn ramp(request: &Request<'_>) -> Result<RampView, Refusal> {
    let exercise = request.exercise;
    if !warmup::can_ramp(exercise) {
        return Err(Refusal::new(
            Code::NoRamp,
            format!("The {} is not warmed up with loads.", exercise.name),
            "Do a few easy reps, or an easier neighbour of the exercise, before the first set.",
        ));
    }
    let loadable = Loadable::of(request.equipment, exercise)
        .map_err(|why| Refusal::new(Code::EquipmentContradicts, why, "Look at [equipment] in the brief."))?;
    let mut notes = Vec::new();
    let load = work_load(request, &loadable)?;
    let role = role(request);
    let curve = Curve::of(exercise.curve);
    let reps = f64::from(request.reps);
    let steps = ramp::ramp(exercise, role, reps, request.rir, Some(load), &loadable, curve, false);
    if steps.is_empty() && role == WarmUpRole::Follower {
        notes.push("What was done before has warmed this movement: no step is needed.".to_owned());
    } else if steps.iter().all(|s| s.load_kg.is_none()) {
        notes.push("Nothing lighter can be loaded: do a few reps with an easier neighbour.".to_owned());
    }
    let loads: Vec<(u32, Kilograms)> =
        steps.iter().filter_map(|s| Some((s.reps, s.load_kg?))).chain([(request.reps, load)]).collect();
    let mut views = step_views(request, &loadable, &loads, load);
    let work = views.pop().unwrap_or_else(|| bare(request, load));
    Ok(RampView {
        id: exercise.id.to_string(),
        name: exercise.name.clone(),
        role: role_word(role),
        reps: request.reps,
        rir: request.rir,
        one_rm_kg: curve::one_rm(load, Reps(reps), Reps(f64::from(request.rir)), curve),
        steps: views,
        work,
        two_sides: view::has_two_sides(exercise),
        asked_kg: (load != request.load).then_some(request.load),
        notes,
    })
}

fn bare(request: &Request<'_>, load: Kilograms) -> RampStepView {
    let load = LoadView { kg: Some(load), kind: request.exercise.load, discs: None };
    RampStepView { reps: request.reps, load, share: 1.0, off: Vec::new(), on: Vec::new() }
}

/// The work load as it can be made: the asked one, or the next below.
fn work_load(request: &Request<'_>, loadable: &Loadable) -> Result<Kilograms, Refusal> {
    let asked = request.load;
    if loadable.is_loadable(asked) {
        return Ok(asked);
    }
    loadable.round_down(asked).ok_or_else(|| {
        let shown = |kg: Kilograms| request.unit.load(kg);
        let lightest = loadable.lightest().map_or_else(|| "nothing".to_owned(), shown);
        Refusal::new(
            Code::EquipmentContradicts,
            format!("{} cannot be loaded for the {}.", shown(asked), request.exercise.name),
            format!("The lightest that can is {lightest}; --brief brings the client's own equipment."),
        )
    })
}

fn role(request: &Request<'_>) -> WarmUpRole {
    let order: Vec<&Exercise> = request.after.iter().copied().chain([request.exercise]).collect();
    warmup::roles(&order).last().copied().unwrap_or(WarmUpRole::SessionLead)
}

const fn role_word(role: WarmUpRole) -> &'static str {
    match role {
        WarmUpRole::SessionLead => "session_lead",
        WarmUpRole::FamilyLead => "family_lead",
        WarmUpRole::Follower => "follower",
    }
}

fn step_views(
    request: &Request<'_>,
    loadable: &Loadable,
    loads: &[(u32, Kilograms)],
    work: Kilograms,
) -> Vec<RampStepView> {
    let masses: Vec<Kilograms> = loads.iter().map(|(_, load)| *load).collect();
    let named = if view::shows_discs(request.exercise) { loadable.ramp_discs(&masses) } else { None };
    loads
        .iter()
        .enumerate()
        .map(|(i, (reps, kg))| {
            let discs = named.as_ref().and_then(|steps| steps.get(i)).cloned();
            let (off, on) = discs.as_ref().map(|d| (d.off.clone(), d.on.clone())).unwrap_or_default();
            RampStepView {
                reps: *reps,
                load: LoadView { kg: Some(*kg), kind: request.exercise.load, discs: discs.map(|d| d.stack) },
                share: if work.get() > 0.0 { kg.get() / work.get() } else { 0.0 },
                off,
                on,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_gym::catalogue::builtin;

    fn known(id: &str) -> &'static Exercise {
        builtin().get(&id.into()).expect("a known exercise")
    }

    fn asked(id: &str, kg: f64, after: &[&str]) -> Result<RampView, Refusal> {
        asked_in(MassUnit::Kg, id, kg, after)
    }

    fn asked_in(unit: MassUnit, id: &str, kg: f64, after: &[&str]) -> Result<RampView, Refusal> {
        ramp(&Request {
            exercise: known(id),
            load: Kilograms(kg),
            reps: 8,
            rir: 2,
            after: after.iter().map(|a| known(a)).collect(),
            equipment: &Equipment::default(),
            unit,
        })
    }

    #[test]
    fn a_bench_press_of_few_reps_gets_eight_five_and_three_with_their_discs() {
        let view = asked("bench_press", 100.0, &[]).unwrap();
        assert_eq!(view.steps.iter().map(|s| s.reps).collect::<Vec<_>>(), [8, 5, 3]);
        for step in view.steps.iter().chain([&view.work]) {
            let side: f64 = step.load.discs.as_ref().unwrap().iter().map(|p| p.mass.get()).sum();
            assert!((20.0 + 2.0 * side - step.load.kg.unwrap().get()).abs() < 1e-9);
            assert!(step.share <= 0.9 || step == &view.work);
        }
    }

    #[test]
    fn a_second_press_needs_no_ramp() {
        let view = asked("incline_dumbbell_press", 30.0, &["bench_press"]).unwrap();
        assert!(view.steps.is_empty());
        assert_eq!(view.role, "follower");
        assert_eq!(view.notes.len(), 1);
    }

    #[test]
    fn what_cannot_be_loaded_is_rounded_down_and_said() {
        let view = asked("bench_press", 81.0, &[]).unwrap();
        assert_eq!(view.work.load.kg, Some(Kilograms(80.0)));
        assert_eq!(view.asked_kg, Some(Kilograms(81.0)));
        assert_eq!(asked("bench_press", 80.0, &[]).unwrap().asked_kg, None);
        assert_eq!(asked("bench_press", 5.0, &[]).unwrap_err().code, "SW016");
    }

    #[test]
    fn a_refusal_says_its_loads_in_the_unit_asked_for() {
        let said = |unit| {
            let refusal = asked_in(unit, "bench_press", 5.0, &[]).unwrap_err();
            format!("{} {}", refusal.what, refusal.hint)
        };
        let (kilograms, pounds) = (said(MassUnit::Kg), said(MassUnit::Lb));
        assert!(kilograms.contains("5 kg cannot") && kilograms.contains("is 20 kg;"), "{kilograms}");
        assert!(pounds.contains("11 lb cannot") && pounds.contains("is 44 lb;"), "{pounds}");
    }

    #[test]
    fn body_weight_is_not_ramped() {
        assert_eq!(asked("press_up", 10.0, &[]).unwrap_err().code, "SW026");
    }
}
