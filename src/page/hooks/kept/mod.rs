//! What is kept: the day, the crab in hand, what is remembered, and the files that leave and come.

pub mod copy_file;
pub mod day_book;
pub mod not_kept;
pub mod remembered;
pub mod save_file;
pub mod saved_crab;
