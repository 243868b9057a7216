//! Kinds of movement that a guide leaves out and that no single ask names: what the station, the load and the pattern
//! of an exercise tell together. No list of exercises: a new one is judged by what it is.

use setwright_model::exercise::{Ask, Exercise, LoadKind, Measure};
use setwright_model::pattern::Region;
use setwright_model::station::{Area, Station};
use setwright_model::{Muscle, Pattern};

/// Lifts of the body of which at least this share is lifted count as a full press-up or a pull-up (judgement: a
/// press-up moves about 0.65 of the body, one with the hands on a chair 0.45, a pull-up all of it).
const PRESS_UP_SHARE: f64 = 0.6;
/// The same for a pull-up (judgement).
const PULL_UP_SHARE: f64 = 0.9;

/// A kind of movement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MovementKind {
    /// A position held for seconds.
    Hold,
    /// The body hangs from the hands.
    Hang,
    /// A pull-up in any grip, of the whole body.
    PullUp,
    /// A pull-up with a foot or knee in a band.
    BandPullUp,
    /// A press-up on the floor or harder, or a dip.
    FullPressUp,
    /// A bar, free or guided, or the pads of a machine on shoulders or neck.
    BarOnSpine,
    /// A straight bar, free or guided, pressed from the chest.
    BarFromChest,
    /// A bar or other heavy load pressed overhead.
    HeavyOverhead,
    /// A press whose first muscle is the front of the shoulder.
    FrontShoulderPress,
    /// Free weights held over somebody who lies on the back.
    FreeWeightLying,
    /// A load that cannot be put down without help when it is too much: a bar over the chest or on the back.
    PinnedUnderBar,
    /// Bent forward, nothing to lean on.
    BentOver,
    /// A free weight lifted by bending at the hips.
    FreeHinge,
    /// The head below the hips.
    HeadLow,
    /// The platform of a machine that takes weight off, which has to be climbed.
    Platform,
    /// A bell that hangs from the hand, or is held before the body, in a row, a carry or a lift of the legs: the hand holds what
    /// the back or the legs can lift.
    HangingBell,
    /// A load pulled or hung from the hand: rows, pulldowns, curls, flies to the rear, pullovers and hinges at a cable, bells that hang. A cuff round
    /// the forearm, a pad under the arm and a press against the palm are none.
    HeldInTheHand,
    /// Squats and lunges on one's own feet, without a chair to sit on or to hold.
    OnOwnFeet,
    /// The same off a chair, and held on bent legs: whatever has the weight on the legs with no hand to help.
    UnaidedRise,
    /// The hips lifted against a bar or pad that one climbs under.
    UnderAPad,
    /// The trunk braced against hands that roll or slide away before it.
    LongBrace,
}

impl MovementKind {
    /// Whether the exercise is of this kind.
    pub fn fits(self, e: &Exercise) -> bool {
        let asks = |ask| e.asks.contains(&ask);
        let at = |station| e.stations.contains(&station);
        match self {
            Self::Hold => e.measure == Measure::Seconds,
            Self::Hang => hangs(e),
            Self::PullUp => hangs(e) && is_body(e) && e.body_share.get() >= PULL_UP_SHARE,
            Self::BandPullUp => hangs(e) && e.load == LoadKind::Band,
            Self::FullPressUp => is_full_press_up(e),
            Self::BarOnSpine => asks(Ask::SpineLoad) && is_barred(e),
            Self::BarFromChest => is_flat_or_incline(e) && is_straight_bar(e),
            Self::HeavyOverhead => is_heavy_overhead(e),
            Self::FrontShoulderPress => {
                e.pattern.is_compound()
                    && e.pattern.side() == setwright_model::pattern::Side::Push
                    && e.prime() == Some(Muscle::FrontDelts)
            }
            Self::FreeWeightLying => is_held_lying(e),
            Self::PinnedUnderBar => is_pinned(e),
            Self::BentOver => is_bent_over(e),
            Self::FreeHinge => e.pattern == Pattern::Hinge && is_free_weight(e),
            Self::HeadLow => is_head_low(e),
            Self::Platform => at(Station::AssistedPullUpMachine),
            Self::HangingBell => is_hanging_bell(e),
            Self::HeldInTheHand => is_held_in_the_hand(e),
            Self::OnOwnFeet => is_on_own_feet(e),
            Self::UnaidedRise => is_unaided_rise(e),
            Self::UnderAPad => {
                let weighed = matches!(e.load, LoadKind::Bar | LoadKind::Discs | LoadKind::Stack);
                e.pattern == Pattern::HipExtension && weighed && asks(Ask::LyingSupine)
            }
            Self::LongBrace => e.pattern == Pattern::TrunkBrace && asks(Ask::Overhead) && is_body(e),
        }
    }

