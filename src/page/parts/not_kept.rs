//! Says what of the crab in hand would be lost by a reload; nothing while all of it is kept.

use yew::prelude::*;

use crate::page::hooks::kept::not_kept::NotKept;

/// What is said.
#[derive(Properties, PartialEq)]
pub struct NotKeptBarProps {
    /// What is not kept.
    pub what: Option<NotKept>,
    /// The person has read it.
    pub seen: Callback<()>,
}

/// The bar.
#[component]
pub fn NotKeptBar(props: &NotKeptBarProps) -> Html {
    let Some(what) = &props.what else { return Html::default() };
    let seen = props.seen.clone();
    html! {
        <div id="not-kept" class="update not-kept" role="status" data-code={what.code()}>
            <p>{ what.words() }</p>
            <button id="not-kept-seen" type="button" onclick={move |_| seen.emit(())}>{ "I have read this" }</button>
        </div>
    }
}
