//! What goes with a verdict: its reasons, and the count of what was kept.

pub mod despite;
pub mod kept;
pub mod reasons;
