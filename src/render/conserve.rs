//! What must be found again in the text of an output, and what is not; it knows no format but text, and never mends anything.
//!
//! A template may set a packet as it likes, but it may not lose a step, a value, a caution or a hold point. So the text of
//! every output is read back and held against the packet it was made from. Spacing is not compared: runs of white space,
//! no-break spaces and soft hyphens differ between formats, and a line may break after a hyphen or a slash. Nothing else
//! is forgiven. A number is only found where it stands alone: `5 N·m` is not found in `25 N·m` nor in `0.5 N·m`.

use crate::base::stamp::{DRAFT_MARK, RELEASED, Stamp, State};
use crate::packet::change::since::Since;
use crate::packet::identity::Identity;
use crate::packet::standing::standing;
use crate::packet::view::{
    AcceptedFinding, Block, Caution, Choice, Entry, Face, Form, Hold, IsolationPoint, Joint, Kit, KitItem, Line,
    Packet, RunKind, Stage, Standing, Step, TorqueRole,
};
use crate::render::around::Around;
use crate::render::drawing;

/// A text that an output must contain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Expectation {
    /// Where it belongs, for the message (`step 12`).
    pub place: String,
    /// The text, folded as [`fold`] does.
    pub text: String,
    /// Where in the output it must stand.
    pub order: Order,
}

/// Where an expected text must stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// Anywhere.
    Anywhere,
    /// Directly before the step that follows in the list of expectations.
    Before,
    /// After the step before it, with this number close in front of it.
    Step(u32),
    /// After the text before it.
    Next,
    /// After the step before it and not after the step that follows.
    Within,
    /// In the same row as the last text that may stand anywhere: so close behind it, or directly before it; in bytes.
    Beside(usize),
}

impl Expectation {
    /// Returns the expectation of a text at any place of the output.
    #[must_use]
    pub fn anywhere(place: &str, text: &str) -> Self {
        Self::new(place, text, Order::Anywhere)
    }

    /// Returns the expectations of a row: its label anywhere, and each other text beside it.
    #[must_use]
    pub fn row(place: &str, label: &str, texts: &[&str]) -> Vec<Self> {
        let reach = ROW_REACH + texts.iter().map(|text| text.len() + 1).sum::<usize>();
        let beside = texts.iter().map(|text| Self::new(place, text, Order::Beside(reach)));
        std::iter::once(Self::anywhere(place, label)).chain(beside).filter(|own| !own.text.is_empty()).collect()
    }

    fn new(place: &str, text: &str, order: Order) -> Self {
        Self { place: place.to_owned(), text: fold(text), order }
    }
}

/// Returns everything the text of a packet must contain, in the order of the packet.
#[must_use]
pub fn expectations(packet: &Packet, around: &Around<'_>) -> Vec<Expectation> {
    let Around { identity, face, stamp, since } = *around;
    let mut list = List::default();
    for (place, text) in [
        ("document number", &packet.document),
        ("title", &packet.title),
        ("tag", &packet.tag),
        ("place", &packet.place),
        ("plant", &packet.plant),
        ("people", &packet.people),
        ("time", &packet.time),
        ("check words", &identity.words),
        ("check words of the card", &face.words),
    ] {
        list.anywhere(place, text);
    }
    list.stamp(stamp);
    list.anywhere("revision of the card", &stamp.card_revision);
    if let Some(since) = since {
        list.since(since);
    }
    list.options(&packet.options);
    list.line("purpose", &packet.purpose);
    list.standing(packet, stamp);
    list.texts("deference", &packet.deference);
    list.texts("not checked", &packet.not_checked);
    for accepted in &packet.accepted_findings {
        list.accepted(accepted);
    }
    list.lines("not covered", &packet.not_covered);
    list.lines("precautions", &packet.precautions);
    list.lines("prerequisites", &packet.prerequisites);
    for caution in &packet.cautions {
        list.caution(&format!("caution `{}`", caution.id), caution, Order::Anywhere);
    }
    list.isolation(&packet.isolation);
    list.kit(&packet.kit);
    list.stages(&packet.stages, Manner::Packet(&packet.standing));
    for joint in &packet.joints {
        // A drawing stands where the joint is tightened.
        let undrawn = Joint { pattern: None, ..joint.clone() };
        list.joint(&format!("joint `{}`", joint.name), &undrawn, &packet.standing, Order::Anywhere);
    }
    for reading in &packet.readings {
        list.entry("record sheet", &reading.entry, Order::Anywhere);
    }
    for figure in &packet.figures {
        list.anywhere(&format!("figure {}", figure.number), &figure.caption);
    }
    list.0
}

