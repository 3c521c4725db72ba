//! One check: a drawing, the question, large answers, and why it matters.

use std::rc::Rc;

use yew::prelude::*;

use super::drawing::Drawing;
use super::size::gauge_form::GaugeForm;
use crate::decide::{Check, Eggs, Parts};
use crate::lessons::lesson_of;
use crate::page::drawings as drawn;
use crate::rules::pack::OTHER_KIND;
use crate::rules::when::{Maturity, Sex, Stage};
use crate::session::{Action, LearnAct, Reply, Screen};
use crate::text::{check_words, marks_in_short};

/// A kind as it is offered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownKind {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What tells it from others; empty where the water's rules say nothing.
    pub marks: Vec<String>,
}

/// Which check.
#[derive(Properties, PartialEq)]
pub struct CheckCardProps {
    /// The check.
    pub check: Check,
    /// Kinds of the chosen water.
    pub kinds: Rc<Vec<KnownKind>>,
    /// Kinds that are taken for one of these, and that no rule here is for.
    pub look_alikes: Rc<Vec<KnownKind>>,
    /// The kind that was answered.
    pub kind: Option<String>,
    /// Answers that contradict each other.
    pub told: Vec<String>,
    /// What the pack says of the times of the water.
    pub times: Vec<String>,
    /// Where the season can be looked up.
    pub look_up: Vec<String>,
    /// The chosen water, for the question of its season.
    pub water: String,
    /// What a gauge is held against, in words.
    pub gauge_limits: Option<String>,
    /// A photo is in hand.
    pub has_photo: bool,
    /// What was done.
    pub act: Callback<Action>,
}

/// One answer: its id, its words, a line below them, its drawing.
struct Offer {
    id: String,
    words: String,
    below: String,
    file: Option<&'static str>,
    reply: Reply,
}

impl Offer {
    fn new(id: &str, words: &str, file: &'static str, reply: Reply) -> Self {
        Self { id: id.to_owned(), words: words.to_owned(), below: String::new(), file: Some(file), reply }
    }
}

/// The check.
#[component]
pub fn CheckCard(props: &CheckCardProps) -> Html {
    let check = props.check;
    let words = check_words(check);
    // A wet finger bounces: the second half of a double tap was meant for the screen before.
    let does = |action: Action| {
        let act = props.act.clone();
        Callback::from(move |event: MouseEvent| {
            if event.detail() < 2 {
                act.emit(action.clone());
            }
        })
    };
    let heading = use_node_ref();
    {
        let heading = heading.clone();
        use_effect_with(check, move |_| {
            if let Some(heading) = heading.cast::<web_sys::HtmlElement>() {
                // Screen readers then read the new question; without focus nothing is lost.
                let _ = heading.focus();
            }
        });
    }
    let button = |offer: Offer| {
        html! {
            <button id={format!("answer-{}", offer.id)} type="button" class="answer"
                onclick={does(Action::Reply(offer.reply))}>
                if let Some(file) = offer.file {
                    <Drawing {file} is_decoration=true />
                }
                <span class="answer-words">{ offer.words }</span>
                if !offer.below.is_empty() {
                    <span class="answer-below">{ offer.below }</span>
                }
            </button>
        }
    };
    let offers = offers(check, &props.kinds, props.kind.as_deref(), &props.look_alikes);
    let picture = match check {
        Check::Shell => Some(drawn::SHELL_PRESS),
        Check::Eggs => Some(drawn::HOLD_FROM_BEHIND),
        _ => None,
    };
    let not_sure = (check != Check::Size).then(|| {
        html! {
            <button id="answer-not-sure" type="button" class="answer not-sure"
                onclick={does(Action::Reply(Reply::NotSure(check)))}>
                <span class="answer-words">{ "Not sure" }</span>
                <span class="answer-below">{ words.not_sure }</span>
            </button>
        }
    });
    html! {
        <article id={format!("asks-{}", check_id(check))} class="check">
            <h1 ref={heading} tabindex="-1" class="question">{ words.question }</h1>
            { for props.told.iter().map(|words| html! { <p class="told" role="status">{ words }</p> }) }
            if check == Check::Season {
                if !props.water.is_empty() {
                    <p id="season-water"><strong>{ &props.water }</strong></p>
                }
                <p class="told">{ "The pack cannot tell: only who looked it up today can." }</p>
            }
            if let Some(file) = picture {
                <Drawing {file} />
            }
            if check == Check::Size {
                <div class="answers">
                    <button id="by-photo" type="button" class="answer main-act" onclick={does(Action::Show(
                        if props.has_photo { Screen::Measure } else { Screen::Start }))}>
                        <span class="answer-words">{ "Measure it in a photo" }</span>
                    </button>
                </div>
                <GaugeForm heading="Or by the gauge" limits={props.gauge_limits.clone()} act={props.act.clone()} />
                <p class="hint">{ words.not_sure }</p>
            } else {
                <div class="answers">{ for offers.into_iter().map(button) }{ not_sure }</div>
            }
            if check == Check::Season {
                // The innermost area's words come first; the others stand below the fold.
                { for props.times.first().map(|words| html! { <p id="season-words">{ words }</p> }) }
                { for props.look_up.first().map(|line| html! { <p id="look-up" class="address">{ line }</p> }) }
            }
            <details id="why">
                <summary>{ words.why }</summary>
                <p>{ words.more }</p>
                if check == Check::Kind {
                    <ul>{ for props.kinds.iter().filter(|kind| !kind.marks.is_empty()).map(marks_of) }</ul>
                    if !props.look_alikes.is_empty() {
                        <p>{ "Taken for one of these; no rule here lets it be kept:" }</p>
                        <div class="answers">{ for props.look_alikes.iter().map(look_alike).map(button) }</div>
                    }
                }
                if check == Check::Season {
                    <ul>{ for props.times.iter().skip(1).map(|words| html! { <li>{ words }</li> }) }</ul>
                    <ul>{ for props.look_up.iter().skip(1).map(|line| html! { <li class="address">{ line }</li> }) }</ul>
                }
                <button id="learn-this" type="button" class="wide-act" onclick={does(Action::Learn(LearnAct::Open(lesson_of(check).into())))}>
                    { "Learn this" }
                </button>
            </details>
        </article>
    }
}

