//! Integration tests, one binary.

mod command;
mod decide;
mod drawings;
mod own_rules;
mod packs;
mod rules;
mod shell;
mod waters;
