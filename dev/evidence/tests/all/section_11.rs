//! Energy (Ainsworth 2011, MSSE 43:1575 (B)).

use setwright_model::{Kilograms, Minutes};
use setwright_science::energy::{SessionStyle, spent};

/// Codes 02050, 02054, 02052, 02035, 02040 (B).
#[test]
fn each_style_has_its_published_multiple_of_rest() {
    let published = [
        (SessionStyle::Vigorous, 6.0),
        (SessionStyle::Ordinary, 3.5),
        (SessionStyle::Squats, 5.0),
        (SessionStyle::CircuitModerate, 4.3),
        (SessionStyle::CircuitVigorous, 8.0),
    ];
    for (style, met) in published {
        assert!((style.met() - met).abs() < 1e-12, "{style:?}");
    }
}

/// 70 kg, 60 min, 3.5 MET = 245 kcal (D).
#[test]
fn an_ordinary_hour_at_70_kg_is_245_kcal() {
    assert!((spent(SessionStyle::Ordinary, Kilograms(70.0), Minutes(60.0)).0 - 245.0).abs() < 1e-9);
}
