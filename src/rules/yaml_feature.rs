//! An anchor, alias, merge key, tag or second document.
//!
//! ## What is found
//! These forms of YAML let a value come from somewhere else in the file.
//!
//! ## On the floor
//! A reader could not see where a number comes from, and a table could grow without bound.
//!
//! ## How to mend it
//! Write the value where it belongs. A value that several machines share goes into a table.

use crate::base::finding::Severity;
use crate::base::rule::YAML_FEATURE;
use crate::rules::{Found, Rule};

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: YAML_FEATURE,
    severity: Severity::Error,
    found: Found::Reading,
    source: include_str!("yaml_feature.rs"),
};
