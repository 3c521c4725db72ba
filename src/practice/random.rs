//! Random numbers from a seed: the same on every machine.
//!
//! SplitMix64: Steele, Lea and Flood, *Fast splittable pseudorandom number generators*, OOPSLA 2014
//! (doi 10.1145/2660193.2660195). Whole numbers only, so that no platform rounds otherwise.

/// What one number adds to the state: 2^64 over the golden ratio, odd.
const STEP: u64 = 0x9e37_79b9_7f4a_7c15;

/// A stream of random numbers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Random(u64);

impl Random {
    /// The stream of `seed`.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The stream that belongs to one part (`number`) of what `seed` stands for: parts do not depend on each other.
    pub fn of_part(seed: u64, number: u64) -> Self {
        let mut seeds = Self::new(seed);
        let start = seeds.whole();
        Self(start ^ mixed(number.wrapping_mul(STEP).wrapping_add(STEP)))
    }

    /// The next number of 64 bits.
    pub fn whole(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(STEP);
        mixed(self.0)
    }

    /// The next number from 0 up to, not including, 1: 53 bits, as many as a float holds.
    pub fn share(&mut self) -> f64 {
        (self.whole() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// The next number between `from` and `to`.
    pub fn between(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * self.share()
    }

    /// True with the probability `share`.
    pub fn is(&mut self, share: f64) -> bool {
        self.share() < share
    }

    /// One place out of `count`; 0 where there is none.
    pub fn below(&mut self, count: usize) -> usize {
        ((self.share() * count as f64) as usize).min(count.saturating_sub(1))
    }
}

fn mixed(state: u64) -> u64 {
    let state = (state ^ (state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let state = (state ^ (state >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    state ^ (state >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the generator's published test values for the seed 1234567 (Rosetta Code, *Pseudo-random
    /// numbers/Splitmix64*, made with the authors' C code; from memory).
    #[test]
    fn the_stream_is_the_published_one() {
        let mut random = Random::new(1_234_567);
        let numbers: Vec<u64> = (0..5).map(|_| random.whole()).collect();
        let expected = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!(numbers, expected);
    }

    #[test]
    fn shares_are_spread_evenly_and_parts_differ() {
        let shares: Vec<f64> = (0..4000).map(|part| Random::of_part(7, part).share()).collect();
        let mean = shares.iter().sum::<f64>() / 4000.0;
        // Standard error of the mean: 1 / sqrt(12 * 4000) = 0.0046; 4 of them.
        assert!((mean - 0.5).abs() < 0.0183, "{mean}");
        assert!(shares.iter().all(|share| (0.0..1.0).contains(share)));
        assert_ne!(Random::of_part(7, 1), Random::of_part(7, 2));
        assert_ne!(Random::of_part(7, 1), Random::of_part(8, 1));
    }

    #[test]
    fn a_place_is_one_of_those_there_are() {
        let mut random = Random::new(3);
        let mut seen = [0_u32; 5];
        (0..500).for_each(|_| seen[random.below(5)] += 1);
        assert!(seen.iter().all(|&count| 60 < count && count < 140), "{seen:?}");
        assert_eq!(random.below(0), 0);
    }
}
