//! From a World to a binder: which files are read, by which schema, and what is wrong with them; it judges no content.

use crate::base::finding::{Bounded, Finding, Severity};
use crate::base::limits;
use crate::base::name::{CribId, nearest};
use crate::base::path::BinderPath;
use crate::base::rule::{
    EMPTY_PROCEDURE, HIDDEN_CHARACTER, MISSING_REGISTER, SCHEMA_VIOLATION, UNREADABLE_FILE, UNUSABLE_NAME,
};
use crate::base::text::{FileId, Span, Texts};
use crate::model::accepted::Accepted;
use crate::model::binder::{Binder, FORMAT, Registers};
use crate::model::crib::{self, Crib};
use crate::model::family::Family;
use crate::model::fields::Fields;
use crate::model::fleet;
use crate::model::head::{self, Claim};
use crate::model::procedure::Procedure;
use crate::model::settings::Settings;
use crate::model::verbs;
use crate::model::waiver;
use crate::model::world::{Listing, Refusal, World, WorldError};
use crate::source::body::{self, Body};
use crate::source::decode::{self};
use crate::source::schema::{self, Form};
use crate::source::yaml::{self, Node};
use std::collections::{BTreeMap, BTreeSet};

/// Why a binder cannot be read at all.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LoadError {
    /// The folder cannot be read.
    #[error(transparent)]
    World(#[from] WorldError),
    /// There is no `binder.yaml`.
    #[error("this folder is no binder: it holds no `binder.yaml`")]
    NoBinder,
    /// It was made for a newer program.
    #[error("this binder has format {found}; this program reads format {FORMAT}: update the program")]
    NewerFormat {
        /// The format number in `binder.yaml`.
        found: u32,
    },
    /// It has more files than are looked through, so that what is missing could not be told from what was not seen.
    #[error("the binder holds more than {} files; the rest was not seen, so nothing is decided", limits::FILES)]
    TooManyFiles,
}

/// Reads a binder. Everything the author did wrong is a finding; the binder holds what could be read.
///
/// # Errors
/// A [`LoadError`] where there is no binder, or one this program cannot read.
pub fn load(world: &dyn World) -> Result<(Binder, Vec<Finding>), LoadError> {
    let listing = world.list()?;
    if listing.refused.iter().any(|refused| refused.why == Refusal::TooMany) {
        return Err(LoadError::TooManyFiles);
    }
    let mut loader = Loader {
        world,
        texts: Texts::default(),
        findings: refused_names(&listing),
        registers: Registers::Whole,
        claimed: BTreeSet::new(),
    };
    let root = |name: &str| BinderPath::parse(name).expect("the registers have plain names");
    let here = |name: &str| listing.has(&root(name));
    if !here("binder.yaml") {
        return Err(LoadError::NoBinder);
    }
    let settings = loader.settings(&root("binder.yaml"))?;
    let nothing = BTreeSet::new();
    let crib =
        loader.register(&root("crib.yaml"), Form::Crib, &nothing, |node, _, fields| Some(Crib::read(node, fields)));
    let crib = crib.unwrap_or_default();
    let ids = crib.ids();
    let status = root("crib-status.yaml");
    let read_status = |node: &Node, _, _: &mut Fields<'_>| Some(crib::read_status(node));
    let calibration = here("crib-status.yaml").then(|| loader.register(&status, Form::CribStatus, &ids, read_status));
    let fleet =
        loader.register(&root("fleet.yaml"), Form::Fleet, &ids, |node, _, fields| Some(fleet::read(node, fields)));
    let own_verbs = root("verbs.yaml");
    let read_verbs = |node: &Node, _, fields: &mut Fields<'_>| Some(verbs::read(node, fields));
    let verbs = here("verbs.yaml").then(|| loader.register(&own_verbs, Form::Verbs, &ids, read_verbs));
    let own_waivers = root("waivers.yaml");
    let read_waivers = |node: &Node, _, fields: &mut Fields<'_>| Some(waiver::read(node, fields));
    let waivers = here("waivers.yaml").then(|| loader.register(&own_waivers, Form::Waivers, &ids, read_waivers));
    let families = listing.files.iter().filter(|path| is_family(path));
    let families = families.filter_map(|path| loader.register(path, Form::Family, &ids, Family::read)).collect();
    let families: Vec<Family> = families;
    if !listing.files.iter().any(is_family) {
        loader.no_family();
    }
    loader.findings.extend(listing.files.iter().filter_map(not_read));
    let mut procedures = loader.procedures(&listing, &ids);
    procedures.sort_by(|a, b| (&a.document.value, a.file).cmp(&(&b.document.value, b.file)));
    let mut binder = Binder {
        texts: Texts::default(),
        settings,
        crib,
        calibration: calibration.flatten().unwrap_or_default(),
        fleet: fleet.unwrap_or_default(),
        families,
        verbs: verbs.flatten().unwrap_or_default(),
        waivers: waivers.flatten().unwrap_or_default(),
        accepted: loader.accepted(&listing, &procedures),
        procedures,
        figures: BTreeMap::new(),
        templates: loader.templates(&listing),
        registers: loader.registers,
    };
    std::mem::swap(&mut binder.texts, &mut loader.texts);
    binder.figures = figures(world, &listing, &binder);
    Ok((binder, loader.findings))
}

