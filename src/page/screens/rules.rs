//! The choice of the rule: water and date, searched by words, remembered; own rules from a file.

use std::rc::Rc;

use jiff::civil::Date;
use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::page::parts::own_rules::OwnRules;
use crate::page::parts::rule_facts::RuleFacts;
use crate::rules::pack::ANY_CRAB;
use crate::rules::{AreaEntry, Choice, Pack, RuleInForce, search};
use crate::session::{Action, RuleBook};

/// More would only be scrolled past: another word narrows the list.
const MOST_SHOWN: usize = 40;

/// What the choice shows.
#[derive(Properties, PartialEq)]
pub struct RulesProps {
    /// Packs, choice, confirmations.
    pub book: RuleBook,
    /// The day of the catch.
    pub date: Date,
    /// Today.
    pub today: Date,
    /// What was done.
    pub act: Callback<Action>,
}

/// The choice of the rule.
#[component]
pub fn RulesScreen(props: &RulesProps) -> Html {
    let query = use_state_eq(String::new);
    let packs: Rc<Vec<Pack>> = use_memo((props.book.packs.clone(), props.book.own.clone()), {
        let book = props.book.clone();
        move |_| book.all()
    });
    let found = search(&packs, &query);
    let count = found.len();
    let typed = {
        let query = query.clone();
        Callback::from(move |event: InputEvent| {
            let input: HtmlInputElement = event.target_unchecked_into();
            query.set(input.value());
        })
    };
    let dated = {
        let act = props.act.clone();
        Callback::from(move |event: Event| {
            let input: HtmlInputElement = event.target_unchecked_into();
            act.emit(Action::SetDate(input.value().parse::<Date>().ok()));
        })
    };
    let entries = found.into_iter().take(MOST_SHOWN).map(|entry| {
        let is_chosen = props.book.choice.as_ref() == Some(&entry.choice);
        html! {
            <li><AreaButton {entry} {is_chosen} act={props.act.clone()} /></li>
        }
    });
    let rule: Option<Rc<RuleInForce>> = props.book.in_force.clone();
    html! {
        <section id="screen-rules" class="screen">
            <h1>{ "Which water, which day?" }</h1>
            <label for="rule-date">{ "Day of the catch" }</label>
            <input id="rule-date" type="date" value={props.date.to_string()} onchange={dated} />
            <label for="rule-search">{ "Country, water, area or kind" }</label>
            <input id="rule-search" type="search" autocomplete="off" value={(*query).clone()} oninput={typed} />
            <p class="hint" role="status">
                { match count {
                    0 => "No area holds all these words. Try fewer, or make a rule of your own below.".to_owned(),
                    1 => "One area.".to_owned(),
                    count if count > MOST_SHOWN => format!("{count} areas, the first {MOST_SHOWN} shown: another word narrows it."),
                    count => format!("{count} areas."),
                } }
            </p>
            <ul class="areas">{ for entries }</ul>
            if let Some(rule) = rule {
                <RuleFacts {rule} confirmations={props.book.confirmations.clone()} today={props.today}
                    act={props.act.clone()} />
            }
            <OwnRules own={props.book.own.clone()} form_mistakes={props.book.form_mistakes.clone()} kind={props.book.in_force.as_ref().map(|rule| rule.species.clone()).filter(|kind| kind != ANY_CRAB)}
                mistakes={props.book.mistakes.clone()} act={props.act.clone()} />
        </section>
    }
}

/// One area to choose.
#[derive(Properties, PartialEq)]
struct AreaButtonProps {
    entry: AreaEntry,
    is_chosen: bool,
    act: Callback<Action>,
}

#[component]
fn AreaButton(props: &AreaButtonProps) -> Html {
    let entry = &props.entry;
    let choice: Choice = entry.choice.clone();
    let act = props.act.clone();
    let id = format!("area-{}-{}", choice.pack, choice.area);
    html! {
        <button {id} type="button" class="area" aria-pressed={props.is_chosen.to_string()}
            onclick={move |_| act.emit(Action::ChooseRule(choice.clone()))}>
            <span class="area-name">{ &entry.name }</span>
            <span class="area-where">
                { format!("{}, {}", entry.jurisdiction, entry.country) }
                if entry.is_own { { " (your own)" } }
            </span>
        </button>
    }
}
