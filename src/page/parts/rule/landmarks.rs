//! The drawing of the points between which a rule measures.

use yew::prelude::*;

use crate::page::drawings as drawn;
use crate::page::parts::drawing::Drawing;
use crate::rules::MeasuredDimension;

/// Which distance.
#[derive(Properties, PartialEq)]
pub struct LandmarksProps {
    /// Which distance; nothing is drawn where the source does not say.
    pub dimension: MeasuredDimension,
}

/// The drawing.
#[component]
pub fn Landmarks(props: &LandmarksProps) -> Html {
    let (name, file) = match props.dimension {
        MeasuredDimension::Notch => ("notch", drawn::MEASURE_NOTCH),
        MeasuredDimension::Tips => ("tips", drawn::MEASURE_TIPS),
        MeasuredDimension::Widest => ("widest", drawn::MEASURE_WIDEST),
        MeasuredDimension::Length => ("length", drawn::MEASURE_LENGTH),
        MeasuredDimension::Claw => ("claw", drawn::MEASURE_CLAW),
        MeasuredDimension::NotStated => return Html::default(),
    };
    html! { <div id={format!("landmarks-{name}")}><Drawing {file} /></div> }
}
