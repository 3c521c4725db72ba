//! Cited rule packs: model, load, area, season.
//!
//! A pack is a file: one jurisdiction, its areas, and for each species the facts of the rule, every one
//! with its source, how it was had and when it was checked. What is unknown says unknown.

pub mod check;
pub mod choose;
pub mod cited;
pub mod dates;
pub mod facts;
pub mod length;
pub mod lines;
pub mod load;
pub mod own;
pub mod pack;
pub mod report;
pub mod schema;
pub mod species;
pub mod sun;
pub mod when;
pub mod words;

pub use check::Mistake;
pub use choose::{AreaEntry, Choice, RuleInForce, nearest, search};
pub use cited::{Cited, Confirmation, FactRef, Mark, Source, Topic};
pub use facts::{Facts, MeasuredDimension};
pub use length::Length;
pub use load::{built_in_pack, read_pack, write_pack};
pub use own::{FormMistake, OwnRule, OwnSeason, own_pack, read_imported, with_own_rule, with_pack};
pub use pack::{Area, Pack, SpeciesRule};
pub use report::{Report, ReportLine, check_report};
pub use species::{SpeciesInfo, built_in_species, species};
