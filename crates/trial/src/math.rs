//! The functions whose last digit could differ between machines, in one place.
//!
//! They go through `libm`, which is compiled with the program, so that a verdict is the same, bit for bit, wherever it
//! is worked out. Addition, multiplication, division and square root are exact by IEEE 754 and stand as they are.

/// Natural logarithm.
pub(crate) fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// The exponential.
pub(crate) fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// The exponential for weights that are summed by the ten thousand: from -700 to 700, a few units in the last place off,
/// in additions and multiplications only, so it is the same everywhere too. Below it is 0.
///
/// Derived: `exp(x) = 2ⁿ·exp(r)` with n the whole number nearest `x/ln 2`; `|r| ≤ 0.347`, where twelve terms of the
/// power series leave 4e-16.
pub(crate) fn exp_of_weight(x: f64) -> f64 {
    /// Adding this rounds to a whole number, which then stands in the lowest bits. Derived: 1.5·2⁵².
    const ROUNDS: f64 = 6_755_399_441_055_744.0;
    /// `ln 2` in two parts, the first with zeros enough for an exact product with n. Definition.
    const LN_2: (f64, f64) = (6.931_471_803_691_238e-1, 1.908_214_929_270_587_7e-10);
    if !(-700.0..=700.0).contains(&x) {
        return exp(x);
    }
    let rounded = x * std::f64::consts::LOG2_E + ROUNDS;
    let n = rounded - ROUNDS;
    let r = (x - n * LN_2.0) - n * LN_2.1;
    let series = SERIES.iter().rev().fold(0.0, |sum, term| sum * r + term);
    series * f64::from_bits((rounded.to_bits() << 52).wrapping_add(1.0_f64.to_bits()))
}

/// 1/k! for k from 0 to 12. Definition.
const SERIES: [f64; 13] = [
    1.0,
    1.0,
    1.0 / 2.0,
    1.0 / 6.0,
    1.0 / 24.0,
    1.0 / 120.0,
    1.0 / 720.0,
    1.0 / 5_040.0,
    1.0 / 40_320.0,
    1.0 / 362_880.0,
    1.0 / 3_628_800.0,
    1.0 / 39_916_800.0,
    1.0 / 479_001_600.0,
];

/// Logarithm of the sum of exponentials, without overflow; minus infinity for nothing.
pub(crate) fn log_sum_exp(logs: &[f64]) -> f64 {
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if most == f64::NEG_INFINITY {
        return most;
    }
    most + ln(logs.iter().map(|log| exp(log - most)).sum())
}

/// `ln(2π)`. Definition.
pub(crate) const LN_2_PI: f64 = 1.837_877_066_409_345_3;

/// Density of the normal distribution, as its logarithm.
pub(crate) fn ln_normal(x: f64, mean: f64, sd: f64) -> f64 {
    let z = (x - mean) / sd;
    -0.5 * (z * z + LN_2_PI) - ln(sd)
}

/// The normal distribution function.
pub(crate) fn normal_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// The normal quantile.
///
/// # Source
/// Published: Wichura (1988), Algorithm AS 241, The Percentage Points of the Normal Distribution, Applied Statistics
/// 37(3), 477-484, routine PPND16, whose relative error is about 1e-16.
pub(crate) fn normal_quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * ratio(r, &CENTRE);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    let r = (-ln(tail)).sqrt();
    let z = if r <= 5.0 { ratio(r - 1.6, &MIDDLE) } else { ratio(r - 5.0, &FAR) };
    if q < 0.0 { -z } else { z }
}

type Coefficients = ([f64; 8], [f64; 7]);

/// Numerator from the highest power down; the denominator's last term is 1.
fn ratio(r: f64, (above, below): &Coefficients) -> f64 {
    let numerator = above.iter().fold(0.0, |sum, c| sum * r + c);
    let denominator = below.iter().fold(0.0, |sum, c| sum * r + c) * r + 1.0;
    numerator / denominator
}