    /// What the exercise does, as it follows "it": "hangs from the hands".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Hold => "is held for seconds",
            Self::Hang => "hangs from the hands",
            Self::PullUp => "takes a pull-up",
            Self::BandPullUp => "needs a foot in a band under the bar",
            Self::FullPressUp => "takes a full press-up",
            Self::BarOnSpine => "loads the spine from above",
            Self::BarFromChest => "presses a straight bar from the chest",
            Self::HeavyOverhead => "presses a heavy load overhead",
            Self::FrontShoulderPress => "presses with the front of the shoulder",
            Self::FreeWeightLying => "holds free weights over somebody who lies down",
            Self::PinnedUnderBar => "can pin somebody under a bar",
            Self::BentOver => "bends forward with nothing to lean on",
            Self::FreeHinge => "lifts a free weight by bending at the hips",
            Self::HeadLow => "brings the head below the hips",
            Self::Platform => "means climbing a platform that moves",
            Self::HangingBell => "hangs a bell from the hand",
            Self::HeldInTheHand => "pulls on the hand",
            Self::OnOwnFeet => "takes the whole weight on bent legs",
            Self::UnaidedRise => "rises on the legs alone",
            Self::UnderAPad => "is climbed into under a load",
            Self::LongBrace => "braces the trunk over a long way",
        }
    }
}

/// What fails under the client when it is too much, with no way to put it down: dips, legs raised from a hang or from arm
/// supports, press-ups with the head low, a bar pressed overhead, jumps. It is for those who told of it, were seen at it, or
/// have the years for it (common practice, no source (T)).
pub fn fails_under(e: &Exercise) -> bool {
    let raised = e.pattern == Pattern::TrunkFlexion
        && e.stations.iter().any(|s| matches!(s, Station::PullUpBar | Station::DipBars));
    let barred = e.pattern == Pattern::VerticalPress && e.load == LoadKind::Bar;
    let dipped = e.pattern == Pattern::Dip && is_body(e);
    dipped || raised || barred || is_head_low(e) && is_body(e) || e.pattern == Pattern::Jump
}

/// Seated, in a machine with a fixed path, or with the chest or the arms on a pad: what a new, older or returning
/// client does first (common practice, no source (T)).
pub fn is_supported(e: &Exercise) -> bool {
    let unsteady = [Ask::Balance, Ask::WristSupport, Ask::Floor, Ask::Hinge, Ask::SpineLoad];
    let asks = unsteady.iter().any(|ask| e.asks.contains(ask));
    if asks || MovementKind::Platform.fits(e) || e.pattern == Pattern::Dip {
        return false;
    }
    let seat = |s: &Station| matches!(s, Station::PulldownSeat | Station::RowSeat) || is_machine(*s);
    let pad = |s: &Station| matches!(s, Station::Bench | Station::PreacherBench | Station::Chair);
    let light = e.spinal == 0 && e.pattern.region() == Region::Upper;
    let free = is_held_lying(e) || is_pinned(e);
    e.stations.iter().any(seat) || (light && !free && e.stations.iter().any(pad))
}

fn is_machine(station: Station) -> bool {
    station.area() == Area::Machines && station != Station::SmithMachine
}

const fn is_body(e: &Exercise) -> bool {
    matches!(e.load, LoadKind::Body | LoadKind::BodyPlus)
}

fn hangs(e: &Exercise) -> bool {
    let rings = e.stations.contains(&Station::Rings) && e.pattern == Pattern::VerticalPull;
    e.stations.contains(&Station::PullUpBar) || rings
}

const fn is_press(e: &Exercise) -> bool {
    matches!(e.pattern, Pattern::HorizontalPress | Pattern::InclinePress | Pattern::VerticalPress)
}

