//! The tables of lubes and strengths, whose rows are also the columns of their
//! files.

use crate::record::table::{
    BY_SEMICOLON, FROM_SIZE, LineFigure, RecordTable, TO_SIZE, at, factor, field, figure,
};
use crate::record::{Band, Lube, StrengthClass};

/// The table of a lube. A factor comes before the ends of its range.
#[rustfmt::skip] // one row a line, read as a table
pub static LUBES: RecordTable = RecordTable { what: "lube", listed: "lubes", needed: &["name", "class", "convertible"], fields: &[
    field!("name" => at!(Lube.name), "name", "its name, as settings name it"),
    field!("aliases" => at!(Lube.aliases, BY_SEMICOLON), "aliases", "other names"),
    field!("class" => at!(Lube.class), "is", "dry, wet, coating, threadlocker or sealant"),
    field!("k" => factor!(k.Nominal), "k", "nut factor to compute with"),
    field!("k-low" => factor!(k.Low), "k_low", "lowest nut factor seen"),
    field!("k-high" => factor!(k.High), "k_high", "highest nut factor seen"),
    field!("mu-thread" => factor!(mu_thread.Nominal), "mu_thread", "friction in the thread"),
    field!("mu-thread-low" => factor!(mu_thread.Low), "mu_thread_low", "lowest friction in the thread"),
    field!("mu-thread-high" => factor!(mu_thread.High), "mu_thread_high", "highest friction in the thread"),
    field!("mu-bearing" => factor!(mu_bearing.Nominal), "mu_bearing", "friction under the head or nut"),
    field!("mu-bearing-low" => factor!(mu_bearing.Low), "mu_bearing_low", "lowest friction under the head or nut"),
    field!("mu-bearing-high" => factor!(mu_bearing.High), "mu_bearing_high", "highest friction under the head or nut"),
    field!("convertible" => at!(Lube.convertible), "convertible", "whether a torque may be restated from or to it"),
    field!("what" => at!(Lube.what), "what", "what it is, in words"),
    field!("source" => at!(Lube.source), "source", "where the factors come from"),
] };

/// The table of a strength with one of its ranges of sizes: a line of its file.
/// The unit comes before the figures that are in it.
#[rustfmt::skip] // one row a line, read as a table
pub static STRENGTHS: RecordTable = RecordTable { what: "strength", listed: "strengths", needed: &["name", "from", "to", "unit", "source"], fields: &[
    field!("name" => at!(StrengthClass.name), "name", "its name, as fasteners name it"),
    field!("aliases" => at!(StrengthClass.aliases, BY_SEMICOLON), "aliases", "other names"),
    field!("unit" => at!(StrengthClass.unit), "unit", "unit of its figures: MPa, ksi or psi"),
    field!("from" => FROM_SIZE, "from_mm", "smallest size, M16, 1/4 or #10; over M16 leaves M16 out"),
    field!("to" => TO_SIZE, "to_mm", "largest size"),
    field!("proof" => figure!(proof), "proof_mpa", "proof stress, in its unit"),
    field!("yield" => figure!(yield_), "yield_mpa", "minimum yield, in its unit"),
    field!("tensile" => figure!(tensile), "tensile_mpa", "minimum tensile strength, in its unit"),
    field!("material" => at!(StrengthClass.material), "material", "what it is made of: steel, stainless, aluminium, titanium, brass, other"),
    field!("source" => at!(StrengthClass.source), "source", "where they come from"),
] };

impl Lube {
    /// Its factors of friction.
    pub fn factors(&self) -> [Option<Band>; 3] {
        [self.k, self.mu_thread, self.mu_bearing]
    }

    /// What its fields cannot see one by one: each factor's range rises from above
    /// 0 to below 1.5. The error names the factor.
    pub fn check(&self) -> Result<(), (&'static str, String)> {
        let bands = [("k", self.k), ("mu-thread", self.mu_thread), ("mu-bearing", self.mu_bearing)];
        for (factor, band) in bands {
            let Some(Band { low, nominal, high }) = band else { continue };
            if Band::new(low, nominal, high).is_none() {
                let why = format!("{low}, {nominal}, {high} do not rise from above 0 to below 1.5");
                return Err((factor, why));
            }
        }
        Ok(())
    }
}
