//! Who is aboard.

use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

use crate::day::rows::{Licence, LicenceFor, same_name};
use crate::day::{Id, Person};
use crate::session::{Action, DayAct};

/// The persons.
#[derive(Properties, PartialEq)]
pub struct PeopleProps {
    /// Each with their name in the book.
    pub people: Vec<(Id, Person)>,
    /// The chosen water and the year, of which a word on a licence is.
    pub licence_for: Option<LicenceFor>,
    /// What was done.
    pub act: Callback<Action>,
}

fn person_named<'a>(people: &'a [(Id, Person)], name: &str) -> Option<&'a (Id, Person)> {
    people.iter().find(|(_, person)| same_name(&person.name, name))
}

/// The list, and the way to name one more.
#[component]
pub fn People(props: &PeopleProps) -> Html {
    let new_name = use_state(String::new);
    let said = use_state_eq(|| None::<String>);
    let aboard_now = props.people.iter().filter(|(_, person)| person.is_aboard).count();
    let change = |id: &Id, person: Person| {
        let (act, id) = (props.act.clone(), id.clone());
        move || act.emit(Action::Day(DayAct::Person(Some(id.clone()), person.clone())))
    };
    let line = |(at, (id, person)): (usize, &(Id, Person))| {
        let named = {
            let (act, id, person) = (props.act.clone(), id.clone(), person.clone());
            let (people, said) = (props.people.clone(), said.clone());
            Callback::from(move |event: Event| {
                let field: HtmlInputElement = event.target_unchecked_into();
                let name = field.value().trim().to_owned();
                let is_taken = person_named(&people, &name).is_some_and(|(other, _)| *other != id);
                said.set(
                    is_taken.then(|| format!("{name} is on the list already: give a name that differs.")),
                );
                if name.is_empty() || is_taken {
                    field.set_value(&person.name);
                } else if name != person.name {
                    let person = Person { name, ..person.clone() };
                    act.emit(Action::Day(DayAct::Person(Some(id.clone()), person)));
                }
            })
        };
        let aboard = change(id, Person { is_aboard: !person.is_aboard, ..person.clone() });
        let licence = {
            let (act, id, person) = (props.act.clone(), id.clone(), person.clone());
            let licence_for = props.licence_for.clone();
            Callback::from(move |event: Event| {
                let licence = match event.target_unchecked_into::<HtmlSelectElement>().value().as_str() {
                    "has" => Licence::Has,
                    "has-none" => Licence::HasNone,
                    "needs-none" => Licence::NeedsNone,
                    _ => Licence::NotSaid,
                };
                let person = Person { licence, licence_for: licence_for.clone(), ..person.clone() };
                act.emit(Action::Day(DayAct::Person(Some(id.clone()), person)));
            })
        };
        let licence_now = match &props.licence_for {
            Some(LicenceFor { pack, area, year }) => person.licence_in(pack, area, *year),
            None => person.licence,
        };
        let option = |value: &'static str, words: &'static str, is: Licence| {
            html! { <option {value} selected={licence_now == is}>{ words }</option> }
        };
        html! {
            <li key={id.0.to_string()} class="row">
                <label for={format!("person-name-{at}")}>{ "Name" }</label>
                <input id={format!("person-name-{at}")} type="text" autocomplete="off" maxlength="40" value={person.name.clone()} onchange={named} />
                <label for={format!("person-licence-{at}")}>{ "Licence" }</label>
                <select id={format!("person-licence-{at}")} onchange={licence}>
                    { option("not-said", "Not said", Licence::NotSaid) }
                    { option("has", "Has what this water asks for", Licence::Has) }
                    { option("has-none", "Has none", Licence::HasNone) }
                    { option("needs-none", "Needs none here", Licence::NeedsNone) }
                </select>
                <button id={format!("person-aboard-{at}")} type="button" disabled={person.is_aboard && aboard_now == 1} aria-pressed={person.is_aboard.to_string()}
                    onclick={move |_| aboard()}>{ "Aboard and fishing" }</button>
            </li>
        }
    };
    let typed = {
        let new_name = new_name.clone();
        move |event: InputEvent| new_name.set(event.target_unchecked_into::<HtmlInputElement>().value())
    };
    let add = {
        let (act, new_name) = (props.act.clone(), new_name.clone());
        let (people, said) = (props.people.clone(), said.clone());
        move |event: SubmitEvent| {
            event.prevent_default();
            let name = new_name.trim().to_owned();
            said.set(person_named(&people, &name).map(|(_, known)| match known.is_aboard {
                true => format!("{} is aboard already. Give another person a name that differs.", known.name),
                false => format!("{} was on the list, and is aboard now.", known.name),
            }));
            if !name.is_empty() {
                let person = Person { name, is_aboard: true, licence: Licence::NotSaid, licence_for: None };
                act.emit(Action::Day(DayAct::Person(None, person)));
                new_name.set(String::new());
            }
        }
    };
    html! {
        <>
            <h2>{ "People" }</h2>
            <p class="hint">{ "Each has a limit of their own. Crabs of somebody who does not fish count for nobody: many rules forbid that. A licence is said for the chosen water and this year." }</p>
            <ul id="people" class="rows">{ for props.people.iter().enumerate().map(line) }</ul>
            <form class="row" onsubmit={add}>
                <label for="person-new">{ "One more person" }</label>
                <input id="person-new" type="text" autocomplete="off" maxlength="40" value={(*new_name).clone()} oninput={typed} />
                <button id="person-add" type="submit">{ "Add" }</button>
            </form>
            if let Some(said) = &*said {
                <p id="people-said" role="status">{ said }</p>
            }
        </>
    }
}
