//! What is drawn over the photo: card, outline, line, points with their uncertainty to scale.

use yew::prelude::*;

use crate::session::{Ellipse, PhotoWork, Tool};
use crate::terms::MarkedPoint;
use crate::units::PhotoPoint;

/// What is drawn.
#[derive(Properties, PartialEq)]
pub struct PhotoMarksProps {
    /// The photo's findings.
    pub work: PhotoWork,
    /// Photo pixels per CSS pixel: marks keep their size on the screen.
    pub px_per_css: f64,
}

/// Card, outline, measured line and hints: everything but the two points, which can be dragged.
#[component]
pub fn PhotoMarks(props: &PhotoMarksProps) -> Html {
    let work = &props.work;
    let card = work.scene.as_ref().map(|scene| {
        let corners = scene.card.corners;
        let edges = (0..4).map(|i| {
            let (a, b) = (corners[i], corners[(i + 1) % 4]);
            let unsure = scene.card.unsure_edges[i].then_some("unsure");
            html! {
                <>
                    <line class="halo" x1={px(a.x)} y1={px(a.y)} x2={px(b.x)} y2={px(b.y)} />
                    <line class={classes!("card-edge", unsure)} x1={px(a.x)} y1={px(a.y)} x2={px(b.x)} y2={px(b.y)} />
                </>
            }
        });
        html! { <g id="card-outline">{ for edges }</g> }
    });
    let candidates = work.candidates.iter().map(|corners| {
        html! { <polygon class="card-candidate" points={path(corners)} /> }
    });
    let line = work.marks.both().map(|[a, b]| {
        let (a, b) = (a.point, b.point);
        html! {
            <g id="measured-line">
                <line class="halo" x1={px(a.x)} y1={px(a.y)} x2={px(b.x)} y2={px(b.y)} />
                <line class="measured-line" x1={px(a.x)} y1={px(a.y)} x2={px(b.x)} y2={px(b.y)} />
            </g>
        }
    });
    let outline = (!work.outline.is_empty()).then(|| {
        html! { <polygon class="shell-outline" points={path(&work.outline)} /> }
    });
    let corners = matches!(work.tool, Tool::Corners | Tool::Aim(_)).then(|| {
        let arm = 10.0 * props.px_per_css;
        work.corners.iter().map(|at| cross(*at, arm, "placed-corner")).collect::<Html>()
    });
    // Where the aiming window looks, so that one sees which tooth it is.
    let aimed = match work.tool {
        Tool::Aim(aim) => {
            let half = 12.0 * props.px_per_css;
            let at = [(-half, -half), (half, -half), (half, half), (-half, half)];
            let square: Vec<_> =
                at.iter().map(|(dx, dy)| PhotoPoint::new(aim.at.x + dx, aim.at.y + dy)).collect();
            html! {
                <g id="aimed-at">
                    <polygon class="halo" points={path(&square)} /><polygon class="aimed" points={path(&square)} />
                </g>
            }
        }
        _ => Html::default(),
    };
    // The right points of a practice photo, once the own ones are confirmed.
    let truth = work.in_hand.as_ref().and_then(|photo| photo.practice).filter(|_| work.marks.confirmed());
    let right = truth.and_then(|truth| truth.points(work.dimension)).map(|points| {
        let radius = px(9.0 * props.px_per_css);
        let rings = points.iter().map(|at| {
            let (cx, cy, r) = (px(at.x), px(at.y), radius.clone());
            html! {
                <>
                    <circle class="halo" cx={cx.clone()} cy={cy.clone()} r={r.clone()} />
                    <circle class="right-point" {cx} {cy} {r} />
                </>
            }
        });
        html! { <g id="right-points">{ for rings }</g> }
    });
    html! {
        <g class="findings" aria-hidden="true">
            { outline }{ card }{ for candidates }{ line }{ corners }{ aimed }{ right }
        </g>
    }
}

/// A point with its uncertainty ellipse to scale, and a cross that shows where it is.
pub fn drawn_point(mark: &MarkedPoint, arm_px: f64) -> Html {
    let at = mark.point;
    let ellipse = Ellipse::of(&mark.covariance_px2).map(|ellipse| {
        let turn = format!("rotate({:.1} {:.2} {:.2})", ellipse.angle_deg, at.x, at.y);
        html! {
            <ellipse class="uncertainty" cx={px(at.x)} cy={px(at.y)} rx={px(ellipse.major_px)}
                ry={px(ellipse.minor_px)} transform={turn} />
        }
    });
    html! { <>{ ellipse }{ cross(at, arm_px, "point-cross") }</> }
}

/// A cross with an open middle, so that what it marks stays in sight.
fn cross(at: PhotoPoint, arm: f64, class: &'static str) -> Html {
    let gap = arm * 0.3;
    let arms = [(-1.0, 0.0), (1.0, 0.0), (0.0, -1.0), (0.0, 1.0)];
    let lines = |class: &'static str| {
        arms.iter()
            .map(|(dx, dy)| {
                html! {
                    <line {class} x1={px(at.x + dx * gap)} y1={px(at.y + dy * gap)}
                        x2={px(at.x + dx * arm)} y2={px(at.y + dy * arm)} />
                }
            })
            .collect::<Html>()
    };
    html! { <>{ lines("halo") }{ lines(class) }</> }
}

/// A coordinate as SVG reads it.
pub fn px(value: f64) -> String {
    format!("{value:.2}")
}

fn path(points: &[PhotoPoint]) -> String {
    points.iter().map(|point| format!("{:.1},{:.1}", point.x, point.y)).collect::<Vec<_>>().join(" ")
}
