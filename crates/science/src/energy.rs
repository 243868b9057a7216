//! What a session costs in energy, by the style it is done in. Rough: tables for adults, not for one body.

use setwright_model::{Block, BlockKind, Kilograms, Minutes, Session};

/// How a session is done, as the table of activities tells them apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SessionStyle {
    /// Many exercises, 8 to 15 repetitions, usual rest (code 02054).
    Ordinary,
    /// Squats and the like (code 02052).
    Squats,
    /// Hard lifting, power lifting, body building (code 02050).
    Vigorous,
    /// A circuit at moderate effort (code 02035).
    CircuitModerate,
    /// A circuit at hard effort with hardly any rest (code 02040).
    CircuitVigorous,
}

impl SessionStyle {
    /// Energy as a multiple of rest (Ainsworth 2011, MSSE 43:1575 (B)).
    pub const fn met(self) -> f64 {
        match self {
            Self::Ordinary => 3.5,
            Self::Squats => 5.0,
            Self::Vigorous => 6.0,
            Self::CircuitModerate => 4.3,
            Self::CircuitVigorous => 8.0,
        }
    }

    /// The style of a session by how most of its sets are done: straight sets are ordinary, blocks of two are
    /// nearest a moderate circuit (judgement).
    pub fn of(session: &Session) -> Self {
        let sets = |shared: bool| -> u32 {
            session
                .blocks
                .iter()
                .filter(|b| is_shared(b) == shared)
                .flat_map(|b| &b.exercises)
                .map(|e| e.sets)
                .sum()
        };
        if sets(true) > sets(false) { Self::CircuitModerate } else { Self::Ordinary }
    }
}

fn is_shared(block: &Block) -> bool {
    block.kind != BlockKind::Straight
}

/// Energy in kilocalories.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Kilocalories(pub f64);

/// MET times body mass times hours (Ainsworth 2011, MSSE 43:1575 (B)). It includes what rest would have cost.
pub fn spent(style: SessionStyle, mass: Kilograms, time: Minutes) -> Kilocalories {
    Kilocalories(style.met() * mass.get() * time.get() / 60.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use setwright_model::{ExerciseId, Prescription, Seconds};

    fn block(kind: BlockKind, sets: u32) -> Block {
        let id = ExerciseId::from("x");
        let prescription = Prescription { id, sets, reps: [8, 12], rir: 2, load_kg: None, ramp: Vec::new() };
        Block { kind, rest_s: Seconds(60.0), exercises: vec![prescription] }
    }

    #[test]
    fn a_session_is_a_circuit_when_most_of_its_sets_share_a_block() {
        let session = |blocks: Vec<Block>| Session { day: 1, focus: String::new(), blocks };
        let straight = block(BlockKind::Straight, 3);
        let shared = block(BlockKind::Alternating, 4);
        assert_eq!(SessionStyle::of(&session(vec![straight.clone()])), SessionStyle::Ordinary);
        assert_eq!(SessionStyle::of(&session(vec![straight, shared])), SessionStyle::CircuitModerate);
    }
}
