//! Each hook owns one thing of the browser and gives it back.

pub mod device;
pub mod kept;
pub mod lessons;
pub mod meta;
pub mod panic;
pub mod photo;
pub mod practice;
pub mod rules;
pub mod worker;
