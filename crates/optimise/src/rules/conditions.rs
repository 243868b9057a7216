//! Conditions, age and what must be spared: what is excluded is out, and older or returning clients get what is supported
//! first. A clinician's word and the screening table stand before it.

use super::{Client, Rule};
use setwright_model::exercise::{Ask, Exercise, LoadKind, Measure};
use setwright_model::{Muscle, Pattern, Station};

/// The rule.
pub struct Conditions;

impl Rule for Conditions {
    fn name(&self) -> &'static str {
        "conditions"
    }

    fn keeps_out(&self, e: &Exercise, c: &Client<'_>) -> Option<&'static str> {
        let out = &c.brief.exclude;
        let excluded = out.exercises.contains(&e.id)
            || out.patterns.contains(&e.pattern)
            || e.asks.iter().any(|a| c.spares(*a))
            || e.direct.iter().any(|m| out.muscles.contains(m));
        if excluded {
            return Some("the brief leaves it out");
        }
        if c.is_told(e) || c.is_locked(e) {
            return None;
        }
        if (c.is_older() || c.first_weeks() && c.is_returning()) && on_the_floor(e) {
            return Some("it means getting down to the floor");
        }
        if is_bent_or_turned(e) && (c.is_older() || c.spares(Ask::SpineLoad) || c.spares(Ask::Hinge)) {
            return Some("it bends or turns the back under load");
        }
        if c.is_older() && !is_supported(e) {
            return Some("it is not supported enough to begin with at this age");
        }
        if (c.is_returning() || c.is_older()) && e.is_taxing() {
            return Some("it tires the whole body, and the client is coming back");
        }
        spared_joint(e, c)
    }
}

/// On a mat: not under a bar that is done from the floor.
fn on_the_floor(e: &Exercise) -> bool {
    e.stations.contains(&Station::Floor) && e.load != LoadKind::Bar
}

fn is_bent_or_turned(e: &Exercise) -> bool {
    matches!(e.pattern, Pattern::TrunkFlexion | Pattern::TrunkRotation) && !resists_turning(e)
}

/// Trunk work in which nothing turns.
fn resists_turning(e: &Exercise) -> bool {
    e.id.as_str().contains("anti_rotation")
}

/// Seated, standing with a hold or guided; nothing on the spine, no holds of breath, no balance, nothing free above a
/// client who lies (position stand for older adults: Fragala 2019, J Strength Cond Res 33:2019 (M)).
fn is_supported(e: &Exercise) -> bool {
    let lies = e.asks.iter().any(|a| matches!(a, Ask::LyingSupine | Ask::LyingProne));
    e.measure != Measure::Seconds
        && !e.asks.contains(&Ask::Balance)
        && !e.asks.contains(&Ask::SpineLoad)
        && e.load != LoadKind::Assisted
        && (!lies || e.load == LoadKind::Stack)
}

/// What a joint that is spared forbids beyond what the catalogue says it is asked.
fn spared_joint(e: &Exercise, c: &Client<'_>) -> Option<&'static str> {
    // Nothing that ends above the head, and no straight bar over the chest, after a shoulder.
    if c.spares(Ask::Overhead) && e.direct.first() == Some(&Muscle::FrontDelts) && e.pattern.is_compound() {
        return Some("it ends above the shoulder");
    }
    let bar = e.load == LoadKind::Bar || e.stations.contains(&Station::SmithMachine);
    let over_chest = matches!(e.pattern, Pattern::HorizontalPress | Pattern::InclinePress);
    if c.spares(Ask::ShoulderExtreme) && bar && over_chest {
        return Some("a straight bar fixes the shoulder");
    }
    let knees = c.spares(Ask::DeepKnee) && c.spares(Ask::Kneeling);
    (knees && e.pattern == Pattern::Lunge).then_some("it loads a bent knee that is to be spared")
}
