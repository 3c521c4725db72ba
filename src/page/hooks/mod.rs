//! Each hook owns one thing of the browser and gives it back.

pub mod back;
pub mod clock;
pub mod day_book;
pub mod handed_over;
pub mod held_touch;
pub mod lessons;
pub mod meta;
pub mod not_kept;
pub mod offline;
pub mod panic;
pub mod photo_file;
pub mod photo_files;
pub mod pinch;
pub mod position;
pub mod remembered;
pub mod rules;
pub mod save_file;
pub mod saved_crab;
pub mod shown_size;
pub mod today;
pub mod update;
pub mod worker;
