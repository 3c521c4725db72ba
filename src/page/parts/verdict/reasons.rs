//! The reasons of a verdict, the deciding one first, each with its source one tap away.

use yew::prelude::*;

use crate::decide::Reason;

/// The reasons.
#[derive(Properties, PartialEq)]
pub struct ReasonsProps {
    /// The list's id.
    pub id: &'static str,
    /// The reasons, the deciding one first.
    pub reasons: Vec<Reason>,
    /// The number of the first.
    #[prop_or(1)]
    pub from: usize,
}

/// A list of reasons.
#[component]
pub fn Reasons(props: &ReasonsProps) -> Html {
    let reasons = props.reasons.iter().enumerate().map(|(i, reason)| {
        let detail = reason.detail().map(|detail| html! { <p>{ detail }</p> });
        let source = reason.rule.as_ref().map(|rule| {
            let address = rule.source.as_ref().map(|source| source.address.clone()).unwrap_or_default();
            html! {
                <details class="source">
                    <summary>{ "The rule and its source" }</summary>
                    { detail.clone() }
                    <p>{ format!("{}: {}", rule.area, rule.words) }</p>
                    <p>{ rule.citation() }</p>
                    if let Some(note) = &rule.note {
                        <p>{ note }</p>
                    }
                    if !address.is_empty() {
                        <p class="address">{ format!("Look it up at {address}") }</p>
                    }
                </details>
            }
        });
        html! {
            <li id={format!("reason-{}", props.from + i - 1)}>
                <p>{ reason.sentence() }</p>
                { source }
            </li>
        }
    });
    html! { <ol id={props.id} class="reasons" start={props.from.to_string()} aria-label="Reasons">{ for reasons }</ol> }
}