const fn is_flat_or_incline(e: &Exercise) -> bool {
    matches!(e.pattern, Pattern::HorizontalPress | Pattern::InclinePress)
}

fn is_full_press_up(e: &Exercise) -> bool {
    let dip = e.pattern == Pattern::Dip && is_body(e);
    dip || (is_press(e) && e.body_share.get() >= PRESS_UP_SHARE)
}

fn is_barred(e: &Exercise) -> bool {
    matches!(e.load, LoadKind::Bar | LoadKind::Discs)
}

fn is_straight_bar(e: &Exercise) -> bool {
    e.load == LoadKind::Bar || e.stations.contains(&Station::SmithMachine)
}

fn is_heavy_overhead(e: &Exercise) -> bool {
    let pressed = matches!(e.pattern, Pattern::VerticalPress | Pattern::WholeBody);
    pressed && e.asks.contains(&Ask::Overhead) && (e.load == LoadKind::Bar || e.systemic >= 2)
}

const fn is_free_weight(e: &Exercise) -> bool {
    matches!(
        e.load,
        LoadKind::Bar
            | LoadKind::DumbbellPair
            | LoadKind::Dumbbell
            | LoadKind::Kettlebell
            | LoadKind::KettlebellPair
            | LoadKind::Single
    )
}

fn is_held_lying(e: &Exercise) -> bool {
    e.pattern.region() == Region::Upper && e.asks.contains(&Ask::LyingSupine) && is_free_weight(e)
}

fn is_pinned(e: &Exercise) -> bool {
    let over = is_flat_or_incline(e);
    let under = matches!(e.pattern, Pattern::Squat | Pattern::Lunge) && e.asks.contains(&Ask::SpineLoad);
    e.load == LoadKind::Bar && (over || under)
}

fn is_bent_over(e: &Exercise) -> bool {
    let hip = matches!(e.pattern, Pattern::Hinge | Pattern::BackExtension | Pattern::WholeBody);
    let hand_down = e.pattern == Pattern::HorizontalRow
        && e.stations.iter().any(|s| matches!(s, Station::Bench | Station::Chair));
    e.asks.contains(&Ask::Hinge) && !hip && !hand_down
}

/// The catalogue does not say where the head is: a press of the body overhead has it low, and so has what is done on
/// a bench that slopes down.
fn is_head_low(e: &Exercise) -> bool {
    (e.pattern == Pattern::VerticalPress && is_body(e)) || e.stations.contains(&Station::DeclineBench)
}

fn is_hanging_bell(e: &Exercise) -> bool {
    let bell = matches!(
        e.load,
        LoadKind::Dumbbell | LoadKind::DumbbellPair | LoadKind::Kettlebell | LoadKind::KettlebellPair
    );
    let heavy = e.pattern.region() == Region::Lower
        || matches!(e.pattern, Pattern::HorizontalRow | Pattern::Carry | Pattern::WholeBody);
    bell && heavy && e.grip >= 1
}

fn is_held_in_the_hand(e: &Exercise) -> bool {
    let rear = e.pattern == Pattern::RearFly
        && e.load != LoadKind::Body
        && !e.stations.iter().any(|s| is_machine(*s));
    let rope = matches!(e.pattern, Pattern::Pullover | Pattern::Hinge)
        && !matches!(e.load, LoadKind::Body | LoadKind::BodyPlus);
    e.grip >= 1 || rear || rope
}

/// Most of the body that the legs lift where the hands help (judgement).
const HELPED_SHARE: f64 = 0.75;

fn is_unaided_rise(e: &Exercise) -> bool {
    let machine = e.stations.iter().any(|s| is_machine(*s));
    let helped = is_body(e) && e.measure == Measure::Reps && e.body_share.get() < HELPED_SHARE;
    matches!(e.pattern, Pattern::Squat | Pattern::Lunge) && !machine && !helped
}

fn is_on_own_feet(e: &Exercise) -> bool {
    let machine = e.stations.iter().any(|s| is_machine(*s));
    let chair = e.stations.contains(&Station::Chair) && is_body(e) && !e.asks.contains(&Ask::Balance);
    matches!(e.pattern, Pattern::Squat | Pattern::Lunge) && !machine && !chair
}
