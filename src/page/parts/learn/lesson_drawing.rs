//! A drawing of a lesson: one of the page's own, or one that is fetched, with the lesson's text for who does not see it.

use yew::prelude::*;

use crate::lessons::Drawn;
use crate::page::drawings::named;
use crate::page::hooks::lessons::{Fetched, use_lesson_drawing};

/// Which drawing.
#[derive(Properties, PartialEq)]
pub struct LessonDrawingProps {
    /// Its name and its text.
    pub drawn: Drawn,
}

/// The drawing. Its text is part of this build, whose files the service worker checks: setting it in unchecked is safe.
#[component]
pub fn LessonDrawing(props: &LessonDrawingProps) -> Html {
    let Drawn { name, shows } = &props.drawn;
    let own = named(name);
    let fetched = use_lesson_drawing(own.is_none().then(|| name.clone()));
    let svg = match (own, fetched) {
        (Some(own), _) => AttrValue::Static(own),
        (None, Fetched::There(svg)) => AttrValue::from((*svg).clone()),
        (None, Fetched::Coming) => AttrValue::default(),
        (None, Fetched::Missing) => {
            return html! { <p class="hint">{ format!("The drawing is not on this device. It shows: {shows}") }</p> };
        }
    };
    html! {
        <div class="drawing lesson-drawing" role="img" aria-label={shows.clone()}>
            <div aria-hidden="true">{ Html::from_html_unchecked(svg) }</div>
        </div>
    }
}
