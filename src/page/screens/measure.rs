//! The measuring screen: photo, points, ruler.

use std::rc::Rc;

use yew::prelude::*;

use crate::page::drawings as drawn;
use crate::page::hooks::photo_file::PhotoFile;
use crate::page::parts::aim::AimWindow;
use crate::page::parts::drawing::Drawing;
use crate::page::parts::figures::Figures;
use crate::page::parts::message::Message;
use crate::page::parts::photo_view::PhotoView;
use crate::page::parts::placement::PlacementChoice;
use crate::page::parts::progress::Progress;
use crate::page::parts::ruler::RulerView;
use crate::session::{Action, LimitInForce, PhotoWork, Screen, Target, Tool};
use crate::shell::Dimension;
use crate::text;

/// What the measuring screen shows.
#[derive(Properties, PartialEq)]
pub struct MeasureProps {
    /// The photo's findings.
    pub work: PhotoWork,
    /// The photo's file.
    pub file: Option<Rc<PhotoFile>>,
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
        use_effect_with(work.tool.waits_for_tap(), move |waits| {
            if let Some(photo) = photo.cast::<web_sys::Element>().filter(|_| *waits) {
                photo.scroll_into_view();
            }
        });
    }
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
            html! {
                <AimWindow {aim} photo={photo.clone()} {long_side} u_px={work.by_hand_u_px()}
                    can_snap={matches!(aim.target, Target::Point(_)) && work.scene.is_some()} notice={work.notice.clone()} act={props.act.clone()} />
            }
        }
        _ => Html::default(),
    };
    let hint = text::photo_hint(work);
    let has_scene = work.scene.is_some();
    html! {
        <section id="screen-measure" class="screen measure">
            <div class="measure-photo">
                <h1 class="unseen">{ "Measure" }</h1>
                if in_hand.is_practice {
                    <p class="practice">{ "Practice photo: no crab in hand." }</p>
                }
                if let Some(pending) = &work.pending {
                    <Progress pending={pending.clone()} act={props.act.clone()} />
                }
                if let Some(notice) = &work.notice {
                    <Message notice={notice.clone()} />
                }
                if let Some(hint) = hint {
                    <p id="hint" class="hint" role="status">{ hint }</p>
                }
                <PhotoView file={file.clone()} photo={photo.clone()} work={work.clone()} act={props.act.clone()} />
                { aim }
            </div>
            <div class="measure-result">
                if work.marks.both().is_some() {
                    if work.marks.confirmed() {
                        if props.is_settled {
                            <button id="see-verdict" type="button" class="main-act wide-act"
                                onclick={does(Action::Show(Screen::Verdict))}>{ "See the verdict" }</button>
                        } else {
                            <button id="to-checks" type="button" class="main-act wide-act"
                                onclick={does(Action::Show(Screen::Checks))}>{ "On to the checks" }</button>
                        }
                    } else {
                        <button id="confirm-points" type="button" class="main-act wide-act"
                            onclick={does(Action::ConfirmPoints)}>{ "Both points are right" }</button>
                    }
                }
                if work.width.is_some() && work.species.is_none() {
                    <p class="hint">
                        { "No kind named yet: measured notch to notch, and no size limit to show. Say which kind it is, at \
                           the checks." }
                    </p>
                } else if work.width.is_some() && props.limits.is_empty() {
                    <p class="hint">{ "This water's rules give no size limit that a photo can show." }</p>
                }
                if let Some(width) = &work.width {
                    <Figures width={width.clone()} scene={work.scene.clone()} is_confirmed={work.is_confirmed()} />
                    <RulerView width={width.clone()} limits={props.limits.clone()} />
                }
                if has_scene {
                    <PlacementChoice placement={work.placement} act={props.act.clone()} />
                }
                if !work.warnings.is_empty() {
                    <ul class="warnings" aria-label="Good to know">
                        { for work.warnings.iter().map(|warning| html! { <li>{ text::warning(*warning).seen }</li> }) }
                    </ul>
                }
            </div>
            <div class="measure-tools">
                if has_scene {
                    <details class="where-point">
                        <summary>{ "Where exactly is the point?" }</summary>
                        <Drawing svg={match work.dimension {
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
                    <button id="point-card" type="button" onclick={does(Action::PointAtCard)}>
                        { "Show it the card" }
                    </button>
                    <button id="place-corners" type="button" onclick={does(Action::PlaceCorners)}>
                        { "Card corners by hand" }
                    </button>
                </div>
                <button id="other-photo" type="button" class="wide-act" onclick={does(Action::DropPhoto)}>
                    { "Another photo" }
                </button>
            </div>
        </section>
    }
}
