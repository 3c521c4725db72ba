//! Words of the measuring screen.

use crate::session::{Aim, LimitInForce, PhotoWork, Target, Tool};
use crate::terms::Dimension;
use crate::width::Remedy;

/// What to do next on the photo; `None` while there is nothing to say.
pub fn photo_hint(work: &PhotoWork) -> Option<String> {
    let points = match work.dimension {
        Dimension::Notch => "the bottom of the notch in front of the last, largest tooth",
        Dimension::Tips => "the very tip of the last tooth or spine",
        Dimension::Widest => "the widest place of the shell",
    };
    let hint = match (&work.asked_tap(), work.marks.missing()) {
        (Tool::TapCard, _) => "Tap the middle of the card.".to_owned(),
        (Tool::TapShell, _) => "Tap the middle of the shell.".to_owned(),
        (Tool::Corners, _) => {
            format!("Tap near corner {} of the card, going round it.", work.corners.len() + 1)
        }
        (Tool::Aim(Aim { target: Target::Point(_), .. }), _) => format!("The point is {points}."),
        (Tool::Aim(_), _) => {
            "Go round the card. A corner is where its two straight edges would meet.".to_owned()
        }
        (Tool::Look, _) if !work.candidates.is_empty() => {
            "Tap the card that lies flat beside the crab.".to_owned()
        }
        (Tool::Look, Some(0)) if work.scene.is_some() => format!("Tap near one side: {points}."),
        (Tool::Look, Some(_)) if work.scene.is_some() => "Now tap near the other side.".to_owned(),
        (Tool::Look, None) if !work.marks.confirmed() => {
            format!("Crosses {}? If not, tap one.", at_a_glance(work.dimension))
        }
        (Tool::Look, _) => return None,
    };
    Some(hint)
}

/// What the picture has against where the card is said to lie, and what to do.
pub fn card_contradicts(work: &PhotoWork) -> Option<String> {
    let notice = crate::text::warning(work.card_doubt()?);
    Some(format!("{} {}", notice.seen, notice.next_step))
}

/// How near the width of a practice photo came to the crab's own, once the points are confirmed.
pub fn practice_truth(work: &PhotoWork) -> Option<String> {
    let truth = work.in_hand.as_ref()?.practice?.of(work.dimension)?;
    let width = work.width.as_deref().filter(|_| work.marks.confirmed())?;
    Some(how_near(truth, width.width_mm, width.interval_mm))
}

/// How far the confirmed points of a practice photo lie from the right ones.
pub fn points_apart(work: &PhotoWork) -> Option<String> {
    let truth = work.in_hand.as_ref()?.practice?;
    let own = work.marks.both().filter(|_| work.marks.confirmed())?.map(|marked| marked.point);
    let [first, second] = truth.apart_mm(work.dimension, own)?;
    Some(format!("Rings show the right points. Yours lie {first:.1} mm and {second:.1} mm from them."))
}

fn how_near(true_mm: f64, width_mm: f64, [low, high]: [f64; 2]) -> String {
    let off = match width_mm - true_mm {
        off if off.abs() < 0.05 => "just what you measured".to_owned(),
        off if off > 0.0 => format!("you measured {off:.1} mm too much"),
        off => format!("you measured {:.1} mm too little", -off),
    };
    let judged = if (low..=high).contains(&true_mm) {
        "within what one photo can tell"
    } else {
        "more than one photo is off: look at the points again, and at how the card lies"
    };
    format!("The true width is {true_mm:.1} mm: {off}, {judged}.")
}

/// Where the point is, short enough for the line above the photo: the long words come with the aiming window.
fn at_a_glance(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Notch => "in the notch before the last tooth",
        Dimension::Tips => "on the tip of the last tooth",
        Dimension::Widest => "at the widest place",
    }
}

/// What would make the width surer, and by how much.
pub fn remedy_line(remedy: &Remedy, u_mm: f64) -> String {
    let act = crate::text::remedy(remedy.act);
    let gain = match remedy.expected_u_mm / u_mm {
        share if share < 0.4 => "makes this much surer",
        share if share < 0.6 => "about halves the give or take",
        share if share < 0.85 => "makes this clearly surer",
        _ => "makes this a little surer",
    };
    format!("{act}: that {gain} (± {:.1} mm instead of {u_mm:.1}).", remedy.expected_u_mm)
}

