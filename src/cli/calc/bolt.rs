//! A bolt from end to end and the parts that it clamps, read from options.

use crate::cli::calc::read::{self, Stuff, bearing, lengths, material, of_sum, stiffness};
use crate::cli::exit::{Failure, wrong};
use crate::cli::typed::{quantity, stated};
use crate::mechanics::{
    self, Between, End, EndToEnd, Head, Joint, Layer, Segment, Spread, Stiffness, clamped_layers,
    in_a_row, standard_bearing, tube_section,
};
use crate::quantity::{Length, Stated, Stress};
use crate::report::calc::{JointSum, Parts};
use crate::thread::{Geometry, Thread};

// A bolt from end to end.
#[derive(Debug, clap::Args)]
pub(super) struct BoltArgs {
    /// Plain shank between the faces: diameter and length; may be repeated
    #[arg(long, value_name = "DIAMETER,LENGTH", action = clap::ArgAction::Append)]
    pub shank: Vec<String>,
    /// Reduced shank between the faces: diameter and length; may be repeated
    #[arg(long, value_name = "DIAMETER,LENGTH", action = clap::ArgAction::Append)]
    pub waist: Vec<String>,
    /// Loaded thread between the faces: its length
    #[arg(long, value_name = "LENGTH")]
    pub free_thread: Option<String>,
    /// What holds each end: hex or socket (a head), nut, hole; none counts the lengths alone
    #[arg(long, value_name = "END,END", default_value = "hex,nut")]
    pub ends: String,
    /// Material of the bolt: a name, a modulus, or modulus and expansion (206GPa,11.5e-6/K)
    #[arg(long, default_value = "steel")]
    pub material: String,
    /// Material around a tapped hole: a name or a modulus
    #[arg(long, value_name = "MATERIAL")]
    pub hole_material: Option<String>,
}

// What is clamped.
#[derive(Debug, clap::Args)]
pub(super) struct PartsArgs {
    /// Clamped layer: thickness and material (30mm,aluminium); may be repeated, in order
    #[arg(long, value_name = "THICKNESS,MATERIAL", action = clap::ArgAction::Append)]
    pub layer: Vec<String>,
    /// Face and hole of head and nut on the layers; else the standard hex head
    #[arg(long, value_name = "OUTER,HOLE")]
    pub bearing: Option<String>,
    /// A sleeve instead of layers: outer and inner diameter, length, material
    #[arg(long, value_name = "OUTER,INNER,LENGTH,MATERIAL", conflicts_with = "layer")]
    pub sleeve: Option<String>,
    /// Stiffness of the parts, if it is known: "600kN/mm"
    #[arg(long, value_name = "FORCE/LENGTH")]
    pub parts_stiffness: Option<String>,
    /// Stiffness of the bolt, if it is known: "150kN/mm"
    #[arg(long, value_name = "FORCE/LENGTH")]
    pub bolt_stiffness: Option<String>,
}

/// A bolt as it was given.
pub(super) struct Bolt {
    /// Its segments from end to end; none where nothing was given.
    pub segments: Vec<Segment>,
    pub stuff: Stuff,
    pub grip: Length,
    /// Whether it is held by a tapped hole or goes through to a nut.
    pub spread: Spread,
    /// The smallest reduced shank.
    pub waist: Option<Stated<Length>>,
    pub assumed: Vec<String>,
}

/// The words of `--ends`, each a known one.
fn ends(text: &str) -> Result<[&str; 2], Failure> {
    if text.trim() == "none" {
        return Ok(["none", "none"]);
    }
    let words = read::parts("--ends", text, "hex,nut")?;
    let known = ["hex", "head", "socket", "nut", "hole", "none"];
    match words.iter().find(|word| !known.contains(word)) {
        None => Ok(words),
        Some(word) => {
            let expected = "expected two of hex, socket, nut, hole, such as hex,hole; or none";
            Err(wrong("--ends", format!("`{word}`: {expected}")))
        }
    }
}

