//! The pots: what each is, where it soaks, and what fished best.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::day::effort::{By, EffortLine};
use crate::day::{Book, Id, Moment, Pot};
use crate::session::words::{hours_words, pot_words};
use crate::session::{Action, DayAct};

/// The pots.
#[derive(Properties, PartialEq)]
pub struct PotsProps {
    /// The book.
    pub book: std::rc::Rc<Book>,
    /// Now.
    pub now: Moment,
    /// What was done.
    pub act: Callback<Action>,
}

/// The list, the way to name one more, and the comparison.
#[component]
pub fn Pots(props: &PotsProps) -> Html {
    let by = use_state(|| By::Depth);
    let line = |(at, (id, pot)): (usize, (&Id, &Pot))| {
        let does = |act: DayAct| {
            let emit = props.act.clone();
            move |_: MouseEvent| emit.emit(Action::Day(act.clone()))
        };
        let depth = pot.depth_m.map(|depth| format!(", {depth} m")).unwrap_or_default();
        let bottom = [&pot.bottom, &pot.bait].into_iter().filter(|words| !words.is_empty());
        let more: String = bottom.map(|words| format!(", {words}")).collect();
        html! {
            <li key={id.0.clone()} class="row">
                <p><strong>{ format!("Pot {}", pot.label) }</strong>{ format!("{depth}{more}: {}", pot_words(pot, &props.now)) }</p>
                if pot.set.is_some() {
                    <button id={format!("pot-pull-{at}")} type="button" class="main-act" onclick={does(DayAct::PullPot(id.clone()))}>{ "Pulled now" }</button>
                } else {
                    <button id={format!("pot-set-{at}")} type="button" onclick={does(DayAct::SetPot(id.clone()))}>{ "Set now" }</button>
                }
            </li>
        }
    };
    let choose = |words: &'static str, id: &'static str, one: By| {
        let by = by.clone();
        let pressed = (*by == one).to_string();
        html! { <button {id} type="button" aria-pressed={pressed} onclick={move |_| by.set(one)}>{ words }</button> }
    };
    let effort = props.book.effort(*by);
    html! {
        <>
            <h2>{ "Pots" }</h2>
            <ul id="pots" class="rows">{ for props.book.pots().into_iter().enumerate().map(line) }</ul>
            <NewPot act={props.act.clone()} />
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

fn compared(lines: &[EffortLine]) -> Html {
    let most = lines.iter().map(|line| line.interval_per_h.1).fold(f64::MIN_POSITIVE, f64::max);
    let line = |line: &EffortLine| {
        let (low, high) = line.interval_per_h;
        let at = |rate: f64| format!("{:.1}", 240.0 * rate / most);
        let what = if line.what.is_empty() { "not said" } else { line.what.as_str() };
        html! {
            <tr>
                <th scope="row">{ what }</th>
                <td>{ format!("{} of {} kept; pulled {} times, {}", line.kept, line.crabs, line.pulls, hours_words(line.soak_h)) }</td>
                <td>
                    { format!("{:.2} kept an hour of one pot, {low:.2} to {high:.2}", line.kept_per_h) }
                    <svg class="effort" viewBox="0 0 240 20" aria-hidden="true">
                        <line x1={at(low)} x2={at(high)} y1="10" y2="10" stroke="currentColor" stroke-width="4" />
                        <circle cx={at(line.kept_per_h)} cy="10" r="6" fill="currentColor" />
                    </svg>
                </td>
            </tr>
        }
    };
    let is_little = lines.iter().any(|line| line.kept < 10);
    html! {
        <>
            <table id="effort"><tbody>{ for lines.iter().map(line) }</tbody></table>
            <p class="hint">
                { "The line is where the true rate lies with 95 in 100." }
                { if is_little { " So few crabs say little: overlapping lines tell no difference." } else { "" } }
            </p>
        </>
    }
}

#[derive(Properties, PartialEq)]
struct NewPotProps {
    act: Callback<Action>,
}

/// The form of a pot.
#[component]
fn NewPot(props: &NewPotProps) -> Html {
    let pot = use_state(Pot::default);
    let field = |id: &'static str, words: &'static str, value: String, set: fn(Pot, String) -> Pot| {
        let pot = pot.clone();
        let typed = move |event: InputEvent| {
            let value = event.target_unchecked_into::<HtmlInputElement>().value();
            pot.set(set((*pot).clone(), value));
        };
        html! {
            <>
                <label for={id}>{ words }</label>
                <input {id} type="text" autocomplete="off" maxlength="40" {value} oninput={typed} />
            </>
        }
    };
    let number = |words: &str| {
        words.trim().replace(',', ".").parse::<f64>().ok().filter(|n| n.is_finite() && *n > 0.0)
    };
    let depth = use_state(String::new);
    let due = use_state(String::new);
    let text = |state: &UseStateHandle<String>, id: &'static str, words: &'static str| {
        let (handle, value) = (state.clone(), (**state).clone());
        let typed =
            move |event: InputEvent| handle.set(event.target_unchecked_into::<HtmlInputElement>().value());
        html! {
            <>
                <label for={id}>{ words }</label>
                <input {id} type="text" inputmode="decimal" autocomplete="off" maxlength="10" {value} oninput={typed} />
            </>
        }
    };
    let add = {
        let (act, pot, depth, due) = (props.act.clone(), pot.clone(), depth.clone(), due.clone());
        move |event: SubmitEvent| {
            event.prevent_default();
            let label = pot.label.trim().to_owned();
            if !label.is_empty() {
                let made =
                    Pot { label, depth_m: number(&depth), due_after_h: number(&due), ..(*pot).clone() };
                act.emit(Action::Day(DayAct::Pot(None, made)));
                pot.set(Pot::default());
                depth.set(String::new());
            }
        }
    };
    html! {
        <form class="row" onsubmit={add}>
            { field("pot-label", "One more pot: its mark", pot.label.clone(), |pot, label| Pot { label, ..pot }) }
            { text(&depth, "pot-depth", "Depth, m") }
            { field("pot-bottom", "Bottom", pot.bottom.clone(), |pot, bottom| Pot { bottom, ..pot }) }
            { field("pot-bait", "Bait", pot.bait.clone(), |pot, bait| Pot { bait, ..pot }) }
            { text(&due, "pot-due", "Pull after, h") }
            <button id="pot-add" type="submit">{ "Add" }</button>
        </form>
    }
}
