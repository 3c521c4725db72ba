//! Integration tests, one binary.

mod decide;
mod drawings;
mod own_rules;
mod packs;
mod rules;
mod shell;
mod waters;
