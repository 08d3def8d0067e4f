//! The words of `calc`: one subcommand a calculation, every figure typed with its unit; it computes nothing.

use clap::{Args, Subcommand, ValueEnum};
use std::path::PathBuf;

/// The calculations.
#[derive(Debug, Subcommand)]
pub enum Calc {
    /// The torque for a preload
    #[command(before_help = "Examples:
  matchmark calc torque M12 --class 8.8 --share \"70 %\" --state \"zinc plated, dry\"
  matchmark calc torque M12 --class A4-70 --share \"60 %\" --nut-factor 0.16
  matchmark calc torque M12 --class 8.8 --utilisation \"90 %\" --friction 0.14
  matchmark calc torque \"1/4-20 UNC\" --class \"grade 5\" --force \"9 kN\" --nut-factor 0.20")]
    Torque(Torque),
    /// The preload of a torque, and its share of proof and yield
    #[command(before_help = "Examples:
  matchmark calc preload M12 --class A4-70 --torque \"44 N·m\" --nut-factor 0.16
  matchmark calc preload M10x1.25 --class 10.9 --torque \"75 N·m\" --friction 0.12
  matchmark calc preload M12 --class 8.8 --torque \"80 N·m\" --nut-factor 0.16 --tool-class \"II A\"")]
    Preload(Preload),
    /// The setting of a torque wrench with an adapter
    #[command(before_help = "Examples:
  matchmark calc setting --torque \"80 N·m\" --lever \"400 mm\" --extension \"50 mm\" --angle 0°
  matchmark calc setting --torque \"44 N·m\" --lever \"300 mm\" --extension \"60 mm\" --angle 90° --range \"10 to 60 N·m\"")]
    Setting(Setting),
    /// A quantity or limit in another unit; a limit is rounded inward
    #[command(before_help = "Examples:
  matchmark calc convert \"44 N·m\" lbf·ft
  matchmark calc convert \"12,5 Nm\" lbf·in
  matchmark calc convert \"40 to 50 N·m\" lbf·ft --step 0.5
  matchmark calc convert --batch pairs.txt                     a line each: 44 N·m in lbf·ft

`1,250` is refused: it may be thousands or decimals. `gal` and `ton` are refused: there are several.")]
    Convert(Convert),
    /// An O-ring in its groove: stretch, squeeze and fill over all tolerances
    #[command(before_help = "Examples:
  matchmark calc oring AS568-214
  matchmark calc oring AS568-214 --seal static --seat \"25.4 mm\" --depth \"2.79 to 2.95 mm\" --width \"4.57 mm\"
  matchmark calc oring --inside \"25 mm\" --section \"3.5 mm\" --seal face --depth \"2.6 mm\"
  matchmark calc oring AS568-214 --seal moving --depth \"3.1 mm\" --hardness 70 --pressure \"16 bar\"")]
    Oring(Oring),
    /// How long rubber keeps on the shelf, by its cure date
    #[command(before_help = "Examples:
  matchmark calc shelf-life --rubber EPDM --cured 2019-03 --standard iso2230
  matchmark calc shelf-life --rubber NBR --cured 2019-Q2 --standard arp5316 --on 2027-03-14")]
    ShelfLife(ShelfLife),
    /// How high letters must be to be read from a distance
    #[command(before_help = "Examples:
  matchmark calc type-size --distance \"700 mm\"
  matchmark calc type-size --distance \"1 m\" --cap-height 0.72
  matchmark calc type-size --distance \"300 mm\" --code \"P-121/MP-PA-101\"")]
    TypeSize(TypeSize),
}

/// What is on the threads: one of state, nut factor and friction.
#[derive(Debug, Args)]
pub struct OnThreads {
    /// Property class or grade: 8.8, A4-70, "grade 5"
    #[arg(long, value_name = "CLASS")]
    pub class: Option<String>,
    /// What is on the threads, in words; a published nut factor is taken
    #[arg(long, value_name = "WORDS")]
    pub state: Option<String>,
    /// The nut factor K, as the maker of the lubricant gives it
    #[arg(long, value_name = "K", allow_hyphen_values = true)]
    pub nut_factor: Option<String>,
    /// The coefficient of friction in the thread and under the head
    #[arg(long, value_name = "MU", allow_hyphen_values = true)]
    pub friction: Option<String>,
    /// The coefficient of friction under the head, where it is another
    #[arg(long, value_name = "MU", allow_hyphen_values = true)]
    pub head_friction: Option<String>,
    /// The mean diameter of the bearing [default: that of a hexagon head]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub bearing: Option<String>,
}

/// The torque tool, by its class or by what its certificate says.
#[derive(Debug, Args)]
pub struct Tool {
    /// Type and class of the torque tool by ISO 6789-1: "II A"
    #[arg(long, value_name = "CLASS", conflicts_with = "tool_deviation")]
    pub tool_class: Option<String>,
    /// What the torque tool may be off by: "4 %"
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    pub tool_deviation: Option<String>,
}

/// Arguments of `calc torque`.
#[derive(Debug, Args)]
pub struct Torque {
    /// The thread: M10, M10x1.25, "1/4-20 UNC"
    #[arg(value_name = "THREAD")]
    pub thread: String,
    /// What is on it.
    #[command(flatten)]
    pub on: OnThreads,
    /// The preload as a force: "20 kN"
    #[arg(long, value_name = "FORCE", allow_hyphen_values = true)]
    pub force: Option<String>,
    /// The preload as a share of proof (of yield for stainless steel): "70 %"
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    pub share: Option<String>,
    /// The preload that uses so much of the yield, torsion included: "90 %"; needs friction
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    pub utilisation: Option<String>,
    /// What it is tightened with.
    #[command(flatten)]
    pub tool: Tool,
}

