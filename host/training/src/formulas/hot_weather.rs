//! What a class may do in the heat, by wet-bulb globe temperature.
//!
//! Armstrong et al., ACSM position stand on exertional heat illness, Med Sci Sports Exerc 39(3):556-572, 2007. Printed
//! bands leave tenths of a degree between them; a value there is taken into the hotter band. This is advice for
//! planning. Local rules and licensed practice come first, and anyone unwell stops whatever the number says.

use super::OutOfRange;

/// Where the bands were published.
pub const SOURCE: &str = "Armstrong et al., ACSM position stand, Med Sci Sports Exerc 39(3):556-572, 2007";

/// What to do, from least to most careful.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Advice {
    /// As usual; watch what people drink.
    Normal,
    /// More rest, shorter work.
    Modify,
    /// Plan hard work with care.
    Discretion,
    /// As long a rest as the work, little hard work.
    RestAsWork,
    /// Little hard work and little time in the heat.
    Limit,
    /// No training.
    Cancel,
}

/// Advice for those who are used to the heat and those who are not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Band {
    /// For people who are not used to it.
    pub not_acclimatised: Advice,
    /// For people who are.
    pub acclimatised: Advice,
}

/// Outdoors in the sun, degrees Celsius: natural wet bulb, globe, and air in the shade.
pub fn wet_bulb_globe(natural_wet_bulb: f64, globe: f64, air: f64) -> f64 {
    0.7 * natural_wet_bulb + 0.2 * globe + 0.1 * air
}

/// The band of a wet-bulb globe temperature in degrees Celsius.
pub fn band(degrees: f64) -> Result<Band, OutOfRange> {
    if !(-50.0..=80.0).contains(&degrees) {
        return Err(OutOfRange { what: "temperature", range: "-50 to 80 degrees Celsius", given: degrees });
    }
    let (not_acclimatised, acclimatised) = match degrees {
        d if d < 27.8 => (Advice::Modify, Advice::Normal),
        d if d <= 30.0 => (Advice::RestAsWork, Advice::Discretion),
        d if d <= 32.2 => (Advice::Cancel, Advice::Limit),
        _ => (Advice::Cancel, Advice::Cancel),
    };
    Ok(Band { not_acclimatised, acclimatised })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hotter_is_never_less_careful() {
        let bands: Vec<_> = (0..=400).map(|tenth| band(f64::from(tenth) / 10.0).expect("in range")).collect();
        for pair in bands.windows(2) {
            assert!(pair[0].not_acclimatised <= pair[1].not_acclimatised);
            assert!(pair[0].acclimatised <= pair[1].acclimatised);
            assert!(pair[0].acclimatised <= pair[0].not_acclimatised);
        }
        assert!(band(f64::NAN).is_err());
    }

    #[test]
    fn between_printed_bands_the_hotter_one_holds() {
        assert_eq!(band(27.85), band(28.0));
        assert_eq!(band(30.05), band(31.0));
    }
}
