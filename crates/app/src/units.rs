//! What loads are shown in to whoever asks: kilograms unless the browser asked for pounds. It holds for the answer to one
//! request, wherever that is worked out; what is kept keeps the unit it was given in.

use setwright_model::Kilograms;
use setwright_model::ledger::MassUnit;

tokio::task_local! {
    static ASKED: MassUnit;
}

/// Pounds from which halves are exact enough (judgement: the smallest pair of discs is five).
const HALVES_LB: f64 = 10.0;

/// What loads are shown in.
pub fn shown() -> MassUnit {
    ASKED.try_with(|unit| *unit).unwrap_or_default()
}

/// Answers with loads in this unit.
pub async fn answered<A: Future>(unit: MassUnit, answer: A) -> A::Output {
    ASKED.scope(unit, answer).await
}

/// Works with loads in this unit, on another thread than the one that was asked.
pub fn within<T>(unit: MassUnit, work: impl FnOnce() -> T) -> T {
    ASKED.sync_scope(unit, work)
}

/// A load as a number in the unit shown.
pub fn number(kg: Kilograms) -> f64 {
    match shown() {
        MassUnit::Kg => kg.get(),
        MassUnit::Lb => kg.to_lb(),
    }
}

/// "62.5 kg", "137.5 lb": to what can be told apart on a bar.
pub fn load(kg: Kilograms) -> String {
    let value = number(kg);
    let rounded = match shown() {
        MassUnit::Kg => (100.0 * value).round() / 100.0,
        MassUnit::Lb if value.abs() >= HALVES_LB => (2.0 * value).round() / 2.0,
        MassUnit::Lb => (10.0 * value).round() / 10.0,
    };
    // Adding nothing takes the sign from a nought.
    format!("{} {}", rounded + 0.0, shown().symbol())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_are_shown_in_the_unit_asked_for_and_in_kilograms_otherwise() {
        let words = |kg: f64| load(Kilograms(kg));
        assert_eq!([words(62.5), words(1.25), words(-0.001)], ["62.5 kg", "1.25 kg", "0 kg"]);
        let pounds = |kg| within(MassUnit::Lb, || words(kg));
        assert_eq!(
            [pounds(60.0), pounds(Kilograms::from_lb(135.0).get()), pounds(1.25)],
            ["132.5 lb", "135 lb", "2.8 lb"]
        );
        assert_eq!(shown(), MassUnit::Kg);
    }
}
