//! Where a card may lie: hypotheses in a reduced picture, from segments to corners to quadrangles, the likeliest first.

pub mod candidates;
mod merit;
pub mod picture;
pub mod quads;
pub mod segments;

pub use candidates::{Candidate, Ranked, card_shaped, overlap};
pub use picture::SearchPicture;
