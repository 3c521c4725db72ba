//! The printed sheet of the checks: what the rule in force says of each, with its source and date.

use jiff::civil::Date;
use yew::prelude::*;

use crate::decide::words::NOT_LEGAL_ADVICE;
use crate::lessons::{GuideStep, guide::RuleSays};
use crate::rules::RuleInForce;
use crate::text::{ago, full_area_name};

/// The sheet for `rule` with its checks `steps`; shown on paper only.
pub fn sheet(rule: &RuleInForce, steps: &[GuideStep], date: Date, today: Date) -> Html {
    let sources = rule.sources.values().map(|source| {
        let parts = [&source.title, &source.section, &source.date, &source.address];
        let words: Vec<&str> =
            parts.into_iter().filter(|part| !part.is_empty()).map(String::as_str).collect();
        html! { <li>{ words.join(", ") }</li> }
    });
    html! {
        <section id="guide-sheet" class="sheet">
            <h1>{ format!("{}: {}", rule.species_name, full_area_name(&rule.jurisdiction, &rule.area_name)) }</h1>
            <p>{ format!("Checks for {}. Rules last checked {} ({}). Emergency orders go before this sheet.",
                date, rule.checked, ago(rule.checked, today)) }</p>
            <ol>
                { for steps.iter().map(|step| html! {
                    <li>
                        <h2>{ format!("☐ {}: {}", step.name, step.question) }</h2>
                        <p>{ step.how }</p>
                        <ul>{ for step.rule.iter().map(|says| html! { <li>{ rule_line(says) }</li> }) }</ul>
                    </li>
                }) }
            </ol>
            <h2>{ "Where it was read" }</h2>
            <ul>{ for sources }</ul>
            <p><strong>{ NOT_LEGAL_ADVICE }</strong></p>
        </section>
    }
}

/// One line of the rule, with its doubt and its source.
pub fn rule_line(says: &RuleSays) -> Html {
    html! {
        <>
            { format!("{}: ", says.about) }<strong>{ &says.words }</strong>
            if let Some(doubt) = says.doubt {
                <em>{ format!(" ({doubt})") }</em>
            }
            if !says.source.is_empty() {
                <small>{ format!(" {}", says.source) }</small>
            }
        </>
    }
}
