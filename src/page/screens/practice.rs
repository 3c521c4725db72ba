//! Practice: drawn crabs to sort, judged by the rule of the chosen water. The worker makes all that is shown.

use jiff::civil::Date;
use js_sys::{Array, Uint8Array};
use wasm_bindgen::JsCast;
use web_sys::{Blob, BlobPropertyBag, HtmlElement};
use yew::prelude::*;

use crate::page::hooks::photo::photo_file::ChosenPhoto;
use crate::page::hooks::practice::{Shown, use_practice};
use crate::page::parts::practice::block::BlockView;
use crate::practice::course::{OPEN, PHOTO};
use crate::practice::desk::Made;
use crate::practice::view::Block;
use crate::session::photo::practice::DRAWN_PHOTO;
use crate::session::{Action, LearnAct, RuleBook, Screen, TrueWidths};

/// What practice needs.
#[derive(Properties, PartialEq)]
pub struct PracticeProps {
    /// The rules.
    pub rules: RuleBook,
    /// Today.
    pub today: Date,
    /// A real crab is in hand: it stays there, and no photo is made.
    pub is_in_hand: bool,
    /// Where a photo goes.
    pub take: Callback<ChosenPhoto>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The practice screen.
#[component]
pub fn PracticeScreen(props: &PracticeProps) -> Html {
    let made = {
        let take = props.take.clone();
        Callback::from(move |made: Made| {
            if let Some(photo) = chosen(made) {
                take.emit(photo);
            }
        })
    };
    let (shown, ask) = use_practice(&props.rules, props.today, made);
    let is_refused = use_state_eq(|| false);
    let act = {
        let (is_refused, is_in_hand, ask) = (is_refused.clone(), props.is_in_hand, ask.clone());
        Callback::from(move |act: String| {
            let refused = is_in_hand && act == PHOTO;
            is_refused.set(refused);
            if !refused {
                ask.emit(act);
            }
        })
    };
    let turn = turn_of(&shown);
    use_effect_with(turn, |turn| {
        // The button that was pressed is gone: screen readers and keys go on from what came.
        let Some((place, _)) = turn else { return };
        let there = gloo::utils::document().get_element_by_id(place);
        if let Some(there) = there.and_then(|there| there.dyn_into::<HtmlElement>().ok()) {
            // Without focus nothing is lost.
            let _ = there.focus();
        }
    });
    let lessons = props.act.reform(|_: MouseEvent| Action::Show(Screen::Learn));
    let learn = props.act.reform(|name: String| Action::Learn(LearnAct::Open(name)));
    let choose_water = props.act.reform(|()| Action::Show(Screen::Rules));
    let content = match shown {
        Shown::Waiting => html! { <p class="hint" role="status">{ "The crabs are coming." }</p> },
        Shown::Broken => {
            let again = ask.reform(|_: MouseEvent| OPEN.to_owned());
            html! {
                <>
                    <p id="message" role="alert">{ "Practice stopped. What was practised so far is kept." }</p>
                    <button id="practice-again" type="button" class="main-act" onclick={again}>{ "Start it again" }</button>
                </>
            }
        }
        Shown::Blocks(blocks) => {
            let one = |(at, block): (usize, &Block)| {
                html! { <BlockView key={at} block={block.clone()} act={act.clone()} choose_water={choose_water.clone()} learn={learn.clone()} /> }
            };
            blocks.iter().enumerate().map(one).collect::<Html>()
        }
    };
    html! {
        <section id="screen-practice" class="screen">
            if *is_refused {
                <p id="practice-refused" role="alert">{ "A crab is in hand: finish it first." }</p>
            }
            { content }
            <nav class="tools" aria-label="Learn">
                <button id="practice-lessons" type="button" onclick={lessons}>{ "All lessons" }</button>
            </nav>
        </section>
    }
}

/// What a turn of practice begins with: its place, the heading or the mark of an answer, and its words. While the same
/// crab is looked at from other sides it stays the same.
fn turn_of(shown: &Shown) -> Option<(&'static str, String)> {
    let Shown::Blocks(blocks) = shown else { return None };
    let words_of = |block: &Block| match block {
        Block::Heading(words) => Some(words.clone()),
        Block::Certificate(lines) => lines.first().cloned(),
        _ => None,
    };
    let heading = blocks.iter().find_map(words_of)?;
    let is_judged = blocks.iter().any(|block| matches!(block, Block::Mark { .. }));
    let is_certificate = blocks.iter().any(|block| matches!(block, Block::Certificate(_)));
    let place = match (is_judged, is_certificate) {
        (true, _) => "practice-mark",
        (_, true) => "certificate",
        _ => "practice-heading",
    };
    Some((place, heading))
}

/// The photo that was made, as one that was chosen.
fn chosen(made: Made) -> Option<ChosenPhoto> {
    let options = BlobPropertyBag::new();
    options.set_type("image/png");
    let parts = Array::of1(&Uint8Array::from(made.png.as_slice()));
    let blob = Blob::new_with_u8_array_sequence_and_options(&parts, &options).ok()?;
    let [notch, tips] = made.widths_mm;
    let [notches, tip_points] = made.points;
    let truth = TrueWidths {
        notch_mm: Some(notch),
        tips_mm: Some(tips),
        notches: Some(notches),
        tips: Some(tip_points),
    };
    Some(ChosenPhoto { name: DRAWN_PHOTO.into(), blob, practice: Some(truth), same_crab: false })
}
