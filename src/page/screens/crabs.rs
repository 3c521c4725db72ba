//! The crabs of all days: the list, totals, sizes, and the copies.

use std::rc::Rc;

use yew::prelude::*;

use crate::day::Book;
use crate::page::parts::day::copies::Copies;
use crate::page::parts::day::crab_list::CrabList;
use crate::page::parts::day::sizes::SizesPlot;
use crate::page::parts::day::totals::Totals;
use crate::rules::species;
use crate::session::{Action, SizesShown};

/// What is shown of all days.
#[derive(Properties, PartialEq)]
pub struct CrabsProps {
    /// The book.
    pub book: Rc<Book>,
    /// Sizes of measured crabs.
    pub sizes: Vec<SizesShown>,
    /// Names of kinds by their ids.
    pub kinds: Vec<(String, String)>,
    /// How many crabs a copy has of which it is not known who kept them.
    pub copy_in_question: Option<usize>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The list, what it adds up to, and the ways out of the page.
#[component]
pub fn CrabsScreen(props: &CrabsProps) -> Html {
    let is_empty = props.book.days().next().is_none();
    html! {
        <section id="screen-crabs" class="screen">
            <h1>{ "Crabs" }</h1>
            if is_empty {
                <p>{ "No crab was sorted yet." }</p>
            } else {
                <CrabList book={props.book.clone()} kinds={props.kinds.clone()} />
                <Totals book={props.book.clone()} kinds={props.kinds.clone()} />
            }
            { for props.sizes.iter().map(|shown| html! { <SizesPlot shown={shown.clone()} /> }) }
            <Copies book={props.book.clone()} in_question={props.copy_in_question} act={props.act.clone()} />
        </section>
    }
}

/// The name of a kind, also of one that the chosen water has no rule for; its id where it is no known kind.
pub fn kind_name(kinds: &[(String, String)], kind: Option<&str>) -> String {
    let Some(kind) = kind else { return "Kind not said".to_owned() };
    let named = kinds.iter().find(|(id, _)| id == kind);
    let of_elsewhere = || species(kind).map_or_else(|| kind.to_owned(), |info| info.name().to_owned());
    named.map_or_else(of_elsewhere, |(_, name)| name.clone())
}
