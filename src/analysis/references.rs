//! What the registers and the front matter of procedures name, and where; what steps do with it is for the run of a job.

use crate::base::name::{DocumentNumber, FamilyId, Name};
use crate::base::text::{Placed, Span};
use crate::language::sentence::{Sentence, TokenKind, of_blocks};
use crate::model::binder::Binder;
use crate::model::draw::Draw;
use crate::model::family::{Family, Joint, Part};
use crate::model::procedure::Procedure;
use crate::model::prose::Prose;
use crate::model::value::{Key, Table, Value, Values};

/// One place at which a register or front matter names something.
#[derive(Clone, Debug)]
pub struct Reference<'b> {
    /// The document; none in a register.
    pub document: Option<&'b DocumentNumber>,
    /// The family whose parts and values are meant; none in the crib.
    pub family: Option<&'b FamilyId>,
    /// The place.
    pub span: Span,
    /// What stands there, in words.
    pub what: String,
    /// Whether it is what makes the thing known.
    pub role: Role,
    /// What it names.
    pub named: Named,
}

/// What a reference does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// It defines the thing.
    Defines,
    /// It uses the thing.
    Names,
    /// It is a sentence that may name the thing in its words.
    Says,
}

/// What a reference names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Named {
    /// A part, opening or temporary item.
    Part(Name),
    /// A value or option.
    Value(Name),
    /// Something of the crib, or a value that says what: by its words.
    Words(String),
    /// A procedure, by its number.
    Document(DocumentNumber),
    /// A procedure, by the path a link goes to.
    Link(String),
}

/// Returns every reference of a binder, in the order of its files.
#[must_use]
pub fn references(binder: &Binder) -> Vec<Reference<'_>> {
    let mut list = List::default();
    for item in &binder.crib.items {
        list.add(item.id.span, Role::Defines, "the crib", Named::Words(item.id.value.as_str().to_owned()));
    }
    binder.families.iter().for_each(|family| list.family(family));
    binder.procedures.iter().for_each(|procedure| list.procedure(procedure));
    list.references
}

#[derive(Default)]
struct List<'b> {
    document: Option<&'b DocumentNumber>,
    family: Option<&'b FamilyId>,
    references: Vec<Reference<'b>>,
}

impl<'b> List<'b> {
    fn add(&mut self, span: Span, role: Role, what: impl Into<String>, named: Named) {
        let (document, family) = (self.document, self.family);
        self.references.push(Reference { document, family, span, what: what.into(), role, named });
    }

    fn family(&mut self, family: &'b Family) {
        let id = &family.id.value;
        self.family = Some(id);
        for option in &family.options {
            let name = &option.name;
            self.add(name.span, Role::Defines, format!("option of family {id}"), Named::Value(name.value.clone()));
        }
        for name in &family.tag_values {
            self.add(
                name.span,
                Role::Defines,
                format!("value of each tag of family {id}"),
                Named::Value(name.value.clone()),
            );
        }
        family.parts.iter().for_each(|part| self.part(part, &format!("part of family {id}")));
        for opening in &family.openings {
            let name = &opening.name;
            self.add(name.span, Role::Defines, format!("opening of family {id}"), Named::Part(name.value.clone()));
            self.count(opening.count.as_ref(), &format!("number of `{}`", name.value));
        }
        for item in &family.temporary {
            let name = &item.name;
            self.add(
                name.span,
                Role::Defines,
                format!("temporary item of family {id}"),
                Named::Part(name.value.clone()),
            );
            self.count(item.count.as_ref(), &format!("number of `{}`", name.value));
        }
        family.joints.iter().for_each(|joint| self.joint(joint));
        self.values(&family.values, &format!("family {id}"));
    }

