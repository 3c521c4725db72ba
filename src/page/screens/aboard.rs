//! Who fishes, and with which pots.

use std::rc::Rc;

use jiff::civil::Date;
use yew::prelude::*;

use crate::day::{Book, Moment};
use crate::page::parts::day::before_pot::BeforePot;
use crate::page::parts::day::people::People;
use crate::page::parts::day::pots::Pots;
use crate::rules::RuleInForce;
use crate::session::Action;
use crate::session::words::{pots_words, undo_words};

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
    let out = count(props.book.pots().iter().filter(|(_, pot)| pot.set.is_some()).count());
    let persons = count(props.book.aboard().len()).max(1);
    let most = props.rule.as_ref().and_then(|rule| rule.facts.most_pots(persons));
    let full =
        most.map(|most| pots_words(out, most, persons)).and_then(|(is_full, words)| is_full.then_some(words));
    html! {
        <section id="screen-aboard" class="screen">
            <h1>{ "People and pots" }</h1>
            <People people={props.book.people()} act={props.act.clone()} />
            <BeforePot rule={props.rule.clone()} pots_out={out} {persons} />
            <Pots book={props.book.clone()} now={props.now} {full} undo={undo_words(&props.book, props.today)} act={props.act.clone()} />
        </section>
    }
}

fn count(things: usize) -> u32 {
    u32::try_from(things).unwrap_or(u32::MAX)
}
