//! The session behind Yew's reducer.

use std::rc::Rc;

use yew::Reducible;

use crate::session::{Action, Session};

/// A session that Yew can hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Store(pub Session);

impl Reducible for Store {
    type Action = Action;

    fn reduce(self: Rc<Self>, action: Action) -> Rc<Self> {
        Rc::new(Self(self.0.apply(action)))
    }
}
