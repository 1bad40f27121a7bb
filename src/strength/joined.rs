//! Which pieces of metal a line joins, and their order along the load path.

/// Where a line crosses an outline.
#[derive(Clone, Copy)]
pub(super) struct Crossing {
    /// Along the line, mm.
    pub(super) s: f64,
    pub(super) outline: usize,
    /// Number of the edge, and the share of it.
    pub(super) order: f64,
    /// To the load's side.
    pub(super) rising: bool,
}

/// Intervals of a line in metal, and the pieces of metal on its two sides that they join.
pub(super) struct Graph {
    crossings: Vec<Crossing>,
    /// Of the node 2i behind interval i, and 2i + 1 ahead of it.
    parents: Vec<usize>,
}

/// Intervals that together separate the load from the support.
pub(super) struct Step {
    pub(super) intervals: Vec<usize>,
    pub(super) backwards: bool,
}

impl Graph {
    pub(super) fn new(crossings: Vec<Crossing>) -> Self {
        let parents = (0..crossings.len()).collect();
        Self { crossings, parents }
    }

    fn count(&self) -> usize {
        self.crossings.len() / 2
    }

    pub(super) fn ends(&self, interval: usize) -> [Crossing; 2] {
        [self.crossings[2 * interval], self.crossings[2 * interval + 1]]
    }

    pub(super) fn root(&self, node: usize) -> usize {
        let mut node = node;
        while self.parents[node] != node {
            node = self.parents[node];
        }
        node
    }

    /// The interval that ends at a crossing.
    pub(super) fn interval(&self, crossing: &Crossing) -> Option<usize> {
        let same = |c: &Crossing| c.outline == crossing.outline && c.order == crossing.order;
        self.crossings.iter().position(same).map(|i| i / 2)
    }

    /// The interval nearest to a place along the line.
    pub(super) fn nearest(&self, s: f64) -> Option<usize> {
        let off = |i: &usize| {
            let [from, to] = self.ends(*i);
            (from.s - s).max(s - to.s).max(0.0)
        };
        (0..self.count()).min_by(|a, b| off(a).total_cmp(&off(b)))
    }

    /// Joins the pieces of metal that an outline runs along.
    pub(super) fn join(&mut self, chain: &[Crossing]) {
        for (i, crossing) in chain.iter().enumerate() {
            let next = &chain[(i + 1) % chain.len()];
            let (Some(a), Some(b)) = (self.interval(crossing), self.interval(next)) else {
                continue;
            };
            let ahead = usize::from(crossing.rising);
            self.unite(2 * a + ahead, 2 * b + ahead);
        }
    }

    /// Takes two pieces of metal for one.
    pub(super) fn unite(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.parents[a] = b;
    }

    /// The steps from the load to the support; `None` where the metal branches.
    pub(super) fn steps(&self, load: usize, held: usize) -> Option<Vec<Step>> {
        let mut left: Vec<usize> = (0..self.count()).collect();
        for (blocked, wanted) in [(load, held), (held, load)] {
            let reached = self.reached(&left, wanted, blocked);
            let serves = |i: &usize| {
                [2 * i, 2 * i + 1]
                    .into_iter()
                    .map(|n| self.root(n))
                    .all(|n| n == blocked || reached.contains(&n))
            };
            left.retain(serves);
        }
        let mut steps = Vec::new();
        let mut at = load;
        while at != held {
            let here: Vec<usize> =
                left.iter().copied().filter(|i| self.other(*i, at).is_some()).collect();
            let next = self.other(*here.first()?, at)?;
            if here.iter().any(|i| self.other(*i, at) != Some(next)) {
                return None;
            }
            left.retain(|i| !here.contains(i));
            let backwards = self.root(2 * here[0]) == at;
            steps.push(Step { intervals: here, backwards });
            at = next;
        }
        left.is_empty().then_some(steps)
    }

    /// The piece of metal at the other end of an interval.
    fn other(&self, interval: usize, node: usize) -> Option<usize> {
        let [behind, ahead] = [self.root(2 * interval), self.root(2 * interval + 1)];
        match node {
            _ if behind == ahead => None,
            _ if behind == node => Some(ahead),
            _ if ahead == node => Some(behind),
            _ => None,
        }
    }

    /// The pieces of metal that can be reached from one without passing another.
    fn reached(&self, intervals: &[usize], from: usize, blocked: usize) -> Vec<usize> {
        let mut reached = vec![from];
        let mut i = 0;
        while i < reached.len() {
            let node = reached[i];
            let next = intervals.iter().filter_map(|i| self.other(*i, node));
            let next: Vec<usize> = next.filter(|n| *n != blocked && !reached.contains(n)).collect();
            reached.extend(next);
            i += 1;
        }
        reached.sort_unstable();
        reached.dedup();
        reached
    }
}
