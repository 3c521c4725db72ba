//! What the book of the day holds: rows, each with a name of its own that no other row has.
//!
//! A row is kept as JSON, with named fields, so that a later build reads what an earlier one wrote. A row of a format
//! that this build does not know is left as it is ([`read_row`]).

use std::rc::Rc;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

pub use super::crab::{Checks, CrabEntry, End, EntryWidth, Told, Water, Why};
use crate::decide::LocalClock;
use crate::rules::pack::Place;

/// Raised where an older build would misread a row.
pub const FORMAT: u32 = 1;

/// More changes than any book sees, and far from the end of the numbers.
const MOST_REVISION: u64 = 1 << 52;

/// The name of a row.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Id(pub Rc<str>);

/// The person who uses the page, until others are named: a book without persons still has one.
pub const FIRST_PERSON: &str = "you";

impl Id {
    /// The person who uses the page.
    pub fn first_person() -> Self {
        Self(FIRST_PERSON.into())
    }
}

/// One row.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Row {
    /// [`FORMAT`] of the build that wrote it.
    pub format: u32,
    /// Its name.
    pub id: Id,
    /// Counts all changes of the book; of two versions of a row the one with the higher revision holds. No clock: one
    /// that jumps reorders nothing.
    pub revision: u64,
    /// Its first revision: the order of the book.
    pub made: u64,
    /// Taken away: kept so that an older copy does not bring it back.
    #[serde(default)]
    pub is_gone: bool,
    /// What it says.
    pub what: What,
}

/// What a row says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// A person aboard.
    Person(Person),
    /// A pot.
    Pot(Pot),
    /// A pot was pulled: what is sorted next came with it.
    Pull(Pull),
    /// A crab that was kept or let go.
    Crab(Box<CrabEntry>),
    /// What a person holds of earlier days.
    Earlier(Earlier),
    /// What a person wrote on the official record.
    Written(Written),
    /// A step that can be taken back.
    Step(Step),
}

/// A person who fishes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Person {
    /// As they want to be called.
    pub name: String,
    /// Aboard today.
    pub is_aboard: bool,
    /// What they say of a licence.
    #[serde(default)]
    pub licence: Licence,
    /// For which water and year they said it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub licence_for: Option<LicenceFor>,
}

impl Person {
    /// What they said of a licence for one water in one year: a licence of another water, or of last year, is none.
    pub fn licence_in(&self, pack: &str, area: &str, year: i16) -> Licence {
        let holds = |said: &&LicenceFor| said.pack == pack && said.area == area && said.year == year;
        self.licence_for.as_ref().filter(holds).map_or(Licence::NotSaid, |_| self.licence)
    }
}

/// The water and the year that a word on a licence is about.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LicenceFor {
    /// Pack.
    pub pack: String,
    /// Area.
    pub area: String,
    /// Year.
    pub year: i16,
}

/// True for the same name, whatever its capitals.
pub fn same_name(one: &str, other: &str) -> bool {
    one.trim().to_lowercase() == other.trim().to_lowercase()
}

/// What a person says of their licence. The page asks for no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Licence {
    /// Nothing.
    #[default]
    NotSaid,
    /// They have what this water asks for.
    Has,
    /// They have none.
    HasNone,
    /// This water asks for none, or not of them.
    NeedsNone,
}

/// A day and the local time on it, as the device's clock had them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Moment {
    /// The local day.
    pub day: Date,
    /// The local time and its shift from UTC, where known.
    pub clock: Option<LocalClock>,
}

impl Moment {
    /// Minutes since 1970-01-01 00:00 UTC; none without a clock.
    pub fn utc_minutes(&self) -> Option<i64> {
        let clock = self.clock?;
        let days = i64::from((self.day - jiff::civil::date(1970, 1, 1)).get_days());
        let minutes = i64::from(clock.time.hour()) * 60 + i64::from(clock.time.minute());
        Some(days * 1440 + minutes - i64::from(clock.utc_offset_minutes))
    }

    /// Hours from `earlier` to this one; none where a clock is missing or ran backwards.
    pub fn hours_since(&self, earlier: &Self) -> Option<f64> {
        let minutes = self.utc_minutes()? - earlier.utc_minutes()?;
        (minutes >= 0).then_some(minutes as f64 / 60.0)
    }
}

/// A pot.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Pot {
    /// What stands on its buoy.
    pub label: String,
    /// Depth of the water, m.
    pub depth_m: Option<f64>,
    /// The bottom: sand, mud, eelgrass.
    pub bottom: String,
    /// Bait.
    pub bait: String,
    /// Set at; none while it is aboard.
    pub set: Option<Moment>,
    /// To be pulled after so many hours.
    pub due_after_h: Option<f64>,
    /// Where it lies, where the person asked to have that noted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<Place>,
}

/// A pot was pulled.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Pull {
    /// The pot.
    pub pot: Id,
    /// As it was when it was pulled: the pot may be set elsewhere next time.
    pub as_pulled: Pot,
    /// When.
    pub at: Moment,
    /// Nothing more of it is to be sorted.
    #[serde(default)]
    pub is_sorted: bool,
}

impl Pull {
    /// How long it soaked, h; none where it is not known.
    pub fn soak_h(&self) -> Option<f64> {
        self.as_pulled.set.as_ref().and_then(|set| self.at.hours_since(set))
    }
}

/// What a person holds of earlier days, as they said on `day`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Earlier {
    /// Said on. A new day asks anew: a freezer empties without this program.
    pub day: Date,
    /// Who.
    pub person: Id,
    /// Species id.
    pub kind: String,
    /// How many; none: the word was taken back.
    pub count: Option<u32>,
}

impl Earlier {
    /// The name of its row: one for each day, person and kind.
    pub fn row_name(&self) -> Id {
        Id(format!("earlier-{}-{}-{}", self.day, self.person.0, self.kind).into())
    }
}

/// What a person wrote on the official record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Written {
    /// The day of the catch.
    pub day: Date,
    /// Who.
    pub person: Id,
    /// The crabs that are on it.
    pub crabs: Vec<Id>,
}

impl Written {
    /// The name of its row: one for each day and person.
    pub fn row_name(&self) -> Id {
        Id(format!("written-{}-{}", self.day, self.person.0).into())
    }
}

/// A step that can be taken back.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Step {
    /// What was done.
    pub name: StepName,
    /// On which day: an earlier one is not taken back by a slip of the thumb.
    pub day: Date,
    /// Rows it changed, as they were.
    pub before: Vec<Row>,
    /// Rows it made.
    pub made: Vec<Id>,
}

/// What was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StepName {
    /// A crab was kept.
    Kept,
    /// A crab was let go.
    Released,
    /// A crab that was kept or let go is in hand again.
    Reopened,
    /// A person was named or changed.
    Person,
    /// A pot was named, set or changed.
    Pot,
    /// A pot was pulled.
    Pull,
    /// A pull is sorted.
    PullSorted,
    /// What is held of earlier days.
    Earlier,
    /// The official record was ticked.
    Written,
}

/// Reads a row from its JSON. `None`: damaged, or written by a newer build; it is to be left as it is.
pub fn read_row(json: &str) -> Option<Row> {
    let row: Row = serde_json::from_str(json).ok()?;
    // Later revisions must still find room above it.
    (row.format <= FORMAT && row.revision <= MOST_REVISION).then_some(row)
}

/// A row as JSON; an error where one of its values has no JSON.
pub fn write_row(row: &Row) -> Result<String, serde_json::Error> {
    serde_json::to_string(row)
}
