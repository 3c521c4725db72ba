//! Integration tests, one binary.

mod rules;
