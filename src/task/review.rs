//! By when a released packet must be looked at again: its own interval counted from the first day; it knows no clock.

use crate::base::date::Date;

/// Returns the day that lies an interval after another, for intervals as procedures write them (`12 months`, `2 years`,
/// `26 weeks`, `90 days`); none for anything else, which is never guessed.
#[must_use]
pub fn due(from: Date, interval: &str) -> Option<Date> {
    let (number, unit) = interval.split_once(' ')?;
    let number: u32 = number.parse().ok()?;
    match unit {
        "year" | "years" => from.plus_months(number.checked_mul(12)?),
        "month" | "months" => from.plus_months(number),
        "week" | "weeks" => plus_days(from, number.checked_mul(7)?),
        "day" | "days" => plus_days(from, number),
        _ => None,
    }
}

fn plus_days(from: Date, days: u32) -> Option<Date> {
    let first = Date::at_second(0)?;
    let since = u64::try_from(from.day_number() - first.day_number()).ok()?;
    Date::at_second((since + u64::from(days)) * 86_400)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_interval_is_counted_on_the_calendar() {
        let from = Date::parse("2027-01-31").expect("a day");
        let due = |interval: &str| due(from, interval).map(|day| day.to_string());
        assert_eq!(due("12 months").as_deref(), Some("2028-01-31"));
        assert_eq!(due("1 month").as_deref(), Some("2027-02-28"));
        assert_eq!(due("2 years").as_deref(), Some("2029-01-31"));
        assert_eq!(due("2 weeks").as_deref(), Some("2027-02-14"));
        assert_eq!(due("1 day").as_deref(), Some("2027-02-01"));
        for none in ["", "12", "1.5 years", "1 to 2 years", "8 h", "often"] {
            assert_eq!(due(none), None, "{none}");
        }
    }
}
