//! Numbers for trials that look like chance and are the same everywhere.
//!
//! The generator is SplitMix64: G. L. Steele, D. Lea and C. H. Flood, "Fast splittable pseudorandom number generators",
//! OOPSLA 2014, with the constants of the public domain code of S. Vigna (splitmix64.c, 2015). Its n-th number hangs on
//! its state and n alone, so that a trial can be looked at without those before it.

/// What the state grows by from number to number: 2^64 by the golden ratio, made odd.
const STEP: u64 = 0x9e37_79b9_7f4a_7c15;

/// The numbers of one state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Generator(u64);

impl Generator {
    /// The numbers of a seed.
    pub fn new(seed: u64) -> Generator {
        Generator(seed)
    }

    /// The numbers of a trial: those whose state is the trial's number in the numbers of the seed.
    pub fn of_trial(seed: u64, trial: u64) -> Generator {
        Generator(Generator::new(seed).number(trial))
    }

    /// The number at a place, counted from zero.
    pub fn number(self, at: u64) -> u64 {
        let mut z = self.0.wrapping_add(STEP.wrapping_mul(at.wrapping_add(1)));
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first numbers of the state 1234567, as the public collection of programming tasks at
    /// <https://rosettacode.org/wiki/Pseudo-random_numbers/Splitmix64> gives them.
    #[test]
    fn the_numbers_are_the_published_ones() {
        let numbers = Generator::new(1_234_567);
        let first: Vec<u64> = (0..5).map(|at| numbers.number(at)).collect();
        assert_eq!(
            first,
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423,
                4_593_380_528_125_082_431,
                16_408_922_859_458_223_821,
            ]
        );
    }

    #[test]
    fn a_trial_begins_at_its_number_of_the_seed() {
        let seed = Generator::new(7);
        assert_eq!(Generator::of_trial(7, 3), Generator::new(seed.number(3)));
    }
}
