//! Whether a tube with its tabs is its own mirror image, and what the tube of the other hand is.

use crate::cope::Cope;
use crate::fit::Tab;
use crate::job::CopedTube;
use crate::job::ENDS;
use crate::job::Job;
use crate::num;

/// Angles that differ by less are the same, degrees. Our choice.
const SAME_ANGLE: f64 = 0.1;

/// Lengths that differ by less are the same, mm. Our choice.
const SAME_LENGTH: f64 = 0.1;

/// A tube with the tabs on it.
pub(super) struct Tabbed<'a> {
    /// The tube.
    pub(super) tube: CopedTube,
    /// Its tabs, each with the end it is measured from.
    tabs: Vec<(usize, &'a Tab)>,
    /// Whether anything else distinguishes its ends: a cap, a bung, plates, a slot.
    has_fittings: bool,
}

impl<'a> Tabbed<'a> {
    /// A tube of a job with its tabs.
    pub(super) fn new(job: &'a Job, tube: CopedTube) -> Self {
        let own = || job.tube_ends.all.iter().filter(|end| end.tube == tube.name);
        let tabs = own().flat_map(|end| end.tabs.iter().map(|(tab, _)| (end.end, tab))).collect();
        let mut slots = job.lines.iter().flat_map(|line| &line.asked.through);
        let has_fittings = own().next().is_some() || slots.any(|(name, _)| *name == tube.name);
        Self { tube, tabs, has_fittings }
    }

    /// Its copes, each with the direction of its heel, degrees clockwise from that of the start.
    fn copes(&self) -> impl Iterator<Item = (&Cope, f64)> {
        let heels = [0.0, self.tube.twist.degrees()];
        self.tube.ends.iter().zip(heels).filter_map(|(cope, heel)| Some((cope.as_ref()?, heel)))
    }

    /// Whether its mirror image is the same piece.
    pub(super) fn is_own_mirror(&self) -> bool {
        let heels = self.copes().flat_map(|(_, heel)| [heel, heel + 90.0]);
        let clocks = || self.tabs.iter().map(|(_, tab)| tab.clock.degrees());
        let between = clocks().flat_map(|one| clocks().map(move |other| (one + other) / 2.0));
        let mut planes = heels.chain(between).peekable();
        planes.peek().is_none()
            || planes.any(|plane| self.is_plane(plane))
            || self.is_the_same_reversed()
    }

    /// Whether it has nothing but its copes, is not its own mirror image, and is made of one hand.
    pub(super) fn is_bare_of_one_hand(&self, job: &Job) -> bool {
        !self.has_fittings && !self.is_own_mirror() && self.made_of_other_hand(job) == 0
    }

    /// Whether the plane along its axis in this direction is one of symmetry.
    fn is_plane(&self, plane: f64) -> bool {
        let halves = |(cope, heel): (&Cope, f64)| {
            let off = plane - heel;
            (cope.offset().abs() <= SAME_LENGTH && is_same(off, 0.0, 180.0))
                || (is_square(cope) && is_same(off, 90.0, 180.0))
        };
        let is_paired = |(end, tab): &(usize, &Tab)| {
            self.tabs.iter().any(|(other_end, other)| {
                let sum = tab.clock.degrees() + other.clock.degrees();
                is_like([(*end, tab), (*other_end, other)]) && is_same(sum, 2.0 * plane, 360.0)
            })
        };
        self.copes().all(halves) && self.tabs.iter().all(is_paired)
    }

    /// Whether its ends are mirror images of each other, so that it is its own, end for end.
    fn is_the_same_reversed(&self) -> bool {
        let [Some(start), Some(end)] = &self.tube.ends else { return false };
        !self.has_fittings
            && are_other_hands(start, end)
            && is_same(self.tube.twist.degrees(), 0.0, 180.0)
    }

    /// Whether another is its mirror image.
    fn is_other_hand(&self, other: &Self) -> bool {
        let [one, two] = [&self.tube, &other.tube];
        let near = |a: f64, b: f64| (a - b).abs() <= SAME_LENGTH;
        let sizes = near(one.outside, two.outside)
            && near(one.wall, two.wall)
            && near(one.cut_length(), two.cut_length());
        let ends = one.ends.iter().zip(&two.ends).all(|ends| match ends {
            (Some(cope), Some(of_other)) => are_other_hands(cope, of_other),
            (None, None) => true,
            _ => false,
        });
        // A square cope without offset is the same turned by half a turn.
        let turns = |cope: &Cope| is_square(cope) && cope.offset().abs() <= SAME_LENGTH;
        let period = if self.copes().any(|(cope, _)| turns(cope)) { 180.0 } else { 360.0 };
        let both = one.ends.iter().all(Option::is_some);
        let twist = one.twist.degrees() + two.twist.degrees();
        let is_there = |(end, tab): &(usize, &Tab)| {
            other.tabs.iter().any(|(other_end, there)| {
                let sum = tab.clock.degrees() + there.clock.degrees();
                is_like([(*end, tab), (*other_end, there)]) && is_same(sum, 0.0, 360.0)
            })
        };
        sizes
            && ends
            && (!both || is_same(twist, 0.0, period))
            && self.tabs.len() == other.tabs.len()
            && self.tabs.iter().all(is_there)
    }

