//! FORMULAS: every formula that the working prints, with its published source.
//!
//! The arithmetic itself is in `mechanics`, whose docstrings have validity and
//! how each source was read.

/// A formula as it is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Formula {
    /// The formula.
    pub(crate) text: &'static str,
    /// Where it is published.
    pub(crate) source: &'static str,
}

const fn formula(text: &'static str, source: &'static str) -> Formula {
    Formula { text, source }
}

const GEOMETRY: &str = "plane geometry";
const HOOKE: &str =
    "Hooke's law; VDI 2230, resilience of the bolt; Shigley 9th ed. eq. 8-15 to 8-17";
const EQUAL: &str = "both from one form T = F·lever, Shigley 9th ed. eq. 8-27, VDI 2230";

/// Tensile stress area of a thread; the source is that of its series.
pub(crate) static STRESS_AREA: Formula = formula("A = π/4·(d − c·P)²", "ISO 898-1, ASME B1.1");
/// A waist or groove.
pub(crate) static ROUND_AREA: Formula = formula("A = π/4·d²", GEOMETRY);
/// Load at proof or yield.
pub(crate) static STRENGTH_LOAD: Formula =
    formula("F = S·A", "stress times section; ISO 898-1 prints it as proof load");
/// Lever of the long form.
pub(crate) static LONG_LEVER: Formula = formula(
    "l = P/2π + μt·(d2/2)/cos β + μb·(Do + Dh)/4",
    "VDI 2230 Blatt 1 (2003), ISO 16047; 1/cos 30° = 1.155 there",
);
/// Lever of the short form.
pub(crate) static SHORT_LEVER: Formula = formula("l = K·d", "Shigley 9th ed. eq. 8-27: T = K·F·d");
/// The K that says the same as a long form.
pub(crate) static EQUIVALENT_K: Formula = formula("K = l/d", "Shigley 9th ed. eq. 8-27");
/// Clamp of a torque.
pub(crate) static CLAMP: Formula =
    formula("F = T/l", "Shigley 9th ed. eq. 8-27; VDI 2230, M = F·lever");
/// Torque of a clamp.
pub(crate) static TORQUE: Formula =
    formula("T = F·l", "Shigley 9th ed. eq. 8-27; VDI 2230, M = F·lever");
/// Torque that clamps where a prevailing torque is included.
pub(crate) static LESS_PREVAILING: Formula =
    formula("T = Tsheet − Tprev", "AC 43.13-1B (1998), 7-40");
/// Band from the scatter of the method.
pub(crate) static BAND_METHOD: Formula = formula("F·(1 − Γ) to F·(1 + Γ)", "published scatter");
/// Band from friction and wrench.
pub(crate) static BAND_FRICTION: Formula = formula(
    "F/(1 + √((lhigh/l − 1)² + w²)) to F·(1 + √((l/llow − 1)² + w²))",
    "independent deviations added in squares, ISO/IEC Guide 98-3 (GUM)",
);
/// Tension.
pub(crate) static TENSION: Formula = formula("σ = F/A", GEOMETRY);
/// Share of proof.
pub(crate) static OF_PROOF: Formula =
    formula("F/(Sp·A)", "Shigley 9th ed. eq. 8-31: 75 % of proof for reused joints");
/// Share of yield.
pub(crate) static OF_YIELD: Formula = formula("F/(Sy·A)", "tension over yield strength or Rp0.2");
/// Torque in the thread.
pub(crate) static TWIST: Formula =
    formula("Tt = F·(P/2π + μt·(d2/2)/cos β)", "VDI 2230 (2003), M_G");
/// Combined stress.
pub(crate) static COMBINED: Formula = formula(
    "√(σ² + 3·τ²)/Sy, τ = 12·Tt/(π·d0³), d0 = √(4·A/π)",
    "VDI 2230 (2003); the 12 is fully plastic torsion, an elastic bar has 16",
);
/// Combined stress when the wrench is off.
pub(crate) static COMBINED_AFTER: Formula = formula(
    "√(σ² + 3·(k·τ)²)/Sy",
    "VDI 2230, half of the torsion left (k 0.5 from memory of its step R8)",
);
/// Clamp at a share of proof.
pub(crate) static AT_PROOF: Formula = formula("F = f·Sp·A", "Shigley 9th ed. eq. 8-31");
/// Clamp at a share of yield.
pub(crate) static AT_YIELD: Formula =
    formula("F = f·Sy·A", "as of proof, Shigley 9th ed. eq. 8-31");
/// Clamp at a share of yield, combined.
pub(crate) static AT_COMBINED: Formula = formula(
    "F = f·Sy·A/√(1 + 3·(3·lt/d0)²), lt = Tt/F",
    "VDI 2230 (2003), tables of assembly preload at f = 0.9",
);
/// Conversion between lubes by K.
pub(crate) static CONVERT_K: Formula = formula("T2 = T1·K2/K1", EQUAL);
/// Conversion between lubes by friction.
pub(crate) static CONVERT_MU: Formula = formula("T2 = T1·l2/l1", EQUAL);
/// The sheet's ratio beside that of the factors.
pub(crate) static RATIO: Formula =
    formula("(T2/T1)/(l2/l1) − 1", "over 15 % either way is flagged: common practice, no source");
