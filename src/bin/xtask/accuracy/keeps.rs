//! Ways to a wrong keep, tried on every photo: a width that is too sure of being too wide, points on the tips under a
//! rule that names the notches, a card said to lie elsewhere than it does.

use std::fmt::Write as _;

use shellspan::decide::{Conformity, MeasuredWidth, Risk, Size, conformity};
use shellspan::doubts::{card_contradicts, points_hint};
use shellspan::measure::Request;
use shellspan::photo::Photo;
use shellspan::scene::Scene;
use shellspan::terms::{Dimension, Placement};
use shellspan::units::{Millimetres, PhotoPoint};
use shellspan::width::{HeightPrior, View, Width, measure_width};

use super::row::{Proposed, Row};
use super::together::is_held_out;
use super::truth::TrueShell;

/// One-sided factor of 99 %. Source: tables of the normal distribution.
const ONE_SIDED_99: f64 = 2.326;
/// The limit lies so far above the true width between the notches, in mm: no such crab may be kept.
const ABOVE_NOTCHES_MM: f64 = 3.0;

/// What became of one photo.
pub struct Tried {
    /// With both points on the true tips under a notch rule.
    tips: Option<Tips>,
    /// The placement as it is called in doubt.
    placement_doubted: bool,
    /// The placements on the other side of the shell's edge, each: doubted.
    wrong_placements: Vec<bool>,
}

struct Tips {
    /// Kept by the width alone.
    keeps: bool,
    /// Told to be tips.
    told: bool,
    /// The true notches are told to be tips.
    false_alarm: bool,
}

impl Tried {
    pub fn of(photo: &Photo, scene: &Scene, request: &Request, shell: &TrueShell) -> Self {
        let points = [shell.left_px, shell.right_px].map(PhotoPoint::from);
        let doubted = |placement| card_contradicts(scene, &points, placement).is_some();
        let others: &[Placement] = match request.placement {
            Placement::Back => &[Placement::Deck, Placement::Level],
            Placement::Deck | Placement::Level => &[Placement::Back],
        };
        Self {
            tips: tips(photo, scene, request, shell),
            placement_doubted: doubted(request.placement),
            wrong_placements: others.iter().map(|&placement| doubted(placement)).collect(),
        }
    }
}

fn tips(photo: &Photo, scene: &Scene, request: &Request, shell: &TrueShell) -> Option<Tips> {
    let height = HeightPrior::of(request.placement, request.height_share);
    let tips = shell.tips_px?.map(PhotoPoint::from);
    let notches = shell.notchs_px?.map(PhotoPoint::from);
    let told = |points: &[PhotoPoint; 2]| {
        points_hint(photo, scene, request.placement, Dimension::Notch, points).is_some()
    };
    let points = tips.map(|point| scene.hand_placed(point));
    let width = measure_width(&View { scene, points }, &height)?;
    let limit = Millimetres(shell.notch_width_mm? + ABOVE_NOTCHES_MM);
    let size = Size { min: Some(limit), max: None };
    let measured = MeasuredWidth::new(&width, Dimension::Notch);
    let found = conformity(&measured, size, Risk::default())?.1;
    Some(Tips { keeps: found == Conformity::Conforms, told: told(&tips), false_alarm: told(&notches) })
}

/// The report of all photos, as Markdown.
pub fn keeps(rows: &[Row]) -> String {
    let mut out = String::new();
    for (words, held_out) in [("scenes held out", true), ("the rest", false)] {
        let rows: Vec<&Row> =
            rows.iter().filter(|row| row.tried.is_some() && is_held_out(&row.name) == held_out).collect();
        if rows.is_empty() {
            continue;
        }
        let _ = writeln!(out, "\nWays to a wrong keep, {words}:\n");
        let too_sure =
            |width: &Width, row: &Row| width.width_mm - ONE_SIDED_99 * width.u_mm > row.true_width_mm;
        let given: Vec<bool> = rows
            .iter()
            .filter_map(|row| row.with_true_points.as_ref().map(|judged| too_sure(&judged.width, row)))
            .collect();
        let of_proposal = |proposed: &Proposed, row: &Row| {
            proposed.width.as_ref().map(|judged| too_sure(&judged.width, row))
        };
        let proposed: Vec<bool> =
            rows.iter().filter_map(|row| of_proposal(row.proposed.as_ref()?, row)).collect();
        for (points, list) in [("true", &given), ("proposed", &proposed)] {
            let _ = writeln!(
                out,
                "- {points} points: width - 2.326 u above the true width in {} of {}",
                count(list),
                list.len()
            );
        }
        let tips: Vec<&Tips> = rows.iter().filter_map(|row| row.tried.as_ref()?.tips.as_ref()).collect();
        let of_tips = |told: &dyn Fn(&Tips) -> bool| tips.iter().filter(|tips| told(tips)).count();
        let _ = writeln!(
            out,
            "- points on the tips, limit 3 mm above the width between the notches: {} photos, {} kept by the width alone, {} of all told, {} kept and not told; {} false alarms on the notches",
            tips.len(),
            of_tips(&|tips| tips.keeps),
            of_tips(&|tips| tips.told),
            of_tips(&|tips| tips.keeps && !tips.told),
            of_tips(&|tips| tips.false_alarm),
        );
        let tried: Vec<&Tried> = rows.iter().filter_map(|row| row.tried.as_ref()).collect();
        let wrong: Vec<bool> =
            tried.iter().flat_map(|tried| tried.wrong_placements.iter().copied()).collect();
        let _ = writeln!(
            out,
            "- card said to lie on the shell, or beside it, wrongly: noticed in {} of {}; doubted where it was said rightly: {} of {}",
            count(&wrong),
            wrong.len(),
            tried.iter().filter(|tried| tried.placement_doubted).count(),
            tried.len(),
        );
    }
    out
}

fn count(list: &[bool]) -> usize {
    list.iter().filter(|found| **found).count()
}
