//! Reads the browser's own log of connections: what the page, its worker and its service worker asked.

use std::fs;
use std::path::Path;

use anyhow::{Context, bail};

/// Fails when any address but this computer's was asked for.
pub fn check_only_localhost(log: &Path) -> anyhow::Result<()> {
    let text = fs::read_to_string(log).context("the browser wrote no log")?;
    let asked = addresses(&text);
    if !asked.iter().any(|address| is_local(address)) {
        bail!("the log does not even show the page's own requests");
    }
    let foreign: Vec<&str> = asked.into_iter().filter(|address| !is_local(address)).collect();
    if !foreign.is_empty() {
        bail!("asked of other hosts: {}", foreign.join(", "));
    }
    Ok(())
}

/// Every `"url":"…"` of an event, once.
fn addresses(log: &str) -> Vec<&str> {
    let mut found: Vec<&str> = log
        .split("\"url\":\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .filter(|address| ["http:", "https:", "ws:", "wss:"].iter().any(|scheme| address.starts_with(scheme)))
        .collect();
    found.sort_unstable();
    found.dedup();
    found
}

fn is_local(address: &str) -> bool {
    let host = address.split('/').nth(2).unwrap_or_default();
    let host = host.rsplit_once(':').map_or(host, |(host, _)| host);
    host == "localhost" || host == "127.0.0.1"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn another_host_in_the_log_is_found() {
        let log = r#"{"params":{"url":"http://localhost:81/a"}},{"params":{"url":"https://example.org/b"}}"#;
        assert_eq!(addresses(log), ["http://localhost:81/a", "https://example.org/b"]);
        assert!(is_local("http://localhost:81/a"));
        assert!(!is_local("https://localhost.example.org/b"));
        assert!(!is_local("https://example.org:443/b"));
    }
}
