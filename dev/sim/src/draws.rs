//! Where a simulated life takes its chance from: the product's generator, or the one from which the logs of the reference were drawn.

use setwright_chance::Chance;

/// A source of chance.
pub trait Draws {
    /// The next 64 bits.
    fn draw(&mut self) -> u64;

    /// A number in (0, 1].
    fn unit(&mut self) -> f64 {
        // 53 bits are what a number of 64 bits holds (exact by definition).
        ((self.draw() >> 11) as f64 + 1.0) / 9_007_199_254_740_992.0
    }

    /// A whole number below `n`; 0 when `n` is 0.
    fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.draw()) * n as u128) >> 64) as usize
    }

    /// A standard normal number.
    fn normal(&mut self) -> f64;
}

impl Draws for Chance {
    fn draw(&mut self) -> u64 {
        Chance::draw(self)
    }

    fn normal(&mut self) -> f64 {
        Chance::normal(self)
    }
}

/// The generator (`SplitMix64`, Steele 2014) from which the reference's clients were drawn. The reference sampler ran for them, and
/// takes an hour: its logs must stay what they were, whatever all others draw from.
pub struct AsOfTheReference {
    state: u64,
    spare: Option<f64>,
}

impl AsOfTheReference {
    /// The source of a client of the reference.
    pub fn new(seed: u64, nth: u64) -> Self {
        let mut mixed = Self { state: seed, spare: None };
        let start = mixed.draw() ^ nth.wrapping_mul(0xD1B5_4A32_D192_ED03);
        let mut chance = Self { state: start, spare: None };
        chance.draw();
        chance
    }
}

impl Draws for AsOfTheReference {
    fn draw(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn normal(&mut self) -> f64 {
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
