//! Words about what was kept today.

use crate::session::KeptLine;

/// The count in one line: `Kept today: 2 of 5 Dungeness crab`.
pub fn kept_today(lines: &[KeptLine]) -> String {
    let counts: Vec<String> = lines.iter().map(count).collect();
    format!("Kept today: {}", counts.join("; "))
}

fn count(line: &KeptLine) -> String {
    let kinds = match line.together_with.as_slice() {
        [] => line.kind.clone(),
        others => format!("{} together with {}", line.kind, others.join(", ")),
    };
    match line.limit {
        Some(limit) => format!("{} of {limit} {kinds}", line.kept),
        None => format!("{} {kinds}", line.kept),
    }
}

/// What the count cannot know.
pub fn kept_trouble(lines: &[KeptLine]) -> Option<&'static str> {
    let holds = lines.iter().any(|line| line.holds_earlier_days);
    holds.then_some("A limit on what you hold counts crabs of earlier days too: add them yourself.")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_count_stands_against_its_limit() {
        let line = KeptLine {
            kind: "Dungeness".into(),
            kept: 2,
            limit: Some(5),
            together_with: Vec::new(),
            holds_earlier_days: false,
        };
        let shared = KeptLine { together_with: vec!["brown".into()], limit: None, ..line.clone() };
        assert_eq!(
            kept_today(&[line, shared]),
            "Kept today: 2 of 5 Dungeness; 2 Dungeness together with brown"
        );
    }
}
