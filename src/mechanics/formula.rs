//! A formula as `--why` prints it. Each stands beside the function that computes
//! it, so that the two are read and changed together.

/// A formula and where it is published.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Formula {
    pub text: &'static str,
    pub source: &'static str,
}

impl Formula {
    pub(in crate::mechanics) const fn new(text: &'static str, source: &'static str) -> Self {
        Self { text, source }
    }
}

pub(in crate::mechanics) const GEOMETRY: &str = "plane geometry";
pub(in crate::mechanics) const HOOKE: &str =
    "Hooke's law; VDI 2230, resilience of the bolt; Shigley 9th ed. eq. 8-15 to 8-17";
