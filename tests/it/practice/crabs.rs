//! Which crabs come up.

use shellspan::decide::{Call, Eggs};
use shellspan::practice::crab::{Crab, Firmness};
use shellspan::practice::sizes;
use shellspan::practice::water::Grounds;
use shellspan::rules::when::Sex;
use shellspan::terms::Dimension;

use super::{PUGET_SOUND, WATERS, crabs, grounds, water};

#[test]
fn the_same_seed_gives_the_same_crabs_and_another_others() {
    let grounds = grounds(PUGET_SOUND);
    let (first, again, other) = (crabs(7, 40, &grounds), crabs(7, 40, &grounds), crabs(8, 40, &grounds));
    assert_eq!(first, again);
    assert!(first.iter().zip(&other).filter(|(one, other)| one == other).count() < 3);
    // Each by its number, whatever was asked before.
    assert_eq!(Crab::of(7, 31, &grounds), Some(first[31].clone()));
}

/// Source: percentiles of research pots off Oregon 2010-2020, as named in `practice::sizes`. Chi-square with 5 degrees of
/// freedom: 20.5 is passed by one in a thousand.
#[test]
fn dungeness_crabs_are_as_wide_as_they_were_caught() {
    let grounds = grounds(PUGET_SOUND);
    let all = crabs(1, 3000, &grounds);
    let published =
        [(Sex::Male, [100.0, 159.0, 171.0, 182.0, 192.0]), (Sex::Female, [99.0, 134.0, 148.0, 157.0, 168.0])];
    for (sex, bounds) in published {
        let of_sex = all.iter().filter(|(crab, _)| crab.kind.id == "dungeness" && crab.sex == sex);
        let widths: Vec<f64> = of_sex.map(|(crab, _)| crab.width_mm(Dimension::Notch)).collect();
        assert!(widths.len() > 300, "{}", widths.len());
        let shares = [0.05, 0.2, 0.25, 0.25, 0.2, 0.05];
        let mut counts = [0.0; 6];
        for width in &widths {
            counts[bounds.iter().filter(|bound| width > bound).count()] += 1.0;
        }
        let chi_square: f64 = counts
            .iter()
            .zip(shares)
            .map(|(count, share)| {
                let expected = share * widths.len() as f64;
                (count - expected).powi(2) / expected
            })
            .sum();
        assert!(chi_square < 20.5, "{sex:?}: {chi_square} {counts:?}");
    }
    // 1676 males and 1279 females; the standard error of the share is 0.009.
    let males = all.iter().filter(|(crab, _)| crab.sex == Sex::Male).count() as f64 / all.len() as f64;
    assert!((males - sizes::share_of_males()).abs() < 0.036, "{males}");
}

/// By plain arithmetic on the packs' figures, beside `decide`.
#[test]
fn no_short_no_female_no_soft_and_no_egg_bearing_crab_may_be_kept() {
    let figures = [("dungeness", 158.75), ("red-rock", 127.0)];
    let grounds = grounds(PUGET_SOUND);
    let mut kept = 0;
    for seed in 0..6 {
        for (crab, truth) in crabs(seed, 150, &grounds) {
            if truth.call != Call::Keep {
                assert_eq!(truth.call, Call::Release, "{crab:?}");
                assert!(!truth.fails.is_empty(), "{crab:?}");
                continue;
            }
            kept += 1;
            let least = figures.iter().find(|(id, _)| *id == crab.kind.id).map(|(_, mm)| *mm);
            let dimension =
                if crab.kind.id == "dungeness" { Dimension::Notch } else { crab_dimension(&grounds, &crab) };
            assert!(least.is_some_and(|least| crab.width_mm(dimension) >= least), "{crab:?}");
            assert_eq!(crab.firmness, Firmness::Hard, "{crab:?}");
            assert_eq!(crab.eggs, Eggs::None);
            if crab.kind.id == "dungeness" {
                assert_eq!(crab.sex, Sex::Male);
            }
        }
    }
    assert!((100..400).contains(&kept), "{kept} of 900 were keepers");
}

fn crab_dimension(grounds: &Grounds, crab: &Crab) -> Dimension {
    grounds.of(crab.kind.id).and_then(|ground| ground.limits.first()).expect("a limit").dimension
}

#[test]
fn every_water_that_can_be_practised_has_keepers_and_others() {
    for at in WATERS {
        let grounds = grounds(at);
        assert!(!grounds.sought.is_empty(), "{at:?}");
        let all = crabs(3, 120, &grounds);
        let kept = all.iter().filter(|(_, truth)| truth.call == Call::Keep).count();
        assert!((12..=70).contains(&kept), "{at:?}: {kept}");
        assert!(all.iter().all(|(_, truth)| matches!(truth.call, Call::Keep | Call::Release)), "{at:?}");
    }
}

/// The rock crab rule of California holds for red and slender ones too: they are no strangers there.
#[test]
fn a_kind_that_another_rule_covers_is_no_look_alike() {
    let grounds = grounds(("us-ca", "north-counties"));
    assert!(grounds.all().all(|ground| !["red-rock", "graceful"].contains(&ground.kind.id)));
    let washington = super::grounds(PUGET_SOUND);
    assert!(washington.look_alikes.iter().any(|ground| ground.kind.id == "graceful"));
}

#[test]
fn a_water_whose_rule_measures_what_is_not_drawn_offers_no_crab() {
    // Stone crabs of Florida: the claw is measured.
    let water = water(("us-fl", "state"));
    let grounds = Grounds::at(&water);
    assert!(grounds.sought.is_empty());
    assert_eq!(Crab::of(1, 0, &grounds), None);
}

/// California's Dungeness season is closed in July south of Sonoma: practice goes to the next open day.
#[test]
fn a_closed_kind_is_practised_for_the_day_it_opens() {
    let grounds = grounds(("us-ca", "other-counties"));
    let dungeness = grounds.of("dungeness").expect("it is practised");
    assert!(dungeness.date > super::TODAY);
    assert_eq!(dungeness.date.month(), 11);
}
