//! A nut factor K as a plant gives it: one decimal; a figure no thread ever had is refused.

use crate::base::finding::Finding;
use crate::base::rule::BAD_QUANTITY;
use crate::model::fields::Fields;
use crate::source::yaml::Node;
use rust_decimal::Decimal;

/// The least and the most that published tables give, with room to either side, in hundredths.
const LEAST: i64 = 5;
const MOST: i64 = 60;

/// Reads a nut factor.
pub(crate) fn read(node: &Node, fields: &mut Fields<'_>) -> Option<Decimal> {
    let number: Option<Decimal> = node.text()?.trim().parse().ok();
    let (least, most) = (Decimal::new(LEAST, 2), Decimal::new(MOST, 2));
    let known = number.filter(|number| (least..=most).contains(number));
    if known.is_none() {
        let message = format!("a nut factor is a number from {least} to {most}");
        let help = "write what the maker of the fluid or the fastener gives, such as `0.16`";
        fields.findings.push(Finding::error(BAD_QUANTITY, message).at(node.span).help(help));
    }
    known
}
