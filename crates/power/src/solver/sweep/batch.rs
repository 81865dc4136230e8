//! Many shorts at once, in blocks: as many right sides are solved for together as a block has lanes.

use super::border::Border;
use super::newton::FINE;
use super::ports::{Ports, Work};
use super::residual::{Lanes, Rows};
use super::{Failure, Place, Point, Shorted, Sweep};
use crate::solver::lu::BLOCK;

/// Current of a short, and the items taken as off.
pub type Current = Result<(f64, Vec<usize>), Failure>;

/// What a block of shorts is worked out in.
struct Room {
    /// Right sides, then solutions, then the currents that follow from them.
    x: Vec<Lanes>,
    solve: Vec<Lanes>,
    /// What the shorts draw from the rows: zero between blocks.
    drawn: Vec<Lanes>,
    borders: [Option<Border>; BLOCK],
    works: [Work; BLOCK],
    /// Current of each short; not a number where nothing was found.
    currents: Lanes,
    gaps: Lanes,
}

impl Room {
    fn of(sweep: &Sweep<'_>, places: usize) -> Self {
        Self {
            x: vec![[0.0; BLOCK]; places],
            solve: Vec::new(),
            drawn: vec![[0.0; BLOCK]; sweep.x.len()],
            borders: [None; BLOCK],
            works: std::array::from_fn(|_| Work::of(sweep.loads.len())),
            currents: [f64::NAN; BLOCK],
            gaps: [0.0; BLOCK],
        }
    }
}

