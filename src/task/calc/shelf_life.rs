//! `calc shelf-life`: until when a piece of rubber is used by its cure date; it asks no clock and mixes no standards.

use crate::analysis::rubber::storage::{Life, Shelf, Standard, cure_date, shelf};
use crate::analysis::working::{Constant, Given, Refusal, Source, Statement, Working};
use crate::base::date::Date;

/// A question for a shelf life.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShelfLifeAsked {
    /// The rubber, by its symbol.
    pub rubber: String,
    /// When it was cured.
    pub cured: String,
    /// By which standard it is kept.
    pub standard: Standard,
    /// A day to judge it on.
    pub on: Option<String>,
}

/// Returns until when a piece of rubber is used.
///
/// # Errors
/// A refusal where the rubber is not in the standard's table, or a date is none.
pub fn shelf_life(asked: &ShelfLifeAsked) -> Result<Working, Refusal> {
    let cured = cure_date(&asked.cured)?;
    let shelf = shelf(asked.standard, &asked.rubber, cured)?;
    let on = asked.on.as_deref().map(|text| judged_on(text, cured)).transpose()?;
    let mut given = vec![
        Given { name: "rubber", symbol: "", shown: asked.rubber.trim().to_uppercase() },
        Given { name: "cured on or after", symbol: "", shown: cured.to_string() },
        Given { name: "kept by", symbol: "", shown: asked.standard.name().to_owned() },
    ];
    given.extend(on.map(|on| Given { name: "judged on", symbol: "", shown: on.to_string() }));
    Ok(Working {
        title: format!("shelf life of {} by {}", asked.rubber.trim().to_uppercase(), asked.standard.name()),
        formula: "first day = first day of the cure month or quarter; ends = first day + period, by the calendar",
        given,
        results: Vec::new(),
        statements: statements(&shelf, on),
        constants: vec![
            Constant { name: "period".into(), shown: period(&shelf), source: shelf.source.clone() },
            Constant {
                name: "storage".into(),
                shown: asked.standard.conditions().to_owned(),
                source: Source { text: asked.standard.name().into(), known: shelf.source.known },
            },
        ],
        remarks: vec![
            "The clock runs from the cure, not from the purchase.".to_owned(),
            "The two standards are not mixed: the plant keeps its rubber by one of them.".to_owned(),
        ],
        caution: "the maker of the part decides, and rubber that was stored warm, in light, near ozone or under strain is older than its date",
    })
}

fn judged_on(text: &str, cured: Date) -> Result<Date, Refusal> {
    let on = Date::parse(text.trim()).map_err(|fault| Refusal::new(format!("`{}` is no day: {fault}", text.trim())))?;
    if on < cured {
        return Err(Refusal::new(format!("on `{on}` it was not yet cured")).hint("look at the bag again"));
    }
    Ok(on)
}

fn statements(shelf: &Shelf, on: Option<Date>) -> Vec<Statement> {
    let mut statements = Vec::new();
    let mut say = |name: &'static str, shown: String| statements.push(Statement { name: name.into(), shown });
    match (shelf.inspect_from, shelf.ends) {
        (Some(inspect), Some(ends)) if inspect < ends => {
            say("first period ends on", inspect.to_string());
            say("with inspection it may be used until", ends.to_string());
        }
        (_, Some(ends)) => say("not used from", ends.to_string()),
        _ => say("limit by age", "none in this standard; condition and packing still decide".to_owned()),
    }
    if let Some(on) = on {
        say("on that day", state(shelf, on).to_owned());
    }
    statements
}

fn state(shelf: &Shelf, on: Date) -> &'static str {
    match (shelf.inspect_from, shelf.ends) {
        (_, Some(ends)) if on >= ends => "too old: do not use it",
        (Some(inspect), _) if on >= inspect => "past its first period: inspect it, and use it only if it passes",
        _ => "within its period",
    }
}

fn period(shelf: &Shelf) -> String {
    let group = if shelf.group.name.is_empty() { String::new() } else { format!("group {}: ", shelf.group.name) };
    match shelf.group.life {
        Life::Unlimited => "not limited by age".to_owned(),
        Life::Years { first, extension: 0 } => format!("{group}{first} years"),
        Life::Years { first, extension } => format!("{group}{first} years, then {extension} more after inspection"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(rubber: &str, cured: &str, standard: Standard, on: Option<&str>) -> String {
        let asked = ShelfLifeAsked { rubber: rubber.into(), cured: cured.into(), standard, on: on.map(str::to_owned) };
        shelf_life(&asked).map_or_else(
            |refusal| format!("refused: {}", refusal.message),
            |working| working.statements.iter().map(|one| one.shown.as_str()).collect::<Vec<_>>().join("; "),
        )
    }

    #[test]
    fn a_piece_is_good_then_inspected_then_too_old() {
        let on = |day| said("EPDM", "2019-03", Standard::Iso2230, Some(day));
        assert_eq!(on("2029-02-28"), "2029-03-01; 2034-03-01; within its period");
        assert!(on("2029-03-01").contains("inspect it"));
        assert!(on("2034-02-28").contains("inspect it"));
        assert!(on("2034-03-01").contains("too old"));
        assert!(said("EPDM", "2019-03", Standard::Arp5316, Some("2050-01-01")).ends_with("within its period"));
        assert!(said("SBR", "2019-03", Standard::Arp5316, Some("2022-03-01")).ends_with("too old: do not use it"));
    }

    #[test]
    fn impossible_dates_are_refused() {
        assert!(said("EPDM", "2019-13", Standard::Iso2230, None).starts_with("refused"));
        assert!(said("EPDM", "2019-03", Standard::Iso2230, Some("2019-02-28")).contains("not yet cured"));
        assert!(said("EPDM", "2019-03", Standard::Iso2230, Some("tomorrow")).starts_with("refused"));
        assert!(said("rubber", "2019-03", Standard::Iso2230, None).starts_with("refused"));
    }
}
