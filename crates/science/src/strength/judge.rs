//! What one lift tells of another, and how surely.
//!
//! The catalogue anchors each exercise to a lift by a share. Two exercises that hang on the same lift tell of each
//! other, if the trade allows it: a heavy free lift is never judged from a machine, a guided bar, one joint or help, nor a
//! bar on the legs from what is held in the hands. Every step is one from a lift that was done; what is judged tells
//! nothing further.

use setwright_model::exercise::LoadKind;
use setwright_model::pattern::Region;
use setwright_model::{Catalogue, Exercise, ExerciseId, Pattern};
use std::collections::BTreeMap;

/// Spread of a share between two angles or grips of a movement with the same tool, in logarithm (judgement).
pub const ANGLE_SD: f64 = 0.08;
/// The same between two tools for one movement (judgement; dumbbells against a bar: Saeterbakken 2011, J Sports Sci
/// 29:533, a sixth less (m)).
pub const TOOL_SD: f64 = 0.15;
/// The same between two movements (judgement).
pub const MOVEMENT_SD: f64 = 0.25;
/// The same between a press and a pull of the arms: players who train both press 97.7 % of what they pull up, spread 9.0
/// (Baker 2004, J Strength Cond Res 18:594 (A)); twice that for people of whom nobody knows it (judgement).
pub const PRESS_PULL_SD: f64 = 0.18;
/// The same between a press ahead and a press overhead, a curl or an extension of the elbow: from the bench press these were
/// told with r 0.80 to 0.93 among people whose bench press spread by 27 % (Wong 2013, J Sports Sci Med 12:38 (A)), which
/// leaves 0.10 to 0.16 (D); more for people of whom nobody knows it (judgement).
pub const ARMS_SD: f64 = 0.2;
/// The same between a row and a pull from above (judgement: both are pulls of the same muscles).
pub const PULLS_SD: f64 = 0.15;
/// Further spread where a machine is one of the two: levers and friction differ from maker to maker (judgement).
pub const MACHINE_SD: f64 = 0.1;
pub use crate::capability::ANCHORS_MAX;
/// A hand-held lift tells of another for the legs that weighs up to so much of it (judgement: dust of the shares).
const HAND_HELD: f64 = 1.1;

/// A lift that tells of another though the catalogue does not hang one on the other.
struct Link {
    from: &'static str,
    to: &'static str,
    ratio: f64,
    sd: f64,
}

/// Who squats so much pulls as much from the floor: 3.25 / 2.83 and 2.66 / 2.26 of body mass at the 90th percentile of
/// lifters (van den Hoek 2024 (A)), lowered to the squat itself (judgement). Pulldown against pull-up with the body:
/// 0.93 / 1.16 and 0.55 / 0.73 (Johnson 2009, JSCR 23 (A)); the lesser of the two (D), its spread from the spreads of both
/// and how they go together (0.11 and 0.18 (D)). A row with a bar against a pull-up: what the bench press tells of the row
/// over what it tells of the pull-up (Baker 2004 (A); D). What is squatted in the hands is held in them: the shares of the
/// catalogue, and a spread at whose lower end both hands hold no more than was squatted (judgement). Other spreads:
/// judgement.
const LINKS: [Link; 4] = [
    Link { from: "back_squat", to: "deadlift", ratio: 1.0, sd: TOOL_SD },
    Link { from: "pull_up", to: "lat_pulldown", ratio: 0.75, sd: TOOL_SD },
    Link { from: "pull_up", to: "barbell_row", ratio: 0.73, sd: PRESS_PULL_SD },
    Link { from: "goblet_squat", to: "dumbbell_deadlift", ratio: 0.76, sd: MOVEMENT_SD },
];

/// What a lift tells of another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Step {
    /// 1RM of the other as a multiple of the lift's, in the middle of people.
    pub ratio: f64,
    /// Spread, in logarithm.
    pub sd: f64,
}

/// The lifts that an exercise hangs on, itself first, with the share of each.
type Chain<'a> = Vec<(&'a ExerciseId, f64)>;

/// An exercise and what it hangs on.
struct Hung<'a> {
    exercise: &'a Exercise,
    chain: Chain<'a>,
}

