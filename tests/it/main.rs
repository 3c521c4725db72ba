//! Integration tests, one binary.

mod drawings;
mod rules;
