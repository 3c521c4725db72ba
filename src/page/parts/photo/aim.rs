//! The aiming window: the photo moves under a fixed cross, so that no thumb hides the point.

use web_sys::{Element, HtmlElement};
use yew::prelude::*;

use super::magnified::Magnified;
use super::nudge::Nudge;
use crate::page::hooks::photo::shown_size::use_shown_width;
use crate::session::{Action, Aim, PhotoWork, Target};
use crate::text::Notice;
use crate::units::PhotoPoint;

/// Ways to look closer: CSS pixels per photo pixel.
const ZOOMS: [f64; 5] = [0.25, 0.5, 1.0, 2.0, 4.0];
/// The window at first shows about this much of the shell: a few teeth, so that one knows where one is, and
/// a tap that missed by a fingertip is still in it.
const FIRST_SHOWN_MM: f64 = 60.0;
/// As long as the scale is unknown: this much of the photo's long side.
const FIRST_SHARE: f64 = 0.1;

/// What is aimed at.
#[derive(Properties, PartialEq)]
pub struct AimWindowProps {
    /// The aim.
    pub aim: Aim,
    /// The drawn photo.
    pub photo: NodeRef,
    /// Longer side of the photo in pixels.
    pub long_side: u32,
    /// Photo pixels per millimetre near the card, where known.
    pub px_per_mm: Option<f64>,
    /// The window can ask for the nearest margin corner.
    pub can_snap: bool,
    /// Nothing was found near the cross.
    pub notice: Option<Notice>,
    /// The photo's findings: how unsure the point would be is drawn to scale.
    pub work: PhotoWork,
    /// What was done.
    pub act: Callback<Action>,
}

