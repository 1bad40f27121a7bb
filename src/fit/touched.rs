//! The bodies a rod end can touch.

use serde::Serialize;
use serde::Serializer;
use std::fmt;

/// The body that stops a rod end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Touched {
    /// Nothing: full travel.
    Nothing,
    /// Its own ball: the limit of the catalogue.
    Ball,
    /// The ear.
    Ear,
    /// The fillet between the ears.
    Weld,
    /// The head of the bolt.
    BoltHead,
    /// The nut of the bolt.
    Nut,
    /// What joins the ears between their foot and the pin.
    Bridge,
    /// The tube below the ears.
    Tube,
    /// The plate below the ears.
    Plate,
}

impl Touched {
    /// Its name in a sentence.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Nothing => "nothing",
            Self::Ball => "ball",
            Self::Ear => "ear",
            Self::Weld => "weld",
            Self::BoltHead => "bolt head",
            Self::Nut => "nut",
            Self::Bridge => "bridge of the ears",
            Self::Tube => "tube below",
            Self::Plate => "plate below",
        }
    }
}

impl fmt::Display for Touched {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl Serialize for Touched {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.word())
    }
}
