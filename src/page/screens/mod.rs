//! The screens: each composes parts.

pub mod aboard;
pub mod checks;
pub mod crabs;
pub mod day;
pub mod guide;
pub mod learn;
pub mod lesson;
pub mod measure;
pub mod practice;
pub mod record;
pub mod rules;
pub mod start;
pub mod verdict;
