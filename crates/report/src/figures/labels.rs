//! Labels that keep out of each other's way.

/// Move labels apart along one axis, each as little as the crowd allows: `wanted` are the middles,
/// `sizes` the room each takes; the results keep the order and stay within `from..to` if they fit.
pub fn spread(wanted: &[f64], sizes: &[f64], from: f64, to: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|a, b| wanted[*a].total_cmp(&wanted[*b]));
    // Blocks of touching labels, each placed at the mean of what its labels want.
    struct Block {
        labels: Vec<usize>,
        start: f64,
        size: f64,
    }
    let mut blocks: Vec<Block> = Vec::new();
    for label in order {
        let size = sizes[label];
        let mut block = Block { labels: vec![label], start: wanted[label] - size / 2.0, size };
        block.start = block.start.clamp(from, (to - size).max(from));
        while let Some(before) = blocks.last() {
            if before.start + before.size <= block.start {
                break;
            }
            let mut merged = blocks.pop().expect("just seen");
            merged.labels.append(&mut block.labels);
            merged.size += block.size;
            let mut inside = 0.0;
            let mut offset = 0.0;
            for &label in &merged.labels {
                offset += wanted[label] - (inside + sizes[label] / 2.0);
                inside += sizes[label];
            }
            let start = offset / merged.labels.len() as f64;
            merged.start = start.clamp(from, (to - merged.size).max(from));
            block = merged;
        }
        blocks.push(block);
    }
    let mut placed = vec![0.0; wanted.len()];
    for block in blocks {
        let mut at = block.start;
        for label in block.labels {
            placed[label] = at + sizes[label] / 2.0;
            at += sizes[label];
        }
    }
    placed
}

/// Round steps for an axis: multiples of 1, 2 or 5 times a power of ten, about `count` of them.
pub fn ticks(low: f64, high: f64, count: usize) -> Vec<f64> {
    let rough = (high - low) / count.max(1) as f64;
    if rough.is_nan() || rough <= 0.0 {
        return vec![low];
    }
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * power)
        .find(|step| *step >= rough * 0.999)
        .unwrap_or(10.0 * power);
    let first = (low / step - 1e-9).ceil() as i64;
    let last = (high / step + 1e-9).floor() as i64;
    (first..=last).map(|i| i as f64 * step).collect()
}

/// A tick's label: no more digits than the step between ticks needs.
pub fn tick_text(value: f64, step: f64) -> String {
    let decimals = (-(step.abs().max(1e-12).log10() + 1e-9).floor()).clamp(0.0, 6.0) as usize;
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| matches!(b, b'0' | b'.')) => rest.to_string(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_spread_labels_do_not_overlap() {
        let wanted = [10.0, 12.0, 11.0, 80.0, 99.0];
        let sizes = [20.0; 5];
        let placed = spread(&wanted, &sizes, 0.0, 110.0);
        let mut sorted = placed.clone();
        sorted.sort_by(f64::total_cmp);
        assert!(sorted.windows(2).all(|w| w[1] - w[0] >= 20.0 - 1e-9), "{placed:?}");
        assert!(sorted[0] >= 10.0 && sorted[4] <= 100.0, "{placed:?}");
        assert!(placed[0] < placed[2] && placed[2] < placed[1], "order is kept: {placed:?}");
    }

    #[test]
    fn prop_ticks_are_round_and_inside() {
        assert_eq!(ticks(0.0, 30.0, 6), vec![0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0]);
        assert_eq!(tick_text(-0.2, 0.1), "−0.2");
        assert_eq!(tick_text(10.0, 5.0), "10");
    }
}
