//! Parts of the lessons: plain functions, since each component weighs some kilobytes.

pub mod diagram;
