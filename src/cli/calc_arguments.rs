//! The words of `calc`: one subcommand a calculation, every figure typed with its unit; it computes nothing.

use clap::{Args, Subcommand};

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
  matchmark calc preload M10x1.25 --class 10.9 --torque \"75 N·m\" --friction 0.12")]
    Preload(Preload),
    /// The setting of a torque wrench with an adapter
    #[command(before_help = "Examples:
  matchmark calc setting --torque \"80 N·m\" --lever \"400 mm\" --extension \"50 mm\" --angle 0°
  matchmark calc setting --torque \"44 N·m\" --lever \"300 mm\" --extension \"60 mm\" --angle 90° --range \"10 to 60 N·m\"")]
    Setting(Setting),
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
