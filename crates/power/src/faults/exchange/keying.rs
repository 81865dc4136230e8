//! The smallest re-keying: a colouring of the harmful pairs that changes as little as possible.
//!
//! Exact branch and bound. A vertex is a plug, an edge a pair that must not mate, a colour an arrangement
//! together with the half that carries the pins. Keeping its present colour costs a plug nothing, another
//! arrangement [`ARRANGEMENT`], another gender a little more, and leaving the family (no colour at all)
//! [`LEAVES`]. Which plugs keep their
//! colour is settled first, since it decides the cost; then the next vertex is the one with fewest colours left
//! (D. Brélaz, New methods to color the
//! vertices of a graph, Communications of the ACM 22 (1979), from memory).

/// Cost of another arrangement.
pub const ARRANGEMENT: u64 = 1000;
/// Cost of changing the gender, on top of a change.
pub const GENDER: u64 = 1;
/// Cost of leaving the family.
pub const LEAVES: u64 = 1_000_000;
/// Most steps of the search. Beyond, the best so far is told without the claim that it is the least.
const MOST_STEPS: u64 = 800_000;

/// The question.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// Present colour of every plug: arrangement · genders + gender.
    pub now: Vec<usize>,
    /// Pairs that must not have one colour.
    pub edges: Vec<(usize, usize)>,
    /// Number of arrangements, at least 1.
    pub arrangements: usize,
    /// Number of genders: 2, or 1 where both halves are alike.
    pub genders: usize,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Colour of every plug; `None`: it leaves the family.
    pub colours: Vec<Option<usize>>,
    /// Its cost.
    pub cost: u64,
    /// The search went to its end: nothing is cheaper.
    pub least: bool,
}

impl Question {
    /// Cost of a colour for a plug.
    pub fn cost(&self, plug: usize, colour: Option<usize>) -> u64 {
        match colour {
            None => LEAVES,
            Some(c) if c == self.now[plug] => 0,
            Some(c) if c % self.genders == self.now[plug] % self.genders => ARRANGEMENT,
            Some(_) => ARRANGEMENT + GENDER,
        }
    }

    /// Answers it, one connected piece of the graph after another.
    pub fn answer(&self) -> Answer {
        let n = self.now.len();
        let mut around = vec![Vec::new(); n];
        for &(a, b) in self.edges.iter().filter(|(a, b)| a != b) {
            around[a].push(b);
            around[b].push(a);
        }
        for near in &mut around {
            near.sort_unstable();
            near.dedup();
        }
        let mut answer =
            Answer { colours: self.now.iter().map(|&c| Some(c)).collect(), cost: 0, least: true };
        let mut seen = vec![false; n];
        for start in 0..n {
            if seen[start] {
                continue;
            }
            let mut piece = vec![start];
            seen[start] = true;
            let mut at = 0;
            while at < piece.len() {
                for &next in &around[piece[at]] {
                    if !seen[next] {
                        seen[next] = true;
                        piece.push(next);
                    }
                }
                at += 1;
            }
            let mut search = Search::of(self, &around, piece);
            search.step(0);
            answer.least &= search.steps < MOST_STEPS;
            answer.cost += search.best_cost;
            for (&v, &c) in search.piece.iter().zip(&search.best) {
                answer.colours[v] = c;
            }
        }
        answer
    }
}

struct Search<'a> {
    question: &'a Question,
    around: &'a [Vec<usize>],
    piece: Vec<usize>,
    colours: usize,
    /// Set colour of every vertex of the graph: `None` not yet, `Some(None)` left.
    set: Vec<Option<Option<usize>>>,
    /// Vertices of which only is known that they do not keep their colour.
    moved: Vec<bool>,
    /// How many neighbours of a vertex have each colour.
    taken: Vec<Vec<u32>>,
    /// How many of the piece have each colour, or are not set and would like to keep it.
    used: Vec<u32>,
    best: Vec<Option<usize>>,
    best_cost: u64,
    steps: u64,
}

impl<'a> Search<'a> {
    fn of(question: &'a Question, around: &'a [Vec<usize>], piece: Vec<usize>) -> Self {
        let n = question.now.len();
        let colours = question.arrangements * question.genders;
        let mut used = vec![0; colours];
        for &v in &piece {
            used[question.now[v]] += 1;
        }
        Self {
            question,
            around,
            colours,
            set: vec![None; n],
            moved: vec![false; n],
            taken: vec![vec![0; colours]; n],
            used,
            best: vec![None; piece.len()],
            best_cost: LEAVES * piece.len() as u64,
            piece,
            steps: 0,
        }
    }

    fn free(&self, v: usize, colour: usize) -> bool {
        self.taken[v][colour] == 0 && !(self.moved[v] && colour == self.question.now[v])
    }

    /// Not yet set, and it may still keep its colour.
    fn may_keep(&self, v: usize) -> bool {
        self.set[v].is_none() && self.free(v, self.question.now[v])
    }

