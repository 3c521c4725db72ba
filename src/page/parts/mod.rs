//! What screens are composed of: each part draws plain values and tells what was done.

pub mod check_card;
pub mod day;
pub mod drawing;
pub mod frame;
pub mod learn;
pub mod message;
pub mod not_kept;
pub mod photo;
pub mod practice;
pub mod progress;
pub mod rule;
pub mod size;
pub mod update_bar;
pub mod verdict;
