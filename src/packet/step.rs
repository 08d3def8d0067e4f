//! One step as it is printed: sentences, cautions, joints, blanks and hold points; it knows no other step but by number.

use crate::analysis::fastener::si;
use crate::analysis::fastener::tool::ToolClass;
use crate::analysis::job::{Answer, Job};
use crate::analysis::joint::{JointHere, Stage};
use crate::analysis::reading::ReadingHere;
use crate::analysis::values::boxed;
use crate::base::finding::Finding;
use crate::base::name::{Name, nearest};
use crate::base::quantity::Limit;
use crate::base::rule::{MISSING_FIGURE, UNDECLARED_NAME};
use crate::base::text::Placed;
use crate::model::crib::{Item, Kind};
use crate::model::family::{JointPattern, TorqueRole as Role};
use crate::model::procedure::{
    Block as Written, Caution as Declared, Hold as DeclaredHold, Inline, ReadingKind, Step as WrittenStep,
};
use crate::packet::line::{self, Labels};
use crate::packet::view::{
    Block, Caution, Entry, EntryKind, Hold, Joint, KitItem, Level, Line, Mark, Pattern, PatternShape, Step, TorqueRole,
    TorqueStage,
};

/// What the steps of one job are built from.
pub struct Parts<'j, 'b> {
    /// The job.
    pub job: &'j Job<'b>,
    /// Numbers of labelled steps.
    pub labels: &'j Labels,
    /// Joints of this machine.
    pub joints: &'j [JointHere<'b>],
    /// Figure paths with their number, in order of appearance.
    pub figures: &'j [String],
}

impl<'b> Parts<'_, 'b> {
    /// Builds one step.
    ///
    /// # Errors
    /// What the author has to mend before it can be printed.
    pub fn step(&self, number: u32, step: &'b WrittenStep) -> Answer<Step> {
        let cautions = self.cautions(step)?;
        let entries = self.entries(step)?;
        let holds = self.holds(number, step)?;
        let joints: Vec<Joint> = self.joints.iter().filter(|here| names_torque(step, here)).map(joint).collect();
        let measured = entries.iter().any(|entry| entry.kind == EntryKind::Measurement);
        let mark = if measured || !joints.is_empty() || !holds.is_empty() { Mark::Initial } else { Mark::Tick };
        let blocks = self.blocks(&step.blocks)?;
        Ok(Step { number, cautions, blocks, joints, entries, holds, mark, does: Vec::new() })
    }

    /// Builds the blocks of a step or note.
    ///
    /// # Errors
    /// What the author has to mend before it can be printed.
    pub fn blocks(&self, blocks: &[Written]) -> Answer<Vec<Block>> {
        let mut out = Vec::new();
        for block in blocks {
            let boxed = matches!(out.last(), Some(Block::Paragraph { line }) if offers_a_choice(line));
            out.push(self.block(block, boxed)?);
        }
        Ok(out)
    }

    fn block(&self, block: &Written, boxed: bool) -> Answer<Block> {
        let line = |line: &[Inline]| line::resolved(self.job, self.labels, line);
        Ok(match block {
            Written::Paragraph(inlines) => Block::Paragraph { line: line(inlines)? },
            Written::List(items) => {
                Block::List { boxed, items: items.iter().map(|item| self.blocks(item)).collect::<Answer<_>>()? }
            }
            Written::Table { head, rows } => {
                let cells =
                    |cells: &Vec<Vec<Inline>>| cells.iter().map(|cell| line(cell)).collect::<Answer<Vec<Line>>>();
                Block::Table { head: cells(head)?, rows: rows.iter().map(cells).collect::<Answer<_>>()? }
            }
            Written::Figure { path, .. } => Block::Figure { number: self.figure(path)? },
        })
    }

    fn figure(&self, path: &Placed<String>) -> Answer<u32> {
        let inside = self.job.binder.figure_path(self.job.procedure, &path.value);
        let place = inside.and_then(|inside| self.figures.iter().position(|own| *own == inside.as_str()));
        let number = place.and_then(|place| u32::try_from(place + 1).ok());
        number.ok_or_else(|| boxed(missing_figure(path)))
    }

    fn cautions(&self, step: &WrittenStep) -> Answer<Vec<Caution>> {
        let mut cautions = Vec::new();
        for name in &step.cautions {
            let declared = self.job.procedure.cautions.iter().find(|own| own.name.value == name.value);
            let declared = declared.ok_or_else(|| self.undeclared("caution", name))?;
            if self.job.applies(declared.only.as_ref()) {
                cautions.push(caution(self.job, declared)?);
            }
        }
        cautions.sort_by_key(|caution| caution.level);
        Ok(cautions)
    }

    fn entries(&self, step: &'b WrittenStep) -> Answer<Vec<Entry>> {
        let mut entries = Vec::new();
        for (reading, moment) in self.job.records(step)? {
            if self.job.applies(reading.only.as_ref()) {
                entries.push(entry(self.job, &self.job.reading(reading)?, moment)?);
            }
        }
        Ok(entries)
    }

    fn holds(&self, number: u32, step: &WrittenStep) -> Answer<Vec<Hold>> {
        let mut holds = Vec::new();
        for name in &step.holds {
            let declared = self.job.procedure.holds.iter().find(|own| own.name.value == name.value);
            let declared = declared.ok_or_else(|| self.undeclared("hold", name))?;
            if self.job.applies(declared.only.as_ref()) {
                holds.push(hold(self.job, declared, number)?);
            }
        }
        Ok(holds)
    }

    fn undeclared(&self, what: &str, name: &Placed<Name>) -> Box<Finding> {
        let procedure = self.job.procedure;
        let known: Vec<&str> = match what {
            "caution" => procedure.cautions.iter().map(|caution| caution.name.value.as_str()).collect(),
            _ => procedure.holds.iter().map(|hold| hold.name.value.as_str()).collect(),
        };
        let near = nearest(name.value.as_str(), known).map(|near| format!("did you mean `{near}`?"));
        let help = near.unwrap_or_else(|| format!("declare it under `{what}s:` in the front matter"));
        boxed(Finding::error(UNDECLARED_NAME, format!("no {what} is called `{}`", name.value)).at(name.span).help(help))
    }
}

