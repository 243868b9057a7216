//! The generator (`SplitMix64`, Steele 2014) by which the generated problems got their numbers. It is kept beside the product's own,
//! so that problem 17 stays problem 17, whatever the planner draws from.

/// State of the generator.
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// A generator for a seed and a stream.
    pub fn new(seed: u64, stream: u64) -> Self {
        let mut rng = Self(seed ^ stream.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        rng.draw();
        rng
    }

    /// The next 64 bits.
    pub fn draw(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number below `n`; 0 when `n` is 0.
    pub fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.draw()) * n as u128) >> 64) as usize
    }

    /// One of a list.
    pub fn pick<T: Copy>(&mut self, list: &[T]) -> Option<T> {
        list.get(self.below(list.len())).copied()
    }

    /// A number in (0, 1].
    pub fn unit(&mut self) -> f64 {
        ((self.draw() >> 11) as f64 + 1.0) / 9_007_199_254_740_992.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seed_gives_the_same_stream_and_another_seed_another() {
        let draw = |seed, stream| {
            let mut rng = Dice::new(seed, stream);
            (0..4).map(|_| rng.draw()).collect::<Vec<_>>()
        };
        assert_eq!(draw(1, 0), draw(1, 0));
        assert_ne!(draw(1, 0), draw(2, 0));
        assert_ne!(draw(1, 0), draw(1, 1));
    }

    #[test]
    fn numbers_keep_within_their_range() {
        let mut rng = Dice::new(7, 3);
        for n in 1..50 {
            assert!(rng.below(n) < n);
            let unit = rng.unit();
            assert!(unit > 0.0 && unit <= 1.0);
        }
        assert_eq!(rng.below(0), 0);
        assert_eq!(rng.pick::<u8>(&[]), None);
    }
}
