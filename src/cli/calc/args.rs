//! The arguments of `calc` and of its forms.

use clap::{ArgAction, Args, Subcommand, ValueEnum};

const CALC_EXAMPLES: &str = "\
Examples:
  clampbook calc 7/16-20 --yield 180ksi --lube moly --target \"75% yield\"
  clampbook calc M10x1.5 --strength 10.9 --lube oil --torque 60Nm
  clampbook calc M12x1.25 --strength 8.8 --mu 0.12 --target \"90% combined\" --why
  clampbook calc 7/16-20 --hole-thread 7/16-14 --yield 180ksi \\
      --k 0.09..0.12..0.16 --torque 70lb-ft
  clampbook calc stretch --help      stretch, turn, engage, heat, adapter, prevailing

With --lube the factors are the book's, with --k or --mu they are yours: none is
ever assumed. --k is the short form T = K·d·F. --mu is the long form, which needs
the face that slides: --bearing, else the standard hex head over a medium hole,
and the answer says so. A range LOW..HIGH or LOW..NOMINAL..HIGH gives the band of
the clamp; without one it is the published scatter of the method.
A target above proof is refused; \"90% combined\" is an answer, not a
recommendation.";

// `calc`
#[derive(Debug, Args)]
#[command(
    subcommand_negates_reqs = true,
    override_usage = "clampbook calc [OPTIONS] <THREAD>\n       clampbook calc <COMMAND>",
    after_long_help = CALC_EXAMPLES
)]
pub(in crate::cli) struct Calc {
    /// Another sum than torque and clamp
    #[command(subcommand)]
    pub form: Option<Form>,
    /// The thread, with its pitch
    #[arg(required = true)]
    pub thread: Option<String>,
    /// The other thread of a stud, in its hole
    #[arg(long, value_name = "THREAD")]
    pub hole_thread: Option<String>,
    /// Diameter of a reduced shank
    #[arg(long, value_name = "DIAMETER")]
    pub waist: Option<String>,
    #[command(flatten)]
    pub strength: StrengthArgs,
    /// Lube of the book
    #[arg(long, group = "friction")]
    pub lube: Option<String>,
    /// Nut factor K, or LOW..HIGH, or LOW..K..HIGH; forces the short form
    #[arg(long, group = "friction")]
    pub k: Option<String>,
    /// Friction coefficient of the threads, and of the face unless given apart; also a range
    #[arg(long, group = "friction")]
    pub mu: Option<String>,
    /// Friction coefficient under the head or nut
    #[arg(long, requires = "mu", value_name = "MU")]
    pub mu_bearing: Option<String>,
    /// Outer and hole diameter of the face that slides: 17.5mm,11mm
    #[arg(long, value_name = "OUTER,HOLE")]
    pub bearing: Option<String>,
    /// Head whose standard face is assumed where --bearing is not given
    #[arg(long, value_enum, conflicts_with = "bearing")]
    pub head: Option<HeadArg>,
    /// Torque, to find the clamp
    #[arg(long, group = "aim")]
    pub torque: Option<String>,
    /// Target, to find the torque: "75% proof", "75% yield", "90% combined", "70 kN"
    #[arg(long, group = "aim")]
    pub target: Option<String>,
    /// Tolerance of the wrench, for the band of the clamp; 4% unless given
    #[arg(long, value_name = "PERCENT")]
    pub wrench_tolerance: Option<String>,
    /// Also print the working: formulas, values, published sources
    #[arg(long, global = true)]
    pub why: bool,
}

impl Calc {
    /// An argument of the sum of torque and clamp, if one was given: it does not
    /// go with another form. (The conflict is not left to clap, which would then
    /// take a form after `--format json` for a thread.)
    pub(in crate::cli) fn of_the_sum(&self) -> Option<&'static str> {
        let strength = &self.strength;
        [
            ("THREAD", &self.thread),
            ("--hole-thread", &self.hole_thread),
            ("--waist", &self.waist),
            ("--strength", &strength.strength),
            ("--proof", &strength.proof),
            ("--yield", &strength.yield_),
            ("--tensile", &strength.tensile),
            ("--lube", &self.lube),
            ("--k", &self.k),
            ("--mu", &self.mu),
            ("--mu-bearing", &self.mu_bearing),
            ("--bearing", &self.bearing),
            ("--torque", &self.torque),
            ("--target", &self.target),
            ("--wrench-tolerance", &self.wrench_tolerance),
        ]
        .into_iter()
        .find_map(|(option, value)| value.is_some().then_some(option))
        .or(self.head.map(|_| "--head"))
    }
}

