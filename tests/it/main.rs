//! Integration tests, one binary.

mod decide;
mod drawings;
mod rules;
