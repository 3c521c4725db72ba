//! What the person does with the day's book, and what the disk says of it.

use std::rc::Rc;

use jiff::civil::Date;

use crate::day::rows::{Earlier, Person, Pot, Pull, Row, What, Written};
use crate::day::{End, Id, Moment, StepName, Why};
use crate::rules::pack::Place;
use crate::session::catch::crab::Crab;
use crate::session::{Screen, Session};

use super::sort::{OTHER_KIND, Plain};

/// One act.
#[derive(Debug, Clone, PartialEq)]
pub enum DayAct {
    /// The page starts: a random number that names what it makes, and the kind that was last sorted.
    Begin {
        /// Random.
        seed: u64,
        /// Species id.
        kind: Option<String>,
    },
    /// The kind that was last sorted, as the disk has it.
    LastKind(Option<String>),
    /// What the disk has; from now on the day may be changed.
    Loaded(Vec<Row>),
    /// What another tab changed, and what it took from the disk.
    Heard(Vec<Row>, Vec<Id>),
    /// These are on the disk now, and these gone from it.
    Saved(Vec<(Id, u64)>, Vec<Id>),
    /// The rows of a copy: taken, or kept aside until it is said whose they are.
    Restore(Vec<Row>),
    /// The copy that was kept aside was saved by another person of this name; none: by the person who uses the page.
    CopyIsOf(Option<String>),
    /// Nothing is taken of it.
    LeaveCopy,

    /// A crab is sorted at a glance.
    Sort(Plain),
    /// Kept, as the verdict says.
    Keep(Id),
    /// Kept against the verdict or without one, with the person's reason.
    KeepDespite(Id, String),
    /// Let go; the next crab comes.
    LetGo(Why),
    /// The last step is taken back.
    Undo,
    /// How the crab in hand ended is taken back, whatever was done since, here or in another tab.
    UndoEnd,
    /// The step that was taken back last is made again.
    Redo,
    /// The disk lost what it had: all is to be written again.
    DiskLost,

    /// A person is named or changed; none: a new one.
    Person(Option<Id>, Person),
    /// A pot is named or changed; none: a new one.
    Pot(Option<Id>, Pot),
    /// The pot is no longer used; what came in it stays.
    RemovePot(Id),
    /// The pot is in the water, from now on.
    SetPot(Id),
    /// The person asked to have noted where the pot lies.
    PotAt(Id, Place),
    /// The pot is aboard: what is sorted next came with it.
    PullPot(Id),
    /// All of the pull in hand is sorted.
    PullSorted,
    /// Crabs of earlier days that a person still holds; none: not said.
    Earlier {
        /// Who.
        person: Id,
        /// Species id.
        species: String,
        /// How many.
        count: Option<u32>,
    },
    /// A person wrote these crabs on the official record.
    Written(Id, Date, Vec<Id>),
}