/// The window, its cross and its buttons.
#[component]
pub fn AimWindow(props: &AimWindowProps) -> Html {
    let pane = use_node_ref();
    let shown = use_shown_width(&pane, 0);
    let first = {
        let by_share = FIRST_SHARE * f64::from(props.long_side.max(1));
        let wanted =
            shown / props.px_per_mm.map_or(by_share, |px_per_mm| FIRST_SHOWN_MM * px_per_mm).max(1.0);
        let off = |zoom: f64| (zoom / wanted).ln().abs();
        (0..ZOOMS.len()).min_by(|&a, &b| off(ZOOMS[a]).total_cmp(&off(ZOOMS[b]))).unwrap_or(0)
    };
    let chosen = use_state_eq(|| None::<usize>);
    let level = chosen.unwrap_or(first);
    let zoom = ZOOMS[level.min(ZOOMS.len() - 1)];
    let grip = use_mut_ref(|| None::<((f64, f64), PhotoPoint, bool)>);
    let at = props.aim.at;

    {
        let pane = pane.clone();
        use_effect_with(target_key(props.aim.target), move |_| {
            if let Some(pane) = pane.cast::<HtmlElement>() {
                // The window works without focus too.
                let _ = pane.focus();
            }
        });
    }
    let css = |event: &PointerEvent| (f64::from(event.client_x()), f64::from(event.client_y()));
    let down = {
        let grip = grip.clone();
        Callback::from(move |event: PointerEvent| {
            let target: Element = event.target_unchecked_into();
            // Without capture the drag only ends sooner.
            let _ = target.set_pointer_capture(event.pointer_id());
            *grip.borrow_mut() = Some((css(&event), at, false));
        })
    };
    let moved = {
        let (grip, act) = (grip.clone(), props.act.clone());
        Callback::from(move |event: PointerEvent| {
            if let Some((start, from, has_moved)) = grip.borrow_mut().as_mut() {
                let (x, y) = css(&event);
                let (dx, dy) = (x - start.0, y - start.1);
                *has_moved |= dx.hypot(dy) > 4.0;
                if *has_moved {
                    act.emit(Action::AimAt(PhotoPoint::new(from.x - dx / zoom, from.y - dy / zoom)));
                }
            }
        })
    };
    let up = {
        let (grip, act, pane) = (grip.clone(), props.act.clone(), pane.clone());
        Callback::from(move |event: PointerEvent| {
            let taken = grip.borrow_mut().take();
            // A tap brings the tapped place under the cross.
            if let (Some((start, from, false)), Some(pane)) = (taken, pane.cast::<Element>()) {
                let rect = pane.get_bounding_client_rect();
                let dx = start.0 - rect.left() - rect.width() / 2.0;
                let dy = start.1 - rect.top() - rect.height() / 2.0;
                act.emit(Action::AimAt(PhotoPoint::new(from.x + dx / zoom, from.y + dy / zoom)));
            }
            event.stop_propagation();
        })
    };
    let step_zoom = {
        let chosen = chosen.clone();
        move |by: isize| chosen.set(Some(level.saturating_add_signed(by).min(ZOOMS.len() - 1)))
    };
    let keyed = {
        let (act, step_zoom) = (props.act.clone(), step_zoom.clone());
        Callback::from(move |event: KeyboardEvent| {
            let step = if event.shift_key() { 10.0 } else { 1.0 };
            let to = |right: f64, down: f64| {
                Some(Action::StepAim { right_px: right * step, down_px: down * step })
            };
            let action = match event.key().as_str() {
                "ArrowLeft" => to(-1.0, 0.0),
                "ArrowRight" => to(1.0, 0.0),
                "ArrowUp" => to(0.0, -1.0),
                "ArrowDown" => to(0.0, 1.0),
                "Enter" => Some(Action::SetAim { px_per_css: 1.0 / zoom }),
                "Escape" => Some(Action::CloseTool),
                "+" | "=" => {
                    step_zoom(1);
                    None
                }
                "-" => {
                    step_zoom(-1);
                    None
                }
                _ => return,
            };
            event.prevent_default();
            if let Some(action) = action {
                act.emit(action);
            }
        })
    };
    let does = |action: Action| {
        let act = props.act.clone();
        Callback::from(move |_: MouseEvent| act.emit(action.clone()))
    };
    let nudge = |id: &'static str, sign: &'static str, label: &'static str, right_px: f64, down_px: f64| {
        let act = props.act.clone();
        let step = Callback::from(move |()| act.emit(Action::StepAim { right_px, down_px }));
        html! { <Nudge {id} {sign} {label} {step} /> }
    };
    let zoom_by = |by: isize| {
        let step_zoom = step_zoom.clone();
        Callback::from(move |_: MouseEvent| step_zoom(by))
    };
    let what = match props.aim.target {
        Target::Point(which) => {
            format!("{} point", if which == 0 { "First" } else { "Second" })
        }
        Target::Corner(which) => format!("Card corner {}", which + 1),
    };
    let radius = px_100(2.0 * props.work.aimed_u_px(1.0 / zoom) * zoom, shown);
    html! {
        <div id="aim" class="aim" role="group" aria-label={what.clone()}>
            <p class="aim-title"><strong>{ what }</strong>{ ": tap it in the photo, then slide it under the cross." }</p>
            <div class="aim-view">
            <div ref={pane} class="aim-pane" tabindex="0" role="application"
                aria-label={format!("Aiming window at {:.0} across, {:.0} down. Arrow keys move by a pixel, Enter sets the point, Escape closes.", at.x, at.y)}
                onpointerdown={down} onpointermove={moved} onpointerup={up.clone()} onpointercancel={up}
                onkeydown={keyed}>
                <Magnified photo={props.photo.clone()} centre={at} {zoom} size={shown} />
                <svg viewBox="-50 -50 100 100" aria-hidden="true">
                    <circle class="uncertainty" cx="0" cy="0" r={radius} />
                    <path class="aim-halo" d="M-50 0H-3M3 0H50M0 -50V-3M0 3V50" />
                    <path class="aim-cross" d="M-50 0H-3M3 0H50M0 -50V-3M0 3V50" />
                    <circle class="aim-dot" cx="0" cy="0" r="0.5" />
                </svg>
            </div>
            <div class="nudges" role="group" aria-label="One pixel">
                { nudge("nudge-up", "▲", "One pixel up", 0.0, -1.0) }
                { nudge("nudge-left", "◀", "One pixel left", -1.0, 0.0) }
                { nudge("nudge-right", "▶", "One pixel right", 1.0, 0.0) }
                { nudge("nudge-down", "▼", "One pixel down", 0.0, 1.0) }
            </div>
            </div>
            if let Some(notice) = &props.notice {
                <p class="aim-title" role="status">{ format!("{} {}", notice.seen, notice.next_step) }</p>
            }
            <div class="aim-keys">
                <div class="zooms">
                    <button id="aim-wider" type="button" disabled={level == 0} aria-label="Wider"
                        onclick={zoom_by(-1)}>{ "−" }</button>
                    <button id="aim-closer" type="button" disabled={level + 1 == ZOOMS.len()}
                        aria-label="Closer" onclick={zoom_by(1)}>{ "+" }</button>
                    if props.can_snap {
                        <button id="aim-snap" type="button" onclick={does(Action::SnapAim)}>{ "Nearest corner" }</button>
                    }
                </div>
                <div class="aim-acts">
                    <button id="aim-close" type="button" onclick={does(Action::CloseTool)}>{ "Leave" }</button>
                    <button id="aim-set" type="button" class="main-act" onclick={does(Action::SetAim { px_per_css: 1.0 / zoom })}>
                        { "Set it here" }
                    </button>
                </div>
            </div>
        </div>
    }
}

fn target_key(target: Target) -> usize {
    match target {
        Target::Point(which) => which,
        Target::Corner(which) => 2 + which,
    }
}

/// A length in CSS pixels as units of the cross's 100 x 100 drawing.
fn px_100(css: f64, shown: f64) -> String {
    format!("{:.2}", (css * 100.0 / shown.max(1.0)).max(0.2))
}
