//! The exercise and the catalogue of exercises.

use crate::muscle::Muscle;
use crate::pattern::{Pattern, Region};
use crate::station::Station;
use crate::units::{Kilograms, Seconds, Share};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fmt;

/// A stable identifier of an exercise, lower-case words joined by underscores (`bench_press`).
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct ExerciseId(pub String);

impl ExerciseId {
    /// The identifier as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl From<&str> for ExerciseId {
    fn from(id: &str) -> Self {
        Self(id.to_owned())
    }
}

impl fmt::Display for ExerciseId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// How an exercise is loaded, which decides which weights can be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LoadKind {
    /// A bar and pairs of discs; the load includes the bar.
    Bar,
    /// A pair of dumbbells; the load is that of one.
    DumbbellPair,
    /// One dumbbell.
    Dumbbell,
    /// One kettlebell.
    Kettlebell,
    /// A pair of kettlebells; the load is that of one.
    KettlebellPair,
    /// A stack with a pin.
    Stack,
    /// A machine loaded with discs; the load is the discs alone.
    Discs,
    /// A single loose disc or ball.
    Single,
    /// The body, with or without a belt of discs; the load is what is added.
    BodyPlus,
    /// The body alone.
    Body,
    /// A machine that takes load away from the body; the load is what is taken away.
    Assisted,
    /// An elastic band.
    Band,
}

/// The family of load-rep curve (science 6.1).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum CurveFamily {
    /// Presses and pulls with more than one joint.
    Upper,
    /// Leg and hip movements with more than one joint.
    Lower,
    /// Single-joint movements.
    Small,
}

/// What a repetition is counted in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// Repetitions.
    #[default]
    Reps,
    /// Seconds held; `reps` of a prescription is then seconds and `seconds_per_rep` is 1.
    Seconds,
    /// Metres carried; `reps` is then metres and `seconds_per_rep` the seconds a metre takes.
    Metres,
}

/// How readily a coach reaches for an exercise, beside the others of its pattern. Common practice, no source.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// What most coaches reach for first in this pattern and place.
    Staple,
    /// Neither: common enough to need no explanation.
    #[default]
    Usual,
    /// A variant for a reason: rehabilitation, a sport, a stubborn muscle, competition lifts; or one that is hard
    /// to teach or odd to set up.
    Special,
}

/// What an exercise asks of the joints and the client, so that limits can exclude it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Ask {
    /// Arms loaded above the head.
    Overhead,
    /// Knees bent past a right angle under load.
    DeepKnee,
    /// The trunk bent forward under load.
    Hinge,
    /// Lying on the back.
    LyingSupine,
    /// Lying face down.
    LyingProne,
    /// Jumps, throws and hard landings.
    Impact,
    /// Weight borne on the hands with the wrists bent.
    WristSupport,
    /// Kneeling.
    Kneeling,
    /// A strong grip.
    Grip,
    /// Balance on one leg or a narrow base.
    Balance,
    /// Weight on the spine from above.
    SpineLoad,
    /// Arms far behind the line of the body, or shoulders rotated out under load.
    ShoulderExtreme,
    /// The trunk bent or rounded against resistance: crunches, sit-ups, side bends, good mornings.
    SpineBend,
    /// The trunk turned against resistance.
    Twist,
    /// Hands or elbows worked at or above the height of the shoulder; whatever is overhead is this too.
    AboveShoulder,
    /// Heavy bracing, or a long hold, in which the breath is easily held.
    BreathHold,
    /// Getting down to the floor and up again.
    Floor,
}

impl Ask {
    /// All asks.
    pub const ALL: [Ask; 17] = [
        Ask::Overhead,
        Ask::DeepKnee,
        Ask::Hinge,
        Ask::LyingSupine,
        Ask::LyingProne,
        Ask::Impact,
        Ask::WristSupport,
        Ask::Kneeling,
        Ask::Grip,
        Ask::Balance,
        Ask::SpineLoad,
        Ask::ShoulderExtreme,
        Ask::SpineBend,
        Ask::Twist,
        Ask::AboveShoulder,
        Ask::BreathHold,
        Ask::Floor,
    ];
    /// The identifier used in files.
    pub const fn id(self) -> &'static str {
        match self {
            Ask::Overhead => "overhead",
            Ask::DeepKnee => "deep_knee",
            Ask::Hinge => "hinge",
            Ask::LyingSupine => "lying_supine",
            Ask::LyingProne => "lying_prone",
            Ask::Impact => "impact",
            Ask::WristSupport => "wrist_support",
            Ask::Kneeling => "kneeling",
            Ask::Grip => "grip",
            Ask::Balance => "balance",
            Ask::SpineLoad => "spine_load",
            Ask::ShoulderExtreme => "shoulder_extreme",
            Ask::SpineBend => "spine_bend",
            Ask::Twist => "twist",
            Ask::AboveShoulder => "above_shoulder",
            Ask::BreathHold => "breath_hold",
            Ask::Floor => "floor",
        }
    }
}

/// A guess of a load from another lift: the 1RM here is about `share` of the 1RM of `lift`.
/// Common practice, no source; always shown as an estimate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Anchor {
    /// The lift that this one is judged from.
    pub lift: ExerciseId,
    /// Share of that lift's 1RM, in the unit this exercise is loaded in (one dumbbell of a pair, for example).
    pub share: Share,
}

