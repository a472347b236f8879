//! What bolts and holes are made of, by the trade's words. What these tables do
//! not know is not taken for steel.

use crate::record::choice::choice;
use crate::record::words::{is_one_of, phrase_in, words_of};
use crate::record::{Fastener, Lube, StrengthClass, Tables};

choice!(
    /// A material as far as friction and seizing care.
    Material {
        Steel = "steel",
        CastIron = "cast iron" ["iron"],
        /// Austenitic, ferritic or martensitic stainless steel, nickel alloys.
        Stainless = "stainless" ["stainless steel"],
        /// Aluminium alloy, or a light alloy of which no more is said.
        Aluminium = "aluminium" ["aluminum"],
        Magnesium = "magnesium",
        Titanium = "titanium",
        Brass = "brass" ["bronze", "copper"],
        Plastic = "plastic" ["nylon"],
        Other = "other",
    }
);

impl Material {
    /// Whether published factors for plain steel hold on it: steel, and the
    /// cast iron of a hole (common practice, no source: published friction of
    /// steel bolts is measured on steel).
    pub fn takes_steel_factors(self) -> bool {
        matches!(self, Self::Steel | Self::CastIron)
    }
}

/// What is known of a material that a record may state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Stuff {
    NotStated,
    Known(Material),
    /// It is stated in words that no table knows; these are they.
    Unknown(String),
}

/// Words of each material; those that seize before steel, which is said of
/// some of them too. Trade words of English, German, French, Italian and
/// Spanish, and common alloy numbers. Common practice, no source.
#[rustfmt::skip] // one material a row, read as a table
static WORDS: &[(Material, &[&str])] = &[
    (Material::Magnesium, &["magnes*", "elektron", "az91", "az91d", "am60", "ze41"]),
    (Material::Aluminium, &["alumin*", "alu", "alloy light", "leichtmetall", "duralumin*", "dural", "a356*", "356", "a380*", "a319", "319", "lm25", "lm24", "6061*", "6063*", "6082*", "7075*", "7050*", "2024*", "2014*", "5083*", "alsi*", "silumin"]),
    (Material::Stainless, &["stainless", "inox*", "inossid*", "inoxyd*", "nirosta", "edelstahl", "rostfrei*", "nichtrostend*", "austenit*", "a1", "a2", "a4", "a5", "18 8", "302", "303", "304*", "316*", "321", "347", "410", "416", "1.4301", "1.4305", "1.4401", "1.4404", "1.4571", "monel*", "inconel*", "hastelloy*", "a286", "nitronic*", "duplex"]),
    (Material::Titanium, &["titan*", "ti6al4v", "ti", "6al"]),
    (Material::Brass, &["brass", "bronze*", "copper", "messing", "kupfer*", "laiton", "cuivre", "ottone", "rame", "bronzo", "laton", "cobre", "bronce", "gunmetal", "rotguss", "cuzn*", "cusn*"]),
    (Material::Plastic, &["plastic*", "nylon*", "polyamid*", "pa6*", "pa66*", "acetal", "pom", "delrin", "peek", "ptfe", "pvc", "kunststoff*", "plastique", "plastica", "plastico", "composite", "carbon fibre", "cfrp", "gfrp"]),
    (Material::Other, &["wood", "timber", "holz", "bois", "legno", "madera", "concrete", "beton", "zinc", "zamak", "zamac", "lead", "white metal"]),
    (Material::CastIron, &["iron", "gg20", "gg25", "gg30", "ggg40", "ggg50", "gjl*", "gjs*", "gusseisen", "grauguss", "spharoguss", "fonte", "ghisa", "fundicion", "hierro", "meehanite"]),
    (Material::Steel, &["steel*", "stahl*", "acier", "acciaio", "acero", "chromoly", "1018", "1020", "1035", "1038", "1040", "1045", "1141", "4037", "4130", "4135", "4140", "4340", "5140", "8620", "8630", "8640", "8740", "9310", "c35", "c45", "c35e", "c45e", "s235*", "s275*", "s355*", "st37", "st44", "st52", "42crmo4", "34crmo4", "34crnimo6", "25crmo4", "16mncr5", "a36", "b7", "b16", "chromium molybdenum", "chrome moly*"]),
];

/// Words that say how a part is made or which part it is, not of what.
#[rustfmt::skip] // many short words
const BESIDES: &[&str] = &[
    "cast", "casting", "grey", "gray", "ductile", "nodular", "malleable", "wrought", "forged",
    "rolled", "mild", "carbon", "medium", "low", "high", "alloy", "tensile", "structural",
    "hardened", "tempered", "quenched", "heat", "treated", "plate", "block", "head", "housing",
    "case", "cap", "boss", "flange", "frame", "bar", "tool", "spring", "en", "aisi", "sae", "astm",
    "din", "iso", "uns", "gr", "grade", "class", "klasse", "classe", "clase", "grau", "grise",
    "grigia", "gris", "hole", "thread", "tapped", "sg", "and", "with", "of", "the", "in",
];

/// The material of a part that `text` states. What is no steel counts wherever it
/// is named; steel and iron count only where every word is known.
pub fn material_of(text: &str) -> Stuff {
    if let Some(material) = Material::find(text) {
        return Stuff::Known(material);
    }
    match named(&words_of(text)) {
        Named::Nothing => Stuff::NotStated,
        Named::Sure(material) => Stuff::Known(material),
        Named::AmongOthers(_) | Named::No => Stuff::Unknown(text.to_owned()),
    }
}

