//! Golden files: re-made by other software and compared, or written anew from our own.

use crate::{
    chore::{Done, cargo, output, program, root, run},
    python, source,
};
use std::{
    fs,
    path::{Path, PathBuf},
};

/// Other versions and other machines agree to this, relative to the larger number; the tests which
/// read the goldens are no sharper.
const AGREE: f64 = 1e-9;

/// Files that agree to less: the library's closed form of a ring segment loses digits by cancellation, not
/// the same ones on every machine; a sparse solver has its own roundings, and so have the steps of an adaptive one.
const LESS: [(&str, f64); 3] =
    [("magpylib_segment.f64", 1e-5), ("fem_disc.csv", 1e-6), ("motion.csv", 1e-7)];

/// Run every script which makes goldens, in a folder of its own, and fail if what it makes is not
/// what is committed beside it.
///
/// The scripts are `golden/*.py`, called with the folder to write into.
pub fn remake() -> Done {
    let scripts = scripts()?;
    // All of it first: nothing else is to be installed while the scripts run, for others may run beside them.
    let provided = scripts.iter().map(|script| python::provide(script.parent().unwrap_or(script)));
    let pythons = provided.collect::<Result<Vec<PathBuf>, String>>()?;
    for (script, python) in scripts.iter().zip(&pythons) {
        let made =
            root().join("target").join("goldens").join(script.file_stem().unwrap_or_default());
        let said = |why: std::io::Error| format!("{}: {why}", made.display());
        if made.exists() {
            fs::remove_dir_all(&made).map_err(said)?;
        }
        fs::create_dir_all(&made).map_err(said)?;
        python::run_with(python, &[&script.to_string_lossy(), &made.to_string_lossy()])?;
        compare(&made, script.parent().unwrap_or(&made))?;
    }
    Ok(())
}

/// Write the goldens of our own output anew and show what changed.
pub fn bless() -> Done {
    let mut tests = cargo(&["test", "--workspace", "--", "reg_"]);
    tests.env("REEDMACE_BLESS", "1");
    run(tests)?;
    print!("{}", output(program("git", &["status", "--short", "--", "*golden*"]))?);
    Ok(())
}

fn scripts() -> Result<Vec<PathBuf>, String> {
    let in_golden = |path: &PathBuf| path.parent().is_some_and(|folder| folder.ends_with("golden"));
    Ok(source::files(&root(), &["py"])?.into_iter().filter(in_golden).collect())
}

/// Every file made must be there and say the same.
fn compare(made: &Path, kept: &Path) -> Done {
    let files = source::files(made, &["csv", "json", "txt", "f64"])?;
    if files.is_empty() {
        return Err(format!("nothing was made into {}", made.display()));
    }
    for file in files {
        let name = file.file_name().unwrap_or_default();
        let read = |path: &Path| fs::read(path).map_err(|why| format!("{}: {why}", path.display()));
        let (kept, made) = (read(&kept.join(name))?, read(&file)?);
        let less = LESS.iter().find(|(less, _)| name == *less);
        let agree = less.map_or(AGREE, |(_, agree)| *agree);
        let differs = if file.extension().is_some_and(|e| e == "f64") {
            first_vector_apart(&kept, &made, agree)
        } else {
            let [kept, made] = [&kept, &made].map(|bytes| String::from_utf8_lossy(bytes));
            first_difference(&kept, &made, agree)
        };
        match differs {
            None => eprintln!("goldens: {} is what its script makes", name.to_string_lossy()),
            Some(line) => {
                return Err(format!("{}:{line} is not what its script makes", name.display()));
            }
        }
    }
    Ok(())
}

/// The first vector, from 1, of two files of little-endian numbers, three a vector, which is
/// further from the other than `agree` of its largest component.
fn first_vector_apart(kept: &[u8], made: &[u8], agree: f64) -> Option<usize> {
    const VECTOR: usize = 3 * size_of::<f64>();
    let apart = |(a, b): (&[u8], &[u8])| {
        let (a, b) = (numbers(a), numbers(b));
        let size = a.iter().chain(&b).fold(0.0, |size: f64, v| size.max(v.abs()));
        !a.iter().zip(&b).all(|(a, b)| a == b || (a - b).abs() <= agree * size)
    };
    if kept.len() != made.len() {
        return Some(1 + kept.len().min(made.len()) / VECTOR);
    }
    kept.chunks(VECTOR).zip(made.chunks(VECTOR)).position(apart).map(|vector| vector + 1)
}

fn numbers(bytes: &[u8]) -> Vec<f64> {
    bytes
        .chunks_exact(size_of::<f64>())
        .map(|number| f64::from_le_bytes(number.try_into().unwrap_or_default()))
        .collect()
}

/// The first line, from 1, where two files say different words or numbers further apart than `agree` of the
/// larger.
fn first_difference(kept: &str, made: &str, agree: f64) -> Option<usize> {
    let (kept, made): (Vec<_>, Vec<_>) = (kept.lines().collect(), made.lines().collect());
    let same = kept.iter().zip(&made).take_while(|(a, b)| lines_agree(a, b, agree)).count();
    (same < kept.len().max(made.len())).then_some(same + 1)
}

fn lines_agree(a: &str, b: &str, agree: f64) -> bool {
    let apart = |c: char| c == ',' || c == ' ' || c == '[' || c == ']';
    let (a, b): (Vec<_>, Vec<_>) = (a.split(apart).collect(), b.split(apart).collect());
    a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| words_agree(a, b, agree))
}

fn words_agree(a: &str, b: &str, agree: f64) -> bool {
    let numbers = (a.parse::<f64>(), b.parse::<f64>());
    match numbers {
        (Ok(x), Ok(y)) => x == y || (x - y).abs() <= agree * x.abs().max(y.abs()),
        _ => a == b,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_vector_is_as_near_as_its_largest_component_says() {
        let bytes = |v: [f64; 3]| v.iter().flat_map(|v| v.to_le_bytes()).collect::<Vec<u8>>();
        let kept = [bytes([1.0, 0.0, 0.0]), bytes([1.0, 1e-12, 0.0])].concat();
        let near = [bytes([1.0, 0.0, 0.0]), bytes([1.0, 2e-12, 0.0])].concat();
        let far = [bytes([1.0, 0.0, 0.0]), bytes([1.0, 1e-8, 0.0])].concat();
        assert_eq!(first_vector_apart(&kept, &near, AGREE), None);
        assert_eq!(first_vector_apart(&kept, &far, AGREE), Some(2));
        assert_eq!(first_vector_apart(&kept, &kept[..24], AGREE), Some(2));
        let nan = [bytes([1.0, 0.0, 0.0]), bytes([f64::NAN, 0.0, 0.0])].concat();
        assert_eq!(first_vector_apart(&kept, &nan, AGREE), Some(2));
    }

    #[test]
    fn the_last_bit_may_differ_and_no_more() {
        let kept = "shape,b\ncuboid,0.1234567890123\n";
        assert_eq!(first_difference(kept, "shape,b\ncuboid,0.1234567890124\n", AGREE), None);
        assert_eq!(first_difference(kept, "shape,b\ncuboid,0.1234567\n", AGREE), Some(2));
        assert_eq!(first_difference(kept, "shape,b\nsphere,0.1234567890123\n", AGREE), Some(2));
        assert_eq!(first_difference(kept, "shape,b\n", AGREE), Some(2));
    }
}
