//! The measuring screen: photo, points, ruler.

use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{HtmlElement, HtmlImageElement};
use yew::prelude::*;

use crate::page::drawings as drawn;
use crate::page::hooks::photo::photo_file::{ChosenPhoto, PhotoFile};
use crate::page::parts::drawing::Drawing;
use crate::page::parts::message::Message;
use crate::page::parts::photo::aim::AimWindow;
use crate::page::parts::photo::both_points::BothPoints;
use crate::page::parts::photo::one_more::OneMorePhoto;
use crate::page::parts::photo::placement::PlacementChoice;
use crate::page::parts::photo::right_points::RightPoints;
use crate::page::parts::photo::strip::Strip;
use crate::page::parts::photo::view::PhotoView;
use crate::page::parts::progress::Progress;
use crate::page::parts::size::figures::{Figures, WidthDetails};
use crate::page::parts::size::ruler::RulerView;
use crate::session::words;
use crate::session::{Action, LimitInForce, PhotoWork, Screen, StripPhoto, Target, Tool};
use crate::terms::Dimension;
use crate::text;
use crate::units::PhotoPoint;
use crate::width::{Joined, Width};

/// What the measuring screen shows.
#[derive(Properties, PartialEq)]
pub struct MeasureProps {
    /// The photo's findings.
    pub work: PhotoWork,
    /// The photo's file.
    pub file: Option<Rc<PhotoFile>>,
    /// The crab's width, from all its photos.
    pub width: Option<Rc<Width>>,
    /// How they were joined, from two on.
    pub joined: Option<Rc<Joined>>,
    /// All photos of the crab, and their files.
    pub strip: Vec<StripPhoto>,
    /// See `strip`.
    pub files: Vec<Rc<PhotoFile>>,
    /// The photo to hold this one's points against, and its points in this one's order.
    pub compared: Option<(u64, [PhotoPoint; 2], f64)>,
    /// Every photo's points are confirmed.
    pub is_confirmed: bool,
    /// One more photo may be added.
    pub may_add: bool,
    /// Where a photo goes.
    pub take: Callback<ChosenPhoto>,
    /// The verdict stands already.
    pub is_settled: bool,
    /// The limits in force.
    pub limits: Vec<LimitInForce>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The measuring screen.
#[component]
pub fn MeasureScreen(props: &MeasureProps) -> Html {
    let photo = use_node_ref();
    let work = &props.work;
    {
        let photo = photo.clone();
        // A tool that waits for a tap brings the photo back into sight: its button may be far below.
        let needs_photo = work.tool.waits_for_tap()
            || work.places_corners()
            || matches!(work.tool, Tool::Aim(_))
            || (work.marks.missing().is_some() && work.marks.can_undo());
        use_effect_with(needs_photo, move |needs_photo| {
            let photo = photo.cast::<web_sys::Element>().filter(|_| *needs_photo);
            if let Some(window) = photo.and_then(|photo| photo.closest(".photo-window").ok().flatten()) {
                window.scroll_into_view();
            }
        });
    }
    use_effect_with(matches!(work.tool, Tool::Aim(_)), |&is_aiming| {
        move || {
            if is_aiming {
                focus_next_act();
            }
        }
    });
    let does = |action: Action| {
        let act = props.act.clone();
        Callback::from(move |_: MouseEvent| act.emit(action.clone()))
    };
    let (Some(file), Some(in_hand)) = (&props.file, &work.in_hand) else {
        return html! {
            <section id="screen-measure" class="screen">
                <h1>{ "No photo yet" }</h1>
                <p>{ "Take or choose one first: crab and card, flat beside each other." }</p>
                <button id="to-start" type="button" class="main-act" onclick={does(Action::Show(Screen::Start))}>
                    { "Choose a photo" }
                </button>
            </section>
        };
    };
    let aim = match work.tool {
        Tool::Aim(aim) => {
            let long_side = work.scene.as_ref().map_or(4000, |scene| scene.size.long_side());
            let px_per_mm = work.scene.as_ref().map(|scene| scene.px_per_cm() / 10.0);
            html! {
                <AimWindow {aim} photo={photo.clone()} {long_side} {px_per_mm} work={work.clone()}
                    can_snap={matches!(aim.target, Target::Point(_)) && work.scene.is_some()} notice={work.notice.clone()} act={props.act.clone()} />
            }
        }
        _ => Html::default(),
    };
    let told = props
        .width
        .as_ref()
        .map(|width| format!("{:.1} mm, give or take {:.1} mm", width.width_mm, width.u_mm));
    let hint = words::photo_hint(work).or_else(|| words::practice_truth(work));
    let is_practice = in_hand.practice.is_some();
    let place_corners = {
        let (act, photo, knows_card) = (props.act.clone(), photo.clone(), work.scene.is_some());
        Callback::from(move |_: MouseEvent| {
            act.emit(Action::PlaceCorners);
            // The window opens at once: a tap on the photo moves it, and so do the arrow keys. It begins at the corner
            // that was seen, or in the middle.
            if let Some(image) = photo.cast::<HtmlImageElement>().filter(|_| !knows_card) {
                let at = PhotoPoint::new(
                    f64::from(image.natural_width()) / 2.0,
                    f64::from(image.natural_height()) / 2.0,
                );
                act.emit(Action::OpenAim { target: Target::Corner(0), at });
            }
        })
    };
    let has_scene = work.scene.is_some();
    let both = match (work.marks.both(), &work.scene) {
        (Some(points), Some(scene)) if !work.marks.confirmed() && !matches!(work.tool, Tool::Aim(_)) => {
            let points = points.map(|marked| marked.point);
            let other = props.compared.and_then(|(serial, points, px_per_mm)| {
                let file = props.files.iter().find(|file| file.serial == serial)?;
                Some((file.clone(), points, px_per_mm))
            });
            html! {
                <BothPoints photo={photo.clone()} {points} px_per_mm={scene.px_per_cm() / 10.0} {other}
                    act={props.act.clone()} />
            }
        }
        _ => Html::default(),
    };
    let one_more = props.width.as_ref().filter(|_| props.may_add && props.is_confirmed).and_then(|width| {
        let next = width.next_view?;
        Some(html! { <OneMorePhoto {next} u_mm={width.u_mm} take={props.take.clone()} /> })
    });
    html! {
        <section id="screen-measure" class={classes!("screen", "measure", props.width.is_some().then_some("has-width"))}>
            <div class="measure-photo">
                <h1 class="unseen">{ "Measure" }</h1>
                // Always there, so that screen readers tell of every change in it.
                <p id="told" class="unseen" role="status">{ told }</p>
                if let Some(pending) = &work.pending {
                    <Progress pending={pending.clone()} act={props.act.clone()} />
                }
                if let Some(notice) = &work.notice {
                    <Message notice={notice.clone()} />
                }
                if is_practice || hint.is_some() {
                    <p id="hint" class="hint" role="status">
                        if is_practice {
                            <strong class="practice">{ "Practice photo" }</strong>{ " " }
                        }
                        { hint }
                    </p>
                }
                <Strip photos={props.strip.clone()} files={props.files.clone()} act={props.act.clone()} />
                <PhotoView file={file.clone()} photo={photo.clone()} work={work.clone()} act={props.act.clone()} />
                { aim }
            </div>
            <div class="measure-result">
                if let Some(width) = &props.width {
                    <Figures width={width.clone()} />
                    <RulerView width={width.clone()} limits={props.limits.clone()} />
                    if let Some(fit) = words::how_they_fit(width) {
                        <p id="fit" class="detail">{ fit }</p>
                    }
                }
                if let Some(apart) = props.joined.as_deref().and_then(words::why_apart) {
                    <p id="apart" class="remedy" role="status">{ apart }</p>
                }
                { both }
                if work.marks.both().is_some() {
                    <div class="act-bar">
                        if !work.marks.confirmed() {
                            <button id="confirm-points" type="button" class="main-act wide-act"
                                onclick={does(Action::ConfirmPoints)}>{ "Both points are right: go on" }</button>
                        } else if !work.is_looked_at {
                            // The way on opens by itself: a button here would slip from under the finger.
                            <button id="last-look" type="button" class="main-act wide-act" disabled=true>
                                { "Looking at them once more" }
                            </button>
                        } else if props.is_settled {
                            <button id="see-verdict" type="button" class="main-act wide-act"
                                onclick={does(Action::Show(Screen::Verdict))}>{ "See the verdict" }</button>
                        } else {
                            <button id="to-checks" type="button" class="main-act wide-act"
                                onclick={does(Action::Show(Screen::Checks))}>{ "On to the checks" }</button>
                        }
                    </div>
                }
                <RightPoints work={work.clone()} take={props.take.clone()} act={props.act.clone()} />
                if props.width.is_some() && work.species.is_none() {
                    <p class="hint">
                        { "No kind named yet: measured notch to notch, and no size limit to show. Say which kind it is, at \
                           the checks." }
                    </p>
                } else if props.width.is_some() && props.limits.is_empty() {
                    <p class="hint">{ "This water's rules give no size limit that a photo can show." }</p>
                }
                { one_more }
                if let Some(elsewhere) = words::card_contradicts(work)
                    .or_else(|| props.width.as_deref().and_then(words::card_lies_elsewhere))
                {
                    <p id="card-elsewhere" class="remedy">{ elsewhere }</p>
                }
                if let Some(width) = &props.width {
                    <WidthDetails width={width.clone()} scene={work.scene.clone()} />
                }
                if has_scene {
                    <PlacementChoice placement={work.placement} act={props.act.clone()} />
                }
                if has_scene && !work.warnings.is_empty() {
                    <ul class="warnings" aria-label="Good to know">
                        { for work.warnings.iter().map(|warning| html! { <li>{ text::warning(*warning).seen }</li> }) }
                    </ul>
                }
            </div>
            <div class="measure-tools">
                if has_scene {
                    <details class="where-point">
                        <summary>{ "Where exactly is the point?" }</summary>
                        <Drawing file={match work.dimension {
                            Dimension::Notch => drawn::NOTCH_PLACE,
                            Dimension::Tips => drawn::MEASURE_TIPS,
                            Dimension::Widest => drawn::MEASURE_WIDEST,
                        }} />
                    </details>
                }
                <div class="tools" role="group" aria-label="Tools">
                    if work.marks.can_undo() || !matches!(work.tool, Tool::Look) {
                        <button id="undo" type="button" onclick={does(Action::Undo)}>{ "Undo" }</button>
                    }
                    <button id="look-again" type="button" onclick={does(Action::LookAgain)}>{ "Look again" }</button>
                    if has_scene {
                        <button id="place-points" type="button" onclick={does(Action::PlacePoints)}>
                            { "Place both by hand" }
                        </button>
                        <button id="point-shell" type="button" onclick={does(Action::PointAtShell)}>
                            { "Show it the shell" }
                        </button>
                    }
                    if !work.is_unusable() {
                        <button id="point-card" type="button" onclick={does(Action::PointAtCard)}>
                            { "Show it the card" }
                        </button>
                        <button id="place-corners" type="button" onclick={place_corners}>
                            { "Card corners by hand" }
                        </button>
                    }
                </div>
                <button id="other-photo" type="button" class="wide-act" onclick={does(Action::DropPhoto)}>
                    { "Another photo" }
                </button>
            </div>
        </section>
    }
}

/// The window that had the focus is gone: who uses the keyboard goes on at the next act, not at the top.
fn focus_next_act() {
    let next = gloo::utils::document().query_selector("#confirm-points, #to-checks, #place-points");
    if let Some(next) = next.ok().flatten().and_then(|next| next.dyn_into::<HtmlElement>().ok()) {
        // Without focus nothing is lost.
        let _ = next.focus();
    }
}