impl Sweep<'_> {
    /// Currents of many shorts, each alone, from the first place to the second, with the loads that were
    /// taken as off: as [`Sweep::short`] finds them, without the unknowns of the whole network. `None` when
    /// nothing joins the places.
    pub fn currents(&mut self, pairs: &[(Place, Place)], ohms: f64) -> Vec<Option<Current>> {
        self.ready_ports();
        let mut out = Vec::with_capacity(pairs.len());
        let mut left = Vec::new();
        match &self.ports {
            Some(Some(ports)) => {
                let mut room = Room::of(self, self.x.len());
                for some in pairs.chunks(BLOCK) {
                    self.in_block(ports, &mut room, some, ohms);
                    for side in 0..some.len() {
                        let current = room.currents[side];
                        if room.borders[side].is_some() && !current.is_finite() {
                            left.push(out.len());
                        }
                        out.push(
                            room.borders[side]
                                .map(|_| Ok((current, self.shed_items(&room.works[side]).collect()))),
                        );
                    }
                }
            }
            _ => {
                left.extend(0..pairs.len());
                out.resize(pairs.len(), None);
            }
        }
        for index in left {
            let (a, b) = pairs[index];
            out[index] = self.short(a, b, ohms).map(|found| found.map(|s| (s.current, s.shed)));
        }
        out
    }

    /// Solves many shorts, each alone, from the first place to the second, as [`Sweep::short`] does.
    /// `visit` is told the index of each pair and what was found, in memory that the next one takes over:
    /// `None` when nothing joins the places. Those that need Newton's method come last.
    pub fn each(
        &mut self,
        pairs: &[(Place, Place)],
        ohms: f64,
        mut visit: impl FnMut(usize, Option<Result<&Shorted, Failure>>),
    ) {
        self.ready_ports();
        let mut left: Vec<usize> = Vec::new();
        match &self.ports {
            Some(Some(ports)) if !self.diodes => self.lane(ports, pairs, ohms, 0, &mut left, &mut visit),
            _ => left.extend(0..pairs.len()),
        }
        self.one_by_one(&left, pairs, ohms, visit);
    }

    /// [`Self::each`] with one half of the pairs on a thread of its own. There are two, whatever the
    /// machine, and what each short gives depends on neither.
    pub fn each_on_two(
        &mut self,
        pairs: &[(Place, Place)],
        ohms: f64,
        visit: impl Fn(usize, Option<Result<&Shorted, Failure>>) + Sync,
    ) {
        self.ready_ports();
        let mut left: Vec<usize> = Vec::new();
        match &self.ports {
            Some(Some(ports)) if !self.diodes => {
                let half = pairs.len() / 2;
                let lane = |some: std::ops::Range<usize>| {
                    let mut left = Vec::new();
                    self.lane(ports, &pairs[some.clone()], ohms, some.start, &mut left, &mut &visit);
                    left
                };
                let (first, second) = std::thread::scope(|scope| {
                    let second = scope.spawn(|| lane(half..pairs.len()));
                    (lane(0..half), second.join())
                });
                left.extend(first);
                match second {
                    Ok(second) => left.extend(second),
                    Err(panic) => std::panic::resume_unwind(panic),
                }
            }
            _ => left.extend(0..pairs.len()),
        }
        self.one_by_one(&left, pairs, ohms, visit);
    }

    /// The shorts that no block serves.
    fn one_by_one(
        &mut self,
        some: &[usize],
        pairs: &[(Place, Place)],
        ohms: f64,
        mut visit: impl FnMut(usize, Option<Result<&Shorted, Failure>>),
    ) {
        for &index in some {
            let (a, b) = pairs[index];
            match self.short(a, b, ohms) {
                Some(Ok(found)) => visit(index, Some(Ok(&found))),
                Some(Err(why)) => visit(index, Some(Err(why))),
                None => visit(index, None),
            }
        }
    }

    /// The shorts of some pairs, of which the first has the index `from`; `left` gets those that need
    /// Newton's method.
    fn lane(
        &self,
        ports: &Ports,
        pairs: &[(Place, Place)],
        ohms: f64,
        from: usize,
        left: &mut Vec<usize>,
        visit: &mut impl FnMut(usize, Option<Result<&Shorted, Failure>>),
    ) {
        let rows = Rows::of(self);
        let mut room = Room::of(self, rows.places());
        let mut shorted = Shorted {
            current: 0.0,
            point: Point { x: Vec::new(), fraction: self.fraction },
            steps: 1,
            factored: false,
            shed: Vec::new(),
        };
        for (count, some) in pairs.chunks(BLOCK).enumerate() {
            let first = from + count * BLOCK;
            self.in_block(ports, &mut room, some, ohms);
            let norms = self.solutions(&rows, &mut room);
            for (side, norm) in norms.into_iter().enumerate().take(some.len()) {
                let Some(border) = room.borders[side] else {
                    visit(first + side, None);
                    continue;
                };
                // What is not a number is not fine either.
                let fine = norm < FINE;
                if !fine || self.falls(&room, side) {
                    left.push(first + side);
                    continue;
                }
                shorted.current = room.currents[side];
                let [a, b] = border.ends;
                let drawn = [(a, shorted.current), (b, -shorted.current)];
                self.spread(|at| room.x[at][side], &drawn, &mut shorted.point.x);
                shorted.shed.clear();
                shorted.shed.extend(self.shed_items(&room.works[side]));
                visit(first + side, Some(Ok(&shorted)));
            }
        }
    }

    /// The items of the loads that are taken as off.
    fn shed_items<'s>(&'s self, work: &'s Work) -> impl Iterator<Item = usize> + 's {
        self.loads.iter().zip(&work.off).filter(|(_, off)| **off).map(|(load, _)| load.whole)
    }

    /// Whether a load that is not off gets too little.
    fn falls(&self, room: &Room, side: usize) -> bool {
        self.loads.iter().zip(&room.works[side].off).any(|(load, off)| {
            let (a, b) = load.nodes;
            !off && load.starves(room.x[a][side] - room.x[b][side])
        })
    }

    /// The shorts of a block in the space of the loads.
    fn in_block(&self, ports: &Ports, room: &mut Room, some: &[(Place, Place)], ohms: f64) {
        let Room { x, solve, borders, works, currents, .. } = room;
        let n = self.x.len();
        borders.fill(None);
        currents.fill(f64::NAN);
        x[..n].fill([0.0; BLOCK]);
        for (side, (border, &(a, b))) in borders.iter_mut().zip(some).enumerate() {
            *border = self.border(a, b, ohms);
            for &(row, value) in border.iter().flat_map(|b| b.u.iter()) {
                x[row][side] += value;
            }
        }
        self.factors.solve_block(&self.core.order, &mut x[..n], solve);
        for (side, (border, work)) in borders.iter().zip(works).enumerate() {
            let Some(border) = border else { continue };
            let stiff = border.ohms + border.w.iter().map(|&(at, w)| w * x[at][side]).sum::<f64>();
            for (lowers, load) in work.lowers.iter_mut().zip(&self.loads) {
                *lowers = x[load.nodes.0][side] - x[load.nodes.1][side];
            }
            work.off.fill(false);
            currents[side] = self.in_ports(ports, work, border, stiff).unwrap_or(f64::NAN);
        }
    }

    /// All unknowns of a block of shorts that was solved in the space of the loads, and what is left over of
    /// the network's equations.
    fn solutions(&self, rows: &Rows, room: &mut Room) -> Lanes {
        let Room { x, solve, drawn, borders, works, currents, gaps } = room;
        let n = self.x.len();
        x[..n].fill([0.0; BLOCK]);
        for (side, (border, work)) in borders.iter().zip(&*works).enumerate() {
            let (Some(border), true) = (border, currents[side].is_finite()) else { continue };
            self.drawn(border, currents[side], work, |row, value| x[row][side] += value);
            border.u.iter().for_each(|&(row, value)| drawn[row][side] += value * currents[side]);
        }
        self.factors.solve_block(&self.core.order, &mut x[..n], solve);
        for (lanes, before) in x.iter_mut().zip(&self.x) {
            lanes.iter_mut().for_each(|x| *x = before - *x);
        }
        for (side, border) in borders.iter().enumerate() {
            let across = border.map_or(0.0, |b| b.w.iter().map(|&(at, w)| w * x[at][side]).sum());
            gaps[side] = across - border.map_or(0.0, |b| b.ohms) * currents[side];
        }
        let norms = rows.relative(x, works, currents, gaps, drawn);
        for border in borders.iter().flatten() {
            border.u.iter().for_each(|&(row, _)| drawn[row] = [0.0; BLOCK]);
        }
        norms
    }
}