/// Arguments of `calc preload`.
#[derive(Debug, Args)]
pub struct Preload {
    /// The thread: M10, M10x1.25, "1/4-20 UNC"
    #[arg(value_name = "THREAD")]
    pub thread: String,
    /// What is on it.
    #[command(flatten)]
    pub on: OnThreads,
    /// The torque: "44 N·m"
    #[arg(long, value_name = "TORQUE", allow_hyphen_values = true)]
    pub torque: String,
    /// What it is tightened with.
    #[command(flatten)]
    pub tool: Tool,
}

/// Arguments of `calc setting`.
#[derive(Debug, Args)]
pub struct Setting {
    /// The torque the fastener is to get: "80 N·m"
    #[arg(long, value_name = "TORQUE", allow_hyphen_values = true)]
    pub torque: String,
    /// From the middle of the grip to the drive: "400 mm"
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub lever: String,
    /// From the drive to the fastener: "50 mm"
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub extension: String,
    /// Between handle and adapter: 0° in line, 90° across
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    pub angle: String,
    /// What the wrench can be set to: "20 to 100 N·m"
    #[arg(long, value_name = "RANGE", allow_hyphen_values = true)]
    pub range: Option<String>,
    /// The step of its scale: "0.5 N·m"
    #[arg(long, value_name = "STEP", allow_hyphen_values = true)]
    pub graduation: Option<String>,
}

/// Arguments of `calc convert`.
#[derive(Debug, Args)]
pub struct Convert {
    /// The quantity or limit: "44 N·m", "40 to 50 N·m", "40 °C or less"
    #[arg(value_name = "QUANTITY", required_unless_present = "batch", allow_hyphen_values = true)]
    pub quantity: Option<String>,
    /// The unit it is wanted in
    #[arg(value_name = "UNIT", required_unless_present = "batch")]
    pub unit: Option<String>,
    /// The step of the instrument: a limit is rounded inward to it, a plain quantity to the nearest
    #[arg(long, value_name = "NUMBER", conflicts_with = "batch")]
    pub step: Option<String>,
    /// A file of conversions, a line each; the answer has as many lines
    #[arg(long, value_name = "FILE", conflicts_with_all = ["quantity", "unit"])]
    pub batch: Option<PathBuf>,
}

/// How a ring seals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SealWord {
    /// Between a bore and a plug that do not move
    Static,
    /// Between two faces that do not move
    Face,
    /// Between parts that move
    Moving,
}

/// Arguments of `calc oring`.
#[derive(Debug, Args)]
pub struct Oring {
    /// The size code: AS568-214, or ISO 3601-214
    #[arg(value_name = "SIZE", allow_hyphen_values = true)]
    pub size: Option<String>,
    /// The inside diameter, where there is no size code: "24.74 to 25.24 mm"
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, requires = "section", conflicts_with = "size")]
    pub inside: Option<String>,
    /// The section: "3.43 to 3.63 mm"
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, requires = "inside", conflicts_with = "size")]
    pub section: Option<String>,
    /// How it seals
    #[arg(long, value_enum, value_name = "static|face|moving", hide_possible_values = true, requires = "depth")]
    pub seal: Option<SealWord>,
    /// The diameter that the ring sits on, where it is stretched over one
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, requires = "depth")]
    pub seat: Option<String>,
    /// From the bottom of the groove to the surface it seals against, gap included: "2.79 to 2.95 mm"
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, requires = "seal")]
    pub depth: Option<String>,
    /// The width of the groove
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, requires = "depth")]
    pub width: Option<String>,
    /// Hardness in IRHD or Shore A
    #[arg(long, value_name = "NUMBER")]
    pub hardness: Option<u32>,
    /// The pressure over ambient
    #[arg(long, value_name = "PRESSURE", allow_hyphen_values = true, requires = "hardness")]
    pub pressure: Option<String>,
}

/// By which standard a store keeps its rubber.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum StandardWord {
    /// ISO 2230
    Iso2230,
    /// SAE ARP5316
    Arp5316,
}

/// Arguments of `calc shelf-life`.
#[derive(Debug, Args)]
pub struct ShelfLife {
    /// The rubber, by its symbol in ISO 1629: EPDM, NBR, FKM, VMQ
    #[arg(long, value_name = "SYMBOL")]
    pub rubber: String,
    /// When it was cured: 2019-03-14, 2019-03 or 2019-Q1
    #[arg(long, value_name = "DATE")]
    pub cured: String,
    /// The standard the plant keeps its rubber by; the two are never mixed
    #[arg(long, value_enum, value_name = "iso2230|arp5316", hide_possible_values = true)]
    pub standard: StandardWord,
    /// A day to judge it on
    #[arg(long, value_name = "DATE")]
    pub on: Option<String>,
}

/// Arguments of `calc type-size`.
#[derive(Debug, Args)]
pub struct TypeSize {
    /// From the eye to the page: "700 mm"
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub distance: String,
    /// The height of a capital in em of the font [default: that of the built-in font]
    #[arg(long, value_name = "EM", allow_hyphen_values = true)]
    pub cap_height: Option<String>,
    /// What a QR code is to hold: its least size is told too
    #[arg(long, value_name = "TEXT")]
    pub code: Option<String>,
}
