//! Bytes to upright pixels: format, limits, decoding, EXIF, reduced copies.

pub mod decode;
pub mod exif;
mod jpeg;
pub mod limits;
pub mod pixels;
pub mod reduced;
mod webp;

pub use exif::ExifFacts;
pub use limits::{Limits, PhotoError};
pub use pixels::Photo;
pub use reduced::Reduced;
