//! The day in the session: what the person does with the book of the day ([`act`]), how a crab ends ([`end`]), who may keep
//! what ([`limits`], [`boat`], [`parts`]), the double-check ([`record`]), the quick ways to sort a crab ([`sort`]), sizes
//! beside their limits ([`season`]), and what an earlier build left ([`old_count`]).

pub mod act;
pub mod boat;
pub mod end;
pub mod limits;
pub mod old_count;
pub mod parts;
pub mod record;
pub mod season;
pub mod sort;

#[cfg(test)]
mod gauge_tests;
#[cfg(test)]
mod keep_tests;
#[cfg(test)]
mod record_tests;
#[cfg(test)]
mod steps_tests;
#[cfg(test)]
mod tests;
