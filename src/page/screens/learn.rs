//! Learn: the lessons, in the order of teaching, and the ways to practise and to lead a group.

use yew::prelude::*;

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
    let list = use_lesson_file(Some("index.txt".into()));
    let seen = seen_lessons();
    let does = |action: Action| {
        let act = props.act.clone();
        Callback::from(move |_: MouseEvent| act.emit(action.clone()))
    };
    let text = match &list {
        Fetched::There(text) => text.as_str(),
        _ => "",
    };
    // The build writes a line for each lesson: its name, a space, its title.
    let listed = text.lines().filter_map(|line| line.split_once(' '));
    let lessons = listed.map(|(name, title)| {
        let is_seen = seen.iter().any(|known| known == name);
        html! {
            <li>
                <button id={format!("lesson-{name}")} type="button" class={if is_seen { "lesson seen" } else { "lesson" }}
                    onclick={does(Action::Learn(LearnAct::Open(name.to_owned())))}>
                    <span class="lesson-name">{ title }</span>
                    <span class="lesson-state">{ if is_seen { "read" } else { "one to two minutes" } }</span>
                </button>
            </li>
        }
    });
    html! {
        <section id="screen-learn" class="screen">
            <h1>{ "Learn the checks" }</h1>
            <p>{ "Short lessons for the ride out, then drawn crabs to sort. All of it works without a network." }</p>
            <nav class="tools" aria-label="Practise and teach">
                <button id="learn-practice" type="button" onclick={does(Action::Show(Screen::Practice))}>{ "Practise keep or let go" }</button>
                <button id="learn-photos" type="button" onclick={does(Action::Show(Screen::Start))}>{ "Practise on photos" }</button>
                <button id="go-guide" type="button" onclick={does(Action::Show(Screen::Guide))}>{ "Lead a group" }</button>
            </nav>
            <h2>{ "Lessons" }</h2>
            if list == Fetched::Missing {
                <p class="hint" role="status">{ "The lessons are not on this device yet. Open the page once with a network." }</p>
            }
            <ol class="lessons">{ for lessons }</ol>
        </section>
    }
}