/// The material of a bolt by the name of its strength. A maker's alloy has a name
/// of its own; it is steel where the word stands beside it.
fn bolt_material_of(name: &str) -> Stuff {
    let words = words_of(name);
    match named(&words) {
        Named::Nothing => Stuff::NotStated,
        Named::Sure(material) | Named::AmongOthers(material) => Stuff::Known(material),
        Named::No if words.iter().any(|word| is_steel_class(word)) => Stuff::Known(Material::Steel),
        Named::No => Stuff::Unknown(name.to_owned()),
    }
}

/// A property class of ISO 898-1 (`8.8`, `12.9`), or a word that names the
/// standards of graded steel bolts.
fn is_steel_class(word: &str) -> bool {
    let is_property_class = word.split_once('.').is_some_and(|(hundreds, tenths)| {
        let digits =
            |text: &str, most| text.len() <= most && text.bytes().all(|b| b.is_ascii_digit());
        digits(hundreds, 2) && digits(tenths, 1)
    });
    is_property_class || is_one_of(word, &["sae", "j429"])
}

enum Named {
    Nothing,
    Sure(Material),
    /// Steel or iron beside words that no table knows.
    AmongOthers(Material),
    No,
}

fn named(words: &[String]) -> Named {
    if words.is_empty() {
        return Named::Nothing;
    }
    if phrase_of_light_alloy(words) {
        return Named::Sure(Material::Aluminium);
    }
    let says = |(_, list): &&(Material, &[&str])| phrase_in(words, list).is_some();
    let Some((material, _)) = WORDS.iter().find(says) else { return Named::No };
    let is_known = |word: &String| {
        let number = word.chars().all(|c| c.is_ascii_digit() || c == '.');
        number || is_one_of(word, BESIDES) || WORDS.iter().any(|(_, list)| is_one_of(word, list))
    };
    if material.takes_steel_factors() && !words.iter().all(is_known) {
        return Named::AmongOthers(*material);
    }
    Named::Sure(*material)
}

/// `light alloy` in five languages: of aluminium or magnesium.
fn phrase_of_light_alloy(words: &[String]) -> bool {
    let phrases = ["light alloy", "alliage leger", "lega leggera", "aleacion ligera"];
    phrase_in(words, &phrases).is_some()
}

/// What the hole of `fastener` is cut in. A wire insert is of stainless steel
/// as a rule (common practice, no source).
pub fn hole_material(fastener: &Fastener) -> Stuff {
    let stated = fastener.hole_material.as_deref().map_or(Stuff::NotStated, material_of);
    let steel = matches!(&stated, Stuff::Known(material) if material.takes_steel_factors());
    if fastener.insert == Some(true) && (steel || stated == Stuff::NotStated) {
        return Stuff::Known(Material::Stainless);
    }
    stated
}

/// What the bolt itself is made of: the material of its strength, else what the
/// words of its strength say. A bolt of which only figures are stated says
/// nothing of its material.
pub fn bolt_material(fastener: &Fastener, tables: &Tables) -> Stuff {
    let Some(name) = fastener.strength.name.as_deref() else { return Stuff::NotStated };
    match tables.strength(name) {
        Some(class) => of_class(class),
        None => bolt_material_of(name),
    }
}

fn of_class(class: &StrengthClass) -> Stuff {
    if let Some(material) = class.material {
        return Stuff::Known(material);
    }
    let names = std::iter::once(&class.name).chain(&class.aliases);
    let mut known =
        names.map(|name| bolt_material_of(name)).filter(|stuff| matches!(stuff, Stuff::Known(_)));
    known.next().unwrap_or_else(|| Stuff::Unknown(class.name.clone()))
}

/// The bolt material that the factors of `lube` were measured on: what its name
/// says, else steel.
pub fn lube_material(lube: &Lube) -> Material {
    #[rustfmt::skip] // many short words
    const OTHERS: [&str; 9] = ["stainless", "inox", "austenit", "alumin", "titan", "brass", "bronze", "magnes", "plastic"];
    let name = lube.name.as_bytes();
    let holds = |word: &&str| {
        name.windows(word.len()).any(|part| part.eq_ignore_ascii_case(word.as_bytes()))
    };
    if !OTHERS.iter().any(holds) {
        return Material::Steel;
    }
    match material_of(&lube.name) {
        Stuff::Known(material) if !material.takes_steel_factors() && !is_filler(lube) => material,
        _ => Material::Steel,
    }
}

/// Metals that are named for what is in the paste or on the bolt, not for the
/// bolt: copper anti-seize, zinc flake.
fn is_filler(lube: &Lube) -> bool {
    let words = words_of(&lube.name);
    words.iter().any(|word| is_one_of(word, &["copper", "nickel", "zinc", "lead", "ptfe", "moly*"]))
}

/// Why the factors of `lube` say nothing about `fastener`, if they do not:
/// steel's factors are never used for a bolt of another metal or of plastic.
pub fn foreign_factor(fastener: &Fastener, lube: &Lube, tables: &Tables) -> Option<String> {
    let name = || fastener.strength.name.clone().unwrap_or_default();
    match bolt_material(fastener, tables) {
        Stuff::NotStated | Stuff::Known(Material::Steel | Material::CastIron) => None,
        Stuff::Known(material) if lube_material(lube) == material => None,
        Stuff::Known(material) => Some(format!(
            "the factor of {} is one of steel, {} is {material}: no factor for it",
            lube.name,
            name(),
        )),
        Stuff::Unknown(words) => Some(format!(
            "what {words} is made of is not known: no factor for it; where it is steel, say so in \
             its strength"
        )),
    }
}
