//! Whether a water is open on a day, as far as its times tell.
//!
//! Within one layer (see [`super::combine`]) open entries are read kind by kind: some entry with days or dates holds
//! the day; of those that hold it and name weekdays, some names this one. So two spans are both open, Saturday and
//! Sunday as two entries open these two days and no other, and a span beside an entry of weekdays opens the weekdays
//! of the span. What is not firm (from memory, not confirmed) neither opens nor closes: it leaves the day not known.
//! So do entries for some only ("pots") that close the day for these, and entries set by order.

use jiff::civil::Date;

use crate::rules::Cited;
use crate::rules::facts::{DayName, Season, SeasonEffect};

/// An entry with its source.
pub type Entry<'a> = (&'a Cited<Season>, &'a Season);

/// What the times say of one day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DayState<'a> {
    /// Firm entries that close the whole day.
    pub closed: Vec<Entry<'a>>,
    /// A firm entry says that the water is open.
    pub is_said_open: bool,
    /// True when something leaves the day open to doubt: see `doubts`.
    pub is_doubtful: bool,
    /// Words of the entries that leave it open to doubt.
    pub doubts: Vec<String>,
    /// Words that stand beside the times: history, and entries for some only that hold on the day.
    pub asides: Vec<String>,
    /// Open entries that hold on the day and name hours: one group a layer, of which some entry must hold the hour.
    pub open_hours: Vec<Vec<Entry<'a>>>,
    /// Entries that close some hours of the day.
    pub closed_hours: Vec<Entry<'a>>,
}

impl DayState<'_> {
    /// True when the day is known to be open, hours aside.
    pub fn is_open(&self) -> bool {
        self.closed.is_empty() && self.is_said_open && !self.is_doubtful
    }
}

/// What `layers` say of `date`; `is_firm` tells which entries may open or close.
pub fn day_state<'a>(
    layers: &[&'a [Cited<Season>]],
    date: Date,
    is_firm: &dyn Fn(&Cited<Season>) -> bool,
) -> DayState<'a> {
    let mut day = Day { date, is_firm, state: DayState::default() };
    for layer in layers {
        day.layer(layer);
    }
    day.state
}

struct Day<'a, 'f> {
    date: Date,
    is_firm: &'f dyn Fn(&Cited<Season>) -> bool,
    state: DayState<'a>,
}

impl<'a> Day<'a, '_> {
    fn layer(&mut self, layer: &'a [Cited<Season>]) {
        let mut open: Vec<Entry<'a>> = Vec::new();
        for fact in layer {
            let Some(season) = fact.known() else {
                self.doubt(fact.note.clone());
                continue;
            };
            let entry = (fact, season);
            match (season.effect, &season.condition) {
                (SeasonEffect::ByOrder, _) => self.doubt(Some(season.in_full())),
                (SeasonEffect::Words, _) => self.state.asides.push(season.in_full()),
                (SeasonEffect::Open | SeasonEffect::OpenOnly, Some(_)) if !season.is_on(self.date) => {
                    self.doubt(Some(season.in_full()));
                }
                (SeasonEffect::Open | SeasonEffect::OpenOnly, Some(_)) => {
                    self.state.asides.push(season.in_full());
                }
                (SeasonEffect::Open, None) => open.push(entry),
                (SeasonEffect::OpenOnly, None) => self.open(&[entry]),
                (SeasonEffect::Closed, _) => self.closed(entry),
            }
        }
        self.open(&open);
    }

    /// Open entries of one layer, of which some must hold the day.
    fn open(&mut self, group: &[Entry<'a>]) {
        let with_calendar = |entry: &&Entry<'a>| entry.1.has_calendar();
        let on_calendar = |entry: &&Entry<'a>| entry.1.is_on_calendar(self.date);
        let on_weekday = |entry: &&Entry<'a>| entry.1.is_on_weekday(self.date);
        let calendar: Vec<Entry<'a>> = group.iter().filter(with_calendar).copied().collect();
        let weekdays: Vec<Entry<'a>> =
            group.iter().filter(on_calendar).filter(|entry| !entry.1.weekdays.is_empty()).copied().collect();
        let open: Vec<Entry<'a>> = group.iter().filter(on_calendar).filter(on_weekday).copied().collect();
        for (named, is_on) in [
            (&calendar, calendar.iter().filter(on_calendar).copied().collect::<Vec<_>>()),
            (&weekdays, weekdays.iter().filter(on_weekday).copied().collect()),
        ] {
            self.one_of(named, &is_on);
        }
        self.state.is_said_open |= open.iter().any(|(fact, _)| (self.is_firm)(fact));
        let hours: Vec<Entry<'a>> = open.into_iter().filter(|entry| entry.1.hours.is_some()).collect();
        if !hours.is_empty() {
            self.state.open_hours.push(hours);
        }
    }

    /// `named` entries say when it is open, and those of `is_on` that it is now.
    fn one_of(&mut self, named: &[Entry<'a>], is_on: &[Entry<'a>]) {
        let is_firm = |entry: &Entry<'a>| (self.is_firm)(entry.0);
        let Some(&first) = named.first() else { return };
        if is_on.iter().any(is_firm) {
            return;
        }
        // Dates of another year say nothing of this one.
        let is_of_another_year = named.iter().all(|(_, season)| {
            season.days.is_none()
                && season
                    .dates
                    .is_some_and(|dates| !(dates.from.year()..=dates.to.year()).contains(&self.date.year()))
        });
        if is_on.is_empty() && !is_of_another_year && named.iter().all(is_firm) {
            self.state.closed.push(first);
        } else {
            let told = is_on.first().unwrap_or(&first).1.in_full();
            self.doubt(Some(told));
        }
    }

    fn closed(&mut self, entry: Entry<'a>) {
        let (fact, season) = entry;
        let is_firm = (self.is_firm)(fact);
        if !season.is_on(self.date) {
            // A source that says when it is closed in every year says that it is open otherwise.
            self.state.is_said_open |= is_firm && season.days.is_some() && season.condition.is_none();
            return;
        }
        let is_part_of_the_day = season.hours.is_some() || season.night.is_some();
        match (&season.condition, is_part_of_the_day) {
            (_, true) => self.state.closed_hours.push(entry),
            (None, false) if is_firm => self.state.closed.push(entry),
            (_, false) => self.doubt(Some(season.in_full())),
        }
    }

    fn doubt(&mut self, words: Option<String>) {
        self.state.is_doubtful = true;
        self.state.doubts.extend(words.filter(|words| !self.state.doubts.contains(words)));
    }
}

impl Season {
    /// True when it names days of the year or dates.
    pub fn has_calendar(&self) -> bool {
        self.days.is_some() || self.dates.is_some()
    }

    /// True on its days and dates; always where it names none.
    pub fn is_on_calendar(&self, date: Date) -> bool {
        self.days.is_none_or(|days| days.contains(date))
            && self.dates.is_none_or(|dates| (dates.from..=dates.to).contains(&date))
    }

    /// True on its weekdays; always where it names none.
    pub fn is_on_weekday(&self, date: Date) -> bool {
        self.weekdays.is_empty() || self.weekdays.contains(&DayName::of(date))
    }

    /// True on a day on which all its parts hold, hours aside.
    pub fn is_on(&self, date: Date) -> bool {
        self.is_on_calendar(date) && self.is_on_weekday(date)
    }

    /// Its words, with for whom it holds.
    pub fn in_full(&self) -> String {
        match &self.condition {
            Some(condition) => format!("{condition}: {}", self.words),
            None => self.words.clone(),
        }
    }
}
