//! Kinds of a pack's own: what they may be called and may say of themselves.

use std::collections::BTreeSet;

use serde_json::Value;

use super::check::{Found, check_id, cut, list, text};
use super::lines::child;
use crate::rules::built_in_species;
use crate::rules::pack::ANY_CRAB;

/// Shares of the width that the edge of a shell may stand above the ground (common practice: a shore crab's
/// whole body is 0.32 to 0.43 of its width deep, MASS `crabs`).
const HEIGHT_SHARES: std::ops::RangeInclusive<f64> = 0.05..=0.5;
/// Crabs of one kind and sex differ by more: 0.008 to 0.015 in the depth of their bodies (MASS `crabs`).
const LEAST_HEIGHT_U: f64 = 0.005;

/// Kinds of the pack's own: each once, none that stands for all, none with a height that would mend or spoil
/// every width.
pub(super) fn check_species(pack: &Value, found: &mut Found) {
    let mut seen = BTreeSet::new();
    for (index, species) in list(pack, "species").iter().enumerate() {
        let path = format!("species[{index}]");
        check_id(species, &child(&path, "id"), found);
        match text(species, "id") {
            Some(ANY_CRAB) => {
                found.push((child(&path, "id"), format!("`{ANY_CRAB}` stands for all kinds: rename it")));
            }
            Some(id) if built_in_species().iter().any(|known| known.id == id) => {
                let words = format!(
                    "`{}` is a kind that the program knows by itself: leave it out here, or rename it",
                    cut(id)
                );
                found.push((child(&path, "id"), words));
            }
            Some(id) if !seen.insert(id) => {
                found.push((child(&path, "id"), format!("two species are called `{}`: keep one", cut(id))));
            }
            _ => {}
        }
        let height = |key: &str| species.pointer(&format!("/height/value/{key}")).and_then(Value::as_f64);
        if let Some(share) = height("k").filter(|share| !HEIGHT_SHARES.contains(share)) {
            let [low, high] = [HEIGHT_SHARES.start(), HEIGHT_SHARES.end()];
            let words = format!("{share} of the width is no height of an edge: from {low} to {high}");
            found.push((child(&path, "height.value.k"), words));
        }
        if let Some(u) = height("u").filter(|u| *u < LEAST_HEIGHT_U) {
            let words = format!("{u} is surer than crabs are alike: {LEAST_HEIGHT_U} or more");
            found.push((child(&path, "height.value.u"), words));
        }
    }
}
