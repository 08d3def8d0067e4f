//! A day of the calendar as plants write it (`2027-03-14`); it knows no clock and no time of day.

use std::fmt;
use time::{Month, OffsetDateTime};

/// A day of the Gregorian calendar, written as in ISO 8601: year, month, day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date(time::Date);

/// Why a text is no date.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DateFault {
    /// It is not written as four digits, two and two with hyphens between them.
    #[error("a date is written as year, month and day: `2027-03-14`")]
    Form,
    /// The calendar has no such day.
    #[error("the calendar has no such day")]
    NoSuchDay,
}

impl Date {
    /// Returns the day that `text` names.
    ///
    /// # Errors
    /// A [`DateFault`] where it is written in another form, or names a day that does not exist.
    pub fn parse(text: &str) -> Result<Self, DateFault> {
        let is_in_form = text.len() == 10
            && text.bytes().enumerate().all(|(at, b)| if matches!(at, 4 | 7) { b == b'-' } else { b.is_ascii_digit() });
        if !is_in_form {
            return Err(DateFault::Form);
        }
        let number = |range: std::ops::Range<usize>| text[range].parse::<u16>().expect("these are digits");
        let small = |range| u8::try_from(number(range)).expect("two digits");
        let month = Month::try_from(small(5..7)).map_err(|_| DateFault::NoSuchDay)?;
        let day = time::Date::from_calendar_date(i32::from(number(0..4)), month, small(8..10));
        day.map(Self).map_err(|_| DateFault::NoSuchDay)
    }

    /// Returns the same day so many months later; the last day of that month where it is shorter. None beyond the calendar.
    #[must_use]
    pub fn plus_months(self, months: u32) -> Option<Self> {
        let months = i64::from(self.0.year()) * 12 + i64::from(u8::from(self.0.month())) - 1 + i64::from(months);
        let year = i32::try_from(months / 12).ok().filter(|year| *year <= 9999)?;
        let month = Month::try_from(u8::try_from(months % 12 + 1).ok()?).ok()?;
        let day = self.0.day().min(month.length(year));
        time::Date::from_calendar_date(year, month, day).ok().map(Self)
    }

    /// Returns the Julian day number, to count days with.
    #[must_use]
    pub fn day_number(self) -> i32 {
        self.0.to_julian_day()
    }

    /// Returns the day in UTC that is so many seconds after the beginning of 1970; none beyond the calendar.
    #[must_use]
    pub fn at_second(seconds: u64) -> Option<Self> {
        let moment = OffsetDateTime::from_unix_timestamp(i64::try_from(seconds).ok()?).ok()?;
        Some(Self(moment.date()))
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.0.year(), u8::from(self.0.month()), self.0.day())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The leap years are those of the Gregorian calendar: 2000 was one, 2100 is none.
    #[test]
    fn a_day_is_read_strictly_and_printed_as_it_was_written() {
        for text in ["2027-03-14", "2028-02-29", "2000-02-29", "0001-01-01", "9999-12-31"] {
            assert_eq!(Date::parse(text).expect(text).to_string(), text);
        }
        for text in ["2027-02-29", "2100-02-29", "2027-04-31", "2027-00-10", "2027-13-01", "2027-01-00"] {
            assert_eq!(Date::parse(text), Err(DateFault::NoSuchDay), "{text}");
        }
        for text in ["", "2027-3-14", "14.03.2027", "2027/03/14", "+027-03-14", "2027-03-14 ", "２０27-03", "20270314"]
        {
            assert_eq!(Date::parse(text), Err(DateFault::Form), "{text}");
        }
        assert!(Date::parse("2027-03-14").ok() < Date::parse("2027-03-15").ok());
    }

    /// The Julian day that began at noon of 2000-01-01 is 2 451 545 (the epoch J2000.0 of the IAU).
    #[test]
    fn days_are_counted_as_astronomers_do() {
        assert_eq!(Date::parse("2000-01-01").expect("a day").day_number(), 2_451_545);
    }

    #[test]
    fn months_are_counted_by_the_calendar() {
        let after = |text: &str, months| {
            Date::parse(text).expect(text).plus_months(months).map(|day| day.to_string()).unwrap_or_default()
        };
        assert_eq!(after("2019-03-01", 120), "2029-03-01");
        assert_eq!(after("2020-01-31", 1), "2020-02-29");
        assert_eq!(after("2019-12-31", 2), "2020-02-29");
        assert_eq!(after("2019-12-31", 0), "2019-12-31");
        assert_eq!(after("9999-12-31", 1), "");
    }

    /// Seconds since 1970 count days of 86 400 seconds (POSIX.1-2017, 4.16): 20 000 of them end on 2024-10-04.
    #[test]
    fn a_day_ends_with_its_last_second() {
        let day = |seconds| Date::at_second(seconds).map(|day| day.to_string());
        assert_eq!(day(0).as_deref(), Some("1970-01-01"));
        assert_eq!(day(86_399).as_deref(), Some("1970-01-01"));
        assert_eq!(day(86_400).as_deref(), Some("1970-01-02"));
        assert_eq!(day(20_000 * 86_400).as_deref(), Some("2024-10-04"));
        assert_eq!(day(u64::MAX), None);
    }
}
