//! The photo with its marks: opened by a tap, held and dragged by a finger, stepped by keys. A swipe that begins on a
//! mark scrolls, as one beside it does.

use std::cell::Cell;
use std::rc::Rc;

use gloo::timers::callback::Timeout;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlImageElement};
use yew::prelude::*;

use super::frame::PhotoFrame;
use super::magnified::Magnified;
use super::marks::{PhotoMarks, drawn_point, px};
use crate::page::hooks::photo::held_touch::use_held_touch;
use crate::page::hooks::photo::photo_file::PhotoFile;
use crate::page::hooks::photo::shown_size::use_shown_width;
use crate::session::{Action, Aim, Framing, PhotoWork, Target, Tool};
use crate::units::{PhotoPoint, PhotoSize};

/// A finger covers about this much round its middle, in CSS pixels.
const REACH_CSS: f64 = 28.0;
/// Less movement than this is a tap.
const TAP_CSS: f64 = 5.0;
/// A finger that rests so long on a mark picks it up: as long as a browser takes for a long press, or a little less.
const HOLD_MS: u32 = 350;
/// Side of the magnifier beside a dragged mark.
const LOUPE_CSS: f64 = 132.0;
/// The window on the photo is about this much wider than high on a phone; a little more or less only
/// leaves another rim.
const WINDOW_ASPECT: f64 = 1.4;

/// The photo and what was found on it.
#[derive(Properties, PartialEq)]
pub struct PhotoViewProps {
    /// The file.
    pub file: Rc<PhotoFile>,
    /// The drawn photo, shared with the aiming window.
    pub photo: NodeRef,
    /// The findings.
    pub work: PhotoWork,
    /// What was done.
    pub act: Callback<Action>,
}

/// A mark under a finger or a mouse.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Drag {
    which: usize,
    start_css: (f64, f64),
    from: PhotoPoint,
    /// It follows: a mouse picks it up at once, a finger by resting on it.
    is_picked_up: bool,
    is_moving: bool,
    /// The finger is in the left half of the window.
    is_left: bool,
}

