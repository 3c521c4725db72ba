//! The verdict: the word first, then its mark, the deciding reason and the next act; the rest is under one fold.

use std::rc::Rc;

use yew::prelude::*;

use crate::day::Why;
use crate::decide::words::NOT_LEGAL_ADVICE;
use crate::decide::{Call, NextAct, Outcome, Verdict};
use crate::page::drawings as drawn;
use crate::page::hooks::photo::photo_file::ChosenPhoto;
use crate::page::parts::drawing::{Drawing, VerdictMark};
use crate::page::parts::photo::one_more::OneMorePhoto;
use crate::page::parts::rule::confirm::ConfirmForm;
use crate::page::parts::rule::landmarks::Landmarks;
use crate::page::parts::size::gauge_form::GaugeForm;
use crate::page::parts::verdict::despite::Despite;
use crate::page::parts::verdict::kept::Kept;
use crate::page::parts::verdict::reasons::{Reasons, source};
use crate::page::screens::day::COUNTED_HERE;
use crate::session::words::{choice_words, how_they_fit, keep_words};
use crate::session::{Action, DayAct, Keeper, KeptLine, Screen, keepers_with_a_reason};
use crate::text::check_words;
use crate::width::Width;

/// What the verdict shows.
#[derive(Properties, PartialEq)]
pub struct VerdictProps {
    /// What the rule says so far.
    pub outcome: Option<Rc<Outcome>>,
    /// What was kept today.
    pub kept: Vec<KeptLine>,
    /// The width from the crab's photos.
    pub width: Option<Rc<Width>>,
    /// One more photo may be added.
    pub may_add: bool,
    /// Where a photo goes.
    pub take: Callback<ChosenPhoto>,
    /// The kind that it is judged as: it stays from crab to crab.
    pub kind: Option<String>,
    /// Each person aboard, with whether they may keep it.
    pub keepers: Vec<Keeper>,
    /// What becomes of it may be written down.
    pub may_be_recorded: bool,
    /// What became of it is written down.
    pub is_ended: bool,
    /// Everything written down is on the disk.
    pub is_saved: bool,
    /// Nothing that was kept before this page was opened is known, and nothing is written down.
    pub is_without_disk: bool,
    /// It is let go by choice, as said at the first glance.
    pub let_go: Option<Why>,
    /// It is a practice photo: no crab in hand.
    pub is_practice: bool,
    /// How near the width of a practice photo came.
    pub truth: Option<String>,
    /// Vibrate where it stands.
    pub vibration: bool,
    /// What was done.
    pub act: Callback<Action>,
}

