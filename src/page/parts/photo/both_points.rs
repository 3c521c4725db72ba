//! Both points magnified side by side, turned so that the crab's width lies level; another photo's below them.

use std::rc::Rc;

use yew::prelude::*;

use super::magnified::Magnified;
use crate::page::hooks::photo::photo_file::PhotoFile;
use crate::session::{Action, Target};
use crate::units::PhotoPoint;

/// Side of one magnified piece in CSS px.
const SIDE_CSS: f64 = 132.0;
/// What a piece shows, in mm on the shell.
const SPAN_MM: f64 = 20.0;

/// What is shown.
#[derive(Properties, PartialEq)]
pub struct BothPointsProps {
    /// The photo in view, as it is drawn.
    pub photo: NodeRef,
    /// Its two points.
    pub points: [PhotoPoint; 2],
    /// Its resolution on the card.
    pub px_per_mm: f64,
    /// Another photo's file, with the same two points there and its resolution.
    pub other: Option<(Rc<PhotoFile>, [PhotoPoint; 2], f64)>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The pieces.
#[component]
pub fn BothPoints(props: &BothPointsProps) -> Html {
    let other_photo = use_node_ref();
    let loaded = use_state_eq(|| 0_u32);
    let on_load = {
        let loaded = loaded.clone();
        Callback::from(move |_: Event| loaded.set(*loaded + 1))
    };
    // The photo in view may still be loading when this is drawn first.
    let drawn = use_state_eq(|| 0_u32);
    {
        let drawn = drawn.clone();
        use_effect_with(props.points, move |_| drawn.set(*drawn + 1));
    }
    let piece = |photo: &NodeRef, points: [PhotoPoint; 2], which: usize, px_per_mm: f64, version: u32| {
        let turn_deg = -(points[1].y - points[0].y).atan2(points[1].x - points[0].x).to_degrees();
        let zoom = SIDE_CSS / (SPAN_MM * px_per_mm).max(1.0);
        html! {
            <span class="piece">
                <Magnified photo={photo.clone()} centre={points[which]} {zoom} size={SIDE_CSS} {turn_deg} {version} />
                <svg viewBox="-50 -50 100 100" aria-hidden="true">
                    <path class="aim-halo" d="M-50 0H-10M10 0H50M0 -50V-10M0 10V50" />
                    <path class="aim-cross" d="M-50 0H-10M10 0H50M0 -50V-10M0 10V50" />
                </svg>
            </span>
        }
    };
    let of_this = (0..2).map(|which| {
        let act = props.act.clone();
        let at = props.points[which];
        let name = if which == 0 { "First" } else { "Second" };
        html! {
            <button id={format!("piece-{which}")} type="button" class="piece-button"
                aria-label={format!("{name} point, magnified: tap to place it anew")}
                onclick={move |_| act.emit(Action::OpenAim { target: Target::Point(which), at })}>
                { piece(&props.photo, props.points, which, props.px_per_mm, *drawn) }
            </button>
        }
    });
    html! {
        <div id="both-points" class="both-points">
            <div class="pieces">{ for of_this }</div>
            if let Some((file, points, px_per_mm)) = &props.other {
                <p class="hint">{ "The same spots in the other photo:" }</p>
                <div class="pieces" role="img" aria-label="The same two spots in the other photo, magnified">
                    <img ref={other_photo.clone()} class="unseen" src={file.url.to_string()} alt="" onload={on_load} />
                    { piece(&other_photo, *points, 0, *px_per_mm, *loaded) }
                    { piece(&other_photo, *points, 1, *px_per_mm, *loaded) }
                </div>
            }
        </div>
    }
}
