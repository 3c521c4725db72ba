//! The book of the day: who is aboard, which pots are out, and what became of each crab.
//!
//! It is the person's own memory and the check beside the official record; it is no record itself. [`rows`] says what
//! it holds, [`book`] keeps them, found by [`shelves`], [`steps`] changes it and takes changes back, [`pots`] reads what
//! is typed of a pot, [`picture`] is a photo of a measured crab. [`counts`] gives what limits ask, [`record`]
//! double-checks a day before it goes on the official record, [`list`] finds crabs, [`season`] adds them up, [`effort`]
//! tells what fished best, [`line`] how long a pot's line must be, [`table`] and [`backup`] take it out of the page, `another` takes in what another device saved.

mod another;
pub mod backup;
pub mod book;
pub mod counts;
pub mod effort;
pub mod line;
pub mod list;
pub mod picture;
pub mod pots;
pub mod record;
pub mod rows;
pub mod season;
pub mod shelves;
pub mod steps;
pub mod table;

pub use book::Book;
pub use picture::Picture;
pub use rows::{CrabEntry, End, Id, Moment, Person, Pot, Pull, Row, StepName, What, Why};