/// Returns everything the text of a card must contain; the tags it serves stand outside the face.
#[must_use]
pub fn face_expectations(face: &Face, identity: &Identity, stamp: &Stamp) -> Vec<Expectation> {
    let mut list = List::default();
    list.anywhere("document number", &face.document);
    list.anywhere("title", &face.title);
    list.anywhere("check words", &identity.words);
    list.stamp(stamp);
    list.options(&face.options);
    list.texts("deference", &face.deference);
    for caution in &face.cautions {
        list.caution(&format!("caution `{}`", caution.id), caution, Order::Anywhere);
    }
    list.isolation(&face.isolation);
    list.texts("what to isolate", &face.boundaries);
    for tool in &face.tools {
        list.anywhere("tools", &tool.id);
    }
    let standing = standing();
    for joint in &face.joints {
        list.joint(&format!("joint `{}`", joint.name), joint, &standing, Order::Anywhere);
    }
    for number in &face.numbers {
        list.anywhere("numbers", &number.name);
        list.anywhere("numbers", &number.value);
    }
    list.stages(&face.stages, Manner::Card);
    list.0
}

/// How steps stand in an output.
#[derive(Clone, Copy, Debug)]
enum Manner<'a> {
    /// Each step has its cautions before it and its torques below it; hold points are signed here.
    Packet(&'a Standing),
    /// Cautions and torques stand once, away from the steps; hold points are signed in the packet.
    Card,
}

/// The list under construction; an empty text is no expectation.
#[derive(Debug, Default)]
struct List(Vec<Expectation>);

impl List {
    fn push(&mut self, place: &str, text: &str, order: Order) {
        let expectation = Expectation::new(place, text, order);
        if !expectation.text.is_empty() {
            self.0.push(expectation);
        }
    }

    fn anywhere(&mut self, place: &str, text: &str) {
        self.push(place, text, Order::Anywhere);
    }

    fn texts(&mut self, place: &str, texts: &[String]) {
        for text in texts {
            self.anywhere(place, text);
        }
    }

    fn lines(&mut self, place: &str, lines: &[Line]) {
        for line in lines {
            self.line(place, line);
        }
    }

    fn line(&mut self, place: &str, line: &Line) {
        for piece in pieces(line) {
            self.anywhere(place, &piece);
        }
    }

    fn stamp(&mut self, stamp: &Stamp) {
        self.anywhere("mark", &stamp.mark);
        self.anywhere("revision", &stamp.revision);
        self.anywhere("effective date", &stamp.effective);
        self.anywhere("last day", &stamp.last_day);
        self.anywhere("review by", &stamp.review_by);
        self.anywhere("ledger as of", &stamp.as_of);
        if stamp.state == State::Controlled {
            self.anywhere("record", &format!("{RELEASED} {}", stamp.record));
        }
        // Name, time and meaning stand together, or they would be another's.
        for approval in &stamp.approvals {
            let row = approval.name.len() + approval.time.len() + approval.meaning.len();
            self.anywhere("approvals", &approval.name);
            for text in [&approval.time, &approval.meaning] {
                self.push("approvals", text, Order::Beside(row + ROW_REACH));
            }
        }
    }

