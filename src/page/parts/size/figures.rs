//! The width in figures: large ones beside the ruler, the rest below it with what would make it surer.

use std::rc::Rc;

use yew::prelude::*;

use crate::scene::Scene;
use crate::session::words;
use crate::text::quantity::{centimetres, inches_decimal, inches_with_uncertainty};
use crate::units::Millimetres;
use crate::width::Width;

/// What is shown.
#[derive(Properties, PartialEq)]
pub struct FiguresProps {
    /// The width.
    pub width: Rc<Width>,
}

/// What is told besides.
#[derive(Properties, PartialEq)]
pub struct WidthDetailsProps {
    /// The width.
    pub width: Rc<Width>,
    /// Card and camera.
    pub scene: Option<Rc<Scene>>,
}

/// Width, uncertainty and inches.
#[component]
pub fn Figures(props: &FiguresProps) -> Html {
    let width = &props.width;
    let inches = inches_with_uncertainty(Millimetres(width.width_mm), Millimetres(width.u_mm));
    let (inches, give) = inches.split_once(", ").unwrap_or((&inches, ""));
    html! {
        <div class="figures">
            <p class="width">
                <strong><span id="width-mm" data-exact={width.width_mm.to_string()}>{ format!("{:.1}", width.width_mm) }</span>{ " mm" }</strong>
                { " " }
                <span class="give">{ "± " }<span id="width-u">{ format!("{:.1}", width.u_mm) }</span>{ " mm" }</span>
            </p>
            <p id="width-inches" class="inches">
                { inches.to_owned() }<span class="inches-give">{ format!(", {give}") }</span>
            </p>
        </div>
    }
}

/// What would make it surer, the interval, the decimals, how the phone was held.
#[component]
pub fn WidthDetails(props: &WidthDetailsProps) -> Html {
    let width = &props.width;
    let held = props.scene.as_ref().map(|scene| {
        format!(
            "The phone was {} away, tilted {:.0}°.",
            centimetres(Millimetres(scene.distance_mm())),
            scene.tilt_deg()
        )
    });
    html! {
        <div class="width-details">
            if let Some(remedy) = &width.remedy {
                <p id="remedy" class="remedy">{ words::remedy_line(remedy, width.u_mm) }</p>
            }
            <p class="detail">
                { format!("19 times in 20 between {:.1} and {:.1} mm. ", width.interval_mm[0], width.interval_mm[1]) }
                { inches_decimal(Millimetres(width.width_mm)) }{ "." }
            </p>
            if let Some(held) = held {
                <p class="detail">{ held }</p>
            }
        </div>
    }
}
