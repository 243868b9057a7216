//! What loads are shown in to whoever asks. The choice is a value that is handed on; what is kept keeps the unit it was given in.

use setwright_formats::cells::LoadUnit;
use setwright_model::Kilograms;
use setwright_model::ledger::MassUnit;

/// What loads are shown in: kilograms unless pounds were asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DisplayUnit {
    /// Kilograms.
    #[default]
    Kg,
    /// Pounds.
    Lb,
}

/// Pounds from which halves are exact enough (judgement: the smallest pair of discs is five).
const HALVES_LB: f64 = 10.0;

impl DisplayUnit {
    /// "kg", "lb".
    pub const fn symbol(self) -> &'static str {
        self.mass().symbol()
    }

    /// The same as a unit of the ledger.
    pub const fn mass(self) -> MassUnit {
        match self {
            Self::Kg => MassUnit::Kg,
            Self::Lb => MassUnit::Lb,
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

impl From<DisplayUnit> for LoadUnit {
    fn from(unit: DisplayUnit) -> Self {
        match unit {
            DisplayUnit::Kg => Self::Kg,
            DisplayUnit::Lb => Self::Lb,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_are_shown_in_the_unit_asked_for_and_in_kilograms_otherwise() {
        let words = |kg: f64| DisplayUnit::default().load(Kilograms(kg));
        assert_eq!([words(62.5), words(1.25), words(-0.001)], ["62.5 kg", "1.25 kg", "0 kg"]);
        let pounds = |kg| DisplayUnit::Lb.load(Kilograms(kg));
        assert_eq!(
            [pounds(60.0), pounds(Kilograms::from_lb(135.0).get()), pounds(1.25)],
            ["132.5 lb", "135 lb", "2.8 lb"]
        );
    }
}
