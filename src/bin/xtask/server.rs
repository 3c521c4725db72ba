//! A small file server for the built page: right types, the page's policy as a header, no surprises.

use std::fs;
use std::io::Cursor;
use std::net::Ipv4Addr;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread;

use anyhow::{Context, anyhow};
use tiny_http::{Header, Method, Request, Response, Server};

use crate::dist::CONTENT_SECURITY_POLICY;

/// Opens the wished port, or one of the next, or any that is free.
pub fn open(port: u16) -> anyhow::Result<(Server, u16)> {
    let wished = (0..20).filter_map(|more| port.checked_add(more));
    for port in wished.chain([0]) {
        if let Ok(server) = Server::http((Ipv4Addr::LOCALHOST, port)) {
            let address = server.server_addr().to_ip().context("the server has no address")?;
            return Ok((server, address.port()));
        }
    }
    Err(anyhow!("no free port on this computer"))
}

/// Answers from `folder`, under the path `prefix`, until the process ends.
pub fn answer(server: Server, folder: &Path, prefix: &str) {
    let server = Arc::new(server);
    let workers: Vec<_> = (0..4)
        .map(|_| {
            let (server, folder, prefix) = (Arc::clone(&server), folder.to_path_buf(), prefix.to_owned());
            thread::spawn(move || {
                while let Ok(request) = server.recv() {
                    let response = response(&request, &folder, &prefix);
                    // The browser went away: nobody to tell.
                    let _gone = request.respond(response);
                }
            })
        })
        .collect();
    for worker in workers {
        // A worker that panicked has printed why.
        let _ended = worker.join();
    }
}

fn response(request: &Request, folder: &Path, prefix: &str) -> Response<Cursor<Vec<u8>>> {
    if !matches!(request.method(), Method::Get | Method::Head) {
        return plain(405, "only GET and HEAD");
    }
    let path = request.url().split(['?', '#']).next().unwrap_or_default();
    let Some(path) = path.strip_prefix(prefix) else {
        if format!("{path}/") == prefix {
            return plain(308, prefix).with_header(header("Location", prefix));
        }
        return plain(404, "not here");
    };
    let path = if path.is_empty() { "index.html" } else { path };
    match file_in(folder, path).and_then(|file| fs::read(file).ok()) {
        Some(bytes) => file_response(path, bytes),
        None => plain(404, "not here"),
    }
}

/// The file of a request path, if it cannot lead out of the folder.
fn file_in(folder: &Path, path: &str) -> Option<PathBuf> {
    let is_plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
    let is_name = |part: &str| !part.is_empty() && !part.starts_with('.') && part.bytes().all(is_plain);
    path.split('/').all(is_name).then(|| folder.join(path))
}

fn file_response(path: &str, bytes: Vec<u8>) -> Response<Cursor<Vec<u8>>> {
    let is_hashed = path.starts_with("b-") || path.starts_with("samples-");
    let caching = if is_hashed { "public, max-age=31536000, immutable" } else { "no-store" };
    with_policy(Response::from_data(bytes))
        .with_header(header("Content-Type", media_type(path)))
        .with_header(header("Cache-Control", caching))
}

fn plain(status: u16, text: &str) -> Response<Cursor<Vec<u8>>> {
    with_policy(Response::from_string(text).with_status_code(status))
}

fn with_policy(response: Response<Cursor<Vec<u8>>>) -> Response<Cursor<Vec<u8>>> {
    let policy = format!("{CONTENT_SECURITY_POLICY}; frame-ancestors 'none'");
    response
        .with_header(header("Content-Security-Policy", &policy))
        .with_header(header("X-Content-Type-Options", "nosniff"))
        .with_header(header("Referrer-Policy", "no-referrer"))
}

fn header(name: &str, value: &str) -> Header {
    Header::from_bytes(name, value).expect("names and values here are plain ASCII")
}

/// Media type by the name's ending: IANA's registrations.
fn media_type(path: &str) -> &'static str {
    match path.rsplit_once('.').map_or("", |(_, ending)| ending) {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "wasm" => "application/wasm",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "jpg" => "image/jpeg",
        "webp" => "image/webp",
        "woff2" => "font/woff2",
        "txt" | "ftl" | "md" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_cannot_lead_out_of_the_folder() {
        let folder = Path::new("/site");
        assert_eq!(file_in(folder, "b-1/page.js"), Some(PathBuf::from("/site/b-1/page.js")));
        for path in ["../x", "a/../x", "/etc/passwd", "a//b", ".git/x", "a/%2e%2e/x", "a\\b", ""] {
            assert_eq!(file_in(folder, path), None, "{path}");
        }
    }

    #[test]
    fn a_taken_port_gives_another_one() {
        let (first, port) = open(0).expect("a free port");
        let (_second, other) = open(port).expect("another free port");
        assert_ne!(port, other);
        drop(first);
    }
}
