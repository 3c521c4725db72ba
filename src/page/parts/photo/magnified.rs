//! A piece of the photo, magnified on a canvas.

use gloo::events::EventListener;
use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement, HtmlImageElement};
use yew::prelude::*;

use crate::units::PhotoPoint;

/// Which piece.
#[derive(Properties, PartialEq)]
pub struct MagnifiedProps {
    /// The photo as it is shown.
    pub photo: NodeRef,
    /// What lies in the middle.
    pub centre: PhotoPoint,
    /// CSS pixels per photo pixel.
    pub zoom: f64,
    /// Width and height in CSS pixels.
    pub size: f64,
    /// Turned by so many degrees about the centre, clockwise.
    #[prop_or_default]
    pub turn_deg: f64,
    /// Another number draws it anew: the photo was loaded meanwhile.
    #[prop_or_default]
    pub version: u32,
}

/// The piece of the photo round `centre`.
#[component]
pub fn Magnified(props: &MagnifiedProps) -> Html {
    let canvas = use_node_ref();
    let (photo, node) = (props.photo.clone(), canvas.clone());
    let drawn =
        (props.centre, props.zoom.to_bits(), props.size.to_bits(), props.turn_deg.to_bits(), props.version);
    use_effect_with(drawn, {
        let (centre, zoom, size, turn_deg) = (props.centre, props.zoom, props.size, props.turn_deg);
        move |_| {
            let found = node.cast::<HtmlCanvasElement>().zip(photo.cast::<HtmlImageElement>());
            // A picture that is still loading draws nothing: it is drawn once it is there.
            let loads = found.map(|(canvas, photo)| {
                draw(&canvas, &photo, centre, zoom, size, turn_deg);
                let loaded = photo.clone();
                EventListener::new(&photo, "load", move |_| {
                    draw(&canvas, &loaded, centre, zoom, size, turn_deg);
                })
            });
            move || drop(loads)
        }
    });
    html! { <canvas ref={canvas} class="magnified" aria-hidden="true" /> }
}

fn draw(
    canvas: &HtmlCanvasElement,
    photo: &HtmlImageElement,
    centre: PhotoPoint,
    zoom: f64,
    size: f64,
    turn_deg: f64,
) -> Option<()> {
    let density = gloo::utils::window().device_pixel_ratio().clamp(1.0, 3.0);
    let side = (size * density).round();
    canvas.set_width(side as u32);
    canvas.set_height(side as u32);
    let context: CanvasRenderingContext2d = canvas.get_context("2d").ok()??.dyn_into().ok()?;
    let scale = zoom * density;
    context.set_image_smoothing_enabled(scale < 2.0);
    // The centre of a pixel has whole coordinates, so its left edge lies half a pixel before.
    let (x, y) = ((centre.x + 0.5) * scale, (centre.y + 0.5) * scale);
    let (sine, cosine) = turn_deg.to_radians().sin_cos();
    context
        .set_transform(
            scale * cosine,
            scale * sine,
            -scale * sine,
            scale * cosine,
            side / 2.0 - x * cosine + y * sine,
            side / 2.0 - x * sine - y * cosine,
        )
        .ok()?;
    // Only the piece that is seen: drawing all of a large photo takes too long for a drag.
    let half = side * std::f64::consts::FRAC_1_SQRT_2 / scale + 2.0;
    let (left, top) = ((centre.x - half).max(0.0).floor(), (centre.y - half).max(0.0).floor());
    let (width, height) = (f64::from(photo.natural_width()), f64::from(photo.natural_height()));
    let (wide, high) =
        ((centre.x + half).min(width).ceil() - left, (centre.y + half).min(height).ceil() - top);
    if wide <= 0.0 || high <= 0.0 {
        return None;
    }
    context
        .draw_image_with_html_image_element_and_sw_and_sh_and_dx_and_dy_and_dw_and_dh(
            photo, left, top, wide, high, left, top, wide, high,
        )
        .ok()
}