/// All that tells a kind from others.
fn marks_of(kind: &KnownKind) -> Html {
    html! { <li><strong>{ &kind.name }</strong>{ ": " }{ kind.marks.join(" ") }</li> }
}

fn offers(check: Check, kinds: &[KnownKind], kind: Option<&str>, look_alikes: &[KnownKind]) -> Vec<Offer> {
    let is_swimmer = matches!(kind, Some("blue" | "blue-swimmer"));
    match check {
        Check::Kind => kinds.iter().map(kind_offer).chain([other_kind(look_alikes)]).collect(),
        Check::Season => vec![
            plain("season-open", "Open: I looked it up for today", Reply::Season(true)),
            plain("season-closed", "Closed", Reply::Season(false)),
        ],
        Check::Sex if is_swimmer => vec![
            Offer::new("male", "Narrow, like a T: male", drawn::SEX_BLUE_MALE, Reply::Sex(Sex::Male)),
            Offer::new("female", "Dome or triangle: female", drawn::SEX_BLUE_FEMALE, Reply::Sex(Sex::Female)),
        ],
        Check::Sex => vec![
            Offer::new("male", "Narrow: male", drawn::SEX_MALE, Reply::Sex(Sex::Male)),
            Offer::new("female", "Broad: female", drawn::SEX_FEMALE, Reply::Sex(Sex::Female)),
        ],
        Check::Maturity => vec![
            Offer::new(
                "mature",
                "A round dome: mature",
                drawn::SEX_BLUE_FEMALE,
                Reply::Maturity(Maturity::Mature),
            ),
            Offer::new(
                "immature",
                "A triangle: immature",
                drawn::SEX_BLUE_IMMATURE_FEMALE,
                Reply::Maturity(Maturity::Immature),
            ),
        ],
        Check::Eggs => vec![
            Offer::new("eggs-none", "No eggs", drawn::SEX_FEMALE, Reply::Eggs(Eggs::None)),
            Offer::new("eggs-light", "Eggs, yellow to orange", drawn::EGGS_SPONGE, Reply::Eggs(Eggs::Light)),
            Offer::new("eggs-dark", "Eggs, brown to black", drawn::EGGS_DARK, Reply::Eggs(Eggs::Dark)),
            plain("eggs-removed", "Signs that eggs were removed", Reply::Eggs(Eggs::Removed)),
        ],
        Check::Shell => {
            let mut offers = vec![
                Offer::new("hard", "It does not give: hard", drawn::SHELL_RIGID, Reply::Shell(Stage::Hard)),
                Offer::new("soft", "It gives: soft", drawn::SHELL_FLEXES, Reply::Shell(Stage::Soft)),
            ];
            if is_swimmer {
                offers.push(Offer {
                    id: "peeler".into(),
                    words: "A peeler, about to moult".into(),
                    below: "A pink or red line along the last joint of the paddle.".into(),
                    file: None,
                    reply: Reply::Shell(Stage::Peeler),
                });
            }
            offers
        }
        Check::Claws => vec![
            Offer::new("whole", "The whole crab", drawn::CLAWS_KEEP_WHOLE, Reply::Parts(Parts::Whole)),
            Offer::new(
                "right-claw",
                "The right claw only",
                drawn::CLAWS_KEEP_RIGHT,
                Reply::Parts(Parts::RightClaw),
            ),
            Offer::new(
                "left-claw",
                "The left claw, or both",
                drawn::CLAWS_KEEP_LEFT,
                Reply::Parts(Parts::LeftClaw),
            ),
        ],
        Check::Size => Vec::new(),
    }
}

