//! The screens: each composes parts.

pub mod checks;
pub mod measure;
pub mod rules;
pub mod start;
pub mod verdict;
