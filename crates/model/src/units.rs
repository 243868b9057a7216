//! Quantities with their unit in the type, so that no bare `f64` crosses a crate border.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Sub};

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $suffix:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize, JsonSchema)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);
            /// The bare number, for arithmetic inside a crate.
            pub const fn get(self) -> f64 {
                self.0
            }
            /// The larger of the two.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
            /// The smaller of the two.
            #[must_use]
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }
        }
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                items.fold(Self::ZERO, Add::add)
            }
        }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Display::fmt(&self.0, f)?;
                f.write_str($suffix)
            }
        }
    };
}

quantity!(
    /// Mass in kilograms: loads and body mass.
    Kilograms,
    " kg"
);
quantity!(
    /// Mass in pounds, as equipment is marked with it.
    Pounds,
    " lb"
);
quantity!(
    /// Time in seconds, inside a session.
    Seconds,
    " s"
);
quantity!(
    /// Time in minutes, as a coach counts a session.
    Minutes,
    " min"
);
quantity!(
    /// Time in hours, between sessions.
    Hours,
    " h"
);
quantity!(
    /// Sets weighted by how much of each goes to one muscle (1 direct, 0.5 or 0.25 indirect).
    FractionalSets,
    " sets"
);
quantity!(
    /// A share of a whole: 0.75 is three quarters.
    Share,
    ""
);
quantity!(
    /// Repetitions; may be fractional in a model, whole on a sheet.
    Reps,
    " reps"
);

/// Exact by definition (international yard and pound agreement, 1959; evidence section 12).
pub const KG_PER_LB: f64 = 0.453_592_37;

impl Kilograms {
    /// A load given in pounds.
    pub const fn from_lb(pounds_lb: f64) -> Self {
        Self(pounds_lb * KG_PER_LB)
    }
    /// The same load in pounds.
    pub const fn to_lb(self) -> f64 {
        self.0 / KG_PER_LB
    }
}

impl Pounds {
    /// The same mass in kilograms.
    pub const fn to_kg(self) -> Kilograms {
        Kilograms::from_lb(self.0)
    }
}

/// What masses are written in: by whoever wrote one down, and to whoever asks. What is kept keeps the unit it was given in; what is
/// shown is shown in the unit that is handed on, kilograms unless pounds were asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum MassUnit {
    /// Kilograms.
    #[default]
    Kg,
    /// Pounds.
    Lb,
}

/// Pounds from which halves are exact enough (judgement: the smallest pair of discs is five).
const HALVES_LB: f64 = 10.0;

impl MassUnit {
    /// How it is written: "kg", "lb".
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Kg => "kg",
            Self::Lb => "lb",
        }
    }

    /// The unit by its symbol, and nothing for any other word.
    pub fn of(symbol: &str) -> Option<Self> {
        [Self::Kg, Self::Lb].into_iter().find(|unit| unit.symbol() == symbol)
    }

    /// So many of it.
    pub const fn mass(self, number: f64) -> Kilograms {
        match self {
            Self::Kg => Kilograms(number),
            Self::Lb => Kilograms::from_lb(number),
        }
    }

    /// A load as a number.
    pub fn number(self, kg: Kilograms) -> f64 {
        match self {
            Self::Kg => kg.get(),
            Self::Lb => kg.to_lb(),
        }
    }

    /// "62.5 kg", "137.5 lb": to what can be told apart on a bar.
    pub fn load(self, kg: Kilograms) -> String {
        let value = self.number(kg);
        let rounded = match self {
            Self::Kg => (100.0 * value).round() / 100.0,
            Self::Lb if value.abs() >= HALVES_LB => (2.0 * value).round() / 2.0,
            Self::Lb => (10.0 * value).round() / 10.0,
        };
        // Adding nothing takes the sign from a nought.
        format!("{} {}", rounded + 0.0, self.symbol())
    }
}

impl Seconds {
    /// The same time in minutes.
    pub const fn to_minutes(self) -> Minutes {
        Minutes(self.0 / 60.0)
    }
}

impl Minutes {
    /// The same time in seconds.
    pub const fn to_seconds(self) -> Seconds {
        Seconds(self.0 * 60.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_are_shown_in_the_unit_asked_for_and_in_kilograms_otherwise() {
        let words = |kg: f64| MassUnit::default().load(Kilograms(kg));
        assert_eq!([words(62.5), words(1.25), words(-0.001)], ["62.5 kg", "1.25 kg", "0 kg"]);
        let pounds = |kg| MassUnit::Lb.load(Kilograms(kg));
        assert_eq!(
            [pounds(60.0), pounds(Kilograms::from_lb(135.0).get()), pounds(1.25)],
            ["132.5 lb", "135 lb", "2.8 lb"]
        );
    }
}
