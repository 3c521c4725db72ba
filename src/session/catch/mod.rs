//! The catch: the [`crab`] in hand, what the rule says of it so far ([`decision`], drawn as the [`ruler`]), and
//! how many were [`kept`] today.

pub mod crab;
pub mod decision;
pub mod kept;
pub mod ruler;
