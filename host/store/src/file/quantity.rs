//! Quantities as people write them: `62.5 kg`, `35 lb`, `1:30`, `90 %`, `2026-12-07`, `18:00`.
//!
//! A mass always carries its unit; a number alone is refused, since half the world would guess wrong.

use classwright_training::session::Date;
use classwright_training::{Mass, Unit};

/// The heaviest thing a gym writes down.
const MOST: Mass = Mass::from_grams(1_000_000);

/// A mass with its unit.
pub(crate) fn mass(text: &str) -> Result<Mass, String> {
    let number = text.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let unit = match &text[number.len()..] {
        "kg" => Unit::Kilograms,
        "lb" | "lbs" => Unit::Pounds,
        _ => {
            return Err(format!("is `{text}`; write a mass with its unit, such as 16 kg or 35 lb"));
        }
    };
    let hundredths = hundredths(number.trim())
        .ok_or_else(|| format!("is `{text}`; write a mass with at most two decimals, such as 62.5 kg"))?;
    let mass = unit.to_mass(hundredths);
    if mass.is_zero() || mass > MOST {
        return Err(format!("is `{text}`; write a mass above nothing and at most 1000 kg"));
    }
    Ok(mass)
}

/// A decimal number with at most two decimals, in hundredths; below ten million.
fn hundredths(text: &str) -> Option<u32> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() || whole.len() > 7 || part.len() > 2 || !digits(whole) || !digits(part) {
        return None;
    }
    let whole: u32 = whole.parse().ok()?;
    let part: u32 = format!("{part:0<2}").parse().ok()?;
    Some(whole * 100 + part)
}

/// Seconds: `90`, `90 s` or `1:30`; below a day.
pub(crate) fn seconds(text: &str) -> Result<u32, String> {
    let read = || -> Option<u32> {
        match text.split_once(':') {
            Some((minutes, seconds)) if seconds.len() == 2 => {
                let seconds: u32 = seconds.parse().ok().filter(|&seconds| seconds < 60)?;
                minutes.parse::<u32>().ok()?.checked_mul(60)?.checked_add(seconds)
            }
            Some(_) => None,
            None => text.trim_end_matches('s').trim_end().parse().ok(),
        }
    };
    read()
        .filter(|&seconds| seconds < 86_400)
        .ok_or_else(|| format!("is `{text}`; write minutes and seconds, such as 1:30, or seconds, such as 90 s"))
}

/// A percentage above nothing and at most 100, in thousandths: `90 %`, `87.5%` or `90`.
pub(crate) fn percent(text: &str) -> Result<u32, String> {
    let number = text.trim_end_matches('%').trim_end();
    let permille = hundredths(number).filter(|hundredths| hundredths % 10 == 0).map(|hundredths| hundredths / 10);
    permille
        .filter(|permille| (1..=1000).contains(permille))
        .ok_or_else(|| format!("is `{text}`; write a percentage above 0 and at most 100, such as 90 %"))
}

/// A day: `2026-12-07`.
pub(crate) fn date(text: &str) -> Result<Date, String> {
    let read = || -> Option<Date> {
        let mut parts = text.split('-');
        let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
        if parts.next().is_some() || year.len() != 4 || month.len() != 2 || day.len() != 2 {
            return None;
        }
        let date = Date { year: year.parse().ok()?, month: month.parse().ok()?, day: day.parse().ok()? };
        date.exists().then_some(date)
    };
    read().ok_or_else(|| format!("is `{text}`; write a day that exists as year-month-day, such as 2026-12-07"))
}

/// A time of day in minutes from midnight: `18:00`.
pub(crate) fn time_of_day(text: &str) -> Result<u16, String> {
    let read = || -> Option<u16> {
        let (hours, minutes) = text.split_once(':')?;
        let minutes = minutes.strip_suffix(":00").unwrap_or(minutes);
        if hours.len() != 2 || minutes.len() != 2 {
            return None;
        }
        let (hours, minutes): (u16, u16) = (hours.parse().ok()?, minutes.parse().ok()?);
        (hours < 24 && minutes < 60).then_some(hours * 60 + minutes)
    };
    read().ok_or_else(|| format!("is `{text}`; write a time of day on 24 hours, such as 18:00"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn masses_need_a_unit_and_round_to_the_gram() {
        let read = |text| mass(text).map(Mass::grams);
        assert_eq!(read("62.5 kg"), Ok(62_500));
        assert_eq!(read("1.25kg"), Ok(1_250));
        // 45 x 453.59237 g = 20,411.66 g (international yard and pound agreement, 1959).
        assert_eq!(read("45 lb"), Ok(20_412));
        for bad in ["20", "kg", "-5 kg", "0 kg", "1.255 kg", "2000 kg", "1e3 kg", "٣ kg", "5 stone", "99999999999 kg"]
        {
            assert!(read(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn times_and_days_that_do_not_exist_are_refused() {
        assert_eq!(seconds("1:30"), Ok(90));
        assert_eq!(seconds("90 s"), Ok(90));
        assert!(["1:60", "1:5", "-1", "", "soon", "99999999:00"].into_iter().all(|text| seconds(text).is_err()));
        assert!(date("2028-02-29").is_ok());
        assert!(
            ["2026-02-29", "2100-02-29", "2026-13-01", "2026-1-1", "2026-12-00"]
                .into_iter()
                .all(|text| date(text).is_err())
        );
        assert_eq!(time_of_day("18:05"), Ok(1085));
        assert!(["24:00", "6pm", "1805", "18:60"].into_iter().all(|text| time_of_day(text).is_err()));
    }

    #[test]
    fn shares_are_in_thousandths() {
        assert_eq!(percent("87.5 %"), Ok(875));
        assert_eq!(percent("100"), Ok(1000));
        assert!(["0", "101", "0.9x", "87.55", "-3"].into_iter().all(|text| percent(text).is_err()));
    }
}
