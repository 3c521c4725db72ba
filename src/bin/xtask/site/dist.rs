//! Lays the built files out so that two builds can never be mixed.
//!
//! Three names are fixed, because browsers look for them: `index.html`, `sw.js` and
//! `manifest.webmanifest`. Everything else lies in a folder named after the content of the whole build,
//! and the sample photos in one named after theirs, so that an update does not fetch them again.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use anyhow::{Context, bail};
use serde::Deserialize;
use sha2::{Digest, Sha256};
use shellspan::session::{PracticePhoto, TrueWidths};
use shellspan::units::PhotoPoint;

use super::lessons;

/// Path relative to the root of the site, with `/`, to content.
pub type Files = BTreeMap<String, Vec<u8>>;

/// A whole build, in memory.
pub struct Built {
    /// Name of the build: the first twelve hex digits of the hash of everything in it.
    pub hash: String,
    /// What to write.
    pub files: Files,
}

/// What a page of this build may do; the same words stand in its head and in the headers of `serve`.
pub const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; \
    style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; worker-src 'self'; \
    manifest-src 'self'; font-src 'self'; base-uri 'none'; form-action 'none'";

const TEMPLATES: [&str; 3] = ["index.html", "sw.js", "manifest.webmanifest"];

/// Puts the generated programs, `www/` and `samples/` together.
///
/// `public_url` is empty for relative addresses, or a path with a slash at both ends; `more` are further
/// files for the build's folder.
pub fn gather(repo: &Path, generated: &Path, public_url: &str, more: Files) -> anyhow::Result<Built> {
    let mut own = read_folder(&repo.join("www"))?;
    join_styles(&mut own);
    lessons::write(&mut own, repo)?;
    let templates: Files = TEMPLATES.iter().filter_map(|name| own.remove_entry(*name)).collect();
    own.extend(read_folder(generated)?);
    own.extend(more);
    let samples = samples(&repo.join("samples"))?;
    lay_out(&templates, own, samples, public_url)
}

/// One style sheet in place of many, in the order of their names: each request costs a phone a tenth of a second.
fn join_styles(own: &mut Files) {
    let is_style = |path: &String| path.starts_with("style/") && path.ends_with(".css");
    let names: Vec<String> = own.keys().filter(|path| is_style(path)).cloned().collect();
    let joined: Vec<u8> = names.iter().filter_map(|name| own.remove(name)).flatten().collect();
    own.insert("style.css".into(), joined);
}

/// Most that the practice photo which comes with the page weighs, with the list of all: a chosen budget, two thirds of the
/// first screen's.
const MOST_BYTES_ALONG: usize = 360_000;

/// The photos, with the list of them and of their crabs' kinds and widths that the page reads.
fn samples(folder: &Path) -> anyhow::Result<Files> {
    let mut photos = read_folder(folder)?;
    let mut list = Vec::new();
    for (path, file) in &photos {
        let Some(name) = path.strip_suffix(".json") else { continue };
        let beside: Beside = serde_json::from_slice(file).with_context(|| format!("samples/{path}"))?;
        // The renderings name kinds with underscores, the packs with hyphens.
        let kind = beside.shell.species.as_ref().map(|kind| kind.replace('_', "-"));
        list.push(PracticePhoto { name: format!("{name}.jpg"), truth: beside.shell.into(), kind });
    }
    photos.retain(|path, _| path.ends_with(".jpg"));
    let listed: Vec<&String> = list.iter().map(|photo| &photo.name).collect();
    anyhow::ensure!(photos.keys().eq(listed), "each photo in samples/ needs its JSON beside it");
    photos.insert("index.json".into(), serde_json::to_vec(&list)?);
    Ok(photos)
}

/// The file beside a photo.
#[derive(Deserialize)]
struct Beside {
    shell: BesideShell,
}

/// The kind, the widths in it and where their points are seen, as `samples/README.md` explains them.
#[derive(Deserialize)]
struct BesideShell {
    species: Option<String>,
    notch_width_mm: Option<f64>,
    tip_width_mm: Option<f64>,
    notchs_px: Option<[PhotoPoint; 2]>,
    tips_px: Option<[PhotoPoint; 2]>,
}

impl From<BesideShell> for TrueWidths {
    fn from(shell: BesideShell) -> Self {
        Self {
            notch_mm: shell.notch_width_mm,
            tips_mm: shell.tip_width_mm,
            notches: shell.notchs_px,
            tips: shell.tips_px,
        }
    }
}