    /// What changed; an empty list of changes is said in the words of the template.
    fn since(&mut self, since: &Since) {
        self.anywhere("revision before", &since.revision);
        for change in &since.changes {
            let row = change.what.len() + change.from.len() + change.to.len() + change.remark.len();
            self.anywhere("what changed", &change.what);
            for text in [&change.from, &change.to, &change.remark] {
                self.push("what changed", text, Order::Beside(row + ROW_REACH));
            }
        }
        self.texts("what did not change", &since.unchanged);
        let gone: Vec<String> = since.gone.iter().map(u32::to_string).collect();
        self.anywhere("steps that are gone", &gone.join(", "));
    }

    fn options(&mut self, options: &[Choice]) {
        for choice in options {
            self.anywhere(&format!("option `{}`", choice.option), &choice.value);
        }
    }

    fn caution(&mut self, place: &str, caution: &Caution, order: Order) {
        self.push(place, &caution.word, order);
        for line in [&caution.hazard, &caution.consequence, &caution.avoid] {
            for piece in pieces(line) {
                self.push(place, &piece, order);
            }
        }
    }

    fn isolation(&mut self, points: &[IsolationPoint]) {
        for point in points {
            let place = format!("isolation point `{}`", point.point);
            for text in [&point.point, &point.boundary, &point.energy, &point.position, &point.prove] {
                self.anywhere(&place, text);
            }
        }
    }

    /// What stands in every packet, where it has something to stand for.
    fn standing(&mut self, packet: &Packet, stamp: &Stamp) {
        let standing = &packet.standing;
        let place = "what stands in every packet";
        self.anywhere(place, &standing.deference);
        self.anywhere(place, &standing.keep_place);
        self.texts(place, &standing.job_blanks);
        for (is_said, text) in [
            (stamp.approvals.is_empty(), &standing.no_approval),
            (packet.cautions.is_empty(), &standing.no_hazard),
            (packet.isolation.is_empty(), &standing.no_isolation),
            (packet.isolation.iter().any(|point| point.prove.is_empty()), &standing.no_proof),
        ] {
            if is_said {
                self.anywhere(place, text);
            }
        }
        for form in [&standing.handover, &standing.count_back, &standing.hygiene, &standing.redline] {
            self.form(form);
        }
        let isolation = &standing.isolation;
        if packet.isolation.is_empty() {
            self.anywhere(&isolation.title, &isolation.title);
            self.texts(&isolation.title, &isolation.words);
        } else {
            self.form(isolation);
        }
    }

    fn form(&mut self, form: &Form) {
        self.anywhere(&form.title, &form.title);
        for texts in [&form.words, &form.points, &form.blanks, &form.marks] {
            self.texts(&form.title, texts);
        }
    }

    /// The name, the reason and the day stand in the row of what was accepted, or they would be another's.
    fn accepted(&mut self, accepted: &AcceptedFinding) {
        let place = format!("accepted finding `{}`", accepted.rule);
        let texts = [&accepted.rule, &accepted.reason, &accepted.by, &accepted.until];
        let row = accepted.finding.len() + texts.iter().map(|text| text.len()).sum::<usize>();
        self.anywhere(&place, &accepted.finding);
        for text in texts {
            self.push(&place, text, Order::Beside(row + ROW_REACH));
        }
    }

    fn kit(&mut self, kit: &Kit) {
        for part in &kit.parts {
            let place = format!("kit, `{}`", part.name);
            let row = part.name.len() + part.number.len() + part.material.len() + part.bin.len();
            self.anywhere(&place, &part.name);
            self.push(&place, &part.number, Order::Beside(row + ROW_REACH));
            self.push(&place, &part.count.to_string(), Order::Beside(row + ROW_REACH));
            self.anywhere(&place, &part.why);
        }
        for item in &kit.temporary {
            let place = format!("kit, `{}`", item.name);
            self.anywhere(&place, &item.name);
            self.push(&place, &item.count.to_string(), Order::Beside(item.name.len() + ROW_REACH));
            self.anywhere(&place, &item.why);
        }
        for item in [&kit.locks, &kit.torque_tools, &kit.instruments, &kit.tools].into_iter().flatten() {
            self.kit_item(item, &item.count.to_string());
        }
        for item in &kit.fluids {
            self.kit_item(item, "");
        }
        self.texts("kit, protection", &kit.protection);
    }

