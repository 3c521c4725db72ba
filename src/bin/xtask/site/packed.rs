//! The page packed for a slow line: Brotli (RFC 7932) and gzip (RFC 1952) beside each file that gets smaller by it.
//!
//! A static host that knows such files sends `page.js.br` for `page.js` where the browser takes it; so does `serve`.

use std::io::Write;

use anyhow::Context;
use flate2::Compression;
use flate2::write::GzEncoder;

use super::dist::Files;

/// A way to pack, as HTTP names it (`Content-Encoding`), and the ending of its files. The tighter one first.
pub const WAYS: [(&str, &str); 2] = [("br", "br"), ("gzip", "gz")];

/// Smaller files fit into one or two packets as they are.
const LEAST_BYTES: usize = 1000;

/// The packed copies of `files`, by their paths.
pub fn beside(files: &Files) -> anyhow::Result<Files> {
    let mut packed = Files::new();
    for (path, bytes) in files.iter().filter(|(path, bytes)| is_packed(path) && bytes.len() >= LEAST_BYTES) {
        let copies = [brotli(bytes), gzip(bytes)];
        for ((_, ending), copy) in WAYS.iter().zip(copies) {
            let copy = copy.with_context(|| path.clone())?;
            if copy.len() < bytes.len() {
                packed.insert(format!("{path}.{ending}"), copy);
            }
        }
    }
    Ok(packed)
}

/// Photos and icons are packed in themselves.
fn is_packed(path: &str) -> bool {
    let ending = path.rsplit_once('.').map_or("", |(_, ending)| ending);
    ["css", "html", "js", "json", "svg", "wasm", "webmanifest"].contains(&ending)
}

fn brotli(bytes: &[u8]) -> std::io::Result<Vec<u8>> {
    // The largest window that every browser takes (RFC 7932, section 9.1), and the most work: built once, sent often.
    let tightest = brotli::enc::BrotliEncoderParams { quality: 11, lgwin: 24, ..Default::default() };
    let mut packed = Vec::new();
    brotli::BrotliCompress(&mut &*bytes, &mut packed, &tightest)?;
    Ok(packed)
}

fn gzip(bytes: &[u8]) -> std::io::Result<Vec<u8>> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(bytes)?;
    encoder.finish()
}

#[cfg(test)]
mod tests {
    use std::io::Read;

    use super::*;

    #[test]
    fn a_packed_copy_holds_the_same_bytes() {
        let text = b"crab beside a card ".repeat(400);
        let files = Files::from([("b-1/page.js".to_owned(), text.clone())]);
        let packed = beside(&files).expect("packed");
        assert_eq!(packed.keys().collect::<Vec<_>>(), ["b-1/page.js.br", "b-1/page.js.gz"]);

        let mut opened = Vec::new();
        flate2::read::GzDecoder::new(&*packed["b-1/page.js.gz"]).read_to_end(&mut opened).expect("gzip");
        assert_eq!(opened, text);
        let mut opened = Vec::new();
        brotli::BrotliDecompress(&mut &*packed["b-1/page.js.br"], &mut opened).expect("Brotli");
        assert_eq!(opened, text);
        assert!(packed.values().all(|copy| copy.len() * 10 < text.len()));
    }

    #[test]
    fn what_is_small_or_packed_in_itself_has_no_copy() {
        let files = Files::from([
            ("a.js".to_owned(), vec![b' '; LEAST_BYTES - 1]),
            ("a.jpg".to_owned(), vec![b' '; 10 * LEAST_BYTES]),
        ]);
        assert!(beside(&files).expect("packed").is_empty());
    }
}