impl<'a> Hung<'a> {
    fn of(exercise: &'a Exercise, catalogue: &'a Catalogue) -> Self {
        let mut chain = vec![(&exercise.id, 1.0)];
        let (mut anchor, mut share) = (exercise.anchor.as_ref(), 1.0);
        while let Some(step) = anchor.filter(|_| chain.len() <= ANCHORS_MAX) {
            share *= step.share.get();
            if !(share > 0.0 && share.is_finite()) || chain.iter().any(|(id, _)| **id == step.lift) {
                break;
            }
            chain.push((&step.lift, share));
            anchor = catalogue.get(&step.lift).and_then(|e| e.anchor.as_ref());
        }
        Self { exercise, chain }
    }

    /// What this lift tells of another; none when the trade would not go by it.
    fn tells(&self, other: &Self) -> Option<Step> {
        let (from, to) = (self.exercise, other.exercise);
        if let Some(step) = same_body(from, to) {
            return Some(step);
        }
        let (ratio, hangs) = self.relation(other)?;
        let goes = hangs && may_tell_down(from, to) || may_tell(from, to, ratio);
        goes.then(|| Step { ratio, sd: step_sd(from, to) })
    }

    /// Ratio of the shares over the nearest lift that both hang on, and whether the other hangs on this one.
    fn relation(&self, other: &Self) -> Option<(f64, bool)> {
        let shared = self.chain.iter().enumerate().filter_map(|(i, (id, own))| {
            let place = other.chain.iter().position(|(o, _)| o == id)?;
            Some((i, *own, place, other.chain.get(place)?.1))
        });
        let (i, own, _, others) = shared.min_by_key(|(i, _, place, _)| (i + place, *i))?;
        Some((others / own, i == 0))
    }
}

/// All exercises and what they hang on.
pub(crate) struct Web<'a> {
    hung: BTreeMap<&'a ExerciseId, Hung<'a>>,
}

impl<'a> Web<'a> {
    pub(crate) fn of(catalogue: &'a Catalogue) -> Self {
        Self { hung: catalogue.iter().map(|e| (&e.id, Hung::of(e, catalogue))).collect() }
    }

    /// All exercises, by identifier.
    pub(crate) fn all(&self) -> impl Iterator<Item = &'a Exercise> {
        self.hung.values().map(|h| h.exercise)
    }

    /// What a lift tells of another, over a link if need be.
    pub(crate) fn tells(&self, from: &ExerciseId, to: &ExerciseId) -> Option<Step> {
        let (from, to) = (self.hung.get(from)?, self.hung.get(to)?);
        from.tells(to).or_else(|| LINKS.iter().find_map(|link| self.over(link, from, to)))
    }

    fn over(&self, link: &Link, from: &Hung<'_>, to: &Hung<'_>) -> Option<Step> {
        let hung = |id: &str| self.hung.get(&ExerciseId::from(id));
        let (first, second) = (hung(link.from)?, hung(link.to)?);
        let leads = from.exercise.pattern == first.exercise.pattern
            && to.exercise.pattern.side() == second.exercise.pattern.side();
        if !leads {
            return None;
        }
        let steps =
            [step_or_same(from, first)?, Step { ratio: link.ratio, sd: link.sd }, step_or_same(second, to)?];
        Some(Step {
            ratio: steps.iter().map(|s| s.ratio).product(),
            sd: libm::sqrt(steps.iter().map(|s| s.sd * s.sd).sum()),
        })
    }
}

fn step_or_same(from: &Hung<'_>, to: &Hung<'_>) -> Option<Step> {
    if from.exercise.id == to.exercise.id { Some(Step { ratio: 1.0, sd: 0.0 }) } else { from.tells(to) }
}

/// Lifts of the body in one pattern tell of one another: the body and what hangs on it count together. Never from help, nor
/// to what takes more skill or one limb alone.
fn same_body(from: &Exercise, to: &Exercise) -> Option<Step> {
    let body = |e: &Exercise| e.body_share.get() > 0.0 && e.load != LoadKind::Band;
    let fits =
        from.pattern == to.pattern && from.unilateral == to.unilateral && from.skill.max(2) >= to.skill;
    if !body(from) || !body(to) || !fits || from.load == LoadKind::Assisted {
        return None;
    }
    Some(Step { ratio: 1.0, sd: step_sd(from, to) })
}

/// Whether the trade lets a lift tell of one that hangs on it: a free one of more than one joint does, a machine of
/// machines and single joints, a single joint of single joints.
fn may_tell_down(from: &Exercise, to: &Exercise) -> bool {
    is_free_compound(from) || !to.pattern.is_compound() || from.pattern.is_compound() && is_machine(to)
}

