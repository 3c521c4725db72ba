//! A bug in the page itself: said in a fixed place, since nothing of the page can be trusted any more.

/// From now on a panic shows itself in `#panic`.
pub fn show_panics() {
    std::panic::set_hook(Box::new(|info| {
        web_sys::console::error_1(&info.to_string().into());
        if let Some(place) = gloo::utils::document().get_element_by_id("panic") {
            place.set_text_content(Some(
                "The page stopped. Reload it: settings and rules are kept, and the crab in hand where this browser \
                 keeps it. Until then use the gauge.",
            ));
            // Nothing more can be done if even this fails.
            let _ = place.remove_attribute("hidden");
        }
    }));
}