    /// A fluid has no count: it is drawn as needed.
    fn kit_item(&mut self, item: &KitItem, count: &str) {
        let place = format!("kit, `{}`", item.id);
        let row = item.id.len() + item.name.len() + item.detail.len();
        self.anywhere(&place, &item.id);
        self.push(&place, &item.name, Order::Beside(row + ROW_REACH));
        self.push(&place, count, Order::Beside(row + ROW_REACH));
        self.anywhere(&place, &item.why);
    }

    fn stages(&mut self, stages: &[Stage], manner: Manner<'_>) {
        for stage in stages {
            self.anywhere("stage", &stage.title);
            for note in texts(&stage.notes) {
                self.anywhere(&format!("stage `{}`", stage.title), &note);
            }
            for step in &stage.steps {
                self.step(step, manner);
            }
        }
    }

    fn step(&mut self, step: &Step, manner: Manner<'_>) {
        let place = format!("step {}", step.number);
        if let Manner::Packet(_) = manner {
            for caution in &step.cautions {
                self.caution(&format!("caution before {place}"), caution, Order::Before);
            }
        }
        let mut texts = texts(&step.blocks).into_iter();
        match texts.next() {
            Some(first) => self.push(&place, &first, Order::Step(step.number)),
            None => self.push(&place, &step.number.to_string(), Order::Next),
        }
        for text in texts {
            self.push(&place, &text, Order::Next);
        }
        for joint in &step.joints {
            match manner {
                Manner::Packet(standing) => self.joint(&place, joint, standing, Order::Within),
                Manner::Card => self.joint(&place, joint, &standing(), Order::Anywhere),
            }
        }
        for entry in &step.entries {
            self.entry(&place, entry, Order::Within);
        }
        for hold in &step.holds {
            self.hold(hold, manner);
        }
    }

    fn joint(&mut self, place: &str, joint: &Joint, standing: &Standing, order: Order) {
        self.push(place, &joint.name, order);
        let counted = format!("{} × {}", joint.count, joint.fastener);
        self.push(place, if joint.count > 1 { &counted } else { &joint.fastener }, order);
        for stage in &joint.stages {
            let named = format!("{} {}", stage.label, stage.torque);
            self.push(place, if joint.stages.len() > 1 { &named } else { &stage.torque }, order);
        }
        self.push(place, &joint.thread, order);
        self.push(place, &joint.state, order);
        if joint.role == TorqueRole::Limit {
            self.push(place, &standing.limit, order);
        }
        if joint.left_hand {
            self.push(place, &standing.left_hand, order);
        }
        if let Some(wrench) = &joint.wrench {
            self.push(place, &wrench.id, order);
        }
        self.push(place, &joint.setting, order);
        if let Some(pattern) = &joint.pattern {
            self.push(place, &drawing::pattern_legend(pattern), order);
        }
    }

    fn entry(&mut self, place: &str, entry: &Entry, order: Order) {
        self.push(place, &entry.name, order);
        self.push(place, &entry.limit, order);
        self.push(place, &entry.means, order);
        self.push(place, &entry.unit, order);
        if let Some(instrument) = &entry.instrument {
            self.push(place, &instrument.id, order);
        }
        for text in &entry.places {
            self.push(place, text, order);
        }
        if order == Order::Within {
            for piece in pieces(&entry.outside) {
                self.push(place, &piece, order);
            }
        }
    }

    fn hold(&mut self, hold: &Hold, manner: Manner<'_>) {
        let place = format!("hold point `{}`", hold.id);
        self.push(&place, &hold.id, Order::Within);
        self.push(&place, &hold.role, Order::Within);
        for piece in pieces(&hold.verify) {
            self.push(&place, &piece, Order::Within);
        }
        if let Manner::Packet(standing) = manner {
            for text in [&standing.hold, &standing.hold_done, &standing.hold_verified] {
                self.push(&place, text, Order::Within);
            }
        }
    }
}