/// Returns a finding for a figure that cannot be shown.
#[must_use]
pub fn missing_figure(path: &Placed<String>) -> Finding {
    Finding::error(MISSING_FIGURE, format!("`{}` is not in the binder, or is too large to print", path.value))
        .at(path.span)
        .floor("the card would show an empty box")
        .help("a figure is an SVG, PNG or JPEG of at most 4 MiB; its path starts at the procedure's folder and its case counts")
}

/// Resolves a declared caution.
///
/// # Errors
/// What the author has to mend before it can be printed.
pub fn caution(job: &Job<'_>, declared: &Declared) -> Answer<Caution> {
    let (level, word) = match declared.level.value.as_str() {
        "warning" => (Level::Warning, "WARNING"),
        "caution" => (Level::Caution, "CAUTION"),
        "notice" => (Level::Notice, "NOTICE"),
        // The schema lets nothing else through; what it should ever miss is not made harmless here.
        _ => (Level::Danger, "DANGER"),
    };
    Ok(Caution {
        id: declared.name.value.as_str().to_owned(),
        level,
        word: word.to_owned(),
        // The safety alert triangle goes with injury only (ANSI Z535.6): damage to property has a sign of its own.
        sign: if level == Level::Notice { "notice".to_owned() } else { declared.sign.value.clone() },
        hazard: line::sentence(job, &declared.hazard)?,
        consequence: line::sentence(job, &declared.consequence)?,
        avoid: line::sentence(job, &declared.avoid)?,
    })
}

fn hold(job: &Job<'_>, declared: &DeclaredHold, step: u32) -> Answer<Hold> {
    Ok(Hold {
        id: declared.name.value.as_str().to_owned(),
        role: declared.role.value.clone(),
        verify: line::sentence(job, &declared.verify)?,
        step,
    })
}

/// Resolves a blank.
///
/// # Errors
/// What the author has to mend before it can be printed.
pub fn entry(job: &Job<'_>, here: &ReadingHere<'_>, moment: &str) -> Answer<Entry> {
    let reading = here.reading;
    let places: Vec<String> = reading.places.iter().map(|place| place.value.clone()).collect();
    let (low, high) = here.limit.map(ends).unwrap_or_default();
    Ok(Entry {
        name: reading.name.value.as_str().to_owned(),
        kind: match reading.kind {
            ReadingKind::Measurement => EntryKind::Measurement,
            ReadingKind::Note => EntryKind::Note,
            ReadingKind::Time => EntryKind::Time,
        },
        moment: moment.to_owned(),
        limit: here.limit.map(|limit| limit.to_string()).unwrap_or_default(),
        low,
        high,
        unit: here.unit.clone(),
        instrument: here.instrument.as_ref().map(|item| kit_item(item, 1)),
        means: here.meaning(),
        places: if places.is_empty() { vec![String::new()] } else { places },
        outside: line::optional(job, reading.outside.as_ref())?,
    })
}

/// Returns the ends of a limit, both included, as decimals.
fn ends(limit: Limit) -> (Option<String>, Option<String>) {
    match limit {
        Limit::AtMost(high) => (None, Some(high.number.to_string())),
        Limit::AtLeast(low) => (Some(low.number.to_string()), None),
        Limit::Within(range) => (Some(range.low.to_string()), Some(range.high.to_string())),
        Limit::Exactly(only) => (Some(only.number.to_string()), Some(only.number.to_string())),
        Limit::Count(count) => (Some(count.to_string()), Some(count.to_string())),
    }
}