impl Session {
    pub(in crate::session) fn apply_day(&mut self, act: DayAct) {
        let Some(act) = self.apply_day_early(act) else { return };
        match act {
            DayAct::Restore(rows) => {
                if self.book.must_ask_whose(&rows) {
                    self.copy_in_question = Some(rows.into());
                } else {
                    self.copy_in_question = None;
                    Rc::make_mut(&mut self.book).take_copy(rows, None);
                }
            }
            DayAct::CopyIsOf(name) => {
                if let Some(rows) = self.copy_in_question.take() {
                    let other = name.map(|name| (self.names.draw(), name));
                    Rc::make_mut(&mut self.book).take_copy(rows.to_vec(), other);
                }
            }
            DayAct::LeaveCopy => self.copy_in_question = None,
            DayAct::Keep(by) if self.may_count() && self.may_be_kept_by(&by) => {
                self.end_crab(End::Kept { by, despite: None });
            }
            DayAct::KeepDespite(by, reason) => {
                let reason = reason.trim().to_owned();
                if self.may_be_recorded() && !reason.is_empty() {
                    self.end_crab(End::Kept { by, despite: Some(reason) });
                    self.screen = Screen::Verdict;
                }
            }
            DayAct::LetGo(why) => {
                if self.may_be_recorded() {
                    self.end_crab(End::Released(self.crab.let_go.unwrap_or(why)));
                }
                self.next_crab();
            }
            DayAct::UndoEnd => self.undo_end(),
            DayAct::RemovePot(id) => {
                let day = self.today;
                Rc::make_mut(&mut self.book).take_away(&mut self.names, StepName::Pot, day, &id);
            }
            DayAct::Person(id, person) => self.put_person(id, person),
            DayAct::Pot(id, pot) => self.put(StepName::Pot, id, What::Pot(pot)),
            DayAct::SetPot(id) => {
                if let Some(pot) = self.pot(&id) {
                    let set = Some(self.moment());
                    self.put(StepName::Pot, Some(id), What::Pot(Pot { set, place: None, ..pot }));
                }
            }
            DayAct::PotAt(id, place) => {
                if let Some(pot) = self.pot(&id).filter(|pot| pot.set.is_some()) {
                    self.put(StepName::Pot, Some(id), What::Pot(Pot { place: Some(place), ..pot }));
                }
            }
            DayAct::PullPot(id) => self.pull_pot(&id),
            DayAct::Earlier { person, species, count } => {
                let day = self.today;
                let said = Earlier { day, person, kind: species, count };
                self.put(StepName::Earlier, Some(said.row_name()), What::Earlier(said));
            }
            DayAct::Written(person, day, crabs) => {
                let written = Written { day, person, crabs };
                self.put(StepName::Written, Some(written.row_name()), What::Written(written));
            }
            // One that may not be kept, and what was done early.
            DayAct::Keep(_)
            | DayAct::Begin { .. }
            | DayAct::LastKind(_)
            | DayAct::Loaded(_)
            | DayAct::Heard(..)
            | DayAct::DiskLost
            | DayAct::Saved(..)
            | DayAct::Sort(_)
            | DayAct::Undo
            | DayAct::Redo
            | DayAct::PullSorted => {}
        }
    }

    /// What is done on the day's own screen, and what the disk says of it; any other act comes back.
    pub(in crate::session) fn apply_day_early(&mut self, act: DayAct) -> Option<DayAct> {
        match act {
            DayAct::Begin { seed, kind } => {
                self.names.seed = seed;
                self.take_last_kind(kind);
            }
            DayAct::LastKind(kind) => self.take_last_kind(kind),
            DayAct::Loaded(rows) => {
                Rc::make_mut(&mut self.book).merge(rows);
                self.day_is_loaded = true;
            }
            DayAct::Heard(rows, gone) => {
                Rc::make_mut(&mut self.book).hear(rows, &gone);
            }
            DayAct::DiskLost => Rc::make_mut(&mut self.book).write_all_again(),
            DayAct::Saved(rows, gone) => Rc::make_mut(&mut self.book).saved(&rows, &gone),
            DayAct::Sort(plain) => self.sort(plain),
            DayAct::Undo => {
                if self.book.last_step().is_some_and(|step| step.day == self.today) {
                    let was_ended = self.is_ended();
                    Rc::make_mut(&mut self.book).undo();
                    if !was_ended && self.is_ended() {
                        // The row is as it was written: what was answered since is taken back with it.
                        self.next_crab();
                    }
                }
            }
            DayAct::Redo => {
                if self.book.undone().is_some_and(|step| step.day == self.today) && !self.is_in_hand() {
                    Rc::make_mut(&mut self.book).redo(&mut self.names);
                }
            }
            DayAct::PullSorted => {
                if let Some((id, pull)) = self.book.pull_in_hand() {
                    let (id, pull) = (id.clone(), Pull { is_sorted: true, ..pull.clone() });
                    self.put(StepName::PullSorted, Some(id), What::Pull(pull));
                }
            }
            late => return Some(late),
        }
        None
    }