/// One exercise of the catalogue.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Exercise {
    /// Stable identifier.
    pub id: ExerciseId,
    /// The plain trade name.
    pub name: String,
    /// Other spoken names, for search and for reading spreadsheets.
    #[serde(default)]
    pub also: Vec<String>,
    /// Movement pattern.
    pub pattern: Pattern,
    /// Muscles that get the whole set.
    pub direct: Vec<Muscle>,
    /// Muscles that get half a set.
    #[serde(default)]
    pub half: Vec<Muscle>,
    /// Muscles that get a quarter of a set.
    #[serde(default)]
    pub quarter: Vec<Muscle>,
    /// Everything it occupies at once.
    pub stations: Vec<Station>,
    /// How it is loaded.
    pub load: LoadKind,
    /// The smallest step of the load as a rule; the brief's own equipment overrides it. 0 where there is none.
    pub step_kg: Kilograms,
    /// Share of body mass that is lifted on top of the load (0.65 for a press-up); 0 for outside loads.
    #[serde(default)]
    pub body_share: Share,
    /// One side at a time; reps are then per side.
    #[serde(default)]
    pub unilateral: bool,
    /// What reps count.
    #[serde(default)]
    pub measure: Measure,
    /// Seconds one rep takes.
    pub seconds_per_rep: Seconds,
    /// Seconds to reach the station and make it ready.
    pub setup_s: Seconds,
    /// Seconds to get back into place in an alternating block.
    pub changeover_s: Seconds,
    /// Usual rest between straight sets.
    pub rest_s: Seconds,
    /// Load-rep family.
    pub curve: CurveFamily,
    /// Usual range of reps (or seconds, or metres).
    pub reps: [u32; 2],
    /// Whole-body cost, 0 (none) to 3 (heavy squat, deadlift).
    pub systemic: u8,
    /// Cost to the spine, 0 to 3.
    pub spinal: u8,
    /// Cost to the grip, 0 to 3.
    pub grip: u8,
    /// Skill it takes, 1 (anyone) to 3 (coached for months).
    pub skill: u8,
    /// How readily a coach reaches for it.
    #[serde(default)]
    pub standing: Standing,
    /// What it asks of the joints and the client.
    #[serde(default)]
    pub asks: Vec<Ask>,
    /// Neighbours that are easier.
    #[serde(default)]
    pub easier: Vec<ExerciseId>,
    /// Neighbours that are harder.
    #[serde(default)]
    pub harder: Vec<ExerciseId>,
    /// Where a first load can be guessed from.
    #[serde(default)]
    pub anchor: Option<Anchor>,
}

impl Exercise {
    /// Fractional sets that one set gives to a muscle: 1, 0.5, 0.25 or 0.
    pub fn contribution(&self, muscle: Muscle) -> f64 {
        if self.direct.contains(&muscle) {
            1.0
        } else if self.half.contains(&muscle) {
            0.5
        } else if self.quarter.contains(&muscle) {
            0.25
        } else {
            0.0
        }
    }

    /// The muscle the exercise is chosen for: the first direct one.
    pub fn prime(&self) -> Option<Muscle> {
        self.direct.first().copied()
    }

    /// All muscles it reaches, with their contributions, in the order of [`Muscle::ALL`].
    pub fn contributions(&self) -> impl Iterator<Item = (Muscle, f64)> + '_ {
        Muscle::ALL.into_iter().map(|m| (m, self.contribution(m))).filter(|(_, c)| *c > 0.0)
    }

    /// A lift that tires the whole body: it stands alone or beside something light.
    pub const fn is_taxing(&self) -> bool {
        self.systemic >= 3
    }

    /// A lift that loads the spine heavily.
    pub const fn is_spinal(&self) -> bool {
        self.spinal >= 2
    }

    /// A lift that loads the back so that it wants a day after: on the shoulders, in the hands from the floor, or
    /// carried. A bent-over row or a standing press costs the back too, which the budget of a session counts, but
    /// neither keeps a squat from the next day.
    pub const fn is_heavy_on_the_back(&self) -> bool {
        self.is_spinal() && !matches!(self.pattern.region(), Region::Upper)
    }

    /// A lift whose grip gives out early.
    pub const fn is_grip_heavy(&self) -> bool {
        self.grip >= 2
    }

    /// Seconds of work of one set, both sides if unilateral.
    pub fn work(&self, reps: f64) -> Seconds {
        let sides = if self.unilateral { 2.0 } else { 1.0 };
        Seconds(self.seconds_per_rep.0 * reps * sides)
    }
}

/// A set of exercises, ordered by identifier.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Catalogue {
    exercises: BTreeMap<ExerciseId, Exercise>,
}

impl Catalogue {
    /// A catalogue of these exercises; a later one replaces an earlier one of the same identifier.
    pub fn new(exercises: impl IntoIterator<Item = Exercise>) -> Self {
        Self { exercises: exercises.into_iter().map(|e| (e.id.clone(), e)).collect() }
    }

    /// The exercise with this identifier.
    pub fn get(&self, id: &ExerciseId) -> Option<&Exercise> {
        self.exercises.get(id)
    }

    /// All exercises, ordered by identifier.
    pub fn iter(&self) -> impl Iterator<Item = &Exercise> {
        self.exercises.values()
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.exercises.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.exercises.is_empty()
    }
}
