//! The width of float that libraries of painting take. Nothing is reckoned in it here: numbers are cut at the last step, when
//! they become coordinates.

/// A number as painters take it.
#[allow(
    clippy::disallowed_types,
    reason = "painting is the one place where others decide on the width of a float"
)]
pub const fn narrow(value: f64) -> f32 {
    value as f32
}
