//! The live diagram: where the phone is and how high the shell stands, and what that does to the width.

use std::fmt::Write;

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::lessons::diagram::{COVERAGE, lines, sliders, true_width};
use crate::lessons::stand::SHELL_MM;
use crate::lessons::{Reading, Stand, Told};

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
    let Some(reading) = at.reading() else { return Html::default() };
    let moved = sliders(&at).into_iter().enumerate().map(|(which, slider)| {
        let stand = stand.clone();
        let oninput = move |event: InputEvent| {
            let input: HtmlInputElement = event.target_unchecked_into();
            let [mut camera_mm, mut tilt_deg, mut edge_mm] = [at.camera_mm, at.tilt_deg, at.edge_mm];
            *[&mut camera_mm, &mut tilt_deg, &mut edge_mm][which] = input.value_as_number();
            stand.set(Stand { camera_mm, tilt_deg, edge_mm });
        };
        let [min, max, step] = slider.range.map(|value| value.to_string());
        html! {
            <div class="slider">
                <label for={slider.id}>{ slider.label }{ ": " }<output for={slider.id}>{ slider.words.clone() }</output></label>
                <input id={slider.id} type="range" {min} {max} {step}
                    value={slider.value.to_string()} aria-valuetext={slider.words} {oninput} />
            </div>
        }
    });
    let drawn = side_view(&at, &reading) + &bars(&reading);
    html! {
        <div id="diagram" class="diagram">
            <div class="drawing" aria-hidden="true">{ Html::from_html_unchecked(drawn.into()) }</div>
            <dl aria-live="polite">
                { for lines(&reading).into_iter().map(|line| html! { <><dt>{ line.label }</dt><dd id={line.id}>{ line.words }</dd></> }) }
            </dl>
            { for moved }
        </div>
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
         <path d=\"M{truth:.1} 6V80\"/><text x=\"{truth:.1}\" y=\"96\" text-anchor=\"middle\">{}</text>",
        true_width()
    );
    for (at, name, told) in [(18, "A", flat), (42, "B", reading.one), (66, "C", reading.two)] {
        let width = SHELL_MM + told.off_mm;
        let [from, mark, to] = [width - COVERAGE * told.u_mm, width, width + COVERAGE * told.u_mm].map(x);
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
