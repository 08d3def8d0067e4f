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
/// A rubber that common practice keeps away from what the part meets in service.
pub const RUBBER_NOT_FOR_SERVICE: RuleId = RuleId("rubber-not-for-service");
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
/// An accepted reading that no sentence asks for any more.
pub const IDLE_ACCEPTANCE: RuleId = RuleId("idle-acceptance");
/// A line of accepted readings that cannot be read.
pub const ACCEPTANCE_SYNTAX: RuleId = RuleId("acceptance-syntax");
/// Sentences whose reading the author has not accepted.
pub const NOT_ACCEPTED: RuleId = RuleId("not-accepted");
/// An accepted sentence that would be read otherwise now.
pub const READ_OTHERWISE: RuleId = RuleId("read-otherwise");
/// A verdict on a fluid and a rubber that common practice would not give.
pub const DOUBTFUL_VERDICT: RuleId = RuleId("doubtful-verdict");
/// A fluid on a rubber part that it attacks.
pub const FLUID_ATTACKS_RUBBER: RuleId = RuleId("fluid-attacks-rubber");
/// A fluid in a place that it is not for.
pub const FLUID_OUT_OF_ZONE: RuleId = RuleId("fluid-out-of-zone");
/// An instrument that cannot show the limit of a reading.
pub const INSTRUMENT_OUT_OF_RANGE: RuleId = RuleId("instrument-out-of-range");
/// A torque limit given as the torque to tighten to.
pub const LIMIT_USED_AS_TARGET: RuleId = RuleId("limit-used-as-target");
/// Something that the front matter lists and no step uses.
pub const LISTED_NOT_USED: RuleId = RuleId("listed-not-used");
/// A limit of which nobody knows whether it is the total that a dial shows, or the offset.
pub const TOTAL_OR_OFFSET: RuleId = RuleId("total-or-offset");
/// A spanner or key that fits no head with the thread of its joint.
pub const TOOL_DOES_NOT_FIT: RuleId = RuleId("tool-does-not-fit");
/// A step names other passes of a tightening than the register.
pub const PASSES_DIFFER: RuleId = RuleId("passes-differ");
/// A torque wrench and a socket or adapter have drives that do not go together.
pub const DRIVES_DO_NOT_MEET: RuleId = RuleId("drives-do-not-meet");
/// A fluid that a joint's torque counts on, and no step puts on.
pub const FLUID_NOT_APPLIED: RuleId = RuleId("fluid-not-applied");
/// A torque below what the site uses a torque tool for.
pub const WRENCH_BELOW_SITE_RULE: RuleId = RuleId("wrench-below-site-rule");
/// A torque that lies between two marks of its wrench.
pub const TORQUE_BETWEEN_MARKS: RuleId = RuleId("torque-between-marks");
/// A torque tool or instrument whose calibration has run out.
pub const CALIBRATION_RUN_OUT: RuleId = RuleId("calibration-run-out");
/// Tightening stages that do not rise to the final torque.
pub const STAGES_OUT_OF_ORDER: RuleId = RuleId("stages-out-of-order");
/// An adapter whose setting cannot be computed.
pub const NO_SETTING_FOR_ADAPTER: RuleId = RuleId("no-setting-for-adapter");
/// A torque without a wrench that shows torques.
pub const NO_WRENCH_FOR_TORQUE: RuleId = RuleId("no-wrench-for-torque");
/// A tool that a sentence asks for and the crib does not hold.
pub const TOOL_NOT_HELD: RuleId = RuleId("tool-not-held");
/// Something that a step uses and the front matter's list does not hold.
pub const USED_NOT_LISTED: RuleId = RuleId("used-not-listed");
/// A torque wrench that cannot show one of the torques it is named for.
pub const WRENCH_OUT_OF_RANGE: RuleId = RuleId("wrench-out-of-range");
/// A tool named by a word that fits several tools of the crib.
pub const AMBIGUOUS_TOOL: RuleId = RuleId("ambiguous-tool");
/// A finding that was accepted until a day that is over.
pub const EXPIRED_WAIVER: RuleId = RuleId("expired-waiver");
/// An accepted finding that is not found, or may not be accepted.
pub const IDLE_WAIVER: RuleId = RuleId("idle-waiver");
/// A sentence that is too long.
pub const LONG_SENTENCE: RuleId = RuleId("long-sentence");
/// A semicolon in an instruction.
pub const SEMICOLON: RuleId = RuleId("semicolon");
/// A sentence of a step that begins with no verb.
pub const NO_VERB_FIRST: RuleId = RuleId("no-verb-first");
/// A sentence with two instructions.
pub const TWO_INSTRUCTIONS: RuleId = RuleId("two-instructions");
/// A verb that hides two steps.
pub const VERB_HIDES_STEPS: RuleId = RuleId("verb-hides-steps");
/// A condition behind the action that depends on it.
pub const CONDITION_AFTER_ACTION: RuleId = RuleId("condition-after-action");
/// A condition that can be read in two ways.
pub const UNCLEAR_CONDITION: RuleId = RuleId("unclear-condition");
/// A limit written as plus or minus.
pub const PLUS_MINUS_LIMIT: RuleId = RuleId("plus-minus-limit");
/// A decimal point without a digit before it.
pub const NAKED_POINT: RuleId = RuleId("naked-point");
/// A number with a comma in it.
pub const DECIMAL_COMMA: RuleId = RuleId("decimal-comma");
/// A date that can be read in two ways.
pub const AMBIGUOUS_DATE: RuleId = RuleId("ambiguous-date");
/// A value or an instruction that is left to another paper.
pub const VALUE_ELSEWHERE: RuleId = RuleId("value-elsewhere");
/// Steps that are left out as the reverse of others.
pub const REVERSE_ORDER: RuleId = RuleId("reverse-order");
/// Steps that are asked for again without being written.
pub const REPEAT_STEPS: RuleId = RuleId("repeat-steps");
/// A figure that the reader has to work out.
pub const ARITHMETIC_LEFT_TO_READER: RuleId = RuleId("arithmetic-left-to-reader");
/// A limit without a unit.
pub const LIMIT_WITHOUT_UNIT: RuleId = RuleId("limit-without-unit");
/// A word that leaves the limit to the reader.
pub const VAGUE_LIMIT: RuleId = RuleId("vague-limit");
/// One thing measured in two systems of units.
pub const UNIT_MIX: RuleId = RuleId("unit-mix");
/// A step that is hidden in a caution.
pub const ACTION_IN_A_CAUTION: RuleId = RuleId("action-in-a-caution");
/// Several cautions of one level before one step.
pub const CROWDED_CAUTIONS: RuleId = RuleId("crowded-cautions");
/// A procedure whose wording is not checked.
pub const LANGUAGE_NOT_CHECKED: RuleId = RuleId("language-not-checked");
/// Steps that are hard to read.
pub const HARD_TO_READ: RuleId = RuleId("hard-to-read");
/// A value typed over one that differs from machine to machine.
pub const VALUE_OVER_OPTION: RuleId = RuleId("value-over-option");
/// A typed limit that was rounded the wrong way.
pub const LIMIT_ROUNDED_OUTWARD: RuleId = RuleId("limit-rounded-outward");
/// Two procedures for the same job on the same machine.
pub const JOB_COVERED_TWICE: RuleId = RuleId("job-covered-twice");
/// A column that has the same value in every row.
pub const SAME_IN_EVERY_ROW: RuleId = RuleId("same-in-every-row");
/// A part that is off at the end of the job.
pub const LEFT_OFF: RuleId = RuleId("left-off");
/// A part that is fitted again although it was discarded, or is used once.
pub const FITTED_AFTER_DISCARD: RuleId = RuleId("fitted-after-discard");
/// A part of which more or fewer go on than came off.
pub const WRONG_COUNT: RuleId = RuleId("wrong-count");
/// A part that is fitted into a place that is taken.
pub const FITTED_NOT_OFF: RuleId = RuleId("fitted-not-off");
/// A part that comes off, or an item that is taken out, and is not there.
pub const OFF_ALREADY: RuleId = RuleId("off-already");
/// A drain, vent or cover that is closed, and that no step opens.
pub const CLOSED_NOT_OPENED: RuleId = RuleId("closed-not-opened");
/// A step that does something to a part this machine does not have.
pub const NOT_ON_THIS_MACHINE: RuleId = RuleId("not-on-this-machine");
/// A part that comes off before what holds it, or goes on after it.
pub const WRONG_ORDER: RuleId = RuleId("wrong-order");
/// A fastener of a joint that is not tight at the end.
pub const NOT_TIGHTENED: RuleId = RuleId("not-tightened");
/// A drain, vent or cover that is open at the end.
pub const LEFT_OPEN: RuleId = RuleId("left-open");
/// A lock that is on at the end.
pub const LEFT_LOCKED: RuleId = RuleId("left-locked");
/// A temporary item that is in at the end.
pub const LEFT_IN: RuleId = RuleId("left-in");
/// Work on the machine before zero energy is proved.
pub const OPENED_BEFORE_PROOF: RuleId = RuleId("opened-before-proof");
/// A boundary of the machine that no step locks.
pub const ISOLATION_INCOMPLETE: RuleId = RuleId("isolation-incomplete");
/// A machine that runs before its guards are on.
pub const RUN_BEFORE_GUARDS: RuleId = RuleId("run-before-guards");
/// A machine that is started while a lock is on.
pub const STARTED_WHILE_LOCKED: RuleId = RuleId("started-while-locked");
/// Locks that come off while the machine is still open.
pub const UNLOCKED_TOO_EARLY: RuleId = RuleId("unlocked-too-early");
/// A machine that is filled while a part of its product side is off.
pub const FILLED_TOO_EARLY: RuleId = RuleId("filled-too-early");
/// A machine that runs empty although a later step fills it.
pub const RUNS_DRY: RuleId = RuleId("runs-dry");
/// A side that was isolated first and is filled first.
pub const FILLED_OUT_OF_ORDER: RuleId = RuleId("filled-out-of-order");
/// A sentence that is not sure, so that nothing can be proved about what it might touch.
pub const CANNOT_PROVE: RuleId = RuleId("cannot-prove");
/// A part that is used once, and renewed only on somebody's judgement.
pub const VAGUE_RENEWAL: RuleId = RuleId("vague-renewal");
/// A caution that stands after the step that exposes somebody to its hazard.
pub const CAUTION_AFTER_EXPOSURE: RuleId = RuleId("caution-after-exposure");
/// An energy that the job comes near, and that no caution tells of.
pub const HAZARD_WITHOUT_CAUTION: RuleId = RuleId("hazard-without-caution");
/// A hold point that is signed by the one who does the work.
pub const VERIFIER_IS_DOER: RuleId = RuleId("verifier-is-doer");
/// Hold points that are not met in the order of their numbers.
pub const HOLD_OUT_OF_ORDER: RuleId = RuleId("hold-out-of-order");
/// A measurement without a limit or an instrument.
pub const READING_WITHOUT_LIMIT: RuleId = RuleId("reading-without-limit");
/// A reading with a limit that does not say what to do outside it.
pub const READING_WITHOUT_OUTSIDE: RuleId = RuleId("reading-without-outside");
/// A measurement that no step records.
pub const MEASURED_NOT_RECORDED: RuleId = RuleId("measured-not-recorded");
/// A wait or run of some minutes without a place for its start time.
pub const TIMED_STEP_WITHOUT_START: RuleId = RuleId("timed-step-without-start");
/// A limit that cannot be undone once it is passed, without a step of its own that stops.
pub const IRREVERSIBLE_LIMIT_WITHOUT_STOP: RuleId = RuleId("irreversible-limit-without-stop");
/// A product side that was open and is handed back without quality.
pub const RELEASED_WITHOUT_QUALITY: RuleId = RuleId("released-without-quality");
/// A tool that the crib holds for a word that is no verb.
pub const TOOL_FOR_NO_VERB: RuleId = RuleId("tool-for-no-verb");
/// A torque for dry threads, on threads that a step has put something on.
pub const DRY_TORQUE_WITH_PASTE: RuleId = RuleId("dry-torque-with-paste");
/// A torque that pulls its bolts beyond what they bear.
pub const OVERLOADED_JOINT: RuleId = RuleId("overloaded-joint");
/// A stainless fastener that is tightened dry.
pub const STAINLESS_DRY: RuleId = RuleId("stainless-dry");
/// A torque whose lubrication state says nothing about lubrication.
pub const TORQUE_WITHOUT_STATE: RuleId = RuleId("torque-without-state");
/// A fastener turned against its thread.
pub const TURNED_THE_WRONG_WAY: RuleId = RuleId("turned-the-wrong-way");
/// A fastener tightened to a torque that is not its joint's.
pub const WRONG_TORQUE: RuleId = RuleId("wrong-torque");
/// An order under a heading that is no step.
pub const ORDER_OUTSIDE_A_STEP: RuleId = RuleId("order-outside-a-step");
/// What sheds metal, used on a machine that touches product.
pub const ABRASIVE_ON_PRODUCT_SIDE: RuleId = RuleId("abrasive-on-product-side");
/// Two torques for the fastener of one machine.
pub const TWO_TORQUES_FOR_ONE_JOINT: RuleId = RuleId("two-torques-for-one-joint");
/// A torque that leaves its bolts loose.
pub const UNDERLOADED_JOINT: RuleId = RuleId("underloaded-joint");
