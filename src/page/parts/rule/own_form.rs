//! A form to make or adjust a rule: marked as the person's own on every verdict.

use yew::prelude::*;

use super::form_fields::{ChoiceField, TextField};
use super::own_draft::{DIMENSIONS, Draft, EGGS, HOLDERS, PARTS, SEXES, SHELLS, TAKES};
use crate::rules::facts::Facts;
use crate::rules::words::InWords;
use crate::rules::{Cited, FormMistake, anything_differs};
use crate::session::{Action, RuleBook};

/// What the form starts from.
#[derive(Properties, PartialEq)]
pub struct OwnRuleFormProps {
    /// Packs, choice, and what was wrong with the last try.
    pub book: RuleBook,
    /// The kind whose rule is shown.
    pub kind: Option<String>,
    /// What was done.
    pub act: Callback<Action>,
}

/// The form.
#[component]
pub fn OwnRuleForm(props: &OwnRuleFormProps) -> Html {
    // The kinds of the water first: a rule for one of them is what most come for.
    let species = use_memo(props.book.all_kinds(), |all| all.clone());
    let written = use_state_eq(|| None::<Draft>);
    // Until something is written it is for the kind that is shown above, whichever comes to be shown.
    let draft = (*written).clone().unwrap_or_else(|| {
        let shown = species.iter().find(|(id, _)| props.kind.as_ref() == Some(id));
        Draft::of(shown.or(species.first()).map_or("", |(id, _)| id))
    });
    let own_mistake = use_state_eq(|| None::<FormMistake>);
    let is_new = draft.new_water.is_some();
    let held = if is_new { None } else { props.book.rule_of(&draft.rule.species) };
    let held: Facts = held.map(|rule| rule.facts).unwrap_or_default();
    let change = |set: Change| {
        let (draft, written) = (draft.clone(), written.clone());
        Callback::from(move |value: Value| {
            let mut changed = draft.clone();
            set(&mut changed, value);
            written.set(Some(changed));
        })
    };
    let text = |id: &str, label: String, value: &str, set: Set| {
        let typed = change(Box::new(move |draft, value| {
            if let Value::Text(text) = value {
                set(draft, text);
            }
        }));
        let is_date = id.starts_with("own-closed") || id.starts_with("own-open");
        let kind = if is_date { "date" } else { "text" };
        html! {
            <TextField id={id.to_owned()} {label} value={value.to_owned()} {kind} typed={typed.reform(Value::Text)} />
        }
    };
    // The first place keeps what the rule says.
    let choice = |id: &str,
                  label: &str,
                  now: String,
                  options: &[&str],
                  chosen: usize,
                  set: fn(&mut Draft, usize)| {
        let picked = change(Box::new(move |draft, value| {
            if let Value::Place(at) = value {
                set(draft, at);
            }
        }));
        let as_now = if is_new { "Not said".to_owned() } else { format!("As now: {now}") };
        let options: Vec<AttrValue> = std::iter::once(as_now.into())
            .chain(options.iter().map(|words| (*words).to_owned().into()))
            .collect();
        html! {
            <ChoiceField id={id.to_owned()} label={label.to_owned()} {options} {chosen} picked={picked.reform(Value::Place)} />
        }
    };
    let switch = |id: &'static str, words: &'static str, is_on: bool, set: fn(&mut Draft)| {
        let turned = change(Box::new(move |draft, _| set(draft)));
        html! {
            <button {id} type="button" class="wide-act" aria-pressed={is_on.to_string()}
                onclick={turned.reform(|_: MouseEvent| Value::Place(0))}>{ words }</button>
        }
    };
    let rule = &draft.rule;
    let kinds: Vec<AttrValue> = species.iter().map(|(_, name)| name.clone().into()).collect();
    let kind_at = species.iter().position(|(id, _)| *id == rule.species).unwrap_or(0);
    let kind_picked = {
        let (draft, written, species) = (draft.clone(), written.clone(), species.clone());
        Callback::from(move |at: usize| {
            let mut changed = draft.clone();
            if let Some((id, _)) = species.get(at) {
                changed.rule.species.clone_from(id);
                changed.each.clear();
            }
            written.set(Some(changed));
        })
    };
    let sizes = if draft.has_each(&held) {
        let rows = held.sizes.iter().enumerate().map(|(at, size)| {
            let of = size.words();
            let typed = draft.each.get(&of).cloned().unwrap_or_default();
            let put = |end: usize| -> Set {
                let of = of.clone();
                Box::new(move |draft, text| {
                    if let Some(slot) = draft.each.entry(of.clone()).or_default().get_mut(end) {
                        *slot = text;
                    }
                })
            };
            html! {
                <fieldset>
                    <legend>{ &of }</legend>
                    { text(&format!("own-min-{at}"), "Smallest size with its unit, or none; empty: as it is".into(), &typed[0], put(0)) }
                    { text(&format!("own-max-{at}"), "Largest size, or none; empty: as it is".into(), &typed[1], put(1)) }
                </fieldset>
            }
        });
        html! { { for rows } }
    } else {
        let now = if is_new || held.sizes.is_empty() { "empty: not said" } else { "empty: as now" };
        html! {
            <>
                { text("own-min", format!("Smallest size with its unit (6 1/4 in, 165 mm), or none; {now}"), &draft.one[0],
                    Box::new(|draft, text| draft.one[0] = text)) }
                { text("own-max", format!("Largest size, or none; {now}"), &draft.one[1],
                    Box::new(|draft, text| draft.one[1] = text)) }
            </>
        }
    };
    let sent = {
        let (draft, act, held, own_mistake) =
            (draft.clone(), props.act.clone(), held.clone(), own_mistake.clone());
        Callback::from(move |event: SubmitEvent| {
            event.prevent_default();
            match draft.rule(&held) {
                Ok(rule) => {
                    own_mistake.set(None);
                    let (who, new_water) = (draft.who.clone(), draft.new_water.clone());
                    act.emit(Action::MakeOwnRule { rule: Box::new(rule), who, new_water });
                }
                Err(field) => own_mistake.set(Some(FormMistake {
                    field: field.to_owned(),
                    words: "write a whole number".to_owned(),
                })),
            }
        })
    };
    let mistakes: Vec<FormMistake> =
        own_mistake.iter().cloned().chain(props.book.form_mistakes.iter().cloned()).collect();
    html! {
        <>
        <details open={!mistakes.is_empty()}>
            <summary>{ "Make or adjust a rule" }</summary>
            <form id="own-rule" class="own-rule" onsubmit={sent}>
                { switch("own-new-water", "For a water that is not in the list", is_new, |draft| {
                    draft.new_water = if draft.new_water.is_some() { None } else { Some(String::new()) };
                }) }
                if let Some(water) = &draft.new_water {
                    { text("own-water", "Name of the water, with its state or country".into(), water,
                        Box::new(|draft, text| draft.new_water = Some(text))) }
                }
                <ChoiceField id="own-kind" label="Kind" options={kinds} chosen={kind_at} picked={kind_picked} />
                { choice("own-take", "Taking it", now(&held.take), &words(&TAKES), place(&TAKES, rule.take),
                    |draft, at| draft.rule.take = picked(&TAKES, at)) }
                { choice("own-dimension", "Measured", held.sizes.first().map_or_else(|| "not said".to_owned(),
                    |size| now(std::slice::from_ref(&size.dimension))), &words(&DIMENSIONS), place(&DIMENSIONS, rule.dimension),
                    |draft, at| draft.rule.dimension = picked(&DIMENSIONS, at)) }
                { sizes }
                { choice("own-sex", "Sexes", now(&held.sex), &words(&SEXES), place(&SEXES, rule.sex),
                    |draft, at| draft.rule.sex = picked(&SEXES, at)) }
                { choice("own-eggs", "Eggs", now(&held.eggs), &words(&EGGS), place(&EGGS, rule.eggs),
                    |draft, at| draft.rule.eggs = picked(&EGGS, at)) }
                { choice("own-shell", "Shell", now(&held.shell), &words(&SHELLS), place(&SHELLS, rule.shell),
                    |draft, at| draft.rule.shell = picked(&SHELLS, at)) }
                { choice("own-parts", "Whole crabs or claws", now(&held.parts), &words(&PARTS), place(&PARTS, rule.parts),
                    |draft, at| draft.rule.parts = picked(&PARTS, at)) }
                if anything_differs(&held) {
                    { switch("own-for-all", "What I write holds for all crabs and all days", rule.for_all,
                        |draft| draft.rule.for_all = !draft.rule.for_all) }
                }
                { text("own-limit", "So many a day; empty: as now".into(), &draft.daily_limit,
                    Box::new(|draft, text| draft.daily_limit = text)) }
                { choice("own-holder", "The limit is held by", "the same".to_owned(), &words(&HOLDERS), place(&HOLDERS, rule.holder),
                    |draft, at| draft.rule.holder = picked(&HOLDERS, at)) }
                { text("own-closed-from", "Closed from".into(), &draft.closed[0], Box::new(|draft, text| draft.closed[0] = text)) }
                { text("own-closed-to", "Closed to".into(), &draft.closed[1], Box::new(|draft, text| draft.closed[1] = text)) }
                { text("own-open-from", "Open only from (closed before)".into(), &draft.open_only[0],
                    Box::new(|draft, text| draft.open_only[0] = text)) }
                { text("own-open-to", "Open only to (closed after)".into(), &draft.open_only[1],
                    Box::new(|draft, text| draft.open_only[1] = text)) }
                { text("own-title", "The text it stands in, such as an order and its number".into(), &rule.source_title,
                    Box::new(|draft, text| draft.rule.source_title = text)) }
                { text("own-date", "Its date".into(), &rule.source_date, Box::new(|draft, text| draft.rule.source_date = text)) }
                { text("own-who", "Your name or initials".into(), &draft.who, Box::new(|draft, text| draft.who = text)) }
                { switch("own-read", "I read the official text myself", rule.is_read,
                    |draft| draft.rule.is_read = !draft.rule.is_read) }
                if !mistakes.is_empty() {
                    <div role="alert" class="message">
                        <p class="message-seen">{ format!("Not taken, and nothing changed. {} to mend:", mistakes.len()) }</p>
                        <ul id="own-mistakes">
                            { for mistakes.iter().map(|mistake| html! {
                                <li>{ format!("{}: {}", label_of(&mistake.field), mistake.words) }</li>
                            }) }
                        </ul>
                    </div>
                }
                <button id="own-take-it" type="submit" class="wide-act main-act">{ "Take it as my own rule" }</button>
            </form>
        </details>
        if let (true, Some(taken)) = (mistakes.is_empty(), &props.book.form_taken) {
            <p id="own-taken" role="status">{ format!("Taken as your own rule: {taken}. Every verdict on it says so.") }</p>
        }
        </>
    }
}

