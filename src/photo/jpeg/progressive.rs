//! The scans of a progressive JPEG, passed over as a decoder would read them. Source: ITU-T T.81, annex G.
//!
//! What a refining scan holds for a block depends on what the scans before it said, so that is remembered: which
//! values are not 0.

use std::ops::Range;

use super::codes::{Bits, Codes, MOST_VALUE_BITS};
use super::header::Flaw;

/// The band of values that a scan brings, and whether it only adds a bit to what is there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Band {
    pub from: usize,
    pub to: usize,
    pub refines: bool,
}

impl Band {
    /// The means stand alone in their scans, as the other values do (T.81, G.1.1.1.1).
    pub fn check(&self, channels: usize) -> Result<(), Flaw> {
        let is_means = (self.from, self.to) == (0, 0);
        let is_others = (1..=self.to).contains(&self.from) && self.to < 64 && channels == 1;
        if is_means || is_others { Ok(()) } else { Err("a scan of values that do not go together") }
    }
}

/// One block's mean (T.81, G.1.2.1): its size and bits, or one bit more.
pub(super) fn pass_mean(bits: &mut Bits<'_>, dc: Option<&Codes>) -> Result<(), Flaw> {
    match dc {
        Some(dc) => bits.skip_mean(dc),
        None => bits.skip(1),
    }
}

/// A stretch of blocks of one channel without a restart mark in it; `not_0` has a bit for each value of each block.
pub(super) fn pass_band(
    bits: &mut Bits<'_>,
    ac: &Codes,
    band: Band,
    not_0: &mut [u64],
    blocks: Range<usize>,
) -> Result<(), Flaw> {
    // Blocks that are told to hold nothing more in this band.
    let mut run = 0;
    for block in not_0.get_mut(blocks).ok_or("more blocks than the picture has")? {
        if band.refines {
            refine(bits, ac, band, &mut run, block)?
        } else {
            first(bits, ac, band, &mut run, block)?
        }
    }
    if run == 0 { Ok(()) } else { Err("a run of blocks past the end") }
}

/// The first bits of a band (T.81, G.1.2.2).
fn first(bits: &mut Bits<'_>, ac: &Codes, band: Band, run: &mut u32, not_0: &mut u64) -> Result<(), Flaw> {
    if *run > 0 {
        *run -= 1;
        return Ok(());
    }
    let mut place = band.from;
    while place <= band.to {
        let symbol = ac.next(bits)?;
        let (zeros, size) = (symbol >> 4, symbol & 15);
        match (zeros, size) {
            (15, 0) => place += 16,
            (_, 0) => {
                *run = (1 << zeros) - 1 + bits.take(u32::from(zeros))?;
                return Ok(());
            }
            _ => {
                place += usize::from(zeros);
                if place > band.to || u32::from(size) > MOST_VALUE_BITS {
                    return Err("a value that does not belong to its band");
                }
                bits.skip(u32::from(size))?;
                *not_0 |= 1 << place;
                place += 1;
                continue;
            }
        }
        if place > band.to {
            return Err("zeros past the end of a band");
        }
    }
    Ok(())
}

/// One bit more for a band (T.81, G.1.2.3): each value that is not 0 has one, new values are 1 or -1.
fn refine(bits: &mut Bits<'_>, ac: &Codes, band: Band, run: &mut u32, not_0: &mut u64) -> Result<(), Flaw> {
    let mut place = band.from;
    if *run == 0 {
        while place <= band.to {
            let symbol = ac.next(bits)?;
            let (mut zeros, size) = (symbol >> 4, symbol & 15);
            match (zeros, size) {
                (15, 0) => {}
                (_, 0) => {
                    *run = (1 << zeros) + bits.take(u32::from(zeros))?;
                    break;
                }
                (_, 1) => bits.skip(1)?,
                _ => return Err("a value that is too large for one bit more"),
            }
            while place <= band.to {
                if *not_0 >> place & 1 == 1 {
                    bits.skip(1)?;
                } else if zeros == 0 {
                    break;
                } else {
                    zeros -= 1;
                }
                place += 1;
            }
            if place > band.to {
                return Err("zeros past the end of a band");
            }
            *not_0 |= u64::from(size) << place;
            place += 1;
        }
    }
    if *run > 0 {
        let rest = (place..=band.to).filter(|&place| *not_0 >> place & 1 == 1).count();
        bits.skip_many(rest)?;
        *run -= 1;
    }
    Ok(())
}