/// Returns the texts of blocks in reading order; a figure has none.
fn texts(blocks: &[Block]) -> Vec<String> {
    let mut found = Vec::new();
    for block in blocks {
        match block {
            Block::Paragraph { line } => found.extend(pieces(line)),
            Block::List { items, .. } => found.extend(items.iter().flat_map(|item| texts(item))),
            Block::Table { head, rows } => {
                found.extend(head.iter().chain(rows.iter().flatten()).flat_map(pieces));
            }
            Block::Figure { .. } => {}
        }
    }
    found.retain(|text| !fold(text).is_empty());
    found
}

/// Returns a line as the stretches that stand unbroken in print; a link may be followed by its address.
fn pieces(line: &Line) -> Vec<String> {
    let mut pieces = Vec::with_capacity(1);
    let mut piece = String::new();
    for run in line {
        piece.push_str(&run.text);
        if run.kind == RunKind::Link {
            pieces.push(std::mem::take(&mut piece));
        }
    }
    pieces.push(piece);
    pieces
}

/// Returns a text with every run of white space as one space, none at its ends or after a hyphen, dash or slash, and
/// without the characters that only say where a line may break.
#[must_use]
pub fn fold(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    let mut space = false;
    let mut rest = text;
    while let Some(character) = rest.chars().next() {
        // Most of a text is runs of plain characters; they are taken over as they stand.
        let run = rest.bytes().position(|byte| byte <= b' ' || byte >= 0x7f).unwrap_or(rest.len());
        let taken = if run > 0 { run } else { character.len_utf8() };
        if run == 0 && is_break_hint(character) {
            rest = &rest[taken..];
            continue;
        }
        if run == 0 && character.is_whitespace() {
            space = true;
            rest = &rest[taken..];
            continue;
        }
        if space && !folded.is_empty() && !folded.ends_with(['-', '/', '\u{2013}', '\u{2014}']) {
            folded.push(' ');
        }
        space = false;
        folded.push_str(&rest[..taken]);
        rest = &rest[taken..];
    }
    folded
}

/// Returns whether a character only says where a line may break.
const fn is_break_hint(character: char) -> bool {
    matches!(character, '\u{ad}' | '\u{200b}' | '\u{2060}' | '\u{feff}')
}

/// Returns by what an output could be taken for the other kind, in words: a draft for a controlled one, or the other way round.
#[must_use]
pub fn looks_alike(stamp: &Stamp, text: &str) -> Vec<String> {
    let foreign = match stamp.state {
        State::Draft => RELEASED,
        State::Controlled => DRAFT_MARK,
    };
    let is_foreign = fold(text).to_lowercase().contains(&fold(foreign).to_lowercase());
    let kind = if stamp.state == State::Draft { "a draft" } else { "a controlled output" };
    let said = is_foreign.then(|| format!("{kind} may not say `{foreign}`"));
    stamp.check().err().map(|fault| fault.to_string()).into_iter().chain(said).collect()
}

/// How far in front of its step, beyond the cautions themselves, a caution may stand; in bytes.
const CAUTION_REACH: usize = 800;
/// How far behind its label, beyond the texts of its row, a text of the same row may stand; in bytes.
const ROW_REACH: usize = 32;
/// How far before its label a text of the same row may stand; in bytes.
const ROW_HEAD: usize = 16;
/// How far behind the last step, beyond its own texts, what belongs to it may stand; in bytes.
const LAST_REACH: usize = 2000;
/// How far in front of its text the number of a step may stand; in bytes.
const NUMBER_REACH: usize = 48;

/// Returns what is missing from a text, in words; empty where all is there.
#[must_use]
pub fn missing(expected: &[Expectation], text: &str) -> Vec<String> {
    let text = fold(text);
    let mut search = Search { text: &text, near: 0, next: 0, waiting: Vec::new(), lost: Vec::new() };
    let mut before = 0;
    for (index, expectation) in expected.iter().enumerate() {
        match expectation.order {
            Order::Before => continue,
            Order::Anywhere => search.anywhere(expectation),
            Order::Beside(reach) => search.beside(expectation, &expected[..index], reach),
            Order::Within => search.waiting.push(expectation),
            Order::Next => {
                search.following(expectation);
            }
            Order::Step(number) => search.step(expectation, number, &expected[before..index]),
        }
        before = index + 1;
    }
    let length: usize = search.waiting.iter().map(|waiting| waiting.text.len() + 1).sum();
    let end = (search.next + length + LAST_REACH).min(search.text.len());
    search.settle(end);
    search.lost
}

