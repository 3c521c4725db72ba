//! The words: every sentence a person reads that comes out of the core.

pub mod measure;
