//! The live diagram: where the phone is and how high the shell stands, and what that does to the width.

use web_sys::HtmlInputElement;
use yew::prelude::*;

use crate::lessons::stand::SHELL_MM;
use crate::lessons::{Reading, Stand};
use crate::text::quantity::length_both;
use crate::units::Millimetres;

/// Where the sliders start: the stand that is advised, and the height of the figures in the lesson.
const START: Stand = Stand { camera_mm: 500.0, tilt_deg: 15.0, edge_mm: 32.0 };
/// Units of the drawing for a millimetre; the deck's line; where the shell stands.
const SCALE: f64 = 0.16;
const DECK: f64 = 176.0;
const SHELL_AT: f64 = 205.0;
/// Width of the bars' scale: from this many mm, this many units a mm.
const BARS_FROM_MM: f64 = 135.0;
const BARS_SCALE: f64 = 5.5;

/// The diagram.
#[component]
pub fn Diagram() -> Html {
    let stand = use_state_eq(|| START);
    let slider = |id: &'static str,
                  label: &'static str,
                  [from, to, step]: [f64; 3],
                  value: f64,
                  words: String,
                  set: fn(&mut Stand, f64)| {
        let stand = stand.clone();
        let oninput = Callback::from(move |event: InputEvent| {
            let input: HtmlInputElement = event.target_unchecked_into();
            let mut next = *stand;
            set(&mut next, input.value_as_number());
            stand.set(next);
        });
        html! {
            <div class="slider">
                <label for={id}>{ label }{ ": " }<output for={id}>{ &words }</output></label>
                <input {id} type="range" min={from.to_string()} max={to.to_string()} step={step.to_string()}
                    value={value.to_string()} aria-valuetext={words.clone()} {oninput} />
            </div>
        }
    };
    let at = *stand;
    let sliders = html! {
        <>
            { slider("stand-camera", "Phone above the deck", [300.0, 1000.0, 10.0], at.camera_mm,
                length_both(Millimetres(at.camera_mm)), |stand, value| stand.camera_mm = value) }
            { slider("stand-tilt", "Tilt from straight down", [0.0, 30.0, 1.0], at.tilt_deg,
                format!("{:.0}°", at.tilt_deg), |stand, value| stand.tilt_deg = value) }
            { slider("stand-edge", "Edge of the shell above the deck", [15.0, 50.0, 1.0], at.edge_mm,
                length_both(Millimetres(at.edge_mm)), |stand, value| stand.edge_mm = value) }
        </>
    };
    let Some(reading) = at.reading() else {
        return html! { <div class="diagram">{ sliders }<p>{ "From there the phone does not see shell and card." }</p></div> };
    };
    let wide = |off_mm: f64| {
        let size = length_both(Millimetres(off_mm.abs()));
        if off_mm < 0.0 { format!("{size} too narrow") } else { format!("{size} too wide") }
    };
    let surely =
        |off_mm: f64, u_mm: f64| format!("{}, give or take {}", wide(off_mm), length_both(Millimetres(u_mm)));
    html! {
        <div id="diagram" class="diagram">
            { side_view(&at, &reading) }
            { bars(&reading) }
            <dl aria-live="polite">
                <dt>{ "A  Read off the deck" }</dt>
                <dd id="stand-flat">{ wide(reading.flat_mm) }</dd>
                <dt>{ "B  One photo, height guessed" }</dt>
                <dd id="stand-one">{ surely(reading.one.off_mm, reading.one.u_mm) }</dd>
                <dt>{ "C  With a second photo" }</dt>
                <dd id="stand-two">{ surely(reading.two.off_mm, reading.two.u_mm) }</dd>
            </dl>
            { sliders }
        </div>
    }
}

