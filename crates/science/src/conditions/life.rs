//! What age, a return, joints that are spared, movements that hurt, what cannot be done, company and the hour ask of a
//! programme. The same table as that of the conditions; most of it is common practice, and says so.

use super::guide::SharedFeature::{Ask as A, Kind as K, Pattern as P};
use super::guide::{Guide, Limits};
use super::kind::MovementKind;
use super::named::SHOULDER_RESERVE;
use setwright_model::brief::{Hurts, Tick};
use setwright_model::exercise::Ask;
use setwright_model::{Pattern, Seconds, Share};

/// Where the guides for older clients come from.
const OLDER_SOURCE: &str = "Fragala 2019, J Strength Cond Res 33:2019 (B: two to three sets of one or two multi-joint \
    exercises a major muscle group at 70 to 85 % of 1RM, two to three days a week; machines for those new to it \
    (M)); what is left out: common practice, no source (T)";

/// 65 and more. Sources in `OLDER_SOURCE` (B, M, T); figures are judgement.
pub(super) const OLDER: Guide = Guide {
    untold: &[
        A(Ask::Balance),
        A(Ask::SpineBend),
        A(Ask::Twist),
        A(Ask::Impact),
        A(Ask::ShoulderExtreme),
        K(MovementKind::BarOnSpine),
        K(MovementKind::Hold),
        K(MovementKind::HeavyOverhead),
        K(MovementKind::FreeWeightLying),
        K(MovementKind::BentOver),
        K(MovementKind::Platform),
        K(MovementKind::BandPullUp),
        K(MovementKind::HeadLow),
        P(Pattern::Dip),
        P(Pattern::UprightRow),
        P(Pattern::WholeBody),
    ],
    limits: Limits {
        systemic_max: 2,
        spinal_max: 1,
        skill_max: 1,
        rir_least: 2,
        age_reps_least: 6,
        rest_least: Seconds(60.0),
        sets_factor: Share(0.8),
        ..Limits::FREE
    },
    caution: "what a clinician has said comes first. Strength work is safe and wanted at this age: what is supported goes \
        first, reps are left in reserve, and balance is trained beside something to hold, not under a load.",
    source: OLDER_SOURCE,
    ..Guide::NOTHING
};

/// 65 and more, and new to training or back after a stop: seated and guided first (M).
pub(super) const OLDER_AND_NEW: Guide = Guide {
    limits: Limits { supported_first: true, warm_first: true, carry_may_open: false, ..Limits::FREE },
    source: OLDER_SOURCE,
    ..Guide::NOTHING
};

