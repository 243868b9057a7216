//! Movement patterns: what an exercise does, which is what balance, order and variety are judged by.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The side of the body's movements a pattern belongs to, for balance within a session and over a cycle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Presses, dips, flies, raises, elbow extension.
    Push,
    /// Rows, pulls, rear flies, shrugs, elbow flexion, grip.
    Pull,
    /// Squats, presses with the legs, lunges, knee extension.
    Knee,
    /// Hinges, bridges, knee flexion, back extension.
    Hip,
    /// Trunk, calves, hip sides: outside the two balances.
    Other,
    /// Lifts and carries of the whole body: outside the two balances.
    Whole,
}

/// Where on the body a pattern works; a session's focus is a set of these.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Region {
    /// Arms, shoulders, chest and back.
    Upper,
    /// Hips and legs.
    Lower,
    /// Abdomen and lower back.
    Trunk,
    /// Everything at once.
    Whole,
}

macro_rules! patterns {
    ($($variant:ident = $id:literal, $name:literal, $side:ident, $region:ident, $compound:literal;)*) => {
        /// A movement pattern.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum Pattern {
            $(#[doc = $name] $variant,)*
        }
        impl Pattern {
            /// All patterns.
            pub const ALL: &'static [Pattern] = &[$(Pattern::$variant,)*];
            /// The identifier used in files.
            pub const fn id(self) -> &'static str {
                match self { $(Pattern::$variant => $id,)* }
            }
            /// The plain name.
            pub const fn name(self) -> &'static str {
                match self { $(Pattern::$variant => $name,)* }
            }
            /// Push, pull, knee, hip or neither.
            pub const fn side(self) -> Side {
                match self { $(Pattern::$variant => Side::$side,)* }
            }
            /// Upper, lower, trunk or whole body.
            pub const fn region(self) -> Region {
                match self { $(Pattern::$variant => Region::$region,)* }
            }
            /// Whether more than one joint moves under load.
            pub const fn is_compound(self) -> bool {
                match self { $(Pattern::$variant => $compound,)* }
            }
        }
    };
}

patterns! {
    HorizontalPress = "horizontal_press", "horizontal press", Push, Upper, true;
    InclinePress = "incline_press", "incline press", Push, Upper, true;
    VerticalPress = "vertical_press", "vertical press", Push, Upper, true;
    Dip = "dip", "dip", Push, Upper, true;
    ChestFly = "chest_fly", "chest fly", Push, Upper, false;
    LateralRaise = "lateral_raise", "lateral raise", Push, Upper, false;
    FrontRaise = "front_raise", "front raise", Push, Upper, false;
    ElbowExtension = "elbow_extension", "elbow extension", Push, Upper, false;
    HorizontalRow = "horizontal_row", "row", Pull, Upper, true;
    VerticalPull = "vertical_pull", "vertical pull", Pull, Upper, true;
    Pullover = "pullover", "pullover", Pull, Upper, false;
    RearFly = "rear_fly", "rear fly", Pull, Upper, false;
    UprightRow = "upright_row", "upright row", Pull, Upper, true;
    Shrug = "shrug", "shrug", Pull, Upper, false;
    ElbowFlexion = "elbow_flexion", "curl", Pull, Upper, false;
    Wrist = "wrist", "wrist curl", Pull, Upper, false;
    GripHold = "grip_hold", "grip hold", Pull, Upper, false;
    Squat = "squat", "squat", Knee, Lower, true;
    LegPress = "leg_press", "leg press", Knee, Lower, true;
    Lunge = "lunge", "lunge", Knee, Lower, true;
    KneeExtension = "knee_extension", "knee extension", Knee, Lower, false;
    Hinge = "hinge", "hinge", Hip, Lower, true;
    HipExtension = "hip_extension", "hip extension", Hip, Lower, true;
    KneeFlexion = "knee_flexion", "leg curl", Hip, Lower, false;
    BackExtension = "back_extension", "back extension", Hip, Trunk, false;
    HipAbduction = "hip_abduction", "hip abduction", Other, Lower, false;
    HipAdduction = "hip_adduction", "hip adduction", Other, Lower, false;
    HipFlexion = "hip_flexion", "hip flexion", Other, Lower, false;
    CalfRaise = "calf_raise", "calf raise", Other, Lower, false;
    Shin = "shin", "shin raise", Other, Lower, false;
    TrunkFlexion = "trunk_flexion", "trunk flexion", Other, Trunk, false;
    TrunkBrace = "trunk_brace", "trunk brace", Other, Trunk, false;
    TrunkRotation = "trunk_rotation", "trunk rotation", Other, Trunk, false;
    SideBend = "side_bend", "side bend", Other, Trunk, false;
    Neck = "neck", "neck", Other, Upper, false;
    ShoulderRotation = "shoulder_rotation", "shoulder rotation", Other, Upper, false;
    ShoulderBlade = "shoulder_blade", "shoulder-blade work", Other, Upper, false;
    Jump = "jump", "jump", Other, Lower, true;
    Throw = "throw", "throw", Other, Whole, true;
    Carry = "carry", "carry", Whole, Whole, true;
    WholeBody = "whole_body", "whole-body lift", Whole, Whole, true;
}

impl Pattern {
    /// The pattern with this identifier, if there is one.
    pub fn from_id(id: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|p| p.id() == id)
    }

    /// Whether a set of it is a set for one of the eighteen muscle groups. Neck, shin, hip flexors, the rotators of the
    /// shoulder and the muscles of the shoulder blade are not among them, and a jump or throw is done for speed.
    pub const fn has_dose(self) -> bool {
        !matches!(
            self,
            Pattern::HipFlexion
                | Pattern::Shin
                | Pattern::Neck
                | Pattern::ShoulderRotation
                | Pattern::ShoulderBlade
                | Pattern::Jump
                | Pattern::Throw
        )
    }
}
