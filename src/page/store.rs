//! The session behind Yew's reducer.

use std::rc::Rc;

use yew::Reducible;

use super::later::Late;
use crate::session::{Action, Session};

/// A session that Yew can hold.
#[derive(Clone)]
pub struct Store {
    /// The session.
    pub session: Session,
    /// The page's second program.
    pub late: Late,
    /// What only the second program can do, in the order in which it came.
    waiting: Vec<Action>,
}

/// What the store is told.
pub enum Told {
    /// What was done.
    Act(Action),
    /// How it stands with the second program.
    Late(Late),
}

impl Store {
    /// A store at the start of the page.
    pub fn new(session: Session) -> Self {
        Self { session, late: Late::Coming, waiting: Vec::new() }
    }

    /// Something was done, or is known, that the session does not show yet.
    pub fn is_waiting(&self) -> bool {
        !self.waiting.is_empty()
    }

    /// The store after `action`.
    #[must_use]
    pub fn act(mut self, action: Action) -> Self {
        match self.late {
            Late::There(late) => self.session = (late.apply)(&self.session, action),
            Late::Coming | Late::Missing => match self.session.apply_early(action) {
                Ok(session) => self.session = session,
                Err(action) => self.waiting.push(*action),
            },
        }
        self
    }
}

impl Reducible for Store {
    type Action = Told;

    fn reduce(self: Rc<Self>, told: Told) -> Rc<Self> {
        let store = Self::clone(&self);
        Rc::new(match told {
            Told::Act(action) => store.act(action),
            Told::Late(late @ Late::There(_)) => {
                let waiting = self.waiting.iter().cloned();
                waiting.fold(Self { late, waiting: Vec::new(), ..store }, Self::act)
            }
            Told::Late(late) => Self { late, ..store },
        })
    }
}
