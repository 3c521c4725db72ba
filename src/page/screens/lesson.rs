//! One lesson: a part of its frame on each screen, as the build wrote it.

use wasm_bindgen::JsCast;
use web_sys::HtmlElement;
use yew::prelude::*;

use crate::lessons::diagram::START;
use crate::lessons::html::{DIAGRAM, FOLDED, NEXT_SCREEN};
use crate::page::hooks::lessons::{Fetched, lesson_was_seen, use_lesson_file};
use crate::page::parts::learn::diagram::diagram;
use crate::session::{Action, LearnAct, OpenLesson, Screen};

/// Which lesson.
#[derive(Properties, PartialEq)]
pub struct LessonProps {
    /// The lesson that is open; none after a reload.
    pub open: Option<OpenLesson>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The lesson. Its text comes from this build, whose files are checked, so setting it in as it is is safe.
#[component]
pub fn LessonScreen(props: &LessonProps) -> Html {
    let stand = use_state_eq(|| START);
    let name = props.open.as_ref().map(|open| open.name.clone());
    let at = props.open.as_ref().map_or(0, |open| open.at);
    let fetched = use_lesson_file(name.as_ref().map(|name| format!("{name}.html")));
    let text = match &fetched {
        Fetched::There(text) => text.as_str(),
        _ => "",
    };
    let screens = text.split(NEXT_SCREEN).count();
    let shown = text.split(NEXT_SCREEN).nth(at).and_then(|screen| screen.split_once(FOLDED));
    let is_last = at + 1 >= screens;
    use_effect_with((name, at, shown.is_some(), is_last), |(name, _, is_shown, is_last)| {
        let heading = gloo::utils::document().query_selector("#screen-lesson .question").ok().flatten();
        if let Some(heading) = heading.and_then(|heading| heading.dyn_into::<HtmlElement>().ok()) {
            // Screen readers then read the new screen; without focus nothing is lost.
            let _ = heading.focus();
        }
        if let Some(name) = name.as_ref().filter(|_| *is_shown && *is_last) {
            lesson_was_seen(name);
        }
    });
    let way = |id: &'static str, words: &'static str, learn: LearnAct| {
        let act = props.act.clone();
        // A wet finger bounces: the second half of a double tap was meant for the screen before.
        let onclick = move |event: MouseEvent| {
            if event.detail() < 2 {
                act.emit(Action::Learn(learn.clone()));
            }
        };
        let class = (id == "lesson-next").then_some("main-act");
        html! { <button {id} type="button" {class} {onclick}>{ words }</button> }
    };
    let leave = match props.open.as_ref().map(|open| open.from) {
        Some(Screen::Checks) => "Back to the check",
        Some(Screen::Learn) | None => "All lessons",
        Some(_) => "Back to where you were",
    };
    let leave = way("lesson-leave", leave, LearnAct::Leave);
    let Some((body, folded)) = shown else {
        let words = if fetched == Fetched::Coming { "Fetching the lesson." } else { NOT_THERE };
        return html! { <section id="screen-lesson" class="screen">{ leave }<p class="hint" role="status">{ words }</p></section> };
    };
    let raw = |html: &str| Html::from_html_unchecked(html.to_owned().into());
    let back = if at > 0 {
        way("lesson-back", "Back", LearnAct::Turn(at - 1))
    } else {
        html! { <span /> }
    };
    let next = if is_last {
        way("lesson-next", "Done", LearnAct::Leave)
    } else {
        way("lesson-next", "Next", LearnAct::Turn(at + 1))
    };
    html! {
        <section id="screen-lesson" class="screen">
            <div>{ raw(body) }</div>
            if body.ends_with(DIAGRAM) {
                { diagram(&stand) }
            }
            <nav class="lesson-ways" aria-label="Screens of the lesson">{ back }{ next }{ leave }</nav>
            <div>{ raw(folded) }</div>
            <div class="sheet">{ raw(&on_paper(text)) }</div>
        </section>
    }
}

/// The whole lesson for the printer: every screen, its answer and its sources unfolded.
fn on_paper(text: &str) -> String {
    let body = text.replace(NEXT_SCREEN, "").replace(FOLDED, "").replace(DIAGRAM, "");
    // The screen that is shown has these ids.
    body.replace("<details id=", "<details open data-part=")
}

const NOT_THERE: &str = "This lesson is not on this device yet. Open the page once with a network.";
