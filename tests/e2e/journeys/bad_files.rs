//! Files that are no use: each gets a message with a next step, and the page works on.

use std::fs;

use anyhow::{Context, ensure};

use crate::e2e::native;
use crate::e2e::person::{measure_by_hand, message, other_photo, sample, to_photos};
use crate::e2e::visit::Visit;
use crate::repo;

pub async fn each_gets_a_message(visit: &Visit<'_>) -> anyhow::Result<()> {
    let folder = visit.folder().join("bad");
    fs::create_dir_all(&folder)?;
    let whole = fs::read(sample(4)?.photo)?;
    // What is in the file, and the code that the native command's JSON promises for it.
    let files: [(&str, &[u8], &[&str]); 6] = [
        ("letter.jpg", b"Dear reader, this is not a photo.\n", &["not-a-photo"]),
        ("empty.jpg", b"", &["not-a-photo"]),
        // ISO/IEC 23008-12: the brand of a HEIC file stands in its first box. The browser cannot read it either.
        ("phone.heic", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", &["unsupported-format"]),
        ("cut-in-the-header.jpg", &whole[..400], &["damaged", "not-a-photo"]),
        ("cut-in-half.jpg", &whole[..whole.len() / 2], &["damaged"]),
        ("no-card.jpg", &fs::read(repo::root().join("tests/bad/no-card.jpg"))?, &["no-card"]),
    ];
    visit.open().await?;
    for (name, bytes, codes) in files {
        let file = folder.join(name);
        fs::write(&file, bytes)?;
        to_photos(visit).await?;
        visit.choose_file("#pick-photo", &file).await?;
        let (code, seen, next_step) = message(visit).await.with_context(|| name.to_owned())?;
        ensure!(codes.contains(&code.as_str()), "{name}: code {code}, \"{seen}\"");
        ensure!(seen.len() > 10 && next_step.len() > 10, "{name}: \"{seen}\" \"{next_step}\"");
        let doubts = visit.ask("return document.querySelectorAll('.warnings li').length").await?;
        ensure!(doubts == 0, "{name}: {doubts} doubts about a width that is not there");
        let native = native::measure(visit.workshop, &file, &[])?;
        ensure!(native["reason"] == code.as_str(), "{name}: page {code}, native {}", native["reason"]);
        other_photo(visit).await?;
    }
    measure_by_hand(visit, 2).await.context("after the bad files").map(|_| ())
}