    /// Pieces of the other hand that the job makes by other entries.
    pub(super) fn made_of_other_hand(&self, job: &Job) -> u32 {
        let links = job.links.iter().filter(|link| link.quantity > 0).map(CopedTube::of_link);
        let others = job.made_tubes().cloned().chain(links);
        let others = others.filter(|tube| tube.name != self.tube.name).map(|t| Tabbed::new(job, t));
        others.filter(|other| self.is_other_hand(other)).map(|other| other.tube.quantity).sum()
    }

    /// How the tube of the other hand differs, a sentence each.
    pub(super) fn differs(&self, job: &Job) -> Vec<String> {
        let degrees = |of: f64| num::text(of, 2);
        let mut all = Vec::new();
        let twist = signed(self.tube.twist.degrees());
        if self.tube.ends.iter().all(Option::is_some) && !is_same(twist, 0.0, 180.0) {
            all.push(format!(
                "twist {}°: the other side needs {}°",
                degrees(twist),
                degrees(-twist)
            ));
        }
        for (name, cope) in ENDS.iter().zip(&self.tube.ends) {
            let offset = cope.as_ref().map_or(0.0, Cope::offset);
            if offset.abs() > SAME_LENGTH {
                let [is, other] = [offset, -offset].map(|mm| job.units.cut_to(mm));
                all.push(format!("offset {is} at the {name}: the other side needs {other}"));
            }
        }
        for (_, tab) in
            self.tabs.iter().filter(|(_, tab)| !is_same(tab.clock.degrees(), 0.0, 180.0))
        {
            let clock = tab.clock.degrees();
            let other = degrees(360.0 - clock);
            all.push(format!(
                "tab {} at {}°: the other side needs {other}°",
                tab.part,
                degrees(clock)
            ));
        }
        all
    }

    /// What is typed for the tube of the other hand, between points or not: its lengths and ends by their values.
    pub(super) fn typed(&self, job: &Job) -> String {
        let (long, degrees) = (|of: f64| job.units.length(of), |of: f64| num::text(signed(of), 2));
        let mut keys = vec![format!("`length = \"{}\"`", long(self.tube.length))];
        if self.tube.ends.iter().all(Option::is_some) {
            keys.push(format!("`twist = \"{} deg\"`", degrees(-self.tube.twist.degrees())));
        }
        for (name, cope) in ENDS.iter().zip(&self.tube.ends) {
            let Some(cope) = cope else { continue };
            let (main, angle) = (long(cope.main()), degrees(cope.angle().degrees()));
            let offset = match cope.offset().abs() > SAME_LENGTH {
                true => format!(", offset = \"{}\"", long(-cope.offset())),
                false => String::new(),
            };
            keys.push(format!(
                "`{name} = {{ main = \"{main}\", angle = \"{angle} deg\"{offset} }}`"
            ));
        }
        keys.join(", ") + &self.typed_tabs()
    }

    /// What is typed for the tabs of the other hand.
    pub(super) fn typed_tabs(&self) -> String {
        let tab = |(end, tab): &(usize, &Tab)| {
            let clock = num::text((360.0 - tab.clock.degrees()).rem_euclid(360.0), 2);
            format!("{} at the {} with `clock = \"{clock} deg\"`", tab.part, ENDS[*end])
        };
        let tabs: Vec<String> = self.tabs.iter().map(tab).collect();
        match tabs.is_empty() {
            true => String::new(),
            false => format!("; and a `[[tube_end]]` for its tabs: {}", tabs.join(", ")),
        }
    }
}

/// Two tabs of one part at one distance from one end.
fn is_like([(end, tab), (other_end, other)]: [(usize, &Tab); 2]) -> bool {
    end == other_end && tab.part == other.part && (tab.at - other.at).abs() <= SAME_LENGTH
}

/// Two copes that are mirror images of each other in the plane of their heels.
fn are_other_hands(one: &Cope, other: &Cope) -> bool {
    (one.main() - other.main()).abs() <= SAME_LENGTH
        && (one.angle().degrees() - other.angle().degrees()).abs() <= SAME_ANGLE
        && (one.offset() + other.offset()).abs() <= SAME_LENGTH
}

/// The axes meet at a right angle: heel and throat are alike.
fn is_square(cope: &Cope) -> bool {
    (90.0 - cope.angle().degrees()).abs() <= SAME_ANGLE
}

/// Whether two angles, in degrees, differ by a multiple of a period.
fn is_same(one: f64, other: f64, period: f64) -> bool {
    let turns = (one - other) / period;
    (turns - turns.round()).abs() * period <= SAME_ANGLE
}

/// An angle in degrees over −180°, at most 180°.
fn signed(degrees: f64) -> f64 {
    let around = degrees.rem_euclid(360.0);
    if around > 180.0 { around - 360.0 } else { around }
}