/// Give of one segment.
pub(crate) static SEGMENT: Formula = formula("1/k = Σ L/(E·A)", HOOKE);
/// Stretch of a clamp.
pub(crate) static STRETCH: Formula = formula("δ = F/kb", HOOKE);
/// Clamp of a stretch.
pub(crate) static CLAMP_OF_STRETCH: Formula = formula("F = δ·kb", HOOKE);
/// Permanent set.
pub(crate) static SET: Formula = formula(
    "set = Lnow − Lnew",
    "free length against free length when new, one gauge, one temperature",
);
/// Clamped parts.
pub(crate) static CONES: Formula = formula(
    "1/k = Σ ln[(1.155·t + D − d)(D + d)/((1.155·t + D + d)(D − d))]/(0.5774·π·E·d)",
    "Shigley 9th ed. eq. 8-20, two cones of 30°",
);
/// A sleeve.
pub(crate) static SLEEVE: Formula = formula("1/k = L/(E·π/4·(Do² − Di²))", HOOKE);
/// Bolt and parts together.
pub(crate) static TOGETHER: Formula =
    formula("1/k = 1/kb + 1/kj", "Shigley 9th ed. ch. 8-5; VDI 2230");
/// Share of an outside load.
pub(crate) static LOAD_SHARE: Formula = formula("C = kb/(kb + kj)", "Shigley 9th ed. eq. 8-24");
/// Clamp of a turn.
pub(crate) static CLAMP_OF_TURN: Formula =
    formula("F = k·P·θ/360°", "helix and elastic joint; Shigley 9th ed. ch. 8-5, VDI 2230");
/// Turn of a clamp.
pub(crate) static TURN_OF_CLAMP: Formula =
    formula("θ = 360°·F/(k·P)", "helix and elastic joint; Shigley 9th ed. ch. 8-5, VDI 2230");

/// Shear area of the bolt's thread.
pub(crate) static STRIP_EXTERNAL: Formula =
    formula("As = π·Le/P·Kn·[P/2 + tan β·(Es − Kn)]", "FED-STD-H28/2B");
/// Shear area of the hole's thread.
pub(crate) static STRIP_INTERNAL: Formula =
    formula("An = π·Le/P·Ds·[P/2 + tan β·(Ds − En)]", "FED-STD-H28/2B");
/// Load that strips.
pub(crate) static STRIP_LOAD: Formula = formula(
    "F = s·the smaller of Rb·As and Rh·An",
    "shear strength as a share of tensile; VDI 2230 tables of τB/Rm, from memory",
);
/// Engagement for a load.
pub(crate) static ENGAGEMENT: Formula = formula(
    "Le = F/(strip load per mm)",
    "FED-STD-H28/2B; with s = 0.5 and equal materials Machinery's Handbook 24th ed. formula 1",
);
/// Load that breaks the bolt.
pub(crate) static BREAKING: Formula =
    formula("F = Rb·A", "stress times section; ISO 898-1 prints it as ultimate load");

/// Change of clamp with heat.
pub(crate) static HEAT: Formula = formula(
    "ΔF = k·[Σ αj·Lj·ΔTj − αb·Lb·ΔTb]",
    "VDI 2230, change of clamp with temperature; Shigley's joint stiffness",
);
/// Adapter.
pub(crate) static ADAPTER: Formula =
    formula("Tset = T·L/(L + E·cos θ)", "AC 43.13-1B (1998) fig. 7-2; US Army TM 9-254 fig. 46");
/// At the bolt of an adapter.
pub(crate) static AT_BOLT: Formula =
    formula("T = Tset·(L + E·cos θ)/L", "AC 43.13-1B (1998) fig. 7-2; US Army TM 9-254 fig. 46");
/// On the axis.
pub(crate) static ON_AXIS: Formula =
    formula("Tset = T", "an extension on the axis of the bolt moves nothing: statics");
/// Multiplier.
pub(crate) static MULTIPLIER: Formula =
    formula("Tset = T/(i·η)", "ratio and efficiency as marked on the multiplier");
/// At the bolt of a multiplier.
pub(crate) static AT_BOLT_MULTIPLIED: Formula =
    formula("T = Tset·i·η", "ratio and efficiency as marked on the multiplier");
/// Prevailing torque added.
pub(crate) static ADD_PREVAILING: Formula =
    formula("Twrench = T + Tprev", "AC 43.13-1B (1998), 7-40");
/// Prevailing torque added from a third on.
pub(crate) static ADD_FROM_THIRD: Formula =
    formula("Twrench = T + Tprev if Tprev ≥ T/3, else T", "US Army TB 43-0218");
