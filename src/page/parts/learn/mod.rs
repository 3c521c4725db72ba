//! Parts of the lessons and of the guide: plain functions, since each component weighs some kilobytes.

pub mod diagram;
pub mod sheet;
