//! The built page: how it is made, what is in its folder, and how it is served.

pub mod build;
pub mod dist;
pub mod lessons;
pub mod packed;
pub mod serve;
pub mod server;
pub mod split;
