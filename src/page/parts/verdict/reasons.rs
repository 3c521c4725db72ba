//! The reasons of a verdict, each with its source.

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
    /// Each with its source, folded.
    #[prop_or(true)]
    pub with_sources: bool,
}

/// A list of reasons.
#[component]
pub fn Reasons(props: &ReasonsProps) -> Html {
    let reasons = props.reasons.iter().enumerate().map(|(i, reason)| {
        let source = source(reason).filter(|_| props.with_sources);
        html! {
            <li id={format!("reason-{}", props.from + i - 1)}>
                <p>{ reason.sentence() }</p>
                if let Some(source) = source {
                    <details class="source"><summary>{ "The rule and its source" }</summary>{ source }</details>
                }
            </li>
        }
    });
    html! { <ol id={props.id} class="reasons" start={props.from.to_string()} aria-label="Reasons">{ for reasons }</ol> }
}

/// The rule that a reason rests on, in its own words, and where they stand.
pub fn source(reason: &Reason) -> Option<Html> {
    let rule = reason.rule.as_ref()?;
    let address = rule.source.as_ref().map(|source| source.address.clone()).unwrap_or_default();
    Some(html! {
        <>
            if let Some(detail) = reason.detail() {
                <p>{ detail }</p>
            }
            <p>{ format!("{}: {}", rule.area, rule.words) }</p>
            <p>{ rule.citation() }</p>
            if let Some(note) = &rule.note {
                <p>{ note }</p>
            }
            if !address.is_empty() {
                <p class="address">{ format!("Look it up at {address}") }</p>
            }
        </>
    })
}
