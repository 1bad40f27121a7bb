//! The text that repeats a search which was cut short.

use platewright::make::Nested;
use std::fmt;
use std::str::FromStr;

/// What repeats a search that was cut short. Written
/// `EFFORT:STAGES,…@SEED`, a pair for each kind of sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Replay {
    /// The effort allowed and the stage at which the search ended, for each kind of sheet.
    kinds: Vec<(u64, u64)>,
    /// The seed of the search.
    pub(super) seed: u64,
}

impl Replay {
    /// What repeats the search for these sheets.
    pub(super) fn of(nested: &Nested) -> Self {
        Self { kinds: nested.searched(), seed: nested.seed() }
    }

    /// The effort allowed, for each kind of sheet.
    pub(super) fn efforts(&self) -> Vec<u64> {
        self.kinds.iter().map(|(effort, _)| *effort).collect()
    }

    /// The stage at which the search ended, for each kind of sheet.
    pub(super) fn stages(&self) -> Vec<u64> {
        self.kinds.iter().map(|(_, stages)| *stages).collect()
    }
}

impl fmt::Display for Replay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let kind = |(effort, stages): &(u64, u64)| format!("{effort}:{stages}");
        let kinds: Vec<String> = self.kinds.iter().map(kind).collect();
        write!(f, "{}@{}", kinds.join(","), self.seed)
    }
}

impl FromStr for Replay {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let read = || {
            let (kinds, seed) = text.split_once('@')?;
            let kind = |kind: &str| {
                let (effort, stages) = kind.split_once(':')?;
                Some((effort.parse().ok()?, stages.parse().ok()?))
            };
            let kinds: Option<Vec<(u64, u64)>> = kinds.split(',').map(kind).collect();
            Some(Self { kinds: kinds?, seed: seed.parse().ok()? })
        };
        read().ok_or("copy the text that the interrupted run printed, such as 9000:12,9000:7@0")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_replay_is_read_as_it_is_written() {
        let replay = Replay { kinds: vec![(1_000_000, 12), (0, 0)], seed: 7 };
        assert_eq!(replay.to_string(), "1000000:12,0:0@7");
        assert_eq!(replay.to_string().parse(), Ok(replay));
        for bad in ["", "@0", "1:2", "1@2", "1:2,@3", "1:2@", "-1:2@0", "1:2 @0"] {
            assert!(bad.parse::<Replay>().is_err(), "{bad}");
        }
    }
}