/// The deck from the side: phone, card, shell, and the line of sight over its edge; dashed, the second phone.
fn side_view(stand: &Stand, reading: &Reading) -> Html {
    let x = |mm: f64| SHELL_AT + SCALE * mm;
    let y = |mm: f64| DECK - SCALE * mm;
    let [phone_x, phone_y] = [x(reading.phone_mm[0]), y(reading.phone_mm[1])];
    let [second_x, second_y] = [x(reading.second_phone_mm[0]), y(reading.second_phone_mm[1])];
    let (edge_x, edge_y, hit_x) = (x(0.0), y(stand.edge_mm), x(reading.on_deck_mm));
    let phone = |x: f64, y: f64, tilt_deg: f64| {
        let (sine, cosine) = tilt_deg.to_radians().sin_cos();
        let corner = |along: f64, across: f64| {
            format!("{:.1} {:.1}", x + along * cosine + across * sine, y - along * sine + across * cosine)
        };
        format!(
            "M{} {} {} {}z",
            corner(-17.0, -3.0),
            corner(17.0, -3.0),
            corner(17.0, 3.0),
            corner(-17.0, 3.0)
        )
    };
    // The shell in profile, as long as two thirds of its width, its edge where it is measured.
    let half = SCALE * SHELL_MM / 3.0;
    let shell = format!(
        "M{:.1} {edge_y:.1}Q{edge_x:.1} {:.1} {:.1} {edge_y:.1}Q{edge_x:.1} {:.1} {:.1} {edge_y:.1}z",
        edge_x - half,
        edge_y - 9.0,
        edge_x + half,
        edge_y + 9.0,
        edge_x - half
    );
    let words = format!(
        "From the side: the phone {} above the deck, the edge of the shell {} above it. The line of sight over the edge meets the deck beyond the shell.",
        length_both(Millimetres(stand.camera_mm)),
        length_both(Millimetres(stand.edge_mm))
    );
    html! {
        <div class="drawing">
            <svg class="side-view" viewBox="0 0 330 184" role="img" aria-label={words} fill="none" stroke-linecap="round" stroke-linejoin="round">
                <path class="seen-line" d={format!("M{phone_x:.1} {phone_y:.1} {edge_x:.1} {edge_y:.1}")} />
                <path class="seen-line beyond" d={format!("M{edge_x:.1} {edge_y:.1} {hit_x:.1} {DECK}")} />
                <path class="second-line" d={format!("M{second_x:.1} {second_y:.1} {edge_x:.1} {edge_y:.1}")} />
                <path class="shell-side" d={shell} />
                <path class="legs" d={format!("M{:.1} {edge_y:.1} {:.1} {DECK}M{:.1} {edge_y:.1} {:.1} {DECK}", edge_x - half * 0.7, edge_x - half, edge_x + half * 0.7, edge_x + half)} />
                <path class="deck-line" d={format!("M4 {DECK} 326 {DECK}")} />
                <path class="card-line" d={format!("M{:.1} {:.1} {:.1} {:.1}", x(-137.0), DECK - 2.0, x(-83.0), DECK - 2.0)} />
                <path class="second-phone" d={phone(second_x, second_y, stand.tilt_deg - 30.0)} />
                <path class="first-phone" d={phone(phone_x, phone_y, stand.tilt_deg)} />
            </svg>
        </div>
    }
}

/// The true width, and what each way of reading makes of it, as bars over one scale.
fn bars(reading: &Reading) -> Html {
    let x = |mm: f64| (BARS_SCALE * (mm - BARS_FROM_MM)).clamp(4.0, 326.0);
    let row = |at: f64, off_mm: f64, u_mm: f64| {
        let width = SHELL_MM + off_mm;
        format!(
            "M{:.1} {at}H{:.1}M{:.1} {}V{}",
            x(width - 2.0 * u_mm),
            x(width + 2.0 * u_mm),
            x(width),
            at - 7.0,
            at + 7.0
        )
    };
    let truth = x(SHELL_MM);
    let rows = [
        (18.0, "A", reading.flat_mm, 0.0),
        (42.0, "B", reading.one.off_mm, reading.one.u_mm),
        (66.0, "C", reading.two.off_mm, reading.two.u_mm),
    ];
    html! {
        <svg class="bars" viewBox="0 0 330 100" aria-hidden="true" fill="none" stroke-linecap="round">
            <path class="true-width" d={format!("M{truth:.1} 6V80")} />
            { for rows.iter().map(|(at, name, off_mm, u_mm)| html! {
                <>
                    <path class="read-width" d={row(*at, *off_mm, *u_mm)} />
                    <text x="4" y={(at + 6.0).to_string()}>{ *name }</text>
                </>
            }) }
            <text x={format!("{truth:.1}")} y="96" text-anchor="middle">{ format!("{SHELL_MM} mm, its true width") }</text>
        </svg>
    }
}
