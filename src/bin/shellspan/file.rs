//! The bytes of a photo or of a rule pack from disk, or why there are none.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use shellspan::report::Report;
use shellspan::rules::load::LARGEST_FILE;
use shellspan::rules::on_one_line;

/// More bytes than any photo has that could be read: 54 megapixels of 16 bits a colour are 324 MB.
const MOST_BYTES: u64 = 512 << 20;

/// Why a path gave no bytes.
pub struct Unread {
    code: &'static str,
    sentence: String,
}

impl Unread {
    fn cannot_open(why: impl std::fmt::Display) -> Self {
        Self { code: "cannot-open", sentence: format!("The file cannot be opened ({why}). Check the path.") }
    }

    /// The answer for this path.
    pub fn report(self, photo: String) -> Report {
        Report { photo, reason: Some(self.code), next_step: Some(self.sentence), ..Report::default() }
    }
}

/// All bytes of a file; never waits for a pipe that nobody writes to, never reads a device without end.
pub fn read(path: &Path) -> Result<Vec<u8>, Unread> {
    let about = std::fs::metadata(path).map_err(Unread::cannot_open)?;
    if about.is_dir() {
        return Err(Unread::cannot_open("it is a folder"));
    }
    if !about.is_file() {
        return Err(Unread::cannot_open("it is a pipe or a device, not a file"));
    }
    let too_large = || Unread {
        code: "too-large",
        sentence: format!(
            "The file is larger than any photo that is read here ({} MB). Choose a photo.",
            MOST_BYTES >> 20
        ),
    };
    if about.len() > MOST_BYTES {
        return Err(too_large());
    }
    let mut bytes = Vec::new();
    // It may grow in the meantime.
    File::open(path)
        .and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
        .map_err(Unread::cannot_open)?;
    if bytes.len() as u64 > MOST_BYTES { Err(too_large()) } else { Ok(bytes) }
}

/// The bytes of a rule pack, for a person's words where there are none. Of a file that is too large only as much
/// as shows that it is: a device has no end. A pipe is not waited for.
pub fn read_pack(path: &Path) -> Result<Vec<u8>, String> {
    let name = on_one_line(&path.display().to_string());
    if std::fs::metadata(path).is_ok_and(|about| is_pipe(&about)) {
        return Err(format!("{name}: is a pipe, not a file. Save the pack as a file first.\n"));
    }
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(LARGEST_FILE as u64 + 1).read_to_end(&mut bytes))
        .map_err(|error| format!("{name}: cannot be opened ({error}). Check the path.\n"))?;
    Ok(bytes)
}

#[cfg(unix)]
fn is_pipe(about: &std::fs::Metadata) -> bool {
    use std::os::unix::fs::FileTypeExt;
    about.file_type().is_fifo() || about.file_type().is_socket()
}

#[cfg(not(unix))]
fn is_pipe(_: &std::fs::Metadata) -> bool {
    false
}