pub(super) fn bolt(args: &BoltArgs, thread: Option<&Thread>) -> Result<Bolt, Failure> {
    let values: Vec<&str> = args.material.split(',').map(str::trim).collect();
    let stuff = material("--material", &values)?;
    let geometry = thread.and_then(|thread| thread.geometry().ok());
    let pairs = |option: &str, all: &[String]| {
        all.iter().map(|text| lengths(option, text, "10mm,60mm")).collect::<Result<Vec<_>, _>>()
    };
    let (shanks, waists) = (pairs("--shank", &args.shank)?, pairs("--waist", &args.waist)?);
    let free: Option<Stated<Length>> = stated("--free-thread", args.free_thread.as_ref())?;
    let mut between = Vec::new();
    between.extend(shanks.iter().map(|[d, l]| Between::Shank(d.value(), l.value())));
    between.extend(waists.iter().map(|[d, l]| Between::Waist(d.value(), l.value())));
    if let Some(length) = free {
        let geometry = geometry.as_ref().ok_or_else(|| needs_thread("--free-thread"))?;
        between.push(Between::Thread(geometry, length.value()));
    }
    let lengths = shanks.iter().chain(&waists).map(|[_, length]| length).chain(&free);
    let grip = lengths.fold(Length::from_mm(0.0), |sum, length| sum + length.value());
    let waist = waists.iter().map(|[diameter, _]| *diameter);
    let waist = waist.min_by(|a, b| a.value().mm().total_cmp(&b.value().mm()));
    let spread = if ends(&args.ends)?.contains(&"hole") { Spread::Tapped } else { Spread::Through };
    let mut bolt = Bolt { segments: Vec::new(), stuff, grip, spread, waist, assumed: Vec::new() };
    if !between.is_empty() {
        let shank = shanks.first().map(|[diameter, _]| diameter.value());
        bolt.segments(args, &between, geometry.as_ref(), shank)?;
    }
    Ok(bolt)
}

fn needs_thread(option: &str) -> Failure {
    wrong(option, "needs THREAD, the thread of the bolt")
}

