//! Words that belong to the language only in their place.
//!
//! `over` in `over the axle` is a word like any other; in `torque over 60 N.m`
//! it compares. The rules are those of `<in-place>` in `grammar/query.bnf`,
//! which a test compares with this file.

use super::token::{Class, Token};
use super::words::{FAMILIES, Keyword, OPERATOR_WORDS, RELATION_WORDS, SHARES, lookup};

/// Turns each word that stands in its place into what it means there.
pub(super) fn settle(tokens: &mut [Token], text: &str) {
    let mut clause = None;
    for at in 0..tokens.len() {
        if matches!(tokens[at].class, Class::Word | Class::Field | Class::Unit(_)) {
            let before = at.checked_sub(1).map(|before| &tokens[before].class);
            let after = tokens.get(at + 1).map(|token| &token.class);
            let around = Around { clause, before, after };
            if let Some(class) = around.meaning(&tokens[at].class, tokens[at].piece.slice(text)) {
                tokens[at].class = class;
            }
        }
        if let Class::Keyword(keyword) = tokens[at].class
            && keyword.starts_clause()
        {
            clause = Some(keyword);
        }
    }
}

/// What stands around a word.
struct Around<'a> {
    clause: Option<Keyword>,
    before: Option<&'a Class>,
    after: Option<&'a Class>,
}

impl Around<'_> {
    fn meaning(&self, class: &Class, word: &str) -> Option<Class> {
        if let Some(share) = lookup(SHARES, word).filter(|_| self.after_amount()) {
            return Some(Class::Share(share));
        }
        if let Some(family) = lookup(FAMILIES, word) {
            let all = self.before == Some(&Class::Keyword(Keyword::Units))
                && self.after != Some(&Class::Comma);
            return all.then_some(Class::Family(family));
        }
        if *class != Class::Word {
            return None;
        }
        if let Some(relation) = lookup(RELATION_WORDS, word) {
            let compared =
                self.before.is_some_and(|before| before.ends_operand() || *before == Class::Word);
            return (compared && self.operand_follows()).then_some(Class::Relation(relation));
        }
        if let Some(operator) = lookup(OPERATOR_WORDS, word) {
            let joined = self.operand_ended() && self.operand_follows();
            return joined.then_some(Class::Operator(operator));
        }
        match word.to_ascii_lowercase().as_str() {
            "first" if matches!(self.after, Some(Class::Number(_))) => {
                Some(Class::Keyword(Keyword::First))
            }
            "down" if self.clause == Some(Keyword::Sort) && self.operand_ended() => {
                Some(Class::Keyword(Keyword::Down))
            }
            "total" if self.clause == Some(Keyword::Tally) && self.operand_follows() => {
                Some(Class::Keyword(Keyword::Total))
            }
            "x" if matches!(self.before, Some(Class::Thread(_)))
                && matches!(self.after, Some(Class::Quantity(_) | Class::Quoted(_))) =>
            {
                Some(Class::By)
            }
            _ => None,
        }
    }

    fn operand_ended(&self) -> bool {
        self.before.is_some_and(Class::ends_operand)
    }

    fn operand_follows(&self) -> bool {
        self.after.is_some_and(Class::starts_operand)
    }

    fn after_amount(&self) -> bool {
        self.clause == Some(Keyword::Target)
            && matches!(self.before, Some(Class::Quantity(_) | Class::Quoted(_)))
    }
}
