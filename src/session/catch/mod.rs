//! The catch: the [`crab`] in hand, and what the rule says of it so far ([`decision`], drawn as the [`ruler`]).

pub mod crab;
pub mod decision;
pub mod ruler;
