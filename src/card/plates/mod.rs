//! Plates that are not an ID-1 card and pass for one by edges and face: [`playing`] tells by the sides, [`radius`] by
//! the corners.

pub mod playing;
pub mod radius;
