//! The stable names of the rules, for whoever finds an offence; what they mean stands in the room of the rules.

use crate::base::finding::RuleId;

/// A value that a machine has twice.
pub const AMBIGUOUS_VALUE: RuleId = RuleId("ambiguous-value");
/// A quantity that can be read in more than one way, or in none.
pub const BAD_QUANTITY: RuleId = RuleId("bad-quantity");
/// A brace that is not closed, not opened, empty, or nested.
pub const BRACE_SYNTAX: RuleId = RuleId("brace-syntax");
/// A key that stands twice in one mapping.
pub const DUPLICATE_KEY: RuleId = RuleId("duplicate-key");
/// An effectivity that cannot be read.
pub const EFFECTIVITY_SYNTAX: RuleId = RuleId("effectivity-syntax");
/// A card that would hold no step.
pub const EMPTY_CARD: RuleId = RuleId("empty-card");
/// A procedure without steps, or a front matter that is not closed.
pub const EMPTY_PROCEDURE: RuleId = RuleId("empty-procedure");
/// A character that is not shown but changes what is read.
pub const HIDDEN_CHARACTER: RuleId = RuleId("hidden-character");
/// Markdown that a procedure does not use.
pub const MARKDOWN_FORM: RuleId = RuleId("markdown-form");
/// A figure that is not in the binder, or is no picture.
pub const MISSING_FIGURE: RuleId = RuleId("missing-figure");
/// A register that is not there.
pub const MISSING_REGISTER: RuleId = RuleId("missing-register");
/// A value that a machine does not have.
pub const MISSING_VALUE: RuleId = RuleId("missing-value");
/// Lists, mappings or quotes nested too deep.
pub const NESTED_TOO_DEEP: RuleId = RuleId("nested-too-deep");
/// A tool, instrument or fluid that the crib does not hold.
pub const NOT_HELD: RuleId = RuleId("not-held");
/// A text that is not UTF-8.
pub const NOT_UTF8: RuleId = RuleId("not-utf8");
/// An O-ring that its groove squeezes, stretches or fills beyond the published limits.
pub const ORING_SQUEEZE: RuleId = RuleId("oring-squeeze");
/// Raw HTML in a procedure.
pub const RAW_HTML: RuleId = RuleId("raw-html");
/// A reference to a step that this machine's packet does not have.
pub const REFERENCE_TO_ABSENT_STEP: RuleId = RuleId("reference-to-absent-step");
/// A row that has more or fewer cells than its table has columns.
pub const ROW_LENGTH: RuleId = RuleId("row-length");
/// A register that does not have the form its schema asks for.
pub const SCHEMA_VIOLATION: RuleId = RuleId("schema-violation");
/// Text that belongs to no stage or step.
pub const STRAY_TEXT: RuleId = RuleId("stray-text");
/// More steps than the limit.
pub const TOO_MANY_STEPS: RuleId = RuleId("too-many-steps");
/// A name that no table, option or register defines.
pub const UNDECLARED_NAME: RuleId = RuleId("undeclared-name");
/// A file that is too large or cannot be read.
pub const UNREADABLE_FILE: RuleId = RuleId("unreadable-file");
/// A link that leads neither to https, nor to a mail address, nor to a file of the binder.
pub const UNSAFE_LINK: RuleId = RuleId("unsafe-link");
/// A name in the folder that cannot be part of a binder.
pub const UNUSABLE_NAME: RuleId = RuleId("unusable-name");
/// A value of another kind than is needed where it stands.
pub const WRONG_KIND: RuleId = RuleId("wrong-kind");
/// An anchor, alias, merge key, tag or second document.
pub const YAML_FEATURE: RuleId = RuleId("yaml-feature");
/// YAML that cannot be read.
pub const YAML_SYNTAX: RuleId = RuleId("yaml-syntax");
/// A procedure that is for no machine.
pub const APPLIES_TO_NOTHING: RuleId = RuleId("applies-to-nothing");
/// A figure that is no picture, or does more than show.
pub const BAD_FIGURE: RuleId = RuleId("bad-figure");
/// A boundary of a machine without an isolation point.
pub const BOUNDARY_NOT_ISOLATED: RuleId = RuleId("boundary-not-isolated");
/// A row that no installed machine uses.
pub const DEAD_ROW: RuleId = RuleId("dead-row");
/// A step, or something a step needs, that is for no machine.
pub const DEAD_STEP: RuleId = RuleId("dead-step");
/// Two things of one name.
pub const DUPLICATE_NAME: RuleId = RuleId("duplicate-name");
/// A figure without words.
pub const FIGURE_WITHOUT_WORDS: RuleId = RuleId("figure-without-words");
/// A combination that a table does not cover and nobody has installed.
pub const HOLE_BEYOND_FLEET: RuleId = RuleId("hole-beyond-fleet");
/// An installed machine that a table does not cover, with a value no procedure asks for yet.
pub const HOLE_IN_FLEET: RuleId = RuleId("hole-in-fleet");
/// An option that never makes a difference.
pub const IDLE_OPTION: RuleId = RuleId("idle-option");
/// A machine of which the fleet does not say what it has.
pub const MISSING_CHOICE: RuleId = RuleId("missing-choice");
/// A column that mixes units or kinds.
pub const MIXED_COLUMN: RuleId = RuleId("mixed-column");
/// Something that is declared and never used.
pub const NEVER_USED: RuleId = RuleId("never-used");
/// A table by more options than can be looked through.
pub const TOO_MANY_COMBINATIONS: RuleId = RuleId("too-many-combinations");
/// A torque that no step tightens to.
pub const TORQUE_WITHOUT_STEP: RuleId = RuleId("torque-without-step");
/// A step number typed by hand.
pub const TYPED_STEP_NUMBER: RuleId = RuleId("typed-step-number");
/// An option or choice that the family does not have.
pub const UNDECLARED_CHOICE: RuleId = RuleId("undeclared-choice");
/// A reading that is never taken at one of its moments.
pub const MOMENT_WITHOUT_STEP: RuleId = RuleId("moment-without-step");
/// Two joints of one job that take their torque from the same value.
pub const SHARED_TORQUE: RuleId = RuleId("shared-torque");
/// A finding that was accepted until a day that is over.
pub const EXPIRED_WAIVER: RuleId = RuleId("expired-waiver");
/// An accepted finding that is not found, or may not be accepted.
pub const IDLE_WAIVER: RuleId = RuleId("idle-waiver");