fn is_yaml(path: &BinderPath) -> bool {
    matches!(path.extension().as_str(), "yaml" | "yml")
}

fn is_family(path: &BinderPath) -> bool {
    path.as_str().starts_with("families/") && is_yaml(path)
}

/// The YAML files at the root that the program reads: the registers beside the families, and who may sign what.
const REGISTERS: [&str; 7] =
    ["binder.yaml", "crib.yaml", "crib-status.yaml", "fleet.yaml", "people.yaml", "verbs.yaml", "waivers.yaml"];

/// Tells a YAML file that somebody may take for a register, though nothing reads it: one at the root, or in a folder
/// whose name is nearly `families`.
fn not_read(path: &BinderPath) -> Option<Finding> {
    let folder = path.folder();
    let is_at_root = folder.as_str().is_empty();
    let is_nearly_family = nearest(folder.as_str(), ["families", "family"]).is_some() && !is_family(path);
    if !is_yaml(path) || REGISTERS.contains(&path.as_str()) || !(is_at_root || is_nearly_family) {
        return None;
    }
    let near = if is_at_root { nearest(path.as_str(), REGISTERS) } else { Some("families/") };
    let help =
        near.map_or("take it out, so that nobody relies on it".to_owned(), |near| format!("did you mean `{near}`?"));
    Some(Finding::warning(UNUSABLE_NAME, format!("`{path}` is not read by this program")).help(help))
}

fn refused_names(listing: &Listing) -> Vec<Finding> {
    let told = |refused: &crate::model::world::Refused| {
        Finding::warning(UNUSABLE_NAME, format!("`{}` was passed over: {}", refused.name, refused.why))
            .help("rename it, or move it out of the binder")
    };
    listing.refused.iter().map(told).collect()
}

struct Loader<'w> {
    world: &'w dyn World,
    texts: Texts,
    findings: Vec<Finding>,
    registers: Registers,
    /// The Markdown files that claim to be a procedure, whatever became of them.
    claimed: BTreeSet<BinderPath>,
}

