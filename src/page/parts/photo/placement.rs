//! Where the card lies, by three small pictures.

use yew::prelude::*;

use crate::session::Action;
use crate::terms::Placement;

/// What is chosen.
#[derive(Properties, PartialEq)]
pub struct PlacementProps {
    /// Now.
    pub placement: Placement,
    /// What was done.
    pub act: Callback<Action>,
}

/// Three pictures to choose from.
#[component]
pub fn PlacementChoice(props: &PlacementProps) -> Html {
    let choice =
        |id: &'static str, placement: Placement, words: &'static str, card: (&'static str, &'static str)| {
            let act = props.act.clone();
            let pressed = (props.placement == placement).to_string();
            html! {
                <button {id} type="button" class="choice" aria-pressed={pressed}
                    onclick={move |_| act.emit(Action::SetPlacement(placement))}>
                    <svg viewBox="0 0 96 56" aria-hidden="true" class="pictogram">
                        <path class="deck" d="M2 50H94" />
                        <path class="shell" d="M14 40C16 24 30 18 40 18S64 24 66 40C58 46 22 46 14 40Z" />
                        <path class="legs" d="M18 42L10 50M26 44L22 50M54 44L58 50M62 42L70 50" />
                        if placement == Placement::Level {
                            <rect class="block" x="74" y="38" width="18" height="12" />
                        }
                        <rect class="card" x={card.0} y={card.1} width="22" height="4" />
                    </svg>
                    <span>{ words }</span>
                </button>
            }
        };
    html! {
        <fieldset class="placement">
            <legend>{ "Where is the card?" }</legend>
            <div class="choices">
                { choice("placement-deck", Placement::Deck, "On the deck", ("72", "46")) }
                { choice("placement-level", Placement::Level, "Level with the edge", ("72", "34")) }
                { choice("placement-back", Placement::Back, "On the back", ("29", "14")) }
            </div>
        </fieldset>
    }
}
