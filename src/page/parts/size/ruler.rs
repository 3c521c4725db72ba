//! The ruler: the width as a hill, the limit as a post, the gauge's zone shaded by a pattern.

use std::rc::Rc;

use yew::prelude::*;

use crate::session::words::{label_lines, ruler_caption, ruler_label};
use crate::session::{LimitInForce, Ruler};
use crate::text::quantity::fraction;
use crate::units::MM_PER_INCH;
use crate::width::Width;

/// Drawing units: 340 across, so that text of 16 is 16 px on a narrow phone.
const LEFT: f64 = 8.0;
const SPAN: f64 = 324.0;
const HILL_TOP: f64 = 32.0;
const EDGE: f64 = 92.0;
const FOOT: f64 = 144.0;
/// Half a character of a limit's words is at most so wide: bold figures and small letters, with some to spare.
const HALF_LETTER: f64 = 4.7;
/// From one line of words to the next.
const LINE: f64 = 19.0;

/// What the ruler shows.
#[derive(Properties, PartialEq)]
pub struct RulerProps {
    /// The width.
    pub width: Rc<Width>,
    /// The limits in force.
    pub limits: Vec<LimitInForce>,
}

/// The drawn ruler, with its label for those who do not see it.
#[component]
pub fn RulerView(props: &RulerProps) -> Html {
    let humps = &props.width.humps;
    let ends: Vec<f64> = props
        .limits
        .iter()
        .flat_map(|limit| [limit.zone.from_mm, limit.zone.limit_mm, limit.zone.to_mm])
        .collect();
    let Some(ruler) = Ruler::showing(humps, &ends) else { return Html::default() };
    let x = |mm: f64| LEFT + SPAN * ruler.position(mm);

    let hill = ruler.hill(humps);
    let outline: Vec<String> = hill
        .iter()
        .map(|(along, height)| format!("{:.1},{:.1}", LEFT + SPAN * along, EDGE - (EDGE - HILL_TOP) * height))
        .collect();
    let hill_points = format!("{LEFT},{EDGE} {} {},{EDGE}", outline.join(" "), LEFT + SPAN);

    let ticks = ruler.ticks().into_iter().map(|tick| {
        let at = x(tick.at_mm);
        let depth = if tick.has_figure { 14.0 } else { 8.0 };
        let crowded = !(LEFT + 14.0..=LEFT + SPAN - 44.0).contains(&at);
        html! {
            <>
                <line class="tick" x1={n(at)} x2={n(at)} y1={n(EDGE)} y2={n(EDGE + depth)} />
                if tick.has_figure && !crowded {
                    <text class="figure" x={n(at)} y={n(EDGE + 29.0)}>{ format!("{:.0}", tick.at_mm) }</text>
                }
            </>
        }
    });
    let inch_ticks = ruler.inch_ticks().into_iter().map(|sixteenths| {
        let at = x(sixteenths as f64 * MM_PER_INCH / 16.0);
        let (depth, has_figure) = match sixteenths {
            s if s % 16 == 0 => (14.0, true),
            s if s % 4 == 0 => (11.0, ruler.tick_sixteenths <= 1),
            _ => (6.0, false),
        };
        let crowded = !(LEFT + 18.0..=LEFT + SPAN - 18.0).contains(&at);
        html! {
            <>
                <line class="tick" x1={n(at)} x2={n(at)} y1={n(FOOT)} y2={n(FOOT - depth)} />
                if has_figure && !crowded {
                    <text class="figure" x={n(at)} y={n(FOOT + 18.0)}>{ fraction(sixteenths) }</text>
                }
            </>
        }
    });
    let zones = props.limits.iter().map(|limit| {
        let (from, to) = (x(limit.zone.from_mm), x(limit.zone.to_mm));
        html! {
            <rect class="gauge-zone" x={n(from)} y={n(HILL_TOP - 10.0)} width={n((to - from).max(0.0))}
                height={n(EDGE - HILL_TOP + 10.0)} fill="url(#gauge-hatch)" />
        }
    });
    // Each line of each limit has a row of its own above the ruler: two limits never write over each other.
    let rows: Vec<(f64, String)> = props
        .limits
        .iter()
        .flat_map(|limit| {
            let most = (SPAN / 2.0 / HALF_LETTER) as usize;
            label_lines(&limit.words, most).into_iter().map(|line| (limit.zone.limit_mm, line))
        })
        .collect();
    let above = LINE * rows.len().saturating_sub(1) as f64;
    let words = rows.iter().enumerate().map(|(row, (limit_mm, line))| {
        let half = HALF_LETTER * line.chars().count() as f64;
        let middle = x(*limit_mm).clamp(LEFT + half, (LEFT + SPAN - half).max(LEFT + half));
        html! { <text class="post-words" x={n(middle)} y={n(16.0 - above + LINE * row as f64)}>{ line }</text> }
    });
    let posts = props.limits.iter().map(|limit| {
        let at = x(limit.zone.limit_mm);
        html! { <line class="post" x1={n(at)} x2={n(at)} y1={n(HILL_TOP - 12.0)} y2={n(EDGE + 14.0)} /> }
    });
    let label = ruler_label(props.width.width_mm, &props.limits);
    let needle = x(props.width.width_mm);
    html! {
        <figure class="ruler-figure">
        <svg id="ruler" class="ruler" viewBox={format!("0 {} 340 {}", 0.0 - above, 166.0 + above)} role="img" aria-label={label}>
            <defs>
                <pattern id="gauge-hatch" width="8" height="8" patternUnits="userSpaceOnUse"
                    patternTransform="rotate(45)">
                    <line class="hatch" x1="0" y1="0" x2="0" y2="8" />
                </pattern>
            </defs>
            { for zones }
            <polygon class="hill" points={hill_points} />
            <line class="needle" x1={n(needle)} x2={n(needle)} y1={n(HILL_TOP)} y2={n(EDGE)} />
            <rect class="rule" x={n(LEFT)} y={n(EDGE)} width={n(SPAN)} height={n(FOOT - EDGE)} />
            { for ticks }{ for inch_ticks }
            <text class="unit" x={n(LEFT + SPAN - 4.0)} y={n(EDGE + 18.0)}>{ "mm" }</text>
            <text class="unit" x={n(LEFT + SPAN - 4.0)} y={n(FOOT - 6.0)}>{ "in" }</text>
            { for posts }{ for words }
        </svg>
        if !props.limits.is_empty() {
            <figcaption>{ ruler_caption(props.width.width_mm, &props.limits) }</figcaption>
        }
        </figure>
    }
}

fn n(value: f64) -> String {
    format!("{value:.1}")
}
