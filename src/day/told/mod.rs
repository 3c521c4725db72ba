//! What is told of many crabs: [`list`] finds them, [`season`] adds them up, [`effort`] tells what fished best.

pub mod effort;
pub mod list;
pub mod season;