    fn take_last_kind(&mut self, kind: Option<String>) {
        self.last_kind = kind;
        if self.crab.is_fresh() {
            self.crab = Crab::of(self.last_kind.clone());
            self.follow_rule();
        }
    }

    /// Now, by the device's clock, on the day of the catch.
    pub fn moment(&self) -> Moment {
        Moment { day: self.date(), clock: self.clock }
    }

    fn pot(&self, id: &Id) -> Option<Pot> {
        match &self.book.row(id)?.what {
            What::Pot(pot) => Some(pot.clone()),
            _ => None,
        }
    }

    fn pull_pot(&mut self, id: &Id) {
        let Some(pot) = self.pot(id) else { return };
        let mut rows = Vec::new();
        if let Some((open, pull)) = self.book.pull_in_hand() {
            rows.push((open.clone(), What::Pull(Pull { is_sorted: true, ..pull.clone() })));
        }
        let aboard = Pot { set: None, place: None, ..pot.clone() };
        let pull = Pull { pot: id.clone(), as_pulled: pot, at: self.moment(), is_sorted: false };
        rows.push((id.clone(), What::Pot(aboard)));
        rows.push((self.names.draw(), What::Pull(pull)));
        self.step(StepName::Pull, rows);
        self.screen = Screen::Day;
    }

    /// Two persons of one name would have two limits that nobody can tell apart: a name that is known is that person's.
    fn put_person(&mut self, id: Option<Id>, person: Person) {
        let (id, person) = match (id, self.book.person_named(&person.name)) {
            (Some(id), Some((known, _))) if id != known => return,
            (None, Some((_, known))) if known.is_aboard => return,
            (None, Some((id, known))) => (Some(id), Person { is_aboard: true, ..known }),
            (id, _) => (id, person),
        };
        self.put(StepName::Person, id, What::Person(person));
    }

    fn put(&mut self, name: StepName, id: Option<Id>, what: What) {
        let id = id.unwrap_or_else(|| self.names.draw());
        self.step(name, vec![(id, what)]);
    }

    pub(super) fn step(&mut self, name: StepName, rows: Vec<(Id, What)>) {
        Rc::make_mut(&mut self.book).step(&mut self.names, name, self.today, rows);
    }

    fn sort(&mut self, plain: Plain) {
        self.crab = plain.crab(self.last_kind.clone());
        self.beside.clear();
        self.photo = self.photo.put_away();
        self.photo.placement = crate::terms::Placement::default();
        self.follow_rule();
        if self.let_go_by_choice().is_some() {
            self.screen = Screen::Verdict;
        } else {
            self.go_on();
        }
    }

    /// The screen where the crab in hand goes on.
    pub fn where_it_goes_on(&self) -> Screen {
        let is_settled = self.outcome().is_some_and(|outcome| outcome.verdict().is_some());
        if self.photo.in_hand.is_some() && !self.is_width_confirmed() {
            Screen::Measure
        } else if is_settled || self.let_go_by_choice().is_some() {
            Screen::Verdict
        } else {
            Screen::Checks
        }
    }

    /// A crab that has come into hand gets the name of its row.
    pub(in crate::session) fn name_crab(&mut self) {
        if self.crab.row.is_none() && self.is_in_hand() {
            self.crab.row = Some(self.names.draw());
        }
    }

    /// The crab in hand is done with.
    pub(in crate::session) fn next_crab(&mut self) {
        let kind = self.crab.answers.kind.given().filter(|kind| *kind != OTHER_KIND && !self.is_practice());
        if let Some(kind) = kind {
            self.last_kind = Some(kind.clone());
        }
        self.crab = Crab::of(self.last_kind.clone());
        self.beside.clear();
        self.photo = self.photo.put_away();
        // Where the card lay belongs to the crab that was in hand.
        self.photo.placement = crate::terms::Placement::default();
        self.follow_rule();
        self.screen = Screen::Day;
    }
}
