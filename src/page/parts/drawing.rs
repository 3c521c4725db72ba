//! Our own line drawings, set into the page.

use std::cell::RefCell;
use std::collections::HashMap;

use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

use crate::page::hooks::meta::meta;
use crate::page::hooks::photo::photo_file::fetch_text;

thread_local! {
    /// What was fetched, by its file: a question that is asked again has its pictures at once.
    static FETCHED: RefCell<HashMap<&'static str, AttrValue>> = RefCell::default();
}

/// Which drawing.
#[derive(Properties, PartialEq)]
pub struct DrawingProps {
    /// Its file, one of `page::drawings`.
    pub file: &'static str,
    /// It says what the words beside it say already: screen readers skip it.
    #[prop_or_default]
    pub is_decoration: bool,
}

/// The drawing. Its text comes from this build, whose files are checked, so setting it in as it is is safe. Where it
/// cannot be had its place stays empty: the words beside it ask the same.
#[component]
pub fn Drawing(props: &DrawingProps) -> Html {
    let file = props.file;
    let there = use_state_eq(|| None);
    {
        let there = there.clone();
        use_effect_with(file, move |&file| {
            spawn_local(async move {
                if !FETCHED.with_borrow(|fetched| fetched.contains_key(file)) {
                    let text = fetch_text(&format!("{}drawings/{file}", meta("shellspan-base"))).await;
                    let Some(text) = text.filter(|text| text.starts_with("<svg")) else { return };
                    FETCHED.with_borrow_mut(|fetched| fetched.insert(file, text.into()));
                }
                there.set(Some(file));
            });
        });
    }
    let text = FETCHED.with_borrow(|fetched| fetched.get(file).cloned());
    html! {
        <div class={if text.is_some() { "drawing" } else { "drawing waits" }} aria-hidden={props.is_decoration.then_some("true")}>
            if let Some(text) = text {
                { Html::from_html_unchecked(text) }
            }
        </div>
    }
}

/// Which mark.
#[derive(Properties, PartialEq)]
pub struct MarkProps {
    /// The SVG text, part of the program.
    pub svg: &'static str,
}

/// The mark of a verdict, beside its word.
#[component]
pub fn VerdictMark(props: &MarkProps) -> Html {
    html! { <div class="drawing" aria-hidden="true">{ Html::from_html_unchecked(AttrValue::Static(props.svg)) }</div> }
}
