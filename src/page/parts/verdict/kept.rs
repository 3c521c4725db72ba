//! The count of what was kept today, always against the daily limit, and what is held from earlier days.

use yew::prelude::*;

use crate::day::Id;
use crate::session::words::{held_words, kept_today};
use crate::session::{Action, DayAct, HeldLine, KeptLine};

/// The count.
#[derive(Properties, PartialEq)]
pub struct KeptProps {
    /// One line for each kind.
    pub lines: Vec<KeptLine>,
    /// The last one can be taken off.
    pub can_undo: bool,
    /// The way on, between the count and the way back.
    #[prop_or_default]
    pub children: Html,
    /// What was done.
    pub act: Callback<Action>,
}

/// The count, and the way to take the last one off it.
#[component]
pub fn Kept(props: &KeptProps) -> Html {
    if props.lines.is_empty() {
        return props.children.clone();
    }
    let act = props.act.clone();
    let held = props.lines.iter().filter_map(|line| Some((line.held.as_ref()?, line.kept)));
    html! {
        <>
            <div id="kept-today" class="kept">
                <p class="kept-count" role="status">{ kept_today(&props.lines) }</p>
            </div>
            { props.children.clone() }
            if props.can_undo || props.lines.iter().any(|line| line.held.is_some()) {
                <div class="kept">
                    if props.can_undo {
                        <button id="kept-undo" type="button" onclick={move |_| act.emit(Action::Day(DayAct::UndoEnd))}>
                            { "Undo" }
                        </button>
                    }
                    { for held.map(|(line, kept)| earlier(line, kept, &props.act)) }
                </div>
            }
        </>
    }
}

fn said(person: &Id, species: &str, count: Option<u32>) -> Action {
    Action::Day(DayAct::Earlier { person: person.clone(), species: species.to_owned(), count })
}

/// What is held from earlier days, one up or down at a tap.
fn earlier(line: &HeldLine, kept: u32, act: &Callback<Action>) -> Html {
    let say = |id: &str, words: &'static str, count: Option<u32>| {
        let (act, species, person) = (act.clone(), line.species.clone(), line.person.clone());
        let whose =
            if line.person == Id::first_person() { String::new() } else { format!("-{}", line.person.0) };
        let id = format!("earlier-{id}-{}{whose}", line.species);
        html! {
            <button {id} type="button"
                onclick={move |_| act.emit(said(&person, &species, count))}>{ words }</button>
        }
    };
    html! {
        <div class="kept-earlier">
            <p role="status">{ held_words(line, kept) }</p>
            <div class="tools">
                if let Some(earlier) = line.earlier {
                    { say("less", "One fewer", earlier.checked_sub(1)) }
                    { say("more", "One more", Some(earlier.saturating_add(1))) }
                } else {
                    { say("none", "None from earlier days", Some(0)) }
                    { say("some", "One, then more", Some(1)) }
                }
            </div>
        </div>
    }
}
