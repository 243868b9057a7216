//! Rest follows effort: a compound near its limit gets two minutes to itself or a minute and a half after a round, what
//! stays far from it needs no three, and minutes are found in fewer exercises, not in shorter rests.

use super::conditions::is_rested;
use super::{Client, Rule};
use crate::modes::{MODES, Mode};
use setwright_model::brief::{Goal, TrainingAge};
use setwright_model::exercise::Exercise;
use setwright_model::pattern::Region;
use setwright_model::{BlockKind, Kilograms, Pattern};
use setwright_science::warmup::{can_ramp, is_light_bell};

/// Reps in reserve up to which a set is near its limit (judgement).
const NEAR_RIR: u32 = 1;
/// Least rest of a set of several joints with fewer than [`FAR_RIR`] left, and after a round that ends near the limit
/// (Ratamess 2009, MSSE 41:687 (A): two to three minutes for more than one joint; in a round the partner's set is rest too,
/// common practice, no source (T)).
const NEAR_STRAIGHT_S: u32 = 120;
const NEAR_ROUND_S: u32 = 90;
/// Cost to the whole body from which a round has at least so much rest (judgement on the catalogue's scale of 0 to 3; the rest is
/// common practice, no source (T)).
const TIRING: u8 = 2;
const TIRING_ROUND_S: u32 = 60;
/// Reps in reserve from which two minutes are enough (judgement).
const FAR_RIR: u32 = 3;
const FAR_S: u32 = 120;

/// What a compound of a round of less than [`NEAR_ROUND_S`] costs, in points, but for whom general fitness in little time is
/// the aim (judgement: more than the minutes cost that are left, less than they bring where they are short).
const SHORT_ROUND: f64 = 0.04;

/// The rule.
pub struct Rests;

impl Rule for Rests {
    fn name(&self) -> &'static str {
        "rests"
    }

    fn allows(&self, e: &Exercise, mode: Mode, sets: u32, c: &Client<'_>) -> bool {
        let alone = mode.kind == BlockKind::Straight;
        suits_kind(e, mode, sets, c) && follows_effort(e, mode, c) && !(alone && only_in_turn(e, c))
    }

    fn price(&self, e: &Exercise, mode: Mode, c: &Client<'_>) -> f64 {
        let round = mode.kind == BlockKind::Alternating && mode.rest_s < NEAR_ROUND_S;
        let spared = c.first_weeks() || c.brief.goal == Goal::General;
        if round && e.pattern.is_compound() && e.systemic > 0 && !spared { SHORT_ROUND } else { 0.0 }
    }
}

/// Minutes of a session up to which what is warmed up takes turns with something (common practice, no source (T)).
const ONLY_IN_TURN_MIN: f64 = 12.0;

/// Whether an exercise is done in turn with another or not at all: in so few minutes nobody stands about.
pub fn only_in_turn(e: &Exercise, c: &Client<'_>) -> bool {
    let short = c.shortest_minutes() <= ONLY_IN_TURN_MIN;
    short && c.brief.style.alternate && can_ramp(e) && !e.is_taxing() && !c.is_main(e) && !c.is_locked(e)
}

/// Whether the rest is no shorter and no longer than the effort asks.
fn follows_effort(e: &Exercise, mode: Mode, c: &Client<'_>) -> bool {
    if !e.pattern.is_compound() {
        return true;
    }
    let rir = c.scheme(e).rir;
    match mode.kind {
        BlockKind::Straight if e.pattern == Pattern::Carry => mode.rest_s < FAR_S,
        BlockKind::Straight if e.systemic > 0 && rir < FAR_RIR => mode.rest_s >= NEAR_STRAIGHT_S,
        BlockKind::Straight if rir >= FAR_RIR && !c.is_main(e) && !e.is_taxing() => mode.rest_s <= FAR_S,
        BlockKind::Alternating if rir <= NEAR_RIR => mode.rest_s >= NEAR_ROUND_S,
        BlockKind::Alternating if e.systemic >= TIRING && !c.first_weeks() => mode.rest_s >= TIRING_ROUND_S,
        _ => true,
    }
}

/// Rest of a round that is done once: the shortest that the client's conditions allow.
fn one_round_s(client: &Client<'_>) -> u32 {
    let rounds = MODES.iter().filter(|m| m.kind == BlockKind::Alternating);
    rounds.filter(|m| is_rested(**m, client)).map(|m| m.rest_s).min().unwrap_or(30)
}

/// Whether a straight rest is longer than a light bell asks.
pub fn is_idle(e: &Exercise, load: Option<Kilograms>, mode: Mode) -> bool {
    mode.kind == BlockKind::Straight && mode.rest_s > FAR_S && is_light_bell(e, load)
}

/// Rests as coaches give them, by kind of block (Ratamess 2009, MSSE 41:687 (A): two to three minutes for more than one
/// joint, one to two for one).
fn suits_kind(exercise: &Exercise, mode: Mode, sets: u32, client: &Client<'_>) -> bool {
    let compound = exercise.pattern.is_compound();
    let heavy = client.brief.goal == Goal::Strength;
    let advanced = client.brief.training_age == TrainingAge::Advanced;
    match mode.kind {
        // In the first weeks everything alternates, as long as the coach lets it.
        BlockKind::Straight if client.first_weeks() && client.brief.style.alternate => {
            client.is_locked(exercise)
        }
        BlockKind::Straight => match mode.rest_s {
            60 => !compound,
            // Trunk and single-joint work is ready again sooner; what is heavy for strength takes longer.
            90 => !(heavy && exercise.is_taxing()),
            120 => {
                let trunk = exercise.pattern.region() == Region::Trunk;
                compound || sets > 1 && advanced && !trunk
            }
            300 => client.is_main(exercise) && client.scheme(exercise).rir < FAR_RIR,
            _ => compound && sets > 1 && (heavy || advanced),
        },
        BlockKind::Alternating => {
            client.brief.style.alternate
                && (sets > 1 || mode.rest_s == one_round_s(client))
                && (mode.rest_s > 30 || sets == 1 || !heavy || !compound)
                && (mode.rest_s < 90 || compound)
        }
        BlockKind::SameMuscle => client.rules.same_muscle,
    }
}
