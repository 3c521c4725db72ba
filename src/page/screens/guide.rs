//! The guide: the checks of the rule in force for a group, one a screen in large type, and the sheet to print.

use jiff::civil::Date;
use yew::prelude::*;

use crate::decide::Check;
use crate::lessons::sheet::{said, sheet};
use crate::lessons::{GuideStep, guide};
use crate::page::drawings as drawn;
use crate::page::parts::check_card::kind_drawing;
use crate::page::parts::drawing::Drawing;
use crate::page::parts::rule::form_fields::ChoiceField;
use crate::page::parts::rule::landmarks::Landmarks;
use crate::session::{Action, RuleBook, Screen};

/// What the guide needs.
#[derive(Properties, PartialEq)]
pub struct GuideProps {
    /// Packs and choice.
    pub book: RuleBook,
    /// The kind that was sorted last.
    pub kind: Option<String>,
    /// The day of the catch.
    pub date: Date,
    /// Today.
    pub today: Date,
    /// What was done.
    pub act: Callback<Action>,
}

/// The guide.
#[component]
pub fn GuideScreen(props: &GuideProps) -> Html {
    let at = use_state_eq(|| 0_usize);
    let chosen = use_state_eq(|| props.kind.clone());
    let heading = use_node_ref();
    {
        let heading = heading.clone();
        use_effect_with(*at, move |_| {
            if let Some(heading) = heading.cast::<web_sys::HtmlElement>() {
                // Screen readers then read the new check; without focus nothing is lost.
                let _ = heading.focus();
            }
        });
    }
    let shows = |screen: Screen| {
        let act = props.act.clone();
        Callback::from(move |_: MouseEvent| act.emit(Action::Show(screen)))
    };
    let kinds = props.book.kinds();
    let kind = (*chosen).clone().filter(|kind| kinds.contains(kind)).or_else(|| kinds.first().cloned());
    let rule = kind.as_deref().and_then(|kind| props.book.rule_of(kind));
    let Some((kind, rule)) = kind.zip(rule) else {
        return html! {
            <section id="screen-guide" class="screen guide">
                <h1>{ "Lead a group" }</h1>
                <p>{ "Choose the water first: its rule says what to check." }</p>
                <button id="choose-water" type="button" class="main-act wide-act" onclick={shows(Screen::Rules)}>{ "Choose the water" }</button>
            </section>
        };
    };
    let steps = guide(&rule);
    let last = steps.len().saturating_sub(1);
    let now = (*at).min(last);
    let goes = |to: usize| {
        let at = at.clone();
        Callback::from(move |event: MouseEvent| {
            if event.detail() < 2 {
                at.set(to);
            }
        })
    };
    let names: Vec<AttrValue> = kinds
        .iter()
        .map(|kind| props.book.rule_of(kind).map_or_else(AttrValue::default, |rule| rule.species_name.into()))
        .collect();
    let kind_at = kinds.iter().position(|known| *known == kind).unwrap_or(0);
    let picked = {
        let (chosen, at, kinds) = (chosen.clone(), at.clone(), kinds.clone());
        Callback::from(move |picked: usize| {
            chosen.set(kinds.get(picked).cloned());
            at.set(0);
        })
    };
    let body = steps.get(now).map(|step| {
        let mut rule = said(step);
        if rule.is_empty() && step.check != Some(Check::Kind) {
            rule += "<li>The rule here says nothing of it in this pack: look it up.</li>";
        }
        html! {
            <>
                <h1 ref={heading} tabindex="-1" class="question">{ step.question }</h1>
                <div class="guide-drawings">{ drawings(step, &kind) }</div>
                <ul id="guide-rule" class="guide-rule">{ Html::from_html_unchecked(rule.into()) }</ul>
                <p>{ &step.how }</p>
                <p><strong>{ "Nobody sure? " }</strong>{ step.not_sure }</p>
            </>
        }
    });
    html! {
        <section id="screen-guide" class="screen guide">
            if now == 0 {
                <ChoiceField id="guide-kind" label="The rule for" options={names} chosen={kind_at} {picked} />
            }
            <p class="lesson-where">
                { format!("{}, {} of {}", steps.get(now).map_or("", |step| step.name), now + 1, last + 1) }
            </p>
            { body }
            <nav class="lesson-ways" aria-label="Checks">
                { way("guide-back", "Back", now == 0, goes(now.saturating_sub(1))) }
                { way("guide-next", "Next", now == last, goes(now + 1)) }
                { way("guide-print", "Print the checks", false, Callback::from(|_| print())) }
                { way("guide-leave", "All lessons", false, shows(Screen::Learn)) }
            </nav>
            <div id="guide-sheet" class="sheet">
                { Html::from_html_unchecked(sheet(&rule, &steps, props.date, props.today).into()) }
            </div>
        </section>
    }
}

fn drawings(step: &GuideStep, kind: &str) -> Html {
    let is_swimmer = matches!(kind, "blue" | "blue-swimmer");
    let all: Vec<&'static str> = match step.check {
        Some(Check::Kind) => vec![kind_drawing(kind)],
        Some(Check::Sex) if is_swimmer => vec![drawn::SEX_BLUE_MALE, drawn::SEX_BLUE_FEMALE],
        Some(Check::Sex) => vec![drawn::SEX_MALE, drawn::SEX_FEMALE],
        Some(Check::Maturity) => vec![drawn::SEX_BLUE_IMMATURE_FEMALE, drawn::SEX_BLUE_FEMALE],
        Some(Check::Eggs) => vec![drawn::EGGS_SPONGE, drawn::EGGS_DARK],
        Some(Check::Shell) => vec![drawn::SHELL_PRESS, drawn::SHELL_FLEXES],
        Some(Check::Claws) => vec![drawn::CLAWS_KEEP_WHOLE],
        Some(Check::Season | Check::Size) | None => Vec::new(),
    };
    html! {
        <>
            { for all.into_iter().map(|file| html! { <Drawing {file} /> }) }
            { for step.dimensions.iter().map(|&dimension| html! { <Landmarks {dimension} /> }) }
        </>
    }
}

fn way(id: &'static str, words: &'static str, disabled: bool, onclick: Callback<MouseEvent>) -> Html {
    let class = (id == "guide-next").then_some("main-act");
    html! { <button {id} type="button" {class} {disabled} {onclick}>{ words }</button> }
}

/// Opens the browser's own window for printing; it says itself where it cannot.
fn print() {
    let _ = gloo::utils::window().print();
}
