//! Words about what was kept today.

use crate::session::{HeldLine, KeptLine};

/// The count in one line: `Kept today: 2 of 5 Dungeness crab`.
pub fn kept_today(lines: &[KeptLine]) -> String {
    let counts: Vec<String> = lines.iter().map(count).collect();
    format!("Kept today: {}", counts.join("; "))
}

/// The count as short as it goes, to stand on every screen; `all`: crabs kept today. `None` before the first.
pub fn kept_in_short(lines: &[KeptLine], all: usize) -> Option<String> {
    // A line of none is there for the kind in hand, or for crabs of earlier days.
    let lines: Vec<&KeptLine> = lines.iter().filter(|line| line.all > 0).collect();
    match lines.as_slice() {
        _ if all == 0 => None,
        // A crab that the limit does not count is kept all the same: the count of all then says more.
        [KeptLine { kept, limit: Some(limit), .. }] if *kept as usize == all => {
            Some(format!("{kept}/{limit} kept"))
        }
        _ => Some(format!("{all} kept")),
    }
}

fn count(line: &KeptLine) -> String {
    let kinds = match line.together_with.as_slice() {
        [] => line.kind.clone(),
        others => format!("{} together with {}", line.kind, others.join(", ")),
    };
    let name = line.name.as_ref().map(|name| format!("{name} ")).unwrap_or_default();
    match line.limit {
        Some(limit) => format!("{name}{} of {limit} {kinds}", line.kept),
        None => format!("{name}{} {kinds}", line.kept),
    }
}

/// What is held against its limit, earlier days included.
pub fn held_words(line: &HeldLine, kept_today: u32) -> String {
    let limit = line.limit;
    match line.earlier {
        Some(earlier) => {
            let all = earlier.saturating_add(kept_today);
            format!("Held with those of earlier days: {all} of {limit}")
        }
        None => format!(
            "No more than {limit} may be held. Crabs of earlier days count too, and are not counted yet: how \
             many are in your cooler or freezer?"
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::Id;

    fn two_of_five() -> KeptLine {
        KeptLine {
            person: Id::first_person(),
            name: None,
            kind: "Dungeness".into(),
            kept: 2,
            all: 2,
            limit: Some(5),
            together_with: Vec::new(),
            held: None,
            parts: Vec::new(),
        }
    }

    #[test]
    fn a_count_stands_against_its_limit() {
        let line = two_of_five();
        let shared = KeptLine { together_with: vec!["brown".into()], limit: None, ..line.clone() };
        assert_eq!(
            kept_today(&[line, shared]),
            "Kept today: 2 of 5 Dungeness; 2 Dungeness together with brown"
        );
    }

    #[test]
    fn the_short_count_names_a_limit_only_where_there_is_one_kind() {
        let line = two_of_five();
        assert_eq!(kept_in_short(std::slice::from_ref(&line), 0), None);
        assert_eq!(kept_in_short(std::slice::from_ref(&line), 2).as_deref(), Some("2/5 kept"));
        assert_eq!(kept_in_short(std::slice::from_ref(&line), 3).as_deref(), Some("3 kept"));
        assert_eq!(kept_in_short(&[line.clone(), line.clone()], 4).as_deref(), Some("4 kept"));
        // A kind in hand of which none is kept takes nothing from the count of the other.
        let other = KeptLine { kind: "another kind".into(), kept: 0, all: 0, limit: None, ..line.clone() };
        assert_eq!(kept_in_short(&[line.clone(), other], 2).as_deref(), Some("2/5 kept"));
        assert_eq!(kept_in_short(&[KeptLine { limit: None, ..line }], 2).as_deref(), Some("2 kept"));
    }

    #[test]
    fn what_is_held_is_asked_until_it_is_said() {
        let person = Id::first_person();
        let line = HeldLine { person, species: "tanner".into(), limit: 30, earlier: None };
        assert!(held_words(&line, 2).contains("not counted yet"));
        let said = HeldLine { earlier: Some(28), ..line };
        assert_eq!(held_words(&said, 2), "Held with those of earlier days: 30 of 30");
    }
}
