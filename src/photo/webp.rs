//! Whether the coded data of a WebP picture are whole.
//!
//! Any bytes can be read as the arithmetic code of a lossy WebP: a hole garbles all that follows it, and no decoder says
//! so as long as there are bytes left. But what garbled data ask for is not what is there. An encoder ends its data where
//! the last block ends, so a picture cut by a few bytes at the end of any of its parts must fail to decode; where it does
//! not, those bytes belonged to nothing.
//! Source: RFC 6386 (VP8), sections 7 and 9; RFC 9649 (WebP), sections 2 and 3.

use super::limits::PhotoError;

/// So many bytes are taken off a part: decoders read a byte or two past the end, encoders fill up to a byte.
const CUT_BYTES: usize = 16;
/// A part as short as this says nothing.
const LEAST_PART_BYTES: usize = 64;
/// Header of the file, of a chunk; frame header of a lossy picture.
const RIFF_BYTES: usize = 12;
const CHUNK_BYTES: usize = 8;
const FRAME_BYTES: usize = 10;

/// Fails where a part of the picture holds bytes that nothing needs. `decodes` says whether a file can be decoded.
///
/// # Errors
/// [`PhotoError::Damaged`].
pub(super) fn check(file: &[u8], decodes: impl Fn(&[u8]) -> bool) -> Result<(), PhotoError> {
    for shorter in shortened(file) {
        if decodes(&shorter) {
            return Err(PhotoError::Damaged { detail: "data are left over".into() });
        }
    }
    Ok(())
}

/// The file with the end of one of its parts cut off, for each part; none for an animation or what is not understood.
fn shortened(file: &[u8]) -> Vec<Vec<u8>> {
    let Some((start, end, is_lossy)) = picture(file) else { return Vec::new() };
    let parts = if is_lossy { lossy_parts(file, start, end) } else { Some(vec![Part { end, size: None }]) };
    parts.unwrap_or_default().iter().filter_map(|part| cut(file, start, end, part)).collect()
}

/// Where the picture's data start and end, and whether they are lossy.
fn picture(file: &[u8]) -> Option<(usize, usize, bool)> {
    let mut at = RIFF_BYTES;
    loop {
        let [a, b, c, d] = *file.get(at + 4..at + 8)?.first_chunk::<4>()?;
        let size = u32::from_le_bytes([a, b, c, d]) as usize;
        let (start, end) = (at + CHUNK_BYTES, (at + CHUNK_BYTES).checked_add(size)?);
        match file.get(at..at + 4)? {
            b"VP8 " => return (end <= file.len()).then_some((start, end, true)),
            b"VP8L" => return (end <= file.len()).then_some((start, end, false)),
            b"ANIM" => return None,
            _ => at = end.checked_add(size % 2)?,
        }
    }
}

/// A part of a lossy picture: where it ends, and where its size is written, in which bits.
struct Part {
    end: usize,
    size: Option<SizeField>,
}

/// A size in 24 bits, the lowest byte first.
struct SizeField {
    at: usize,
    /// Bits below it that say something else.
    shift: u32,
}

/// The first part holds what is said of each block, the others their values (RFC 6386, 9.1 and 9.5).
fn lossy_parts(file: &[u8], start: usize, end: usize) -> Option<Vec<Part>> {
    let data = file.get(start..end)?;
    let tag = u32::from_le_bytes([*data.first()?, *data.get(1)?, *data.get(2)?, 0]);
    let first = (tag >> 5) as usize;
    let values = FRAME_BYTES.checked_add(first)?;
    let count = parts_of_values(data.get(FRAME_BYTES..values)?)?;
    let mut parts = vec![Part { end: start + values, size: Some(SizeField { at: start, shift: 5 }) }];
    let mut at = values + 3 * (count - 1);
    for part in 0..count - 1 {
        let field = values + 3 * part;
        let [a, b, c] = *data.get(field..field + 3)?.first_chunk::<3>()?;
        at = at.checked_add(u32::from_le_bytes([a, b, c, 0]) as usize)?;
        parts.push(Part { end: start + at, size: Some(SizeField { at: start + field, shift: 0 }) });
    }
    parts.push(Part { end, size: None });
    (at <= data.len()).then_some(parts)
}