/// The verdict, or what is still open.
#[component]
pub fn VerdictScreen(props: &VerdictProps) -> Html {
    let does = |action: Action| {
        let act = props.act.clone();
        Callback::from(move |_: MouseEvent| act.emit(action.clone()))
    };
    let verdict = props.outcome.as_ref().and_then(|outcome| outcome.verdict());
    let call = verdict.map(Verdict::call);
    let heading = use_node_ref();
    {
        let (heading, vibration) = (heading.clone(), props.vibration);
        use_effect_with(call, move |call| {
            if call.is_some() {
                if vibration {
                    // Devices without it simply do not.
                    gloo::utils::window().navigator().vibrate_with_duration(60);
                }
                if let Some(heading) = heading.cast::<web_sys::HtmlElement>() {
                    // Screen readers then read the verdict; without focus nothing is lost.
                    let _ = heading.focus();
                }
            }
        });
    }
    if let Some(words) = props.let_go.filter(|_| !props.is_ended).map(choice_words) {
        return html! {
            <section id="screen-verdict" class="screen">
                <div class="verdict release">
                    <h1 id="verdict" ref={heading} tabindex="-1" data-call="release">{ "Let it go" }</h1>
                    <VerdictMark svg={drawn::VERDICT_RELEASE} />
                </div>
                <p id="reasons">{ words }</p>
                <p>{ NextAct::ReleaseGently.sentence() }</p>
                <button id="next-crab" type="button" class="main-act wide-act"
                    onclick={does(Action::Day(DayAct::LetGo(Why::NotNeeded)))}>{ "Released: next crab" }</button>
                <button id="back-to-checks" type="button" onclick={does(Action::Show(Screen::Checks))}>
                    { "Check it all the same" }
                </button>
            </section>
        };
    }
    let Some(verdict) = verdict else {
        let next = props.outcome.as_ref().and_then(|outcome| match &**outcome {
            Outcome::Open { next, .. } => Some(*next),
            Outcome::Settled(_) => None,
        });
        let words = next.map_or("Choose the water first: its rule decides.".to_owned(), |check| {
            format!("Not settled yet. Next: {}", check_words(check).question)
        });
        return html! {
            <section id="screen-verdict" class="screen">
                <h1>{ "No verdict yet" }</h1>
                <p>{ words }</p>
                <button id="to-next-check" type="button" class="main-act wide-act"
                    onclick={does(Action::Show(if next.is_some() { Screen::Checks } else { Screen::Rules }))}>
                    { "Go there" }
                </button>
                // What was kept before it was checked counts too.
                if props.may_be_recorded {
                    <details>
                        <summary>{ "It was kept unchecked" }</summary>
                        <Despite keepers={props.keepers.clone()} act={props.act.clone()} />
                    </details>
                }
            </section>
        };
    };
    let (class, svg) = match verdict.call() {
        Call::Keep => ("keep", drawn::VERDICT_KEEP),
        Call::Release => ("release", drawn::VERDICT_RELEASE),
        Call::Gauge => ("gauge", drawn::VERDICT_GAUGE),
    };
    let acts: Vec<&NextAct> =
        verdict.acts().iter().filter(|act| !matches!(act, NextAct::ConfirmRule { .. })).collect();
    // What is for later stands with the rest, unless it is all there is.
    let is_later = |act: &NextAct| acts.len() > 1 && *act == NextAct::KeepWhole;
    let act_line = |act: &&NextAct| html! { <li>{ act.sentence() }</li> };
    let confirm = verdict.acts().iter().find_map(|act| match act {
        NextAct::ConfirmRule { facts } => Some(facts.clone()),
        _ => None,
    });
    let by_gauge = verdict.acts().iter().find_map(|act| match act {
        act @ NextAct::UseGauge { dimension, .. } => Some((*dimension, act.detail())),
        _ => None,
    });
    // For a crab near the limit one more photo is the ordinary next step; the gauge stays the last word.
    let measured = props.width.as_ref().filter(|_| verdict.call() == Call::Gauge && props.may_add);
    let one_more = measured.and_then(|width| {
        let next = width.next_view.filter(|next| next.expected_u_mm < 0.8 * width.u_mm)?;
        Some(html! { <OneMorePhoto {next} u_mm={width.u_mm} take={props.take.clone()} /> })
    });
    let may: Vec<&Keeper> =
        props.keepers.iter().filter(|keeper| keeper.may && props.may_be_recorded).collect();
    let may_count = !may.is_empty();
    let with_reason = keepers_with_a_reason(&props.keepers);
    let is_alone = props.keepers.len() == 1;
    let keep_buttons = may.iter().enumerate().map(|(at, keeper)| {
        let id = if at == 0 { "kept-it".to_owned() } else { format!("kept-it-{at}") };
        html! {
            <button {id} type="button" class="main-act wide-act" onclick={does(Action::Day(DayAct::Keep(keeper.person.clone())))}>
                { keep_words(keeper, is_alone) }
            </button>
        }
    });
    // What a crab in hand comes to is written down by the way on: no second tap for it.
    let (on, on_words) = match verdict.call() {
        _ if !props.may_be_recorded => (Action::NextCrab, "Next crab"),
        Call::Release if verdict.acts().contains(&NextAct::DoNotPutBack) => {
            (Action::Day(DayAct::LetGo(Why::Verdict)), "Done: next crab")
        }
        Call::Release => (Action::Day(DayAct::LetGo(Why::Verdict)), "Released: next crab"),
        Call::Keep => (Action::Day(DayAct::LetGo(Why::NotNeeded)), "Let it go"),
        Call::Gauge => (Action::Day(DayAct::LetGo(Why::Verdict)), "Let it go"),
    };
    let mut others = verdict.reasons().to_vec();
    let deciding: Vec<_> = others.drain(..others.len().min(1)).collect();
    let goes_back = verdict.acts().contains(&NextAct::ReleaseGently);
    // A crab that goes back adds nothing: a count of none only stands in the way.
    let is_release = verdict.call() == Call::Release;
    let has_some =
        |line: &&KeptLine| line.kept > 0 || line.held.as_ref().is_some_and(|held| held.earlier.is_some());
    // Where the buttons tell each person's count it is not told twice.
    let is_told = may_count && !is_alone;
    let lines: Vec<KeptLine> =
        props.kept.iter().filter(|line| (!is_release && !is_told) || has_some(line)).cloned().collect();
    html! {
        <section id="screen-verdict" class="screen">
            <div class={classes!("verdict", class)}>
                <h1 id="verdict" ref={heading} tabindex="-1" data-call={class}>{ verdict.word() }</h1>
                <VerdictMark {svg} />
            </div>
            if props.is_practice {
                <p><strong class="practice">{ "Practice photo: no crab in hand." }</strong></p>
            }
            if let Some(kind) = &props.kind {
                <p id="for-kind">{ kind }</p>
            }
            // The deciding reason and the next act fit one look; the rest is for who asks why.
            <div class="verdict-columns">
                <div class="verdict-now">
                    <Reasons id="reasons" reasons={deciding.clone()} with_sources=false />
                    if let Some(fit) = props.width.as_deref().and_then(how_they_fit) {
                        <p id="fit">{ fit }</p>
                    }
                    { one_more.unwrap_or_default() }
                    <h2 class="unseen">{ "What to do now" }</h2>
                    <ul id="next-acts" class="acts">
                        { for acts.iter().filter(|act| !is_later(act)).map(act_line) }
                    </ul>
                    if let Some(truth) = &props.truth {
                        <p id="truth">{ truth }</p>
                    }
                    if let Some((dimension, landmarks)) = by_gauge {
                        // Who has the gauge in hand answers here; how to hold it stands below.
                        <GaugeForm heading="What does the gauge say?" act={props.act.clone()} />
                        if let Some(dimension) = dimension {
                            <Landmarks {dimension} />
                        }
                        if let Some(landmarks) = landmarks {
                            <p class="hint">{ landmarks }</p>
                        }
                    }
                    if let Some(facts) = confirm {
                        <ConfirmForm {facts} act={props.act.clone()} />
                    }
                    { for keep_buttons }
                    <Kept {lines} can_undo={props.is_ended} act={props.act.clone()}>
                        <div class="tools">
                            <button id="back-to-checks" type="button" onclick={does(Action::Show(Screen::Checks))}>
                                { "Change answer" }
                            </button>
                            <button id="next-crab" type="button" class={(!may_count).then_some("main-act")}
                                onclick={does(on)}>{ on_words }</button>
                        </div>
                    </Kept>
                    if props.is_without_disk && !is_release {
                        <p id="counted-here" class="flag">{ COUNTED_HERE }</p>
                    }
                    if props.is_ended && props.is_without_disk {
                        <p id="not-written" role="status">{ "Not written down: closing this page loses it." }</p>
                    } else if props.is_ended && !props.is_saved {
                        <p id="being-written" role="status">{ "Being written down." }</p>
                    }
                    if goes_back {
                        <div class="release-pictures">
                            <Drawing file={drawn::RELEASE_LOW} /><Drawing file={drawn::RELEASE_NOT_THROWN} />
                        </div>
                    }
                </div>
                <details id="all-reasons" class="verdict-more">
                    <summary>{ notes_words(verdict.notices().len()) }</summary>
                    <div class="source">{ for deciding.iter().filter_map(source) }</div>
                    if !others.is_empty() {
                        <Reasons id="other-reasons" reasons={others} from=2 />
                    }
                    if !verdict.notices().is_empty() {
                        <h2>{ "Good to know" }</h2>
                        <ul id="notices" class="warnings">
                            { for verdict.notices().iter().map(|notice| html! { <li>{ notice.sentence() }</li> }) }
                        </ul>
                    }
                    if acts.iter().any(|act| is_later(act)) {
                        <ul class="acts">{ for acts.iter().filter(|act| is_later(act)).map(act_line) }</ul>
                    }
                    if props.may_be_recorded && !with_reason.is_empty() {
                        <Despite keepers={with_reason} act={props.act.clone()} />
                    }
                    <p class="small-print">
                        { "Cooking does not remove the poison of a closed beach, and it gathers in the yellow-green innards. \
                           Keep claws away from faces and fingers, and mind the wet deck." }
                    </p>
                </details>
            </div>
            if verdict.call() == Call::Keep {
                <p class="small-print">{ "Before you eat it: look up closures for biotoxins and pollution." }</p>
            }
            <p id="not-legal-advice">{ NOT_LEGAL_ADVICE }</p>
        </section>
    }
}

/// How much there is to read below the fold.
fn notes_words(notices: usize) -> String {
    match notices {
        0 => "Why, and more".to_owned(),
        1 => "Why, and 1 note".to_owned(),
        notices => format!("Why, and {notices} notes"),
    }
}
