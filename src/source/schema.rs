//! The JSON Schemas of the registers and what they say of a tree, in a technician's words; it knows no meaning beyond them.

use crate::base::finding::{Bounded, Finding};
use crate::base::limits;
use crate::base::name::nearest;
use crate::base::rule::SCHEMA_VIOLATION;
use crate::source::yaml::Node;
use jsonschema::error::{TypeKind, ValidationErrorKind};
use jsonschema::{ValidationError, Validator};
use serde_json::Value;
use std::sync::OnceLock;

/// A kind of file that has a schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Form {
    /// `binder.yaml`.
    Binder,
    /// `crib.yaml`.
    Crib,
    /// `crib-status.yaml`.
    CribStatus,
    /// `fleet.yaml`.
    Fleet,
    /// `families/*.yaml`.
    Family,
    /// The front matter of a procedure.
    Procedure,
    /// `people.yaml`.
    People,
    /// `verbs.yaml`.
    Verbs,
    /// `waivers.yaml`.
    Waivers,
}

/// Every form with its name and schema text.
pub const FORMS: [(Form, &str, &str); 9] = [
    (Form::Binder, "binder", include_str!("../../schema/binder.schema.json")),
    (Form::Crib, "crib", include_str!("../../schema/crib.schema.json")),
    (Form::CribStatus, "crib-status", include_str!("../../schema/crib-status.schema.json")),
    (Form::Fleet, "fleet", include_str!("../../schema/fleet.schema.json")),
    (Form::Family, "family", include_str!("../../schema/family.schema.json")),
    (Form::Procedure, "procedure", include_str!("../../schema/procedure.schema.json")),
    (Form::People, "people", include_str!("../../schema/people.schema.json")),
    (Form::Verbs, "verbs", include_str!("../../schema/verbs.schema.json")),
    (Form::Waivers, "waivers", include_str!("../../schema/waivers.schema.json")),
];

/// Returns what keeps `node` from being a proper `form`, each finding at the place it is about.
#[must_use]
pub fn violations(form: Form, node: &Node) -> Vec<Finding> {
    let json = node.to_json();
    let compiled = compiled(form);
    let mut findings = Bounded::default();
    for error in compiled.validator.iter_errors(&json) {
        // Finding the place and the words costs more than the judgement; what is beyond the limit is only counted.
        if findings.count() > limits::FINDINGS {
            findings.push(Finding::error(SCHEMA_VIOLATION, String::new()));
        } else {
            findings.extend(told(&compiled.schema, node, innermost(&error)));
        }
    }
    findings.told()
}

/// A schema as text tree, to quote its words, and ready to judge with.
struct Compiled {
    form: Form,
    schema: Value,
    validator: Validator,
}

fn compiled(form: Form) -> &'static Compiled {
    static ALL: OnceLock<Vec<Compiled>> = OnceLock::new();
    let compile = |(form, _, text): &(Form, &str, &str)| {
        let schema = serde_json::from_str(text).expect("the program's schemas are valid JSON, a test reads them");
        let validator =
            jsonschema::draft7::new(&schema).expect("the program's schemas are valid draft-07, a test reads them");
        Compiled { form: *form, schema, validator }
    };
    let all = ALL.get_or_init(|| FORMS.iter().map(compile).collect());
    all.iter().find(|compiled| compiled.form == form).expect("every form has a schema")
}

/// Of "none of these forms fits", returns the fault of the form the author meant: the one that came furthest, or the one
/// that has the right kind of node and differs only in what stands in it.
fn innermost<'e>(error: &'e ValidationError<'e>) -> &'e ValidationError<'e> {
    let depth = |error: &ValidationError<'_>| error.instance_path().as_str().matches('/').count();
    let (ValidationErrorKind::AnyOf { context } | ValidationErrorKind::OneOfNotValid { context }) = error.kind() else {
        return error;
    };
    let is_other_kind = |branch: &[ValidationError<'_>]| {
        branch
            .iter()
            .any(|inner| depth(inner) == depth(error) && matches!(inner.kind(), ValidationErrorKind::Type { .. }))
    };
    let meant = context.iter().filter(|branch| !is_other_kind(branch)).flatten().max_by_key(|inner| depth(inner));
    meant.map_or(error, innermost)
}

