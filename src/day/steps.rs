//! Steps: the one way to change the book, back and forth.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::book::{Book, Names};
use super::rows::{Id, Row, Step, StepName, What};
use super::shelves::Shelf;

/// So many steps can be taken back; older ones are let go.
const MOST_STEPS: usize = 200;

/// A step that was taken back, and can be made again while nothing else changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Undone {
    /// What was done.
    pub name: StepName,
    /// On which day.
    pub day: Date,
    /// Rows as the step had left them.
    after: Vec<Row>,
}

/// The steps beside the rows: what of them is known only while the page is open.
#[derive(Debug, Clone, Default)]
pub struct Steps {
    undone: Vec<Undone>,
    /// Steps that another tab made while this one was open.
    of_others: BTreeSet<Id>,
}

impl Undone {
    /// The row that the step made or changed first, as the step had left it.
    pub fn first(&self) -> Option<&What> {
        self.after.first().map(|row| &row.what)
    }

    /// True where the step took that row away.
    pub fn takes_away(&self) -> bool {
        self.after.first().is_some_and(|row| row.is_gone)
    }
}

impl Book {
    /// Makes one step: writes these rows.
    pub fn step(&mut self, names: &mut Names, name: StepName, day: Date, rows: Vec<(Id, What)>) {
        self.steps.undone.clear();
        let rows = rows.into_iter().map(|(id, what)| (id, what, false)).collect();
        self.make(names, name, day, rows);
    }

    /// Takes a row away, as a step.
    pub fn take_away(&mut self, names: &mut Names, name: StepName, day: Date, id: &Id) {
        let Some(what) = self.row(id).map(|row| row.what.clone()) else { return };
        self.steps.undone.clear();
        self.make(names, name, day, vec![(id.clone(), what, true)]);
    }

    fn make(&mut self, names: &mut Names, name: StepName, day: Date, rows: Vec<(Id, What, bool)>) {
        let mut step = Step { name, day, before: Vec::new(), made: Vec::new() };
        for (id, what, is_gone) in rows {
            match self.row(&id) {
                Some(row) => step.before.push(row.clone()),
                None => step.made.push(id.clone()),
            }
            self.put(id, what, is_gone);
        }
        let id = names.draw();
        self.put(id, What::Step(step), false);
        let too_many = self.shelf_len(Shelf::Steps).saturating_sub(MOST_STEPS);
        let old: Vec<Id> = self.all_steps().take(too_many).map(|(id, _)| id.clone()).collect();
        for old in &old {
            self.forget(old);
        }
    }

    /// The last step that can be taken back.
    pub fn last_step(&self) -> Option<&Step> {
        self.all_steps().next_back().map(|(_, step)| step)
    }

    /// True where another tab made that step while this one was open.
    pub fn is_last_step_of_another(&self) -> bool {
        self.all_steps().next_back().is_some_and(|(id, _)| self.steps.of_others.contains(id))
    }

    /// The row that the last step made or changed first: as it is now, or as it was before it was taken away.
    pub fn last_changed(&self) -> Option<&What> {
        let step = self.last_step()?;
        let made = step.made.first().and_then(|id| self.row(id));
        let changed = || step.before.first().map(|before| self.row(&before.id).unwrap_or(before));
        made.or_else(changed).map(|row| &row.what)
    }

    /// True where the last step took a row away.
    pub fn is_last_taken_away(&self) -> bool {
        let first = self.last_step().and_then(|step| step.before.first());
        first.is_some_and(|before| self.row(&before.id).is_none())
    }

    /// Takes the last step back.
    pub fn undo(&mut self) {
        let Some((id, step)) = self.all_steps().next_back().map(|(id, step)| (id.clone(), step.clone()))
        else {
            return;
        };
        let ids = step.before.iter().map(|row| &row.id).chain(&step.made);
        let after = ids.filter_map(|id| Some(Row::clone(self.any_row(id)?))).collect();
        for row in step.before {
            self.put(row.id, row.what, row.is_gone);
        }
        for made in step.made {
            if let Some(row) = self.row(&made) {
                let what = row.what.clone();
                self.put(made, what, true);
            }
        }
        self.forget(&id);
        self.steps.undone.push(Undone { name: step.name, day: step.day, after });
    }

    /// The step that was taken back last, while nothing else was done since.
    pub fn undone(&self) -> Option<&Undone> {
        self.steps.undone.last()
    }

    /// Makes the step again that was taken back last.
    pub fn redo(&mut self, names: &mut Names) {
        let Some(Undone { name, day, after }) = self.steps.undone.pop() else { return };
        let rows = after.into_iter().map(|row| (row.id, row.what, row.is_gone)).collect();
        self.make(names, name, day, rows);
    }

    /// Takes in what another tab changed: its steps are known as another's, and nothing that was taken back here can be
    /// made again over it.
    pub fn hear(&mut self, rows: Vec<Row>, gone: &[Id]) {
        let steps = rows.iter().filter(|row| matches!(row.what, What::Step(_)));
        self.steps.of_others.extend(steps.map(|row| row.id.clone()));
        self.write_later_ones_again(&rows);
        self.merge(rows);
        self.drop_forgotten(gone);
        self.steps.undone.clear();
    }

    fn all_steps(&self) -> impl DoubleEndedIterator<Item = (&Id, &Step)> {
        self.shelf(Shelf::Steps).filter_map(|row| match &row.what {
            What::Step(step) => Some((&row.id, step)),
            _ => None,
        })
    }
}
