//! The marker segments of a JPEG up to its first scan. Source: ITU-T T.81 (JPEG), annex B.

/// Why a JPEG is no whole picture.
pub(super) type Flaw = &'static str;

/// Adobe's mark for YCbCr. Source: ITU-T T.872, 6.5.3: 0 RGB or CMYK, 1 YCbCr, 2 YCCK.
pub(super) const ADOBE_YCBCR: u8 = 1;

/// One marker segment.
#[derive(Debug, Clone, Copy)]
pub(super) struct Segment<'a> {
    /// The marker's second byte.
    pub marker: u8,
    /// What follows the length.
    pub payload: &'a [u8],
    /// Index of the first byte after the segment.
    pub end: usize,
}

/// The segment whose marker starts at `at`, fill bytes before it allowed.
pub(super) fn segment(file: &[u8], at: usize) -> Result<Segment<'_>, Flaw> {
    let mut at = at;
    // A few stray bytes between segments are passed over, as everywhere.
    while file.get(at).is_some_and(|&byte| byte != 0xFF) {
        at += 1;
    }
    while file.get(at) == Some(&0xFF) {
        at += 1;
    }
    let &marker = file.get(at).ok_or("the file ends within its header")?;
    let alone = matches!(marker, 0x01 | RST0..=EOI);
    if alone {
        return Ok(Segment { marker, payload: &[], end: at + 1 });
    }
    let payload = match file.get(at + 1..at + 3) {
        Some(&[high, low]) => {
            let length = usize::from(u16::from_be_bytes([high, low]));
            let length = length.checked_sub(2).ok_or("a segment of no length")?;
            file.get(at + 3..at + 3 + length).ok_or("the file ends within a segment")?
        }
        _ => return Err("the file ends within its header"),
    };
    Ok(Segment { marker, payload, end: at + 3 + payload.len() })
}

pub(super) const RST0: u8 = 0xD0;
pub(super) const EOI: u8 = 0xD9;
pub(super) const SOS: u8 = 0xDA;
pub(super) const DHT: u8 = 0xC4;
pub(super) const DRI: u8 = 0xDD;
/// Frame headers: all of SOF0 to SOF15 but the markers that share their range (DHT, JPG, DAC).
pub(super) fn is_frame(marker: u8) -> bool {
    matches!(marker, 0xC0..=0xCF) && !matches!(marker, DHT | 0xC8 | 0xCC)
}

/// One colour channel of a frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Channel {
    pub id: u8,
    /// Sampling factors across and down.
    pub across: usize,
    pub down: usize,
}

/// How the colours are coded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Colours {
    Grey,
    YCbCr,
    Rgb,
    /// Cyan, magenta, yellow and black, plain or as YCCK.
    Inks,
}

/// Adobe's application marker.
#[derive(Debug, Clone, Copy)]
pub(super) struct AdobeMark {
    pub transform: u8,
    /// Index of its first letter in the file.
    pub at: usize,
}

/// What the segments before the first scan say.
#[derive(Debug, Clone)]
pub(super) struct Header {
    /// The frame's kind: second byte of its marker.
    pub kind: u8,
    pub precision: u8,
    pub width: u16,
    pub height: u16,
    pub channels: Vec<Channel>,
    pub colours: Colours,
    pub adobe: Option<AdobeMark>,
}

impl Header {
    /// Reads up to the frame header and the first scan's.
    pub fn read(file: &[u8]) -> Result<Self, Flaw> {
        let (mut frame, mut adobe, mut jfif) = (None, None, false);
        let mut at = 2;
        loop {
            let found = segment(file, at)?;
            let payload = found.payload;
            match found.marker {
                SOS => break,
                EOI => return Err("no picture in the file"),
                0xE0 => jfif |= payload.starts_with(b"JFIF\0"),
                0xEE if payload.starts_with(b"Adobe") => {
                    // Too short to name a transform: as good as none.
                    let transform = payload.get(11).copied().unwrap_or(u8::MAX);
                    adobe = Some(AdobeMark { transform, at: found.end - payload.len() });
                }
                // The kinds that are not read here need not be understood further.
                0xF7 => frame = Some((0xF7, payload)),
                marker if is_frame(marker) => frame = Some((marker, payload)),
                _ => {}
            }
            at = found.end;
        }
        let (kind, payload) = frame.ok_or("no frame header")?;
        let &[precision, h1, h0, w1, w0, count, ref rest @ ..] = payload else {
            return Err("a frame header cut short");
        };
        let channels: Vec<Channel> = rest
            .chunks_exact(3)
            .take(usize::from(count))
            .map(|channel| Channel {
                id: channel[0],
                across: usize::from(channel[1] >> 4),
                down: usize::from(channel[1] & 15),
            })
            .collect();
        let sampled = |factor: usize| (1..=4).contains(&factor);
        if channels.len() != usize::from(count)
            || channels.iter().any(|channel| !sampled(channel.across) || !sampled(channel.down))
        {
            return Err("a frame header that contradicts itself");
        }
        let colours = colours_of(&channels, adobe.map(|mark| mark.transform), jfif)?;
        let (height, width) = (u16::from_be_bytes([h1, h0]), u16::from_be_bytes([w1, w0]));
        if width == 0 || height == 0 {
            return Err("a picture without width or height");
        }
        Ok(Self { kind, precision, width, height, channels, colours, adobe })
    }

    /// The name of the way it is coded, where that is not read here.
    pub fn not_decoded(&self) -> Option<&'static str> {
        match self.kind {
            0xF7 => Some("JPEG-LS"),
            0xC9..=0xCB | 0xCD..=0xCF => Some("arithmetic-coded JPEG"),
            0xC3 => Some("lossless JPEG"),
            0xC5..=0xC7 => Some("hierarchical JPEG"),
            _ if self.precision != 8 => Some("JPEG of more than 8 bits a colour"),
            _ => None,
        }
    }

    /// True where the picture comes in passes that refine each other.
    pub fn is_progressive(&self) -> bool {
        self.kind == 0xC2
    }
}

/// How three or four channels are coded is told by marks and names, in this order of trust: JFIF, Adobe, the
/// channels' names. Source: common practice, as the Independent JPEG Group's library reads it.
fn colours_of(channels: &[Channel], adobe: Option<u8>, jfif: bool) -> Result<Colours, Flaw> {
    let named = |names: &[u8; 3]| channels.iter().map(|channel| channel.id).eq(names.iter().copied());
    match (channels.len(), adobe) {
        (1, _) => Ok(Colours::Grey),
        (3, _) if named(b"RGB") => Ok(Colours::Rgb),
        (3, Some(0)) if !jfif => Ok(Colours::Rgb),
        (3, _) => Ok(Colours::YCbCr),
        (4, _) => Ok(Colours::Inks),
        _ => Err("neither one, three nor four colours"),
    }
}
