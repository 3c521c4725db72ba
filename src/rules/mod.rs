//! Cited rule packs: model, load, area, season.
//!
//! A pack is a file: one jurisdiction, its areas, and for each species the facts of the rule, every one
//! with its source, how it was had and when it was checked. What is unknown says unknown.

pub mod check;
pub mod choose;
pub mod cited;
mod damaged;
pub mod dates;
pub mod facts;
pub mod length;
pub mod lines;
pub mod load;
pub mod own;
pub mod own_sizes;
pub mod own_water;
pub mod pack;
pub mod report;
pub mod schema;
pub mod season;
pub mod species;
pub mod suggest;
pub mod sun;
pub mod when;
pub mod words;

pub use check::Mistake;
pub use choose::{AreaEntry, Choice, RuleInForce, search};
pub use cited::{Cited, Confirmation, FactRef, Mark, Source, Topic};
pub use facts::{Facts, MeasuredDimension};
pub use length::Length;
pub use load::{built_in_pack, read_pack, read_pack_bytes, write_pack};
pub use own::{FormMistake, OwnRule, OwnSeason, anything_differs, with_own_rule};
pub use own_sizes::{OwnSize, sizes_differ};
pub use own_water::{free_pack_id, own_pack, read_imported, with_pack};
pub use pack::{Area, Pack, SpeciesRule};
pub use report::{Report, ReportLine, check_report, check_report_bytes};
pub use species::{SpeciesInfo, built_in_species, species};
pub use suggest::suggest;
