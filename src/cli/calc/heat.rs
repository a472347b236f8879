//! `calc heat`: change of clamp with temperature.

use crate::cli::calc::bolt::{Bolt, BoltArgs, LayerGiven, PartsArgs, bolt, joint, layers};
use crate::cli::calc::read::{Stuff, of_sum, rise, thread};
use crate::cli::exit::{Failure, wrong};
use crate::cli::typed::stated;
use crate::mechanics::{Expansion, Warmed, clamp_change};
use crate::quantity::{Force, Length, Stated, TemperatureDifference};
use crate::report::calc::{HeatSum, Page, Warm};

/// `calc heat`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  Steel bolt in aluminium, all 80 K warmer: the clamp grows.
  clampbook calc heat M12x1.25 --shank 12mm,70mm --free-thread 20mm \\
      --layer 90mm,aluminium --rise 80K --clamp 45kN
  Steel bolt in grey iron, all 80 K warmer: it loses a little.
  clampbook calc heat M12x1.25 --shank 12mm,70mm --free-thread 20mm \\
      --layer 90mm,\"grey iron\" --rise 80K --clamp 45kN
  Colder: write the sign. The head 30 K warmer than its bolts: give both.
  clampbook calc heat --bolt-stiffness 150kN/mm \\
      --parts-stiffness 600kN/mm --layer 90mm,aluminium --rise -40K
  clampbook calc heat --bolt-stiffness 150kN/mm \\
      --parts-stiffness 600kN/mm --layer 90mm,aluminium \\
      --parts-rise 80K --bolt-rise 50K

A layer is THICKNESS,MATERIAL with a material by name, or its modulus and its
expansion: 90mm,71GPa,23e-6/K. Elastic, no creep. A torque read hot is not a
torque read cold.")]
pub(super) struct Heat {
    /// The thread, with its pitch; not needed where both stiffnesses are given
    pub thread: Option<String>,
    #[command(flatten)]
    pub bolt: BoltArgs,
    #[command(flatten)]
    pub parts: PartsArgs,
    /// How much warmer all is than when tightened; negative when colder
    #[arg(long, value_name = "DIFFERENCE", allow_hyphen_values = true)]
    pub rise: Option<String>,
    /// How much warmer the parts are, where the bolt differs
    #[arg(long, value_name = "DIFFERENCE", allow_hyphen_values = true)]
    pub parts_rise: Option<String>,
    /// How much warmer the bolt is, where the parts differ
    #[arg(long, value_name = "DIFFERENCE", allow_hyphen_values = true)]
    pub bolt_rise: Option<String>,
    /// Clamp as tightened
    #[arg(long, value_name = "FORCE")]
    pub clamp: Option<String>,
}

pub(super) fn page(given: &Heat) -> Result<Page, Failure> {
    let turned = given.thread.as_ref().map(|text| thread("THREAD", text)).transpose()?;
    let bolt = bolt(&given.bolt, turned.as_ref())?;
    let layers = layers(&given.parts)?;
    if layers.is_empty() {
        return Err(wrong("--layer", "which parts are warmed? give their length and material"));
    }
    let joint = joint(&bolt, &given.parts, &layers, turned.as_ref())?;
    let (of_parts, of_bolt) = rises(given)?;
    let parts: Vec<Growing> = layers
        .iter()
        .map(|layer| growing("--layer", layer.thickness, &layer.stuff, of_parts))
        .collect::<Result<_, _>>()?;
    let shank = growing("--material", length(&bolt, &layers), &bolt.stuff, of_bolt)?;
    // The change with each expansion at a place of its range, of a part or of the bolt.
    let change = |place: &dyn Fn(bool, &Growing) -> f64| {
        let parts: Vec<Warmed> = parts.iter().map(|part| part.at(place(true, part))).collect();
        clamp_change(&joint.joint, &parts, &[shank.at(place(false, &shank))]).map_err(of_sum)
    };
    // More expansion of a part that warms, or of a bolt that cools, is a gain.
    let gains = |is_part: bool, one: &Growing| is_part == (one.rise.k() > 0.0);
    let middle = change(&|_, _| 0.5)?;
    let ends = [
        change(&|is_part, one| f64::from(!gains(is_part, one)))?,
        change(&|is_part, one| f64::from(gains(is_part, one)))?,
    ];
    let cold: Option<Stated<Force>> = stated("--clamp", given.clamp.as_ref())?;
    let is_inch = turned.as_ref().is_some_and(|thread| thread.tpi().is_some())
        || cold.is_some_and(|cold| cold.written().unit.system == crate::quantity::System::Inch);
    let (parts, bolt) = (parts.iter().map(Growing::nominal).collect(), shank.nominal());
    let range = (ends[0] != ends[1]).then_some(ends);
    Ok(HeatSum { joint, parts, bolt, change: middle, range, cold, is_inch }.page())
}

fn rises(given: &Heat) -> Result<(TemperatureDifference, TemperatureDifference), Failure> {
    let read = |option: &str, text: &Option<String>| {
        text.as_ref().map(|text| rise(option, text)).transpose()
    };
    let all = read("--rise", &given.rise)?;
    let parts = read("--parts-rise", &given.parts_rise)?.or(all);
    let bolt = read("--bolt-rise", &given.bolt_rise)?.or(all);
    let why = "how much warmer? give --rise for all, or --parts-rise and --bolt-rise";
    let missing = |option| wrong(option, why);
    let parts = parts.ok_or_else(|| missing("--parts-rise"))?;
    Ok((parts, bolt.ok_or_else(|| missing("--bolt-rise"))?))
}

/// The bolt between the faces is as long as the parts.
fn length(bolt: &Bolt, layers: &[LayerGiven]) -> Length {
    if bolt.grip.mm() > 0.0 {
        return bolt.grip;
    }
    layers.iter().fold(Length::from_mm(0.0), |sum, layer| sum + layer.thickness)
}

/// A length whose expansion is a range.
struct Growing {
    length: Length,
    expansion: [Expansion; 2],
    rise: TemperatureDifference,
    is: String,
}

fn growing(
    option: &str,
    length: Length,
    stuff: &Stuff,
    rise: TemperatureDifference,
) -> Result<Growing, Failure> {
    let expansion = stuff.expansion.ok_or_else(|| {
        wrong(option, "the expansion is needed: name the material, or add it as 23e-6/K")
    })?;
    Ok(Growing { length, expansion, rise, is: stuff.is.clone() })
}

impl Growing {
    /// At `place` of its range of expansion, 0 to 1.
    fn at(&self, place: f64) -> Warmed {
        let [low, high] = self.expansion.map(Expansion::per_k);
        let expansion = Expansion::from_per_k(low + (high - low) * place);
        Warmed { length: self.length, expansion, rise: self.rise }
    }

    fn nominal(&self) -> Warm {
        Warm { warmed: self.at(0.5), is: self.is.clone() }
    }
}
