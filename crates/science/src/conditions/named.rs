//! What each condition that a clinician has named asks of a programme. A table: one constant a condition, with its
//! source. It never diagnoses, and says in every caution whose word comes first.
//!
//! What the sources say is in `source`. What follows for single movements and the figures of the limits are
//! judgement within it, made as a careful coach makes them: what is left out costs little, and the coach may put
//! it back by telling the lift or locking it.

use super::guide::SharedFeature::{Ask as A, Kind as K, Pattern as P};
use super::guide::{Guide, Limits};
use super::kind::MovementKind;
use setwright_model::brief::Condition;
use setwright_model::exercise::Ask;
use setwright_model::{Pattern, Seconds, Share};

/// The guide of a condition.
pub(super) const fn of(condition: Condition) -> &'static Guide {
    match condition {
        Condition::BrittleBones => &BRITTLE_BONES,
        Condition::HighBloodPressure => &HIGH_BLOOD_PRESSURE,
        Condition::Heart => &HEART,
        Condition::Diabetes => &DIABETES,
        Condition::Lung => &LUNG,
        Condition::HipReplaced => &HIP_REPLACED,
        Condition::KneeReplaced => &KNEE_REPLACED,
        Condition::ShoulderRepaired => &SHOULDER_REPAIRED,
        Condition::BackOperated => &BACK_OPERATED,
        Condition::LowBackPain => &LOW_BACK_PAIN,
        Condition::NeckPain => &NECK_PAIN,
        Condition::HipArthritis => &HIP_ARTHRITIS,
        Condition::KneeArthritis => &KNEE_ARTHRITIS,
        Condition::Hernia => &HERNIA,
        Condition::EyePressure => &EYE_PRESSURE,
        Condition::PelvicFloor => &PELVIC_FLOOR,
        Condition::Pregnancy => &PREGNANCY,
        Condition::AfterBirth => &AFTER_BIRTH,
    }
}

/// Sources below (A, B); figures are judgement.
const BRITTLE_BONES: Guide = Guide {
    never: &[A(Ask::SpineBend), A(Ask::Twist), A(Ask::Impact)],
    untold: &[
        A(Ask::Balance),
        A(Ask::Floor),
        A(Ask::BreathHold),
        K(MovementKind::FreeHinge),
        K(MovementKind::BentOver),
        K(MovementKind::BarOnSpine),
        K(MovementKind::Hang),
        P(Pattern::Dip),
        P(Pattern::Carry),
    ],
    limits: Limits {
        systemic_max: 2,
        spinal_max: 1,
        rir_least: 2,
        reps_least: 8,
        supported_first: true,
        ..Limits::FREE
    },
    caution: "the clinician's word on bones, fractures and falls comes first. Strength work is wanted here: upright and \
        supported, 8 to 12 reps, nothing that rounds or turns the back under load. Balance is trained daily beside \
        something to hold, not under a load; jumps only if a clinician has asked for them.",
    source: "Brooke-Wavell 2022, Br J Sports Med 56:837 (A); Giangregorio 2014, Osteoporos Int 25:821 (A), its table of \
        exercises: 8 to 12 reps, spare the spine from bending and turning that is loaded, fast or full (B); what \
        that means for single movements is judgement",
    ..Guide::NOTHING
};

/// Sources below (A, B, M, T); figures are judgement.
const HIGH_BLOOD_PRESSURE: Guide = Guide {
    never: &[K(MovementKind::Hold), K(MovementKind::HeadLow)],
    untold: &[
        A(Ask::BreathHold),
        K(MovementKind::HeavyOverhead),
        P(Pattern::GripHold),
        K(MovementKind::LongBrace),
    ],
    limits: Limits {
        systemic_max: 2,
        rir_least: 2,
        reps_least: 8,
        rest_least: Seconds(90.0),
        ..Limits::FREE
    },
    caution: "the clinician's word on pressure and medicine comes first. Breathe out with every effort and never hold the \
        breath; no set to failure, no long holds; get up slowly after lying. Not on a day on which the clinician's \
        limit is passed.",
    source: "Nery 2010, Clinics 65:271 (A): pressure rose most in light sets to failure, and stayed up after 45 s of \
        rest; Pescatello 2004, Med Sci Sports Exerc 36:533 (B); MacDougall 1985, J Appl Physiol 58:785 (M). No \
        long holds: common practice, no source (T), although holds as a training of their own lower resting \
        pressure in trials (Edwards 2023, Br J Sports Med 57:1317 (M))",
    ..Guide::NOTHING
};

