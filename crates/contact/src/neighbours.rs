//! Contacts beside each other, which share their flux.

use crate::circuit::{Circuit, CircuitError, Outside, between, join};
use crate::section;
use faer::linalg::solvers::Solve;
use faer::{Col, Mat};
use reedmace_fields::steel::Segment;
use reedmace_fields::{MU_0, Pose, Source};
use reedmace_units::Quantity;
use std::ops::Range;

/// One of several contacts: its circuits with open and with closed gap, and its frame in the world. Steel beside
/// them, if any, is the same for all.
#[derive(Debug, Clone, Copy)]
pub struct Neighbour<'a> {
    /// Its circuit with open gap.
    pub open: &'a Circuit,
    /// Its circuit with closed gap.
    pub closed: &'a Circuit,
    /// Contact frame in the world.
    pub world_from_contact: Pose,
}

/// How the gap flux of each contact changes by the others beside it, whichever of them are closed.
///
/// Every tube of a contact raises the potential at the tubes of all others, so P gets blocks between the contacts
/// (and where steel stands beside them, what it makes of one contact's flux at the other). The balance
/// `(Y + Sᵀ P⁻¹ S) U = Sᵀ P⁻¹ U_ext + J` of all contacts together is that of [`Circuit`]. It is solved once with
/// all gaps open; the pairs of segments that face each other across the gaps are its ports. A closed gap adds
/// permeance between the two sides of its ports: with Z the port impedances and v the port potentials,
/// `(1 + Z ΔG) v = v_open`, exact for any set of closed gaps.
///
/// What is told is a difference: the flux beside the others less that of the same equations without them. It is
/// added to the flux of the contact's own kernel, so a contact alone keeps its kernel to the last bit. The gap's
/// width enters the tubes of the overlap and its transverse area as if all gaps were open, which changes the
/// difference by less than a per cent of it.
///
/// Source: reciprocity and elimination as in `[harrington1968]`. Accuracy: the states told from the ports against
/// the whole system solved for each, `prop_ports_tell_what_a_solve_tells`; against finite elements `cross_fem_pair`.
#[derive(Debug)]
pub struct Neighbours {
    together: System,
    alone: Vec<System>,
}

/// What sources do to the ports of all contacts.
#[derive(Debug, Clone)]
pub struct Potentials {
    together: Vec<f64>,
    alone: Vec<Vec<f64>>,
}

