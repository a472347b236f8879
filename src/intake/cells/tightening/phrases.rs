//! The words of a tightening cell that change what a figure means, in English, German,
//! French, Spanish and Italian.

use super::token::{Keyword, Token};

/// Phrases of the trade, tried longest first.
#[rustfmt::skip] // one row a meaning
pub(super) const PHRASES: &[(Token, &[&str])] = &[
    (Token::Word(Keyword::Max), &[
        "not over", "no more than", "not more than", "at most", "at-most", "up to", "maximum", "max.", "max", "höchstens",
        "hoechstens", "nicht über", "maximal", "bis zu", "au plus", "pas plus de", "jusqu'à", "maxi", "máximo", "maximo",
        "máx.", "máx", "como máximo", "hasta", "massimo", "non oltre", "fino a", "not to exceed", "do not exceed", "don't exceed", "must not exceed", "never over",
        "never more than", "no higher than", "not above", "nicht ueber", "nicht mehr als", "darf nicht über", "ne pas dépasser", "ne pas depasser", "jamais plus de", "no exceder de", "no exceder",
        "no superar", "no más de", "no mas de", "non superare", "non più di", "non piu di", "al massimo"
    ]),
    (Token::Word(Keyword::Min), &[
        "minimum", "mindestens", "au moins", "al menos", "mínimo", "minimo", "mini", "almeno", "at least", "not less than",
        "min.", "min"
    ]),
    (Token::Word(Keyword::Snug), &[
        "from snug", "past snug", "after snug", "after contact", "past contact", "past hand tight", "past finger tight",
        "hand tight", "hand-tight", "finger tight", "finger-tight", "snug tight", "snug"
    ]),
    (Token::Word(Keyword::SingleUse), &["new bolt", "replace", "discard"]),
    (Token::Word(Keyword::ToYield), &["torque to yield", "torque-to-yield", "to yield", "tty"]),
    (Token::Word(Keyword::About), &["approximately", "approx.", "approx", "about", "circa", "ca.", "ca", "etwa", "environ", "env.", "aprox.", "aprox"]),
    (Token::Word(Keyword::Stretch), &["stretch", "elongation"]),
    (Token::Word(Keyword::Filler), &[
        "with", "w/", "using", "each", "ea.", "ea", "per bolt", "per nut", "torque", "tighten", "pull", "each bolt",
        "each nut", "per fastener", "turn", "rotate", "by", "turn another", "an additional", "additional", "another",
        "a further", "further", "more", "steps", "stages", "passes", "serrer", "anziehen", "anziehen auf", "anziehen mit",
        "festziehen mit", "apretar", "serrare", "stringere"
    ]),
    (Token::Then, &[
        "then", "followed by", "dann", "danach", "und", "puis", "ensuite", "luego", "después", "despues", "poi", "quindi",
        "and", "et", "y", "e"
    ]),
    (Token::Plus, &["plus"]),
    (Token::To, &["to", "bis", "à", "a"]),
    (Token::From, &["from", "between", "von", "zwischen", "de", "entre", "da", "tra", "fra"]),
    (Token::Step, &["first", "second", "third", "fourth", "finally", "final"]),
    (Token::Flats, &["flats", "flat"]),
];

/// Words that say "some lube" without naming it.
pub(super) const SOME_LUBE: &[&str] = &["lubricated", "lubed", "lube", "wet", "greased", "oiled"];
