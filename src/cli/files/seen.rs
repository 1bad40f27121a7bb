//! Checksums of the files there, each worked out once in a run while the file stays as it was.

use crate::cli::clock::of_day;
use platewright::history::Checksum;
use std::collections::HashMap;
use std::fs::File;
use std::io;
use std::io::Read;
use std::path::Path;
use std::sync::Mutex;
use std::sync::PoisonError;
use std::time::Duration;
use std::time::SystemTime;

/// A file changed so shortly before it was read may be changed once more within one tick of the clock
/// of its disk: then its checksum is not kept. Our choice; two seconds is the coarsest clock in use.
const FRESH: Duration = Duration::from_secs(2);

/// The checksums known, by file and state.
#[derive(Default)]
pub(super) struct Seen(Mutex<HashMap<State, String>>);

/// What becomes different when a file is written to, and not when it is moved.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
struct State {
    /// The disk, and the number of the file on it.
    file: [u64; 2],
    bytes: u64,
    /// When its contents and its entry were changed last, s and ns.
    changed: [(i64, i64); 2],
}

impl State {
    #[cfg(unix)]
    fn of(file: &File) -> Option<Self> {
        use std::os::unix::fs::MetadataExt;
        let there = file.metadata().ok()?;
        Some(Self {
            file: [there.dev(), there.ino()],
            bytes: there.len(),
            changed: [(there.mtime(), there.mtime_nsec()), (there.ctime(), there.ctime_nsec())],
        })
    }

    #[cfg(not(unix))]
    fn of(_: &File) -> Option<Self> {
        None
    }

    /// Whether its last change is so long past that the next one will show.
    fn is_settled(&self, now: SystemTime) -> bool {
        let since = now.duration_since(SystemTime::UNIX_EPOCH).unwrap_or_default();
        let settled = since.saturating_sub(FRESH).as_secs();
        self.changed.iter().all(|(s, _)| u64::try_from(*s).is_ok_and(|s| s < settled))
    }
}

impl Seen {
    /// The checksum of a regular file, read piece by piece: user files may be large.
    pub(super) fn checksum(&self, path: &Path) -> io::Result<String> {
        let (mut file, now) = (File::open(path)?, of_day());
        let state = State::of(&file).filter(|state| state.is_settled(now));
        let known = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(checksum) = state.and_then(|state| known().get(&state).cloned()) {
            return Ok(checksum);
        }
        let (mut checksum, mut piece) = (Checksum::default(), vec![0; 1 << 16]);
        let digits = loop {
            match file.read(&mut piece)? {
                0 => break checksum.digits(),
                n => checksum.add(&piece[..n]),
            }
        };
        if let Some(state) = state {
            known().insert(state, digits.clone());
        }
        Ok(digits)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    fn set_back(path: &Path, by: Duration) {
        let file = File::options().write(true).open(path).expect("it is there");
        file.set_modified(of_day() - by).expect("set");
    }

    /// Written to at the same length and with its time of change set back, a file is read anew.
    #[test]
    fn a_file_that_was_written_to_is_read_anew() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("ear.dxf");
        let seen = Seen::default();
        let sum = |text: &str| {
            fs::write(&path, text).expect("written");
            set_back(&path, Duration::from_secs(60));
            seen.checksum(&path).expect("read")
        };
        let [first, second] = ["ear", "EAR"].map(sum);
        assert_eq!(
            [&first, &second],
            ["ear", "EAR"].map(|t| platewright::history::checksum(t.as_bytes())).each_ref()
        );
        assert_ne!(first, second);
    }

    #[cfg(unix)]
    #[test]
    fn only_what_is_settled_is_known() {
        let state = |s| State { file: [1, 2], bytes: 3, changed: [(5, 0), (s, 0)] };
        let now = SystemTime::UNIX_EPOCH + Duration::from_secs(100);
        let settled = [97, 98, 99, 100, 101].map(|s| state(s).is_settled(now));
        assert_eq!(settled, [true, false, false, false, false]);
    }
}