    fn part(&mut self, part: &'b Part, what: &str) {
        let name = &part.name.value;
        self.add(part.name.span, Role::Defines, what, Named::Part(name.clone()));
        self.count(Some(&part.count), &format!("number of `{name}`"));
        let others = part.held_by.iter().map(|own| (own, "holds"));
        let others = others.chain(part.of.iter().map(|own| (own, "has the part")));
        for (own, word) in others.chain(part.succeeds.iter().map(|own| (own, "is succeeded by"))) {
            self.add(own.span, Role::Names, format!("{word} `{name}`"), Named::Part(own.value.clone()));
        }
        for (prose, word) in [(&part.material, "material"), (&part.number, "stores number")] {
            if let Some(prose) = prose {
                self.prose(prose, &format!("{word} of `{name}`"));
            }
        }
        self.draws(&part.tools, &format!("tool of `{name}`"));
    }

    fn count(&mut self, count: Option<&Placed<String>>, what: &str) {
        if let Some(count) = count.filter(|count| count.value.trim().parse::<u32>().is_err()) {
            self.add(count.span, Role::Names, what, Named::Value(Name::new(&count.value)));
        }
    }

    fn joint(&mut self, joint: &'b Joint) {
        let name = &joint.name.value;
        let fastener = Named::Part(joint.fastener.value.clone());
        self.add(joint.fastener.span, Role::Names, format!("fastener of joint `{name}`"), fastener);
        let torque = Named::Value(joint.torque.value.clone());
        self.add(joint.torque.span, Role::Names, format!("torque of joint `{name}`"), torque);
        if let Some(thread) = &joint.thread {
            self.add(
                thread.span,
                Role::Names,
                format!("thread of joint `{name}`"),
                Named::Value(Name::new(&thread.value)),
            );
        }
        if let Some(wrench) = &joint.wrench {
            self.either(wrench, &format!("wrench of joint `{name}`"));
        }
        if let Some((adapter, _)) = &joint.adapter {
            self.either(adapter, &format!("adapter of joint `{name}`"));
        }
        if let Some(state) = &joint.state {
            self.prose(state, &format!("state of joint `{name}`"));
        }
    }

    /// A text that is the name of a value or the number of an item.
    fn either(&mut self, text: &Placed<String>, what: &str) {
        self.add(text.span, Role::Names, what, Named::Value(Name::new(&text.value)));
        self.add(text.span, Role::Names, what, Named::Words(text.value.clone()));
    }

    fn draws(&mut self, draws: &'b [Draw], what: &str) {
        for draw in draws {
            let words = draw.what.plain("");
            if !words.trim().is_empty() {
                self.add(draw.what.span, Role::Names, what, Named::Words(words.trim().to_owned()));
                self.add(draw.what.span, Role::Names, what, Named::Part(Name::new(&words)));
            }
            self.braces(&draw.what, what);
        }
    }

    /// A sentence whose words may name something besides the values in its braces.
    fn prose(&mut self, prose: &'b Prose, what: &str) {
        self.braces(prose, what);
        self.add(prose.span, Role::Says, what, Named::Words(prose.plain(" ")));
    }

    fn braces(&mut self, prose: &'b Prose, what: &str) {
        for value in prose.values() {
            self.add(value.span, Role::Names, what, Named::Value(value.value.clone()));
        }
    }

    fn values(&mut self, values: &'b Values, of: &str) {
        for definition in values.definitions() {
            let name = definition.name();
            self.add(name.span, Role::Defines, format!("value of {of}"), Named::Value(name.value.clone()));
        }
        for table in &values.tables {
            self.table(table);
        }
        for computed in &values.computed {
            let what = format!("computes `{}`", computed.name.value);
            self.add(computed.count.span, Role::Names, &what, Named::Value(computed.count.value.clone()));
            self.add(computed.times.span, Role::Names, &what, Named::Value(computed.times.value.clone()));
            self.either(&computed.instrument, &what);
        }
    }

