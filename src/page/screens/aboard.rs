//! Who fishes, and with which pots.

use std::rc::Rc;

use jiff::civil::Date;
use yew::prelude::*;

use crate::day::rows::LicenceFor;
use crate::day::{Book, Moment};
use crate::page::parts::day::before_pot::BeforePot;
use crate::page::parts::day::people::People;
use crate::page::parts::day::pots::Pots;
use crate::rules::RuleInForce;
use crate::session::words::{pots_words, undo_words};
use crate::session::{Action, PotCount};

/// What is aboard.
#[derive(Properties, PartialEq)]
pub struct AboardProps {
    /// The book.
    pub book: Rc<Book>,
    /// The rule for any crab of the water.
    pub rule: Option<Rc<RuleInForce>>,
    /// Now.
    pub now: Moment,
    /// Today, by the device's clock.
    pub today: Date,
    /// What was done.
    pub act: Callback<Action>,
}

/// Persons and pots.
#[component]
pub fn AboardScreen(props: &AboardProps) -> Html {
    let pots = props.rule.as_ref().and_then(|rule| PotCount::of(&props.book, &rule.facts));
    let full = pots.filter(PotCount::is_full).map(pots_words);
    let licence_for = props.rule.as_ref().map(|rule| LicenceFor {
        pack: rule.pack.clone(),
        area: rule.area.clone(),
        year: props.today.year(),
    });
    html! {
        <section id="screen-aboard" class="screen">
            <h1>{ "People and pots" }</h1>
            <People people={props.book.people()} {licence_for} act={props.act.clone()} />
            <BeforePot rule={props.rule.clone()} {pots} />
            <Pots book={props.book.clone()} now={props.now} {full} undo={undo_words(&props.book, props.today)} act={props.act.clone()} />
        </section>
    }
}
