//! What a client can say of body, week and life besides goal and time: conditions a clinician has named, movements
//! that hurt, what can be done, the present week, sport.
//!
//! Words only. What each of them changes is said in `setwright-science::conditions`.

use crate::exercise::ExerciseId;
use crate::muscle::Muscle;
use crate::units::FractionalSets;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

macro_rules! words {
    ($(#[$outer:meta])* $type:ident { $($variant:ident = $id:literal $(or $alias:literal)*, $name:literal;)* }) => {
        $(#[$outer])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum $type {
            $(#[doc = $name] #[serde($(alias = $alias),*)] $variant,)*
        }
        impl $type {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];
            /// The identifier used in files.
            pub const fn id(self) -> &'static str {
                match self { $(Self::$variant => $id,)* }
            }
            /// The plain words.
            pub const fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)* }
            }
        }
    };
}

words! {
    /// A condition that a clinician has named, as far as it changes the training. Never a diagnosis of ours.
    Condition {
        BrittleBones = "brittle_bones" or "osteoporosis" or "osteopenia", "brittle bones";
        HighBloodPressure = "high_blood_pressure" or "hypertension", "high blood pressure";
        Heart = "heart" or "heart_disease", "heart disease";
        Diabetes = "diabetes", "diabetes";
        Lung = "lung" or "asthma" or "copd", "asthma or another disease of the lungs";
        HipReplaced = "hip_replaced" or "hip_replacement", "hip replaced";
        KneeReplaced = "knee_replaced" or "knee_replacement", "knee replaced";
        ShoulderRepaired = "shoulder_repaired" or "rotator_cuff_repair" or "shoulder_replaced", "shoulder repaired";
        BackOperated = "back_operated" or "back_operation", "back operated";
        LowBackPain = "low_back_pain" or "back_pain", "low-back pain";
        NeckPain = "neck_pain", "neck pain";
        HipArthritis = "hip_arthritis", "arthritis of the hip";
        KneeArthritis = "knee_arthritis" or "arthritis", "arthritis of the knee";
        Hernia = "hernia", "hernia of the belly or groin";
        EyePressure = "eye_pressure" or "glaucoma", "raised eye pressure or a damaged retina";
        PelvicFloor = "pelvic_floor" or "prolapse", "pelvic floor that leaks or has sunk";
        Pregnancy = "pregnancy" or "pregnant", "pregnancy";
        AfterBirth = "after_birth" or "postpartum" or "postnatal", "the months after a birth";
    }
}

words! {
    /// A movement of everyday life that hurts.
    Hurts {
        Stairs = "stairs", "stairs";
        Kneeling = "kneeling", "kneeling";
        DeepKneeBend = "deep_knee_bend" or "squatting" or "deep_knee", "deep bending of the knee";
        ArmsOverhead = "arms_overhead" or "overhead", "arms overhead";
        ReachingBehind = "reaching_behind", "reaching behind";
        Gripping = "gripping" or "grip", "gripping";
        WeightOnHands = "weight_on_hands" or "wrists", "weight on the hands";
        LyingFlat = "lying_flat", "lying flat";
        BendingForward = "bending_forward" or "bending", "bending forward";
        Twisting = "twisting", "twisting";
        UpFromTheFloor = "up_from_the_floor" or "getting_up", "getting up from the floor";
        Impact = "impact" or "jumping" or "running", "jumps and hard landings";
    }
}

words! {
    /// Something a client wants to be able to do, or to be better at.
    Aim {
        Stairs = "stairs" or "steps", "climbing stairs";
        Rising = "rising" or "getting_up", "rising from a chair or the floor";
        Steady = "steady" or "not_falling" or "falls", "standing and stepping steadily";
        Carrying = "carrying", "carrying things";
        PullUps = "pull_ups" or "pull_up" or "chin_ups", "pull-ups";
        PressUps = "press_ups" or "press_up" or "push_ups", "press-ups";
        Jumping = "jumping" or "jumps", "jumping";
        LessWeight = "less_weight" or "lose_weight" or "weight_loss", "less body weight";
    }
}

words! {
    /// Something that can be tried in a minute; what was not tried is not asked of the client either way.
    Tick {
        FullPressUp = "full_press_up" or "press_up" or "push_up", "a full press-up";
        Hang = "hang", "hanging from a bar";
        PullUp = "pull_up" or "chin_up", "a pull-up";
        FloorAndUp = "floor_and_up", "down to the floor and up again";
        ChairWithoutHands = "chair_without_hands", "up from a chair without the hands";
    }
}

words! {
    /// A part of the body that hurts. Where it hurts is all that is said; never what it is.
    BodyPart {
        Head = "head", "head";
        Neck = "neck", "neck";
        Shoulder = "shoulder", "shoulder";
        UpperArm = "upper_arm", "upper arm";
        Elbow = "elbow", "elbow";
        WristOrHand = "wrist_or_hand" or "wrist" or "hand", "wrist or hand";
        Chest = "chest", "chest";
        UpperBack = "upper_back", "upper back";
        LowerBack = "lower_back" or "back", "lower back";
        Belly = "belly", "belly";
        HipOrGroin = "hip_or_groin" or "hip" or "groin", "hip or groin";
        Thigh = "thigh", "thigh";
        Knee = "knee", "knee";
        LowerLeg = "lower_leg" or "calf", "lower leg";
        AnkleOrFoot = "ankle_or_foot" or "ankle" or "foot", "ankle or foot";
        NotSure = "not_sure" or "elsewhere", "elsewhere, or not sure where";
    }
}

words! {
    /// A side of the body.
    BodySide {
        Left = "left", "left";
        Right = "right", "right";
        Both = "both", "both sides";
    }
}

/// The week as it is now, before the programme: the planner starts near it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Present {
    /// Sessions a week that are trained now; 0 for somebody who has stopped.
    #[serde(default)]
    pub sessions: Option<u32>,
    /// Work sets a week in all.
    #[serde(default)]
    pub sets: Option<u32>,
    /// Fractional sets a week of single muscles, where they are known.
    #[serde(default)]
    pub muscles: BTreeMap<Muscle, FractionalSets>,
    /// Exercises that are in the week, with or without a load that is known.
    #[serde(default)]
    pub exercises: Vec<ExerciseId>,
}

/// A sport beside the training.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sport {
    /// What it is called.
    #[serde(default)]
    pub name: String,
    /// Days of the cycle (from 1) on which it is hard: practice, a long run.
    #[serde(default)]
    pub hard_days: Vec<u32>,
    /// Days of the cycle (from 1) of a match or a race, for which the client is to be fresh.
    #[serde(default)]
    pub match_days: Vec<u32>,
}

impl Sport {
    /// Whether any day of the cycle is hard.
    pub fn has_days(&self) -> bool {
        !self.hard_days.is_empty() || !self.match_days.is_empty()
    }

    /// Whether a day is hard: practice or a match.
    pub fn is_hard(&self, day: u32) -> bool {
        self.hard_days.contains(&day) || self.match_days.contains(&day)
    }
}