/// Shows a joint.
#[must_use]
pub fn joint(here: &JointHere<'_>) -> Joint {
    let shape = if here.joint.pattern == JointPattern::Rows { PatternShape::Rows } else { PatternShape::Circle };
    let pattern =
        here.order.as_ref().map(|order| Pattern { count: order.count, shape, sequence: order.sequence.clone() });
    let stage = |(label, torque): &Stage| TorqueStage {
        label: label.clone().into_owned(),
        torque: torque.map_or_else(|| "hand tight".to_owned(), |torque| torque.to_string()),
    };
    Joint {
        name: here.joint.name.value.as_str().to_owned(),
        fastener: here.joint.fastener.value.as_str().to_owned(),
        count: here.count,
        thread: here.thread.clone(),
        state: here.state.clone(),
        stages: here.stages.iter().map(stage).collect(),
        role: match here.joint.role {
            Role::Target => TorqueRole::Target,
            Role::Limit => TorqueRole::Limit,
        },
        wrench: here.wrench.as_ref().map(|item| wrench(here, item)),
        pattern,
        left_hand: here.left_hand,
        adapter: here.adapter.as_ref().map(|adapter| kit_item(&adapter.item, 1)),
        setting: here.setting(),
    }
}

/// Shows the wrench of a joint, with what it may be off by at these torques.
fn wrench(here: &JointHere<'_>, item: &Item) -> KitItem {
    let shown = kit_item(item, 1);
    let Kind::TorqueTool { class, .. } = &item.kind else { return shown };
    let Some(class) = ToolClass::read(class) else {
        return shown;
    };
    let set = here.on_the_wrench().filter_map(|(_, torque)| si::newton_metres(torque?).ok());
    let deviation = set.map(|torque| class.deviation(torque)).max();
    let detail = deviation.map_or(shown.detail.clone(), |percent| format!("{}: ±{percent}\u{a0}%", shown.detail));
    KitItem { detail, ..shown }
}

/// Shows an item of the crib.
#[must_use]
pub fn kit_item(item: &Item, count: u32) -> KitItem {
    let detail = match &item.kind {
        Kind::Tool { reach, drive, to_drive, .. } => {
            let reach = reach.map(|reach| format!("reach {reach}"));
            let drive = match (drive, to_drive) {
                (Some(drive), Some(to)) => Some(format!("{} to {}", drive.shown, to.shown)),
                (drive, to) => drive.as_ref().or(to.as_ref()).map(|drive| drive.shown.clone()),
            };
            reach.into_iter().chain(drive).collect::<Vec<_>>().join(", ")
        }
        Kind::Locks => String::new(),
        Kind::TorqueTool { range, drive, graduation, class, .. } => {
            let range = range.map(|range| range.to_string());
            let drive = drive.as_ref().map(|drive| drive.shown.clone());
            let graduation = graduation.map(|step| format!("marks every {step}"));
            let class = (!class.is_empty()).then(|| format!("ISO 6789 {class}"));
            range.into_iter().chain(drive).chain(graduation).chain(class).collect::<Vec<_>>().join(", ")
        }
        Kind::Instrument { range, resolution, .. } => {
            let range = range.map(|range| range.to_string());
            let resolution = resolution.map(|resolution| format!("reads {resolution}"));
            range.into_iter().chain(resolution).collect::<Vec<_>>().join(", ")
        }
        Kind::Fluid { zone, .. } => zone.clone(),
    };
    KitItem {
        id: item.id.value.as_str().to_owned(),
        name: item.name.clone(),
        count,
        detail,
        steps: Vec::new(),
        why: String::new(),
    }
}

/// Returns whether a step's sentence names the torque of a joint, which is how a step says that it tightens it.
fn names_torque(step: &WrittenStep, here: &JointHere<'_>) -> bool {
    step.values().into_iter().any(|name| name.value == here.joint.torque.value)
}

/// Returns whether a sentence asks for one of the points under it ("Perform one of the following").
fn offers_a_choice(line: &Line) -> bool {
    let text: String = line.iter().map(|run| run.text.to_lowercase()).collect();
    text.contains("one of the following") || text.contains("one of these")
}

#[cfg(test)]
mod tests {
    use super::ends;
    use crate::base::quantity::{Limit, Quantity, Range};

    #[test]
    fn a_limit_has_the_ends_that_it_names_and_no_others() {
        let mm = |text| Quantity::parse(text).expect("a quantity");
        let both = |low: &str, high: &str| (Some(low.to_owned()), Some(high.to_owned()));
        assert_eq!(ends(Limit::AtMost(mm("0.05 mm"))), (None, Some("0.05".to_owned())));
        assert_eq!(ends(Limit::AtLeast(mm("44.94 mm"))), (Some("44.94".to_owned()), None));
        let within = Range::parse("24.7 to 25.30 mm").expect("a range");
        assert_eq!(ends(Limit::Within(within)), both("24.7", "25.30"));
        assert_eq!(ends(Limit::Exactly(mm("2 bar"))), both("2", "2"));
        assert_eq!(ends(Limit::Count(4)), both("4", "4"));
    }
}
