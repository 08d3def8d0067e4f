//! Every rule on the example binder: one edit, and what is found because of it.

use crate::binder::{creamery, drawn, edit, judged};
use matchmark::rules::{Found, RULES, Rule};
use matchmark::workspace::memory::Memory;
use rayon::iter::{IntoParallelRefIterator as _, ParallelIterator as _};
use std::collections::BTreeSet;

const SEAL: &str = "seals/MP-PA-101.md";
const PLATES: &str = "plates/MP-PX-210.md";
const PA: &str = "families/PA.yaml";
const FLEET: &str = "fleet.yaml";
const CRIB: &str = "crib.yaml";

/// An edit of one file, and the beginning and end of a line that must be found because of it.
pub(crate) struct Case(&'static str, &'static str, &'static str, pub(crate) &'static str, &'static str);

/// One case a line: file, what is replaced, by what, and the finding (severity, rule, file) and its end (message and tags).
pub(crate) const CASES: &[Case] = &[
    Case(
        PA,
        "[4,   44 N·m,",
        "[4,   82 N·m,",
        "error[overloaded-joint] families/PA.yaml",
        "the torque of `casing closure` pulls its bolts to 113 % of yield (P-130 P-133)",
    ),
    Case(
        PA,
        "[4,   44 N·m,",
        "[4,   15 N·m,",
        "warning[underloaded-joint] families/PA.yaml",
        "the torque of `casing closure` pulls its bolts to 21 % of yield only (P-130 P-133)",
    ),
    Case(
        PA,
        "    state: L-03 on the studs",
        "    state: clean and dry",
        "warning[stainless-dry] families/PA.yaml",
        "`casing closure` is A4-70 and is tightened dry (P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PA,
        "    state: L-03 on the studs",
        "    state: clean and dry",
        "error[dry-torque-with-paste] seals/",
        "and L-03 is on them (P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PA,
        "    state: L-03 on the studs",
        "    state: as usual",
        "warning[torque-without-state] families/PA.yaml",
        "does not say what is on the threads of `casing closure` (P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        FLEET,
        "{point: Q-101,  boundary: motor,           kind: isolator, position: off and locked}",
        "{point: Q-101, boundary: motor, kind: isolator, position: off, vented and locked}",
        "error[schema-violation] fleet.yaml",
        "`vented and locked` is not known here",
    ),
    Case(
        PA,
        "bin: B-12}\n  - {part: impeller nut,",
        "bin: B-12, ring: AS568-230, groove: {seal: static, seat: 64 mm, depth: 3.7 to 3.8 mm}}\n  - {part: impeller nut,",
        "warning[oring-squeeze] families/PA.yaml",
        "`casing O-ring` in its groove: the ring does not touch (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PA,
        "  - {part: casing O-ring,          count: 1, contact: product,",
        "  - {part: casing O-ring,          count: 1, contact: product, meets: [product in],",
        "warning[rubber-not-for-service] families/PA.yaml",
        "are named on the bag (P-113)",
    ),
    Case(
        SEAL,
        "  - guard screws\n",
        "",
        "warning[torque-without-step] seals/",
        "the joint `guard screws` is tightened here but not listed (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PA,
        "    torque: guard torque",
        "    torque: back-plate torque",
        "error[shared-torque] families/PA.yaml",
        "`back-plate screws` and `guard screws` take their torque from the same value (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "{record gap as left}",
        "{record gap as found}",
        "error[moment-without-step] seals/",
        "no step records `gap` as left (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PA,
        "[FKM,   L-01,",
        "[[FKM, VMQ], L-01,",
        "error[ambiguous-value] families/PA.yaml",
        "2 rows for rubber VMQ (P-133)",
    ),
    Case(
        SEAL,
        "applies-to: seal S",
        "applies-to: seal S and tag P-112",
        "warning[applies-to-nothing] seals/",
        "for no installed machine",
    ),
    Case("figures/pump-stack.svg", "</svg>", "<script/></svg>", "error[bad-figure] seals/", "it holds `<script>`"),
    Case(
        PA,
        "guard torque: 5 N·m",
        "guard torque: 5.0 N·m ± 1",
        "error[schema-violation] families/PA.yaml",
        "cannot be `5.0 N·m ± 1`",
    ),
    Case(
        FLEET,
        "      - {point: V-121C, boundary: cleaning return, kind: valve,    position: closed and locked}\n",
        "",
        "error[boundary-not-isolated] fleet.yaml",
        "nothing isolates the boundary `cleaning return` (P-121)",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Fit the {impeller.\n",
        "error[brace-syntax] seals/",
        "not closed in its run of text",
    ),
    Case(
        PLATES,
        "people: 1 fitter and 1 second person\n",
        "people: 1 fitter and 1 second person\ntables:\n  - by: [frame]\n    source: none\n    columns: [spare]\n    rows:\n      - [S, 1 mm]\n      - [M, 2 mm]\n      - [L, 3 lbf·ft]\n",
        "warning[mixed-column] plates/",
        "among cells that are a quantity in mm",
    ),
    Case(
        PA,
        "      - [FKM,   L-01,         F]\n",
        "      - [FKM,   L-01,         F]\n      - [VMQ,   L-01,         F]\n",
        "error[ambiguous-value] families/PA.yaml",
        "(P-133)",
    ),
    Case(
        SEAL,
        "Remove the key. {only size 2 to 4}",
        "Remove the key. {only size 2 and port right and rubber VMQ}",
        "warning[dead-step] seals/",
        "for no machine of the procedure",
    ),
    Case(
        PA,
        "guard torque: 5 N·m",
        "guard torque: 5 N·m\n  guard torque: 6 N·m",
        "error[duplicate-key] families/PA.yaml",
        "`guard torque` stands twice",
    ),
    Case(
        FLEET,
        "  - tag: P-102",
        "  - tag: P-101",
        "error[duplicate-name] fleet.yaml",
        "this tag has the name of another: `P-101`",
    ),
    Case(SEAL, "{only size 1} {as clamp}", "{only} {as clamp}", "error[brace-syntax] seals/", "does not say what"),
    Case(
        SEAL,
        "{only size 1} {as clamp}",
        "{only size} {as clamp}",
        "error[effectivity-syntax] seals/",
        "does not say to what it applies",
    ),
    Case(
        SEAL,
        "  steps: [seat, back plate, key, nut, casing ring, port, clamp, closure, guard]",
        "  steps: [key]",
        "error[empty-card] seals/",
        "no step is picked for the card (P-101 P-102)",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Fit the imp\u{200b}eller.\n",
        "error[hidden-character] seals/",
        "(U+200B) stands here",
    ),
    Case(
        PA,
        "      - [VMQ,   L-08,         V]\n",
        "      - [VMQ,   L-08,         V]\n  - by: [rubber, port]\n    source: none\n    columns: [spare]\n    rows:\n      - [[EPDM, FKM], any, 1 mm]\n",
        "note[hole-beyond-fleet] families/PA.yaml",
        "rubber VMQ, port left (no row); rubber VMQ, port right (no row)",
    ),
    Case(
        SEAL,
        "applies-to: seal S",
        "applies-to: seal S",
        "note[idle-option] seals/",
        "`frame` never makes a difference in this procedure",
    ),
    Case(
        SEAL,
        "## Inspect\n",
        "## Inspect\n\n> Look.\n",
        "error[markdown-form] seals/",
        "declare a caution in the front matter",
    ),
    Case(
        FLEET,
        "options: {size: 3, seal: S, port: left, rubber: EPDM, frame: 132}",
        "options: {size: 3, seal: S, port: left, rubber: EPDM}",
        "warning[missing-choice] fleet.yaml",
        "which `frame` this machine has (P-121)",
    ),
    Case(
        FLEET,
        "options: {size: 3, seal: S, port: left, rubber: EPDM, frame: 132}",
        "options: {seal: S, port: left, rubber: EPDM, frame: 132}",
        "error[missing-value] fleet.yaml",
        "the fleet does not say which `size` it has (P-121)",
    ),
    Case(
        FLEET,
        "options: {size: 3, seal: S, port: left, rubber: EPDM, frame: 132}",
        "options: {size: 3, port: left, rubber: EPDM, frame: 132}",
        "error[missing-value] fleet.yaml",
        "the fleet does not say which `seal` it has (P-121)",
    ),
    Case(
        SEAL,
        "{only size 1} {as clamp}",
        "{only size 4 to 2} {as clamp}",
        "error[undeclared-choice] seals/",
        "no `size` lies from `4` to `2`: the family declares them the other way round",
    ),
    Case(
        PA,
        "{tool: LB-1, only: size 4}",
        "{tool: LB-1, only: tag P-101 to P-110}",
        "error[undeclared-choice] families/PA.yaml:",
        "tags stand in no order, so none lies from one to another",
    ),
    Case(
        SEAL,
        "torques:\n  - casing clamp\n",
        "tools: [{tool: CP-1, only: size 4 and port right, why: spare}]\ntorques:\n  - casing clamp\n",
        "warning[dead-step] seals/",
        "this tool is for no machine of the procedure",
    ),
    Case(
        SEAL,
        "    only: size 4\n",
        "    only: size 4 and port right\n",
        "warning[dead-step] seals/MP-PA-101.md:71",
        "this caution is for no machine of the procedure",
    ),
    Case(
        PA,
        "    only: size 2 to 4\n",
        "    only: size 1 and frame 160\n",
        "note[dead-step] families/PA.yaml:98",
        "this joint is for no installed machine",
    ),
    Case(
        PA,
        "    only: size 2 to 4\n",
        "    only: size 4 to 2\n",
        "error[undeclared-choice] families/PA.yaml:98",
        "the other way round",
    ),
    Case(
        SEAL,
        "not-covered:",
        "values: {guard torque: unknown}\nnot-covered:",
        "error[missing-value] seals/",
        "`guard torque` has no value yet (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PA,
        "guard torque: 5 N·m",
        "guard torque: unknown",
        "error[missing-value] families/PA.yaml",
        "`guard torque` has no value yet (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(PA, "guard torque: 5 N·m", "guard torque: 4.5-5 N·m", "error[bad-quantity] families/PA.yaml", "to 25.3 mm`"),
    Case(
        PA,
        "guard torque: 5 N·m",
        "guard torque: TBD",
        "error[missing-value] families/PA.yaml",
        "`guard torque` has no value yet (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PA,
        "{part: clamp bolt,             count: 1, ",
        "{part: clamp bolt,             count: 201, ",
        "error[wrong-kind] families/PA.yaml",
        "201 of them are more than the limit of 200 (P-101 P-102)",
    ),
    Case(
        PA,
        "      - [VMQ,   L-08,         V]\n",
        "      - [VMQ,   L-08,         V]\n  - by: [rubber, port]\n    source: none\n    columns: [spare]\n    rows:\n      - [[EPDM, FKM], any, 1 mm]\n",
        "warning[hole-in-fleet] families/PA.yaml",
        "no row of `spare` is for rubber VMQ, port top (P-133)",
    ),
    Case(
        PA,
        "      - [VMQ,   L-08,         V]\n",
        "      - [VMQ,   L-08,         V]\n  - by: [rubber, port]\n    source: none\n    columns: [spare]\n    rows:\n      - [any, any, 1 mm]\n      - [VMQ, any, 2 mm]\n",
        "warning[hole-in-fleet] families/PA.yaml",
        "2 rows of `spare` are for rubber VMQ, port top (P-133)",
    ),
    Case(
        PA,
        "      - [VMQ,   L-08,         V]\n",
        "      - [VMQ,   L-08,         V]\n  - by: [rubber, port]\n    source: none\n    columns: [spare]\n    rows:\n      - [[EPDM, FKM], any, 1 mm]\n      - [VMQ, any, unknown]\n",
        "warning[hole-in-fleet] families/PA.yaml",
        "`spare` has no value here (P-133)",
    ),
    Case(
        SEAL,
        "not-covered:",
        "tables:\n  - by: [port]\n    source: none\n    columns: [spare]\n    rows:\n      - [[left, right, top], 1 mm]\n      - [top, 2 mm]\nnot-covered:",
        "warning[hole-in-fleet] seals/",
        "2 rows of `spare` are for port top (P-101 P-110 P-111 P-120 P-130 P-133)",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Fit the impeller. {as impeller on}\n",
        "note[never-used] seals/",
        "nothing refers to the label `impeller on`",
    ),
    Case(
        SEAL,
        "  - reading: gap\n",
        "  - {reading: tag on, kind: note}\n  - reading: gap\n",
        "warning[never-used] seals/",
        "the record `tag on` stands at no step",
    ),
    Case(
        SEAL,
        "../figures/pump-stack.svg",
        "../figures/Pump-stack.svg",
        "error[missing-figure] seals/",
        "is not in the binder, or is too large to print (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        FLEET,
        "options: {size: 3, seal: S, port: left, rubber: EPDM, frame: 132}",
        "options: {size: 3, seal: S, port: left, frame: 132}",
        "error[missing-value] fleet.yaml",
        "(P-121)",
    ),
    Case(
        SEAL,
        "{caution running pump} Record",
        "Record",
        "warning[never-used] seals/",
        "the caution `running pump` stands at no step",
    ),
    Case(
        "crib.yaml",
        "  - {id: DG-1, name: depth gauge,                range: 0 to 150 mm,     resolution: 0.02 mm}\n",
        "",
        "error[not-held] seals/",
        "the crib does not hold `DG-1` (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        CRIB,
        "  - {id: ST-1,  name: strap wrench}\n",
        "",
        "error[tool-not-held] seals/",
        "the crib holds no `strap wrench` (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "Press them in by hand with {seal sleeve}.",
        "Press them in by hand. Use the seal sleeve.",
        "error[ambiguous-tool] seals/",
        "`SS-45` of the crib, and nothing says which (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        CRIB,
        "rubber: {EPDM: no,  NBR: yes, FKM: yes, VMQ: no}}\n  - {id: L-03",
        "rubber: {EPDM: yes, NBR: yes, FKM: yes, VMQ: no}}\n  - {id: L-03",
        "note[doubtful-verdict] crib.yaml",
        "`L-02` is said to suit EPDM; common practice: mineral oil swells EPDM",
    ),
    Case(
        SEAL,
        "Wet the new casing O-ring with {assembly fluid}.",
        "Wet the new casing O-ring with L-02.",
        "error[fluid-attacks-rubber] seals/",
        "`casing O-ring` (P-101 P-102 P-110 P-111 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "Apply L-03 to the two back-plate screws.",
        "Apply L-03 to the back plate.",
        "error[fluid-out-of-zone] seals/",
        "`back plate` touches it (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        CRIB,
        "range: 0.05 to 2.00 mm",
        "range: 0.05 to 1.00 mm",
        "error[instrument-out-of-range] seals/",
        "`FG-1` cannot measure `gap` (P-130 P-133)",
    ),
    Case(
        CRIB,
        "range: 0 to 150 mm,     resolution: 0.02 mm",
        "range: 0 to 150 mm,     resolution: 0.5 mm",
        "warning[instrument-out-of-range] seals/",
        "`DG-1` is too coarse for `working length` (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PLATES,
        "Tighten opposite tie bolts in the printed number sequence, one quarter turn each.",
        "Tighten the tie bolts to {tie bolt limit}.",
        "error[limit-used-as-target] plates/",
        "(X-201 X-202 X-203)",
    ),
    Case(
        SEAL,
        "torques:\n  - casing clamp\n",
        "tools: [CP-1]\ntorques:\n  - casing clamp\n",
        "warning[listed-not-used] seals/",
        "`CP-1` is listed, and no step uses it (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "torques:\n  - casing clamp\n",
        "tools: [HX, RS, WP-1, PM-1, ST-1, \"{seal sleeve}\"]\ntorques:\n  - casing clamp\n",
        "warning[used-not-listed] seals/",
        "`LB-1` is used here, and `tools:` does not list it (P-130 P-133)",
    ),
    Case(
        PA,
        "    torque: guard torque\n    wrench: TD-1\n",
        "    torque: guard torque\n    wrench: HX\n",
        "error[no-wrench-for-torque] families/PA.yaml",
        "`HX` shows no torque, and `guard screws` is tightened with it (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PA,
        "    torque: guard torque\n    wrench: TD-1\n",
        "    torque: guard torque\n    wrench: RS\n",
        "error[no-wrench-for-torque] families/PA.yaml",
        "tightened with it (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PA,
        "150 N·m,             TW-4]",
        "150 N·m,             TW-3]",
        "error[wrench-out-of-range] families/PA.yaml",
        "`TW-3` cannot tighten `impeller nut` (P-130 P-133)",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Fit the <b>impeller</b>.\n",
        "error[raw-html] seals/",
        "raw HTML has no place in a procedure",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Fit the impeller as in {see key}.\n",
        "error[reference-to-absent-step] seals/",
        "the step called `key` is not in the packet (P-101 P-102)",
    ),
    Case(
        PA,
        "  guard torque: 5 N·m",
        "  record torque: 5 N·m",
        "error[schema-violation] families/PA.yaml:79:3",
        "`record torque` cannot be a name here",
    ),
    Case(
        PA,
        "      - [VMQ,   L-08,         V]",
        "      - [VMQ,   L-08]",
        "error[row-length] families/PA.yaml",
        "this row has 2 cells, its table has 3",
    ),
    Case(
        SEAL,
        "use-level: step by step, in hand",
        "use-levle: step by step, in hand",
        "error[schema-violation] seals/MP-PA-101.md:10:1",
        "`use-levle` is not known here",
    ),
    Case(
        SEAL,
        "## Inspect\n",
        "## Inspect\n\n1. Look.\n\nAn afterthought.\n",
        "error[stray-text] seals/",
        "belongs to none",
    ),
    Case(
        "binder.yaml",
        "combinations: 500",
        "combinations: 2",
        "warning[too-many-combinations] families/PA.yaml",
        "more than the limit of 2",
    ),
    Case(
        SEAL,
        "Tighten the two guard screws to {guard torque}.",
        "Tighten the two guard screws to {guard torque} with TW-4.",
        "error[wrench-out-of-range] seals/",
        "(P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "Tighten the two guard screws to {guard torque}.",
        "Tighten the two guard screws.",
        "warning[torque-without-step] families/PA.yaml",
        "no step names the torque of `guard screws` (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "as in {see gap found}",
        "as in step 15",
        "error[typed-step-number] seals/",
        "`step 15` is a step number typed by hand",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Fit the impeller as in step **15**.\n",
        "error[typed-step-number] seals/",
        "`step 15` is a step number typed by hand",
    ),
    Case(
        SEAL,
        "    avoid: Never run the pump",
        "    avoid: See step 3. Never run the pump",
        "error[typed-step-number] seals/",
        "`step 3` is a step number typed by hand",
    ),
    Case(
        SEAL,
        "{only size 1} {as clamp}",
        "{only size 7} {as clamp}",
        "error[undeclared-choice] seals/",
        "`size` cannot be `7`",
    ),
    Case(
        FLEET,
        "options: {size: 3, seal: S, port: left, rubber: EPDM, frame: 132}",
        "options: {size: 3, seal: S, port: lift, rubber: EPDM, frame: 132}",
        "error[undeclared-choice] fleet.yaml",
        "`port` cannot be `lift` (P-121)",
    ),
    Case(
        SEAL,
        "Tighten the impeller nut to {impeller-nut torque}.",
        "Tighten the impeller nut to {impeller-nut torqe}.",
        "error[undeclared-name] seals/",
        "(P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "{caution running pump}",
        "{caution runing pump}",
        "error[undeclared-name] seals/",
        "no caution is called `runing pump` (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Fit the [impeller](javascript:alert).\n",
        "error[unsafe-link] seals/",
        "`javascript:alert` is no link a packet may carry",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Fit the [impeller](../../../etc/passwd).\n",
        "error[unsafe-link] seals/",
        "`../../../etc/passwd` is no link a packet may carry",
    ),
    Case(
        PA,
        "    torque: impeller-nut torque",
        "    torque: working length",
        "error[wrong-kind] families/PA.yaml",
        "a torque is needed, and it is a range in mm (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PA,
        "guard torque: 5 N·m",
        "guard torque: &g 5 N·m",
        "error[yaml-feature] families/PA.yaml",
        "an anchor (`&`) has no place in a binder",
    ),
    Case(PA, "guard torque: 5 N·m", "guard torque: [5 N·m", "error[yaml-syntax] families/PA.yaml", ""),
    Case(PA, "guard torque: 5 N·m", "guard torque: 5.5", "error[bad-quantity] families/PA.yaml", "`5.5` has no unit"),
    Case(
        SEAL,
        "![Section through the pump, taken apart along the shaft. ",
        "![](../figures/working-length.svg)\n\n    ![Section through the pump, taken apart along the shaft. ",
        "warning[figure-without-words] seals/",
        "no words say what `../figures/working-length.svg` shows",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Set it to .5 mm.\n",
        "error[naked-point] seals/",
        "of `.5` has no digit before it (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "Remove the key. {only size 2 to 4}",
        "Slide the key .5 mm. {only size 2 to 4}",
        "error[naked-point] seals/",
        "of `.5` has no digit before it (P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(SEAL, "Fit the impeller.\n", "Set it to 0,5 mm.\n", "warning[decimal-comma] seals/", "P-130 P-133)"),
    Case(SEAL, "Fit the impeller.\n", "Set it to 5 ± 0.2 mm.\n", "warning[plus-minus-limit] seals/", "P-130 P-133)"),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Set it to 80 % of {closure torque}.\n",
        "warning[arithmetic-left-to-reader] seals/",
        "P-130 P-133)",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Heat it to more than 40.\n",
        "warning[limit-without-unit] seals/",
        "P-130 P-133)",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Look at the label of 03/04/27.\n",
        "warning[ambiguous-date] seals/",
        "P-130 P-133)",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Fit the impeller as usual.\n",
        "warning[value-elsewhere] seals/",
        "P-130 P-133)",
    ),
    Case(SEAL, "Fit the impeller.\n", "Refit it in reverse order.\n", "warning[reverse-order] seals/", "P-130 P-133)"),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Repeat the steps above for the other side.\n",
        "warning[repeat-steps] seals/",
        "P-130 P-133)",
    ),
    Case(SEAL, "Fit the impeller.\n", "Fit the impeller; turn it.\n", "note[semicolon] seals/", "P-130 P-133)"),
    Case(SEAL, "Fit the impeller.\n", "The impeller is fitted.\n", "note[no-verb-first] seals/", "P-130 P-133)"),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Fit the impeller and turn the shaft.\n",
        "note[two-instructions] seals/",
        "P-130 P-133)",
    ),
    Case(SEAL, "Fit the impeller.\n", "Replace the impeller.\n", "note[verb-hides-steps] seals/", "P-130 P-133)"),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Fit the impeller if the shaft is dry.\n",
        "note[condition-after-action] seals/",
        "P-130 P-133)",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "IF it knocks or leaks and is hot, THEN stop.\n",
        "warning[unclear-condition] seals/",
        "this condition mixes `and` with `or` (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Do not fit the impeller unless the shaft is dry.\n",
        "note[unclear-condition] seals/",
        "P-130 P-133)",
    ),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Push the impeller onto the shaft with both hands, with the blades to the outer side and the nut side to you, in one go without a stop.\n",
        "note[long-sentence] seals/",
        "this sentence has 28 words, more than 20 (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(SEAL, "Fit the impeller.\n", "Tighten it securely.\n", "warning[vague-limit] seals/", "P-130 P-133)"),
    Case(SEAL, "Fit the impeller.\n", "Put it down slightly apart.\n", "note[vague-limit] seals/", "P-130 P-133)"),
    Case(
        SEAL,
        "Fit the impeller.\n",
        "Raise the pressure to 30 psi.\n",
        "warning[unit-mix] seals/",
        "`psi` stands beside `bar` in one procedure (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PA,
        "      - [3,   25 N·m, ",
        "      - [3,   25 lbf·ft, ",
        "warning[unit-mix] seals/",
        "`lbf·ft` stands beside `N·m` in one procedure (P-120 P-121)",
    ),
    Case(
        SEAL,
        "    hazard: The seal faces are lapped.",
        "    hazard: The seal faces are lapped. Close the drain.",
        "warning[action-in-a-caution] seals/",
        "`close` is an order, and stands in a hazard (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "    avoid: Carry it only on the lifting band LB-1.",
        "    avoid: Remove the drain hose.",
        "warning[action-in-a-caution] seals/",
        "`remove` is an order, and stands in what avoids a hazard (P-130 P-133)",
    ),
    Case(
        SEAL,
        "5. {caution unexpected start} Switch",
        "5. {caution unexpected start} {caution hot caustic} Switch",
        "note[crowded-cautions] seals/",
        "2 cautions of the level `warning` stand before this step (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "review: 12 months\n",
        "review: 12 months\nlanguage: de\n",
        "note[language-not-checked] seals/",
        "the wording is not checked: its language is `de`",
    ),
    Case(
        SEAL,
        "Confirm that the port points to the {port}.",
        "Confirm that the port points to the left.",
        "error[value-over-option] seals/",
        "for these machines (P-101 P-110 P-111 P-113 P-120 P-130 P-133)",
    ),
    Case(
        SEAL,
        "Compare the number of the new rotating seal assembly with the kit list.",
        "Read EPDM on its wrapping.",
        "warning[value-over-option] seals/",
        "`EPDM` is typed over `rubber`, and wrong for these machines (P-113 P-133)",
    ),
    Case(
        SEAL,
        "Tighten the impeller nut to {impeller-nut torque}.",
        "Tighten the impeller nut to 95 N·m.",
        "error[value-over-option] seals/",
        "`95 N·m` is typed over `impeller-nut torque`, and wrong for these machines (P-101 P-102 P-110 P-111 P-113 P-130 P-133)",
    ),
    Case(
        SEAL,
        "Set the working length to {working length}.",
        "Set the working length to 24.7 to 25.3 mm.",
        "error[value-over-option] seals/",
        "(P-101 P-102 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PLATES,
        "    limit: \"{A-min} to {A-max}\"",
        "    limit: \"{A-min} to 201.7 mm\"",
        "error[limit-rounded-outward] plates/",
        "`201.7 mm` lies outside of the computed `A-max` (X-201)",
    ),
    Case(
        PLATES,
        "family: PX\n",
        "family: PX\ntables:\n  - by: [frame]\n    source: none\n    columns: [spare]\n    rows:\n      - [S, 1 mm]\n      - [[M, L], 1 mm]\n",
        "note[same-in-every-row] plates/",
        "`spare` is the same in every row",
    ),
    Case(
        PA,
        "  trial-run time: 10 min\n",
        "  trial-run time: 10 min\n  spare: 1 mm\n",
        "note[never-used] families/PA.yaml",
        "no procedure and no register names the value `spare`",
    ),
    Case(
        SEAL,
        "port points to the {port}. {hold H2} {as port}",
        "port points to the {port}. {hold H3} {hold H2} {as port}",
        "warning[hold-out-of-order] seals/",
        "H2 comes after H3 (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "  - hold: H3\n    role: quality",
        "  - hold: H3\n    role: the fitter",
        "error[verifier-is-doer] seals/",
        "hold point H3 is signed by the one who does the work (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "    limit: \"{working length}\"\n",
        "",
        "warning[reading-without-limit] seals/",
        "`working length` is measured and has no limit (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PLATES,
        "    limit: \"{parallel limit} or less\"\n    instrument: \"{pack calliper}\"\n",
        "    limit: \"{parallel limit} or less\"\n",
        "warning[reading-without-limit] plates/",
        "`difference between corners` does not say what it is measured with (X-201 X-202 X-203)",
    ),
    Case(
        "crib.yaml",
        "for: [mark]",
        "for: [mark, perhaps]",
        "warning[tool-for-no-verb] crib.yaml",
        "`PM-1` is held for `perhaps`, which is no verb that needs a tool",
    ),
    // Tools, fluids and days held against joints and readings.
    Case(
        CRIB,
        "spanner: 8 to 50 mm",
        "spanner: 19 mm",
        "warning[tool-does-not-fit] families/PA.yaml",
        "`RS` (19 mm) fits the M12 heads of `casing closure` by the older series only, 18 mm by ISO (P-130 P-133)",
    ),
    Case(
        SEAL,
        "first to half, then to {closure torque}",
        "first to 30 %, then to 70 %, then to {closure torque}",
        "warning[passes-differ] seals/",
        "the passes of `casing closure` are 30 %, 70 % here, and 50 % in its register (P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        CRIB,
        "spanner: 8 to 50 mm",
        "spanner: 8 to 50 mm, drive: 1/2 in square",
        "warning[drives-do-not-meet] families/PA.yaml",
        "`TW-2` (3/8 in square) and `RS` (1/2 in square) do not go together on `casing closure` (P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "Apply L-03 to the studs. ",
        "",
        "warning[fluid-not-applied] seals/",
        "and no step puts it on (P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        "binder.yaml",
        "  combinations: 500",
        "  combinations: 500\n  wrench-from: 40 %",
        "warning[wrench-below-site-rule] families/PA.yaml",
        "`TW-2` is used from 24 N·m (40 % of its full scale), and `casing closure` needs less (P-120 P-121 P-130 P-133)",
    ),
    Case(
        CRIB,
        "lever: 300 mm, graduation: 0.5 N·m",
        "lever: 300 mm, graduation: 2 N·m",
        "warning[torque-between-marks] families/PA.yaml",
        "`TW-2` has a mark every 2 N·m, and `casing closure` lies between two (P-120 P-121)",
    ),
    Case(
        "crib-status.yaml",
        "{id: TW-2, due: 2097-03-01}",
        "{id: TW-2, due: 2020-03-01}",
        "warning[calibration-run-out] crib-status.yaml",
        "the calibration of `TW-2` ran out after 2020-03-01 (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        PA,
        "    stages: [half, final]",
        "    stages: [final, half]",
        "error[stages-out-of-order] families/PA.yaml",
        "the stages of `casing closure` do not rise to the final torque",
    ),
    Case(
        PA,
        "    wrench: closure wrench\n    stages",
        "    wrench: closure wrench\n    adapter: RS\n    adapter-angle: 0 °\n    stages",
        "error[no-setting-for-adapter] families/PA.yaml",
        "the setting for `casing closure` with `RS` cannot be computed (P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        CRIB,
        "range: 0 to 150 mm,     resolution: 0.02 mm}",
        "range: 0 to 150 mm,     resolution: 0.02 mm, shows: total}",
        "error[total-or-offset] seals/",
        "`working length` does not say whether `35.7 to 36.3 mm` is that or the offset (P-130 P-133)",
    ),
    Case(
        SEAL,
        "Wipe the shaft and the back-plate bore with L-07.",
        "Rub the shaft with steel wool. Wipe the shaft and the back-plate bore with L-07.",
        "error[abrasive-on-product-side] seals/",
        "steel wool is used on a machine that touches product (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "## Strip\n\n",
        "## Strip\n\n- Remove the guard screws.\n\n",
        "error[order-outside-a-step] seals/",
        "`remove` is an order, and stands in no step (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
    Case(
        SEAL,
        "Tighten the two guard screws to {guard torque}.",
        "Tighten the two guard screws to {closure torque}.",
        "error[wrong-torque] seals/",
        "(P-130 P-133)",
    ),
    Case(
        SEAL,
        "Hold the impeller with the strap wrench. Remove the impeller nut.",
        "Hold the impeller with the strap wrench. Remove the impeller nut clockwise.",
        "error[turned-the-wrong-way] seals/",
        "`impeller nut` has a right-hand thread: anticlockwise loosens it (P-101 P-102 P-110 P-111 P-113 P-120 P-121 P-130 P-133)",
    ),
];

impl Case {
    /// Returns the example with the edit.
    pub(crate) fn world(&self) -> Memory {
        let mut world = creamery();
        // No case is about these two, and every case would read them again.
        for path in ["agitators/MP-AG-320", "homogenisers/MP-HG-430"] {
            world.take(&format!("{path}.md"));
            world.take(&format!("{path}.actions"));
        }
        edit(&mut world, self.0, self.1, self.2);
        world
    }
}

#[test]
fn an_edit_is_found_where_it_was_made() {
    let wrong = |case: &Case| {
        let text = drawn(&judged(&case.world()));
        let is_found = text.lines().any(|line| line.starts_with(case.3) && line.ends_with(case.4));
        (!is_found).then(|| format!("{} -> {}\nwanted {} ... {}\n{text}\n", case.1, case.2, case.3, case.4))
    };
    let wrong: Vec<String> = CASES.par_iter().filter_map(wrong).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What the example needs no edit for, or what no edit of one of its texts can show.
fn found_otherwise() -> Vec<(&'static str, String)> {
    let mut latin = creamery();
    latin.put("crib.yaml", b"tools: [\xb5]".to_vec());
    let mut large = creamery();
    large.put("crib.yaml", vec![b' '; 2 << 20]);
    let mut without = creamery();
    without.take("crib.yaml");
    let mut deep = creamery();
    deep.put("crib.yaml", format!("tools: {}{}", "[".repeat(60), "]".repeat(60)));
    let mut device = creamery();
    device.put("figures/aux.svg", "x");
    let mut empty = creamery();
    edit_after(&mut empty, SEAL, "\n## Prepare", "\n");
    let mut many = creamery();
    edit_after(&mut many, SEAL, "\n## Hand back", &format!("\n## Hand back\n\n{}", "1. Go.\n".repeat(2_001)));
    let mut dead = creamery();
    edit(
        &mut dead,
        FLEET,
        "options: {size: 4, seal: S, port: top, rubber: VMQ, frame: 160}",
        "options: {size: 4, seal: S, port: top, rubber: FKM, frame: 160}",
    );
    let waiver = "waivers:\n  - {rule: idle-option, says: x, reason: x, by: x, until: 2025-12-31}\n";
    let mut expired = creamery();
    expired.put("waivers.yaml", waiver);
    let mut idle = creamery();
    idle.put("waivers.yaml", waiver.replace("2025", "2026"));
    let mut twice = creamery();
    let twin = String::from_utf8(twice.get(SEAL).expect(SEAL).to_vec()).expect("UTF-8");
    let twin =
        twin.replace("document: MP-PA-101", "document: MP-PA-102").replace("applies-to: seal S", "applies-to: size 4");
    let mut apart = creamery();
    let values = "values:\n  closure torque: 40 N·m\n---\n\n## Prepare";
    apart.put("seals/MP-PA-102.md", twin.replacen("---\n\n## Prepare", values, 1));
    twice.put("seals/MP-PA-102.md", twin);
    let mut hard = creamery();
    let words = "Utilise appropriate instrumentation, subsequently documenting all identifiable irregularities.";
    edit_after(&mut hard, SEAL, "\n## Hand back", &format!("\n## Hand back\n\n{}", format!("1. {words}\n").repeat(80)));
    let accepted = "seals/MP-PA-101.actions";
    let lines = String::from_utf8(creamery().get(accepted).expect(accepted).to_vec()).expect("UTF-8");
    let mut broken = creamery();
    broken.put(accepted, format!("{lines}no key and no actions\n"));
    let mut idle_line = creamery();
    idle_line.put(accepted, format!("{lines}0123456789ab | on key | Fit the key with care.\n"));
    let mut otherwise = creamery();
    otherwise.put(accepted, lines.replace("| off impeller |", "| off key |"));
    let mut alone = creamery();
    alone.take(accepted);
    let mut open = creamery();
    edit(&mut open, SEAL, "32. Fit the impeller.", "32. Frobnicate the impeller.");
    let mut alone_at_night = creamery();
    edit(&mut alone_at_night, PLATES, "  - If a reading is outside its limit, stop and tell the supervisor.\n", "");
    edit(&mut alone_at_night, PLATES, "    outside: \"Wait, then measure again. Turn no tie bolt.\"\n", "");
    let worlds = [
        ("reading-without-outside", alone_at_night),
        ("acceptance-syntax", broken),
        ("idle-acceptance", idle_line),
        ("read-otherwise", otherwise),
        ("not-accepted", alone),
        ("cannot-prove", open),
        ("expired-waiver", expired),
        ("idle-waiver", idle),
        ("job-covered-twice", twice),
        ("hard-to-read", hard),
        ("two-torques-for-one-joint", apart),
        ("not-utf8", latin),
        ("unreadable-file", large),
        ("missing-register", without),
        ("nested-too-deep", deep),
        ("unusable-name", device),
        ("empty-procedure", empty),
        ("too-many-steps", many),
        ("dead-row", dead),
    ];
    worlds.into_iter().map(|(rule, world)| (rule, drawn(&judged(&world)))).collect()
}

/// Replaces everything from `mark` on.
fn edit_after(world: &mut Memory, path: &str, mark: &str, to: &str) {
    let text = String::from_utf8(world.get(path).expect(path).to_vec()).expect("UTF-8");
    let (head, _) = text.split_once(mark).expect("the mark is there");
    world.put(path, format!("{head}{to}"));
}

#[test]
fn every_rule_is_shown_by_a_case() {
    let mut shown = BTreeSet::new();
    for (rule, text) in found_otherwise() {
        assert!(text.lines().any(|line| line.contains(&format!("[{rule}]"))), "{rule}:\n{text}");
        shown.insert(rule.to_owned());
    }
    // The rules of state and order are shown with sentences read by hand.
    let by_hand = include_str!("run.rs");
    let is_by_hand = |rule: &&Rule| matches!(rule.found, Found::Run(_)) && by_hand.contains(rule.id.0);
    shown.extend(RULES.iter().filter(is_by_hand).map(|rule| rule.id.0.to_owned()));
    for case in CASES {
        shown.extend(case.3.split(['[', ']']).nth(1).map(str::to_owned));
    }
    let missing: Vec<&str> = RULES.iter().map(|rule| rule.id.0).filter(|rule| !shown.contains(*rule)).collect();
    assert!(missing.is_empty(), "no case shows {missing:?}");
}

/// Each place where `only` may stand, edited so that it asks for an option the fleet does not say of P-121.
#[test]
fn an_option_that_is_asked_for_and_not_said_suppresses_the_packet() {
    let places = [
        ("{only size 1} {as clamp}", "{only frame 160} {as clamp}", SEAL),
        ("  - caution: running pump\n", "  - caution: running pump\n    only: frame 160\n", SEAL),
        ("{tool: LB-1, only: size 4}", "{tool: LB-1, only: frame 160}", PA),
        (
            "of: stationary seat, held-by: [stationary seat], single-use: yes, only: seal S,",
            "of: stationary seat, held-by: [stationary seat], single-use: yes, only: frame 160,",
            PA,
        ),
        ("    only: size 2 to 4\n", "    only: frame 132\n", PA),
        ("applies-to: seal S", "applies-to: seal S and frame 132", SEAL),
    ];
    for (from, to, path) in places {
        let mut world = creamery();
        let said = "options: {size: 3, seal: S, port: left, rubber: EPDM, frame: 132}";
        edit(&mut world, FLEET, said, "options: {size: 3, seal: S, port: left, rubber: EPDM}");
        edit(&mut world, path, from, to);
        let text = drawn(&judged(&world));
        let wanted = "the fleet does not say which `frame` it has (P-121)";
        assert!(
            text.lines().any(|line| line.starts_with("error[missing-value] fleet.yaml") && line.ends_with(wanted)),
            "{to}: {text}"
        );
    }
}

/// Edits the accepted answers of the seal procedure, or a register under them, and returns what is found that is no note.
#[track_caller]
fn with_answers(edits: &[(&str, &str, &str)]) -> Vec<String> {
    let mut world = creamery();
    for (path, from, to) in edits {
        edit(&mut world, path, from, to);
    }
    let text = drawn(&judged(&world));
    text.lines().filter(|line| !line.starts_with("note")).map(str::to_owned).collect()
}

const ANSWERS: &str = "seals/MP-PA-101.actions";

/// An answer holds as long as the registers it was given under: a name that is gone proves nothing.
#[test]
fn an_answer_under_a_name_that_is_gone_is_open() {
    let found = with_answers(&[
        (PA, "{part: key,                    count: 1", "{part: feather,                count: 1"),
        (PA, "also: [shaft key]", "also: [long feather]"),
    ]);
    let open: Vec<&String> = found.iter().filter(|line| line.contains("[cannot-prove]")).collect();
    assert!(!open.is_empty(), "{found:#?}");
}

/// What the program was sure of when it was answered, and is not now, is asked again.
#[test]
fn a_count_that_no_longer_fits_is_asked_again() {
    let found =
        with_answers(&[(PA, "{part: guard half,             count: 2", "{part: guard half,             count: 3")]);
    let again: Vec<&String> = found.iter().filter(|line| line.contains("[read-otherwise]")).collect();
    assert_eq!(again.len(), 2, "taken off and put on: {found:#?}");
    assert!(again.iter().all(|line| line.contains("it says 2 of `guard half`, the machine has 3")), "{again:#?}");
}

#[test]
fn two_answers_for_one_sentence_are_an_error() {
    let text = String::from_utf8(creamery().get(ANSWERS).expect("it is there").to_vec()).expect("UTF-8");
    let line = text.lines().find(|line| line.ends_with("| Remove the key.")).expect("it is answered").to_owned();
    let twice = format!("{line}\n{}", line.replace("off key", "nothing"));
    let found = with_answers(&[(ANSWERS, &line, &twice)]);
    assert!(found.len() == 1 && found[0].starts_with("error[acceptance-syntax]"), "{found:#?}");
}

/// What the author writes behind a sentence is judged, whatever was answered before.
#[test]
fn a_wrong_override_is_open_where_an_answer_stands() {
    let found = with_answers(&[(SEAL, "18. Remove the impeller.", "18. Remove the impeller. {do frob impeller}")]);
    assert!(found.iter().any(|line| line.contains("[cannot-prove]")), "{found:#?}");
}

/// A procedure that was emptied must not be gone without a word.
#[test]
fn answers_beside_no_procedure_are_an_error() {
    let mut world = creamery();
    world.put(SEAL, "\n");
    let text = drawn(&judged(&world));
    let wanted = "error[empty-procedure] `seals/MP-PA-101.actions` stands beside no procedure";
    assert!(text.lines().any(|line| line == wanted), "{text}");
}
