//! The same set given to a general packing library, in the same run.

use crate::engine::Effort;
use crate::instance::Instance;
use serde::Deserialize;
use std::io::Write;
use std::path::Path;
use std::process::Command;

/// What the library came to, in the set's own units.
#[derive(Deserialize)]
pub(crate) struct Peer {
    /// Length of the strip.
    pub(crate) length: f64,
    /// Length after the seconds of [`crate::MARKS`].
    pub(crate) at: Vec<Option<f64>>,
    parts: u32,
    gap: Option<f64>,
}

/// Lets `python`, which must know the library, pack the strip.
///
/// # Panics
/// When it does not run, loses a part, or two parts overlap.
pub(crate) fn pack(python: &Path, instance: &Instance, effort: Effort) -> Peer {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(instance.flattened().to_string().as_bytes()).unwrap();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bench/nest/peer.py");
    let run = Command::new(python)
        .arg(script)
        .arg(file.path())
        .args([effort.seconds, effort.seed, effort.threads as u64].map(|n| n.to_string()))
        .output()
        .unwrap_or_else(|error| panic!("{} does not start: {error}", python.display()));
    let said = String::from_utf8_lossy(&run.stdout);
    let peer: Peer = serde_json::from_str(said.lines().last().unwrap_or_default())
        .unwrap_or_else(|_| panic!("{said}{}", String::from_utf8_lossy(&run.stderr)));
    assert_eq!(peer.parts, instance.parts(), "the peer lost parts of {}", instance.name);
    // It rounds the corners it grows by chords and so falls short by some micrometres.
    let min = instance.separation * 0.998 - 1e-6;
    assert!(peer.gap.is_none_or(|gap| gap >= min), "the peer keeps {:?} only", peer.gap);
    peer
}
