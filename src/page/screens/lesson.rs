//! One lesson: a part of its frame on each screen.

use yew::prelude::*;

use crate::lessons::{Drawn, Lesson, Shown};
use crate::page::drawings::named;
use crate::page::hooks::lessons::{Fetched, lesson_was_seen, use_lesson_file};
use crate::page::parts::learn::diagram::{START, diagram};
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
    let stand = use_state_eq(|| START);
    let heading = use_node_ref();
    let name = props.open.as_ref().map(|open| open.name.clone());
    let at = props.open.as_ref().map_or(0, |open| open.at);
    let fetched = use_lesson_file(name.as_ref().map(|name| format!("{name}.json")));
    let lesson = match &fetched {
        Fetched::There(text) => serde_json::from_str::<Lesson>(text).ok(),
        _ => None,
    };
    let screens = lesson.as_ref().map_or(0, Lesson::screens);
    let shown = lesson.as_ref().map(|lesson| lesson.screen(at));
    // Only those that are not the page's own are fetched.
    let drawn = shown.as_ref().and_then(|shown| shown.drawing);
    let own = drawn.and_then(|drawn| named(&drawn.name));
    let drawing = use_lesson_file(drawn.filter(|_| own.is_none()).map(|drawn| format!("{}.svg", drawn.name)));
    {
        let heading = heading.clone();
        use_effect_with((name, at, screens), move |(name, at, screens)| {
            if let Some(heading) = heading.cast::<web_sys::HtmlElement>() {
                // Screen readers then read the new screen; without focus nothing is lost.
                let _ = heading.focus();
            }
            if let Some(name) = name.as_ref().filter(|_| *screens > 0 && at + 1 >= *screens) {
                lesson_was_seen(name);
            }
        });
    }
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
    let Some((lesson, shown)) = lesson.as_ref().zip(shown) else {
        let words = if fetched == Fetched::Coming { "Fetching the lesson." } else { NOT_THERE };
        return html! { <section id="screen-lesson" class="screen">{ leave }<p class="hint" role="status">{ words }</p></section> };
    };
    let Shown { part, says, facts, answer, .. } = shown;
    let origins = lesson.origins(&facts);
    let back = if at > 0 {
        way("lesson-back", "Back", LearnAct::Turn(at - 1))
    } else {
        html! { <span /> }
    };
    let next = if at + 1 < screens {
        way("lesson-next", "Next", LearnAct::Turn(at + 1))
    } else {
        way("lesson-next", "Done", LearnAct::Leave)
    };
    html! {
        <section id="screen-lesson" class="screen">
            <p class="lesson-where"><strong>{ &lesson.title }</strong>{ format!(", {} of {screens}", at + 1) }</p>
            <h1 ref={heading} tabindex="-1" class="question">{ part.words() }</h1>
            { for drawn.map(|drawn| lesson_drawing(drawn, own, &drawing)) }
            { for says.into_iter().map(|says| html! { <p class="lesson-says">{ says }</p> }) }
            { for answer.map(|answer| folded("lesson-answer", "The answer", vec![&answer.says])) }
            if shown.diagram {
                { diagram(&stand) }
            }
            <nav class="lesson-ways" aria-label="Screens of the lesson">{ back }{ next }{ leave }</nav>
            { folded("lesson-origins", "Where this is from", origins.iter().map(String::as_str).collect()) }
        </section>
    }
}

const NOT_THERE: &str = "This lesson is not on this device yet. Open the page once with a network.";

/// The drawing, with the lesson's text for who does not see it. Its own text is part of this build, whose files the
/// service worker checks: setting it in unchecked is safe.
fn lesson_drawing(drawn: &Drawn, own: Option<&'static str>, fetched: &Fetched) -> Html {
    let svg = match (own, fetched) {
        (Some(own), _) => AttrValue::Static(own),
        // A host may answer with its start page where a file is missing.
        (None, Fetched::There(svg)) if svg.starts_with("<svg") => svg.clone(),
        _ => AttrValue::default(),
    };
    html! {
        <div class="drawing lesson-drawing" role="img" aria-label={drawn.shows.clone()}>
            <div aria-hidden="true">{ Html::from_html_unchecked(svg) }</div>
        </div>
    }
}

/// Lines that open on a tap; closed again on the next screen.
fn folded(id: &'static str, summary: &'static str, lines: Vec<&str>) -> Html {
    html! {
        <details {id} key={lines.join(" ")}>
            <summary>{ summary }</summary>
            { for lines.into_iter().map(|line| html! { <p class="lesson-folded">{ line }</p> }) }
        </details>
    }
}
