//! What is shown of a programme, with every name, number and disc resolved: the terminal draws from these
//! structs, and so can a page. Nothing is laid out here.

use schemars::JsonSchema;
use serde::{Serialize, Serializer};
use setwright_check::JudgedProgramme;
use setwright_coaching::plan::Planned;
use setwright_gym::discs::Plate;
use setwright_gym::loads::Loadable;
use setwright_model::brief::{Brief, Equipment, Priority};
use setwright_model::exercise::{LoadKind, Measure};
use setwright_model::{Block, BlockKind, Catalogue, Exercise, Kilograms, Muscle, Prescription, Station};
use setwright_science::clock::Timeline;

/// A programme as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ProgrammeView {
    /// Whose it is.
    pub client: String,
    /// Days until it repeats.
    pub cycle_days: u32,
    /// Sessions in order.
    pub sessions: Vec<SessionView>,
    /// Muscles from the top of the body down.
    pub muscles: Vec<MuscleView>,
}

/// A session as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SessionView {
    /// Number from 1.
    pub number: usize,
    /// Day of the cycle, from 1.
    pub day: u32,
    /// What it is for.
    pub focus: String,
    /// The session laid out in time, for drawings.
    #[serde(skip)]
    pub timeline: Timeline,
    /// Minutes by the session clock.
    pub minutes: f64,
    /// Minutes that the brief allows.
    pub limit_minutes: Option<f64>,
    /// Minutes of warm-up and work sets.
    pub work_minutes: f64,
    /// Minutes of rest.
    pub rest_minutes: f64,
    /// Minutes of making ready and walking.
    pub moving_minutes: f64,
    /// Work sets.
    pub sets: u32,
    /// Blocks in order.
    pub blocks: Vec<BlockView>,
}

/// A block as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BlockView {
    /// How it is done.
    pub kind: BlockKind,
    /// Rest after a set or a round.
    pub rest_s: f64,
    /// Its exercises.
    pub lines: Vec<LineView>,
}

/// An exercise as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LineView {
    /// `A`, or `B1` and `B2`.
    pub label: String,
    /// Identifier.
    pub id: String,
    /// Plain name.
    pub name: String,
    /// Work sets.
    pub sets: u32,
    /// Lowest and highest reps.
    pub reps: [u32; 2],
    /// What reps count: nothing for reps, `s` or `m`.
    pub counted_in: &'static str,
    /// Whether reps are for each side.
    pub each_side: bool,
    /// Reps in reserve.
    pub rir: u32,
    /// Work load.
    pub load: LoadView,
    /// Warm-up.
    pub ramp: Vec<StepView>,
}

/// A load as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LoadView {
    /// The load; absent when it is found on the day.
    pub kg: Option<Kilograms>,
    /// How it is loaded.
    pub kind: LoadKind,
    /// Discs from the inside out, on each side where there are two. Programs read their masses in kilograms, people the numbers
    /// that are cast on them ([`crate::loads::plates`]).
    #[serde(serialize_with = "kilograms")]
    #[schemars(with = "Option<Vec<Kilograms>>")]
    pub discs: Option<Vec<Plate>>,
}

#[expect(clippy::ref_option, reason = "serde hands over the field as it is")]
fn kilograms<S: Serializer>(discs: &Option<Vec<Plate>>, to: S) -> Result<S::Ok, S::Error> {
    let masses = |plates: &[Plate]| plates.iter().map(|p| p.mass).collect::<Vec<_>>();
    discs.as_deref().map(masses).serialize(to)
}

/// A step of a warm-up as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StepView {
    /// Reps.
    pub reps: u32,
    /// Load.
    pub load: LoadView,
}

/// A muscle as it is shown.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MuscleView {
    /// Which.
    pub id: Muscle,
    /// Plain name.
    pub name: &'static str,
    /// Fractional sets, scaled to a week.
    pub sets_per_week: f64,
    /// Least sets a week that the brief asks.
    pub least: Option<f64>,
    /// Most sets a week that the brief allows.
    pub most: Option<f64>,
    /// How much it matters, when the brief says.
    pub priority: Option<Priority>,
    /// Sessions that train it.
    pub sessions_per_cycle: u32,
    /// Shortest time between two of them.
    pub shortest_gap_h: Option<f64>,
    /// Time it needs.
    pub needed_gap_h: Option<f64>,
}

/// The view of a programme that was planned, if there is one.
pub fn of_plan(planned: &Planned, brief: &Brief, catalogue: &Catalogue) -> Option<ProgrammeView> {
    Some(programme(planned.programme.as_ref()?.judged(), Some(brief), catalogue))
}

/// The view of a programme that was audited. Exercises that the catalogue does not have keep their identifier.
pub fn programme(judged: &JudgedProgramme, brief: Option<&Brief>, catalogue: &Catalogue) -> ProgrammeView {
    let usual = Equipment::default();
    let equipment = brief.map_or(&usual, |b| &b.equipment);
    let programme = judged.programme();
    ProgrammeView {
        client: brief.map_or_else(|| programme.client.clone(), |b| b.name.clone()),
        cycle_days: programme.cycle_days,
        sessions: judged
            .sessions()
            .enumerate()
            .map(|(i, (session, timed))| SessionView {
                number: i + 1,
                day: session.day,
                focus: session.focus.clone(),
                timeline: timed.timeline.clone(),
                minutes: timed.minutes.get(),
                limit_minutes: timed.limit.map(setwright_model::Minutes::get),
                work_minutes: timed.work.to_minutes().get(),
                rest_minutes: timed.rest.to_minutes().get(),
                moving_minutes: timed.idle.to_minutes().get(),
                sets: timed.sets,
                blocks: session
                    .blocks
                    .iter()
                    .enumerate()
                    .map(|(b, block)| block_view(b, block, equipment, catalogue))
                    .collect(),
            })
            .collect(),
        muscles: judged.report().muscles.iter().map(|m| muscle(m, brief)).collect(),
    }
}

