//! What a photo may ask for, and why bytes are no usable photo: a header is a claim until it has been admitted.

use crate::units::PhotoSize;

/// What a photo may ask for before memory is taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Most pixels in all. A 50-megapixel phone photo has 8192 x 6144 = 50.3 million; the default leaves a
    /// little room. Larger costs 3 bytes a pixel of the worker's memory.
    pub pixels: u64,
    /// Longest side; beyond it a panorama or a made-up header.
    pub side: u32,
    /// Shortest side: below it a card cannot be measured.
    pub shortest_side: u32,
}

impl Default for Limits {
    fn default() -> Self {
        Self { pixels: 54_000_000, side: 16_384, shortest_side: 160 }
    }
}

impl Limits {
    pub(super) fn admit(&self, width: usize, height: usize) -> Result<PhotoSize, PhotoError> {
        let claim = (u32::try_from(width), u32::try_from(height));
        let (Ok(width), Ok(height)) = claim else {
            return Err(PhotoError::TooLarge { megapixels: u64::MAX });
        };
        let pixels = u64::from(width) * u64::from(height);
        if pixels > self.pixels {
            return Err(PhotoError::TooLarge { megapixels: pixels / 1_000_000 });
        }
        if width.max(height) > self.side {
            return Err(PhotoError::TooLong { side: width.max(height), most: self.side });
        }
        if width.min(height) < self.shortest_side {
            return Err(PhotoError::TooSmall { width, height });
        }
        Ok(PhotoSize { width, height })
    }
}

/// Why bytes are not a usable photo. `code` and the sentence come from [`crate::text`].
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PhotoError {
    /// No bytes at all.
    #[error("the file is empty")]
    Empty,
    /// Not an image by its first bytes.
    #[error("the file is not a photo")]
    NotAPhoto,
    /// An image, but of a kind this core does not decode (HEIC, AVIF, GIF, TIFF, raw, rare kinds of JPEG).
    #[error("{format} pictures cannot be read here")]
    UnsupportedFormat {
        /// The name of the format for the person.
        format: &'static str,
    },
    /// An image that ends early or is broken inside.
    #[error("the picture is damaged: {detail}")]
    Damaged {
        /// What the decoder said.
        detail: String,
    },
    /// More pixels than the limits admit.
    #[error("the picture claims {megapixels} megapixels")]
    TooLarge {
        /// Claimed size in whole megapixels.
        megapixels: u64,
    },
    /// A side longer than the limits admit: a panorama.
    #[error("the picture claims a side of {side} pixels")]
    TooLong {
        /// The longer side.
        side: u32,
        /// The longest that is admitted.
        most: u32,
    },
    /// Too few pixels to measure anything.
    #[error("the picture has only {width} x {height} pixels")]
    TooSmall {
        /// Columns.
        width: u32,
        /// Rows.
        height: u32,
    },
}
