//! Stands where the day would, until its rows are read.

use yew::prelude::*;

/// What is said.
#[derive(Properties, PartialEq)]
pub struct ReadingDayProps {
    /// Something holds it up, and is said above.
    pub is_held_up: bool,
}

/// One line.
#[component]
pub fn ReadingDay(props: &ReadingDayProps) -> Html {
    let words =
        if props.is_held_up { "The day is not read yet: see above." } else { "Reading the day\u{2026}" };
    html! { <p id="reading-day" class="counts" role="status">{ words }</p> }
}
