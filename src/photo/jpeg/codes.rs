//! Huffman codes of a JPEG, read for their lengths: where the next one starts, not what it says.
//! Source: ITU-T T.81, annexes C and F.

use super::header::Flaw;

/// Whole bytes that may be left over before a marker, and as many as are 0 (common practice).
const MOST_LEFT: u32 = 3;
const MOST_ZEROS_LEFT: u32 = 16;
/// Bits of a mean's step and of another value, in pictures of 8 bits (T.81, tables F.1 and F.2).
const MOST_MEAN_BITS: u8 = 11;
pub(super) const MOST_VALUE_BITS: u32 = 10;
/// Bits looked up at once: nearly all codes are shorter.
const AT_ONCE: u32 = 10;

/// One Huffman table.
#[derive(Debug, Clone)]
pub(super) struct Codes {
    /// By the next [`AT_ONCE`] bits: length of the code and its symbol; length 0 where the code is longer.
    short: Vec<(u8, u8)>,
    /// By length: the first code that is longer, aligned to 16 bits.
    beyond: [u32; 17],
    /// By length: index of the first symbol minus the first code.
    offset: [i32; 17],
    symbols: Vec<u8>,
}

impl Codes {
    /// From the 16 counts and the symbols of a DHT segment (T.81, C.2).
    pub fn of(counts: &[u8; 16], symbols: &[u8]) -> Result<Self, Flaw> {
        let mut short = vec![(0, 0); 1 << AT_ONCE];
        let (mut beyond, mut offset) = ([0; 17], [0; 17]);
        let (mut code, mut index) = (0u32, 0usize);
        for length in 1..=16u32 {
            let count = usize::from(counts[length as usize - 1]);
            offset[length as usize] = index as i32 - code as i32;
            for _ in 0..count {
                if code >> length != 0 {
                    return Err("a code table that overflows");
                }
                let &symbol = symbols.get(index).ok_or("a code table cut short")?;
                if let Some(free) = AT_ONCE.checked_sub(length) {
                    let first = (code << free) as usize;
                    short[first..first + (1 << free)].fill((length as u8, symbol));
                }
                code += 1;
                index += 1;
            }
            beyond[length as usize] = code << (16 - length);
            code <<= 1;
        }
        Ok(Self { short, beyond, offset, symbols: symbols.to_vec() })
    }

    pub fn next(&self, bits: &mut Bits<'_>) -> Result<u8, Flaw> {
        let (length, symbol) = self.short[bits.peek(AT_ONCE) as usize];
        if length > 0 {
            bits.skip(u32::from(length))?;
            return Ok(symbol);
        }
        let ahead = bits.peek(16);
        let length = (AT_ONCE + 1..=16)
            .find(|&length| ahead < self.beyond[length as usize])
            .ok_or("a code that is in no table")?;
        bits.skip(length)?;
        let index = (ahead >> (16 - length)) as i32 + self.offset[length as usize];
        usize::try_from(index)
            .ok()
            .and_then(|index| self.symbols.get(index).copied())
            .ok_or("a code that is in no table")
    }
}

/// Passes over one block of 8 x 8 (T.81, F.1.2).
pub(super) fn pass_block(bits: &mut Bits<'_>, dc: &Codes, ac: &Codes) -> Result<(), Flaw> {
    bits.skip_mean(dc)?;
    let mut place = 1;
    while place < 64 {
        let symbol = ac.next(bits)?;
        let (run, size) = (symbol >> 4, symbol & 15);
        match (run, size) {
            (15, 0) => place += 16,
            // The rest of the block is 0.
            (_, 0) => break,
            _ if u32::from(size) > MOST_VALUE_BITS => return Err("a value that is too large"),
            _ => {
                bits.skip(u32::from(size))?;
                place += u32::from(run) + 1;
            }
        }
        if place > 64 {
            return Err("a block of more than 64 values");
        }
    }
    Ok(())
}

/// Bits of entropy-coded data up to the next marker.
#[derive(Debug)]
pub(super) struct Bits<'a> {
    file: &'a [u8],
    at: usize,
    held: u64,
    count: u32,
}

impl<'a> Bits<'a> {
    /// From `at`.
    pub fn at(file: &'a [u8], at: usize) -> Self {
        Self { file, at, held: 0, count: 0 }
    }

    #[inline]
    fn fill(&mut self) {
        while self.count <= 32 {
            if let Some(&[a, b, c, d]) = self.file.get(self.at..self.at + 4)
                && a != 0xFF
                && b != 0xFF
                && c != 0xFF
                && d != 0xFF
            {
                self.held = self.held << 32 | u64::from(u32::from_be_bytes([a, b, c, d]));
                self.count += 32;
                self.at += 4;
                continue;
            }
            let byte = match self.file.get(self.at..) {
                // A data byte of 0xFF is followed by 0; anything else is a marker (T.81, B.1.1.5).
                Some([0xFF, 0, ..]) => {
                    self.at += 2;
                    0xFF
                }
                Some([0xFF, ..] | []) | None => return,
                Some(&[byte, ..]) => {
                    self.at += 1;
                    byte
                }
            };
            self.held = self.held << 8 | u64::from(byte);
            self.count += 8;
        }
    }

    /// The next `count` bits, 0 where there are none left.
    #[inline]
    fn peek(&mut self, count: u32) -> u32 {
        if self.count < count {
            self.fill();
        }
        let held = self.held as u128;
        let ahead =
            if self.count >= count { held >> (self.count - count) } else { held << (count - self.count) };
        (ahead as u32) & ((1 << count) - 1)
    }

    /// The next `count` bits, at most 16, as a number.
    pub fn take(&mut self, count: u32) -> Result<u32, Flaw> {
        let value = self.peek(count);
        self.skip(count)?;
        Ok(value)
    }

    /// Passes over any number of bits.
    pub fn skip_many(&mut self, count: usize) -> Result<(), Flaw> {
        let mut left = count as u32;
        while left > 0 {
            let now = left.min(16);
            self.skip(now)?;
            left -= now;
        }
        Ok(())
    }

    /// Passes over the step to a block's mean.
    pub fn skip_mean(&mut self, dc: &Codes) -> Result<(), Flaw> {
        match dc.next(self)? {
            size if size > MOST_MEAN_BITS => Err("a step of brightness that is too large"),
            size => self.skip(u32::from(size)),
        }
    }

    #[inline]
    pub fn skip(&mut self, count: u32) -> Result<(), Flaw> {
        if self.count < count {
            self.fill();
        }
        self.count = self.count.checked_sub(count).ok_or("data are missing")?;
        Ok(())
    }

    /// Where the data end: the index of the marker behind them. A few whole bytes may be left over, some more if
    /// they are zeros: encoders fill up to a word.
    pub fn end(mut self) -> Result<usize, Flaw> {
        let (mut left, mut all_zeros) = (0, true);
        loop {
            self.fill();
            let bytes = self.count / 8;
            left += bytes;
            all_zeros &= u128::from(self.held) & ((1 << (8 * bytes)) - 1) == 0;
            self.count = 0;
            let more = self.file.get(self.at).is_some_and(|&byte| byte != 0xFF)
                || self.file.get(self.at..self.at + 2) == Some(&[0xFF, 0]);
            if left > if all_zeros { MOST_ZEROS_LEFT } else { MOST_LEFT } {
                return Err("data are left over");
            }
            if !more {
                return Ok(self.at);
            }
        }
    }
}
