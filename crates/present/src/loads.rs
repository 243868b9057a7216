//! A load in words, with its kind and its plates, the same in a terminal, on a page and on paper. Nothing is laid out here.

use crate::figures::number;
use crate::view::LoadView;
use setwright_gym::discs::Plate;
use setwright_model::MassUnit;
use setwright_model::exercise::LoadKind;

/// A load in words: what is on the bar, in each hand, added to the body.
pub fn load(view: &LoadView, unit: MassUnit) -> String {
    let Some(kg) = view.kg else {
        return match view.kind {
            LoadKind::Body => "body",
            LoadKind::Band => "band",
            LoadKind::BodyPlus => "body or more",
            _ => "by feel",
        }
        .to_owned();
    };
    let shown = unit.load(kg);
    match view.kind {
        LoadKind::BodyPlus if kg.get() <= 0.0 => "body".to_owned(),
        LoadKind::BodyPlus => format!("body + {shown}"),
        LoadKind::Assisted => format!("{shown} taken off"),
        LoadKind::DumbbellPair | LoadKind::KettlebellPair => format!("{shown} each"),
        _ => shown,
    }
}

/// The same with what hangs on each side in brackets: `60 kg [20]`, `20 kg [empty]`.
pub fn load_with_plates(view: &LoadView, unit: MassUnit) -> String {
    let words = load(view, unit);
    match &view.discs {
        None => words,
        Some(none) if none.is_empty() => format!("{words} [empty]"),
        Some(discs) => format!("{words} [{}]", plates(discs, unit, " ")),
    }
}

/// Whether the load is found on the day.
pub const fn is_by_feel(load: &LoadView) -> bool {
    load.kg.is_none() && !matches!(load.kind, LoadKind::Body | LoadKind::Band | LoadKind::BodyPlus)
}

/// Plates by the numbers that are cast on them, as they are called out: "20 2.5". Their unit is said once where it is not the one
/// that loads are shown in, "20 2.5 kg", and with each plate where some are in kilograms and some in pounds, "45 lb 20 kg".
pub fn plates(plates: &[Plate], unit: MassUnit, between: &str) -> String {
    let marked = plates.first().map_or(unit, |p| p.marked);
    let is_mixed = plates.iter().any(|p| p.marked != marked);
    let one = |p: &Plate| {
        let mark = number(p.number(), 2);
        if is_mixed { format!("{mark} {}", p.marked.symbol()) } else { mark }
    };
    let list = plates.iter().map(one).collect::<Vec<_>>().join(between);
    if is_mixed || marked == unit { list } else { format!("{list} {}", marked.symbol()) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_model::Kilograms;

    fn cast(numbers: &[f64], marked: MassUnit) -> Vec<Plate> {
        let mass = |n: f64| if marked == MassUnit::Lb { Kilograms::from_lb(n) } else { Kilograms(n) };
        numbers.iter().map(|n| Plate { mass: mass(*n), marked }).collect()
    }

    #[test]
    fn plates_are_called_by_the_number_cast_on_them() {
        let pounds = cast(&[45.0, 45.0, 2.5], MassUnit::Lb);
        assert_eq!(plates(&pounds, MassUnit::Lb, " "), "45 45 2.5");
        assert_eq!(plates(&pounds, MassUnit::Kg, " "), "45 45 2.5 lb");
        let kilograms = cast(&[20.0, 1.25], MassUnit::Kg);
        assert_eq!(plates(&kilograms, MassUnit::Kg, " + "), "20 + 1.25");
        assert_eq!(plates(&kilograms, MassUnit::Lb, " + "), "20 + 1.25 kg");
        let both = [cast(&[45.0], MassUnit::Lb), kilograms].concat();
        assert_eq!(plates(&both, MassUnit::Lb, " "), "45 lb 20 kg 1.25 kg");
        assert_eq!(plates(&[], MassUnit::Lb, " "), "");
    }

    #[test]
    fn a_load_is_said_with_its_kind() {
        let said = |kg: Option<f64>, kind| {
            load_with_plates(&LoadView { kg: kg.map(Kilograms), kind, discs: None }, MassUnit::Kg)
        };
        assert_eq!(said(Some(20.0), LoadKind::DumbbellPair), "20 kg each");
        assert_eq!(said(Some(10.0), LoadKind::BodyPlus), "body + 10 kg");
        assert_eq!(said(Some(0.0), LoadKind::BodyPlus), "body");
        assert_eq!(said(Some(15.0), LoadKind::Assisted), "15 kg taken off");
        assert_eq!(said(None, LoadKind::Body), "body");
        assert_eq!(said(None, LoadKind::Bar), "by feel");
    }
}
