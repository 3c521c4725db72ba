//! A lesson as the page shows it: the build writes it once, so that the page carries nothing that reads lessons.

use super::frame::{Lesson, Shown};

/// Stands between two screens of a written lesson.
pub const NEXT_SCREEN: &str = "\n<!-- screen -->\n";
/// Stands between what is shown of a screen and what is folded below its buttons.
pub const FOLDED: &str = "\n<!-- folded -->\n";
/// Stands where the live diagram goes.
pub const DIAGRAM: &str = "<!-- diagram -->";

/// A drawing that a lesson names and nobody has.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("there is no drawing {0:?}: draw it beside the lesson, or name one of the page's own")]
pub struct NoDrawing(pub String);

/// All screens of `lesson`, with the text of each drawing set in, which `drawing` gives by its name.
pub fn written(lesson: &Lesson, drawing: impl Fn(&str) -> Option<String>) -> Result<String, NoDrawing> {
    let screens = lesson.screens();
    let mut parts = Vec::with_capacity(screens);
    for at in 0..screens {
        let Shown { part, drawing: drawn, diagram, says, facts, answer } = lesson.screen(at);
        let mut html = format!(
            "<p class=\"lesson-where\"><strong>{}</strong>, {}\u{a0}of\u{a0}{screens}</p>\
             <h1 tabindex=\"-1\" class=\"question\">{}</h1>",
            escaped(&lesson.title),
            at + 1,
            part.words()
        );
        if let Some(drawn) = drawn {
            let svg = drawing(&drawn.name).ok_or_else(|| NoDrawing(drawn.name.clone()))?;
            html += &format!(
                "<div class=\"drawing lesson-drawing\" role=\"img\" aria-label=\"{}\"><div aria-hidden=\"true\">{svg}</div></div>",
                escaped(&drawn.shows)
            );
        }
        for says in says {
            html += &format!("<p class=\"lesson-says\">{}</p>", shown(says));
        }
        if let Some(answer) = answer {
            html += &folded("lesson-answer", "The answer", std::slice::from_ref(&answer.says));
        }
        if diagram {
            html += DIAGRAM;
        }
        parts.push(html + FOLDED + &folded("lesson-origins", "Where this is from", &lesson.origins(&facts)));
    }
    Ok(parts.join(NEXT_SCREEN))
}

/// Lines that open on a tap.
fn folded(id: &str, summary: &str, lines: &[String]) -> String {
    let lines: String =
        lines.iter().map(|line| format!("<p class=\"lesson-folded\">{}</p>", shown(line))).collect();
    format!("<details id=\"{id}\"><summary>{summary}</summary>{lines}</details>")
}

/// `text` as HTML shows it, in an element or an attribute.
pub fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// `text` as HTML shows it, a figure held to its unit where a line ends: `165 mm`, `6 1/4 inches`, `9.2 %`.
pub fn shown(text: &str) -> String {
    const UNITS: [&str; 9] = ["mm", "cm", "m", "in", "inches", "%", "minutes", "hours", "degrees"];
    let mut held = String::with_capacity(text.len() + 8);
    let mut was_figure = false;
    for word in text.split(' ') {
        let bare = word.trim_end_matches([',', '.', ';', ':', '?', '!', ')']);
        let is_figure = bare.ends_with(|letter: char| letter.is_ascii_digit());
        let goes_with_it = UNITS.contains(&bare) || (is_figure && bare.contains('/'));
        if !held.is_empty() {
            held.push(if was_figure && goes_with_it { '\u{a0}' } else { ' ' });
        }
        held += word;
        // After a comma or a full stop something else begins.
        was_figure = is_figure && bare == word;
    }
    escaped(&held)
}

#[cfg(test)]
mod tests {
    use super::shown;

    #[test]
    fn a_figure_stays_with_its_unit() {
        let cases = [
            ("asks for 165 mm between", "asks for 165_mm between"),
            ("males of 6 1/4 inches.", "males of 6_1/4_inches."),
            ("9.2 % died; 50 to 80 cm, tilted", "9.2_% died; 50 to 80_cm, tilted"),
            ("in 2016, in all", "in 2016, in all"),
            ("<5 mm", "&lt;5_mm"),
        ];
        for (text, expected) in cases {
            assert_eq!(shown(text), expected.replace('_', "\u{a0}"));
        }
    }
}
