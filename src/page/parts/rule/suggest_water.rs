//! Waters near the device: suggested on a tap, never chosen, never kept.

use std::rc::Rc;

use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

use super::area_button::AreaButton;
use crate::page::hooks::device::position::{Need, NoPosition, ask_position};
use crate::rules::{AreaEntry, Choice, Pack, suggest};
use crate::session::Action;

/// What is suggested from.
#[derive(Properties, PartialEq)]
pub struct SuggestWaterProps {
    /// All packs.
    pub packs: Rc<Vec<Pack>>,
    /// What is chosen.
    pub choice: Option<Choice>,
    /// What was done.
    pub act: Callback<Action>,
}

#[derive(Debug, Clone, PartialEq)]
enum Asked {
    Not,
    Waiting,
    Failed(NoPosition),
    /// The waters, without the position they came from.
    Found(Vec<AreaEntry>),
}

/// The button and what it found.
#[component]
pub fn SuggestWater(props: &SuggestWaterProps) -> Html {
    let asked = use_state_eq(|| Asked::Not);
    let ask = {
        let (asked, packs) = (asked.setter(), props.packs.clone());
        Callback::from(move |_: MouseEvent| {
            let (asked, packs) = (asked.clone(), packs.clone());
            asked.set(Asked::Waiting);
            spawn_local(async move {
                asked.set(match ask_position(Need::Coarse).await {
                    Ok(place) => Asked::Found(suggest(&packs, place)),
                    Err(why) => Asked::Failed(why),
                });
            });
        })
    };
    let entries: &[AreaEntry] = if let Asked::Found(entries) = &*asked { entries } else { &[] };
    let words = match &*asked {
        Asked::Not => {
            "The browser then asks you, and may ask a location service of its maker; the position is not kept."
        }
        Asked::Waiting => "Asking the browser...",
        Asked::Failed(why) => why.words(),
        Asked::Found(entries) if entries.is_empty() => {
            "No pack here covers that place. Choose from the list, or make a rule of your own below."
        }
        Asked::Found(_) => {
            "Perhaps one of these: by coarse boxes drawn from memory, not by the rule's own boundary. You choose."
        }
    };
    html! {
        <div class="suggest">
            <button id="suggest-water" type="button" onclick={ask}>{ "Suggest from where I am" }</button>
            <p id="suggest-words" class="hint" role="status">{ words }</p>
            if !entries.is_empty() {
                <ul id="suggested" class="areas">
                    { for entries.iter().map(|entry| {
                        let is_chosen =
                            props.choice.as_ref().is_some_and(|choice| choice.is_same_area(&entry.choice));
                        html! { <li><AreaButton entry={entry.clone()} {is_chosen} group="suggested" act={props.act.clone()} /></li> }
                    }) }
                </ul>
            }
        </div>
    }
}