/// The file with [`CUT_BYTES`] bytes less before the end of a part, all sizes told anew.
fn cut(file: &[u8], start: usize, end: usize, part: &Part) -> Option<Vec<u8>> {
    let mut shorter = file.get(..end)?.to_vec();
    if let Some(field) = &part.size {
        let bytes = shorter.get_mut(field.at..field.at + 3)?;
        let told = u32::from_le_bytes([bytes[0], bytes[1], bytes[2], 0]);
        let size = told >> field.shift;
        if (size as usize) < LEAST_PART_BYTES {
            return None;
        }
        let told = told - ((CUT_BYTES as u32) << field.shift);
        bytes.copy_from_slice(&told.to_le_bytes()[..3]);
    }
    shorter.drain(part.end.checked_sub(CUT_BYTES).filter(|&from| from > start)?..part.end);
    let size = (end - start - CUT_BYTES) as u32;
    shorter[start - 4..start].copy_from_slice(&size.to_le_bytes());
    let whole = (shorter.len() - CHUNK_BYTES) as u32;
    shorter[4..8].copy_from_slice(&whole.to_le_bytes());
    Some(shorter)
}

/// Number of parts that hold values, from the head of the first part (RFC 6386, 9.2 to 9.5).
fn parts_of_values(head: &[u8]) -> Option<usize> {
    let mut bits = EvenBits::of(head)?;
    // Colour space and clamping.
    bits.take(2);
    if bits.take(1) == 1 {
        let (changes_map, changes_values) = (bits.take(1) == 1, bits.take(1) == 1);
        if changes_values {
            bits.take(1);
            bits.pass_optional(4, 8);
            bits.pass_optional(4, 7);
        }
        if changes_map {
            bits.pass_optional(3, 8);
        }
    }
    // The loop filter's kind, level and sharpness, and what changes them.
    bits.take(10);
    if bits.take(1) == 1 && bits.take(1) == 1 {
        bits.pass_optional(8, 7);
    }
    Some(1 << bits.take(2))
}

/// The arithmetic decoder for bits that are 0 as often as 1 (RFC 6386, 7.3).
struct EvenBits<'a> {
    rest: &'a [u8],
    value: u32,
    range: u32,
    shifted: u32,
}

impl<'a> EvenBits<'a> {
    fn of(data: &'a [u8]) -> Option<Self> {
        let (first, rest) = data.split_first_chunk::<2>()?;
        Some(Self { rest, value: u32::from(u16::from_be_bytes(*first)), range: 255, shifted: 0 })
    }

    fn bit(&mut self) -> u32 {
        let split = 1 + (self.range - 1) / 2;
        let bit = u32::from(self.value >= split << 8);
        if bit == 1 {
            self.range -= split;
            self.value -= split << 8;
        } else {
            self.range = split;
        }
        while self.range < 128 {
            (self.value, self.range) = (self.value << 1, self.range << 1);
            self.shifted += 1;
            if self.shifted == 8 {
                self.shifted = 0;
                if let Some((&byte, rest)) = self.rest.split_first() {
                    (self.value, self.rest) = (self.value | u32::from(byte), rest);
                }
            }
        }
        bit
    }

    fn take(&mut self, count: usize) -> u32 {
        (0..count).fold(0, |value, _| value << 1 | self.bit())
    }

    /// Passes over `count` values of `bits` bits, each only where a bit before it says so.
    fn pass_optional(&mut self, count: usize, bits: usize) {
        for _ in 0..count {
            if self.bit() == 1 {
                self.take(bits);
            }
        }
    }
}
