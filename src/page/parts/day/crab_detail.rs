//! One crab of the list: what was answered, the verdict, the photos, and the photos' way out of the page.

use std::rc::Rc;

use wasm_bindgen_futures::spawn_local;
use yew::prelude::*;

use crate::day::{Book, CrabEntry, Id, Picture, What};
use crate::decide::{Eggs, GaugeReading, Parts};
use crate::page::hooks::kept::save_file::{Way, can_share, give_file};
use crate::page::hooks::photo::picture_urls::use_pictures;
use crate::page::hooks::photo::pixels::with_measurement;
use crate::rules::when::{Sex, Stage};
use crate::session::words::call_words;
use crate::terms::Placement;

/// One crab.
#[derive(Properties, PartialEq)]
pub struct CrabDetailProps {
    /// Its name.
    pub id: Id,
    /// The crab.
    pub crab: Rc<CrabEntry>,
    /// The book, for its pull.
    pub book: Rc<Book>,
}

/// What is known of it.
#[component]
pub fn CrabDetail(props: &CrabDetailProps) -> Html {
    let crab = &props.crab;
    let names: Vec<String> = crab.pictures.iter().map(|picture| picture.name(&props.id)).collect();
    let pictures = use_pictures(names);
    let said = use_state_eq(|| None::<String>);
    let give = |picture: Picture, blob: web_sys::Blob, is_drawn: bool, way: Way| {
        let (said, words, at) = (said.clone(), width_words(&props.crab), props.crab.at.day);
        move |_: MouseEvent| {
            let (said, words, blob) = (said.clone(), words.clone(), blob.clone());
            spawn_local(async move {
                let drawn = if is_drawn { with_measurement(&blob, &picture, &words).await } else { Ok(blob) };
                let given = match drawn {
                    Ok(blob) => give_file(&format!("crab-{at}.jpg"), &blob, way).await,
                    Err(_) => Err("The photo was not drawn: reload the page and try again.".to_owned()),
                };
                said.set(given.err());
            });
        }
    };
    let photo = |picture: &Picture| {
        let name = picture.name(&props.id);
        let Some(read) = &pictures else { return html! { <p>{ "Looking for the photo." }</p> } };
        let Some(read) = read.iter().find(|read| read.name == name) else {
            return html! { <p class="photo-missing">{ "This photo was not kept." }</p> };
        };
        html! {
            <div class="crab-photo">
                <img src={read.url.to_string()} alt="The measured crab beside the card" />
                <div class="tools">
                    <button type="button" class="save-photo" onclick={give(*picture, read.blob.clone(), false, Way::Save)}>{ "Save the photo" }</button>
                    <button type="button" class="save-drawn" onclick={give(*picture, read.blob.clone(), true, Way::Save)}>{ "Save it with the width drawn in" }</button>
                    if can_share() {
                        <button type="button" class="share-drawn" onclick={give(*picture, read.blob.clone(), true, Way::Share)}>{ "Share it with the width" }</button>
                    }
                </div>
            </div>
        }
    };
    html! {
        <div class="crab-detail">
            <ul>{ for facts(props).into_iter().map(|words| html! { <li>{ words }</li> }) }</ul>
            { for crab.pictures.iter().map(photo) }
            if let Some(said) = &*said {
                <p role="status">{ said }</p>
            }
        </div>
    }
}

fn width_words(crab: &CrabEntry) -> String {
    let mm = |width: crate::day::rows::EntryWidth| {
        let inches = (width.width.inches(), width.u.inches());
        format!(
            "{:.1} mm, give or take {:.1} mm ({:.2} in, {:.2} in)",
            width.width.0, width.u.0, inches.0, inches.1
        )
    };
    crab.width.map(mm).unwrap_or_default()
}

fn facts(props: &CrabDetailProps) -> Vec<String> {
    let CrabEntry { at, water, traits, checks, verdict, width, gauge, pull, .. } = &*props.crab;
    let sex = traits.sex.map(|sex| match sex {
        Sex::Male => "male",
        Sex::Female => "female",
    });
    let shell = traits.stage.map(|stage| match stage {
        Stage::Hard => "hard shell",
        Stage::Soft => "soft shell",
        Stage::Peeler => "peeler",
    });
    let eggs = checks.eggs.map(|eggs| match eggs {
        Eggs::None => "no eggs",
        Eggs::Light => "light eggs",
        Eggs::Dark => "dark eggs",
        Eggs::Removed => "eggs removed",
    });
    let parts = checks.parts.map(|parts| match parts {
        Parts::Whole => "whole",
        Parts::RightClaw => "right claw only",
        Parts::LeftClaw => "left claw only",
    });
    let season = checks
        .said_open
        .map(|is_open| format!("Looked up: {} on this day", if is_open { "open" } else { "closed" }));
    let card = checks.placement.map(|placement| match placement {
        Placement::Deck => "The card lay on the deck",
        Placement::Level => "The card lay level with the points",
        Placement::Back => "The card lay on the crab's back",
    });
    let answered: Vec<&str> = [sex, shell, eggs, parts].into_iter().flatten().collect();
    let gauge = gauge.map(|gauge| match gauge {
        GaugeReading::OfSize => "By the gauge: of size".to_owned(),
        GaugeReading::NotOfSize => "By the gauge: not of size".to_owned(),
        GaugeReading::Reads(length) => format!("By the gauge: {:.1} mm", length.millimetres().0),
    });
    let pot = pull.as_ref().and_then(|id| match &props.book.row(id)?.what {
        What::Pull(pull) => Some(format!("Pot {}", pull.as_pulled.label)),
        _ => None,
    });
    let photos = |count: u32| if count == 1 { "1 photo".to_owned() } else { format!("{count} photos") };
    let zone = at.clock.map(|clock| {
        let minutes = clock.utc_offset_minutes;
        let sign = if minutes < 0 { '-' } else { '+' };
        format!("Local time, UTC {sign}{}:{:02}", minutes.abs() / 60, minutes.abs() % 60)
    });
    let lines = [
        (!water.name.is_empty()).then(|| water.name.clone()),
        (!answered.is_empty()).then(|| answered.join(", ")),
        verdict.as_ref().map(|told| format!("Verdict: {}. {}", call_words(told.call), told.reason)),
        width.map(|width| format!("Width from {}: {}", photos(width.photos), width_words(&props.crab))),
        card.map(str::to_owned),
        gauge,
        season,
        pot,
        zone,
    ];
    lines.into_iter().flatten().collect()
}
