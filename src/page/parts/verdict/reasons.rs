//! The reasons of a verdict, the deciding one first, each with its source one tap away.

use yew::prelude::*;

use crate::decide::Reason;

/// The reasons.
#[derive(Properties, PartialEq)]
pub struct ReasonsProps {
    /// The reasons, the deciding one first.
    pub reasons: Vec<Reason>,
}

/// A list of reasons.
#[component]
pub fn Reasons(props: &ReasonsProps) -> Html {
    let reasons = props.reasons.iter().enumerate().map(|(i, reason)| {
        let source = reason.rule.as_ref().map(|rule| {
            let address = rule.source.as_ref().map(|source| source.address.clone()).unwrap_or_default();
            html! {
                <details class="source">
                    <summary>{ "The rule and its source" }</summary>
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
            <li id={format!("reason-{i}")}>
                <p>{ reason.sentence() }</p>
                { source }
            </li>
        }
    });
    html! { <ol class="reasons" aria-label="Reasons">{ for reasons }</ol> }
}