/// Puts one violation into words, at its place.
fn told(schema: &Value, root: &Node, error: &ValidationError<'_>) -> Vec<Finding> {
    let pointer = error.instance_path().as_str().to_owned();
    let node = root.at_pointer(&pointer);
    let name = pointer.rsplit('/').next().filter(|part| !part.is_empty() && part.parse::<usize>().is_err());
    let what = name.map_or("this".to_owned(), |name| format!("`{}`", name.replace("~1", "/").replace("~0", "~")));
    let finding = |message: String| Finding::error(SCHEMA_VIOLATION, message).at(node.span);
    let owner = error.schema_path().as_str().rsplit_once('/').and_then(|(owner, _)| schema.pointer(owner));
    let described = || owner.and_then(|owner| owner["description"].as_str()).unwrap_or_default();
    match error.kind() {
        ValidationErrorKind::AdditionalProperties { unexpected } => {
            let beyond = unexpected.iter().skip(limits::FINDINGS);
            let listed = unexpected.iter().take(limits::FINDINGS).map(|key| unexpected_key(node, key, owner));
            listed.chain(beyond.map(|_| Finding::error(SCHEMA_VIOLATION, String::new()))).collect()
        }
        ValidationErrorKind::Required { property } => {
            let property = property.as_str().unwrap_or_default();
            vec![finding(format!("`{property}` is missing")).label(format!("add `{property}:` here"))]
        }
        ValidationErrorKind::Enum { options } => {
            let options = listed(options);
            let found = node.text().unwrap_or("this");
            let near = nearest(found, options.iter().map(String::as_str)).map(|near| format!("did you mean `{near}`?"));
            let message = format!("{what} cannot be `{found}`");
            vec![finding(message).label(format!("one of: {}", options.join(", "))).help(near.unwrap_or_default())]
        }
        ValidationErrorKind::Constant { expected_value } => {
            vec![finding(format!("{what} must be {expected_value}"))]
        }
        ValidationErrorKind::Type { kind } => {
            vec![finding(format!("{what} must be {}", type_words(kind))).label(found_words(node))]
        }
        ValidationErrorKind::Pattern { .. } => {
            let found = node.text().unwrap_or_default();
            vec![finding(format!("{what} is not written in the form this field has: `{found}`")).help(described())]
        }
        ValidationErrorKind::Not { .. } => {
            let found = node.text().unwrap_or_default();
            vec![finding(format!("{what} cannot be `{found}`")).help(described())]
        }
        ValidationErrorKind::PropertyNames { error } => {
            let key = error.instance().as_str().unwrap_or_default();
            let finding =
                Finding::error(SCHEMA_VIOLATION, format!("`{key}` cannot be a name here")).at(node.key_span(key));
            let help = "a name does not begin with one of the words the braces keep for themselves: only, caution, hold, record, see, as, do";
            vec![finding.help(help)]
        }
        ValidationErrorKind::MinItems { limit } => vec![finding(format!("{what} needs at least {}", entries(*limit)))],
        ValidationErrorKind::MinLength { .. } => vec![finding(format!("{what} is empty"))],
        ValidationErrorKind::UniqueItems => vec![finding(format!("{what} holds the same entry twice"))],
        ValidationErrorKind::AnyOf { .. } | ValidationErrorKind::OneOfNotValid { .. } => {
            vec![
                finding(format!("{what} has none of the forms it may have")).label(found_words(node)).help(described()),
            ]
        }
        _ => vec![finding(format!("{what}: {error}"))],
    }
}

fn unexpected_key(node: &Node, key: &str, owner: Option<&Value>) -> Finding {
    let known: Vec<&str> = owner
        .and_then(|owner| owner["properties"].as_object())
        .into_iter()
        .flatten()
        .map(|(key, _)| key.as_str())
        .collect();
    // `{position: closed, vented and locked}`: after the comma YAML sees a key without a value.
    let is_rest_of_text = key.contains(' ') && node.get(key).is_some_and(|value| value.text().is_none());
    let quote =
        is_rest_of_text.then(|| "a text that holds a comma stands in quotation marks inside `{...}`".to_owned());
    let near = nearest(key, known.iter().copied()).map(|near| format!("did you mean `{near}`?"));
    let list = || if known.is_empty() { String::new() } else { format!("known here: {}", known.join(", ")) };
    Finding::error(SCHEMA_VIOLATION, format!("`{key}` is not known here"))
        .at(node.key_span(key))
        .floor("what stands under it would be passed over without a word")
        .help(quote.or(near).unwrap_or_else(list))
}

fn listed(options: &Value) -> Vec<String> {
    let text = |value: &Value| value.as_str().map_or_else(|| value.to_string(), str::to_owned);
    options.as_array().map(|options| options.iter().map(text).collect()).unwrap_or_default()
}

fn type_words(kind: &TypeKind) -> String {
    let words = |name: &str| match name {
        "object" => "a group of `name: value` lines",
        "array" => "a list",
        "integer" => "a whole number",
        "boolean" => "true or false",
        "null" => "empty",
        _ => "a text",
    };
    match kind {
        TypeKind::Single(kind) => words(kind.as_str()).to_owned(),
        TypeKind::Multiple(kinds) => kinds
            .iter()
            .map(|kind| words(kind.as_str()))
            .collect::<std::collections::BTreeSet<_>>()
            .into_iter()
            .collect::<Vec<_>>()
            .join(" or "),
    }
}

fn found_words(node: &Node) -> String {
    match node.to_json() {
        Value::Null => "this is empty",
        Value::Bool(_) => "this is true or false",
        Value::Number(_) => "this is a number",
        Value::String(_) => "this is a text",
        Value::Array(_) => "this is a list",
        Value::Object(_) => "this is a group of `name: value` lines",
    }
    .to_owned()
}
/// Returns a number of entries in words.
fn entries(count: u64) -> String {
    if count == 1 { "one entry".to_owned() } else { format!("{count} entries") }
}
