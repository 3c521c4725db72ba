//! One lesson: a part of its frame on each screen.

use yew::prelude::*;

use crate::lessons::frame::COMMON_PRACTICE;
use crate::lessons::{Fact, Lesson};
use crate::page::hooks::lessons::{Fetched, lesson_was_seen, use_lesson_file};
use crate::page::parts::learn::diagram::Diagram;
use crate::page::parts::learn::lesson_drawing::LessonDrawing;
use crate::session::{Action, LearnAct, OpenLesson, Screen};

/// Which lesson.
#[derive(Properties, PartialEq)]
pub struct LessonProps {
    /// The lesson that is open; none after a reload.
    pub open: Option<OpenLesson>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The lesson.
#[component]
pub fn LessonScreen(props: &LessonProps) -> Html {
    let name = props.open.as_ref().map(|open| open.name.clone());
    let at = props.open.as_ref().map_or(0, |open| open.at);
    let lesson = use_lesson_file::<Lesson>(name.clone());
    let heading = use_node_ref();
    let is_there = matches!(lesson, Fetched::There(_));
    {
        let heading = heading.clone();
        use_effect_with((name.clone(), at, is_there), move |_| {
            if let Some(heading) = heading.cast::<web_sys::HtmlElement>() {
                // Screen readers then read the new screen; without focus nothing is lost.
                let _ = heading.focus();
            }
        });
    }
    let screens = match &lesson {
        Fetched::There(lesson) => lesson.screens(),
        _ => 0,
    };
    use_effect_with((name, at, screens), move |(name, at, screens)| {
        if let Some(name) = name.as_ref().filter(|_| *screens > 0 && at + 1 >= *screens) {
            lesson_was_seen(name);
        }
    });
    // A wet finger bounces: the second half of a double tap was meant for the screen before.
    let does = |learn: LearnAct| {
        let act = props.act.clone();
        Callback::from(move |event: MouseEvent| {
            if event.detail() < 2 {
                act.emit(Action::Learn(learn.clone()));
            }
        })
    };
    let out = match props.open.as_ref().map(|open| open.from) {
        Some(Screen::Checks) => "Back to the check",
        Some(Screen::Learn) | None => "All lessons",
        Some(_) => "Back to where you were",
    };
    let leave =
        html! { <button id="lesson-leave" type="button" onclick={does(LearnAct::Leave)}>{ out }</button> };
    let lesson = match lesson {
        Fetched::There(lesson) => lesson,
        Fetched::Coming => {
            return html! { <section id="screen-lesson" class="screen">{ leave }<p class="hint">{ "Fetching the lesson." }</p></section> };
        }
        Fetched::Missing => {
            return html! {
                <section id="screen-lesson" class="screen">
                    { leave }
                    <p class="hint" role="status">{ "This lesson is not on this device yet. Open the page once with a network." }</p>
                </section>
            };
        }
    };
    let (part, shown) = lesson.screen(at);
    let body = match shown {
        Some(shown) => html! {
            <>
                { for shown.drawing.iter().map(|drawn| html! { <LessonDrawing key={drawn.name.clone()} drawn={drawn.clone()} /> }) }
                { for shown.facts.iter().map(|fact| html! { <p class="lesson-says">{ &fact.says }</p> }) }
                if shown.diagram {
                    <Diagram />
                }
            </>
        },
        None => {
            let task = &lesson.try_it;
            html! {
                <>
                    { for task.drawing.iter().map(|drawn| html! { <LessonDrawing key={drawn.name.clone()} drawn={drawn.clone()} /> }) }
                    <p class="lesson-says">{ &task.task }</p>
                    <details id="lesson-answer" key="answer">
                        <summary>{ "The answer" }</summary>
                        <p class="lesson-says">{ &task.answer.says }</p>
                    </details>
                </>
            }
        }
    };
    let from = match shown {
        Some(shown) => origins(&lesson, shown.facts.iter()),
        None => origins(&lesson, std::iter::once(&lesson.try_it.answer)),
    };
    let is_last = at + 1 >= screens;
    html! {
        <section id="screen-lesson" class="screen">
            <p class="lesson-where"><strong>{ &lesson.title }</strong>{ format!(", {} of {screens}", at + 1) }</p>
            <h1 ref={heading} tabindex="-1" class="question">{ part.words() }</h1>
            { body }
            <nav class="lesson-ways" aria-label="Screens of the lesson">
                <button id="lesson-back" type="button" disabled={at == 0} onclick={does(LearnAct::Turn(at.saturating_sub(1)))}>{ "Back" }</button>
                if is_last {
                    <button id="lesson-next" type="button" class="main-act" onclick={does(LearnAct::Leave)}>{ "Done" }</button>
                } else {
                    <button id="lesson-next" type="button" class="main-act" onclick={does(LearnAct::Turn(at + 1))}>{ "Next" }</button>
                }
                { leave }
            </nav>
            { from }
        </section>
    }
}

/// Where the facts of a screen are from, folded.
fn origins<'a>(lesson: &Lesson, facts: impl Iterator<Item = &'a Fact>) -> Html {
    let mut lines: Vec<String> = Vec::new();
    for fact in facts {
        let line = lesson.origin(fact);
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    // Common practice last: what was read stands first.
    lines.sort_by_key(|line| line.to_lowercase().starts_with(COMMON_PRACTICE));
    html! {
        <details class="origins" key="origins">
            <summary>{ "Where this is from" }</summary>
            <ul>{ for lines.into_iter().map(|line| html! { <li class="address">{ line }</li> }) }</ul>
        </details>
    }
}
