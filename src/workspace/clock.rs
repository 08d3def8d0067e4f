//! Today's date: what `SOURCE_DATE_EPOCH` says (reproducible-builds.org), else the clock; no other file asks either for it.

use crate::base::date::Date;
use crate::model::world::WorldError;
use std::ffi::OsStr;
use std::time::{SystemTime, UNIX_EPOCH};

/// Returns today's date in UTC.
///
/// # Errors
/// A [`WorldError`] where `SOURCE_DATE_EPOCH` is set to something else than a number of seconds.
#[expect(clippy::disallowed_methods, reason = "the date is asked for here and nowhere else")]
pub(crate) fn today() -> Result<Date, WorldError> {
    match std::env::var_os("SOURCE_DATE_EPOCH") {
        Some(given) => given_day(&given),
        // A clock before 1970 is no clock; a day that early lets nothing run out, so it is refused.
        None => {
            by_clock(SystemTime::now()).ok_or_else(|| WorldError::NoDate("the clock stands before 1970".to_owned()))
        }
    }
}

/// Returns the second it is in UTC since 1970, by the same rule.
///
/// # Errors
/// As where the date is asked for, and where the clock stands before 1970.
#[expect(clippy::disallowed_methods, reason = "the time is asked for here and nowhere else")]
pub fn now() -> Result<u64, WorldError> {
    let wrong = |why: &str| WorldError::NoDate(why.to_owned());
    if let Some(given) = std::env::var_os("SOURCE_DATE_EPOCH") {
        given_day(&given)?;
        return given.to_string_lossy().parse().map_err(|_| wrong("`SOURCE_DATE_EPOCH` is no number of seconds"));
    }
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    since.map(|since| since.as_secs()).map_err(|_| wrong("the clock stands before 1970"))
}

fn by_clock(now: SystemTime) -> Option<Date> {
    Date::at_second(now.duration_since(UNIX_EPOCH).ok()?.as_secs())
}

fn given_day(given: &OsStr) -> Result<Date, WorldError> {
    let text = given.to_string_lossy();
    let is_digits = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let seconds = text.parse().ok().filter(|_| is_digits);
    seconds.and_then(Date::at_second).ok_or_else(|| {
        let shown: String = text.chars().take(40).collect();
        WorldError::NoDate(format!(
            "`SOURCE_DATE_EPOCH` holds `{shown}`; it is the seconds since 1970, in digits alone"
        ))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn the_date_may_be_given_and_then_must_be_one() {
        let day = |text: &str| given_day(OsStr::new(text)).map(|day| day.to_string());
        assert_eq!(day("86399").as_deref(), Ok("1970-01-01"));
        for text in ["", "-1", "+1", "1.5", "2027-03-14", "99999999999999999999"] {
            let error = day(text).unwrap_err().to_string();
            assert!(
                error.starts_with(&format!("today's date cannot be told: `SOURCE_DATE_EPOCH` holds `{text}`")),
                "{error}"
            );
        }
        assert_eq!(by_clock(UNIX_EPOCH + Duration::from_hours(24)), Date::parse("1970-01-02").ok());
        assert_eq!(by_clock(UNIX_EPOCH - Duration::from_secs(1)), None);
    }
}