/// A head whose bearing face is standard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum HeadArg {
    /// Hexagon head or nut.
    Hex,
    /// Cylindrical head with a hexagon socket.
    Socket,
}

// How strong the fastener is.
#[derive(Debug, Args)]
pub(in crate::cli) struct StrengthArgs {
    /// Strength by name: 10.9, "SAE 8"
    #[arg(long)]
    pub strength: Option<String>,
    /// Proof stress, in place of a named strength
    #[arg(long, value_name = "STRESS")]
    pub proof: Option<String>,
    /// Yield, in place of a named strength
    #[arg(long = "yield", value_name = "STRESS")]
    pub yield_: Option<String>,
    /// Tensile strength, in place of a named strength
    #[arg(long, value_name = "STRESS")]
    pub tensile: Option<String>,
}

// The other sums.
#[derive(Debug, Subcommand)]
pub(in crate::cli) enum Form {
    /// Stretch of a clamp, clamp of a stretch, permanent set of a used bolt
    Stretch(Box<Stretch>),
    /// Clamp that a turn adds on a known joint, turn for a clamp
    Turn(Box<Turn>),
    /// Engagement and strip strength
    Engage(Box<Engage>),
    /// Change of clamp with temperature
    Heat(Box<Heat>),
    /// Wrench setting with a crowfoot, an extension or a multiplier
    Adapter(Adapter),
    /// Wrench setting on a thread that locks
    Prevailing(Prevailing),
}

/// A bolt from end to end.
#[derive(Debug, Args)]
pub(in crate::cli) struct BoltArgs {
    /// Plain shank between the faces: diameter and length; may be repeated
    #[arg(long, value_name = "DIAMETER,LENGTH", action = ArgAction::Append)]
    pub shank: Vec<String>,
    /// Reduced shank between the faces: diameter and length; may be repeated
    #[arg(long, value_name = "DIAMETER,LENGTH", action = ArgAction::Append)]
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

/// What is clamped.
#[derive(Debug, Args)]
pub(in crate::cli) struct PartsArgs {
    /// Clamped layer: thickness and material (30mm,aluminium); may be repeated, in order
    #[arg(long, value_name = "THICKNESS,MATERIAL", action = ArgAction::Append)]
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

/// `calc stretch`
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  clampbook calc stretch M10x1.5 --strength 10.9 --shank 10mm,60mm \\
      --free-thread 20mm --clamp 40kN
  clampbook calc stretch 7/16-20 --yield 180ksi --waist 0.370in,1.6in \\
      --ends hex,hole --hole-material steel --stretch 0.0058in
  clampbook calc stretch --free-length-new 3.2500in --free-length-now 3.2512in
  clampbook calc stretch 3/4-16 --shank 3/4in,2.5in --ends none \\
      --material 30000ksi --clamp 25kip --why

Elastic: a clamp past yield is said to be. The lube does not enter. Permanent set
is free length now less free length when new; without the length when new the
answer is \"cannot judge\".")]
pub(in crate::cli) struct Stretch {
    /// The thread, with its pitch
    pub thread: Option<String>,
    #[command(flatten)]
    pub bolt: BoltArgs,
    #[command(flatten)]
    pub strength: StrengthArgs,
    /// Clamp, to find the stretch
    #[arg(long, group = "stretched", value_name = "FORCE")]
    pub clamp: Option<String>,
    /// Stretch as measured, to find the clamp
    #[arg(long = "stretch", group = "stretched", value_name = "LENGTH")]
    pub measured: Option<String>,
    /// Free length of the bolt when it was new
    #[arg(long, value_name = "LENGTH", requires = "free_length_now")]
    pub free_length_new: Option<String>,
    /// Free length of the bolt now
    #[arg(long, value_name = "LENGTH")]
    pub free_length_now: Option<String>,
    /// Growth at which the sheet gives the bolt up; 0.001 in by common practice
    #[arg(long, value_name = "LENGTH", requires = "free_length_now")]
    pub set_limit: Option<String>,
}

/// `calc turn`
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  clampbook calc turn M10x1.5 --shank 10mm,60mm --free-thread 20mm \\
      --layer 80mm,aluminium --turn 90deg
  clampbook calc turn M10x1.5 --shank 10mm,60mm --free-thread 20mm \\
      --layer 80mm,\"grey iron\" --clamp 30kN
  clampbook calc turn M20x2 --shank 20mm,600mm --ends none --material 200GPa \\
      --sleeve 40mm,28mm,600mm,120GPa --turn 0.25turn
  clampbook calc turn M10x1.5 --bolt-stiffness 150kN/mm \\
      --parts-stiffness 600kN/mm --snug 8kN --turn 60deg

