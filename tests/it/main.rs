//! Integration tests, one binary.

mod decide;
mod drawings;
mod own_rules;
mod rules;
mod waters;
