//! Two legs of one formed piece in the stack of a joint.

use crate::check;
use crate::geom::Frame;
use crate::geom::Space;
use crate::job::Job;
use crate::joint::Between;
use crate::joint::Bolted;
use crate::joint::Plate;
use crate::solve::joint_places::layers::plates;
use crate::solve::joint_places::meeting::Standing;
use crate::solve::joint_places::meeting::meeting;
use crate::solve::legs;
use crate::solve::solved::Solved;

/// Holes at more than this to each other are not on one axis, degrees. Our choice, that of parts in
/// the machine.
const TILT: f64 = 3.0;

/// Less than this, mm, is rounding.
const ROUNDING: f64 = 1e-6;

/// Two layers of a joint that are two faces of one part.
pub(super) struct Legs<'b> {
    /// The layers.
    pub(super) layers: [usize; 2],
    /// Both as plates.
    pub(super) plates: [&'b Plate; 2],
    /// Whether one bolt goes through both in one piece.
    pub(super) face: bool,
    /// Whether enough is made that they may be two pieces.
    pub(super) may_be_two: bool,
    judged: check::Legs<'b>,
}

impl<'b> Legs<'b> {
    /// As a check looks at them.
    pub(super) fn judged(self) -> check::Legs<'b> {
        self.judged
    }
}

/// The legs of the parts of a joint that are in it twice.
pub(super) fn of<'b>(job: &Job, solved: &[Solved], bolted: &'b Bolted) -> Vec<Legs<'b>> {
    let mut all = Vec::new();
    for (i, one) in plates(bolted) {
        let next = plates(bolted).find(|(j, of)| *j > i && of.part == one.part);
        let Some((j, other)) = next.filter(|(_, of)| of.face != one.face) else { continue };
        let of = solved.iter().find(|of| of.name == one.part);
        all.extend(of.map(|of| both(job, of, bolted, [(i, one), (j, other)])));
    }
    all
}

fn both<'b>(
    job: &Job,
    of: &Solved,
    bolted: &'b Bolted,
    [(i, one), (j, other)]: [(usize, &'b Plate); 2],
) -> Legs<'b> {
    let frame = Frame::default();
    let [first, second] = [one, other].map(|plate| Standing::of(of, &frame, 0, (bolted, plate)));
    let between = &bolted.layers[i + 1..j];
    let range = between.iter().map(Between::range);
    let stack = range.fold([0.0, 0.0], |sum, range| [sum[0] + range[0], sum[1] + range[1]]);
    let meeting = meeting([&first, &second], [0.0, 0.0]);
    let places: Vec<Space> = second.holes().iter().map(|seat| seat.ends[0]).collect();
    let way = first.holes().first().map_or(frame.z, |seat| seat.axis);
    let face = meeting.tilt <= TILT && meeting.off <= meeting.allowed + ROUNDING;
    let may_be_two = one.pieces[0] >= bolted.quantity.saturating_mul(2).max(2);
    Legs {
        layers: [i, j],
        plates: [one, other],
        face,
        may_be_two,
        judged: check::Legs {
            plates: [one, other],
            face,
            may_be_two,
            off: legs::off(of, [one.face, other.face], (&places, way), &job.joints.tables),
            meeting,
            stack,
            is_empty: between.is_empty(),
        },
    }
}