/// A walk through a text with the expectations in hand.
struct Search<'a> {
    text: &'a str,
    /// Where the last text was found: the next is usually not far.
    near: usize,
    /// Where the ordered texts have got to.
    next: usize,
    /// What must stand between the last step and the one that follows.
    waiting: Vec<&'a Expectation>,
    lost: Vec<String>,
}

impl Search<'_> {
    fn anywhere(&mut self, expectation: &Expectation) {
        let place = find(self.text, &expectation.text, self.near).or_else(|| find(self.text, &expectation.text, 0));
        match place {
            Some(place) => self.near = place,
            None => self.lose(expectation, ""),
        }
    }

    /// Finds a text in the row of its label, which is the last text before it that may stand anywhere.
    fn beside(&mut self, expectation: &Expectation, before: &[Expectation], reach: usize) {
        let Some(label) = before.iter().rev().find(|other| other.order == Order::Anywhere) else { return };
        let mut from = 0;
        while let Some(place) = find(self.text, &label.text, from) {
            from = place + label.text.len();
            // A whole text may stand before its label, with no more than a mark between.
            let head = floor_char(self.text, place.saturating_sub(ROW_HEAD.max(expectation.text.len() + 2)));
            let tail = floor_char(self.text, (from + reach).min(self.text.len()));
            let behind = find(&self.text[..tail], &expectation.text, from);
            if behind.or_else(|| find(&self.text[..place], &expectation.text, head)).is_some() {
                return;
            }
        }
        self.lose(expectation, " (not in its row)");
    }

    /// Looks for what waits between the last step and a place.
    fn settle(&mut self, end: usize) {
        let end = floor_char(self.text, end);
        for waiting in std::mem::take(&mut self.waiting) {
            if find(&self.text[..end], &waiting.text, self.next.min(end)).is_none() {
                self.lose(waiting, " (not at its step)");
            }
        }
    }

    /// Finds an ordered text and returns its place.
    fn following(&mut self, expectation: &Expectation) -> Option<usize> {
        let place = find(self.text, &expectation.text, self.next);
        match place {
            Some(place) => {
                self.near = place;
                self.next = place + expectation.text.len();
            }
            None if find(self.text, &expectation.text, 0).is_some() => self.lose(expectation, " (out of order)"),
            None => self.lose(expectation, ""),
        }
        place
    }

    fn step(&mut self, expectation: &Expectation, number: u32, cautions: &[Expectation]) {
        let start = self.next;
        let number = number.to_string();
        let mut from = start;
        while let Some(place) = find(self.text, &expectation.text, from) {
            if stands_before(self.text, &number, start, place) {
                self.settle(place);
                self.near = place;
                self.next = place + expectation.text.len();
                self.cautions(cautions, start, place);
                return;
            }
            from = place + expectation.text.len();
        }
        let reason = if find(self.text, &expectation.text, start).is_some() {
            " (without its number)"
        } else if find(self.text, &expectation.text, 0).is_some() {
            " (out of order)"
        } else {
            ""
        };
        self.settle(self.text.len());
        self.lose(expectation, reason);
    }

    /// Looks for cautions between the step before and their own, at a reach that a reader takes in at once.
    fn cautions(&mut self, cautions: &[Expectation], start: usize, step: usize) {
        let length: usize = cautions.iter().map(|caution| caution.text.len() + 1).sum();
        let reach = step.saturating_sub(length + CAUTION_REACH);
        let mut from = floor_char(self.text, reach.max(start));
        for caution in cautions {
            match find(&self.text[..step], &caution.text, from) {
                Some(place) => from = place + caution.text.len(),
                None => self.lose(caution, " (not directly before its step)"),
            }
        }
    }

    fn lose(&mut self, expectation: &Expectation, reason: &str) {
        self.lost.push(format!("{}: `{}`{reason}", expectation.place, expectation.text));
    }
}

