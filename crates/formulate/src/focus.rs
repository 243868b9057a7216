//! What belongs to a session of a focus (common practice, no source (T)).

use setwright_model::Pattern;
use setwright_model::brief::Focus;
use setwright_model::pattern::{Region, Side};

/// Whether a pattern belongs to a focus.
pub fn belongs(focus: Focus, pattern: Pattern) -> bool {
    let (region, side) = (pattern.region(), pattern.side());
    match focus {
        Focus::WholeBody => true,
        Focus::Upper => matches!(region, Region::Upper | Region::Trunk) && side != Side::Hip,
        Focus::Lower => matches!(region, Region::Lower | Region::Trunk),
        Focus::Push => side == Side::Push || region == Region::Trunk && side != Side::Hip,
        Focus::Pull => side == Side::Pull || region == Region::Trunk && side != Side::Hip,
        Focus::Legs => region == Region::Lower,
    }
}
