//! The choice of the rule: water and date, searched by words, remembered; own rules from a file.

use std::rc::Rc;

use jiff::civil::Date;
use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::decide::SeasonState;
use crate::page::parts::rule::area_button::AreaButton;
use crate::page::parts::rule::facts::RuleFacts;
use crate::page::parts::rule::form_fields::ChoiceField;
use crate::page::parts::rule::in_short::RuleInShort;
use crate::page::parts::rule::own::OwnRules;
use crate::page::parts::rule::suggest_water::SuggestWater;
use crate::rules::pack::ANY_CRAB;
use crate::rules::{Choice, Pack, RuleInForce, search};
use crate::session::{Action, RuleBook, Screen};
use crate::text::{rule_in_force, season_in_short};

/// More would only be scrolled past, and the rule itself stands below them: another word narrows the list.
const MOST_SHOWN: usize = 10;

/// What the choice shows.
#[derive(Properties, PartialEq)]
pub struct RulesProps {
    /// Packs, choice, confirmations.
    pub book: RuleBook,
    /// The day of the catch.
    pub date: Date,
    /// Today.
    pub today: Date,
    /// The kind that is sorted, by its id.
    pub kind: Option<String>,
    /// The season of each kind that is in question.
    pub seasons: Vec<(String, SeasonState)>,
    /// Practice or the guide, where the water is chosen for it.
    pub water_for: Option<Screen>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The choice of the rule.
#[component]
pub fn RulesScreen(props: &RulesProps) -> Html {
    let query = use_state_eq(String::new);
    let looked_at = use_state_eq(|| None::<String>);
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
        let is_asked = |choice: &Choice| {
            choice.is_same_area(&entry.choice) && (entry.part.is_none() || choice.part == entry.part)
        };
        let is_chosen = props.book.choice.as_ref().is_some_and(is_asked);
        html! {
            <li><AreaButton {entry} {is_chosen} act={props.act.clone()} /></li>
        }
    });
    let rule: Option<Rc<RuleInForce>> = props.book.in_force.clone();
    let kind = rule.as_ref().map(|rule| rule.species.clone()).filter(|kind| kind != ANY_CRAB);
    // Any kind's rule can be read before a crab is in hand; it is the crab's answer that puts one in force.
    let kinds: Vec<String> = std::iter::once(ANY_CRAB.to_owned()).chain(props.book.kinds()).collect();
    let sorted = props.kind.clone().filter(|kind| kinds.contains(kind));
    let wanted =
        (*looked_at).clone().or_else(|| kind.clone()).or(sorted).unwrap_or_else(|| ANY_CRAB.to_owned());
    let kind_at = kinds.iter().position(|known| *known == wanted).unwrap_or(0);
    let by_kind: Vec<Option<RuleInForce>> = kinds.iter().map(|kind| props.book.rule_of(kind)).collect();
    let names: Vec<AttrValue> = by_kind
        .iter()
        .map(|rule| rule.as_ref().map_or_else(AttrValue::default, |rule| rule.species_name.clone().into()))
        .collect();
    let picked = {
        let (looked_at, kinds) = (looked_at.clone(), kinds.clone());
        Callback::from(move |at: usize| looked_at.set(kinds.get(at).cloned()))
    };
    let shown = rule
        .is_some()
        .then(|| by_kind.into_iter().nth(kind_at).flatten().map(Rc::new).or(rule.clone()))
        .flatten();
    let season = shown.as_ref().map_or_else(String::new, |rule| {
        let of_kind =
            props.seasons.iter().filter(|(kind, _)| *kind == rule.species_name || rule.species == ANY_CRAB);
        season_in_short(&of_kind.cloned().collect::<Vec<_>>())
    });
    // Who has a water comes to read its rule: the list is for who looks for another.
    let is_looking = rule.is_none() || !query.is_empty();
    html! {
        <section id="screen-rules" class="screen">
            <h1>{ if rule.is_some() { "What decides here" } else { "Which water, which day?" } }</h1>
            if let Some(from) = props.water_for {
                <button id="rules-back" type="button" class={classes!("wide-act", rule.is_some().then_some("main-act"))}
                    onclick={props.act.reform(move |_: MouseEvent| Action::Show(from))}>
                    { if from == Screen::Guide { "Back to the group" } else { "Back to practice" } }
                </button>
            }
            if let Some(rule) = &shown {
                if kinds.len() > 1 {
                    <ChoiceField id="rule-kind" label="The rule for" options={names} chosen={kind_at} {picked} />
                }
                <RuleInShort rule={rule.clone()} confirmations={props.book.confirmations.clone()} date={props.date} {season} />
            }
            if let Some(rule) = &rule {
                <p id="rule-source">{ source_and_age(rule, props.today) }</p>
                <h2>{ "Another water or day" }</h2>
            }
            <label for="rule-date">{ "Day of the catch" }</label>
            <input id="rule-date" type="date" value={props.date.to_string()} onchange={dated} />
            <label for="rule-search">{ "Country, water, area, town or kind" }</label>
            <input id="rule-search" type="search" autocomplete="off" value={(*query).clone()} oninput={typed} />
            <p class="hint" role="status">
                { match count {
                    _ if !is_looking => format!("{count} areas: a word finds one."),
                    0 => "No area holds all these words. Try fewer, or make a rule of your own below.".to_owned(),
                    1 => "One area.".to_owned(),
                    count if count > MOST_SHOWN => format!("{count} areas, the first {MOST_SHOWN} shown: another word narrows it."),
                    count => format!("{count} areas."),
                } }
            </p>
            <SuggestWater packs={packs.clone()} choice={props.book.choice.clone()} act={props.act.clone()} />
            if is_looking {
                <ul class="areas">{ for entries }</ul>
            }
            if let Some(rule) = shown {
                <RuleFacts {rule} confirmations={props.book.confirmations.clone()} date={props.date} today={props.today}
                    act={props.act.clone()} />
            }
            <OwnRules book={props.book.clone()} kind={Some(wanted).filter(|kind| kind != ANY_CRAB)} act={props.act.clone()} />
        </section>
    }
}

/// Where the rule in force was read, and how long ago.
fn source_and_age(rule: &RuleInForce, today: Date) -> String {
    let [_, source, age] = rule_in_force(rule, "", today, today);
    format!("{source}; {age}.")
}