/// Whether the trade lets one lift tell of another that does not hang on it.
fn may_tell(from: &Exercise, to: &Exercise, ratio: f64) -> bool {
    if !from.pattern.is_compound() {
        return from.pattern == to.pattern;
    }
    let across = from.pattern.side() != to.pattern.side() && !is_across_the_arms(from, to);
    if across || is_machine(from) && is_free_compound(to) {
        return false;
    }
    let legs = matches!(to.pattern.region(), Region::Lower | Region::Whole);
    !legs || !to.pattern.is_compound() || may_tell_legs(from, to, ratio)
}

/// A press tells of rows and pulls, and a pull of presses ahead that do not hold a bar over the client: the arms' strengths
/// go together ([`PRESS_PULL_SD`]).
fn is_across_the_arms(from: &Exercise, to: &Exercise) -> bool {
    use Pattern::{HorizontalPress, HorizontalRow, InclinePress, VerticalPress, VerticalPull};
    let ahead = |e: &Exercise| matches!(e.pattern, HorizontalPress | InclinePress);
    let press = |e: &Exercise| ahead(e) || e.pattern == VerticalPress;
    let pull = |e: &Exercise| matches!(e.pattern, HorizontalRow | VerticalPull);
    press(from) && pull(to) || pull(from) && ahead(to) && to.load != LoadKind::Bar
}

/// On the legs nothing is judged heavier than what a bar has shown, and nothing on the back from a seat.
fn may_tell_legs(from: &Exercise, to: &Exercise, ratio: f64) -> bool {
    if is_machine(from) {
        return to.spinal <= from.spinal;
    }
    from.load == LoadKind::Bar || to.load != LoadKind::Bar && ratio * pieces(to) / pieces(from) <= HAND_HELD
}

fn is_free_compound(exercise: &Exercise) -> bool {
    exercise.pattern.is_compound() && !is_machine(exercise)
}

/// A path or help that is given: what it tells is not of free weights.
const fn is_machine(exercise: &Exercise) -> bool {
    matches!(exercise.load, LoadKind::Stack | LoadKind::Discs | LoadKind::Assisted | LoadKind::Band)
}

/// How many weights are held at once.
const fn pieces(exercise: &Exercise) -> f64 {
    match exercise.load {
        LoadKind::DumbbellPair | LoadKind::KettlebellPair => 2.0,
        _ => 1.0,
    }
}

fn step_sd(from: &Exercise, to: &Exercise) -> f64 {
    let machine =
        (is_machine(from) || is_machine(to)) && !from.stations.iter().any(|s| to.stations.contains(s));
    let own = match (is_same_movement(from, to), tool(from.load) == tool(to.load)) {
        (true, true) => ANGLE_SD,
        (true, false) => TOOL_SD,
        (false, same_tool) => movement_sd(from, to, same_tool),
    };
    let further = if machine { MACHINE_SD } else { 0.0 };
    libm::sqrt(own * own + further * further)
}

/// Between two movements: those of the arms go together more nearly than others.
fn movement_sd(from: &Exercise, to: &Exercise, same_tool: bool) -> f64 {
    let is_pull = |e: &Exercise| matches!(e.pattern, Pattern::HorizontalRow | Pattern::VerticalPull);
    let is_press = |e: &Exercise| e.pattern == Pattern::HorizontalPress;
    let is_arm = |e: &Exercise| {
        matches!(e.pattern, Pattern::VerticalPress | Pattern::ElbowFlexion | Pattern::ElbowExtension)
    };
    let either = |a: &dyn Fn(&Exercise) -> bool| is_press(from) && a(to) || a(from) && is_press(to);
    let own = match () {
        () if is_pull(from) && is_pull(to) => return PULLS_SD,
        () if either(&is_pull) => PRESS_PULL_SD,
        () if either(&is_arm) => ARMS_SD,
        () => return MOVEMENT_SD,
    };
    let tool = if same_tool { 0.0 } else { ANGLE_SD };
    libm::sqrt(own * own + tool * tool)
}

/// One pattern, or a press flat and on an incline.
fn is_same_movement(a: &Exercise, b: &Exercise) -> bool {
    let lying = |p| matches!(p, Pattern::HorizontalPress | Pattern::InclinePress);
    a.pattern == b.pattern || lying(a.pattern) && lying(b.pattern)
}

/// One or two of a kind are one tool, and so is the body with or without a belt.
const fn tool(load: LoadKind) -> LoadKind {
    match load {
        LoadKind::DumbbellPair => LoadKind::Dumbbell,
        LoadKind::KettlebellPair => LoadKind::Kettlebell,
        LoadKind::Body => LoadKind::BodyPlus,
        other => other,
    }
}
