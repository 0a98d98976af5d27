//! Inputs spoiled by chance, the same for the same seed: no library is needed for it, nor another compiler.

/// Numbers by chance: splitmix64 (Steele, Lea and Flood 2014, with its published constants).
pub struct Chance(pub u64);

impl Chance {
    /// The next number.
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// One below `n`; zero for none.
    pub fn below(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }

    /// One of several.
    pub fn one<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(of.len())]
    }
}

/// What readers are likely to stumble over.
const WORDS: [&[u8]; 44] = [
    b"-1",
    b"0",
    b"-0",
    b"1e9",
    b"999999999999999999999999999999",
    b"0.0000000000000000000000000001",
    b"79228162514264337593543950335",
    b"2147483647",
    b"-2147483648",
    b"4294967295",
    b"1,2,3",
    b"12,50",
    b"NaN",
    b"inf",
    b"2200-12-31",
    b"1900-01-01",
    b"2026-02-30",
    b"9999-99-99",
    b"Mon-Sun",
    b"\"",
    b"'",
    b"\"\"",
    b",",
    b";",
    b"\t",
    b"\r",
    b"\n",
    b"\r\n",
    b"\0",
    b"\xff",
    b"\xef\xbb\xbf",
    b"\xff\xfe",
    "\u{202e}".as_bytes(),
    "\u{a0}".as_bytes(),
    "\u{1f6c1}".as_bytes(),
    b"=1+1",
    b"(",
    b")",
    b"[",
    b"]",
    b"Some(",
    b"None",
    b"%",
    b"../..",
];

/// The input with a few changes, and perhaps pieces of another.
pub fn spoiled(chance: &mut Chance, input: &[u8], other: &[u8]) -> Vec<u8> {
    let mut bytes = input.to_vec();
    // Mostly one change: with more, what is wrong with the first hides the others.
    let most = 1 + chance.below(4);
    for _ in 0..1 + chance.below(most) {
        let at = chance.below(bytes.len() + 1);
        let most = 1 << chance.below(8);
        let end = (at + chance.below(most)).min(bytes.len());
        match chance.below(9) {
            0 => bytes.truncate(at),
            1 => drop(bytes.drain(at..end)),
            2 => drop(bytes.splice(at..at, chance.one(&WORDS).iter().copied())),
            3 => drop(bytes.splice(at..end, chance.one(&WORDS).iter().copied())),
            4 if at < bytes.len() => bytes[at] ^= 1 << chance.below(8),
            5 => {
                let piece = bytes[at..end].to_vec();
                let times = 1 + chance.below(40);
                let to = chance.below(bytes.len() + 1);
                drop(bytes.splice(to..to, piece.repeat(times)));
            }
            6 => {
                let from = chance.below(other.len() + 1);
                let to = (from + chance.below(200)).min(other.len());
                drop(bytes.splice(at..end, other[from..to].iter().copied()));
            }
            // A whole number or word is replaced where one stands.
            _ => {
                let is_part = |b: &u8| b.is_ascii_alphanumeric() || matches!(b, b'.' | b'-' | b'_');
                let begin = bytes[..at].iter().rposition(|b| !is_part(b)).map_or(0, |p| p + 1);
                let end = bytes[at..].iter().position(|b| !is_part(b)).map_or(bytes.len(), |p| at + p);
                drop(bytes.splice(begin..end, chance.one(&WORDS).iter().copied()));
            }
        }
    }
    bytes
}