impl Loader<'_> {
    /// Reads a text into the store, or tells why not.
    fn text(&mut self, path: &BinderPath) -> Option<FileId> {
        let bytes = match self.world.read(path, limits::TEXT_BYTES) {
            Ok(bytes) => bytes,
            Err(WorldError::Missing(name)) => {
                let finding = Finding::error(MISSING_REGISTER, format!("`{name}` is not there"));
                self.findings
                    .push(finding.help("`matchmark init` writes a small binder with all registers to copy from"));
                return None;
            }
            Err(error) => {
                let finding = Finding::error(UNREADABLE_FILE, error.to_string());
                self.findings
                    .push(finding.help("a text file of a binder is at most 1 MiB; put pictures into `figures/`"));
                return None;
            }
        };
        match decode::decode(path.as_str(), &bytes) {
            Ok(decoded) => {
                let file = self.texts.add(path.clone(), decoded.text);
                let mut hidden = Bounded::default();
                hidden.extend(decoded.hidden.iter().map(|(at, c)| hidden_character(file, *at, *c)));
                self.findings.extend(hidden.told());
                Some(file)
            }
            Err(finding) => {
                self.findings.push(*finding);
                None
            }
        }
    }

    fn no_family(&mut self) {
        let finding = Finding::error(MISSING_REGISTER, "there is no file in `families/`");
        self.findings.push(finding.help("`matchmark init` writes a small binder with all registers to copy from"));
        self.registers = Registers::Broken;
    }

    /// Reads the tree of a register and holds it against its schema.
    fn tree(&mut self, path: &BinderPath, form: Form) -> Option<(FileId, Node)> {
        let file = self.text(path)?;
        let (node, findings) = yaml::parse(file, self.texts.get(file).content(), 0);
        let sound = findings.is_empty();
        self.findings.extend(findings);
        let node = node.filter(|_| sound);
        let Some(node) = node else {
            if sound {
                let finding = Finding::error(SCHEMA_VIOLATION, format!("`{path}` is empty"));
                self.findings.push(finding.at(Span::new(file, 0, 0)));
            }
            return None;
        };
        let violations = schema::violations(form, &node);
        let fits = violations.is_empty();
        self.findings.extend(violations);
        fits.then_some((file, node))
    }

    /// Reads a register whose absence or fault leaves everything that depends on it undecided.
    fn register<T>(
        &mut self,
        path: &BinderPath,
        form: Form,
        crib: &BTreeSet<CribId>,
        read: impl FnOnce(&Node, FileId, &mut Fields<'_>) -> Option<T>,
    ) -> Option<T> {
        let value = self.tree(path, form).and_then(|(file, node)| {
            let mut fields = Fields::new(crib);
            let value = read(&node, file, &mut fields);
            // A cell that could not be read would be told again as a hole, for every machine that needs it.
            let told = fields.findings.told();
            let is_whole = told.iter().all(|finding| finding.severity != Severity::Error);
            self.findings.extend(told);
            value.filter(|_| is_whole)
        });
        if value.is_none() {
            self.registers = Registers::Broken;
        }
        value
    }

    /// Reads `binder.yaml`; its format is looked at before its form, since a newer one has another.
    fn settings(&mut self, path: &BinderPath) -> Result<Settings, LoadError> {
        let bytes = self.world.read(path, limits::TEXT_BYTES)?;
        let text = String::from_utf8_lossy(&bytes);
        let format = text.lines().find_map(|line| line.strip_prefix("format:")?.trim().parse::<u32>().ok());
        if let Some(found) = format.filter(|found| *found > FORMAT) {
            return Err(LoadError::NewerFormat { found });
        }
        let settings = self.register(path, Form::Binder, &BTreeSet::new(), |node, _, _| Some(Settings::read(node)));
        Ok(settings.unwrap_or_else(|| Settings::read(&empty())))
    }

    fn procedures(&mut self, listing: &Listing, crib: &BTreeSet<CribId>) -> Vec<Procedure> {
        let markdown = |path: &&BinderPath| path.extension() == "md" && !path.as_str().starts_with("templates/");
        listing.files.iter().filter(markdown).filter_map(|path| self.procedure(path, crib)).collect()
    }

    /// Reads a Markdown file as a procedure, if its head claims to be one; any other is the plant's own business, whatever
    /// is in it. Everything that is found in it is about its document alone.
    fn procedure(&mut self, path: &BinderPath, crib: &BTreeSet<CribId>) -> Option<Procedure> {
        let head = match self.world.head(path, limits::HEAD_BYTES) {
            Ok(head) => head,
            Err(error) => {
                // It may be a procedure or not; without knowing, its outputs must neither be made nor taken away.
                let finding = Finding::error(UNREADABLE_FILE, error.to_string());
                self.findings.push(finding.help("look at its permissions, or move it out of the binder"));
                self.registers = Registers::Broken;
                return None;
            }
        };
        let claim = head::claim(&head)?;
        self.claimed.insert(path.clone());
        let before = self.findings.len();
        let procedure = self.claimed(path, &claim, crib);
        let document = procedure.as_ref().map_or(&claim.document, |procedure| &procedure.document.value);
        for finding in &mut self.findings[before..] {
            finding.document = Some(document.clone());
        }
        procedure
    }

    fn claimed(&mut self, path: &BinderPath, claim: &Claim, crib: &BTreeSet<CribId>) -> Option<Procedure> {
        let file = self.text(path)?;
        let text = self.texts.get(file).content().to_owned();
        if !claim.is_in_front {
            let message = "this file names a document, but does not begin with a line `---`";
            let help = "a procedure's first line is `---`, with nothing before it; a text that is none must not begin a line with `document:`";
            self.findings.push(
                Finding::error(EMPTY_PROCEDURE, message)
                    .at(Span::new(file, 0, text.find('\n').unwrap_or(text.len())))
                    .floor("the procedure would be gone without a word")
                    .help(help),
            );
            return None;
        }
        let (body, body_findings) = body::walk(file, &text);
        self.findings.extend(body_findings);
        let Some(front) = body.front else {
            let finding = Finding::error(EMPTY_PROCEDURE, "the front matter is not closed by a line `---`");
            self.findings.push(finding.at(Span::new(file, 0, 3)));
            return None;
        };
        let (node, findings) = yaml::parse(file, &text[front.range()], front.range().start);
        self.findings.extend(findings);
        let node = node?;
        let violations = schema::violations(Form::Procedure, &node);
        let fits = violations.is_empty();
        self.findings.extend(violations);
        if fits { self.lowered(file, &node, &body, crib) } else { None }
    }

    fn lowered(&mut self, file: FileId, node: &Node, body: &Body, crib: &BTreeSet<CribId>) -> Option<Procedure> {
        let mut fields = Fields::new(crib);
        let procedure = Procedure::read(file, node, body, &mut fields);
        self.findings.extend(fields.findings.told());
        if body.stages.iter().all(|stage| stage.steps.is_empty()) {
            let finding = Finding::error(EMPTY_PROCEDURE, "this procedure has no steps");
            let help = "write `## Strip` as a heading and numbered sentences under it";
            self.findings.push(finding.at(node.key_span("document")).help(help));
        }
        procedure
    }

    /// Reads the accepted actions that lie beside the procedures.
    fn accepted(&mut self, listing: &Listing, procedures: &[Procedure]) -> BTreeMap<FileId, Accepted> {
        self.findings.extend(self.bereft(listing));
        let mut accepted = BTreeMap::new();
        for procedure in procedures {
            let path = self.texts.get(procedure.file).path().with_extension("actions");
            let Some(path) = path.filter(|path| listing.has(path)) else { continue };
            let Some(file) = self.text(&path) else { continue };
            accepted.insert(procedure.file, Accepted::read(file, self.texts.get(file).content()));
        }
        accepted
    }

    /// Tells accepted actions whose procedure is gone: emptied, spoilt or moved. Its outputs must not be taken away for that.
    fn bereft(&self, listing: &Listing) -> Vec<Finding> {
        let actions = listing.files.iter().filter(|path| path.extension() == "actions");
        let alone = actions.filter(|path| path.with_extension("md").is_none_or(|own| !self.claimed.contains(&own)));
        let told = |path: &BinderPath| {
            Finding::error(EMPTY_PROCEDURE, format!("`{path}` stands beside no procedure"))
                .floor("a procedure that was emptied or spoilt would be gone without a word, and its outputs with it")
                .help("bring the procedure back, or take this file away as well")
        };
        alone.map(told).collect()
    }

    fn templates(&mut self, listing: &Listing) -> BTreeMap<String, String> {
        let own = |path: &&BinderPath| {
            path.folder().as_str() == "templates" && matches!(path.extension().as_str(), "html" | "css" | "js" | "typ")
        };
        let mut templates = BTreeMap::new();
        for path in listing.files.iter().filter(own) {
            if let Some(file) = self.text(path) {
                templates.insert(path.name().to_owned(), self.texts.get(file).content().to_owned());
            }
        }
        templates
    }
}

fn empty() -> Node {
    let mut texts = Texts::default();
    let file = texts.add(BinderPath::root(), String::new());
    Node { span: Span::new(file, 0, 0), kind: yaml::Kind::Map(Vec::new()) }
}

fn hidden_character(file: FileId, at: usize, c: char) -> Finding {
    let message = format!("a character that is not shown (U+{:04X}) stands here", c as u32);
    Finding::error(HIDDEN_CHARACTER, message)
        .at(Span::new(file, at, at + c.len_utf8()))
        .floor("what is printed would not be what was read and approved")
        .help("delete it and type the words anew")
}

/// Reads the figures the procedures show; one that cannot be read is told by a rule, at the place that shows it.
fn figures(world: &dyn World, listing: &Listing, binder: &Binder) -> BTreeMap<BinderPath, Vec<u8>> {
    let mut figures = BTreeMap::new();
    for procedure in &binder.procedures {
        for figure in procedure.figures() {
            let Some(path) = binder.figure_path(procedure, &figure.path.value) else { continue };
            if !figures.contains_key(&path)
                && listing.has(&path)
                && let Ok(bytes) = world.read(&path, limits::FIGURE_BYTES)
            {
                figures.insert(path, bytes);
            }
        }
    }
    figures
}
