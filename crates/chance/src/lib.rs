//! The one generator of chance: for the planner's search, the estimator's draws, and the clients that are simulated.
//!
//! A [`Chance`] belongs to a seed and a stream. The generator itself is `Xoshiro256++` (Blackman and Vigna 2021) as `rand_xoshiro` has
//! it; what is ours is how a seed and a stream become the place where it starts. Two streams must not be one sequence read from two
//! places near each other, or pieces of work that count as independent repeat each other. So both numbers are mixed into all 256 bits
//! of the start, and no two pairs of them give the same one.
//!
//! Invariant: the same seed and stream, the same draws, on any machine. Nothing here is seeded from outside the arguments, and
//! nothing here is fit for secrets.

use rand_core::{Rng, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

/// State of the generator.
#[derive(Clone, Debug)]
pub struct Chance {
    generator: Xoshiro256PlusPlus,
    /// Normal numbers are made two at a time.
    spare: Option<f64>,
}

impl Chance {
    /// A generator for a seed and a stream; streams of one seed are independent, and so are those of another seed.
    pub fn new(seed: u64, stream: u64) -> Self {
        Self { generator: Xoshiro256PlusPlus::from_seed(start(seed, stream)), spare: None }
    }

    /// The next 64 bits.
    #[inline]
    pub fn draw(&mut self) -> u64 {
        self.generator.next_u64()
    }

    /// A whole number below `n`; 0 when `n` is 0.
    #[inline]
    pub fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.draw()) * n as u128) >> 64) as usize
    }

    /// One of a list.
    #[inline]
    pub fn pick<T: Copy>(&mut self, list: &[T]) -> Option<T> {
        list.get(self.below(list.len())).copied()
    }

    /// A number in (0, 1].
    #[inline]
    pub fn unit(&mut self) -> f64 {
        // 53 bits are what a number of 64 bits holds (exact by definition).
        ((self.draw() >> 11) as f64 + 1.0) / 9_007_199_254_740_992.0
    }

    /// A standard normal number, by the polar method of Marsaglia.
    pub fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        loop {
            let (u, v) = (2.0 * self.unit() - 1.0, 2.0 * self.unit() - 1.0);
            let s = u * u + v * v;
            if s > 0.0 && s < 1.0 {
                let scale = (-2.0 * libm::log(s) / s).sqrt();
                self.spare = Some(v * scale);
                return u * scale;
            }
        }
    }
}

/// Rounds in which seed and stream are mixed before bits are taken (judgement: two already touch every bit of both).
const ROUNDS: u64 = 4;

/// Where a stream of a seed starts. Each round can be undone, so that the first sixteen bytes differ for any two pairs; the others
/// are two rounds more.
fn start(seed: u64, stream: u64) -> [u8; 32] {
    let (mut a, mut b) = (seed, stream);
    for round in 0..ROUNDS {
        (a, b) = mixed_in(a, b, round);
    }
    let (c, d) = mixed_in(a, b, ROUNDS);
    let mut bytes = [0; 32];
    for (place, word) in bytes.chunks_exact_mut(8).zip([a, b, c, d]) {
        place.copy_from_slice(&word.to_le_bytes());
    }
    bytes
}

/// A round of a Feistel network: one half is changed by the other, and the other by the one.
fn mixed_in(a: u64, b: u64, round: u64) -> (u64, u64) {
    let a = a ^ finish(b.wrapping_add(GOLDEN.wrapping_mul(2 * round + 1)));
    let b = b ^ finish(a.wrapping_add(GOLDEN.wrapping_mul(2 * round + 2)));
    (a, b)
}

/// The golden ratio in 64 bits, odd (Steele 2014).
const GOLDEN: u64 = 0x9E37_79B9_7F4A_7C15;

/// Every bit of what comes out depends on every bit of what went in: the finisher of `SplitMix64` (Steele 2014).
fn finish(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests;