/// The photo with its marks.
#[component]
pub fn PhotoView(props: &PhotoViewProps) -> Html {
    let natural = use_state_eq(|| None::<PhotoSize>);
    let overlay = use_node_ref();
    let drag = use_state_eq(|| None::<Drag>);
    let known = props.work.scene.as_ref().map(|scene| scene.size).or(*natural);
    let zoom = use_state_eq(|| 1.0_f64);
    let shown = use_shown_width(&overlay, (known.map_or(0, |size| size.width), zoom.to_bits()));
    let start = (
        props.work.scene.as_ref().map_or(0, |scene| Rc::as_ptr(scene).addr()),
        Framing::occasion(&props.work),
    );
    // Held while a point is dragged: the photo must not move under the finger.
    let framing = *use_memo(start, |_| Framing::of(&props.work, WINDOW_ASPECT));
    let zoomed = {
        let zoom = zoom.setter();
        use_callback((), move |now, ()| zoom.set(now))
    };
    let is_held = (*use_memo((), |()| Rc::new(Cell::new(false)))).clone();
    use_held_touch(&overlay, &is_held, known.is_some());
    let hold = use_mut_ref(|| None::<Timeout>);
    let loaded = {
        let natural = natural.clone();
        Callback::from(move |event: Event| {
            let image: HtmlImageElement = event.target_unchecked_into();
            natural.set(Some(PhotoSize { width: image.natural_width(), height: image.natural_height() }));
        })
    };
    let broken = use_state_eq(|| None::<u64>);
    let failed = {
        let (broken, serial) = (broken.clone(), props.file.serial);
        Callback::from(move |_: Event| broken.set(Some(serial)))
    };
    let size = known.unwrap_or(PhotoSize { width: 4, height: 3 });
    let px_per_css = f64::from(size.width) / shown;

    let tapped = {
        let (act, overlay) = (props.act.clone(), overlay.clone());
        Callback::from(move |event: MouseEvent| {
            if let Some(at) = place(&overlay, size, f64::from(event.client_x()), f64::from(event.client_y()))
            {
                act.emit(Action::Tap { at, reach_px: REACH_CSS * px_per_css });
            }
        })
    };

    let mark = |which: usize| {
        let marked = props.work.marks.get(which)?;
        let at = marked.point;
        let down = {
            let (drag, hold, is_held) = (drag.clone(), hold.clone(), is_held.clone());
            Callback::from(move |event: PointerEvent| {
                event.prevent_default();
                if !event.is_primary() {
                    return;
                }
                let target: Element = event.target_unchecked_into();
                // Without capture the drag only ends sooner.
                let _ = target.set_pointer_capture(event.pointer_id());
                let start_css = (f64::from(event.client_x()), f64::from(event.client_y()));
                let is_left = start_css.0 < width_of_window() / 2.0;
                let is_picked_up = event.pointer_type() == "mouse";
                let begun = Drag { which, start_css, from: at, is_picked_up, is_moving: false, is_left };
                drag.set(Some(begun));
                if !is_picked_up {
                    let (drag, is_held) = (drag.clone(), is_held.clone());
                    *hold.borrow_mut() = Some(Timeout::new(HOLD_MS, move || {
                        is_held.set(true);
                        drag.set(Some(Drag { is_picked_up: true, ..begun }));
                    }));
                }
            })
        };
        let moved = {
            let (drag, act, hold) = (drag.clone(), props.act.clone(), hold.clone());
            Callback::from(move |event: PointerEvent| {
                let Some(now) = *drag else { return };
                let dx = f64::from(event.client_x()) - now.start_css.0;
                let dy = f64::from(event.client_y()) - now.start_css.1;
                if !now.is_picked_up {
                    // A swipe, where nothing can scroll: it moves nothing, and is no tap either.
                    if dx.hypot(dy) > TAP_CSS {
                        *hold.borrow_mut() = None;
                        drag.set(None);
                    }
                } else if now.is_moving || dx.hypot(dy) > TAP_CSS {
                    if !now.is_moving {
                        act.emit(Action::BeginMove);
                    }
                    drag.set(Some(Drag { is_moving: true, ..now }));
                    let to = PhotoPoint::new(now.from.x + dx * px_per_css, now.from.y + dy * px_per_css);
                    act.emit(Action::MoveMark { which: now.which, to, px_per_css });
                }
            })
        };
        let put_down = {
            let (drag, hold, is_held) = (drag.clone(), hold.clone(), is_held.clone());
            move || {
                *hold.borrow_mut() = None;
                is_held.set(false);
                drag.set(None);
            }
        };
        let up = {
            let (drag, act, put_down) = (drag.clone(), props.act.clone(), put_down.clone());
            Callback::from(move |event: PointerEvent| {
                event.stop_propagation();
                if let Some(now) = *drag
                    && !now.is_moving
                {
                    act.emit(Action::OpenAim { target: Target::Point(which), at });
                }
                put_down();
            })
        };
        // The browser scrolls: the finger was not here for the mark.
        let cancelled = Callback::from(move |_: PointerEvent| put_down());
        let keyed = mark_keys(which, at, px_per_css, &props.act);
        let label = format!(
            "{} point, {:.0} across, {:.0} down. Arrow keys move it by a pixel, with shift by ten; Enter opens the aiming window.",
            if which == 0 { "First" } else { "Second" },
            at.x,
            at.y
        );
        Some(html! {
            <g id={format!("mark-{which}")} data-u-px={marked.covariance_px2[(0, 0)].sqrt().to_string()} class="mark" tabindex="0" role="button" aria-label={label}
                onkeydown={keyed} onclick={|event: MouseEvent| event.stop_propagation()}>
                { drawn_point(&marked, 18.0 * px_per_css) }
                <circle class="mark-reach" cx={px(at.x)} cy={px(at.y)} r={px(REACH_CSS * px_per_css)}
                    onpointerdown={down} onpointermove={moved} onpointerup={up} onpointercancel={cancelled}
                    oncontextmenu={|event: MouseEvent| event.prevent_default()} />
            </g>
        })
    };

    let loupe =
        (*drag).filter(|drag| drag.is_moving || (drag.is_picked_up && is_held.get())).and_then(|drag| {
            let at = props.work.marks.get(drag.which)?.point;
            // At the top of the screen, on the side where the finger is not.
            let side = if drag.is_left { "right" } else { "left" };
            let zoom = (3.0 / px_per_css).clamp(0.5, 4.0);
            Some(html! {
                <div class={classes!("loupe", side)}>
                    <Magnified photo={props.photo.clone()} centre={at} {zoom} size={LOUPE_CSS} />
                    <svg viewBox="-50 -50 100 100" aria-hidden="true">
                        <path class="aim-halo" d="M-50 0H-6M6 0H50M0 -50V-6M0 6V50" />
                        <path class="aim-cross" d="M-50 0H-6M6 0H50M0 -50V-6M0 6V50" />
                    </svg>
                </div>
            })
        });
    let sight = match props.work.tool {
        Tool::Aim(Aim { at, .. }) => Some((at.x / f64::from(size.width), at.y / f64::from(size.height))),
        _ => None,
    };
    let view_box = format!("-0.5 -0.5 {} {}", size.width, size.height);
    let alt =
        props.work.in_hand.as_ref().map_or_else(String::new, |photo| format!("Your photo, {}", photo.name));
    if props.work.is_unusable() || *broken == Some(props.file.serial) {
        // The worker says what is wrong with the file and what to do: no empty window beside that.
        return Html::default();
    }
    html! {
        <PhotoFrame {framing} {start} is_loaded={natural.is_some()} {sight} {zoomed} over={loupe.unwrap_or_default()}>
            <img ref={props.photo.clone()} src={props.file.url.to_string()} {alt} onload={loaded} onerror={failed} draggable="false" />
            if known.is_some() {
                <svg ref={overlay} viewBox={view_box} preserveAspectRatio="none" onclick={tapped}
                    role="group" aria-label="Marks on the photo">
                    <PhotoMarks work={props.work.clone()} {px_per_css} />
                    { mark(0) }{ mark(1) }
                </svg>
            }
        </PhotoFrame>
    }
}

