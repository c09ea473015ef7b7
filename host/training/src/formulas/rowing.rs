//! Power and pace on a rowing machine with an air brake.
//!
//! Watts = 2.80 / (seconds a metre) cubed, the relation such machines show; background: Dudhia, The Physics of
//! Ergometers, Oxford. Pace is written as the split: seconds for 500 m.

use super::{OutOfRange, above_zero};

/// Where the relation was published.
pub const SOURCE: &str = "watts = 2.80 / (seconds a metre)^3; Dudhia, The Physics of Ergometers";

const FACTOR: f64 = 2.80;
const SPLIT_METRES: f64 = 500.0;

/// Watts at a split.
pub fn watts(split_s: f64) -> Result<f64, OutOfRange> {
    Ok(FACTOR / (above_zero("split", split_s)? / SPLIT_METRES).powi(3))
}

/// Split at so many watts.
pub fn split_s(watts: f64) -> Result<f64, OutOfRange> {
    Ok(SPLIT_METRES * (FACTOR / above_zero("watts", watts)?).cbrt())
}

/// Split of a distance done in a time.
pub fn split_of(metres: f64, seconds: f64) -> Result<f64, OutOfRange> {
    Ok(above_zero("time", seconds)? * SPLIT_METRES / above_zero("metres", metres)?)
}

/// Seconds for a distance at a split.
pub fn seconds(metres: f64, split_s: f64) -> Result<f64, OutOfRange> {
    Ok(above_zero("split", split_s)? * above_zero("metres", metres)? / SPLIT_METRES)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back() {
        for split in [80.0, 110.0, 120.0, 180.0, 300.0] {
            assert!((split_s(watts(split).expect("in range")).expect("in range") - split).abs() < 1e-9);
            assert!(
                (split_of(2000.0, seconds(2000.0, split).expect("in range")).expect("in range") - split).abs() < 1e-9
            );
        }
        assert!(watts(0.0).is_err() && split_s(-1.0).is_err() && split_of(f64::NAN, 1.0).is_err());
    }
}
