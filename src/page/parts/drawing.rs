//! One of our own line drawings, set into the page.

use yew::prelude::*;

/// Which drawing.
#[derive(Properties, PartialEq)]
pub struct DrawingProps {
    /// The SVG text, one of `page::drawings`.
    pub svg: &'static str,
    /// It says what the words beside it say already: screen readers skip it.
    #[prop_or_default]
    pub is_decoration: bool,
}

/// The drawing. Its text is part of the program, so setting it in unchecked is safe.
#[component]
pub fn Drawing(props: &DrawingProps) -> Html {
    html! {
        <div class="drawing" aria-hidden={props.is_decoration.then_some("true")}>
            { Html::from_html_unchecked(AttrValue::Static(props.svg)) }
        </div>
    }
}
