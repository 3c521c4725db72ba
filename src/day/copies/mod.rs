//! What leaves the page on the person's tap, and comes back: [`backup`] is a copy of the whole book, `another` takes in
//! the copy of another device, [`table`] has the crabs for a spreadsheet.

mod another;
pub mod backup;
pub mod table;
