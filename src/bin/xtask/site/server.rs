//! A small file server for the built page: right types, the page's policy as a header, no surprises.

use std::convert::Infallible;
use std::net::{Ipv4Addr, Ipv6Addr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use std::{fs, io};

use anyhow::anyhow;
use http::{Method, Request, Response, StatusCode, header};
use http_body_util::Full;
use hyper::body::{Bytes, Incoming};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::TokioIo;

use super::dist::CONTENT_SECURITY_POLICY;
use super::packed;

type Answer = Response<Full<Bytes>>;

/// A folder of files under a path.
struct Site {
    folder: PathBuf,
    prefix: String,
}

/// Opens the wished port, or one of the next, or any that is free.
pub fn open(port: u16) -> anyhow::Result<(TcpListener, u16)> {
    let wished = (0..20).filter_map(|more| port.checked_add(more));
    for port in wished.chain([0]) {
        // A browser asks `localhost` by IPv6 first: another program there would answer in our place.
        let taken = TcpListener::bind((Ipv6Addr::LOCALHOST, port))
            .is_err_and(|error| error.kind() == io::ErrorKind::AddrInUse);
        if taken {
            continue;
        }
        if let Ok(listener) = TcpListener::bind((Ipv4Addr::LOCALHOST, port)) {
            let port = listener.local_addr()?.port();
            return Ok((listener, port));
        }
    }
    Err(anyhow!("no free port on this computer"))
}

/// Answers from `folder`, under the path `prefix`, until the process ends.
pub fn answer(listener: TcpListener, folder: &Path, prefix: &str) -> anyhow::Result<()> {
    let site = Arc::new(Site { folder: folder.into(), prefix: prefix.into() });
    listener.set_nonblocking(true)?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    runtime.block_on(async {
        let listener = tokio::net::TcpListener::from_std(listener)?;
        loop {
            let Ok((stream, _)) = listener.accept().await else {
                // Out of file handles, most likely: those in use are given back in a moment.
                tokio::time::sleep(Duration::from_millis(100)).await;
                continue;
            };
            let site = Arc::clone(&site);
            tokio::spawn(async move {
                let service = service_fn(move |request: Request<Incoming>| {
                    let accepted = request.headers().get(header::ACCEPT_ENCODING);
                    let accepted = accepted.and_then(|value| value.to_str().ok()).unwrap_or_default();
                    let answer = site.answer(request.method(), request.uri().path(), accepted);
                    async move { Ok::<Answer, Infallible>(answer) }
                });
                // The browser went away: nobody to tell.
                let _gone = http1::Builder::new().serve_connection(TokioIo::new(stream), service).await;
            });
        }
    })
}

impl Site {
    /// The answer to a request whose `Accept-Encoding` is `accepted`.
    fn answer(&self, method: &Method, path: &str, accepted: &str) -> Answer {
        if method != Method::GET && method != Method::HEAD {
            return plain(StatusCode::METHOD_NOT_ALLOWED, "only GET and HEAD");
        }
        let Some(path) = path.strip_prefix(&self.prefix) else {
            if format!("{path}/") == self.prefix {
                let mut answer = plain(StatusCode::PERMANENT_REDIRECT, &self.prefix);
                set(&mut answer, header::LOCATION, &self.prefix);
                return answer;
            }
            return plain(StatusCode::NOT_FOUND, "not here");
        };
        let path = if path.is_empty() { "index.html" } else { path };
        let read = |path: &str| file_in(&self.folder, path).and_then(|file| fs::read(file).ok());
        let packed =
            packed::WAYS.into_iter().filter(|(way, _)| takes(accepted, way)).find_map(|(way, ending)| {
                let mut answer = file_answer(path, read(&format!("{path}.{ending}"))?);
                set(&mut answer, header::CONTENT_ENCODING, way);
                Some(answer)
            });
        match packed.or_else(|| Some(file_answer(path, read(path)?))) {
            Some(answer) => answer,
            None => plain(StatusCode::NOT_FOUND, "not here"),
        }
    }
}

/// True where `Accept-Encoding` names the way and does not refuse it (RFC 9110, section 12.5.3).
fn takes(accepted: &str, way: &str) -> bool {
    accepted.split(',').any(|one| {
        let (name, weight) = one.split_once(';').unwrap_or((one, "q=1"));
        let weight = weight.trim().strip_prefix("q=").and_then(|weight| weight.parse::<f64>().ok());
        name.trim().eq_ignore_ascii_case(way) && weight.is_some_and(|weight| weight > 0.0)
    })
}

/// The file of a request path, if it cannot lead out of the folder.
fn file_in(folder: &Path, path: &str) -> Option<PathBuf> {
    let is_plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
    let is_name = |part: &str| !part.is_empty() && !part.starts_with('.') && part.bytes().all(is_plain);
    path.split('/').all(is_name).then(|| folder.join(path))
}

fn file_answer(path: &str, bytes: Vec<u8>) -> Answer {
    let is_hashed = path.starts_with("b-") || path.starts_with("samples-");
    let caching = if is_hashed { "public, max-age=31536000, immutable" } else { "no-store" };
    let mut answer = with_policy(bytes.into());
    set(&mut answer, header::CONTENT_TYPE, media_type(path));
    set(&mut answer, header::CACHE_CONTROL, caching);
    // Packed or not by what the browser takes: a cache between must keep the two apart.
    set(&mut answer, header::VARY, "Accept-Encoding");
    answer
}

fn plain(status: StatusCode, text: &str) -> Answer {
    let mut answer = with_policy(text.to_owned().into());
    *answer.status_mut() = status;
    set(&mut answer, header::CONTENT_TYPE, "text/plain; charset=utf-8");
    answer
}

fn with_policy(body: Bytes) -> Answer {
    let mut answer = Response::new(Full::new(body));
    let policy = format!("{CONTENT_SECURITY_POLICY}; frame-ancestors 'none'");
    set(&mut answer, header::CONTENT_SECURITY_POLICY, &policy);
    set(&mut answer, header::X_CONTENT_TYPE_OPTIONS, "nosniff");
    set(&mut answer, header::REFERRER_POLICY, "no-referrer");
    answer
}

fn set(answer: &mut Answer, name: header::HeaderName, value: &str) {
    // Values here are plain ASCII: the public path was checked when it was given.
    if let Ok(value) = value.parse() {
        answer.headers_mut().insert(name, value);
    }
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

    #[track_caller]
    fn check(method: Method, path: &str, status: u16) -> Answer {
        let folder = tempfile::tempdir().expect("a temporary folder");
        fs::write(folder.path().join("index.html"), "the page").expect("writable");
        let site = Site { folder: folder.path().into(), prefix: "/some/path/".into() };
        let answer = site.answer(&method, path, "");
        assert_eq!(answer.status().as_u16(), status, "{method} {path}");
        assert!(answer.headers().contains_key(header::CONTENT_SECURITY_POLICY));
        answer
    }

    #[test]
    fn the_page_is_under_its_path_and_nowhere_else() {
        let page = check(Method::GET, "/some/path/", 200);
        assert_eq!(page.headers()[header::CONTENT_TYPE], "text/html; charset=utf-8");
        assert_eq!(page.headers()[header::CACHE_CONTROL], "no-store");
        let lead = check(Method::GET, "/some/path", 308);
        assert_eq!(lead.headers()[header::LOCATION], "/some/path/");
        check(Method::GET, "/", 404);
        check(Method::GET, "/some/path/missing.js", 404);
        check(Method::POST, "/some/path/", 405);
    }

    #[test]
    fn a_packed_copy_goes_to_who_takes_it() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let names = ["page.js", "page.js.br", "page.js.gz", "plain.js", "old.js", "old.js.gz"];
        for name in names {
            fs::write(folder.path().join(name), name).expect("writable");
        }
        let site = Site { folder: folder.path().into(), prefix: "/".into() };
        let asked = |path: &str, accepted: &str| {
            let answer = site.answer(&Method::GET, path, accepted);
            assert_eq!(answer.headers()[header::CONTENT_TYPE], "text/javascript; charset=utf-8");
            assert_eq!(answer.headers()[header::VARY], "Accept-Encoding");
            let way =
                answer.headers().get(header::CONTENT_ENCODING).map(|way| way.to_str().map(str::to_owned));
            way.transpose().expect("text").unwrap_or_default()
        };
        assert_eq!(asked("/page.js", "gzip, deflate, br, zstd"), "br", "the tighter one");
        assert_eq!(asked("/page.js", "gzip"), "gzip");
        assert_eq!(asked("/page.js", "br;q=0, gzip;q=0.5"), "gzip", "a weight of 0 refuses");
        assert_eq!(asked("/page.js", "identity"), "");
        assert_eq!(asked("/page.js", ""), "");
        assert_eq!(asked("/old.js", "br, gzip"), "gzip", "only one copy is there");
        assert_eq!(asked("/plain.js", "br, gzip"), "");
    }

    #[test]
    fn a_taken_port_gives_another_one() {
        let (first, port) = open(0).expect("a free port");
        let (_second, other) = open(port).expect("another free port");
        assert_ne!(port, other);
        drop(first);
    }
}
