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
    let svg = match props.dimension {
        MeasuredDimension::Notch => drawn::MEASURE_NOTCH,
        MeasuredDimension::Tips => drawn::MEASURE_TIPS,
        MeasuredDimension::Widest => drawn::MEASURE_WIDEST,
        MeasuredDimension::Length => drawn::MEASURE_LENGTH,
        MeasuredDimension::Claw => drawn::MEASURE_CLAW,
        MeasuredDimension::NotStated => return Html::default(),
    };
    html! { <Drawing {svg} /> }
}
