//! The double-check of a day before it goes on the official record: what is asked for here, what is not, and what is
//! to be settled first. The official record stays the record; this only helps to fill it in.

use std::collections::BTreeSet;
use std::rc::Rc;

use jiff::civil::Date;

use super::book::Book;
use super::rows::{CrabEntry, End, Id, What};
use super::shelves::Shelf;
use crate::decide::Call;
use crate::rules::RuleInForce;
use crate::rules::facts::{RecordDuty, RecordTime};
use crate::rules::when::Sex;

/// One person's day.
#[derive(Debug, Clone, PartialEq)]
pub struct PersonDay {
    /// The day.
    pub day: Date,
    /// Who.
    pub person: Id,
    /// What they are called.
    pub name: String,
    /// What they kept, a line for each kind and water.
    pub lines: Vec<RecordLine>,
    /// What is to be settled first.
    pub flags: Vec<Flag>,
    /// Crabs that go on the record, and are not ticked as written yet.
    pub unwritten: Vec<Id>,
    /// Of these, crabs of which the rule shown does not say whether they go there.
    pub not_known: usize,
    /// All crabs that go on the record.
    pub to_write: Vec<Id>,
}

/// Crabs of one kind from one water.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordLine {
    /// The kind's name.
    pub kind: String,
    /// The water's name.
    pub water: String,
    /// How many.
    pub count: u32,
    /// Of these, males and females; the rest was not said.
    pub males: u32,
    /// Females.
    pub females: u32,
    /// Whether they go on the official record here.
    pub duty: Duty,
    /// On which card they go, where the rule names cards by the day.
    pub card: Card,
    /// What the rule says of the record, in its order.
    pub words: Vec<String>,
}

/// On which card of the record crabs go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Card {
    /// The rule names none.
    Unnamed,
    /// This one.
    Named(String),
    /// The rule names cards, and none of them covers the day.
    NoneOnDay,
}

/// Whether a kind goes on the official record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Duty {
    /// It does.
    Write,
    /// The source says that it does not.
    NotRequired,
    /// The rule shown does not say.
    NotKnown,
}

/// What is to be settled before the day is written down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Flag {
    /// Kept though the page had not said keep; the reason that was given.
    Despite {
        /// What the page had said; none: nothing.
        call: Option<Call>,
        /// The person's reason.
        reason: String,
    },
    /// The sex of so many crabs was not said.
    SexNotSaid(u32),
    /// More than one person may keep.
    OverLimit {
        /// Kept.
        kept: u32,
        /// The limit.
        limit: u32,
        /// The kind's name.
        kind: String,
    },
    /// More than a limit has that is for a part of the catch, or for some only.
    OverPart {
        /// Kept.
        kept: u32,
        /// The limit.
        limit: u32,
        /// The kind's name.
        kind: String,
        /// Of what, and for whom.
        of: String,
    },
    /// Crabs were kept after the day was ticked as written.
    KeptSince(u32),
    /// So many that were ticked as written are no longer counted.
    WrittenGone(u32),
}

/// A person's daily limit for a kind: how many count towards it, and the limit.
pub type LimitOf<'a> = &'a dyn Fn(&Id, &str) -> Option<(u32, u32)>;

impl Book {
    /// Each person's day who kept something; `rule_of` gives the rule a crab was caught under.
    pub fn double_check(
        &self,
        day: Date,
        rule_of: &dyn Fn(&CrabEntry) -> Option<Rc<RuleInForce>>,
        limit_of: LimitOf<'_>,
    ) -> Vec<PersonDay> {
        let kept = self.kept_on(day);
        let mut persons: Vec<&Id> = Vec::new();
        let ticked = self.shelf(Shelf::Written(day)).filter_map(|row| match &row.what {
            What::Written(written) => Some(&written.person),
            _ => None,
        });
        for by in kept.iter().map(|(_, by, _)| *by).chain(ticked) {
            if !persons.contains(&by) {
                persons.push(by);
            }
        }
        let of = |person: &Id| {
            let own: Vec<_> =
                kept.iter().filter(|(_, by, _)| *by == person).map(|(id, _, crab)| (*id, *crab)).collect();
            self.person_day(person, day, &own, rule_of, limit_of)
        };
        persons.into_iter().map(of).collect()
    }

