//! Files a person names: regular ones only, read through a limit.
//!
//! A pipe has no known end and a device may have none, so neither is opened.

use anyhow::Context;
use anyhow::bail;
use std::fs;
use std::fs::File;
use std::fs::FileType;
use std::io::Read;
use std::path::Path;

/// How a zip file begins.
const ZIP: &[u8] = b"PK\x03\x04";

/// The bytes of a regular file, or of one that a link leads to. If it has more than `max`, the
/// error names the maximum size of a `what`.
///
/// # Errors
/// When it is something else, is larger or cannot be read.
pub(super) fn bytes(path: &Path, max: u64, what: &str) -> anyhow::Result<Vec<u8>> {
    let cannot = || format!("cannot read {}", path.display());
    let there = fs::metadata(path).with_context(cannot)?;
    if !there.is_file() {
        bail!("cannot read {}: it is a {}, not a file", path.display(), kind(there.file_type()));
    }
    let refuse = |size: u64| {
        anyhow::anyhow!("cannot read {}: {size} bytes; a {what} has at most {max}", path.display())
    };
    if there.len() > max {
        return Err(refuse(there.len()));
    }
    let mut bytes = Vec::new();
    // It may grow while it is read, and some file systems do not know a size before.
    let file = File::open(path).with_context(cannot)?;
    file.take(max.saturating_add(1)).read_to_end(&mut bytes).with_context(cannot)?;
    match bytes.len() as u64 {
        size if size > max => Err(refuse(size)),
        _ => Ok(bytes),
    }
}

/// The text of a file as [`bytes`] reads it.
///
/// # Errors
/// When it is no regular file, is larger, cannot be read or is not UTF-8.
pub(super) fn text(path: &Path, max: u64, what: &str) -> anyhow::Result<String> {
    match String::from_utf8(bytes(path, max, what)?) {
        Ok(text) => Ok(text),
        Err(error) if error.as_bytes().starts_with(ZIP) => bail!(
            "cannot read {0}: it is an archive; `platewright make {0}` makes the job packed in it",
            path.display()
        ),
        Err(error) => bail!(
            "cannot read {}: byte {} is not UTF-8 text; save it as UTF-8",
            path.display(),
            error.utf8_error().valid_up_to()
        ),
    }
}

/// What something that is no regular file is called.
pub(super) fn kind(of: FileType) -> &'static str {
    #[cfg(unix)]
    {
        use std::os::unix::fs::FileTypeExt;
        if of.is_fifo() {
            return "pipe";
        }
        if of.is_socket() {
            return "socket";
        }
        if of.is_char_device() || of.is_block_device() {
            return "device";
        }
    }
    if of.is_dir() { "folder" } else { "special file" }
}
