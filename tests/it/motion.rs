//! Who asks the system for less motion gets none.

use std::fs;
use std::path::Path;

/// Everything that moves by itself is declared where motion is welcome (`prefers-reduced-motion`, Media Queries
/// Level 5, section 12.1), so that a forgotten exception cannot let it move.
#[test]
fn nothing_moves_unless_motion_is_welcome() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("www/style");
    let mut animated = 0;
    for entry in fs::read_dir(folder).expect("style sheets") {
        let path = entry.expect("a file").path();
        let sheet = fs::read_to_string(&path).expect("a style sheet");
        // How many blocks are open, and at which depth the one begins in which motion is welcome.
        let (mut depth, mut welcome) = (0, None);
        for line in sheet.lines() {
            if line.contains("@media") && line.contains("prefers-reduced-motion: no-preference") {
                welcome = Some(depth);
            }
            let property = line.trim_start().split(':').next().unwrap_or_default();
            let moves = ["animation", "transition", "scroll-behavior"]
                .iter()
                .any(|motion| property.starts_with(motion) && line.contains(':'))
                // What appears in one step does not move.
                && !line.contains("step-end");
            if moves {
                animated += 1;
                assert!(welcome.is_some(), "{}: {line}", path.display());
            }
            depth += line.matches('{').count();
            depth -= line.matches('}').count();
            welcome = welcome.filter(|&outside| depth > outside);
        }
    }
    assert!(animated > 0, "the bar of the work in hand does move");
}
