//! The printed sheet of the checks: what the rule in force says of each, with its source and date.

use jiff::civil::Date;

use super::guide::{GuideStep, RuleSays};
use super::html::escaped;
use crate::decide::words::NOT_LEGAL_ADVICE;
use crate::rules::RuleInForce;
use crate::text::{ago, full_area_name};

/// The sheet for `rule` with its checks `steps`, as HTML.
pub fn sheet(rule: &RuleInForce, steps: &[GuideStep], date: Date, today: Date) -> String {
    let place = full_area_name(&rule.jurisdiction, &rule.area_name);
    let mut html = element("h1", &escaped(&format!("{}: {place}", rule.species_name)));
    html += &element(
        "p",
        &escaped(&format!(
            "Checks for {date}. Rules last checked {} ({}). Emergency orders go before this sheet.",
            rule.checked,
            ago(rule.checked, today)
        )),
    );
    for step in steps {
        html += &element("h2", &escaped(&format!("☐ {}: {}", step.name, step.question)));
        html += &element("p", &escaped(&step.how));
        html += &element("ul", &said(step));
    }
    html += &element("h2", "Where it was read");
    let sources: String = rule
        .sources
        .values()
        .map(|source| {
            let parts = [&source.title, &source.section, &source.date, &source.address];
            let words: Vec<&str> =
                parts.into_iter().filter(|part| !part.is_empty()).map(String::as_str).collect();
            element("li", &escaped(&words.join(", ")))
        })
        .collect();
    html + &element("ul", &sources) + &element("p", &element("strong", NOT_LEGAL_ADVICE))
}

/// What the rule says at a step, an `<li>` for each line, with its doubt and its source.
pub fn said(step: &GuideStep) -> String {
    let line = |says: &RuleSays| {
        let mut html = escaped(&says.about) + ": " + &element("strong", &escaped(&says.words));
        if let Some(doubt) = says.doubt {
            html = html + " (" + doubt + ")";
        }
        if !says.source.is_empty() {
            html = html + " " + &element("small", &escaped(&says.source));
        }
        element("li", &html)
    };
    step.rule.iter().map(line).collect()
}

fn element(name: &str, inside: &str) -> String {
    ["<", name, ">", inside, "</", name, ">"].concat()
}
