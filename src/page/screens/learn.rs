//! Learn: the lessons, in the order of teaching, and the ways to practise and to lead a group.

use yew::prelude::*;

use crate::lessons::Listed;
use crate::page::hooks::lessons::{Fetched, seen_lessons, use_lesson_file};
use crate::session::{Action, LearnAct, Screen};

/// What the list needs.
#[derive(Properties, PartialEq)]
pub struct LearnProps {
    /// What was done.
    pub act: Callback<Action>,
}

/// The list.
#[component]
pub fn LearnScreen(props: &LearnProps) -> Html {
    let list = use_lesson_file(Some("index.json".into()));
    let seen = seen_lessons();
    let does = |action: Action| {
        let act = props.act.clone();
        Callback::from(move |_: MouseEvent| act.emit(action.clone()))
    };
    let listed = match &list {
        Fetched::There(text) => serde_json::from_str::<Vec<Listed>>(text).unwrap_or_default(),
        _ => Vec::new(),
    };
    let lessons = listed.into_iter().map(|Listed { name, title }| {
        let is_seen = seen.contains(&name);
        html! {
            <li>
                <button id={format!("lesson-{name}")} type="button" class={if is_seen { "lesson seen" } else { "lesson" }}
                    onclick={does(Action::Learn(LearnAct::Open(name)))}>
                    <span class="lesson-name">{ title }</span>
                    <span class="lesson-state">{ if is_seen { "read" } else { "one to two minutes" } }</span>
                </button>
            </li>
        }
    });
    html! {
        <section id="screen-learn" class="screen">
            <h1>{ "Learn the checks" }</h1>
            <p>{ "Short lessons, for the ride out. They work without a network." }</p>
            if list == Fetched::Missing {
                <p class="hint" role="status">{ "The lessons are not on this device yet. Open the page once with a network." }</p>
            }
            <ol class="lessons">{ for lessons }</ol>
            <nav class="tools" aria-label="Practise and teach">
                <button id="learn-photos" type="button" onclick={does(Action::Show(Screen::Start))}>{ "Practise on photos" }</button>
                <button id="go-guide" type="button" onclick={does(Action::Show(Screen::Guide))}>{ "Lead a group" }</button>
            </nav>
        </section>
    }
}