fn mark_keys(
    which: usize,
    at: PhotoPoint,
    px_per_css: f64,
    act: &Callback<Action>,
) -> Callback<KeyboardEvent> {
    let act = act.clone();
    Callback::from(move |event: KeyboardEvent| {
        let step = if event.shift_key() { 10.0 } else { 1.0 };
        let (right_px, down_px) = match event.key().as_str() {
            "ArrowLeft" => (-step, 0.0),
            "ArrowRight" => (step, 0.0),
            "ArrowUp" => (0.0, -step),
            "ArrowDown" => (0.0, step),
            "Enter" | " " => {
                event.prevent_default();
                act.emit(Action::OpenAim { target: Target::Point(which), at });
                return;
            }
            _ => return,
        };
        event.prevent_default();
        act.emit(Action::StepMark { which, right_px, down_px, px_per_css });
    })
}

fn width_of_window() -> f64 {
    gloo::utils::window().inner_width().ok().and_then(|width| width.as_f64()).unwrap_or(360.0)
}

/// The photo pixel under a place of the window.
fn place(overlay: &NodeRef, size: PhotoSize, x_css: f64, y_css: f64) -> Option<PhotoPoint> {
    let rect = overlay.get()?.dyn_into::<Element>().ok()?.get_bounding_client_rect();
    let across = (x_css - rect.left()) / rect.width();
    let down = (y_css - rect.top()) / rect.height();
    let at = PhotoPoint::new(across * f64::from(size.width) - 0.5, down * f64::from(size.height) - 0.5);
    at.is_finite().then_some(at)
}
