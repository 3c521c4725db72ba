//! Bytes to upright pixels: format, limits, decoding, EXIF, reduced copies.

pub mod decode;
pub mod exif;
mod jpeg;
pub mod pixels;
pub mod reduced;

pub use decode::{Limits, PhotoError};
pub use exif::ExifFacts;
pub use pixels::Photo;
pub use reduced::Reduced;
