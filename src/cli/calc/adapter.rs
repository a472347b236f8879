//! `calc adapter`: wrench setting with a crowfoot, an extension, a multiplier.

use crate::cli::calc::read::{number, of_sum, share};
use crate::cli::exit::{Failure, argument, wrong};
use crate::cli::typed::{quantity, stated};
use crate::mechanics::Attachment;
use crate::quantity::{Angle, NEWTON_METRE, Ratio, Stated, Torque};
use crate::report::calc::{AdapterSum, Page};

/// `calc adapter`
#[derive(Debug, clap::Args)]
#[command(after_long_help = "\
Examples:
  clampbook calc adapter --torque 20lb-ft --length 12in --reach 3in
  clampbook calc adapter --torque 95Nm --length 450mm --reach 50mm --angle back
  clampbook calc adapter --torque 95Nm --length 450mm --reach 50mm --angle 45deg
  clampbook calc adapter --setting 60lb-ft --length 18in --reach 2in
  clampbook calc adapter --torque 900Nm --multiplier 5 --efficiency 90%

In line the wrench is set lower, pointing back higher; across (90°) and on the
axis of the bolt (a plain extension) nothing is corrected. The length counts from
the drive to the hand.")]
pub(super) struct Adapter {
    /// Torque wanted at the bolt, to find the setting
    #[arg(long, group = "side", required_unless_present = "setting")]
    pub torque: Option<String>,
    /// Setting of the wrench, to find the torque at the bolt
    #[arg(long, group = "side", value_name = "TORQUE")]
    pub setting: Option<String>,
    /// Length of the wrench, from the drive to the centre of the hand
    #[arg(long, requires = "reach")]
    pub length: Option<String>,
    /// Length of the adapter, from the drive to the centre of the bolt
    #[arg(long, requires = "length", value_name = "LENGTH")]
    pub reach: Option<String>,
    /// Where it points: in-line, across, back, or an angle from in-line
    #[arg(long, requires = "reach", allow_hyphen_values = true, default_value = "in-line")]
    pub angle: String,
    /// An extension on the axis of the bolt
    #[arg(long, conflicts_with_all = ["reach", "multiplier"])]
    pub on_axis: bool,
    /// Ratio of a torque multiplier
    #[arg(long, value_name = "RATIO", conflicts_with = "reach")]
    pub multiplier: Option<String>,
    /// Efficiency of the multiplier, as marked on it
    #[arg(long, value_name = "PERCENT", requires = "multiplier")]
    pub efficiency: Option<String>,
}

pub(super) fn page(given: &Adapter) -> Result<Page, Failure> {
    let attachment = attachment(given)?;
    let gain = attachment.gain().map_err(of_sum)?;
    let torque: Option<Stated<Torque>> = stated("--torque", given.torque.as_ref())?;
    let setting: Option<Stated<Torque>> = stated("--setting", given.setting.as_ref())?;
    let unit = torque.or(setting).map(|torque| torque.written().unit);
    let (torque, setting, is_at_bolt) = match (torque, setting) {
        (Some(torque), _) => {
            let torque = torque.value();
            (torque, attachment.setting(torque).map_err(of_sum)?, false)
        }
        (None, Some(setting)) => {
            let setting = setting.value();
            (attachment.at_bolt(setting).map_err(of_sum)?, setting, true)
        }
        (None, None) => {
            return argument("give --torque to find the setting, or --setting to find the torque");
        }
    };
    let unit = unit.unwrap_or(NEWTON_METRE);
    Ok(AdapterSum { attachment, torque, setting, is_at_bolt, gain, unit }.page())
}

fn attachment(given: &Adapter) -> Result<Attachment, Failure> {
    if let Some(ratio) = &given.multiplier {
        let ratio = Ratio::from_value(number("--multiplier", ratio)?);
        let efficiency = given.efficiency.as_ref().ok_or_else(|| {
            wrong(
                "--efficiency",
                "give the efficiency marked on the multiplier, such as 90%: none is assumed",
            )
        })?;
        return Ok(Attachment::Multiplier {
            ratio,
            efficiency: share("--efficiency", efficiency)?,
        });
    }
    match (&given.length, &given.reach, given.on_axis) {
        (Some(length), Some(reach), _) => Ok(Attachment::Adapter {
            lever: quantity("--length", length)?.value(),
            reach: quantity("--reach", reach)?.value(),
            angle: angle(&given.angle)?,
        }),
        (_, _, true) => Ok(Attachment::OnAxis),
        _ => argument(
            "what sits between? give --length and --reach of an adapter, --on-axis \
                           for a plain extension, or --multiplier",
        ),
    }
}

/// `in-line`, `across`, `back`, or an angle.
fn angle(text: &str) -> Result<Angle, Failure> {
    match text.trim() {
        "in-line" | "in line" => return Ok(Angle::from_deg(0.0)),
        "across" => return Ok(Angle::from_deg(90.0)),
        "back" => return Ok(Angle::from_deg(180.0)),
        _ => {}
    }
    // The side does not matter: the cosine is even.
    let size = text.trim().trim_start_matches(['-', '+']);
    let angle = quantity::<Angle>("--angle", size).map_err(|_| {
        wrong(
            "--angle",
            format!("`{text}`: expected in-line, across, back or an angle such as 45deg"),
        )
    })?;
    Ok(angle.value())
}
