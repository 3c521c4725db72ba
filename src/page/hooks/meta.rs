//! What the build wrote into the page's head.

/// Content of the meta tag `name`; empty where there is none.
pub fn meta(name: &str) -> String {
    let found = gloo::utils::document().query_selector(&format!("meta[name={name}]")).ok().flatten();
    found.and_then(|tag| tag.get_attribute("content")).unwrap_or_default()
}
