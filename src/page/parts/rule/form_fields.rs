//! The two kinds of field that forms are made of: a text with its label, a choice with its label.

use web_sys::{HtmlInputElement, HtmlSelectElement};
use yew::prelude::*;

/// A text with its label.
#[derive(Properties, PartialEq)]
pub struct TextFieldProps {
    /// Id of the input.
    pub id: AttrValue,
    /// What to write.
    pub label: AttrValue,
    /// What is written.
    pub value: AttrValue,
    /// `text`, `date` or another type of input.
    #[prop_or(AttrValue::Static("text"))]
    pub kind: AttrValue,
    /// Called with what was written.
    pub typed: Callback<String>,
}

/// A text with its label.
#[component]
pub fn TextField(props: &TextFieldProps) -> Html {
    let oninput = props.typed.reform(|event: InputEvent| {
        let input: HtmlInputElement = event.target_unchecked_into();
        input.value()
    });
    html! {
        <>
            <label for={props.id.clone()}>{ &props.label }</label>
            <input id={props.id.clone()} type={props.kind.clone()} autocomplete="off" value={props.value.clone()} {oninput} />
        </>
    }
}

/// A choice with its label.
#[derive(Properties, PartialEq)]
pub struct ChoiceFieldProps {
    /// Id of the select.
    pub id: AttrValue,
    /// What to choose.
    pub label: AttrValue,
    /// Words of the choices.
    pub options: Vec<AttrValue>,
    /// Place of the chosen one.
    pub chosen: usize,
    /// Called with the place of the one that was picked.
    pub picked: Callback<usize>,
}

/// A choice with its label.
#[component]
pub fn ChoiceField(props: &ChoiceFieldProps) -> Html {
    let onchange = props.picked.reform(|event: Event| {
        let select: HtmlSelectElement = event.target_unchecked_into();
        usize::try_from(select.selected_index()).unwrap_or(0)
    });
    html! {
        <>
            <label for={props.id.clone()}>{ &props.label }</label>
            <select id={props.id.clone()} {onchange}>
                { for props.options.iter().enumerate().map(|(at, words)| html! {
                    <option selected={at == props.chosen}>{ words }</option>
                }) }
            </select>
        </>
    }
}