/// Words in lines of at most `most` characters; a word that is longer has a line to itself.
pub fn label_lines(words: &str, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Where the width stands before the limits, for those who do not see the ruler.
pub fn ruler_label(width_mm: f64, limits: &[LimitInForce]) -> String {
    let mut label = format!("Ruler. The width is {width_mm:.1} mm.");
    for limit in limits {
        let zone = limit.zone;
        let stands = match width_mm {
            width if width < zone.from_mm => "below the zone where only a gauge can decide",
            width if width <= zone.to_mm => "in the zone where only a gauge can decide",
            _ => "above the zone where only a gauge can decide",
        };
        label.push_str(&format!(" The limit is {}: the width is {stands}.", limit.words));
    }
    label
}

/// Where the width stands, in one short line under the ruler: a longer one would be cut off on a small phone.
pub fn ruler_caption(width_mm: f64, limits: &[LimitInForce]) -> &'static str {
    match limits {
        [limit] if width_mm < limit.zone.from_mm => "Smaller than the hatched zone.",
        [limit] if width_mm > limit.zone.to_mm => "Larger than the hatched zone.",
        [_] => "In the hatched zone: gauge it by hand.",
        _ => "Hatched: here only a gauge can decide.",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::decide::GreyZone;
    use crate::width::RemedyAct;

    /// The longest words of a limit in the packs take two lines of a narrow ruler, and lose nothing.
    #[test]
    fn labels_are_wrapped_and_never_cut() {
        let words = "at most 6 1/2 in (165.1 mm), mature females from 1 April";
        let lines = label_lines(words, 34);
        assert!(lines.len() == 2 && lines.iter().all(|line| line.chars().count() <= 34), "{lines:?}");
        assert_eq!(lines.join(" "), words);
        assert_eq!(label_lines("at least 127 mm", 34), ["at least 127 mm"]);
    }

    #[test]
    fn a_practice_photo_says_how_near_the_width_came() {
        let near = how_near(159.0, 160.6, [156.0, 165.0]);
        assert_eq!(
            near,
            "The true width is 159.0 mm: you measured 1.6 mm too much, within what one photo can tell."
        );
        assert!(
            how_near(159.0, 150.0, [147.0, 153.0]).contains("9.0 mm too little, more than one photo is off")
        );
    }

    #[test]
    fn a_remedy_says_how_much() {
        let halved = Remedy { act: RemedyAct::RaiseTheCard, expected_u_mm: 0.8 };
        let line = remedy_line(&halved, 1.6);
        assert!(line.ends_with(": that about halves the give or take (± 0.8 mm instead of 1.6)."), "{line}");
    }

    #[test]
    fn the_ruler_says_where_the_width_stands() {
        let zone = GreyZone { limit_mm: 158.75, from_mm: 157.0, to_mm: 162.0 };
        let limits = [LimitInForce { words: "at least 6 1/4 in".into(), zone }];
        assert!(
            ruler_label(150.0, &limits)
                .ends_with("the width is below the zone where only a gauge can decide.")
        );
        assert!(
            ruler_label(160.0, &limits).ends_with("the width is in the zone where only a gauge can decide.")
        );
    }

    #[test]
    fn the_caption_says_on_which_side_of_the_zone_the_width_lies() {
        let zone = GreyZone { limit_mm: 158.75, from_mm: 157.0, to_mm: 162.0 };
        let limits = [LimitInForce { words: "at least 6 1/4 in".into(), zone }];
        assert!(ruler_caption(150.0, &limits).starts_with("Smaller"));
        assert!(ruler_caption(157.0, &limits).starts_with("In the"));
        assert!(ruler_caption(170.0, &limits).starts_with("Larger"));
        // With a least and a largest size the drawing alone tells which zone is which.
        assert!(ruler_caption(150.0, &[limits[0].clone(), limits[0].clone()]).starts_with("Hatched"));
    }

    #[test]
    fn without_a_card_the_hint_is_silent_and_the_message_speaks() {
        let work = PhotoWork::default();
        assert_eq!(photo_hint(&work), None);
    }
}