The turn counts from snug, faces closed; the clamp at snug comes on top. An angle
is never turned back into a torque.")]
pub(in crate::cli) struct Turn {
    /// The thread, with its pitch
    pub thread: String,
    #[command(flatten)]
    pub bolt: BoltArgs,
    #[command(flatten)]
    pub parts: PartsArgs,
    #[command(flatten)]
    pub strength: StrengthArgs,
    /// Turn from snug, to find the clamp that it adds
    #[arg(long = "turn", group = "turned", value_name = "ANGLE")]
    pub angle: Option<String>,
    /// Clamp to add from snug, to find the turn
    #[arg(long, group = "turned", value_name = "FORCE")]
    pub clamp: Option<String>,
    /// Clamp at snug, where it is known
    #[arg(long, value_name = "FORCE")]
    pub snug: Option<String>,
}

/// `calc engage`
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  clampbook calc engage M10x1.5 --strength 10.9 --hole-tensile 220MPa
  clampbook calc engage 7/16-14 --tensile 190ksi --hole-tensile 40ksi \\
      --clamp 16000lbf --engagement 0.85in
  clampbook calc engage 1/2-13 --tensile 150ksi --hole-tensile 150ksi --shear-share 0.5 \\
      --limits 0.4876in,0.4435in,0.4340in,0.4565in --why

Shear strength is taken as 0.6 of tensile strength unless --shear-share says
better. Without --limits the basic sizes count, and the areas come out high. The
rule of thumb is common practice without a source: with strong studs it is not
enough.")]
pub(in crate::cli) struct Engage {
    /// The thread, with its pitch
    pub thread: String,
    #[command(flatten)]
    pub strength: StrengthArgs,
    /// Tensile strength of the nut or of the material of the hole
    #[arg(long, value_name = "STRESS")]
    pub hole_tensile: String,
    /// Material of the hole, for its rule of thumb: steel, cast iron, aluminium
    #[arg(long, value_name = "MATERIAL")]
    pub hole_material: Option<String>,
    /// Length engaged, to find the load that strips it
    #[arg(long, value_name = "LENGTH")]
    pub engagement: Option<String>,
    /// Clamp, to find the engagement that strips under it
    #[arg(long, value_name = "FORCE")]
    pub clamp: Option<String>,
    /// Limits of the class: least major and pitch diameter of the bolt, greatest minor and pitch
    /// diameter of the hole
    #[arg(long, value_name = "DS,ES,KN,EN")]
    pub limits: Option<String>,
    /// Shear strength as a share of tensile strength; 0.6 unless given
    #[arg(long, value_name = "SHARE")]
    pub shear_share: Option<String>,
}

/// `calc heat`
#[derive(Debug, Args)]
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
pub(in crate::cli) struct Heat {
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

/// `calc adapter`
#[derive(Debug, Args)]
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
pub(in crate::cli) struct Adapter {
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

/// `calc prevailing`
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  clampbook calc prevailing --torque 50lb-in --prevailing 30lb-in --rule to-add
  clampbook calc prevailing --torque 40Nm --prevailing 6Nm --rule included
  clampbook calc prevailing --torque 40Nm --prevailing 6Nm

Where nobody says whether the stated torque includes it, both readings are shown
and the answer is refused: ask the sheet. from-a-third adds it only when it is a
third of the stated torque or more, as one printed rule has it.")]
pub(in crate::cli) struct Prevailing {
    /// Torque as the sheet states it
    #[arg(long)]
    pub torque: String,
    /// Prevailing torque, read on the wrench while running down, before contact
    #[arg(long = "prevailing", value_name = "TORQUE")]
    pub running: Option<String>,
    /// How the two belong together
    #[arg(long, value_enum, default_value_t = RuleArg::Unknown)]
    pub rule: RuleArg,
}

/// How a prevailing torque belongs to a stated one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(in crate::cli) enum RuleArg {
    /// The stated torque includes it.
    Included,
    /// It is added.
    ToAdd,
    /// It is added when it is a third of the stated torque or more.
    FromAThird,
    /// The thread runs freely.
    None,
    /// Nobody says.
    Unknown,
}
