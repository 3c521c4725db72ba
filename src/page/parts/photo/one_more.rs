//! One more photo of the same crab: from where, what it would bring, and the ways to it.

use yew::prelude::*;

use super::pick::PhotoInput;
use crate::page::hooks::photo::photo_file::ChosenPhoto;
use crate::session::words::one_more_words;
use crate::width::NextView;

/// What is offered.
#[derive(Properties, PartialEq)]
pub struct OneMoreProps {
    /// From where it helps most.
    pub next: NextView,
    /// Standard uncertainty now, in mm.
    pub u_mm: f64,
    /// Where a photo goes.
    pub take: Callback<ChosenPhoto>,
}

/// The offer.
#[component]
pub fn OneMorePhoto(props: &OneMoreProps) -> Html {
    let words = one_more_words(&props.next, props.u_mm);
    html! {
        <section id="one-more" class="one-more" aria-label="One more photo">
            <div class="one-more-words">
                <p id="one-more-gain"><strong>{ words.gain }</strong></p>
                <p class="hint">{ words.how }</p>
            </div>
            { picture(&props.next) }
            <div class="tools">
                <PhotoInput id="more-take" words="Take one more" by_camera=true same_crab=true is_main=true
                    take={props.take.clone()} />
                <PhotoInput id="more-pick" words="Choose more" by_camera=false same_crab=true
                    take={props.take.clone()} />
            </div>
        </section>
    }
}

/// Seen from above, as the first photo shows it: the crab, where the phone was, and where it goes.
fn picture(next: &NextView) -> Html {
    let [x, y] = next.towards.map(|way| 34.0 * way);
    let (from, to) = ((50.0 - x, 50.0 - y), (50.0 + x, 50.0 + y));
    let tip = |back: f64, side: f64| {
        let (dx, dy) = (next.towards[0], next.towards[1]);
        format!(
            "{:.1} {:.1}",
            to.0 - 9.0 * dx - back * dx - side * dy,
            to.1 - 9.0 * dy - back * dy + side * dx
        )
    };
    let phone = |(x, y): (f64, f64), class: &'static str| {
        html! {
            <rect {class} x={format!("{:.1}", x - 5.0)} y={format!("{:.1}", y - 8.0)} width="10" height="16" rx="2" />
        }
    };
    html! {
        <svg id="next-view" class="next-view" viewBox="0 0 100 100" role="img"
            aria-label="Seen from above: the phone goes to the other side of the crab">
            <path class="shell" d="M30 52C32 42 42 38 50 38S68 42 70 52C62 60 38 60 30 52Z" />
            <path class="way" d={format!("M{:.1} {:.1}L{}", from.0, from.1, tip(3.0, 0.0))} />
            <path class="way-tip" d={format!("M{}L{}L{}Z", tip(0.0, 0.0), tip(8.0, 5.0), tip(8.0, -5.0))} />
            { phone(from, "phone-was") }{ phone(to, "phone-goes") }
        </svg>
    }
}