fn muscle(summary: &setwright_model::MuscleSummary, brief: Option<&Brief>) -> MuscleView {
    let wish = brief.and_then(|b| b.muscles.get(&summary.id));
    MuscleView {
        id: summary.id,
        name: summary.id.name(),
        sets_per_week: summary.sets_per_week.get(),
        least: wish.and_then(|w| w.least).map(setwright_model::FractionalSets::get),
        most: wish.and_then(|w| w.most).map(setwright_model::FractionalSets::get),
        priority: wish.and_then(|w| w.priority),
        sessions_per_cycle: summary.sessions_per_cycle,
        shortest_gap_h: summary.shortest_gap_h.map(setwright_model::Hours::get),
        needed_gap_h: summary.needed_gap_h.map(setwright_model::Hours::get),
    }
}

fn block_view(index: usize, block: &Block, equipment: &Equipment, catalogue: &Catalogue) -> BlockView {
    let alone = block.exercises.len() == 1;
    let lines = block.exercises.iter().enumerate().map(|(lane, p)| {
        let label = if alone { letter(index) } else { format!("{}{}", letter(index), lane + 1) };
        line(label, p, equipment, catalogue)
    });
    BlockView { kind: block.kind, rest_s: block.rest_s.get(), lines: lines.collect() }
}

/// `A` to `Z`, then `AA`.
pub fn letter(index: usize) -> String {
    let last = char::from(b'A' + (index % 26) as u8);
    if index < 26 { last.to_string() } else { format!("{}{last}", letter(index / 26 - 1)) }
}

fn line(label: String, p: &Prescription, equipment: &Equipment, catalogue: &Catalogue) -> LineView {
    let exercise = catalogue.get(&p.id);
    let loads: Vec<Option<Kilograms>> = p.ramp.iter().map(|s| s.load_kg).chain([p.load_kg]).collect();
    let mut views = load_views(exercise, equipment, &loads);
    let load = views.pop().unwrap_or(LoadView { kg: p.load_kg, kind: LoadKind::Body, discs: None });
    LineView {
        label,
        id: p.id.to_string(),
        name: exercise.map_or_else(|| p.id.to_string(), |e| e.name.clone()),
        sets: p.sets,
        reps: p.reps,
        counted_in: exercise.map_or("", |e| counted_in(e.measure)),
        each_side: exercise.is_some_and(|e| e.unilateral),
        rir: p.rir,
        load,
        ramp: p.ramp.iter().zip(views).map(|(s, load)| StepView { reps: s.reps, load }).collect(),
    }
}

/// What reps count, in short.
pub const fn counted_in(measure: Measure) -> &'static str {
    match measure {
        Measure::Reps => "",
        Measure::Seconds => "s",
        Measure::Metres => "m",
    }
}

/// Loads in the order in which they are lifted, with the discs that move least from one to the next.
pub fn load_views(
    exercise: Option<&Exercise>,
    equipment: &Equipment,
    loads: &[Option<Kilograms>],
) -> Vec<LoadView> {
    let kind = exercise.map_or(LoadKind::Body, |e| e.load);
    let hung = exercise.filter(|e| shows_discs(e)).and_then(|e| Loadable::of(equipment, e).ok());
    let known: Vec<Kilograms> = loads.iter().flatten().copied().collect();
    let mut stacks =
        hung.and_then(|h| h.ramp_discs(&known)).unwrap_or_default().into_iter().map(|step| step.stack);
    loads.iter().map(|kg| LoadView { kg: *kg, kind, discs: kg.and_then(|_| stacks.next()) }).collect()
}

/// Whether the discs of a load are worth naming: on a bar or a machine, not on a belt.
pub fn shows_discs(exercise: &Exercise) -> bool {
    matches!(exercise.load, LoadKind::Bar | LoadKind::Discs)
}

/// Whether the discs hang on two sides.
pub fn has_two_sides(exercise: &Exercise) -> bool {
    shows_discs(exercise) && !exercise.stations.contains(&Station::Landmine)
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_gym::catalogue::builtin;

    #[test]
    fn blocks_are_lettered_like_columns_of_a_sheet() {
        assert_eq!([0, 25, 26, 51, 52].map(letter), ["A", "Z", "AA", "AZ", "BA"]);
    }

    #[test]
    fn the_discs_of_a_ramp_and_its_work_load_are_named() {
        let bench = builtin().get(&"bench_press".into());
        let loads = [Some(Kilograms(40.0)), None, Some(Kilograms(60.0))];
        let views = load_views(bench, &Equipment::default(), &loads);
        let sum = |v: &LoadView| v.discs.as_ref().map(|d| d.iter().map(|p| p.mass.get()).sum::<f64>());
        assert_eq!(views.iter().map(sum).collect::<Vec<_>>(), [Some(10.0), None, Some(20.0)]);
    }

    #[test]
    fn a_dumbbell_has_no_discs() {
        let curl = builtin().get(&"dumbbell_curl".into());
        let views = load_views(curl, &Equipment::default(), &[Some(Kilograms(10.0))]);
        assert_eq!(views[0].discs, None);
    }
}
