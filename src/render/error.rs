//! Why an HTML page was not written; it knows no PDF and no card.

use std::fmt::Write as _;

/// The page was refused: nothing of it is handed out.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RenderError {
    /// A template of the program or of the binder cannot be read or filled.
    #[error("template `{name}` cannot be used: {reason}")]
    Template {
        /// Its name (`packet.html`).
        name: String,
        /// What the template engine said, with the place.
        reason: String,
    },
    /// A binder brings a template nobody asks for.
    #[error("there is no template `{name}`; a binder may bring `packet.html` and `site.html`")]
    UnknownTemplate {
        /// The name it was given.
        name: String,
    },
    /// The bytes of a figure were not handed over.
    #[error("figure `{path}` is missing; put the file where the step names it")]
    MissingFigure {
        /// Its path in the binder.
        path: String,
    },
    /// The bytes of a figure are none of the forms a page can hold.
    #[error("figure `{path}` is not SVG, PNG or JPEG; save it as one of these")]
    UnknownFigure {
        /// Its path in the binder.
        path: String,
    },
    /// A caution names a sign the program does not have.
    #[error("there is no sign `{name}`; the signs are: {}", crate::render::drawing::sign_names())]
    UnknownSign {
        /// The name it was given.
        name: String,
    },
    /// The index was to link to something outside its own folder.
    #[error("the index cannot link to `{address}`; a packet or card lies in the folder of the index")]
    Address {
        /// The address it was given.
        address: String,
    },
    /// The page asks somebody for something, or runs what the program did not write.
    #[error("{output} has {}; take it out of the template `{template}`, a page asks nobody for anything", lost_words(.found))]
    Outward {
        /// What was being made.
        output: String,
        /// The template that made it.
        template: String,
        /// What leads outside, each in words.
        found: Vec<String>,
    },
    /// A draft that could be taken for a controlled output, or the other way round.
    #[error("{output}: {reason}")]
    State {
        /// What was being made.
        output: String,
        /// By what.
        reason: String,
    },
    /// Something of the packet is not in the text of the page.
    #[error("{output} has lost {}; mend the template `{template}` so that it prints everything", lost_words(.lost))]
    Lost {
        /// What was being made (`packet MP-PA-101 for P-133`).
        output: String,
        /// The template that made it.
        template: String,
        /// What is missing, each in words.
        lost: Vec<String>,
    },
}

/// Returns the first few losses in words, and how many more there are.
fn lost_words(lost: &[String]) -> String {
    const SHOWN: usize = 5;
    let mut words = lost.iter().take(SHOWN).cloned().collect::<Vec<_>>().join("; ");
    if lost.len() > SHOWN {
        let _ = write!(words, "; and {} more", lost.len() - SHOWN);
    }
    words
}

#[cfg(test)]
mod tests {
    use super::RenderError;

    #[test]
    fn a_loss_is_named_and_a_long_list_is_cut() {
        let lost = (1..=8).map(|step| format!("step {step}: `x`")).collect();
        let error = RenderError::Lost { output: "packet A".to_owned(), template: "packet.html".to_owned(), lost };
        let text = error.to_string();
        assert!(text.starts_with("packet A has lost step 1: `x`; step 2"), "{text}");
        assert!(text.contains("and 3 more"), "{text}");
    }

    #[test]
    fn an_unknown_sign_lists_the_known_ones() {
        let text = RenderError::UnknownSign { name: "hot".to_owned() }.to_string();
        assert!(text.contains("hot-surface"), "{text}");
    }
}
