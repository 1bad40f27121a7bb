//! What a finding is about: parts and what of them, loads, sheets, links, tubes.
//!
//! Ids are small and independent of shapes: drawings look the feature up in the flat, texts its
//! name. A place that is not a feature is given by its position.

/// A hole of a part: the same in its faces, in its flat and when it is folded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct HoleId {
    /// Index of its face in the part.
    pub face: usize,
    /// Index of the hole in the face.
    pub hole: usize,
}

/// An edge of a part that has a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EdgeId {
    /// Index of its face in the part.
    pub face: usize,
    /// Index of the edge among the named edges of the face.
    pub edge: usize,
}

/// A place of the flat, by the rectangle round it, in whole micrometres of the flat.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Spot {
    /// Lower left corner: x and y.
    pub min: [i64; 2],
    /// Upper right corner: x and y.
    pub max: [i64; 2],
}

/// Something of a part, by its index there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Feature {
    /// A hole.
    Hole(HoleId),
    /// An opening of the flat that no hole is: one of a cut or of a drawing.
    Opening(usize),
    /// A bend.
    Bend(usize),
    /// A face.
    Face(usize),
    /// An edge with a name.
    Edge(EdgeId),
    /// A mark of the flat.
    Mark(usize),
    /// A place of the flat.
    Spot(Spot),
}

/// What a finding is about.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum About {
    /// A part.
    Part {
        /// Its name.
        name: String,
        /// What of it; all of it when there is nothing here.
        features: Vec<Feature>,
    },
    /// A load of the job, by name.
    Load(String),
    /// A sheet of the job, by name.
    Sheet(String),
    /// A link, by name.
    Link(String),
    /// A tube, by name.
    Tube(String),
}

impl About {
    /// A part as a whole.
    pub fn part(name: impl Into<String>) -> Self {
        Self::Part { name: name.into(), features: Vec::new() }
    }
}

/// Adds what a like finding is about. Of a part that is there already only what is new is
/// added; one of which everything is meant stays whole.
pub(super) fn gather(all: &mut Vec<About>, more: Vec<About>) {
    for about in more {
        let About::Part { name, features } = &about else {
            if !all.contains(&about) {
                all.push(about);
            }
            continue;
        };
        let known = all.iter_mut().find_map(|known| match known {
            About::Part { name: of, features } if of == name => Some(features),
            _ => None,
        });
        match known {
            Some(known) if known.is_empty() || features.is_empty() => known.clear(),
            Some(known) => {
                let new = features.iter().filter(|f| !known.contains(f)).copied();
                let new: Vec<Feature> = new.collect();
                known.extend(new);
            }
            None => all.push(about),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_like_findings_are_about_is_gathered_once() {
        let hole = |hole| Feature::Hole(HoleId { face: 0, hole });
        let part = |name: &str, features: &[Feature]| About::Part {
            name: name.into(),
            features: features.to_vec(),
        };
        let mut all = vec![part("a", &[hole(0)])];
        gather(&mut all, vec![part("a", &[hole(0), hole(1)]), part("b", &[hole(0)])]);
        gather(&mut all, vec![About::Load("pull".into()), About::Load("pull".into())]);
        let wanted =
            [part("a", &[hole(0), hole(1)]), part("b", &[hole(0)]), About::Load("pull".into())];
        assert_eq!(all, wanted);
        gather(&mut all, vec![About::part("a")]);
        assert_eq!(all[0], About::part("a"));
    }
}