    fn table(&mut self, table: &'b Table) {
        for option in &table.by {
            self.add(option.span, Role::Names, "option of a table", Named::Value(option.value.clone()));
        }
        for row in &table.rows {
            let keys = table.by.iter().zip(&row.keys).filter_map(|(option, key)| match key {
                Key::Any => None,
                Key::Among(values) => {
                    let values: Vec<&str> = values.iter().map(|value| value.value.as_str()).collect();
                    Some(format!("{} {}", option.value, values.join(" or ")))
                }
            });
            let keys: Vec<String> = keys.collect();
            for (column, cell) in table.columns.iter().zip(&row.cells) {
                if let Some(Value::Crib(id)) = &cell.value {
                    let what = format!("`{}` for {}", column.value, keys.join(", "));
                    self.add(cell.span, Role::Names, what, Named::Words(id.as_str().to_owned()));
                }
            }
        }
    }

    fn procedure(&mut self, procedure: &'b Procedure) {
        self.document = Some(&procedure.document.value);
        self.family = Some(&procedure.family.value);
        let document = Named::Document(procedure.document.value.clone());
        self.add(procedure.document.span, Role::Defines, procedure.title.value.clone(), document);
        self.draws(&procedure.tools, "listed under `tools`");
        self.draws(&procedure.fluids, "listed under `fluids`");
        self.draws(&procedure.parts, "listed under `parts`");
        self.values(&procedure.values, &format!("document {}", procedure.document.value));
        for configured in &procedure.configuration {
            self.add(
                configured.part.span,
                Role::Names,
                "listed under `configuration`",
                Named::Part(configured.part.value.clone()),
            );
        }
        for reading in &procedure.readings {
            let name = &reading.name.value;
            for (prose, word) in [(&reading.limit, "limit"), (&reading.outside, "what to do outside the limit")] {
                if let Some(prose) = prose {
                    self.prose(prose, &format!("{word} of reading `{name}`"));
                }
            }
            if let Some(instrument) = &reading.instrument {
                let what = format!("instrument of reading `{name}`");
                self.braces(instrument, &what);
                self.add(instrument.span, Role::Names, what, Named::Words(instrument.plain("").trim().to_owned()));
            }
        }
        for caution in &procedure.cautions {
            let what = format!("caution `{}`", caution.name.value);
            for prose in [&caution.hazard, &caution.consequence, &caution.avoid] {
                self.prose(prose, &what);
            }
            for covered in &caution.covers {
                self.add(covered.span, Role::Names, format!("{what} covers it"), Named::Part(covered.value.clone()));
            }
        }
        for hold in &procedure.holds {
            self.prose(&hold.verify, &format!("hold `{}`", hold.name.value));
        }
        for (proses, what) in [
            (std::slice::from_ref(&procedure.purpose), "purpose"),
            (procedure.not_covered.as_slice(), "not covered"),
            (&procedure.precautions, "precaution"),
            (&procedure.prerequisites, "prerequisite"),
        ] {
            for prose in proses {
                self.prose(prose, what);
            }
        }
        for name in &procedure.card.numbers {
            self.add(name.span, Role::Names, "number on the card", Named::Value(name.value.clone()));
        }
        for stage in &procedure.stages {
            let what = format!("note under `{}`", stage.title.value);
            for sentence in of_blocks(&stage.notes) {
                self.sentence(&sentence, &what);
            }
        }
        for link in procedure.links() {
            self.add(link.span, Role::Names, "link", Named::Link(link.value.clone()));
        }
    }

    fn sentence(&mut self, sentence: &Sentence, what: &str) {
        for token in &sentence.tokens {
            if let TokenKind::Value(name) = &token.kind {
                self.add(token.span, Role::Names, what, Named::Value(name.clone()));
            }
        }
        self.add(sentence.span, Role::Says, what, Named::Words(without_braces(&sentence.text)));
    }
}

/// Returns a text without what stands in braces: the name of a value says nothing about a part.
#[must_use]
pub fn without_braces(text: &str) -> String {
    let mut depth = 0_usize;
    let outside = text.chars().filter(|c| {
        match c {
            '{' => depth += 1,
            '}' => depth = depth.saturating_sub(1),
            _ => return depth == 0,
        }
        false
    });
    outside.collect()
}