impl Neighbours {
    /// Solves the contacts together and each alone.
    ///
    /// # Errors
    /// [`CircuitError::Singular`] when their equations have no finite solution: two in the same place.
    pub fn new(contacts: &[Neighbour<'_>]) -> Result<Self, CircuitError> {
        let alone = contacts.iter().map(|one| System::new(std::slice::from_ref(one)));
        Ok(Self { alone: alone.collect::<Result<_, _>>()?, together: System::new(contacts)? })
    }

    /// How many ports there are, for sums of [`Potentials`].
    pub fn nothing(&self) -> Potentials {
        Potentials {
            together: vec![0.0; self.together.z.nrows()],
            alone: self.alone.iter().map(|one| vec![0.0; one.z.nrows()]).collect(),
        }
    }

    /// Adds what `sources` do, the same source as seen from the frame of each contact, to `sum`.
    pub fn add(&self, contacts: &[&Circuit], sources: &[&dyn Source], sum: &mut Potentials) {
        let outside: Vec<Outside> =
            contacts.iter().zip(sources).map(|(one, source)| one.outside(*source)).collect();
        self.together.add(&outside, &mut sum.together);
        for (k, alone) in self.alone.iter().enumerate() {
            alone.add(&outside[k..=k], &mut sum.alone[k]);
        }
    }

    /// What the others add to the gap flux of each contact, Wb, with these contacts `closed`.
    pub fn added(&self, closed: &[bool], potentials: &Potentials) -> Vec<f64> {
        let together = self.together.fluxes(closed, &potentials.together);
        let alone = self.alone.iter().zip(&potentials.alone).enumerate();
        alone
            .zip(together)
            .map(|((k, (one, potentials)), flux)| flux - one.fluxes(&closed[k..=k], potentials)[0])
            .collect()
    }
}

/// The equations of some contacts, eliminated to their ports.
#[derive(Debug)]
struct System {
    /// Ports of each contact.
    ports: Vec<Range<usize>>,
    /// Potential across each port of unit flux sent across each, all gaps open, A/Wb.
    z: Mat<f64>,
    /// Potential across each port by the outside potential at each tube of all contacts.
    of_potential: Mat<f64>,
    /// The same by B_z at each tube of all overlaps, A/T.
    of_normal: Mat<f64>,
    /// Permeance of the gap at each port, open and closed, H.
    gap: Vec<[f64; 2]>,
    /// What a closed gap adds to the permeance between the two sides of a port, gap and fringe, H.
    added: Vec<f64>,
}

impl System {
    fn new(contacts: &[Neighbour<'_>]) -> Result<Self, CircuitError> {
        let tubes = stretches(contacts.iter().map(|one| one.open.tubes.len()));
        let nodes = stretches(contacts.iter().map(|one| one.open.segments.len()));
        let ports = stretches(contacts.iter().map(|one| one.open.facing.len()));
        let (n_air, n, n_ports) = (last(&tubes), last(&nodes), last(&ports));

        let mut air = Mat::<f64>::zeros(n_air, n_air);
        // B_z in the overlaps of all fluxes through the air but a contact's own.
        let mut facing = Mat::<f64>::zeros(n_ports, n_air);
        for (i, at) in contacts.iter().enumerate() {
            for (j, of) in contacts.iter().enumerate() {
                let own = i == j;
                let (mut p, mut b) = if own {
                    let tubes = at.open.tubes.len();
                    (at.open.coefficients.clone(), Mat::zeros(at.open.facing.len(), tubes))
                } else {
                    across(at, of)
                };
                if let (Some(here), Some(there)) = (&at.open.beside, &of.open.beside) {
                    let (potential, normal) = here.answer_to(there);
                    p += potential;
                    b += normal;
                }
                let [rows, columns] = [&tubes[i], &tubes[j]];
                air.submatrix_mut(rows.start, columns.start, rows.len(), columns.len())
                    .copy_from(&p);
                let rows = &ports[i];
                facing
                    .submatrix_mut(rows.start, columns.start, rows.len(), columns.len())
                    .copy_from(&b);
            }
        }
        let air = air.partial_piv_lu();
        let exchange = air.solve(Mat::<f64>::identity(n_air, n_air)); // P⁻¹

        // The tube of each node and its share of it; both nodes of each port.
        let mut node = Vec::with_capacity(n);
        let mut sides = Vec::with_capacity(n_ports);
        let (mut gap, mut added, mut transverse) = (Vec::new(), Vec::new(), Vec::new());
        for (k, one) in contacts.iter().enumerate() {
            let circuit = one.open;
            let shared: Vec<usize> =
                circuit.facing.iter().map(|&(left, _)| circuit.segments[left].tube).collect();
            node.extend(circuit.segments.iter().map(|s| {
                (tubes[k].start + s.tube, if shared.contains(&s.tube) { 0.5 } else { 1.0 })
            }));
            let [open, closed] = [one.open.geometry(), one.closed.geometry()];
            let count = circuit.facing.len() as f64;
            let fringe = [open, closed].map(|g| MU_0 * section::fringe(g) / count);
            for &(left, right) in &circuit.facing {
                sides.push((nodes[k].start + left, nodes[k].start + right));
                let length = circuit.segments[left].length;
                let permeance =
                    [open, closed].map(|g| MU_0 * g.blade_width.si() * length / g.gap.si());
                gap.push(permeance);
                added.push(permeance[1] + fringe[1] - permeance[0] - fringe[0]);
                transverse.push(section::transverse_area(open) / count);
            }
        }
        let mut balance =
            Mat::from_fn(n, n, |i, j| node[i].1 * node[j].1 * exchange[(node[i].0, node[j].0)]);
        let mut port = 0;
        for (k, one) in contacts.iter().enumerate() {
            let circuit = one.open;
            let iron = MU_0 * circuit.geometry().permeability.si();
            let per_blade = circuit.segments.len() / 2;
            for blade in [0, per_blade] {
                for i in blade..blade + per_blade - 1 {
                    let joined = between(&circuit.segments[i], &circuit.segments[i + 1]);
                    join(&mut balance, nodes[k].start + i, nodes[k].start + i + 1, iron * joined);
                }
            }
            let fringe = MU_0 * section::fringe(circuit.geometry()) / circuit.facing.len() as f64;
            for _ in &circuit.facing {
                let (left, right) = sides[port];
                join(&mut balance, left, right, gap[port][0] + fringe);
                port += 1;
            }
        }
        let injected = &facing * &exchange;
        for (p, &(left, right)) in sides.iter().enumerate() {
            for (j, &(tube, share)) in node.iter().enumerate() {
                let flux = transverse[p] * injected[(p, tube)] * share;
                balance[(left, j)] -= flux;
                balance[(right, j)] += flux;
            }
        }
        let balance = balance.partial_piv_lu();

        let mut between_sides = Mat::<f64>::zeros(n, n_ports);
        for (p, &(left, right)) in sides.iter().enumerate() {
            between_sides[(left, p)] = 1.0;
            between_sides[(right, p)] = -1.0;
        }
        let adjoint = balance.solve_transpose(&between_sides);
        let difference = |p: usize, q: usize| adjoint[(sides[q].0, p)] - adjoint[(sides[q].1, p)];
        let z = Mat::from_fn(n_ports, n_ports, difference);
        let of_normal = Mat::from_fn(n_ports, n_ports, |p, q| transverse[q] * difference(p, q));
        let mut gathered = Mat::<f64>::zeros(n_air, n_ports);
        for (i, &(tube, share)) in node.iter().enumerate() {
            for p in 0..n_ports {
                gathered[(tube, p)] += share * adjoint[(i, p)];
            }
        }
        gathered -= facing.transpose() * of_normal.transpose();
        let of_potential = air.solve_transpose(&gathered).transpose().to_owned();
        let finite = |m: &Mat<f64>| (0..m.ncols()).all(|j| m.col(j).iter().all(|x| x.is_finite()));
        if !finite(&of_potential) || !finite(&z) {
            return Err(CircuitError::Singular);
        }
        Ok(Self { ports, z, of_potential, of_normal, gap, added })
    }

    /// Adds the potentials across the ports, all gaps open, of what is outside each contact.
    fn add(&self, outside: &[Outside], sum: &mut [f64]) {
        let stack = |part: &dyn Fn(&Outside) -> Vec<f64>| -> Col<f64> {
            let all: Vec<f64> = outside.iter().flat_map(part).collect();
            Col::from_fn(all.len(), |i| all[i])
        };
        let potential = stack(&|one| one.potential.iter().copied().collect());
        let normal = stack(&|one| one.normal.iter().copied().collect());
        let told = &self.of_potential * potential + &self.of_normal * normal;
        sum.iter_mut().zip(told.iter()).for_each(|(sum, one)| *sum += one);
    }

    /// Gap flux of each contact from the potentials across the ports with all gaps open, Wb.
    fn fluxes(&self, closed: &[bool], open: &[f64]) -> Vec<f64> {
        let mut is_closed = vec![false; open.len()];
        for (ports, closed) in self.ports.iter().zip(closed) {
            is_closed[ports.clone()].fill(*closed);
        }
        let n = open.len();
        let system = Mat::from_fn(n, n, |p, q| {
            let added = if is_closed[q] { self.z[(p, q)] * self.added[q] } else { 0.0 };
            added + if p == q { 1.0 } else { 0.0 }
        });
        let across = system.partial_piv_lu().solve(&Col::from_fn(n, |p| open[p]));
        let flux = |ports: &Range<usize>| {
            ports.clone().map(|p| self.gap[p][usize::from(is_closed[p])] * across[p]).sum()
        };
        self.ports.iter().map(flux).collect()
    }
}

/// Potential at each tube of `at` (A/Wb) and B_z at each tube of its overlap (T/Wb) of unit flux that leaves each
/// tube of `of`: of a line of charge on the middle of the other's blade.
fn across(at: &Neighbour<'_>, of: &Neighbour<'_>) -> (Mat<f64>, Mat<f64>) {
    let to_at = at.world_from_contact.inverse() * of.world_from_contact;
    let (tubes, overlap) = of.open.tubes();
    let segments: Vec<Segment> = tubes
        .iter()
        .enumerate()
        .map(|(k, tube)| {
            let height = if overlap.contains(&k) { 0.0 } else { of.open.height(tube.x) };
            let end = |s: f64| to_at.apply([tube.x + s * tube.length, 0.0, height]);
            Segment { from: end(-0.5), to: end(0.5) }
        })
        .collect();
    let (tubes, overlap) = at.open.tubes();
    let middle = |k: usize| {
        let height = if overlap.contains(&k) { 0.0 } else { at.open.height(tubes[k].x) };
        [tubes[k].x, 0.0, height]
    };
    let potential =
        Mat::from_fn(tubes.len(), segments.len(), |i, j| segments[j].potential(middle(i)) / MU_0);
    let normal = Mat::from_fn(overlap.len(), segments.len(), |p, j| {
        segments[j].h([tubes[overlap.start + p].x, 0.0, 0.0])[2]
    });
    (potential, normal)
}

/// Stretches of these lengths one after another.
fn stretches(lengths: impl Iterator<Item = usize>) -> Vec<Range<usize>> {
    let mut from = 0;
    let next = |length: usize| {
        let stretch = from..from + length;
        from = stretch.end;
        stretch
    };
    lengths.map(next).collect()
}

fn last(stretches: &[Range<usize>]) -> usize {
    stretches.last().map_or(0, |stretch| stretch.end)
}
