//! What practice shows.

pub mod block;
