//! How a command can end, and the number each end has; it decides no end.

/// The end of a command.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Nothing was wrong.
    Clean,
    /// Something was found.
    Findings,
    /// The command was typed wrongly, or names what is not there.
    Usage,
    /// Something could not be read, written or decided.
    Undecided,
    /// A layout or a policy refused an output.
    Refused,
    /// The program is at fault.
    Fault,
}

impl Exit {
    /// Returns its number. A command that is interrupted ends with 130, which the system gives.
    #[must_use]
    pub fn code(self) -> u8 {
        match self {
            Self::Clean => 0,
            Self::Findings => 1,
            Self::Usage => 2,
            Self::Undecided => 3,
            Self::Refused => 4,
            Self::Fault => 70,
        }
    }
}