const CENTRE: Coefficients = (
    [
        2.509_080_928_730_122_7e3,
        3.343_057_558_358_813e4,
        6.726_577_092_700_87e4,
        4.592_195_393_154_987e4,
        1.373_169_376_550_946e4,
        1.971_590_950_306_551_3e3,
        1.331_416_678_917_843_8e2,
        3.387_132_872_796_366_5,
    ],
    [
        5.226_495_278_852_854e3,
        2.872_908_573_572_194_3e4,
        3.930_789_580_009_271e4,
        2.121_379_430_158_659_7e4,
        5.394_196_021_424_751e3,
        6.871_870_074_920_579e2,
        4.231_333_070_160_091e1,
    ],
);
const MIDDLE: Coefficients = (
    [
        7.745_450_142_783_414e-4,
        2.272_384_498_926_918_4e-2,
        2.417_807_251_774_506e-1,
        1.270_458_252_452_368_4,
        3.647_848_324_763_204_5,
        5.769_497_221_460_691,
        4.630_337_846_156_546,
        1.423_437_110_749_683_5,
    ],
    [
        1.050_750_071_644_416_9e-9,
        5.475_938_084_995_345e-4,
        1.519_866_656_361_645_7e-2,
        1.481_039_764_274_800_8e-1,
        6.897_673_349_851e-1,
        1.676_384_830_183_803_8,
        2.053_191_626_637_759,
    ],
);
const FAR: Coefficients = (
    [
        2.010_334_399_292_288_1e-7,
        2.711_555_568_743_487_6e-5,
        1.242_660_947_388_078_4e-3,
        2.653_218_952_657_612_4e-2,
        2.965_605_718_285_048_7e-1,
        1.784_826_539_917_291_3,
        5.463_784_911_164_114,
        6.657_904_643_501_103,
    ],
    [
        2.044_263_103_389_939_8e-15,
        1.421_511_758_316_446e-7,
        1.846_318_317_510_054_8e-5,
        7.868_691_311_456_133e-4,
        1.487_536_129_085_061_5e-2,
        1.369_298_809_227_358e-1,
        5.998_322_065_558_88e-1,
    ],
);

#[cfg(test)]
mod tests {
    use super::{log_sum_exp, normal_below, normal_quantile};

    #[test]
    fn the_quantile_undoes_the_distribution() {
        // definition: the quantile of Φ(z) is z; tails down to 1e-12 as the draws use them
        let worst = (-70..=70)
            .map(|tenth| f64::from(tenth) / 10.0)
            .map(|z| (normal_quantile(normal_below(z)) - z).abs() / (1.0 + normal_slack(z)))
            .fold(0.0, f64::max);
        assert!(worst < 1e-9, "{worst}");
    }

    /// How far one unit in the last place of a probability near 1 moves the quantile.
    fn normal_slack(z: f64) -> f64 {
        if z < 3.0 { 0.0 } else { 1e-16 / (0.4 * (-z * z / 2.0).exp()) * 1e9 }
    }

    #[test]
    fn published_quantiles_are_met() {
        // published: AS 241, its test values for p = 0.25, 0.001 and 1e-20
        for (p, z) in [
            (0.25, -0.674_489_750_196_081_7),
            (0.001, -3.090_232_306_167_813_6),
            (1e-20, -9.262_340_089_798_41),
        ] {
            assert!((normal_quantile(p) / z - 1.0).abs() < 1e-13, "{p}: {}", normal_quantile(p));
        }
    }

    #[test]
    fn the_quick_exponential_is_the_exponential() {
        let worst = (-69_999..70_000)
            .map(|step| f64::from(step) / 100.0 + 0.001_234)
            .map(|x| (super::exp_of_weight(x) / super::exp(x) - 1.0).abs())
            .fold(0.0, f64::max);
        // four units in the last place
        assert!(worst < 9e-16, "{worst}");
        assert!((super::exp_of_weight(0.0) - 1.0).abs() < 1e-300 && super::exp_of_weight(-1e4) < 1e-300);
        assert!(super::exp_of_weight(f64::NAN).is_nan());
    }

    #[test]
    fn a_sum_of_exponentials_does_not_overflow() {
        assert!((log_sum_exp(&[1000.0, 1000.0]) - (1000.0 + std::f64::consts::LN_2)).abs() < 1e-12);
        assert!(log_sum_exp(&[]).is_infinite());
    }
}