fn lay_out(templates: &Files, own: Files, samples: Files, public_url: &str) -> anyhow::Result<Built> {
    let samples_hash = short(&hash_of([&samples]));
    let mut settings = Files::new();
    settings.insert("public-url".into(), public_url.into());
    settings.insert("samples".into(), samples_hash.clone().into());
    settings.insert("policy".into(), CONTENT_SECURITY_POLICY.into());
    let hash = short(&hash_of([templates, &own, &settings]));

    let base = format!("b-{hash}/");
    let samples_base = format!("samples-{samples_hash}/");
    let under = |base: &str, files: Files| -> Files {
        files.into_iter().map(|(path, bytes)| (format!("{base}{path}"), bytes)).collect()
    };
    let mut files = under(&base, own);
    // The list of the practice photos and the first of them, a small one, come with the page; the others when asked for.
    let first = samples.keys().find(|path| path.ends_with(".jpg")).cloned();
    let comes_along = |path: &str| path == "index.json" || Some(path) == first.as_deref();
    let (along, asked_for): (Files, Files) = samples.into_iter().partition(|(path, _)| comes_along(path));
    let weight: usize = along.values().map(Vec::len).sum();
    anyhow::ensure!(
        weight <= MOST_BYTES_ALONG,
        "the first practice photo weighs {weight} bytes with the list"
    );
    files.extend(under(&samples_base, along));
    let sample_files = under(&samples_base, asked_for);

    let fill = |name: &str, more: &[(&str, &str)]| -> anyhow::Result<Vec<u8>> {
        let template = templates.get(name).with_context(|| format!("www/{name} is missing"))?;
        let mut text = std::str::from_utf8(template)?.to_owned();
        let known = [("csp", CONTENT_SECURITY_POLICY), ("build", &hash), ("root", public_url)];
        for (key, value) in known.iter().chain(more) {
            text = text.replace(&format!("{{{{{key}}}}}"), value);
        }
        if let Some((_, rest)) = text.split_once("{{") {
            bail!(
                "www/{name} asks for {{{{{}}}}}, which nobody fills in",
                rest.chars().take(20).collect::<String>()
            );
        }
        Ok(text.into_bytes())
    };
    let index = fill(
        "index.html",
        &[("base", &format!("{public_url}{base}")), ("samples", &format!("{public_url}{samples_base}"))],
    )?;
    files.insert("manifest.webmanifest".into(), fill("manifest.webmanifest", &[("base_from_root", &base)])?);
    let service = fill(
        "sw.js",
        &[
            ("files", &sums(&files)?),
            ("samples_hash", &samples_hash),
            ("sample_files", &sums(&sample_files)?),
        ],
    )?;
    files.extend(sample_files);
    files.insert("index.html".into(), index);
    files.insert("sw.js".into(), service);
    Ok(Built { hash, files })
}

/// Replaces the folder `out` by the build.
pub fn write(built: &Built, out: &Path) -> anyhow::Result<()> {
    if out.is_dir() && fs::read_dir(out)?.next().is_some() && !out.join("sw.js").is_file() {
        bail!("{} holds something that is not an earlier build: choose another folder", out.display());
    }
    let name = out.file_name().with_context(|| format!("{} is no folder to write to", out.display()))?;
    let mut fresh_name = name.to_owned();
    fresh_name.push(".new");
    let fresh = out.with_file_name(fresh_name);
    if fresh.exists() {
        fs::remove_dir_all(&fresh)?;
    }
    for (path, bytes) in &built.files {
        let file = fresh.join(path);
        if let Some(folder) = file.parent() {
            fs::create_dir_all(folder)?;
        }
        fs::write(&file, bytes).with_context(|| file.display().to_string())?;
    }
    if out.exists() {
        fs::remove_dir_all(out)?;
    }
    fs::rename(&fresh, out).with_context(|| out.display().to_string())
}

/// `[[path, sha256], …]` as the service worker reads it.
fn sums(files: &Files) -> anyhow::Result<String> {
    let list: Vec<[String; 2]> =
        files.iter().map(|(path, bytes)| [path.clone(), hex(&Sha256::digest(bytes))]).collect();
    Ok(serde_json::to_string(&list)?)
}

