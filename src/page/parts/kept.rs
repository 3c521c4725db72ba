//! The count of what was kept today, always against the daily limit.

use yew::prelude::*;

use crate::session::{Action, KeptLine};
use crate::text::{kept_today, kept_trouble};

/// The count.
#[derive(Properties, PartialEq)]
pub struct KeptProps {
    /// One line for each kind.
    pub lines: Vec<KeptLine>,
    /// The last one can be taken off.
    pub can_undo: bool,
    /// What was done.
    pub act: Callback<Action>,
}

/// The count, and the way to take the last one off it.
#[component]
pub fn Kept(props: &KeptProps) -> Html {
    if props.lines.is_empty() {
        return Html::default();
    }
    let act = props.act.clone();
    html! {
        <div id="kept-today" class="kept">
            <p class="kept-count" role="status">{ kept_today(&props.lines) }</p>
            if let Some(words) = kept_trouble(&props.lines) {
                <p class="detail">{ words }</p>
            }
            if props.can_undo {
                <button id="kept-undo" type="button" onclick={move |_| act.emit(Action::Unkeep)}>
                    { "Take the last one off" }
                </button>
            }
        </div>
    }
}
