//! Gauss-Legendre quadrature.

/// Positive nodes and weights of the 10-point rule on [-1, 1] (`[dlmf]` 3.5.v).
const HALF_10: [(f64, f64); 5] = [
    (0.148_874_338_981_631_22, 0.295_524_224_714_752_87),
    (0.433_395_394_129_247_2, 0.269_266_719_309_996_35),
    (0.679_409_568_299_024_4, 0.219_086_362_515_982_05),
    (0.865_063_366_688_984_5, 0.149_451_349_150_580_6),
    (0.973_906_528_517_171_7, 0.066_671_344_308_688_14),
];

/// Nodes and weights of the 10-point rule on [-1, 1].
pub(crate) const GAUSS_10: [(f64, f64); 10] = {
    let mut rule = [(0.0, 0.0); 10];
    let mut i = 0;
    while i < 5 {
        rule[i] = (-HALF_10[4 - i].0, HALF_10[4 - i].1);
        rule[9 - i] = HALF_10[4 - i];
        i += 1;
    }
    rule
};

/// A node `x` and weight `w` of [-1, 1] moved to [`from`, `to`]; the weight is positive either way round.
pub(crate) fn gauss_10(from: f64, to: f64, x: f64, w: f64) -> (f64, f64) {
    (from + 0.5 * (to - from) * (1.0 + x), 0.5 * (to - from).abs() * w)
}
