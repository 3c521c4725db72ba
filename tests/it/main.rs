//! Integration tests, one binary.

mod command;
mod contrast;
mod decide;
mod drawings;
mod geometry;
mod own_rules;
mod packs;
mod photo;
mod portable;
mod rules;
mod shell;
mod waters;
mod width;
