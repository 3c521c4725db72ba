//! Cited rule packs: model, load, area, season.
//!
//! A pack is a file: one jurisdiction, its areas, and for each species the facts of the rule, every one
//! with its source, how it was had and when it was checked. What is unknown says unknown.
//!
//! - [`pack`]: what a pack is made of.
//! - [`load`]: reading and checking one.
//! - [`choose`]: the rule in force, by water, kind and day.
//! - [`own`]: a person's own rule.
//! - [`words`]: rules read out.

pub mod choose;
pub mod load;
pub mod own;
pub mod pack;
pub mod words;

pub use choose::suggest::suggest;
pub use choose::{AreaEntry, Choice, RuleInForce, search, sun};
pub use load::check::Mistake;
pub use load::{built_in_pack, read_pack, read_pack_bytes, read_pack_bytes_on, schema, write_pack};
pub use own::sizes::{OwnSize, sizes_differ};
pub use own::water::{free_pack_id, own_pack, read_imported, with_pack};
pub use own::{FormMistake, OwnRule, OwnSeason, anything_differs, with_own_rule};
pub use pack::cited::{Cited, Confirmation, FactRef, Mark, Source, Topic};
pub use pack::facts::{Facts, MeasuredDimension};
pub use pack::length::Length;
pub use pack::species::{SpeciesInfo, built_in_species, species};
pub use pack::{Area, Pack, SpeciesRule, facts, species, when};
pub use words::on_one_line;
pub use words::report::{Report, ReportLine, check_report, check_report_bytes};