impl Bolt {
    fn segments(
        &mut self,
        args: &BoltArgs,
        between: &[Between<'_>],
        geometry: Option<&Geometry>,
        shank: Option<Length>,
    ) -> Result<(), Failure> {
        let modulus = self.stuff.modulus.ok_or_else(|| {
            wrong("--material", "expected a material by name, or a modulus such as 206GPa")
        })?;
        let thread = || geometry.ok_or_else(|| needs_thread("--ends"));
        let head = || match (shank, geometry) {
            (Some(shank), _) => Ok(shank),
            (None, Some(geometry)) => Ok(geometry.major),
            (None, None) => Err(needs_thread("--ends")),
        };
        let mut held = Vec::new();
        for word in ends(&args.ends)? {
            held.push(match word {
                "hex" | "head" => End::HexHead(head()?),
                "socket" => End::SocketHead(head()?),
                "nut" => End::Nut(thread()?),
                "hole" => End::Hole(thread()?, hole_modulus(args, modulus, &mut self.assumed)?),
                _ => continue,
            });
        }
        let shape = EndToEnd { modulus, ends: &held, between };
        self.segments = shape.segments().map_err(of_sum)?;
        if args.material == "steel" {
            let gpa = modulus.mpa() / 1000.0;
            self.assumed
                .push(format!("the bolt is steel of {gpa:.0} GPa; --material says otherwise"));
        }
        Ok(())
    }
}

fn hole_modulus(
    args: &BoltArgs,
    of_bolt: Stress,
    assumed: &mut Vec<String>,
) -> Result<Stress, Failure> {
    const OPTION: &str = "--hole-material";
    let Some(text) = &args.hole_material else {
        assumed.push(format!("the tapped hole is of the bolt's modulus; {OPTION} says otherwise"));
        return Ok(of_bolt);
    };
    let stuff = material(OPTION, &[text])?;
    stuff.modulus.ok_or_else(|| wrong(OPTION, "expected a name or a modulus such as 71GPa"))
}

/// A layer as it was given: its thickness and what is known of its material.
pub(super) struct LayerGiven {
    /// Thickness, or length of a sleeve.
    pub thickness: Length,
    pub stuff: Stuff,
}

/// The layers, or the sleeve as the one layer.
pub(super) fn layers(args: &PartsArgs) -> Result<Vec<LayerGiven>, Failure> {
    let layer = |option: &str, fields: &[&str]| {
        let (thickness, values) =
            fields.split_first().filter(|(_, rest)| !rest.is_empty()).ok_or_else(|| {
                wrong(option, "expected a thickness and a material, such as 30mm,aluminium")
            })?;
        let thickness = quantity::<Length>(option, thickness)?.value();
        Ok(LayerGiven { thickness, stuff: material(option, values)? })
    };
    if let Some(text) = &args.sleeve {
        let fields = sleeve_fields(text)?;
        return Ok(vec![layer("--sleeve", &fields[2..])?]);
    }
    let fields = |text: &String| -> Result<LayerGiven, Failure> {
        layer("--layer", &text.split(',').map(str::trim).collect::<Vec<_>>())
    };
    args.layer.iter().map(fields).collect()
}

fn sleeve_fields(text: &str) -> Result<Vec<&str>, Failure> {
    let fields: Vec<&str> = text.split(',').map(str::trim).collect();
    if fields.len() >= 4 {
        return Ok(fields);
    }
    let expected = "expected outer and inner diameter, length and material, such as \
                    40mm,28mm,60mm,steel";
    Err(wrong("--sleeve", format!("`{text}`: {expected}")))
}

/// Bolt and parts with their stiffness.
pub(super) fn joint(
    bolt: &Bolt,
    args: &PartsArgs,
    given: &[LayerGiven],
    thread: Option<&Thread>,
) -> Result<JointSum, Failure> {
    let mut assumed = bolt.assumed.clone();
    check_grip(bolt, given)?;
    let (of_bolt, segments) = match &args.bolt_stiffness {
        Some(text) => (stiffness("--bolt-stiffness", "bolt", text)?, Vec::new()),
        None if bolt.segments.is_empty() => {
            return Err(wrong(
                "--shank",
                "give the lengths between the faces with --shank, --waist, --free-thread, or \
                 --bolt-stiffness",
            ));
        }
        None => (in_a_row(&bolt.segments).map_err(of_sum)?, bolt.segments.clone()),
    };
    if segments.is_empty() {
        assumed.clear();
    }
    let (of_parts, parts) = match &args.parts_stiffness {
        Some(text) => (stiffness("--parts-stiffness", "parts", text)?, Parts::Given),
        None => clamped(args, given, (thread, bolt.spread), &mut assumed)?,
    };
    let joint = Joint { bolt: of_bolt, parts: of_parts };
    Ok(JointSum { segments, parts, joint, assumed })
}

/// Bolt and parts between the faces are one length.
fn check_grip(bolt: &Bolt, given: &[LayerGiven]) -> Result<(), Failure> {
    let parts: f64 = given.iter().map(|layer| layer.thickness.mm()).sum();
    let grip = bolt.grip.mm();
    if given.is_empty() || grip == 0.0 || (parts / grip - 1.0).abs() < 0.01 {
        return Ok(());
    }
    let text = format!(
        "the parts are {parts:.4} mm thick, the bolt is {grip:.4} mm between the faces \
         (--shank, --waist, --free-thread): the grip is one length"
    );
    Err(wrong("--layer", text))
}

fn clamped(
    args: &PartsArgs,
    given: &[LayerGiven],
    (thread, spread): (Option<&Thread>, Spread),
    assumed: &mut Vec<String>,
) -> Result<(Stiffness, Parts), Failure> {
    let option = if args.sleeve.is_some() { "--sleeve" } else { "--layer" };
    if given.is_empty() {
        return Err(wrong(option, "what is clamped? give --layer, --sleeve or --parts-stiffness"));
    }
    let modulus = |layer: &LayerGiven| {
        layer.stuff.modulus.ok_or_else(|| wrong(option, "the modulus is needed too, such as 71GPa"))
    };
    if let Some(text) = &args.sleeve {
        let fields = sleeve_fields(text)?;
        let [outer, inner] = [fields[0], fields[1]].map(|field| quantity::<Length>(option, field));
        let (outer, inner) = (outer?.value(), inner?.value());
        let area = tube_section(outer, inner).map_err(of_sum)?;
        let part = mechanics::SegmentPart::Clamped;
        let sleeve =
            Segment { part, length: given[0].thickness, area, modulus: modulus(&given[0])? };
        let stiffness = sleeve.stiffness().map_err(of_sum)?;
        return Ok((stiffness, Parts::Sleeve(outer, inner, sleeve)));
    }
    let face = face(args, thread, assumed)?;
    let layers = given
        .iter()
        .map(|layer| Ok(Layer { thickness: layer.thickness, modulus: modulus(layer)? }));
    let layers: Vec<Layer> = layers.collect::<Result<_, Failure>>()?;
    let stiffness = clamped_layers(&layers, face.hole, face.outer, spread).map_err(of_sum)?;
    Ok((stiffness, Parts::Layers(layers, face, spread)))
}

/// Face and hole of head and nut: as given, or standard for the thread.
fn face(
    args: &PartsArgs,
    thread: Option<&Thread>,
    assumed: &mut Vec<String>,
) -> Result<mechanics::Bearing, Failure> {
    const OPTION: &str = "--bearing";
    if let Some(text) = &args.bearing {
        return Ok(bearing(text)?.ring());
    }
    let geometry = thread.and_then(|thread| thread.geometry().ok()).ok_or_else(|| {
        wrong(OPTION, "give the face and the hole, or THREAD for those of a standard head")
    })?;
    let standard = standard_bearing(&geometry, Head::Hex).map_err(|error| wrong(OPTION, error))?;
    assumed.push(format!("the faces are those of a {}; {OPTION} states them", standard.assumed));
    Ok(standard.bearing)
}
