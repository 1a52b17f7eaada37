//! B of one source at many points, as a filter: f64 x, y, z (m) from standard input, Bx, By, Bz (T) to
//! standard output, all little-endian.
//!
//! Run: `field SHAPE NUMBERS... < points > fields`, the numbers in m, T, A, rad or A·m²:
//!
//! | shape | numbers |
//! |---|---|
//! | `cuboid` | three half sizes, polarization |
//! | `cylinder` | radius, half length, polarization |
//! | `ring` | inner and outer radius, half length, polarization |
//! | `segment` | inner and outer radius, half length, two angles, polarization |
//! | `sphere` | radius, polarization |
//! | `mesh` | nine for each triangle, then polarization |
//! | `loop` | radius, current |
//! | `dipole` | moment |

use std::error::Error;
use std::io::{Read, Write, stdin, stdout};

use reedmace_fields::{
    Dipole, Loop, Magnet, MagnetShape, MeshMagnet, RingSegment, Source, TriangleMesh, Vectors,
};

fn source(shape: &str, numbers: &[f64]) -> Result<Box<dyn Source>, Box<dyn Error>> {
    // What is polarized ends with its polarization.
    let (sizes, j) = match numbers {
        [sizes @ .., x, y, z] => (sizes, [*x, *y, *z]),
        _ => (numbers, [0.0; 3]),
    };
    let magnet = |shape| Magnet::new(shape, j).map(Box::new);
    Ok(match (shape, sizes) {
        ("cuboid", &[x, y, z]) => magnet(MagnetShape::Cuboid { half_size: [x, y, z] })?,
        ("cylinder", &[radius, half_length]) => {
            magnet(MagnetShape::Cylinder { radius, half_length })?
        }
        ("ring", &[inner_radius, outer_radius, half_length]) => {
            magnet(MagnetShape::Ring { inner_radius, outer_radius, half_length })?
        }
        ("segment", &[inner, outer, half_length, from, to]) => {
            Box::new(RingSegment::new([inner, outer], half_length, [from, to], j)?)
        }
        ("sphere", &[radius]) => magnet(MagnetShape::Sphere { radius })?,
        ("mesh", corners) if corners.len() % 9 == 0 => {
            let corner = |c: &[f64]| [c[0], c[1], c[2]];
            let triangle = |t: &[f64]| [corner(t), corner(&t[3..]), corner(&t[6..])];
            let triangles = corners.chunks_exact(9).map(triangle).collect();
            Box::new(MeshMagnet::new(TriangleMesh::from_triangles(triangles)?, j)?)
        }
        ("dipole", &[]) => Box::new(Dipole::new(j)?),
        ("loop", _) if numbers.len() == 2 => Box::new(Loop::new(numbers[0], numbers[1])?),
        _ => return Err(format!("no source is a {shape} of {} numbers", numbers.len()).into()),
    })
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut words = std::env::args().skip(1);
    let shape = words.next().ok_or("a shape is wanted")?;
    let numbers: Vec<f64> = words.map(|word| word.parse()).collect::<Result<_, _>>()?;
    let source = source(&shape, &numbers)?;
    let mut bytes = Vec::new();
    stdin().read_to_end(&mut bytes)?;
    let (coordinates, []) = bytes.as_chunks::<8>() else {
        return Err("the points are no whole numbers of eight bytes".into());
    };
    let (rows, []) = coordinates.as_chunks::<3>() else {
        return Err("a point has three coordinates".into());
    };
    let at = Vectors::from_rows(rows.iter().map(|row| row.map(f64::from_le_bytes)));
    let mut b = Vectors::zeros(at.len());
    source.add_b(at.points(), b.view_mut());
    let rows = (0..b.len()).flat_map(|i| b.get(i)).flat_map(f64::to_le_bytes);
    stdout().write_all(&rows.collect::<Vec<u8>>())?;
    Ok(())
}
