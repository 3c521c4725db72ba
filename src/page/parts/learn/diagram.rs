//! The live diagram: where the phone is and how high the shell stands, and what that does to the width.

use std::fmt::Write;

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::lessons::stand::SHELL_MM;
use crate::lessons::{Reading, Stand, Told};
use crate::text::quantity::length_both;
use crate::units::Millimetres;

/// Where the sliders start: the stand that is advised, and the height of the figures in the lesson.
pub const START: Stand = Stand { camera_mm: 500.0, tilt_deg: 15.0, edge_mm: 32.0 };
/// Units of the drawing for a millimetre; the deck's line; where the shell stands.
const SCALE: f64 = 0.16;
const DECK: f64 = 176.0;
const SHELL_AT: f64 = 205.0;
/// Width of the bars' scale: from this many mm, this many units a mm.
const BARS_FROM_MM: f64 = 135.0;
const BARS_SCALE: f64 = 5.5;

/// The diagram for the stand that the sliders are at.
pub fn diagram(stand: &UseStateHandle<Stand>) -> Html {
    let at = **stand;
    let both = |mm: f64| length_both(Millimetres(mm));
    let Some(reading) = at.reading() else { return Html::default() };
    let told = |told: Told| format!("{}, give or take {}", wide(told.off_mm), both(told.u_mm));
    let lines = [
        ("stand-flat", "A: read off the deck", wide(reading.flat_mm)),
        ("stand-one", "B: one photo, height guessed", told(reading.one)),
        ("stand-two", "C: with a second photo", told(reading.two)),
    ];
    let sliders = [
        ("stand-camera", "Phone above the deck", [300.0, 1000.0, 10.0], at.camera_mm, both(at.camera_mm)),
        ("stand-tilt", "Tilt from straight down", [0.0, 30.0, 1.0], at.tilt_deg, format!("{}°", at.tilt_deg)),
        ("stand-edge", "Edge of the shell above the deck", [15.0, 50.0, 1.0], at.edge_mm, both(at.edge_mm)),
    ];
    let sliders = sliders.into_iter().enumerate().map(|(which, (id, label, [min, max, step], value, words))| {
        let stand = stand.clone();
        let oninput = move |event: InputEvent| {
            let input: HtmlInputElement = event.target_unchecked_into();
            let [mut camera_mm, mut tilt_deg, mut edge_mm] = [at.camera_mm, at.tilt_deg, at.edge_mm];
            *[&mut camera_mm, &mut tilt_deg, &mut edge_mm][which] = input.value_as_number();
            stand.set(Stand { camera_mm, tilt_deg, edge_mm });
        };
        html! {
            <div class="slider">
                <label for={id}>{ format!("{label}: ") }<output for={id}>{ words.clone() }</output></label>
                <input {id} type="range" min={min.to_string()} max={max.to_string()} step={step.to_string()}
                    value={value.to_string()} aria-valuetext={words} {oninput} />
            </div>
        }
    });
    let drawn = side_view(&at, &reading) + &bars(&reading);
    html! {
        <div id="diagram" class="diagram">
            <div class="drawing" aria-hidden="true">{ Html::from_html_unchecked(drawn.into()) }</div>
            <dl aria-live="polite">
                { for lines.into_iter().map(|(id, label, words)| html! { <><dt>{ label }</dt><dd {id}>{ words }</dd></> }) }
            </dl>
            { for sliders }
        </div>
    }
}

/// How far off a width is, in words.
fn wide(off_mm: f64) -> String {
    let size = length_both(Millimetres(off_mm.abs()));
    match off_mm {
        // What rounds to nothing is neither.
        off_mm if off_mm.abs() < 0.05 => "right".to_owned(),
        off_mm if off_mm < 0.0 => format!("{size} too narrow"),
        _ => format!("{size} too wide"),
    }
}

/// The deck from the side: phone, card, shell, and the line of sight over its edge; dashed, the second phone. What it
/// shows is told in words below it.
fn side_view(stand: &Stand, reading: &Reading) -> String {
    let point = |[along, up]: [f64; 2]| format!("{:.1} {:.1}", SHELL_AT + SCALE * along, DECK - SCALE * up);
    let edge = point([0.0, stand.edge_mm]);
    let beyond = point([reading.on_deck_mm, 0.0]);
    let [first, second] = [reading.phone_mm, reading.second_phone_mm].map(point);
    let phone = |at: [f64; 2]| {
        // The phone looks at the middle between card and points, square to its back.
        let [along, up] = [at[0] + 55.0, at[1]];
        let size = along.hypot(up);
        let half = [85.0 * up / size, -85.0 * along / size];
        format!(
            "M{}L{}",
            point([at[0] - half[0], at[1] - half[1]]),
            point([at[0] + half[0], at[1] + half[1]])
        )
    };
    // The shell in profile, two thirds as long as it is wide.
    let half = SHELL_MM / 3.0;
    let [back, front] = [-half, half].map(|along| point([along, stand.edge_mm]));
    let [top, bottom] = [45.0, -45.0].map(|up| point([0.0, stand.edge_mm + up]));
    let [left, right] = [-half, half].map(|along| point([along, 0.0]));
    let [card, card_end] = [-137.0, -83.0].map(|along| point([along, 8.0]));
    format!(
        "<svg viewBox=\"0 0 330 184\" fill=\"none\" stroke-linecap=\"round\">\
         <path class=\"legs\" d=\"M{edge}L{left}M{edge}L{right}M4 {DECK}H326\"/>\
         <path class=\"shell-side\" d=\"M{back}Q{top} {front}Q{bottom} {back}z\"/>\
         <path class=\"card-line\" d=\"M{card}L{card_end}\"/>\
         <path class=\"second-line\" d=\"M{second}L{edge}{}\"/>\
         <path class=\"seen-line\" d=\"M{first}L{beyond}\"/>\
         <path class=\"first-phone\" d=\"{}\"/></svg>",
        phone(reading.second_phone_mm),
        phone(reading.phone_mm),
    )
}

/// The true width, and what each way of reading makes of it, as bars over one scale.
fn bars(reading: &Reading) -> String {
    let x = |mm: f64| (BARS_SCALE * (mm - BARS_FROM_MM)).clamp(4.0, 326.0);
    let flat = Told { off_mm: reading.flat_mm, u_mm: 0.0 };
    let truth = x(SHELL_MM);
    let mut drawn = format!(
        "<svg class=\"bars\" viewBox=\"0 0 330 100\" fill=\"none\" stroke-linecap=\"round\">\
         <path d=\"M{truth:.1} 6V80\"/><text x=\"{truth:.1}\" y=\"96\" text-anchor=\"middle\">{SHELL_MM} mm, its true width</text>"
    );
    for (at, name, told) in [(18, "A", flat), (42, "B", reading.one), (66, "C", reading.two)] {
        let width = SHELL_MM + told.off_mm;
        let [from, mark, to] = [width - 2.0 * told.u_mm, width, width + 2.0 * told.u_mm].map(x);
        // Writing to a text cannot fail.
        let _ = write!(
            drawn,
            "<path class=\"read-width\" d=\"M{from:.1} {at}H{to:.1}M{mark:.1} {}V{}\"/><text x=\"4\" y=\"{}\">{name}</text>",
            at - 7,
            at + 7,
            at + 6
        );
    }
    drawn + "</svg>"
}
