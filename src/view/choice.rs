//! From where most is seen of a part.

use crate::geom::Space;
use crate::view::camera::Camera;
use crate::view::skin::Sight;
use crate::view::skin::Skin;

/// Sine under which a face is seen well enough. Our choice.
const WELL: f64 = 0.35;

/// Weights of the criteria: that no face is seen edge-on, that letters of holes are visible, that
/// some of every face is visible. Our choice, like the penalties of an unusual direction or one
/// from below.
const EDGE_ON: f64 = 4.0;
const LETTERS: f64 = 2.0;
const FACES: f64 = 3.0;
const UNUSUAL: f64 = 0.35;
const BELOW: f64 = 0.25;

/// Places on a part of which as many as possible should be visible.
#[derive(Clone, Debug, Default)]
pub(crate) struct Spots {
    /// For each face its normal, out of the top side, and places on it: on the top side and on the
    /// bottom side.
    pub(crate) faces: Vec<(Space, Vec<[Space; 2]>)>,
    /// For each hole places on its edge: on the top side and on the bottom side, with the normal
    /// of the top side.
    pub(crate) holes: Vec<(Space, Vec<[Space; 2]>)>,
}

/// The share of places that are visible, on the side of the sheet that faces the viewer.
pub(crate) fn share(sight: &Sight, normal: Space, places: &[[Space; 2]]) -> f64 {
    let side = usize::from(sight.camera.faces(normal) < 0.0);
    let seen = places.iter().filter(|place| !sight.hides(place[side])).count();
    seen as f64 / places.len().max(1) as f64
}

/// The best of all directions; of equal ones the first.
pub(crate) fn best(skin: &Skin, spots: &Spots) -> Camera {
    let mut best: Option<(f64, Camera)> = None;
    for (i, camera) in Camera::all().into_iter().enumerate() {
        let worth = worth(skin, spots, camera) - if i < 8 { 0.0 } else { UNUSUAL };
        if best.is_none_or(|(most, _)| worth > most + 1e-9) {
            best = Some((worth, camera));
        }
    }
    best.map_or_else(|| Camera::towards([1.0, -1.0, 1.0]), |(_, camera)| camera)
}

fn worth(skin: &Skin, spots: &Spots, camera: Camera) -> f64 {
    let sight = Sight::new(skin, camera);
    let edge_on = spots.faces.iter().map(|(normal, _)| camera.faces(*normal).abs());
    let edge_on = edge_on.fold(WELL, f64::min) / WELL;
    let of = |all: &[(Space, Vec<[Space; 2]>)], worth: &dyn Fn(f64) -> f64| {
        let sum: f64 =
            all.iter().map(|(normal, places)| worth(share(&sight, *normal, places))).sum();
        sum / all.len().max(1) as f64
    };
    let holes = of(&spots.holes, &|share| if share > 0.5 { 1.0 } else { share });
    // The square root: something of every face is worth more than all of some.
    let faces = of(&spots.faces, &f64::sqrt);
    let below = if camera.near[2] < 0.0 { BELOW } else { 0.0 };
    EDGE_ON * edge_on + LETTERS * holes + FACES * faces - below
}
