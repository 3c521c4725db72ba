//! Photos: chosen, handed over, shown, drawn and encoded, and the fingers on them.

pub mod crab_photos;
pub mod handed_over;
pub mod held_touch;
pub mod photo_file;
pub mod photo_files;
pub mod picture_urls;
pub mod pinch;
pub mod pixels;
pub mod shown_size;
