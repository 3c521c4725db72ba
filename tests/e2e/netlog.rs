//! Reads the browser's own log of connections: what the page, its worker and its service worker asked.
//!
//! The browser also asks things on its own behalf (the time, its updates); those requests have no
//! origin as their initiator, those of a page have.

use std::fs;
use std::path::Path;

use anyhow::{Context, bail};
use serde_json::{Deserializer, Value};

/// Fails when a page asked any address but this computer's.
pub fn check_only_localhost(log: &Path) -> anyhow::Result<()> {
    let text = fs::read_to_string(log).context("the browser wrote no log")?;
    let asked = asked_by_pages(&text);
    if asked.is_empty() {
        bail!("the log does not even show the page's own requests");
    }
    let foreign: Vec<String> = asked.into_iter().filter(|address| !is_local(address)).collect();
    if !foreign.is_empty() {
        bail!("asked of other hosts: {}", foreign.join(", "));
    }
    Ok(())
}

/// The addresses of all requests that a page, a worker or a service worker began. The log has one event
/// a line.
fn asked_by_pages(log: &str) -> Vec<String> {
    let mut found: Vec<String> = log
        .lines()
        .filter(|line| line.contains("\"initiator\":"))
        .filter_map(|line| Deserializer::from_str(line).into_iter::<Value>().next()?.ok())
        .filter(|event| event["params"]["initiator"].as_str().is_some_and(|by| by.starts_with("http")))
        .filter_map(|event| event["params"]["url"].as_str().map(str::to_owned))
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
        let log = r#"{"params":{"initiator":"http://localhost:81","url":"http://localhost:81/a"},"type":1},
{"params":{"initiator":"not an origin","url":"https://example.com/update"},"type":1},
{"params":{"initiator":"http://localhost:81","url":"https://example.org/b"},"type":1}],"#;
        assert_eq!(asked_by_pages(log), ["http://localhost:81/a", "https://example.org/b"]);
        assert!(is_local("http://localhost:81/a"));
        assert!(!is_local("https://localhost.example.org/b"));
        assert!(!is_local("https://example.org:443/b"));
    }
}