/// Returns whether a number stands alone at most [`NUMBER_REACH`] in front of a place.
fn stands_before(text: &str, number: &str, start: usize, place: usize) -> bool {
    let from = floor_char(text, place.saturating_sub(NUMBER_REACH).max(start));
    find(&text[..place], number, from).is_some()
}

fn floor_char(text: &str, mut index: usize) -> usize {
    while !text.is_char_boundary(index) {
        index -= 1;
    }
    index
}

/// Returns the first place at or after `from` where a text stands alone.
fn find(text: &str, wanted: &str, from: usize) -> Option<usize> {
    let finder = memchr::memmem::Finder::new(wanted);
    let mut from = from;
    while let Some(offset) = finder.find(text.as_bytes().get(from..)?) {
        let place = from + offset;
        if stands_alone(text, place, place + wanted.len()) {
            return Some(place);
        }
        from = place + wanted.chars().next().map_or(1, char::len_utf8);
    }
    None
}

/// Returns whether what lies between two places is not the rest of a longer word or number.
fn stands_alone(text: &str, start: usize, end: usize) -> bool {
    let (head, inside, tail) = (&text[..start], &text[start..end], &text[end..]);
    let (Some(first), Some(last)) = (inside.chars().next(), inside.chars().next_back()) else { return true };
    let mut before = head.chars().rev();
    let mut after = tail.chars();
    let joined_before = first.is_alphanumeric()
        && match before.next() {
            Some(near) if near.is_alphanumeric() => true,
            Some('.' | ',' | '/') if first.is_ascii_digit() => before.next().is_some_and(|far| far.is_ascii_digit()),
            Some('-' | '\u{2212}') if first.is_ascii_digit() => before.next().is_none_or(char::is_whitespace),
            _ => false,
        };
    let joined_after = last.is_alphanumeric()
        && match after.next() {
            Some(near) if near.is_alphanumeric() => true,
            Some('.' | ',' | '/') if last.is_ascii_digit() => after.next().is_some_and(|far| far.is_ascii_digit()),
            _ => false,
        };
    !joined_before && !joined_after
}

#[cfg(test)]
mod tests {
    use super::{Expectation, Order, expectations, face_expectations, fold, missing};
    use crate::packet::view::{Packet, Step};
    use crate::render::around::Around;
    use crate::render::sample;
    use std::fmt::Write as _;

    fn expected(packet: &Packet) -> Vec<Expectation> {
        let (identity, face) = sample::identities(packet);
        expectations(packet, &Around::of(&identity, &face, &sample::draft(packet)))
    }

    /// Returns the plainest text that satisfies a list of expectations: all of them in their order.
    fn plain(expected: &[Expectation]) -> String {
        let mut text = String::new();
        for each in expected {
            if let Order::Step(number) = each.order {
                let _ = write!(text, "\n{number} ");
            }
            text.push_str(&each.text);
            text.push('\n');
        }
        text
    }

    #[test]
    fn spacing_is_folded_and_nothing_else() {
        assert_eq!(fold("  44\u{a0}N·m \n"), "44 N·m");
        assert_eq!(fold("im\u{ad}peller\u{200b}-nut O-\nring"), "impeller-nut O-ring");
        assert_ne!(fold("44 N·m"), fold("44N·m"));
        assert_ne!(fold("44 N·m"), fold("44 N.m"));
    }

    #[test]
    fn a_number_is_not_found_inside_another() {
        let torque = [Expectation::anywhere("joint", "5\u{a0}N·m")];
        for text in ["to 25 N·m", "to 0.5 N·m", "to 0,5 N·m", "to 1/5 N·m", "at -5 N·m", "to 5 N·mm"] {
            assert_eq!(missing(&torque, text), ["joint: `5 N·m`"], "{text}");
        }
        for text in ["to 5 N·m", "(5\u{a0}N·m)", "5\nN·m.", "25 N·m, 5 N·m"] {
            assert!(missing(&torque, text).is_empty(), "{text}");
        }
        let count = [Expectation::anywhere("kit", "12")];
        assert_eq!(missing(&count, "12.5").len(), 1);
        assert!(missing(&count, "12. Next").is_empty());
    }