/// An answer without a drawing.
fn plain(id: &str, words: &str, reply: Reply) -> Offer {
    Offer { id: id.to_owned(), words: words.to_owned(), below: String::new(), file: None, reply }
}

fn kind_offer(kind: &KnownKind) -> Offer {
    Offer {
        id: kind.id.clone(),
        words: kind.name.clone(),
        below: marks_in_short(&kind.marks).join(" "),
        file: Some(kind_drawing(&kind.id)),
        reply: Reply::Kind(kind.id.clone()),
    }
}

/// The drawing of a kind of the packs, by its id.
pub fn kind_drawing(kind: &str) -> &'static str {
    match kind {
        "dungeness" => drawn::KIND_DUNGENESS,
        "red-rock" => drawn::KIND_RED_ROCK,
        "graceful" => drawn::KIND_GRACEFUL,
        "rock" => drawn::KIND_ROCK,
        "jonah" => drawn::KIND_JONAH,
        "atlantic-rock" => drawn::KIND_ATLANTIC_ROCK,
        "brown" => drawn::KIND_BROWN,
        "green" => drawn::KIND_GREEN,
        "velvet" => drawn::KIND_VELVET,
        "spider" => drawn::KIND_SPIDER,
        "tanner" => drawn::KIND_TANNER,
        "king" | "red-king" => drawn::KIND_KING,
        "blue-king" => drawn::KIND_BLUE_KING,
        "golden-king" => drawn::KIND_GOLDEN_KING,
        "stone" => drawn::KIND_STONE,
        "blue" => drawn::KIND_BLUE,
        "blue-swimmer" => drawn::KIND_BLUE_SWIMMER,
        "mud" | "green-mud" | "brown-mud" => drawn::KIND_MUD,
        "spanner" => drawn::KIND_SPANNER,
        "sand" => drawn::KIND_SAND,
        _ => drawn::KIND_OTHER,
    }
}

fn other_kind(look_alikes: &[KnownKind]) -> Offer {
    let names: Vec<&str> = look_alikes.iter().map(|kind| kind.name.as_str()).collect();
    let below = if names.is_empty() { String::new() } else { format!("Such as {}.", names.join(", ")) };
    let other = Offer::new("other", "Another kind", drawn::KIND_OTHER, Reply::Kind(OTHER_KIND.into()));
    Offer { below, ..other }
}

/// A kind without a rule here: the answer is that it is another kind.
fn look_alike(kind: &KnownKind) -> Offer {
    Offer {
        id: format!("like-{}", kind.id),
        below: kind.marks.join(" "),
        reply: Reply::Kind(OTHER_KIND.into()),
        ..kind_offer(kind)
    }
}

/// The name of a check in ids.
pub fn check_id(check: Check) -> &'static str {
    match check {
        Check::Kind => "kind",
        Check::Season => "season",
        Check::Sex => "sex",
        Check::Maturity => "maturity",
        Check::Eggs => "eggs",
        Check::Shell => "shell",
        Check::Claws => "claws",
        Check::Size => "size",
    }
}
