//! Stations: what an exercise occupies in the room, where it stands, and whether a client can hold two.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A part of the room; a block stays in one area.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Area {
    /// Things that can be carried to any place.
    Anywhere,
    /// Racks, benches, platforms.
    FreeWeights,
    /// Cable columns and pulley seats.
    Cables,
    /// Machines with a fixed path.
    Machines,
}

macro_rules! stations {
    ($($variant:ident = $id:literal, $name:literal, $area:ident, $big:literal;)*) => {
        /// A station. `big` ones are in demand and cannot be held together with another big one.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum Station {
            $(#[doc = $name] $variant,)*
        }
        impl Station {
            /// All stations.
            pub const ALL: &'static [Station] = &[$(Station::$variant,)*];
            /// The identifier used in files.
            pub const fn id(self) -> &'static str {
                match self { $(Station::$variant => $id,)* }
            }
            /// The plain name.
            pub const fn name(self) -> &'static str {
                match self { $(Station::$variant => $name,)* }
            }
            /// The part of the room it stands in.
            pub const fn area(self) -> Area {
                match self { $(Station::$variant => Area::$area,)* }
            }
            /// Whether it is in such demand that a client can hold only one of the kind.
            pub const fn is_big(self) -> bool {
                match self { $(Station::$variant => $big,)* }
            }
        }
    };
}

stations! {
    Floor = "floor", "floor or mat", Anywhere, false;
    Dumbbells = "dumbbells", "dumbbells", Anywhere, false;
    Kettlebell = "kettlebell", "kettlebell", Anywhere, false;
    Bands = "bands", "bands", Anywhere, false;
    Plate = "plate", "weight plate", Anywhere, false;
    MedicineBall = "medicine_ball", "medicine ball", Anywhere, false;
    Sandbag = "sandbag", "sandbag", Anywhere, false;
    AbWheel = "ab_wheel", "ab wheel", Anywhere, false;
    Step = "step", "step or box", Anywhere, false;
    Chair = "chair", "chair or table", Anywhere, false;
    Sliders = "sliders", "sliders or towel", Anywhere, false;
    GymBall = "gym_ball", "gym ball", Anywhere, false;
    StraightBar = "straight_bar", "loaded bar on the floor", FreeWeights, false;
    CurlBar = "curl_bar", "EZ bar", Anywhere, false;
    Bench = "bench", "adjustable bench", FreeWeights, false;
    DeclineBench = "decline_bench", "decline bench", FreeWeights, false;
    BenchPressStation = "bench_press_station", "bench-press station", FreeWeights, true;
    Rack = "rack", "squat rack", FreeWeights, true;
    SafetyBar = "safety_bar", "safety squat bar", FreeWeights, false;
    Platform = "platform", "lifting platform", FreeWeights, true;
    TrapBar = "trap_bar", "trap bar", FreeWeights, true;
    Landmine = "landmine", "landmine", FreeWeights, false;
    PullUpBar = "pull_up_bar", "pull-up bar", FreeWeights, false;
    DipBars = "dip_bars", "dip bars", FreeWeights, false;
    Rings = "rings", "rings or straps", FreeWeights, false;
    PreacherBench = "preacher_bench", "preacher bench", FreeWeights, false;
    BackExtensionBench = "back_extension_bench", "back-extension bench", FreeWeights, false;
    GluteHamBench = "glute_ham_bench", "glute-ham bench", FreeWeights, false;
    CarryLane = "carry_lane", "lane to walk in", FreeWeights, false;
    Sled = "sled", "sled", FreeWeights, true;
    Cable = "cable", "cable column", Cables, false;
    TwinCable = "twin_cable", "twin cable columns", Cables, true;
    PulldownSeat = "pulldown_seat", "pulldown seat", Cables, true;
    RowSeat = "row_seat", "seated cable row", Cables, true;
    ChestPressMachine = "chest_press_machine", "chest-press machine", Machines, true;
    InclinePressMachine = "incline_press_machine", "incline-press machine", Machines, true;
    ShoulderPressMachine = "shoulder_press_machine", "shoulder-press machine", Machines, true;
    FlyMachine = "fly_machine", "fly machine", Machines, true;
    RowMachine = "row_machine", "row machine", Machines, true;
    TBarRowMachine = "t_bar_row_machine", "chest-supported T-bar machine", Machines, true;
    AssistedPullUpMachine = "assisted_pull_up_machine", "assisted pull-up and dip machine", Machines, true;
    LateralRaiseMachine = "lateral_raise_machine", "lateral-raise machine", Machines, true;
    CurlMachine = "curl_machine", "curl machine", Machines, true;
    TricepsMachine = "triceps_machine", "triceps machine", Machines, true;
    DipMachine = "dip_machine", "seated dip machine", Machines, true;
    SmithMachine = "smith_machine", "Smith machine", Machines, true;
    LegPressMachine = "leg_press_machine", "leg-press sled", Machines, true;
    SeatedLegPressMachine = "seated_leg_press_machine", "seated leg press", Machines, true;
    HackSquatMachine = "hack_squat_machine", "hack-squat machine", Machines, true;
    PendulumSquatMachine = "pendulum_squat_machine", "pendulum-squat machine", Machines, true;
    BeltSquatMachine = "belt_squat_machine", "belt-squat machine", Machines, true;
    LegExtensionMachine = "leg_extension_machine", "leg-extension machine", Machines, true;
    LegCurlMachine = "leg_curl_machine", "lying leg-curl machine", Machines, true;
    SeatedLegCurlMachine = "seated_leg_curl_machine", "seated leg-curl machine", Machines, true;
    HipThrustMachine = "hip_thrust_machine", "hip-thrust machine", Machines, true;
    GluteMachine = "glute_machine", "glute kick-back machine", Machines, true;
    HipSideMachine = "hip_side_machine", "hip abduction and adduction machine", Machines, true;
    StandingCalfMachine = "standing_calf_machine", "standing calf machine", Machines, true;
    SeatedCalfMachine = "seated_calf_machine", "seated calf machine", Machines, true;
    AbMachine = "ab_machine", "abdominal machine", Machines, true;
    TrunkRotationMachine = "trunk_rotation_machine", "trunk-rotation machine", Machines, true;
    BackExtensionMachine = "back_extension_machine", "back-extension machine", Machines, true;
}

impl Station {
    /// The station with this identifier, if there is one.
    pub fn from_id(id: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|s| s.id() == id)
    }

    /// The station it was counted with before the two were told apart. A brief from then that says the one is missing
    /// means both.
    pub const fn once_part_of(self) -> Option<Self> {
        match self {
            Station::DeclineBench => Some(Station::Bench),
            Station::GluteHamBench => Some(Station::BackExtensionBench),
            Station::InclinePressMachine => Some(Station::ChestPressMachine),
            Station::TBarRowMachine => Some(Station::RowMachine),
            Station::DipMachine => Some(Station::TricepsMachine),
            Station::SeatedLegPressMachine => Some(Station::LegPressMachine),
            Station::PendulumSquatMachine => Some(Station::HackSquatMachine),
            Station::SeatedLegCurlMachine => Some(Station::LegCurlMachine),
            _ => None,
        }
    }
}
