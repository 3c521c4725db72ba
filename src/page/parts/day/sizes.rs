//! How wide the measured crabs were, beside the limit: a plot, and the same as a table.

use yew::prelude::*;

use crate::day::told::season::SizeStep;
use crate::session::SizesShown;
use crate::terms::Dimension;

/// Fewer crabs than this say little of the sizes of a water: common practice.
const FEW: u32 = 30;
/// Size of the plot in its own units.
const WIDE: f64 = 320.0;
const HIGH: f64 = 120.0;

/// The sizes of one kind.
#[derive(Properties, PartialEq)]
pub struct SizesProps {
    /// With the limits of the chosen water.
    pub shown: SizesShown,
}

/// The plot and the table.
#[component]
pub fn SizesPlot(props: &SizesProps) -> Html {
    let SizesShown { kind, sizes, limits } = &props.shown;
    let steps = &sizes.steps;
    let (Some(first), Some(last)) = (steps.first(), steps.last()) else { return Html::default() };
    // The limits belong into the picture, also where no crab comes near them.
    let low = limits.iter().map(|limit| limit.1 - 5.0).fold(first.from_mm, f64::min);
    let high = limits.iter().map(|limit| limit.1 + 5.0).fold(last.to_mm(), f64::max);
    let most = steps.iter().map(|step| step.kept + step.released).max().unwrap_or(1).max(1);
    let x = |mm: f64| WIDE * (mm - low) / (high - low);
    let y = |count: u32| HIGH * f64::from(count) / f64::from(most);
    let bar = |step: &SizeStep| {
        let (left, wide) = (x(step.from_mm) + 0.5, (x(step.to_mm()) - x(step.from_mm) - 1.0).max(1.0));
        let (kept, released) = (y(step.kept), y(step.released));
        let rect = |class: &'static str, top: f64, high: f64| {
            html! { <rect {class} x={px(left)} y={px(top)} width={px(wide)} height={px(high)} /> }
        };
        html! { <>{ rect("size-kept", HIGH - kept, kept) }{ rect("size-released", HIGH - kept - released, released) }</> }
    };
    let post = |limit: &(String, f64)| {
        let at = px(x(limit.1));
        html! { <line class="post" x1={at.clone()} x2={at} y1="0" y2={px(HIGH)} /> }
    };
    let all: u32 = steps.iter().map(|step| step.kept + step.released).sum();
    let between = match sizes.dimension {
        Dimension::Notch => "in front of the last teeth",
        Dimension::Tips => "between the tips",
        Dimension::Widest => "at the widest",
    };
    let limit_words: Vec<String> = limits.iter().map(|(words, mm)| format!("{words} ({mm:.1} mm)")).collect();
    let row = |step: &SizeStep| {
        html! {
            <tr>
                <th scope="row">{ format!("{:.0} to {:.0} mm", step.from_mm, step.to_mm()) }</th>
                <td>{ format!("{} kept, {} let go", step.kept, step.released) }</td>
            </tr>
        }
    };
    html! {
        <section class="sizes">
            <h2>{ format!("Sizes: {kind}") }</h2>
            <figure>
                <svg class="sizes-plot" viewBox={format!("0 0 {WIDE} {HIGH}")} aria-hidden="true">
                    { for steps.iter().map(bar) }
                    { for limits.iter().map(post) }
                </svg>
                <p class="plot-ends"><span>{ format!("{low:.0} mm") }</span><span>{ format!("{high:.0} mm") }</span></p>
                <figcaption>
                    { format!("{all} measured {between}, 5 mm a bar; full: kept, outlined: let go.") }
                    if !limit_words.is_empty() {
                        { format!(" Thick line: the limit here today, {}.", limit_words.join(", ")) }
                    }
                    if all < FEW {
                        { " So few say little of this water." }
                    }
                </figcaption>
            </figure>
            <details><summary>{ "As a table" }</summary>
                <table class="figures-table"><tbody>{ for steps.iter().filter(|step| step.kept + step.released > 0).map(row) }</tbody></table>
            </details>
        </section>
    }
}

fn px(value: f64) -> String {
    format!("{value:.1}")
}
