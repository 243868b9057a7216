//! A small seeded generator with normal draws, so that a seed gives the same belief on any machine.
//!
//! `SplitMix64` (Steele 2014) and the polar method of Marsaglia. It must not be seeded from outside the arguments.

/// State of the generator.
#[derive(Clone, Debug)]
pub struct Chance {
    state: u64,
    spare: Option<f64>,
}

impl Chance {
    /// A generator for a seed and a stream; streams of one seed are independent.
    pub fn new(seed: u64, stream: u64) -> Self {
        let mut mixed = Self { state: seed, spare: None };
        let start = mixed.draw() ^ stream.wrapping_mul(0xD1B5_4A32_D192_ED03);
        let mut chance = Self { state: start, spare: None };
        chance.draw();
        chance
    }

    /// The next 64 bits.
    pub fn draw(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number in (0, 1].
    pub fn unit(&mut self) -> f64 {
        ((self.draw() >> 11) as f64 + 1.0) / 9_007_199_254_740_992.0
    }

    /// A whole number below `n`; 0 when `n` is 0.
    pub fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.draw()) * n as u128) >> 64) as usize
    }

    /// A standard normal number.
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seed_gives_the_same_stream_and_another_seed_or_stream_another() {
        let draws = |seed, stream| {
            let mut chance = Chance::new(seed, stream);
            (0..4).map(|_| chance.draw()).collect::<Vec<_>>()
        };
        assert_eq!(draws(1, 0), draws(1, 0));
        assert_ne!(draws(1, 0), draws(2, 0));
        assert_ne!(draws(1, 0), draws(1, 1));
    }

    #[test]
    fn normal_draws_have_the_moments_of_the_normal_law() {
        let mut chance = Chance::new(3, 1);
        let draws: Vec<f64> = (0..40_000).map(|_| chance.normal()).collect();
        let mean = |f: &dyn Fn(f64) -> f64| draws.iter().map(|z| f(*z)).sum::<f64>() / draws.len() as f64;
        assert!(mean(&|z| z).abs() < 0.02);
        assert!((mean(&|z| z * z) - 1.0).abs() < 0.03);
        assert!((mean(&|z| z * z * z * z) - 3.0).abs() < 0.2);
    }

    #[test]
    fn whole_numbers_keep_below_their_bound() {
        let mut chance = Chance::new(7, 0);
        assert!((1..60).all(|n| chance.below(n) < n));
        assert_eq!(chance.below(0), 0);
    }
}