/// Sources below (A, M); figures are judgement.
const HEART: Guide = Guide {
    never: &[K(MovementKind::Hold), K(MovementKind::HeadLow)],
    untold: &[
        A(Ask::BreathHold),
        A(Ask::Impact),
        K(MovementKind::HeavyOverhead),
        K(MovementKind::Hang),
        K(MovementKind::LongBrace),
        P(Pattern::GripHold),
    ],
    limits: Limits {
        systemic_max: 1,
        rir_least: 3,
        reps_least: 10,
        rest_least: Seconds(90.0),
        sets_factor: Share(0.75),
        warm_first: true,
        supported_first: true,
        ..Limits::FREE
    },
    caution: "the cardiologist's word comes first, and with it how hard and how supervised. Ten to fifteen easy reps, \
        breathing all the time, five minutes to warm up and to come down. Stop for pressure in the chest, dizziness \
        or a heart out of step, and call for help.",
    source: "Williams 2007, Circulation 116:572 (A: prescribed and supervised; reps and effort from memory (M))",
    ..Guide::NOTHING
};

/// Sources below (A, M); figures are judgement.
const DIABETES: Guide = Guide {
    limits: Limits { rir_least: 1, ..Limits::FREE },
    caution: "the clinician's word comes first, above all on sugar before and after training, eyes and feet. Something \
        sweet within reach; shoes on; if eyes are affected, say so under conditions (eye_pressure).",
    source: "Colberg 2016, Diabetes Care 39:2065 (A; eyes and feet from memory (M))",
    ..Guide::NOTHING
};

/// Source below (M); figures are judgement.
const LUNG: Guide = Guide {
    untold: &[A(Ask::BreathHold)],
    limits: Limits { rir_least: 2, rest_least: Seconds(90.0), warm_first: true, ..Limits::FREE },
    caution: "the clinician's word comes first. The inhaler is within reach, the warm-up is long and easy, and the rest \
        lasts until talking is easy again.",
    source: "Spruit 2013, Am J Respir Crit Care Med 188:e13 (M)",
    ..Guide::NOTHING
};

/// Sources below (A, T); figures are judgement.
const HIP_REPLACED: Guide = Guide {
    never: &[A(Ask::Impact)],
    untold: &[
        A(Ask::DeepKnee),
        A(Ask::Balance),
        A(Ask::Twist),
        A(Ask::SpineBend),
        A(Ask::Floor),
        K(MovementKind::BentOver),
        K(MovementKind::FreeHinge),
        P(Pattern::HipAdduction),
    ],
    limits: Limits { systemic_max: 2, rir_least: 2, supported_first: true, ..Limits::FREE },
    caution: "the surgeon's word comes first, and how long it holds: bending the hip past a right angle, crossing the \
        legs and turning the leg in are what is usually spared. From a higher seat, both legs at once.",
    source: "Eannucci 2019, HSS J 15:247 (A: what is usually spared, for 6 to 12 weeks, sometimes for life); no \
        agreement on lifting later: common practice, no source (T)",
    ..Guide::NOTHING
};

