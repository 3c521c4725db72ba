//! Parts of the lessons and of the guide.

pub mod diagram;
pub mod lesson_drawing;
pub mod sheet;
