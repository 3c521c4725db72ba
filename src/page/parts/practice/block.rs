//! One block of practice: a heading, words, a drawing, buttons.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::practice::view::{Block, Choice};

/// A block, and what its buttons call.
#[derive(Properties, PartialEq)]
pub struct BlockProps {
    /// The block.
    pub block: Block,
    /// What the learner did.
    pub act: Callback<String>,
    /// The water is to be chosen.
    pub choose_water: Callback<()>,
    /// The lesson of this name is to be opened.
    pub learn: Callback<String>,
}

/// The block.
#[component]
pub fn BlockView(props: &BlockProps) -> Html {
    match &props.block {
        Block::Heading(words) => html! { <h1 id="practice-heading" tabindex="-1">{ words }</h1> },
        Block::Words(words) => html! { <p>{ words }</p> },
        Block::Mark { is_right, words } => html! {
            <p id="practice-mark" role="status" tabindex="-1" class={classes!("practice-mark", is_right.then_some("right"))}
                data-right={is_right.to_string()}>{ words }</p>
        },
        // Made by this program's own worker, which writes no text into it but what it escapes.
        Block::Drawing(svg) => html! {
            <div id="practice-drawing" class="practice-drawing">{ Html::from_html_unchecked(AttrValue::from(svg.clone())) }</div>
        },
        Block::Fold { summary, words } => html! {
            <details class="practice-more">
                <summary>{ summary }</summary>
                { for words.iter().map(|words| html! { <p>{ words }</p> }) }
            </details>
        },
        Block::Choices { legend, buttons } => html! {
            <div role="group" aria-label={legend.clone()} class="practice-choices">
                <h2>{ legend }</h2>
                { for buttons.iter().map(|button| choice(button, &props.act)) }
            </div>
        },
        Block::Ask { id, label, value, button, act } => html! {
            <AskView key={id.clone()} id={id.clone()} label={label.clone()} value={value.clone()} button={button.clone()}
                says={act.clone()} act={props.act.clone()} />
        },
        Block::Table { caption, rows } => html! {
            <table class="practice-table">
                <caption>{ caption }</caption>
                <tbody>
                    { for rows.iter().map(|[head, figure]| html! { <tr><th scope="row">{ head }</th><td>{ figure }</td></tr> }) }
                </tbody>
            </table>
        },
        Block::Certificate(lines) => {
            let print = |_: MouseEvent| {
                // Browsers without it print by their own menu.
                let _ = gloo::utils::window().print();
            };
            let (head, rest) =
                lines.split_first().map(|(head, rest)| (head.clone(), rest)).unwrap_or_default();
            html! {
                <>
                    <div id="certificate" tabindex="-1" class="certificate">
                        <h1>{ head }</h1>
                        { for rest.iter().map(|line| html! { <p>{ line }</p> }) }
                    </div>
                    <button id="practice-print" type="button" class="main-act wide-act" onclick={print}>{ "Print it" }</button>
                </>
            }
        }
        Block::Lesson(name) => {
            let name = name.clone();
            let learn = props.learn.reform(move |_: MouseEvent| name.clone());
            html! { <button id="practice-learn" type="button" class="wide-act" onclick={learn}>{ "Learn what was missed" }</button> }
        }
        Block::ChooseWater => {
            let choose = props.choose_water.reform(|_: MouseEvent| ());
            html! { <button id="practice-water" type="button" class="main-act wide-act" onclick={choose}>{ "Choose the water" }</button> }
        }
    }
}

fn choice(choice: &Choice, act: &Callback<String>) -> Html {
    let Choice { id, words, pressed, is_main, act: does } = choice.clone();
    let act = act.clone();
    // A wet finger bounces: the second half of a double tap was meant for the screen before.
    let onclick = move |event: MouseEvent| {
        if event.detail() < 2 {
            act.emit(does.clone());
        }
    };
    let class = is_main.then_some("main-act");
    html! {
        <button {id} type="button" {class} aria-pressed={(!is_main).then(|| pressed.to_string())} {onclick}>{ words }</button>
    }
}

#[derive(Properties, PartialEq)]
struct AskProps {
    id: String,
    label: String,
    value: String,
    button: String,
    says: String,
    act: Callback<String>,
}

#[component]
fn AskView(props: &AskProps) -> Html {
    let input = use_node_ref();
    let onsubmit = {
        let (input, act, says) = (input.clone(), props.act.clone(), props.says.clone());
        move |event: SubmitEvent| {
            event.prevent_default();
            let Some(input) = input.cast::<HtmlInputElement>() else { return };
            act.emit(format!("{says}{}", input.value()));
        }
    };
    html! {
        <form class="practice-ask" {onsubmit}>
            <label for={props.id.clone()}>{ &props.label }</label>
            <input id={props.id.clone()} ref={input} type="text" autocomplete="off" value={props.value.clone()} />
            <button id={format!("{}-do", props.id)} type="submit">{ &props.button }</button>
        </form>
    }
}
