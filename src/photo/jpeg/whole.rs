//! Whether the coded data of a JPEG are whole: every block is passed over, and the data must end where the last
//! one ends. A photo that was cut off, copied with a hole or overwritten fails, however its end was mended.
//!
//! Decoders fill in what is missing, so that the picture has grey or shifted parts, and a width measured across
//! them would be wrong without a sign.

use std::ops::Range;

use super::codes::{Bits, Codes, pass_block};
use super::header::{DHT, DRI, EOI, Flaw, Header, RST0, SOS, segment};
use super::progressive::{Band, pass_band, pass_mean};

/// Checks all scans up to the end of the (first) picture.
pub(super) fn check(file: &[u8]) -> Result<(), Flaw> {
    let header = Header::read(file)?;
    let mut tables = Tables::default();
    let mut restart = 0;
    let mut seen = Seen::none(&header);
    let mut not_0 = vec![Vec::new(); header.channels.len()];
    let mut at = 2;
    while at < file.len() {
        let found = segment(file, at)?;
        at = found.end;
        match (found.marker, found.payload) {
            (EOI, _) => break,
            (DHT, payload) => tables.add(payload)?,
            (DRI, &[high, low]) => restart = usize::from(u16::from_be_bytes([high, low])),
            (SOS, payload) => {
                let scan = Scan::of(payload, &header)?;
                seen.add(&scan);
                at = if header.is_progressive() {
                    pass_progressive(file, found.end, &header, &tables, restart, &scan, &mut not_0)?
                } else {
                    pass_scan(file, found.end, &header, &tables, restart, &scan)?
                };
                if seen.all(&header) && !header.is_progressive() {
                    return Ok(());
                }
            }
            _ => {}
        }
    }
    if seen.all(&header) { Ok(()) } else { Err("a part of the picture is missing") }
}

/// Huffman tables by their number.
#[derive(Debug, Default)]
struct Tables {
    dc: [Option<Codes>; 4],
    ac: [Option<Codes>; 4],
}

impl Tables {
    fn add(&mut self, mut payload: &[u8]) -> Result<(), Flaw> {
        while let [number, rest @ ..] = payload {
            let (counts, rest) = rest.split_first_chunk::<16>().ok_or("a code table cut short")?;
            let length = counts.iter().map(|&count| usize::from(count)).sum();
            let symbols = rest.get(..length).ok_or("a code table cut short")?;
            let class = if number >> 4 == 0 { &mut self.dc } else { &mut self.ac };
            let place = class.get_mut(usize::from(number & 15)).ok_or("a code table of no number")?;
            *place = Some(Codes::of(counts, symbols)?);
            payload = rest.get(length..).unwrap_or_default();
        }
        Ok(())
    }
}

/// What a scan header says.
struct Scan {
    /// Index of the channel, numbers of its DC and AC tables.
    channels: Vec<(usize, usize, usize)>,
    /// First and last coefficient, and the bit it comes down to.
    from: usize,
    to: usize,
    bit: u8,
    /// It adds a bit to what earlier scans brought.
    refines: bool,
}

impl Scan {
    fn of(payload: &[u8], header: &Header) -> Result<Self, Flaw> {
        let [count, rest @ ..] = payload else { return Err("a scan header cut short") };
        let (named, rest) =
            rest.split_at_checked(2 * usize::from(*count)).ok_or("a scan header cut short")?;
        let &[from, to, approximation] = rest else { return Err("a scan header cut short") };
        let channels = named
            .chunks_exact(2)
            .map(|pair| {
                let index = header.channels.iter().position(|channel| channel.id == pair[0])?;
                Some((index, usize::from(pair[1] >> 4), usize::from(pair[1] & 15)))
            })
            .collect::<Option<Vec<_>>>()
            .ok_or("a scan of a channel that is not there")?;
        Ok(Self {
            channels,
            from: from.into(),
            to: to.into(),
            bit: approximation & 15,
            refines: approximation >> 4 > 0,
        })
    }
}

/// How far each coefficient of each channel has come: its last bit, when it is there.
struct Seen(Vec<[bool; 64]>);

impl Seen {
    fn none(header: &Header) -> Self {
        Self(vec![[false; 64]; header.channels.len()])
    }

    fn add(&mut self, scan: &Scan) {
        for &(channel, _, _) in &scan.channels {
            if let Some(range) = self.0[channel].get_mut(scan.from..=scan.to.min(63)) {
                range.fill(scan.bit == 0);
            }
        }
    }

