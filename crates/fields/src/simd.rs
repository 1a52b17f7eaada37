//! The widest vector instructions of this machine, chosen at run time.
//!
//! Kernels are plain scalar functions without branches. Called in a loop under [`vectorized`] the
//! compiler turns them into vector code for each instruction set. Additions and products are fused where
//! the source says so and nowhere else, so every machine gives the same bits
//! (`prop_same_bits_for_any_instructions`); one without the instruction (made before 2013) is slow.

struct Work<F>(F);

impl<R, F: FnOnce() -> R> pulp::WithSimd for Work<F> {
    type Output = R;
    #[inline(always)]
    fn with_simd<S: pulp::Simd>(self, _simd: S) -> R {
        (self.0)()
    }
}

/// Runs `work` compiled for AVX-512, AVX2 or the target's own instructions, whichever is best here.
///
/// What it calls is compiled so only where it is inlined: kernels are `#[inline(always)]`.
#[inline(always)]
pub fn vectorized<R>(work: impl FnOnce() -> R) -> R {
    #[cfg(test)]
    let arch = tests::arch();
    #[cfg(not(test))]
    let arch = pulp::Arch::new();
    arch.dispatch(Work(work))
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use pulp::Arch;

    use crate::forms::tests::points;
    use crate::steel::{Segment, Steel, SteelBody, SteelShape};
    use crate::{
        ChargedPolygon, Coil, Dipole, Gradient, Gradients, Loop, Magnet, MagnetShape, MeshMagnet,
        MultipoleRing, Points, Poles, Pose, Potential, RingSegment, Solenoid, Source, TriangleMesh,
        Vectors,
    };

    /// Instruction sets of this machine, the plainest first.
    fn archs() -> Vec<Arch> {
        let mut archs = vec![Arch::Scalar];
        #[cfg(target_arch = "x86_64")]
        {
            archs.extend(pulp::x86::V3::try_new().map(Arch::V3));
            archs.extend(pulp::x86::V4::try_new().map(Arch::V4));
        }
        #[cfg(not(target_arch = "x86_64"))]
        archs.push(Arch::new());
        archs
    }

    /// Which of [`archs`] every kernel is to take, from 1; 0 for the best. Kernels that other tests run
    /// meanwhile take it too and must not mind.
    static WANTED: AtomicUsize = AtomicUsize::new(0);

    pub fn arch() -> Arch {
        match WANTED.load(Ordering::SeqCst) {
            0 => Arch::new(),
            number => archs()[number - 1],
        }
    }

    type Case = (&'static str, Box<dyn Fn() -> Vec<f64>>);

    const J: [f64; 3] = [0.3, -0.5, 1.1];
    const HALF: [f64; 3] = [1.0, 0.6, 0.4];

    fn corner_of_a_block() -> Vec<[[f64; 3]; 3]> {
        let [a, b, c, d] = [[0.0; 3], [1.0, 0.0, 0.0], [0.0, 0.7, 0.0], [0.0, 0.0, 0.5]];
        vec![[a, c, b], [a, b, d], [a, d, c], [b, c, d]]
    }

    fn field(name: &'static str, source: impl Source + 'static) -> Case {
        let work = move || {
            let at = points(HALF);
            let mut b = Vectors::zeros(at.len());
            source.add_b(at.points(), b.view_mut());
            [b.x, b.y, b.z].concat()
        };
        (name, Box::new(work))
    }

    fn gradient(name: &'static str, source: impl Gradient + 'static) -> Case {
        let work = move || {
            let at = points(HALF);
            let mut g = Gradients::zeros(at.len());
            source.add_gradient(at.points(), g.view_mut());
            (0..at.len()).flat_map(|i| g.get(i)).flatten().collect()
        };
        (name, Box::new(work))
    }

    fn potential(name: &'static str, source: impl Potential + 'static) -> Case {
        let work = move || {
            let at = points(HALF);
            let Points { x, y, z } = at.points();
            let mut phi = vec![0.0; 10_000];
            let at = Points { x: &x[..10_000], y: &y[..10_000], z: &z[..10_000] };
            source.add_potential(at, &mut phi).unwrap();
            phi
        };
        (name, Box::new(work))
    }

    fn steel(name: &'static str, shape: SteelShape) -> Case {
        let work = move || {
            let (permeability, world_from_body) = (200.0, Pose::IDENTITY);
            let body = SteelBody { shape: shape.clone(), permeability, world_from_body };
            let it = Steel::new(&[body], 300).unwrap();
            let segment = Segment { from: [0.1, 0.2, 2.0], to: [0.5, -0.3, 1.5] };
            let loads = it.loads_of_segments(&[segment]);
            let load: Vec<f64> = (0..it.len()).map(|i| loads[(i, 0)]).collect();
            let sigma = it.solve(&load);
            let at = Vectors::from_rows((0..500).map(|i| points(HALF).get(200 * i)));
            let rows = it.potential_rows(&at);
            let mut all: Vec<f64> = rows.col_iter().flat_map(|c| c.iter().copied()).collect();
            let mut b = Vectors::zeros(at.len());
            it.charged(sigma.clone()).add_b(at.points(), b.view_mut());
            for part in [load, sigma, b.x, b.y, b.z] {
                all.extend(part);
            }
            all
        };
        (name, Box::new(work))
    }

    fn cases() -> Vec<Case> {
        let magnet = |shape, j| Magnet::new(shape, j).unwrap();
        let axial = [0.0, 0.0, 1.2];
        let cuboid = MagnetShape::Cuboid { half_size: HALF };
        let cylinder = MagnetShape::Cylinder { radius: 0.6, half_length: 0.4 };
        let ring = MagnetShape::Ring { inner_radius: 0.3, outer_radius: 0.6, half_length: 0.4 };
        let sphere = MagnetShape::Sphere { radius: 0.6 };
        let segment = RingSegment::new([0.3, 0.6], 0.4, [-0.5, 1.2], J).unwrap();
        let mesh = TriangleMesh::from_triangles(corner_of_a_block()).unwrap();
        let polygon = ChargedPolygon::new(&corner_of_a_block()[3]).unwrap();
        let circle = Loop::new(0.6, 100.0).unwrap();
        let solenoid = Solenoid::new(0.6, 0.4, 100.0).unwrap();
        let dipole = Dipole::new(J).unwrap();
        let poles = MultipoleRing::new([0.3, 0.6], 0.4, 2, Poles::Radial, 1.2).unwrap();
        let plate = SteelShape::Cuboid { half_size: [1.0, 0.6, 0.05] };
        vec![
            field("cuboid", magnet(cuboid, J)),
            field("cuboid along z", magnet(cuboid, axial)),
            field("cylinder", magnet(cylinder, J)),
            field("cylinder along z", magnet(cylinder, axial)),
            field("ring", magnet(ring, J)),
            field("ring along z", magnet(ring, axial)),
            field("sphere", magnet(sphere, J)),
            field("dipole", dipole),
            field("loop", circle),
            field("solenoid", solenoid),
            ("thick coil", few(Coil::new(0.3, 0.6, 0.4, 100.0).unwrap())),
            ("ring segment", few(segment)),
            ("multipole ring", few(poles.clone())),
            ("tetrahedron", few(MeshMagnet::new(mesh.clone(), J).unwrap())),
            gradient("gradient of a cuboid", magnet(cuboid, J)),
            gradient("gradient of a cuboid along z", magnet(cuboid, axial)),
            gradient("gradient of a cylinder", magnet(cylinder, J)),
            gradient("gradient of a cylinder along z", magnet(cylinder, axial)),
            gradient("gradient of a ring", magnet(ring, J)),
            gradient("gradient of a ring along z", magnet(ring, axial)),
            gradient("gradient of a sphere", magnet(sphere, J)),
            gradient("gradient of a dipole", dipole),
            gradient("gradient of a loop", circle),
            gradient("gradient of a solenoid", solenoid),
            potential("potential of a cuboid", magnet(cuboid, J)),
            potential("potential of a cylinder", magnet(cylinder, J)),
            potential("potential of a ring segment", segment),
            potential("potential of a tetrahedron", MeshMagnet::new(mesh, J).unwrap()),
            (
                "solid angle",
                Box::new(move || {
                    let at = points(HALF);
                    (0..10_000).map(|i| polygon.solid_angle(at.get(10 * i))).collect()
                }),
            ),
            steel("steel plate", plate),
            steel("steel disc", SteelShape::Cylinder { radius: 0.8, half_length: 0.05 }),
        ]
    }

    /// Shapes that take microseconds a point, at every tenth point.
    fn few(source: impl Source + 'static) -> Box<dyn Fn() -> Vec<f64>> {
        Box::new(move || {
            let at = points(HALF);
            let at = Vectors::from_rows((0..10_000).map(|i| at.get(10 * i)));
            let mut b = Vectors::zeros(at.len());
            source.add_b(at.points(), b.view_mut());
            [b.x, b.y, b.z].concat()
        })
    }

    /// Every kernel, compiled for every instruction set this machine has, gives the same bits.
    #[test]
    fn prop_same_bits_for_any_instructions() {
        let archs = archs();
        println!("{} instruction sets compared", archs.len());
        for (name, work) in cases() {
            let mut got = (1..=archs.len()).map(|number| {
                WANTED.store(number, Ordering::SeqCst);
                let bits: Vec<u64> = work().into_iter().map(f64::to_bits).collect();
                WANTED.store(0, Ordering::SeqCst);
                bits
            });
            let plain = got.next().unwrap();
            for (arch, bits) in archs[1..].iter().zip(got) {
                let apart = plain.iter().zip(&bits).position(|(a, b)| a != b);
                assert_eq!(apart, None, "{name} differs with {arch:?}");
                assert_eq!(plain.len(), bits.len());
            }
        }
    }
}
