//! Closed lists of trade words, each with the spellings that mean it.

/// Makes an enum of trade words with one table that parsing, printing,
/// completion and the grammar walk.
macro_rules! choice {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal $([$($other:literal),*])?),* $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum $name { $($(#[$vdoc])* $variant),* }

        impl $name {
            /// Every word with the other spellings that mean it.
            pub const WORDS: &'static [($name, &'static str, &'static [&'static str])] =
                &[$(($name::$variant, $word, &[$($($other),*)?])),*];

            /// The trade words alone, in order.
            pub const NAMES: &'static [&'static str] = &[$($word),*];

            /// The word that the trade uses, as it is printed.
            pub fn word(self) -> &'static str {
                match self { $($name::$variant => $word),* }
            }

            /// The choice that `text` means, case and blanks folded.
            pub fn find(text: &str) -> Option<Self> {
                // What a record prints is the word itself.
                if let Some((choice, ..)) = Self::WORDS.iter().find(|(_, word, _)| *word == text) {
                    return Some(*choice);
                }
                let text = $crate::text::fold_name(text);
                Self::WORDS
                    .iter()
                    .find(|(_, word, others)| *word == text || others.contains(&text.as_str()))
                    .map(|(choice, _, _)| *choice)
            }
        }

        impl $crate::record::table::Leaf for $name {
            const KIND: $crate::record::FieldKind = $crate::record::FieldKind::Choice($name::NAMES);

            fn value(&self) -> $crate::record::Value<'_> {
                $crate::record::Value::text(self.word())
            }

            fn read(text: &str) -> Result<Self, String> {
                let text = $crate::record::table::given(text).ok_or($crate::record::table::NEEDED)?;
                $name::find(text).ok_or_else(|| format!("`{text}` is none of {}", $name::NAMES.join(", ")))
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }
    };
}

pub(crate) use choice;