    /// Of the colours only the mean is asked for: some encoders leave out what is 0 everywhere.
    fn all(&self, header: &Header) -> bool {
        let whole = |channel: usize, seen: &[bool; 64]| {
            if channel == 0 || !header.is_progressive() { seen.iter().all(|&seen| seen) } else { seen[0] }
        };
        self.0.iter().enumerate().all(|(channel, seen)| whole(channel, seen))
    }
}

/// Passes over a scan of sequential data, and gives the index behind it.
fn pass_scan(
    file: &[u8],
    at: usize,
    header: &Header,
    tables: &Tables,
    restart: usize,
    scan: &Scan,
) -> Result<usize, Flaw> {
    let mut channels = Vec::new();
    for &(index, dc, ac) in &scan.channels {
        let codes = |class: &'_ [Option<Codes>; 4], number: usize| {
            class.get(number).and_then(Option::as_ref).cloned()
        };
        let both = codes(&tables.dc, dc).zip(codes(&tables.ac, ac));
        channels.push((header.channels[index], both.ok_or("a code table is missing")?));
    }
    let alone = channels.len() == 1;
    in_stretches(file, at, units(header, scan), restart, |bits, units| {
        for _ in units {
            for (channel, (dc, ac)) in &channels {
                let blocks = if alone { 1 } else { channel.across * channel.down };
                for _ in 0..blocks {
                    pass_block(bits, dc, ac)?;
                }
            }
        }
        Ok(())
    })
}

/// Passes over a scan of progressive data, and gives the index behind it. `not_0` holds, channel by channel, which values
/// of each block are not 0 so far.
fn pass_progressive(
    file: &[u8],
    at: usize,
    header: &Header,
    tables: &Tables,
    restart: usize,
    scan: &Scan,
    not_0: &mut [Vec<u64>],
) -> Result<usize, Flaw> {
    let band = Band { from: scan.from, to: scan.to, refines: scan.refines };
    band.check(scan.channels.len())?;
    let units = units(header, scan);
    if let (1.., &[(index, _, ac)]) = (band.from, scan.channels.as_slice()) {
        let ac = tables.ac.get(ac).and_then(Option::as_ref).ok_or("a code table is missing")?;
        let blocks = &mut not_0[index];
        blocks.resize(units, 0);
        return in_stretches(file, at, units, restart, |bits, units| {
            pass_band(bits, ac, band, blocks, units)
        });
    }
    let mut means = Vec::new();
    for &(index, dc, _) in &scan.channels {
        let channel = header.channels[index];
        let blocks = if scan.channels.len() == 1 { 1 } else { channel.across * channel.down };
        let codes = tables.dc.get(dc).and_then(Option::as_ref);
        let codes = if band.refines { None } else { Some(codes.ok_or("a code table is missing")?) };
        means.extend(std::iter::repeat_n(codes, blocks));
    }
    in_stretches(file, at, units, restart, |bits, mut units| {
        units.try_for_each(|_| means.iter().try_for_each(|codes| pass_mean(bits, *codes)))
    })
}

/// Passes over the units of a scan, stretch by stretch between restart marks, and gives the index behind the data.
fn in_stretches(
    file: &[u8],
    mut at: usize,
    units: usize,
    restart: usize,
    mut pass: impl FnMut(&mut Bits<'_>, Range<usize>) -> Result<(), Flaw>,
) -> Result<usize, Flaw> {
    let every = if restart == 0 { units } else { restart };
    let (mut done, mut number) = (0, 0u8);
    while done < units {
        let mut bits = Bits::at(file, at);
        let end = (done + every).min(units);
        pass(&mut bits, done..end)?;
        done = end;
        at = bits.end()?;
        // Fill bytes may stand before the marker.
        while file.get(at..at + 2) == Some(&[0xFF, 0xFF]) {
            at += 1;
        }
        let marker = file.get(at + 1).copied();
        if done < units {
            if marker != Some(RST0 + number) {
                return Err("a restart mark is missing");
            }
            at += 2;
            number = (number + 1) % 8;
        }
    }
    Ok(at)
}

/// Units that a scan is made of: of all its channels together, or the blocks of one (T.81, A.2).
fn units(header: &Header, scan: &Scan) -> usize {
    let across = header.channels.iter().map(|channel| channel.across).max().unwrap_or(1);
    let down = header.channels.iter().map(|channel| channel.down).max().unwrap_or(1);
    let (width, height) = (usize::from(header.width), usize::from(header.height));
    match scan.channels.as_slice() {
        &[(alone, _, _)] => {
            let channel = header.channels[alone];
            let blocks = |side: usize, own: usize, most: usize| (side * own).div_ceil(most).div_ceil(8);
            blocks(width, channel.across, across) * blocks(height, channel.down, down)
        }
        _ => width.div_ceil(8 * across) * height.div_ceil(8 * down),
    }
}