/// 75 and more, and new or back: nothing is climbed into under a load, and nobody lies face down on a machine to get up from it
/// (common practice, no source (T)).
pub(super) const VERY_OLD_AND_NEW: Guide = Guide {
    untold: &[K(MovementKind::UnderAPad), A(Ask::LyingProne)],
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

/// 65 and more, and back after a stop: hips in machines or from the seat before a free weight is lifted from below.
pub(super) const OLDER_AND_BACK: Guide =
    Guide { untold: &[K(MovementKind::FreeHinge)], source: OLDER_SOURCE, ..Guide::NOTHING };

/// 65 and more, new or back, and not known to get up from a chair without the hands, or seen to do it more seldom than three in
/// four of that age: legs in machines, or from a chair.
pub(super) const OLDER_FROM_A_CHAIR: Guide =
    Guide { untold: &[K(MovementKind::OnOwnFeet)], source: OLDER_SOURCE, ..Guide::NOTHING };

/// 65 and more, and not known to get down to the floor and up again.
pub(super) const OLDER_OFF_THE_FLOOR: Guide =
    Guide { untold: &[A(Ask::Floor), A(Ask::Kneeling)], source: OLDER_SOURCE, ..Guide::NOTHING };

/// 65 and more, and not known to hang.
pub(super) const OLDER_NOT_HANGING: Guide =
    Guide { untold: &[K(MovementKind::Hang)], source: OLDER_SOURCE, ..Guide::NOTHING };

/// 65 and more, and not known to do a press-up.
pub(super) const OLDER_NO_PRESS_UP: Guide =
    Guide { untold: &[K(MovementKind::FullPressUp)], source: OLDER_SOURCE, ..Guide::NOTHING };

/// In the first weeks, with an answer that asked for a clinician. Common practice, no source (T).
pub(super) const NEW_WITH_AN_ANSWER: Guide = Guide {
    untold: &[K(MovementKind::Hold), K(MovementKind::HeavyOverhead)],
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

/// The same where machines stand: seats come first. Where there is little but the floor, the floor is where the safest
/// movements are. Common practice, no source (T).
pub(super) const NEW_AND_SEATED: Guide =
    Guide { untold: &[A(Ask::Floor)], source: "common practice, no source (T)", ..Guide::NOTHING };

/// Back after a stop or an operation. Common practice, no source (T); figures are judgement.
pub(super) const RETURNING: Guide = Guide {
    limits: Limits {
        systemic_max: 2,
        skill_max: 2,
        rir_least: 3,
        sets_factor: Share(0.8),
        carry_may_open: false,
        supported_first: true,
        ..Limits::FREE
    },
    untold: &[A(Ask::Impact), K(MovementKind::BandPullUp)],
    caution: "the clinician's word comes first. The first weeks leave three reps or more in every set; strength comes back \
        faster than it was built, so there is no hurry.",
    source: "common practice, no source (T); that it comes back fast: Halonen 2024 (A)",
    ..Guide::NOTHING
};

/// Back with nothing trained at present: half of the usual sets, and eight reps or more of each, until the body knows them again.
/// Common practice, no source (T); the share is judgement.
pub(super) const STOPPED: Guide = Guide {
    limits: Limits { sets_factor: Share(0.5), reps_least: 8, ..Limits::FREE },
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

/// The back is spared. Common practice, no source (T).
pub(super) const SPARED_BACK: Guide = Guide {
    untold: &[A(Ask::SpineBend), A(Ask::Twist), K(MovementKind::BentOver)],
    limits: Limits { spinal_max: 1, ..Limits::FREE },
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

/// The knees are spared in depth and from kneeling. Common practice, no source (T).
pub(super) const SPARED_KNEES: Guide =
    Guide { untold: &[P(Pattern::Lunge)], source: "common practice, no source (T)", ..Guide::NOTHING };

/// The shoulder is spared at the end of its range. Common practice, no source (T).
pub(super) const SPARED_SHOULDER: Guide = Guide {
    untold: &[K(MovementKind::BarFromChest), P(Pattern::Dip), P(Pattern::UprightRow)],
    limits: Limits { press_may_open: false, pulls_lead: true, ..Limits::FREE },
    reserve: SHOULDER_RESERVE,
    wanted: &[Pattern::RearFly],
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

/// Nothing overhead. Common practice, no source (T).
pub(super) const SPARED_OVERHEAD: Guide = Guide {
    untold: &[K(MovementKind::FrontShoulderPress), K(MovementKind::Hang)],
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

/// A back that is neither bent nor loaded: bending at the hips with a load does both. Common practice, no source (T).
pub(super) const SPARED_BACK_WHOLLY: Guide = Guide {
    untold: &[A(Ask::Hinge), K(MovementKind::FreeHinge)],
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

/// A hand that is spared: whatever is pulled by it or hangs from it. Common practice, no source (T).
pub(super) const SPARED_GRIP: Guide = Guide {
    untold: &[
        K(MovementKind::HangingBell),
        K(MovementKind::Hang),
        K(MovementKind::HeldInTheHand),
        P(Pattern::GripHold),
        P(Pattern::Wrist),
    ],
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

/// Alone with the bar: common practice, no source (T).
pub(super) const ALONE: Guide = Guide {
    reserve: &[(K(MovementKind::PinnedUnderBar), 2)],
    caution: "alone with a bar: safety arms set, no collars on a bench without them, and two reps left in every set \
        under a bar.",
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

/// The first hour of the day. Sources below (A, B).
pub(super) const EARLY: Guide = Guide {
    untold: &[A(Ask::SpineBend)],
    limits: Limits { warm_first: true, ..Limits::FREE },
    caution: "early in the morning the discs of the back are swollen from the night: five brisk minutes first, and no \
        rounding of the back under load.",
    source: "Snook 1998, Spine 23:2601 (A); Adams 1987, Spine 12:130 (B)",
    ..Guide::NOTHING
};

/// A band under the body is for the light: it is climbed into, and gives most where least is needed.
/// Common practice, no source (T).
pub(super) const BAND_UNDER_BODY: Guide = Guide {
    untold: &[K(MovementKind::BandPullUp)],
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

const PAIN: &str = "common practice, no source (T): what hurts is left out until somebody has looked at it";

/// A guide that only leaves out.
const fn without(never: &'static [super::guide::SharedFeature]) -> Guide {
    Guide { never, source: PAIN, ..Guide::NOTHING }
}

/// Stairs are climbed on one leg: what was done on both for long may stay.
static STAIRS: Guide = Guide {
    never: &[P(Pattern::Lunge), A(Ask::Impact)],
    untold: &[A(Ask::DeepKnee)],
    source: PAIN,
    ..Guide::NOTHING
};
static KNEELING: Guide = without(&[A(Ask::Kneeling)]);
static DEEP_KNEE_BEND: Guide = without(&[A(Ask::DeepKnee)]);
static ARMS_OVERHEAD: Guide = Guide {
    never: &[A(Ask::Overhead)],
    untold: &[K(MovementKind::FrontShoulderPress), P(Pattern::InclinePress), P(Pattern::UprightRow)],
    limits: Limits { press_may_open: false, pulls_lead: true, ..Limits::FREE },
    reserve: SHOULDER_RESERVE,
    wanted: &[Pattern::RearFly],
    source: PAIN,
    ..Guide::NOTHING
};
static REACHING_BEHIND: Guide = Guide {
    never: &[A(Ask::ShoulderExtreme), P(Pattern::Dip)],
    untold: &[K(MovementKind::BarFromChest), P(Pattern::UprightRow)],
    limits: Limits { press_may_open: false, pulls_lead: true, ..Limits::FREE },
    reserve: SHOULDER_RESERVE,
    wanted: &[Pattern::RearFly],
    source: PAIN,
    ..Guide::NOTHING
};
static GRIPPING: Guide = Guide {
    never: &[A(Ask::Grip), P(Pattern::GripHold), P(Pattern::Wrist), K(MovementKind::Hang)],
    untold: &[K(MovementKind::HangingBell), K(MovementKind::HeldInTheHand)],
    source: PAIN,
    ..Guide::NOTHING
};
static WEIGHT_ON_HANDS: Guide = without(&[A(Ask::WristSupport)]);
static LYING_FLAT: Guide = without(&[A(Ask::LyingSupine), A(Ask::LyingProne)]);
static BENDING_FORWARD: Guide = without(&[A(Ask::Hinge), A(Ask::SpineBend)]);
static TWISTING: Guide = without(&[A(Ask::Twist)]);
static FROM_THE_FLOOR: Guide = without(&[A(Ask::Floor)]);
static IMPACT: Guide = without(&[A(Ask::Impact)]);

/// The guide of a movement that hurts.
pub(super) const fn of_pain(hurts: Hurts) -> &'static Guide {
    match hurts {
        Hurts::Stairs => &STAIRS,
        Hurts::Kneeling => &KNEELING,
        Hurts::DeepKneeBend => &DEEP_KNEE_BEND,
        Hurts::ArmsOverhead => &ARMS_OVERHEAD,
        Hurts::ReachingBehind => &REACHING_BEHIND,
        Hurts::Gripping => &GRIPPING,
        Hurts::WeightOnHands => &WEIGHT_ON_HANDS,
        Hurts::LyingFlat => &LYING_FLAT,
        Hurts::BendingForward => &BENDING_FORWARD,
        Hurts::Twisting => &TWISTING,
        Hurts::UpFromTheFloor => &FROM_THE_FLOOR,
        Hurts::Impact => &IMPACT,
    }
}

static NO_PRESS_UP: Guide = without(&[K(MovementKind::FullPressUp)]);
static NO_HANG: Guide = without(&[K(MovementKind::Hang)]);
static NO_PULL_UP: Guide = without(&[K(MovementKind::PullUp)]);
static NO_FLOOR: Guide = without(&[A(Ask::Floor), K(MovementKind::UnderAPad)]);
static NO_CHAIR: Guide = without(&[K(MovementKind::UnaidedRise), A(Ask::Floor), K(MovementKind::UnderAPad)]);

/// The guide of what cannot be done.
pub(super) const fn of_tick(cannot: Tick) -> &'static Guide {
    match cannot {
        Tick::FullPressUp => &NO_PRESS_UP,
        Tick::Hang => &NO_HANG,
        Tick::PullUp => &NO_PULL_UP,
        Tick::FloorAndUp => &NO_FLOOR,
        Tick::ChairWithoutHands => &NO_CHAIR,
    }
}
