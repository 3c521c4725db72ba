//! One water to choose.

use yew::prelude::*;

use crate::rules::{AreaEntry, Choice};
use crate::session::Action;
use crate::text::full_area_name;

/// One water.
#[derive(Properties, PartialEq)]
pub struct AreaButtonProps {
    /// The water.
    pub entry: AreaEntry,
    /// True when its rule is in force.
    pub is_chosen: bool,
    /// First part of its id.
    #[prop_or(AttrValue::Static("area"))]
    pub group: AttrValue,
    /// What was done.
    pub act: Callback<Action>,
}

/// One water to choose.
#[component]
pub fn AreaButton(props: &AreaButtonProps) -> Html {
    let entry = &props.entry;
    let choice: Choice = entry.choice.clone();
    let act = props.act.clone();
    let id = format!("{}-{}-{}", props.group, choice.pack, choice.area);
    html! {
        <button {id} type="button" class="area" aria-pressed={props.is_chosen.to_string()}
            onclick={move |_| act.emit(Action::ChooseRule(choice.clone()))}>
            if let Some(part) = &entry.part {
                <span class="area-name">{ part }</span>
                <span class="area-where">{ full_area_name(&entry.jurisdiction, &entry.name) }</span>
            } else {
                <span class="area-name">{ full_area_name(&entry.jurisdiction, &entry.name) }</span>
            }
            <span class="area-where">
                { &entry.country }
                if entry.is_own { { " (your own)" } }
            </span>
        </button>
    }
}