type Change = Box<dyn Fn(&mut Draft, Value)>;
/// Puts a text into the draft.
type Set = Box<dyn Fn(&mut Draft, String)>;

/// What a field gives.
enum Value {
    Text(String),
    Place(usize),
}

/// What holds now, in words.
fn now<T: InWords>(facts: &[Cited<T>]) -> String {
    let words: Vec<String> = facts
        .iter()
        .map(|fact| {
            let when = fact.when.as_ref().map(InWords::in_words).filter(|words| !words.is_empty());
            let words = fact.known().map_or_else(|| "not known".to_owned(), InWords::in_words);
            when.map_or(words.clone(), |when| format!("{words} ({when})"))
        })
        .collect();
    if words.is_empty() { "not said".to_owned() } else { words.join("; ") }
}

fn words<T>(options: &[(&'static str, T)]) -> Vec<&'static str> {
    options.iter().map(|(words, _)| *words).collect()
}

fn place<T: PartialEq>(options: &[(&str, T)], chosen: Option<T>) -> usize {
    options.iter().position(|(_, option)| Some(option) == chosen.as_ref()).map_or(0, |at| at + 1)
}

fn picked<T: Copy>(options: &[(&str, T)], at: usize) -> Option<T> {
    options.get(at.checked_sub(1)?).map(|(_, value)| *value)
}

/// The form's words for a field of the core.
fn label_of(field: &str) -> &str {
    match field {
        "min" => "Smallest size",
        "max" => "Largest size",
        "dimension" => "Measured",
        "species" => "Kind",
        "source_title" => "The text it stands in",
        "who" => "Your name",
        "area" => "Water",
        "new_water" => "Name of the water",
        "daily_limit" => "So many a day",
        other if other.starts_with("sizes[") => "One of the sizes",
        other if other.starts_with("seasons[") => "Closed, or open only",
        // A place within the rules file that the form makes.
        other if other.contains('[') => "This rule",
        other => other,
    }
}