    fn person_day(
        &self,
        person: &Id,
        day: Date,
        own: &[(&Id, &CrabEntry)],
        rule_of: &dyn Fn(&CrabEntry) -> Option<Rc<RuleInForce>>,
        limit_of: LimitOf<'_>,
    ) -> PersonDay {
        let mut lines: Vec<RecordLine> = Vec::new();
        let (mut flags, mut to_write, mut look_up) = (Vec::new(), Vec::new(), Vec::new());
        let mut kinds: Vec<&str> = Vec::new();
        for (id, crab) in own {
            let rule = rule_of(crab);
            let kind = rule.as_ref().map(|rule| rule.species_name.clone());
            let kind = kind.or_else(|| crab.kind.clone()).unwrap_or_else(|| "Kind not said".to_owned());
            let duty = duty_of(rule.as_deref());
            if duty != Duty::NotRequired {
                to_write.push((*id).clone());
            }
            if duty == Duty::NotKnown {
                look_up.push(*id);
            }
            if let End::Kept { despite: Some(reason), .. } = &crab.end {
                let call = crab.verdict.as_ref().map(|told| told.call);
                flags.push(Flag::Despite { call, reason: reason.clone() });
            }
            let at = lines.iter().position(|line| line.kind == kind && line.water == crab.water.name);
            let at = at.unwrap_or_else(|| {
                let duties = rule.as_deref().into_iter().flat_map(duties);
                lines.push(RecordLine {
                    kind: kind.clone(),
                    water: crab.water.name.clone(),
                    count: 0,
                    males: 0,
                    females: 0,
                    duty,
                    card: card_on(rule.as_deref(), day),
                    words: duties.map(|duty| duty.words.clone()).collect(),
                });
                lines.len() - 1
            });
            let line = &mut lines[at];
            line.count += 1;
            line.males += u32::from(crab.traits.sex == Some(Sex::Male));
            line.females += u32::from(crab.traits.sex == Some(Sex::Female));
            if let Some(kind) = crab.kind.as_deref()
                && !kinds.contains(&kind)
            {
                kinds.push(kind);
                if let Some((kept, limit)) = limit_of(person, kind)
                    && kept > limit
                {
                    flags.push(Flag::OverLimit { kept, limit, kind: line.kind.clone() });
                }
            }
        }
        // Of a kind that no record is known to ask for, either sex is often kept, and nobody looks.
        let asked = lines.iter().filter(|line| line.duty == Duty::Write);
        let unsaid: u32 = asked.map(|line| line.count - line.males - line.females).sum();
        if unsaid > 0 {
            flags.push(Flag::SexNotSaid(unsaid));
        }
        let written = self.written(person, day);
        let unwritten: Vec<Id> = to_write.iter().filter(|id| !written.contains(id)).cloned().collect();
        if !written.is_empty() && !unwritten.is_empty() {
            flags.push(Flag::KeptSince(u32::try_from(unwritten.len()).unwrap_or(u32::MAX)));
        }
        let gone = written.iter().filter(|id| !own.iter().any(|(own, _)| own == id)).count();
        if gone > 0 {
            flags.push(Flag::WrittenGone(u32::try_from(gone).unwrap_or(u32::MAX)));
        }
        PersonDay {
            day,
            person: person.clone(),
            name: self.name_of(person),
            lines,
            flags,
            not_known: unwritten.iter().filter(|id| look_up.contains(id)).count(),
            unwritten,
            to_write,
        }
    }

    /// How many crabs that were kept on a day and go on the record, as `is_due` says, are not ticked by who kept them.
    pub fn unwritten_on(&self, day: Date, is_due: &dyn Fn(&CrabEntry) -> bool) -> usize {
        let ticked = self.shelf(Shelf::Written(day)).filter_map(|row| match &row.what {
            What::Written(written) => Some(written),
            _ => None,
        });
        let ticked: BTreeSet<(&Id, &Id)> = ticked
            .flat_map(|written| written.crabs.iter().map(move |crab| (&written.person, crab)))
            .collect();
        let is_unwritten = |(id, crab): &(&Id, &CrabEntry)| {
            let End::Kept { by, .. } = &crab.end else { return false };
            !ticked.contains(&(by, *id)) && is_due(crab)
        };
        self.crabs_on(day).filter(is_unwritten).count()
    }

    /// The crabs that a person ticked as written on the official record.
    fn written(&self, person: &Id, day: Date) -> Vec<Id> {
        let ticked = self.shelf(Shelf::Written(day)).filter_map(|row| match &row.what {
            What::Written(written) if written.person == *person => Some(&written.crabs),
            _ => None,
        });
        ticked.flatten().cloned().collect()
    }
}

fn duties(rule: &RuleInForce) -> impl Iterator<Item = &RecordDuty> {
    rule.facts.record.iter().filter_map(|duty| duty.known())
}

/// The card for a catch on `day`; none: no rule is known.
fn card_on(rule: Option<&RuleInForce>, day: Date) -> Card {
    let Some(cards) = rule.into_iter().flat_map(duties).find_map(|duty| duty.cards.as_ref()) else {
        return Card::Unnamed;
    };
    cards.on(day).map_or(Card::NoneOnDay, |card| Card::Named(card.name.clone()))
}

/// Whether a crab goes on the official record; none: no rule is known of it.
pub fn duty_of(rule: Option<&RuleInForce>) -> Duty {
    rule.map_or(Duty::NotKnown, duty)
}

/// A source that says that no record is needed counts only where no other asks for one.
fn duty(rule: &RuleInForce) -> Duty {
    let mut asked = Duty::NotKnown;
    for duty in duties(rule) {
        match duty.due {
            RecordTime::AtOnce | RecordTime::SameDay | RecordTime::ByDate => return Duty::Write,
            RecordTime::NotRequired => asked = Duty::NotRequired,
            RecordTime::ToKnow => {}
        }
    }
    asked
}
