//! Parts of a study that machines take in turn.

use crate::failure::Failure;
use reedmace_engine::BLOCK;
use std::{ops::Range, str::FromStr};

/// One of so many parts, counted from 0 as job arrays count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Part {
    pub(crate) index: u64,
    pub(crate) of: u64,
}

impl Part {
    /// Its units: whole blocks, and no part more than a block larger than another.
    pub(crate) fn range(self, units: u64) -> Result<Range<u64>, Failure> {
        let blocks = units.div_ceil(BLOCK);
        if self.of > blocks {
            return Err(Failure::Refused(format!(
                "{units} units are {blocks} blocks of {BLOCK}, too few for {} parts",
                self.of
            )));
        }
        let end = |parts: u64| {
            let blocks = u128::from(blocks) * u128::from(parts) / u128::from(self.of);
            u64::try_from(blocks * u128::from(BLOCK)).unwrap_or(u64::MAX).min(units)
        };
        Ok(end(self.index)..end(self.index + 1))
    }
}

impl FromStr for Part {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (index, of) = text.split_once('/').ok_or("write it as 0/8, the first of eight")?;
        let number = |text: &str| text.trim().parse().map_err(|_| format!("`{text}` is no count"));
        let part = Self { index: number(index)?, of: number(of)? };
        if part.index < part.of {
            return Ok(part);
        }
        Err(match part.of {
            0 => "a study has one part at least: 0/1".into(),
            of => format!("parts are counted from 0: 0/{of} to {}/{of}", of - 1),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_parts_are_whole_blocks_and_make_up_the_study() {
        for (units, of) in [(4096, 1), (100_000, 7), (40_960, 10), (u64::MAX, 1000), (1, 1)] {
            let mut next = 0;
            for index in 0..of {
                let range = Part { index, of }.range(units).unwrap();
                assert_eq!(range.start, next);
                assert!(range.start.is_multiple_of(BLOCK) && !range.is_empty());
                next = range.end;
            }
            assert_eq!(next, units);
        }
    }

    #[test]
    fn a_part_is_one_of_the_parts_there_are() {
        assert_eq!("2/8".parse(), Ok(Part { index: 2, of: 8 }));
        for (text, says) in [
            ("8/8", "counted from 0: 0/8 to 7/8"),
            ("0/0", "one part at least"),
            ("3", "write it as 0/8"),
            ("-1/8", "`-1` is no count"),
        ] {
            let why = text.parse::<Part>().unwrap_err();
            assert!(why.contains(says), "{text}: {why}");
        }
        let why = Part { index: 0, of: 4 }.range(8192).unwrap_err().to_string();
        assert!(why.contains("2 blocks of 4096, too few for 4 parts"), "{why}");
    }
}