/// One hash over several sets of files: every name and every content, each with its length before it.
fn hash_of<'a>(sets: impl IntoIterator<Item = &'a Files>) -> String {
    let mut hasher = Sha256::new();
    for (path, bytes) in sets.into_iter().flatten() {
        for part in [path.as_bytes(), bytes] {
            hasher.update((part.len() as u64).to_le_bytes());
            hasher.update(part);
        }
    }
    hex(&hasher.finalize())
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn short(hash: &str) -> String {
    hash.chars().take(12).collect()
}

/// All files below `folder`; none where it does not exist. Names that start with a dot are left out.
pub fn read_folder(folder: &Path) -> anyhow::Result<Files> {
    let mut files = Files::new();
    let mut open = vec![(folder.to_path_buf(), String::new())];
    while let Some((folder, prefix)) = open.pop() {
        if !folder.is_dir() {
            continue;
        }
        for entry in fs::read_dir(&folder).with_context(|| folder.display().to_string())? {
            let entry = entry?;
            let name =
                entry.file_name().into_string().ok().with_context(|| format!("odd name in {prefix}"))?;
            if name.starts_with('.') {
                continue;
            }
            if entry.file_type()?.is_dir() {
                open.push((entry.path(), format!("{prefix}{name}/")));
            } else {
                let bytes = fs::read(entry.path()).with_context(|| entry.path().display().to_string())?;
                files.insert(format!("{prefix}{name}"), bytes);
            }
        }
    }
    Ok(files)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(list: &[(&str, &str)]) -> Files {
        list.iter().map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec())).collect()
    }

    fn templates() -> Files {
        files(&[
            ("index.html", "{{build}} {{root}} {{samples}}\n{{base}}style.css"),
            ("sw.js", "{{build}} {{files}} {{samples_hash}} {{sample_files}}"),
            ("manifest.webmanifest", "{{base_from_root}}"),
        ])
    }

    fn built(style: &str, sample: &str, public_url: &str) -> Built {
        let mut own = files(&[("boot.js", "b"), ("style/a.css", style), ("style/b.css", "b")]);
        join_styles(&mut own);
        lay_out(&templates(), own, files(&[("crab.jpg", sample)]), public_url).expect("complete templates")
    }

    fn text<'a>(built: &'a Built, path: &str) -> &'a str {
        std::str::from_utf8(&built.files[path]).expect("text")
    }

    #[test]
    fn one_changed_byte_renames_every_own_file() {
        let (one, other) = (built("x", "s", ""), built("y", "s", ""));
        assert_ne!(one.hash, other.hash);
        let fixed = ["index.html", "sw.js", "manifest.webmanifest"];
        let shared: Vec<&String> = one.files.keys().filter(|path| other.files.contains_key(*path)).collect();
        let samples = shared.iter().filter(|path| path.starts_with("samples-")).count();
        assert_eq!((shared.len(), samples), (fixed.len() + 1, 1), "{shared:?}");
    }

    #[test]
    fn the_first_practice_photo_comes_with_the_page() {
        let own = files(&[("style.css", "a")]);
        let photos = files(&[("a.jpg", "small"), ("b.jpg", "large"), ("index.json", "[]")]);
        let built = lay_out(&templates(), own, photos, "/").expect("complete templates");
        let service = String::from_utf8(built.files["sw.js"].clone()).expect("text");
        // As the template says: build, files, hash of the photos, photos.
        let [_, files_kept, _, later] = service.split(' ').collect::<Vec<_>>()[..] else {
            panic!("{service}")
        };
        let is_in = |list: &str| ["a.jpg", "index.json", "b.jpg"].map(|path| list.contains(path));
        assert_eq!(
            (is_in(files_kept), is_in(later)),
            ([true, true, false], [false, false, true]),
            "{service}"
        );
        let heavy = Files::from([("a.jpg".to_owned(), vec![0; MOST_BYTES_ALONG + 1])]);
        assert!(lay_out(&templates(), files(&[("style.css", "a")]), heavy, "/").is_err());
    }

    #[test]
    fn a_changed_sample_renames_the_build_too() {
        assert_ne!(built("x", "s", "").hash, built("x", "t", "").hash);
    }

    #[test]
    fn the_service_worker_lists_all_but_the_two_files_that_lead_to_it() {
        let built = built("x", "s", "/p/");
        let listed = text(&built, "sw.js");
        for path in built.files.keys().filter(|path| *path != "index.html" && *path != "sw.js") {
            assert!(listed.contains(&format!("[\"{path}\",\"")), "{path} in {listed}");
        }
        // SHA-256 of the one letter "b": sha256sum of GNU coreutils.
        assert!(listed.contains("3e23e8160039594a33894f6564e1b1348bbd7a0088d42c4acb73eeaed59c009d"));
    }

    #[test]
    fn addresses_start_at_the_public_path() {
        let built = built("x", "s", "/p/");
        let address = format!("/p/b-{}/style.css", built.hash);
        assert!(text(&built, "index.html").ends_with(&address));
        assert_eq!(text(&built, &address[3..]), "xb", "both sheets, in order");
    }

    #[test]
    fn a_place_that_nobody_fills_in_is_an_error() {
        let mut templates = templates();
        templates.insert("sw.js".into(), b"{{unheard-of}}".to_vec());
        assert!(lay_out(&templates, Files::new(), Files::new(), "").is_err());
    }

    #[test]
    fn a_folder_that_is_no_earlier_build_is_left_alone() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        fs::write(folder.path().join("letter.txt"), "dear").expect("writable");
        assert!(write(&built("x", "s", ""), folder.path()).is_err());
        assert!(folder.path().join("letter.txt").is_file());
    }
}