    #[test]
    fn all_of_the_sample_is_found_in_its_own_plain_text() {
        let packet = sample::packet();
        let expected = expected(&packet);
        assert!(expected.len() > 200, "{}", expected.len());
        assert_eq!(missing(&expected, &plain(&expected)), Vec::<String>::new());
    }

    /// Every single expectation is load-bearing: without its text, something is reported.
    #[test]
    fn a_dropped_step_value_caution_or_hold_is_named() {
        let packet = sample::packet();
        let expected = expected(&packet);
        let text = plain(&expected);
        for (part, place) in [
            ("44 N·m", "step 34"),
            ("Remove the key.", "step 17"),
            ("It sprays out and burns skin and eyes.", "caution before step 4"),
            ("H2", "hold point `H2`"),
            ("quality", "hold point `H3`"),
            ("44.94 mm or more", "step 22"),
            ("OR-PA4-C-V", "kit, `casing O-ring`"),
            ("V-133A", "isolation point `V-133A`"),
            ("DRAFT - not for use", "mark"),
        ] {
            let lost = missing(&expected, &text.replace(&fold(part), "?"));
            assert!(lost.iter().any(|line| line.starts_with(place)), "{part}: {lost:?}");
        }
    }

    #[test]
    fn a_caution_after_its_step_is_lost() {
        let mut packet = sample::packet();
        let before = expected(&packet);
        let step: &mut Step = &mut packet.stages[1].steps[0];
        assert_eq!(step.number, 4);
        step.cautions.clear();
        // Another content has other check words.
        let mut lost = missing(&before, &plain(&expected(&packet)));
        lost.retain(|line| !line.starts_with("check words"));
        assert_eq!(lost.len(), 4);
        assert!(lost.iter().all(|line| line.starts_with("caution before step 4")), "{lost:?}");
    }

    #[test]
    fn steps_out_of_order_or_without_their_number_are_named() {
        let packet = sample::packet();
        let expected = expected(&packet);
        let mut swapped = packet.clone();
        swapped.stages[2].steps.swap(8, 9);
        let (first, second) = (swapped.stages[2].steps[8].number, swapped.stages[2].steps[9].number);
        swapped.stages[2].steps[8].number = second;
        swapped.stages[2].steps[9].number = first;
        let lost = missing(&expected, &plain(&self::expected(&swapped)));
        assert!(lost.iter().any(|line| line.starts_with("step 1") && line.ends_with(')')), "{lost:?}");

        let text = plain(&expected).replace("\n17 Remove the key.", "\nRemove the key.");
        assert_eq!(missing(&expected, &text), ["step 17: `Remove the key.` (without its number)"]);
    }

    #[test]
    fn a_face_is_expected_with_its_numbers_and_picked_steps() {
        let packet = sample::packet();
        let (_, identity) = sample::identities(&packet);
        let expected = face_expectations(&packet.card, &identity, &sample::draft(&packet));
        let text = plain(&expected);
        assert!(missing(&expected, &text).is_empty());
        let lost = missing(&expected, &text.replace("35.7 to 36.3 mm", "35.7 to 36.8 mm"));
        assert!(lost.contains(&"numbers: `35.7 to 36.3 mm`".to_owned()), "{lost:?}");
    }

    /// Twice the text may take twice as long, not four times: the search walks on from where it is.
    #[test]
    fn a_long_packet_is_searched_in_one_walk() {
        let mut packet = sample::packet();
        let steps = packet.stages[2].steps.clone();
        for _ in 0..200 {
            packet.stages[2].steps.extend(steps.iter().cloned());
        }
        let expected = expected(&packet);
        assert!(missing(&expected, &plain(&expected)).is_empty());
    }
}