    /// The vertex with most neighbours that would like to keep the same colour: which of them do is
    /// settled first, because that is what costs.
    fn contested(&self) -> Option<usize> {
        let rivals = |v: usize| {
            let same = |u: &&usize| self.question.now[**u] == self.question.now[v] && self.may_keep(**u);
            self.around[v].iter().filter(same).count()
        };
        let open = self.piece.iter().copied().filter(|&v| self.may_keep(v));
        open.map(|v| (rivals(v), v))
            .filter(|(n, _)| *n > 0)
            .max_by_key(|&(n, v)| (n, usize::MAX - v))
            .map(|c| c.1)
    }

    /// The least that the vertices not yet set can cost.
    fn bound(&self) -> u64 {
        let open: Vec<usize> = self.piece.iter().copied().filter(|&v| self.set[v].is_none()).collect();
        let keeps = |v: usize| self.free(v, self.question.now[v]);
        let any = |v: usize| (0..self.colours).any(|c| self.free(v, c));
        let mut sum: u64 = open
            .iter()
            .map(|&v| {
                if keeps(v) {
                    0
                } else if any(v) {
                    ARRANGEMENT
                } else {
                    LEAVES
                }
            })
            .sum();
        // Of a clique of those that would keep one colour only one can; of any clique only as many as
        // there are colours can stay.
        let mut alone = vec![false; self.set.len()];
        for &v in &open {
            if alone[v] {
                continue;
            }
            alone[v] = true;
            let mut clique = vec![v];
            for &u in &self.around[v] {
                let fits = self.set[u].is_none()
                    && !alone[u]
                    && clique.iter().all(|&c| self.around[c].binary_search(&u).is_ok());
                if fits {
                    alone[u] = true;
                    clique.push(u);
                }
            }
            let stays = clique.iter().filter(|&&u| any(u)).count();
            let offers = (0..self.colours).filter(|&c| clique.iter().any(|&u| self.free(u, c))).count();
            let leave = stays.saturating_sub(offers) as u64;
            let mut keepers = vec![0u64; self.colours];
            for &u in clique.iter().filter(|&&u| keeps(u)) {
                keepers[self.question.now[u]] += 1;
            }
            let change: u64 = keepers.iter().map(|k| k.saturating_sub(1)).sum();
            let genders = self.question.genders;
            let turned: u64 = (0..genders)
                .map(|g| {
                    let own = clique.iter().filter(|&&u| self.question.now[u] % genders == g).count();
                    let offers = (g..self.colours)
                        .step_by(genders)
                        .filter(|&c| clique.iter().any(|&u| self.free(u, c)))
                        .count();
                    own.saturating_sub(offers) as u64
                })
                .sum();
            // Those that leave may be the ones counted as changing.
            sum += leave * (LEAVES - ARRANGEMENT)
                + change.saturating_sub(leave) * ARRANGEMENT
                + turned.saturating_sub(leave) * GENDER;
        }
        sum
    }

    fn step(&mut self, cost: u64) {
        self.steps += 1;
        if self.steps >= MOST_STEPS || cost + self.bound() >= self.best_cost {
            return;
        }
        if let Some(v) = self.contested() {
            let keep = Some(self.question.now[v]);
            self.used[self.question.now[v]] -= 1;
            self.put(v, keep, true);
            self.step(cost);
            self.put(v, keep, false);
            self.used[self.question.now[v]] += 1;
            self.moved[v] = true;
            self.step(cost);
            self.moved[v] = false;
            return;
        }
        let open = self.piece.iter().copied().filter(|&v| self.set[v].is_none());
        let next = open.min_by_key(|&v| {
            let left = (0..self.colours).filter(|&c| self.free(v, c)).count();
            (left, usize::MAX - self.around[v].len(), v)
        });
        let Some(v) = next else {
            self.best_cost = cost;
            self.best = self.piece.iter().map(|&v| self.set[v].flatten()).collect();
            return;
        };
        self.used[self.question.now[v]] -= 1;
        for colour in self.choices(v) {
            self.put(v, colour, true);
            self.step(cost + self.question.cost(v, colour));
            self.put(v, colour, false);
        }
        self.used[self.question.now[v]] += 1;
    }

    /// What a vertex may become, cheapest first. Colours that nobody has or would like to keep are
    /// alike within a gender: one of each stands for all.
    fn choices(&self, v: usize) -> Vec<Option<usize>> {
        let genders = self.question.genders;
        let mut fresh = vec![false; genders];
        let mut some: Vec<Option<usize>> = (0..self.colours)
            .filter(|&c| self.free(v, c))
            .filter(|&c| {
                let new = self.used[c] == 0 && c != self.question.now[v];
                !new || !std::mem::replace(&mut fresh[c % genders], true)
            })
            .map(Some)
            .collect();
        some.push(None);
        some.sort_by_key(|&c| (self.question.cost(v, c), c));
        some
    }

    fn put(&mut self, v: usize, colour: Option<usize>, on: bool) {
        self.set[v] = on.then_some(colour);
        if let Some(c) = colour {
            let count = |n: &mut u32| if on { *n += 1 } else { *n -= 1 };
            count(&mut self.used[c]);
            for &u in &self.around[v] {
                count(&mut self.taken[u][c]);
            }
        }
    }
}
