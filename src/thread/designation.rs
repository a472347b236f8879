//! Thread designations: what is written on a sheet, "7/16-20", "M10x1.5".

use crate::quantity::Length;

/// A thread series. One row of the SERIES table each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Series {
    /// ISO metric.
    M,
    /// Metric with controlled root radius.
    MJ,
    /// Unified coarse.
    Unc,
    /// Unified fine.
    Unf,
    /// Unified extra fine.
    Unef,
    /// Unified constant pitch.
    Un,
    /// Unified special.
    Uns,
    /// Unified with controlled root radius.
    Unj,
    /// British Standard Whitworth.
    Bsw,
    /// British Standard Fine.
    Bsf,
    /// British Association.
    Ba,
    /// Taper pipe, American.
    Npt,
    /// Parallel pipe, ISO 228 (G).
    G,
    /// Taper pipe, ISO 7 (R).
    R,
}

/// Nominal size, exact: metric in micrometres, inch in hundred-thousandths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Size(u32);

/// Pitch, exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Pitch(u32);

/// A complete thread: series, size, pitch, hand and, as text, its class.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Thread {
    series: Series,
    size: Size,
    pitch: Pitch,
}

/// A thread as asked for: a size and, if written, a pitch.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Pattern {
    size: Size,
    pitch: Option<Pitch>,
}

/// Why a text is not a thread.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ThreadError {
    /// Not a thread at all.
    #[error("`{0}` is not a thread")]
    NotAThread(String),
}

impl Thread {
    /// Geometry.
    pub fn geometry(&self) -> Result<crate::thread::Geometry, ThreadError> {
        Err(ThreadError::NotAThread(String::new()))
    }
    /// Pitch.
    pub fn pitch_length(&self) -> Length {
        Length::from_mm(0.0)
    }
    /// Threads per inch.
    pub fn tpi(&self) -> Option<f64> {
        None
    }
    /// The nominal diameter.
    pub fn nominal(&self) -> Length {
        Length::from_mm(0.0)
    }
}

impl std::fmt::Display for Thread {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:?}", self.size)
    }
}
