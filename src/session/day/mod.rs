//! The day in the session: what the person does with the book of the day ([`act`]), who may keep what ([`limits`]),
//! the quick ways to sort a crab ([`sort`]), and what an earlier build left ([`old_count`]).

pub mod act;
pub mod limits;
pub mod old_count;
pub mod record;
pub mod sort;

#[cfg(test)]
mod tests;
