//! A tube that is cut out of the formed part, and a face without it.

use crate::diag::Span;
use crate::geom::Outline;
use crate::geom::RegionError;
use crate::part::edges::common;
use crate::part::edges::surviving;
use crate::part::face::Cope;
use crate::part::face::Face;
use crate::part::face::Weld;
use crate::part::left;

/// A round tube, endless both ways, that is cut out of the formed part. Lengths are mm.
#[derive(Clone, Debug)]
pub struct Tube {
    /// A point of its axis: x and y in the drawing of a face, z above its top side.
    pub at: [f64; 3],
    /// Direction of the axis, of length 1.
    pub along: [f64; 3],
    /// Radius of the cut: half the outside diameter and the clearance.
    pub radius: f64,
    /// Outside diameter.
    pub outside: f64,
    /// Index of that face.
    pub face: usize,
    /// Name of the edges that are cut.
    pub edge: Option<String>,
    /// Leg of a fillet on each of them.
    pub leg: Option<f64>,
    /// Whether it is cut.
    pub cut: bool,
    /// Whether it met metal when it was cut.
    pub met: bool,
    /// Its entry in the recipe.
    pub span: Span,
}

impl Tube {
    /// The same on the other hand of the part.
    pub(super) fn mirrored(&self) -> Self {
        let over = |[x, y, z]: [f64; 3]| [-x, y, z];
        Self { at: over(self.at), along: over(self.along), ..self.clone() }
    }
}

/// A face without a tube.
pub(crate) struct Coped {
    /// The face.
    pub(crate) face: Face,
    /// For each edge of the whole face, the remaining pieces: indices of the edges of this one.
    pub(crate) edges: Vec<Vec<usize>>,
}

impl Face {
    /// The face without a tube; `None` if the tube misses it.
    ///
    /// # Errors
    /// When nothing is left, or it is cut into pieces.
    pub(crate) fn without_tube(
        &self,
        tool: &Outline,
        cope: Cope,
        tube: &Tube,
    ) -> Result<Option<Coped>, RegionError> {
        if self.blank.bounds().distance(&tool.bounds()) > 0.0 {
            return Ok(None);
        }
        let blank = match self.blank.without(tool) {
            Err(RegionError::Misses) => return Ok(None),
            other => other?,
        };
        let (mut edges, mut indices) = (Vec::new(), Vec::new());
        for edge in &self.edges {
            let left = surviving(edge, &blank);
            indices.push((edges.len()..edges.len() + left.len()).collect());
            edges.extend(left);
        }
        let stretches = common(&blank, tool);
        let seam = tube.leg.zip(tube.edge.clone()).filter(|_| !stretches.is_empty());
        let seam = seam.map(|(leg, edge)| Weld {
            edge,
            stretches,
            sides: 2,
            all_round: false,
            leg: Some(leg),
            room: None,
            note: String::new(),
            span: tube.span,
            depends: Vec::new(),
        });
        let welds = self.welds.iter().filter_map(|weld| left::weld(weld, &blank));
        let face = Self {
            arcs: self.arcs.iter().flat_map(|arc| surviving(arc, &blank)).collect(),
            welds: welds.chain(seam).collect(),
            bevels: self.bevels.iter().filter_map(|bevel| left::bevel(bevel, &blank)).collect(),
            copes: self.copes.iter().copied().chain([cope]).collect(),
            edges,
            blank,
            ..self.clone()
        };
        Ok(Some(Coped { face, edges: indices }))
    }
}
