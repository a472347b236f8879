//! The finish of a fastener, by the trade's words. A finish that these tables do
//! not know is not taken for plain steel.

use crate::record::choice::choice;
use crate::record::words::{is_one_of, words_of};
use crate::record::{Lube, LubeClass};

choice!(
    /// A finish that has friction of its own.
    Finish {
        Plain = "plain",
        Zinc = "zinc plated",
        HotDip = "hot-dip galvanised",
        ZincFlake = "zinc flake",
        ZincAlloy = "zinc alloy",
        Cadmium = "cadmium plated",
        Phosphate = "phosphate",
        BlackOxide = "black oxide",
        Nickel = "nickel plated",
        Chrome = "chrome plated",
        Wax = "wax coated",
        Polymer = "polymer coated",
        /// Silver, tin, copper.
        SoftMetal = "soft metal plated",
        Locking = "locking patch",
    }
);

/// Words of each finish in English, German, French, Italian and Spanish. The
/// more special ones stand first: a hot-dip galvanised bolt is also zinc.
/// Common practice, no source.
#[rustfmt::skip] // one finish a row, read as a table
static WORDS: &[(Finish, &[&str])] = &[
    (Finish::Locking, &["patch*", "precoated", "microencapsulated", "klebe*", "klemm*", "threadlock*"]),
    (Finish::ZincFlake, &["flake*", "lamell*", "lamellar*", "lamelle", "lamellaire", "zinklamelle*"]),
    (Finish::HotDip, &["hot", "hotdip*", "feuerverzink*", "hdg", "tzn", "galvanise*", "galvanize*", "galvanizado", "chaud", "caldo", "caliente"]),
    (Finish::ZincAlloy, &["znni", "znfe", "zinknickel*"]),
    (Finish::Zinc, &["zinc*", "zink*", "zn*", "verzinkt", "galvanisch", "electrogalvani*", "electrozinc*", "zingue*", "zincat*", "bzp", "zp"]),
    (Finish::Cadmium, &["cadmi*", "cad", "kadmi*", "verkadmet"]),
    (Finish::Phosphate, &["phosph*", "fosfat*"]),
    (Finish::BlackOxide, &["black*", "bruniert", "bruni*", "brunito", "pavonado", "oxide", "schwarz"]),
    (Finish::Nickel, &["nickel*", "vernickelt", "nichelat*", "niquelad*"]),
    (Finish::Chrome, &["chrom", "chrome", "chromed", "verchromt", "cromat*", "cromad*", "chromium"]),
    (Finish::Wax, &["wax*", "gewachst", "moly*", "mos2", "dryfilm", "lubricated", "cire", "cera", "gleitbeschicht*"]),
    (Finish::Polymer, &["ptfe", "polymer*", "epoxy*", "paint*", "lackiert", "peint*", "vernicia*", "pintad*", "organic"]),
    (Finish::SoftMetal, &["silver*", "tin", "tinned", "copper*", "verkupfert", "versilbert", "verzinnt", "argent*", "etam*"]),
    (Finish::Plain, &["plain", "none", "bare", "uncoated", "unplated", "blank", "roh", "nackt", "nu", "brut", "grezzo", "desnudo", "natural", "self", "unbeschichtet", "naturel", "ohne"]),
];

/// Words that say how a finish is made or that oil came on it, not which it is.
#[rustfmt::skip] // many short words
const BESIDES: &[&str] = &[
    "plate", "plated", "plating", "coat", "coated", "coating", "finish", "finished", "steel",
    "colour", "color", "yellow", "clear", "blue", "white", "bright", "trivalent", "passivat*",
    "passiert", "gelb", "blau", "chromat*", "manganese", "dip", "dipped", "electroplated",
    "electro", "oiled", "oil", "lightly", "dry", "and", "with", "no", "not", "surface",
    "galvanically", "um", "micron", "microns", "geolt", "beschichtet", "uberzug", "acier",
    "acciaio", "acero", "stahl", "a", "au", "en",
];

/// What is known of a finish.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FinishStated {
    NotStated,
    Known(Finish),
    /// It is stated in words that the table does not know, or of two finishes.
    Unknown(String),
}

/// The finish that `text` states.
pub fn finish_of(text: &str) -> FinishStated {
    if let Some(finish) = Finish::find(text) {
        return FinishStated::Known(finish);
    }
    let words = words_of(text);
    if words.is_empty() {
        return FinishStated::NotStated;
    }
    let unknown = || FinishStated::Unknown(text.to_owned());
    let mut found: Vec<Finish> = Vec::new();
    for word in &words {
        let number = word.chars().all(|c| c.is_ascii_digit() || c == '.');
        match WORDS.iter().find(|(_, list)| is_one_of(word, list)) {
            Some((finish, _)) => found.push(*finish),
            None if number || is_one_of(word, BESIDES) => {}
            None => return unknown(),
        }
    }
    // A hot-dip or flake coat is of zinc too, a zinc alloy of nickel.
    let kind = match found.iter().min_by_key(|finish| rank(**finish)) {
        None => return unknown(),
        Some(special @ (Finish::HotDip | Finish::ZincFlake)) => *special,
        Some(Finish::Zinc) if found.contains(&Finish::Nickel) => Finish::ZincAlloy,
        Some(kind) => *kind,
    };
    let belongs = |finish: &Finish| match kind {
        Finish::HotDip | Finish::ZincFlake => matches!(finish, Finish::Zinc) || *finish == kind,
        Finish::ZincAlloy => matches!(finish, Finish::Zinc | Finish::Nickel | Finish::ZincAlloy),
        _ => *finish == kind,
    };
    if found.iter().all(belongs) { FinishStated::Known(kind) } else { unknown() }
}

fn rank(finish: Finish) -> usize {
    WORDS.iter().position(|(named, _)| *named == finish).unwrap_or(WORDS.len())
}

/// The finish that the factors of `lube` were measured on: of a coating the one
/// that its name says, else plain steel.
pub fn lube_finish(lube: &Lube) -> FinishStated {
    if lube.class != LubeClass::Coating {
        return FinishStated::Known(Finish::Plain);
    }
    finish_of(&lube.name)
}