/// Common practice, no source (T); figures are judgement.
const KNEE_REPLACED: Guide = Guide {
    never: &[A(Ask::Impact)],
    untold: &[A(Ask::DeepKnee), A(Ask::Kneeling), A(Ask::Floor), P(Pattern::Lunge)],
    limits: Limits { systemic_max: 2, rir_least: 2, supported_first: true, ..Limits::FREE },
    caution: "the surgeon's word comes first. Full straightening and strong thighs are what the knee wants; kneeling and \
        deep bending wait until surgeon or physiotherapist agree.",
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

/// Reps left in raises and presses of a shoulder that is spared: common practice, no source (T).
pub(super) const SHOULDER_RESERVE: &[(super::guide::SharedFeature, u32)] = &[
    (P(Pattern::LateralRaise), 3),
    (P(Pattern::FrontRaise), 3),
    (P(Pattern::HorizontalPress), 2),
    (P(Pattern::InclinePress), 2),
    (P(Pattern::VerticalPress), 3),
];

/// Source below (A, T); figures are judgement.
const SHOULDER_REPAIRED: Guide = Guide {
    never: &[P(Pattern::Dip), P(Pattern::UprightRow)],
    untold: &[
        A(Ask::Overhead),
        A(Ask::ShoulderExtreme),
        K(MovementKind::BarFromChest),
        K(MovementKind::FrontShoulderPress),
        P(Pattern::InclinePress),
        K(MovementKind::Hang),
        P(Pattern::FrontRaise),
    ],
    limits: Limits {
        skill_max: 2,
        rir_least: 2,
        press_may_open: false,
        pulls_lead: true,
        supported_first: true,
        ..Limits::FREE
    },
    reserve: SHOULDER_RESERVE,
    wanted: &[Pattern::RearFly, Pattern::HorizontalRow],
    caution: "the surgeon's and physiotherapist's word comes first. Rows lead, presses follow with a free grip, raises \
        stay light; overhead work comes back when the physiotherapist says so.",
    source: "Thigpen 2016, J Shoulder Elbow Surg 25:521 (A: strengthening from the twelfth week, step by step); which \
        lifts, and rows before presses: common practice, no source (T)",
};

/// Common practice, no source (T); figures are judgement.
const BACK_OPERATED: Guide = Guide {
    never: &[A(Ask::SpineBend), A(Ask::Twist), A(Ask::Impact)],
    untold: &[A(Ask::SpineLoad), A(Ask::Hinge), A(Ask::BreathHold), P(Pattern::Carry)],
    limits: Limits {
        systemic_max: 2,
        spinal_max: 1,
        rir_least: 3,
        reps_least: 8,
        supported_first: true,
        ..Limits::FREE
    },
    caution: "the surgeon's word comes first. The trunk is braced, not bent; hips and legs work in machines; pain that \
        runs down a leg, numbness or weakness ends the session and goes to a clinician.",
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

/// Sources below (A, T); figures are judgement.
const LOW_BACK_PAIN: Guide = Guide {
    untold: &[A(Ask::SpineBend), A(Ask::Twist), K(MovementKind::BarOnSpine), K(MovementKind::BentOver)],
    limits: Limits { spinal_max: 1, rir_least: 2, supported_first: true, ..Limits::FREE },
    caution: "the clinician's word comes first. Training helps a sore back and nobody has shown one kind to be best; the \
        back is braced, rows are supported, and the first hour after getting up is not for bending. Numbness, \
        weakness or trouble with the bladder: a clinician at once.",
    source: "Hayden 2021, Cochrane Database Syst Rev CD009790 (A); Snook 1998, Spine 23:2601 (A: less bending in the early \
        morning, less pain); which lifts: common practice, no source (T)",
    ..Guide::NOTHING
};

/// Sources below (M, T); figures are judgement.
const NECK_PAIN: Guide = Guide {
    untold: &[
        A(Ask::SpineLoad),
        K(MovementKind::HeavyOverhead),
        K(MovementKind::Hang),
        P(Pattern::TrunkFlexion),
    ],
    limits: Limits { rir_least: 2, supported_first: true, ..Limits::FREE },
    caution: "the clinician's word comes first. Rows, shrugs and raises are welcome and often help; nothing rests on the \
        neck. Pain down an arm, numbness or dizziness: a clinician first.",
    source: "Andersen 2008, Arthritis Rheum 59:84 (M); which lifts: common practice, no source (T)",
    ..Guide::NOTHING
};

/// Sources below (M, T); figures are judgement.
const HIP_ARTHRITIS: Guide = Guide {
    untold: &[A(Ask::Impact), A(Ask::DeepKnee)],
    limits: Limits { rir_least: 2, ..Limits::FREE },
    caution: "the clinician's word comes first. Strength is part of the treatment; a little pain that is gone by the next \
        day is usual, more is a reason for a shorter way or a lighter load.",
    source: "Fransen 2014, Cochrane Database Syst Rev CD007912 (M); which lifts: common practice, no source (T)",
    ..Guide::NOTHING
};

/// Sources below (A, T); figures are judgement.
const KNEE_ARTHRITIS: Guide = Guide {
    untold: &[A(Ask::Impact), A(Ask::DeepKnee), A(Ask::Kneeling), P(Pattern::Lunge)],
    limits: Limits { rir_least: 2, ..Limits::FREE },
    caution: "the clinician's word comes first. Strong thighs are part of the treatment; a little pain that is gone by the \
        next day is usual, more is a reason for a shorter way or a lighter load.",
    source: "Fransen 2015, Cochrane Database Syst Rev CD004376 (A); which lifts: common practice, no source (T)",
    ..Guide::NOTHING
};

/// Common practice, no source (T); figures are judgement.
const HERNIA: Guide = Guide {
    never: &[A(Ask::Impact)],
    untold: &[
        A(Ask::BreathHold),
        A(Ask::SpineBend),
        A(Ask::Twist),
        K(MovementKind::FreeHinge),
        K(MovementKind::LongBrace),
        P(Pattern::Carry),
    ],
    limits: Limits {
        systemic_max: 1,
        spinal_max: 1,
        rir_least: 3,
        reps_least: 10,
        supported_first: true,
        ..Limits::FREE
    },
    caution: "the surgeon's word comes first, before any lifting. Breathe out with the effort and never strain; a lump \
        that hurts or does not go back is an emergency.",
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

/// Sources below (A); figures are judgement.
const EYE_PRESSURE: Guide = Guide {
    never: &[A(Ask::BreathHold), K(MovementKind::Hold), K(MovementKind::HeadLow), A(Ask::Impact)],
    untold: &[
        K(MovementKind::HeavyOverhead),
        K(MovementKind::FreeHinge),
        K(MovementKind::LongBrace),
        P(Pattern::GripHold),
        A(Ask::LyingSupine),
    ],
    limits: Limits { systemic_max: 1, rir_least: 3, reps_least: 10, supported_first: true, ..Limits::FREE },
    caution: "the eye doctor's word comes first. Light to moderate loads, breathing all the time, the head above the hips; \
        anything new in what is seen ends the session and goes to the eye doctor.",
    source: "Vaghefi 2021, BMJ Open Ophthalmol 6:e000723 (A: heavy leg presses and holds raise eye pressure steeply); \
        Morenas-Aguilar 2025 (A: moderate single-joint sets hardly do); McMonnies 2016, J Optom 9:139 (A: breath and \
        position)",
    ..Guide::NOTHING
};

/// Common practice, no source (T); figures are judgement.
const PELVIC_FLOOR: Guide = Guide {
    never: &[A(Ask::Impact)],
    untold: &[A(Ask::BreathHold), A(Ask::SpineBend), K(MovementKind::LongBrace), P(Pattern::Carry)],
    limits: Limits { systemic_max: 2, rir_least: 3, reps_least: 8, ..Limits::FREE },
    caution: "the word of the pelvic-floor physiotherapist comes first. Breathe out with the effort; heaviness, dragging or \
        leaking during a set means less load or another exercise.",
    source: "common practice, no source (T)",
    ..Guide::NOTHING
};

/// Source below (B); what is left out beyond it, and the figures, are judgement.
const PREGNANCY: Guide = Guide {
    never: &[
        A(Ask::Impact),
        A(Ask::Balance),
        A(Ask::LyingSupine),
        A(Ask::LyingProne),
        K(MovementKind::HeadLow),
    ],
    untold: &[
        A(Ask::BreathHold),
        A(Ask::SpineBend),
        A(Ask::Twist),
        K(MovementKind::HeavyOverhead),
        K(MovementKind::Hang),
        K(MovementKind::Hold),
        K(MovementKind::LongBrace),
    ],
    limits: Limits {
        systemic_max: 2,
        spinal_max: 1,
        rir_least: 3,
        reps_least: 8,
        sets_factor: Share(0.8),
        supported_first: true,
        ..Limits::FREE
    },
    caution: "the word of midwife or doctor comes first, and again each time something changes. Moderate effort, breathing \
        all the time, nothing lying flat. Bleeding, pain, dizziness, headache, swelling of a calf, fluid, or less \
        movement of the child: stop and call.",
    source: "Mottola 2018, Br J Sports Med 52:1339 (B: resistance training is recommended; lying on the back is left out by \
        those whom it makes unwell); that it is left out by all, as is what is easily fallen from, is judgement",
    ..Guide::NOTHING
};

/// Sources below (M, T); figures are judgement.
const AFTER_BIRTH: Guide = Guide {
    never: &[A(Ask::Impact)],
    untold: &[
        A(Ask::BreathHold),
        A(Ask::SpineBend),
        A(Ask::Twist),
        K(MovementKind::Hold),
        K(MovementKind::LongBrace),
        P(Pattern::Carry),
    ],
    limits: Limits {
        systemic_max: 2,
        spinal_max: 1,
        rir_least: 3,
        reps_least: 8,
        sets_factor: Share(0.75),
        supported_first: true,
        ..Limits::FREE
    },
    caution: "the word of midwife, doctor or pelvic-floor physiotherapist comes first. Breathe out with the effort; no \
        jumps for three months at least; heaviness, leaking, a bulge along the belly or bleeding: stop and ask.",
    source: "Goom 2019, guideline on running after birth (M: no impact before twelve weeks); which lifts: common practice, \
        no source (T)",
    ..Guide::NOTHING
};
