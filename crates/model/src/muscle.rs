//! The eighteen muscle groups that doses and recovery are kept for.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;

macro_rules! muscles {
    ($($variant:ident = $id:literal, $name:literal;)*) => {
        /// A muscle group. The order runs down the body and is the order of every table and drawing.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
        #[serde(rename_all = "snake_case")]
        pub enum Muscle {
            $(#[doc = $name] $variant,)*
        }
        impl Muscle {
            /// All groups, from the top of the body down.
            pub const ALL: [Muscle; 18] = [$(Muscle::$variant,)*];
            /// The identifier used in files.
            pub const fn id(self) -> &'static str {
                match self { $(Muscle::$variant => $id,)* }
            }
            /// The plain name used on screen and paper.
            pub const fn name(self) -> &'static str {
                match self { $(Muscle::$variant => $name,)* }
            }
        }
    };
}

muscles! {
    Traps = "traps", "upper traps";
    FrontDelts = "front_delts", "front deltoids";
    SideDelts = "side_delts", "side deltoids";
    RearDelts = "rear_delts", "rear deltoids";
    Chest = "chest", "chest";
    UpperBack = "upper_back", "upper back";
    Lats = "lats", "lats";
    Biceps = "biceps", "biceps";
    Triceps = "triceps", "triceps";
    Forearms = "forearms", "forearms";
    Abs = "abs", "abs";
    Obliques = "obliques", "obliques";
    LowerBack = "lower_back", "lower back";
    Glutes = "glutes", "glutes";
    Quads = "quads", "quads";
    Hamstrings = "hamstrings", "hamstrings";
    Adductors = "adductors", "adductors";
    Calves = "calves", "calves";
}

impl Muscle {
    /// How many groups there are.
    pub const COUNT: usize = Self::ALL.len();

    /// The groups that a whole-body programme must reach twice a week: chest, back, shoulders, arms, trunk,
    /// hips and legs (the "major muscle groups" of WHO 2020, mapped to our groups by judgement).
    pub const MAJOR: [Muscle; 10] = [
        Muscle::FrontDelts,
        Muscle::Chest,
        Muscle::UpperBack,
        Muscle::Lats,
        Muscle::Biceps,
        Muscle::Triceps,
        Muscle::Abs,
        Muscle::Glutes,
        Muscle::Quads,
        Muscle::Hamstrings,
    ];

    /// Position in [`Muscle::ALL`], for tables.
    pub const fn index(self) -> usize {
        self as usize
    }

    /// The group with this identifier, if there is one.
    pub fn from_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|m| m.id() == id)
    }

    /// Whether the group belongs to the legs and hips.
    pub const fn is_lower(self) -> bool {
        matches!(
            self,
            Muscle::Glutes | Muscle::Quads | Muscle::Hamstrings | Muscle::Adductors | Muscle::Calves
        )
    }

    /// Whether the group belongs to the trunk.
    pub const fn is_trunk(self) -> bool {
        matches!(self, Muscle::Abs | Muscle::Obliques | Muscle::LowerBack)
    }
}

impl fmt::Display for Muscle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
