//! Words of the checks: the question, why it matters, and what to do when not sure.

use crate::decide::{Check, CheckState};

/// What is said at one check.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CheckWords {
    /// The check in one word.
    pub name: &'static str,
    /// The question in one line.
    pub question: &'static str,
    /// Why it matters, in one line.
    pub why: &'static str,
    /// The longer answer.
    pub more: &'static str,
    /// What to do when not sure.
    pub not_sure: &'static str,
}

/// The words of `check`.
///
/// How to look and where to press is common practice; what follows from it is the rule's, shown with its
/// source at the verdict.
pub fn check_words(check: Check) -> CheckWords {
    match check {
        Check::Kind => CheckWords {
            name: "Kind",
            question: "Which kind is it?",
            why: "Each kind has its own size.",
            more: "Each has its own way to be measured, too. Compare the next one with the pictures: look at the colour \
                   of the claw tips, the front edge between the eyes, and the last tooth at each side. \
                   Colour of the shell alone misleads: it changes with age, weed and light.",
            not_sure: "It goes back.",
        },
        Check::Season => CheckWords {
            name: "Season",
            question: "Is the water open for this kind today?",
            why: "An order can close it on any day.",
            more: "A season can be set, shortened or closed by an order that no pack of rules can know. Ask the agency: \
                   its page of the day, its telephone line, or the notice at the ramp. What you find \
                   holds for this water, this kind and this day, and is asked again tomorrow. A closure for biotoxins \
                   or pollution is asked for there as well.",
            not_sure: "It goes back: look it up first.",
        },
        Check::Sex => CheckWords {
            name: "Sex",
            question: "Turn it over: is the flap on the belly narrow or broad?",
            why: "Many waters keep males only: the females carry next year's crabs.",
            more: "The flap (abdomen) lies folded under the body. A male's is narrow, like a lighthouse; a female's is \
                   broad and round, like a beehive. Hold the crab from behind, with a finger on the belly side and the \
                   thumb on the back, clear of the claws.",
            not_sure: "Rinse the belly and look again in good light. Still not sure: it goes back.",
        },
        Check::Maturity => CheckWords {
            name: "Maturity",
            question: "Is the female's flap a triangle or a round dome?",
            why: "Some rules treat mature and immature females differently.",
            more: "A young female's flap is a triangle that lies tight; after her last moult it is a round dome that \
                   lifts easily.",
            not_sure: "Lift the edge of the flap with a fingernail: tight means young. Still not sure: it goes back.",
        },
        Check::Eggs => CheckWords {
            name: "Eggs",
            question: "Are there eggs under the flap?",
            why: "A crab with eggs goes back nearly everywhere.",
            more: "Eggs hang out under the flap like a sponge: orange at first, brown to black before they hatch. \
                   Removing them is forbidden in many places, and the remains show.",
            not_sure: "Lift the flap a little and look at the hairs beneath. Still not sure: it goes back.",
        },
        Check::Shell => CheckWords {
            name: "Shell",
            question: "Press the shell beside the claw's joint: does it give?",
            why: "A soft crab has just moulted: little meat, easily hurt, and often protected.",
            more: "Press with the thumb on the underside of the shell, beside the joint of the claw. Hard: it does not \
                   move at all, as a plate would. Soft: it gives like a ping-pong ball or softer. A clean, bright shell \
                   without growth is a sign to press with care. Size says nothing here: a soft crab of size goes back \
                   where the rule says so.",
            not_sure: "Press the other side in the same place. If either side gives, it is soft.",
        },
        Check::Claws => CheckWords {
            name: "Claws",
            question: "What would you keep?",
            why: "Most waters want whole crabs until you are ashore; a few allow a claw.",
            more: "Whole means shell and all, so that sex and size can be checked at the landing. Where only claws may \
                   be kept, the rule names which one and how long it must be.",
            not_sure: "The rule, one tap away at the top, says what may be kept. Still not sure: it goes back.",
        },
        Check::Size => CheckWords {
            name: "Size",
            question: "How wide is the shell?",
            why: "The size lets a crab spawn at least once before it is caught.",
            more: "The rule names the two points: a photo measures between the same points. Near the limit only a \
                   gauge decides, and a gauge always goes before the photo.",
            not_sure: "Use a gauge. Without one, a crab near the limit goes back.",
        },
    }
}

/// The state of a check in one word.
pub fn state_word(state: CheckState) -> &'static str {
    match state {
        CheckState::NotNeeded => "not needed",
        CheckState::Open => "open",
        CheckState::Passed => "fits",
        CheckState::Failed => "goes back",
        CheckState::Unsure => "not sure",
        CheckState::Undecided => "left to you",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_check_has_one_short_question() {
        for check in Check::ALL {
            let words = check_words(check);
            assert!(words.question.ends_with('?') && words.question.len() < 70, "{check:?}");
            assert!(!words.more.contains('!') && !words.not_sure.contains('!'), "{check:?}");
        }
    }
}
