//! What a torque tool may be off by, as it is asked for at the bench, and what that makes of a band; it knows no tool of any crib.

use crate::analysis::fastener::load::Band;
use crate::analysis::fastener::si;
use crate::analysis::fastener::tool::{BAND_FORM, Deviation, ToolClass};
use crate::analysis::working::{Constant, Given, Known, Outcome, Refusal, Source, Working};
use crate::base::quantity::Quantity;

/// The torque tool, by its class or by what its certificate says; at most one is given.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ToolGiven {
    /// Type and class by ISO 6789-1: `II A`.
    pub class: Option<String>,
    /// What it may be off by: `3 %`.
    pub deviation: Option<String>,
}

/// More than this is no torque tool: the widest that ISO 6789-1 permits is 6 %.
const MOST: f64 = 0.25;

impl ToolGiven {
    /// Returns what the tool may be off by at a torque in N·m; none where no tool is given.
    pub(super) fn at(&self, torque: f64) -> Result<Option<Deviation>, Refusal> {
        match (&self.class, &self.deviation) {
            (None, None) => Ok(None),
            (Some(words), None) => {
                let class = ToolClass::read(words).ok_or_else(|| {
                    Refusal::new(format!("`{}` is no class of a torque tool", words.trim()))
                        .hint("write type and class as the certificate does: `I A` to `I E`, `II A` to `II G`")
                })?;
                Ok(Some(Deviation::of_class(class, torque)))
            }
            (None, Some(text)) => {
                let given = Quantity::keyed(text).map_err(|fault| Refusal::new(fault.to_string()))?;
                let share = si::share(given)?;
                if share <= 0.0 || share > MOST {
                    return Err(Refusal::new(format!("a torque tool is not off by {}", si::plain(given)))
                        .hint("write what its certificate says, such as `4 %`; ISO 6789-1 permits 4 or 6 %"));
                }
                Ok(Some(Deviation { share, source: Source::given("given") }))
            }
            (Some(_), Some(_)) => Err(Refusal::new("what the tool may be off by is given twice")
                .hint("give its class, or what its certificate says")),
        }
    }
}

/// Adds what the tool may give where it shows a torque in N·m, and how the band was made with it.
pub(super) fn told(tool: &Deviation, torque: f64, working: &mut Working) {
    let band = Band::exact(torque).wider(tool.share);
    working.given.push(Given { name: "tool", symbol: "t", shown: tool.shown() });
    working.results.push(Outcome {
        name: "torque that the tool may give",
        symbol: "T (1 ± t)",
        figure: torque,
        band: Some((band.low, band.high)),
        unit: "N·m",
    });
    working.constants.push(Constant {
        name: "deviation of the tool t".into(),
        shown: tool.shown(),
        source: tool.source.clone(),
    });
    working.constants.push(Constant {
        name: "band with the tool".into(),
        shown: BAND_FORM.to_owned(),
        source: Source::of("both at their worst: they are limits, and no standard deviations", Known::Computed),
    });
}
