//! The pots: what each is, where it soaks, and what fished best.

use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

use super::pot_form::PotForm;
use crate::day::pots::{depth_words, place_words};
use crate::day::told::effort::{By, EffortLine, Rate};
use crate::day::{Book, Id, Moment, Pot};
use crate::page::hooks::device::position::{Need, NoPosition, ask_position};
use crate::page::hooks::device::pot_alert::{is_alert_wanted, want_alert};
use crate::session::words::{hours_words, pot_words, pulls_words};
use crate::session::{Action, DayAct};

/// The pots.
#[derive(Properties, PartialEq)]
pub struct PotsProps {
    /// The book.
    pub book: std::rc::Rc<Book>,
    /// Now.
    pub now: Moment,
    /// How many are out, where one more is too many.
    pub full: Option<String>,
    /// The last step, where it can be taken back.
    pub undo: Option<String>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The list, the way to name one more, and the comparison.
#[component]
pub fn Pots(props: &PotsProps) -> Html {
    let by = use_state(|| By::Depth);
    let changing = use_state_eq(|| None::<Id>);
    // What was asked last and not told: of which pot, and why.
    let no_place = use_state_eq(|| None::<(usize, NoPosition)>);
    let note_place = |at: usize, id: Id| {
        let (act, no_place) = (props.act.clone(), no_place.setter());
        move |_: MouseEvent| {
            let (act, no_place, id) = (act.clone(), no_place.clone(), id.clone());
            spawn_local(async move {
                match ask_position(Need::Fine).await {
                    Ok(place) => {
                        no_place.set(None);
                        act.emit(Action::Day(DayAct::PotAt(id, place)));
                    }
                    Err(why) => no_place.set(Some((at, why))),
                }
            });
        }
    };
    let line = |(at, (id, pot)): (usize, (&Id, &Pot))| {
        if changing.as_ref() == Some(id) {
            let done = {
                let changing = changing.clone();
                Callback::from(move |()| changing.set(None))
            };
            return html! {
                <li key={id.0.to_string()}>
                    <PotForm book={props.book.clone()} changed={(id.clone(), pot.clone())} {done} act={props.act.clone()} />
                </li>
            };
        }
        let change = {
            let (changing, id) = (changing.clone(), id.clone());
            move |_: MouseEvent| changing.set(Some(id.clone()))
        };
        let does = |act: DayAct| {
            let emit = props.act.clone();
            move |_: MouseEvent| emit.emit(Action::Day(act.clone()))
        };
        let depth = pot.depth_m.map(|depth| format!(", {}", depth_words(depth))).unwrap_or_default();
        let due = pot.due_after_h.map(|hours| format!(", to be pulled after {}", hours_words(hours)));
        let bottom = [&pot.bottom, &pot.bait].into_iter().filter(|words| !words.is_empty());
        let more: String = bottom.map(|words| format!(", {words}")).collect();
        html! {
            <li key={id.0.to_string()} class="row">
                <p><strong>{ format!("Pot {}", pot.label) }</strong>{ format!("{depth}{more}: {}{}", pot_words(pot, &props.now), due.unwrap_or_default()) }</p>
                if pot.set.is_some() {
                    <button id={format!("pot-pull-{at}")} type="button" class="main-act" onclick={does(DayAct::PullPot(id.clone()))}>{ "Pulled now" }</button>
                } else {
                    <button id={format!("pot-set-{at}")} type="button" onclick={does(DayAct::SetPot(id.clone()))}>{ "Set now" }</button>
                }
                if let Some(place) = pot.place {
                    <p class="pot-place">{ place_words(place) }</p>
                }
                if let Some((_, why)) = (*no_place).filter(|(of, _)| *of == at) {
                    <p class="flag" role="alert">{ why.words_of_pot() }</p>
                }
                <div class="tools">
                    if pot.set.is_some() {
                        <button id={format!("pot-place-{at}")} type="button" onclick={note_place(at, id.clone())}>{ "Note this place" }</button>
                    }
                    <button id={format!("pot-change-{at}")} type="button" onclick={change}>{ format!("Change {}", pot.label) }</button>
                    <button id={format!("pot-remove-{at}")} type="button" onclick={does(DayAct::RemovePot(id.clone()))}>{ format!("Remove {}", pot.label) }</button>
                </div>
            </li>
        }
    };
    let choose = |words: &'static str, id: &'static str, one: By| {
        let by = by.clone();
        let pressed = (*by == one).to_string();
        html! { <button {id} type="button" aria-pressed={pressed} onclick={move |_| by.set(one)}>{ words }</button> }
    };
    let effort = props.book.effort(*by);
    let take_back = {
        let act = props.act.clone();
        move |_: MouseEvent| act.emit(Action::Day(DayAct::Undo))
    };
    html! {
        <>
            <h2>{ "Pots" }</h2>
            if let Some(full) = props.full.clone() {
                <p id="pots-full" class="flag" role="status">{ full }</p>
            }
            <ul id="pots" class="rows">{ for props.book.pots().into_iter().enumerate().map(line) }</ul>
            if let Some(undo) = props.undo.clone() {
                <button id="undo-step" type="button" class="wide-act" onclick={take_back}>{ undo }</button>
            }
            <PotForm book={props.book.clone()} act={props.act.clone()} />
            <PotAlert />
            if !effort.is_empty() {
                <h2>{ "What fished best" }</h2>
                <div class="tools">
                    { choose("By depth", "effort-depth", By::Depth) }{ choose("By pot", "effort-pot", By::Pot) }
                    { choose("By bottom", "effort-bottom", By::Bottom) }{ choose("By bait", "effort-bait", By::Bait) }
                </div>
                { compared(&effort) }
            }
        </>
    }
}

/// The alert for overdue pots, on or off.
#[component]
fn PotAlert() -> Html {
    let is_wanted = use_state_eq(is_alert_wanted);
    let may_show = use_state_eq(|| None::<bool>);
    let toggle = {
        let (is_wanted, may_show) = (is_wanted.clone(), may_show.clone());
        move |_: MouseEvent| {
            let wanted = !*is_wanted;
            is_wanted.set(wanted);
            let may_show = may_show.clone();
            spawn_local(async move {
                let may = want_alert(wanted).await;
                may_show.set(wanted.then_some(may));
            });
        }
    };
    let words = match *may_show {
        Some(true) => "It shows while the page is open, also behind other programs.",
        Some(false) => {
            "The browser shows no messages of this page: it vibrates and says it here. Set an alarm too."
        }
        None => "While the page is open; a closed page cannot. Set an alarm too.",
    };
    html! {
        <>
            <button id="pot-alert" type="button" aria-pressed={is_wanted.to_string()} onclick={toggle}>{ "Alert when a pot is overdue" }</button>
            <p class="hint">{ words }</p>
        </>
    }
}

fn compared(lines: &[EffortLine]) -> Html {
    let most = lines.iter().map(|line| line.caught.interval_per_h.1).fold(f64::MIN_POSITIVE, f64::max);
    let line = |line: &EffortLine| {
        let at = |rate: f64| format!("{:.1}", 240.0 * rate / most);
        // A ring for the catch above, a disc for the keepers below it: shape tells them apart, no colour.
        let bar = |rate: Rate, y: &'static str, is_kept: bool| {
            let (low, high) = rate.interval_per_h;
            let fill = if is_kept { "currentColor" } else { "none" };
            html! {
                <>
                    <line x1={at(low)} x2={at(high)} y1={y} y2={y} stroke="currentColor" stroke-width="3" />
                    <circle cx={at(rate.per_h)} cy={y} r="6" {fill} stroke="currentColor" stroke-width="2" />
                </>
            }
        };
        let told = |rate: Rate| {
            let (low, high) = rate.interval_per_h;
            format!("{:.2} an hour of one pot, {low:.2} to {high:.2}", rate.per_h)
        };
        let what = if line.what.is_empty() { "not said" } else { line.what.as_str() };
        html! {
            <>
                <tr>
                    <th scope="row">{ what }</th>
                    <td>{ format!("{} of {} kept; {}, {}", line.kept, line.crabs, pulls_words(line.pulls), hours_words(line.soak_h)) }</td>
                </tr>
                <tr>
                    <td class="rates" colspan="2">
                        <p>{ format!("Caught: {}", told(line.caught)) }</p>
                        <p>{ format!("Kept: {}", told(line.kept_of_it)) }</p>
                        <svg class="effort" viewBox="0 0 240 40" aria-hidden="true">
                            { bar(line.caught, "10", false) }{ bar(line.kept_of_it, "30", true) }
                        </svg>
                    </td>
                </tr>
            </>
        }
    };
    let is_little = lines.iter().any(|line| line.kept < 10);
    html! {
        <>
            <table id="effort"><tbody>{ for lines.iter().map(line) }</tbody></table>
            <p class="hint">
                { "Ring: caught; disc: kept. The line is where the true rate lies with 95 in 100." }
                { if is_little { " So few crabs say little: overlapping lines tell no difference." } else { "" } }
            </p>
        </>
    }
}
