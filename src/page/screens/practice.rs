//! Practice: drawn crabs to sort, judged by the rule of the chosen water. The worker makes all that is shown.

use jiff::civil::Date;
use js_sys::{Array, Uint8Array};
use web_sys::{Blob, BlobPropertyBag};
use yew::prelude::*;

use crate::page::hooks::photo::photo_file::ChosenPhoto;
use crate::page::hooks::practice::{Shown, use_practice};
use crate::page::parts::practice::block::BlockView;
use crate::practice::course::{OPEN, PHOTO};
use crate::practice::desk::Made;
use crate::practice::view::Block;
use crate::session::photo::practice::DRAWN_PHOTO;
use crate::session::{Action, RuleBook, Screen, TrueWidths};

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
                html! { <BlockView key={at} block={block.clone()} act={act.clone()} choose_water={choose_water.clone()} /> }
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
        </section>
    }
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
